package score

import (
	"cmp"
	"slices"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/say"
)

// scanned is one reading of the fault memory, all rows of one day together.
type scanned struct {
	day   Day
	km    Stated
	codes []dtc.Reading
	since Stated
	lamp  bool // the malfunction indicator was on
	fresh bool // signs of a memory erased shortly before: few warm-ups, monitors not complete
	ref   Ref
}

// scans groups a vehicle's scan rows by day, in the order of time: exports
// give a row a code. Where rows of one day disagree, codes beat "none", and
// the smaller distance since erasing holds.
func scans(v *Vehicle, buf []scanned) []scanned {
	buf = buf[:0]
	for i := range v.Scans {
		s := &v.Scans[i]
		buf = append(buf, scanned{s.Day, s.KM, s.Codes, s.SinceClear, s.MIL == "on", s.fresh(), s.Ref})
	}
	if len(buf) < 2 {
		return buf
	}
	slices.SortStableFunc(buf, func(a, b scanned) int { return cmp.Compare(a.day, b.day) })
	out := buf[:1]
	for _, s := range buf[1:] {
		last := &out[len(out)-1]
		if s.day != last.day {
			out = append(out, s)
			continue
		}
		last.merge(s)
	}
	return out
}

func (s *scanned) merge(b scanned) {
	s.codes = append(slices.Clone(s.codes), b.codes...)
	if !s.km.Known || b.km.Known && b.km.Value > s.km.Value {
		s.km = b.km
	}
	s.fresh, s.lamp = s.fresh || b.fresh, s.lamp || b.lamp
	if !s.since.Known || b.since.Known && b.since.Value < s.since.Value {
		s.since = b.since
	}
}

// scan picks the latest scan since the part's renewal, as the evidence rules
// want it.
func (s *story) scan(all []scanned) *evidence.Scan {
	if len(all) == 0 {
		return nil
	}
	i := len(all) - 1
	last := &all[i]
	own, ok := s.since(last.day, last.km)
	if !ok {
		return nil
	}
	s.latest = evidence.Scan{
		Codes: last.codes, At: own, SinceClear: known(last.since),
		Day: int32(last.day), KM: s.kmAt(last.day, last.km), Carried: !last.km.Known, Ref: i,
	}
	if e := &s.latest; s.renewal != nil && e.SinceClear >= 0 {
		e.OldPart = e.SinceClear > e.KM-s.kmAt(s.renewal.day, s.renewal.km)
	}
	return &s.latest
}

// kmAt is the odometer on a day, whatever the part's axis.
func (s *story) kmAt(day Day, km Stated) float64 {
	at, ok := s.axis.at(ByKM, day, km)
	if !ok {
		return -1
	}
	return at
}

// fewWarmUps is the number of warm-up cycles since an erase below which a
// clean memory says little: common practice, no source (a confirmed code wants
// two trips, SAE J2012 and J1979 as restated in the trade, from memory).
const fewWarmUps = 3

// fresh tells a memory that was erased shortly before it was read.
func (s *Scan) fresh() bool {
	return s.WarmUps.Known && s.WarmUps.Value < fewWarmUps || s.Incomplete.Known && s.Incomplete.Value > 0
}

// What may make a scan say less than it seems to; shared by all vehicles of
// which it is true.
var (
	doubtPermanent = say.F("only permanent codes are left: the memory was erased lately and no repair has proven itself yet")
	doubtLamp      = say.F("the warning lamp is on though the scan found no code: read the memory again, with a reader that knows the maker's codes")
	doubtFresh     = say.F("the scan was made shortly after the codes were erased (few warm-ups, or monitors not complete): that it is clean says little")
)

// doubt says what makes the latest scan say less than it seems to: signs of
// an erase whose distance nobody wrote down, or a permanent code alone.
func (s *scanned) doubt() say.Text {
	permanent := len(s.codes) > 0
	for _, c := range s.codes {
		permanent = permanent && c.State == dtc.Permanent
	}
	switch {
	case permanent:
		return doubtPermanent
	case len(s.codes) == 0 && s.lamp:
		return doubtLamp
	case len(s.codes) == 0 && s.fresh && !s.since.Known:
		return doubtFresh
	}
	return say.Text{}
}

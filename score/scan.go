package score

import (
	"cmp"
	"slices"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
)

// scanned is one reading of the fault memory, all rows of one day together.
type scanned struct {
	day   Day
	km    Stated
	codes []dtc.Reading
	since Stated
	ref   Ref
}

// scans groups a vehicle's scan rows by day, in the order of time: exports
// give a row a code. Where rows of one day disagree, codes beat "none", and
// the smaller distance since erasing holds.
func scans(v *Vehicle, buf []scanned) []scanned {
	buf = buf[:0]
	for i := range v.Scans {
		s := &v.Scans[i]
		buf = append(buf, scanned{s.Day, s.KM, s.Codes, s.SinceClear, s.Ref})
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

func (a *scanned) merge(b scanned) {
	a.codes = append(slices.Clone(a.codes), b.codes...)
	if !a.km.Known || b.km.Known && b.km.Value > a.km.Value {
		a.km = b.km
	}
	if !a.since.Known || b.since.Known && b.since.Value < a.since.Value {
		a.since = b.since
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
	e := &evidence.Scan{
		Codes: last.codes, At: own, SinceClear: known(last.since),
		Day: int32(last.day), KM: s.kmAt(last.day, last.km), Ref: i,
	}
	if s.renewal != nil && e.SinceClear >= 0 {
		e.OldPart = e.SinceClear > e.KM-s.kmAt(s.renewal.day, s.renewal.km)
	}
	return e
}

// kmAt is the odometer on a day, whatever the part's axis.
func (s *story) kmAt(day Day, km Stated) float64 {
	at, ok := s.axis.at(ByKM, day, km)
	if !ok {
		return -1
	}
	return at
}

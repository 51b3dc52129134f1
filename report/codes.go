package report

import (
	"cmp"
	"slices"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
	"pitlist/score/say"
)

// CodeSpell is a time over which every scan of a vehicle showed a code.
type CodeSpell struct {
	Code        dtc.Code
	First, Last score.Day // scans that showed it
	Gone        score.Day // the scan that no longer did; 0: the last scan still shows it
	How         say.Text  // "after “sensor replaced” on 12 Nov 2026", "by itself"; "" while it is there
	Again       bool      // it had been there and gone before
}

// scanDay is all that was read of the fault memory on one day.
type scanDay struct {
	day   score.Day
	km    score.Stated
	since score.Stated
	codes []dtc.Code
}

// CodeSpells tells of each code of a vehicle when it was first and last read,
// when it was gone and when it was back, in the order of first reading. The
// assessment says which repairs were done.
func CodeSpells(a *score.Assessment) []CodeSpell {
	days := scanDays(a.Vehicle)
	var out []CodeSpell
	open, seen := map[dtc.Code]int{}, map[dtc.Code]bool{}
	for i := range days {
		d := &days[i]
		for _, c := range d.codes {
			if n, ok := open[c]; ok {
				out[n].Last = d.day
				continue
			}
			open[c] = len(out)
			out = append(out, CodeSpell{Code: c, First: d.day, Last: d.day, Again: seen[c]})
			seen[c] = true
		}
		for n := range out {
			s := &out[n]
			if s.Gone != 0 || slices.Contains(d.codes, s.Code) {
				continue
			}
			s.Gone, s.How = d.day, how(a, s, &days[i-1], d)
			delete(open, s.Code)
		}
	}
	return out
}

// scanDays gathers the scans by day, in the order of time: exports give a row
// a code.
func scanDays(v *score.Vehicle) []scanDay {
	var out []scanDay
	scans := slices.Clone(v.Scans)
	slices.SortStableFunc(scans, func(a, b score.Scan) int { return cmp.Compare(a.Day, b.Day) })
	for i := range scans {
		s := &scans[i]
		if len(out) == 0 || out[len(out)-1].day != s.Day {
			out = append(out, scanDay{day: s.Day, km: s.KM, since: s.SinceClear})
		}
		d := &out[len(out)-1]
		for _, c := range s.Codes {
			if !slices.Contains(d.codes, c.Code) {
				d.codes = append(d.codes, c.Code)
			}
		}
		if s.SinceClear.Known && (!d.since.Known || s.SinceClear.Value < d.since.Value) {
			d.since = s.SinceClear
		}
	}
	return out
}

// how says after what a code was gone: the last work between the two scans,
// else an erase, else nothing on record.
func how(a *score.Assessment, s *CodeSpell, before, after *scanDay) say.Text {
	if r := workBetween(a, s.Last, after.day); r != nil {
		f := score.Fact{Text: r.Text}
		if r.Day == 0 {
			return say.F("after %s", quoted(&f))
		}
		return say.F("after %s on %s", quoted(&f), say.Day(r.Day))
	}
	if after.since.Known && before.km.Known && after.km.Known && after.since.Value <= after.km.Value-before.km.Value {
		return say.F("after the memory was erased, with no repair on record")
	}
	return say.F("by itself")
}

// workBetween finds the last repair that was done from one day to another.
func workBetween(a *score.Assessment, from, to score.Day) *score.Repair {
	var last *score.Repair
	for i := range a.Vehicle.Repairs {
		r := &a.Vehicle.Repairs[i]
		if r.Day < from || r.Day > to || r.Status == phrase.Declined || r.Status == phrase.Recommended || notDone(a, r) {
			continue
		}
		if last == nil || r.Day >= last.Day {
			last = r
		}
	}
	return last
}

// notDone tells that a part's story reads the row as advice or refusal.
func notDone(a *score.Assessment, r *score.Repair) bool {
	for i := range a.Findings {
		for j := range a.Findings[i].Facts {
			f := &a.Findings[i].Facts[j]
			if f.Ref == r.Ref && f.Text == r.Text && (f.Kind == score.FactDeclined || f.Kind == score.FactRecommended) {
				return true
			}
		}
	}
	return false
}

// Text tells the spell in words: "P0087 read from 11 Nov 2026 to 20 Nov 2026;
// gone on 27 Nov 2026 by itself".
func (s *CodeSpell) Text() say.Text {
	code, first, last := s.Code.String(), say.Day(s.First), say.Day(s.Last)
	var read say.Text
	switch once := s.First == s.Last; {
	case once && s.Again:
		read = say.F("%s back, read on %s", code, first)
	case once:
		read = say.F("%s read on %s", code, first)
	case s.Again:
		read = say.F("%s back, read from %s to %s", code, first, last)
	default:
		read = say.F("%s read from %s to %s", code, first, last)
	}
	if s.Gone == 0 {
		return read
	}
	return say.F("%s; gone on %s %s", read, say.Day(s.Gone), s.How)
}

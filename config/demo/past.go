package demo

import "math/rand/v2"

// lookBack draws what earlier years left on paper of the same lives: a scan
// about once a year, and what drivers wrote when a part had become worn. It
// has a stream of its own, so that the fleet of today stays as it is: what
// today's list rests on is the latest scan and the vehicle list's remarks.
//
// A part is heard or it is not: with the chance that the catalogue gives for
// words when worn, somebody writes of it within a month of the onset. What the
// remarks say today was written then, too; a remark without wear behind it was
// written on some day before.
func (v *vehicle) lookBack(rng *rand.Rand) {
	own := v.rng
	v.rng = rng
	defer func() { v.rng = own }()
	for _, l := range v.lives {
		for _, s := range l.spans {
			heard := l.heard
			if past := v.when(l.part, s.to) < today; past {
				heard = v.chance(l.part.words.worn)
			}
			if heard {
				v.noted(l, v.when(l.part, s.from)+1+day(v.rng.IntN(30)), v.when(l.part, s.to)-1)
			}
		}
		if l.heard && !l.wornAt(v.at(l.part, sheetDay)) {
			v.noted(l, v.dayBetween(max(v.recordsFrom, l.renewedOn)+1, today-8), today-8)
		}
	}
	v.oldScans = v.yearly()
}

// noted writes a symptom into the workshop's book on a day, at the latest on
// another. What lies before the records is lost.
func (v *vehicle) noted(l *partLife, on, latest day) {
	on = min(on, latest)
	if on <= v.recordsFrom || on >= today {
		return
	}
	v.notes = append(v.notes, repair{day: on, text: pick(v, v.says(l).symptom)})
}

// yearly draws the scans of earlier years, for vehicles that have one of
// lately, which alone counts today. An older scan that is there already gets
// the codes of its day.
func (v *vehicle) yearly() []scan {
	if len(v.scans) == 0 {
		return nil
	}
	for i := range v.scans {
		if s := &v.scans[i]; s.spare {
			s.codes = append(s.codes, v.shown(s.day)...)
		}
	}
	var out []scan
	first := v.scans[0].day
	for d := max(v.recordsFrom+60, today-2100) + day(v.rng.IntN(380)); d < first-20; d += day(330 + v.rng.IntN(80)) {
		if v.chance(0.85) {
			out = append(out, scan{day: d, since: -1, codes: append(v.shown(d), v.otherCodes()...)})
		}
	}
	return out
}

// shown draws the codes of every part on a day.
func (v *vehicle) shown(d day) []string {
	var out []string
	for _, l := range v.lives {
		out = append(out, v.codesOf(l, d, -1, 0)...)
	}
	return out
}

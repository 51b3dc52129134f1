package demo

import (
	"math"
	"slices"
)

// observe draws what people and scan tools saw of the true states: codes by
// the rates of the catalogue, words on the defect sheet, measured play.
func (v *vehicle) observe() {
	v.drawScan()
	for _, l := range v.lives {
		v.hear(l)
		v.measureIn(l)
		v.talk(l)
	}
	v.earlierScan()
	if v.hoursWeek[1] > 0 {
		v.meters = append(v.meters, max(v.recordsFrom, v.inService+20))
		for d := max(v.recordsFrom+60, today-1400+day(v.rng.IntN(90))); d < today-3; d += 330 {
			v.meters = append(v.meters, d)
		}
	}
}

// drawScan draws the latest reading of the fault memory.
func (v *vehicle) drawScan() {
	if !v.chance(0.82) {
		return
	}
	s := scan{day: today - 1 - day(v.rng.IntN(75))}
	if s.day <= v.recordsFrom+10 {
		return
	}
	treated := v.treat(s.day)
	s.since = v.sinceErased(s.day, treated)
	for _, l := range v.lives {
		s.codes = append(s.codes, v.codesOf(l, s.day, s.since, treated[l])...)
	}
	s.codes = append(s.codes, v.otherCodes()...)
	v.scans = append(v.scans, s)
}

// treat draws the renewals of sensors and hoses before the scan that treat a
// part's symptom. They come whatever the part's state, after a code that a
// scan of the time showed.
func (v *vehicle) treat(scanned day) map[*partLife]day {
	out := map[*partLife]day{}
	for _, l := range v.lives {
		if l.part.codes.backWorn == 0 || !v.chance(0.28) {
			continue
		}
		d := v.dayBetween(scanned-120, scanned-9)
		if d <= v.recordsFrom+20 || d <= l.renewedOn {
			continue
		}
		out[l] = d
		v.repairs = append(v.repairs, repair{day: d, text: pick(v, v.says(l).treat), status: "done", cost: 240})
		v.scans = append(v.scans, scan{day: d - 1 - day(v.rng.IntN(3)), codes: v.someCodes(l), since: -1})
	}
	return out
}

// someCodes is what a scan before a treatment showed.
func (v *vehicle) someCodes(l *partLife) []string {
	r := pick(v, l.part.codes.rules)
	return pick(v, r.sets)
}

// sinceErased is the distance since codes were erased, as written: at most
// that since the last treatment or renewal, sometimes a few km only, sometimes
// not written down.
func (v *vehicle) sinceErased(scanned day, treated map[*partLife]day) float64 {
	most := math.Inf(1)
	for _, d := range treated {
		most = min(most, v.km(scanned)-v.km(d))
	}
	for _, l := range v.lives {
		if l.renewedOn > v.recordsFrom && l.renewedOn <= scanned {
			most = min(most, v.km(scanned)-v.km(l.renewedOn))
		}
	}
	switch {
	case v.chance(0.14):
		return math.Floor(min(most, v.between(1, 30)))
	case most < 1200:
		return math.Floor(most)
	case v.chance(0.4):
		return -1
	}
	return math.Floor(min(most, v.between(400, 9000)))
}

// codesOf draws the codes of one part on a scan.
func (v *vehicle) codesOf(l *partLife, scanned day, since float64, treatedOn day) []string {
	c := &l.part.codes
	worn := l.wornAt(v.at(l.part, scanned))
	ready := 1.0
	if since >= 0 {
		ready = -math.Expm1(-since / c.toSet)
	}
	if treatedOn != 0 {
		rate := c.backNo
		if worn {
			rate = c.backWorn
		}
		if v.chance(rate * ready) {
			return pick(v, c.rules[0].sets)
		}
		return nil
	}
	u := v.rng.Float64()
	for _, r := range c.rules {
		rate := r.no
		switch {
		case worn:
			rate = r.worn
		case l.known && !l.member:
			rate *= 3 // outside the ranges nothing is weighed: sensors fail there as they do
		}
		if u -= rate * ready; u < 0 {
			return pick(v, r.sets)
		}
	}
	return nil
}

// otherCodes are those of no entry: they make "has a code" a poor rule.
func (v *vehicle) otherCodes() []string {
	if !v.chance(0.17) {
		return nil
	}
	if v.heavy {
		return []string{pick(v, []string{"SPN 168 FMI 1", "SPN 97 FMI 3", "SPN 1387 FMI 4", "SPN 84 FMI 2"})}
	}
	return []string{pick(v, []string{"P0442", "P0456", "B1015", "C0040", "U0184", "P0128"})}
}

// hear draws the defect sheet's words; it is filled for every vehicle, so that
// silence counts.
func (v *vehicle) hear(l *partLife) {
	w := &l.part.words
	rate := w.no
	if l.wornAt(v.at(l.part, sheetDay)) && l.renewedOn < sheetDay {
		rate = w.worn
	}
	says := v.says(l)
	switch {
	case v.chance(rate):
		l.heard = true
		v.remarks = append(v.remarks, pick(v, says.symptom))
	case v.chance(0.10):
		v.remarks = append(v.remarks, pick(v, says.denied))
	}
}

// measureIn draws the value taken in the yard without opening.
func (v *vehicle) measureIn(l *partLife) {
	m := &l.part.measure
	if m.name == "" || !v.chance(0.3) {
		return
	}
	d := v.dayBetween(today-300, today-4)
	if d <= l.renewedOn || d <= v.recordsFrom+15 {
		return
	}
	rate := m.over
	if l.wornAt(v.at(l.part, d)) {
		rate = m.overWorn
	}
	value := m.limit * v.between(0.1, 0.85)
	if v.chance(rate) {
		value = m.limit * v.between(1.1, 2)
	}
	word := map[string]string{english: "not opened", norsk: "ikke åpnet"}[v.lang]
	v.inspections = append(v.inspections, inspection{d, v.says(l).name, word, m.name, math.Round(value*20) / 20})
}

// talk writes recommendations and refusals, which change nothing: they are
// drawn without a look at the part.
func (v *vehicle) talk(l *partLife) {
	if !v.chance(0.06) {
		return
	}
	d := v.dayBetween(max(v.recordsFrom, today-900)+12, today-8)
	status := "recommended"
	if v.chance(0.4) {
		status = "declined"
	}
	v.repairs = append(v.repairs, repair{day: d, text: pick(v, v.says(l).advise), status: status})
}

// earlierScan adds an older scan to some vehicles that have a later one, which
// alone counts, and puts all scans in order.
func (v *vehicle) earlierScan() {
	if v.chance(0.3) && today-700 > v.recordsFrom && len(v.scans) > 0 {
		v.scans = append(v.scans, scan{day: v.dayBetween(today-600, today-260), since: -1, codes: v.otherCodes(), spare: true})
	}
	slices.SortStableFunc(v.scans, func(a, b scan) int { return int(a.day - b.day) })
	slices.SortStableFunc(v.repairs, func(a, b repair) int { return int(a.day - b.day) })
	slices.SortStableFunc(v.inspections, func(a, b inspection) int { return int(a.day - b.day) })
}

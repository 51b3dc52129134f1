package odometer

import (
	"cmp"
	"slices"

	"pitlist/score/say"
)

// point is a reading under assessment.
type point struct {
	day   Day
	km    float64 // as put right, once a cause did so
	index int     // into the caller's readings
	kept  bool
}

// assessment is an Estimate in the making.
type assessment struct {
	readings []Reading
	limits   Limits
	usage    Usage
	points   []point // credible by themselves, in order of day, then km
	causes   []cause
}

// cause is one finding with the sentence that shows it.
type cause struct {
	finding Finding
	words   say.Text
}

// Assess estimates the distance on the day today from readings in any order. Readings after today are
// not looked at. It never fails: where no reading is credible, Known is false.
func Assess(readings []Reading, today Day, u Usage, l Limits) Estimate {
	a := assessment{readings: readings, limits: l.withDefaults()}
	a.usage = Usage{Stated: positive(u.Stated, 0), Default: positive(u.Default, 0), Unit: u.Unit}
	odd := a.sort(today)
	if !a.agrees() {
		a.sortOut()
	} else if !a.endTooFast() {
		for i := range a.points {
			a.points[i].kept = true
		}
	}
	e := Estimate{Odd: odd}
	e.today = today
	a.collect(&e)
	perDay, n := a.perDay(e.knots)
	e.PerWeek = perDay * daysPerWeek
	a.tooFast(e.knots)
	a.conclude(&e, n)
	return e
}

// sort orders the readings that can be true by themselves and returns the others.
func (a *assessment) sort(today Day) (odd []int) {
	a.points = make([]point, 0, len(a.readings))
	sorted := true
	highest := 0.0
	for i := range a.readings {
		r := &a.readings[i]
		if r.Day > today {
			continue
		}
		if !(r.KM >= 0 && r.KM <= a.limits.Highest) {
			odd = append(odd, i)
			a.causes = append(a.causes, cause{Implausible, say.F("%s cannot be a distance driven; it was left out; read the odometer again.", a.shown(i))})
			continue
		}
		p := point{day: r.Day, km: r.KM, index: i}
		if n := len(a.points); n > 0 && a.before(p, a.points[n-1]) < 0 {
			sorted = false
		}
		highest = max(highest, r.KM)
		a.points = append(a.points, p)
	}
	if !sorted {
		slices.SortFunc(a.points, a.before)
	}
	return append(odd, a.dropZeros(highest)...)
}

// before orders points totally by what is in the readings, so that the order of rows changes nothing.
func (a *assessment) before(p, q point) int {
	if p.day != q.day {
		return int(p.day) - int(q.day)
	}
	if c := cmp.Compare(p.km, q.km); c != 0 {
		return c
	}
	r, s := &a.readings[p.index], &a.readings[q.index]
	return cmp.Or(cmp.Compare(r.Source, s.Source), cmp.Compare(r.Unit, s.Unit), cmp.Compare(r.Ref, s.Ref))
}

// dropZeros removes readings of 0 that tell nothing: any that stands alone or follows a positive
// one. Sheets write 0 for "not known", above all where no reading need be disclosed (49 CFR 580.17).
func (a *assessment) dropZeros(highest float64) (odd []int) {
	left, positive := a.points[:0], false
	for _, p := range a.points {
		positive = positive || p.km > 0
		if p.km == 0 && (positive || highest == 0) {
			odd = append(odd, p.index)
			continue
		}
		left = append(left, p)
	}
	a.points = left
	return odd
}

// agrees reports whether every reading follows from the highest before it.
func (a *assessment) agrees() bool {
	if len(a.points) == 0 {
		return true
	}
	high := a.points[0]
	for _, p := range a.points[1:] {
		if !a.limits.follows(high, p) {
			return false
		}
		p.km = max(p.km, high.km)
		high = p
	}
	return true
}

// follows reports whether b can come after a: no fall beyond rounding, no impossible speed.
func (l *Limits) follows(a, b point) bool {
	return b.km >= a.km-l.slack(a.km) && b.km-a.km <= l.reach(a, b)
}

// reach is the most that can be driven from a to b.
func (l *Limits) reach(a, b point) float64 {
	return l.mostPerDay()*(float64(b.day)-float64(a.day)) + burstKM
}

// collect fills in the knots, and the indices kept and left out.
func (a *assessment) collect(e *Estimate) {
	e.Used = make([]int, 0, len(a.points))
	e.knots = make([]knot, 0, len(a.points))
	for _, p := range a.points {
		if !p.kept {
			e.Odd = append(e.Odd, p.index)
			continue
		}
		e.Used = append(e.Used, p.index)
		e.knots = append(e.knots, knot{p.day, p.km})
	}
	e.knots = rising(e.knots)
	if n := len(e.knots); n > 0 {
		e.last, e.seen = e.knots[n-1], true
	}
	if len(e.Odd) > 1 {
		a.inOrder(e.Odd)
	}
}

// inOrder sorts indices by what their readings hold.
func (a *assessment) inOrder(indices []int) {
	slices.SortFunc(indices, func(i, j int) int {
		r, s := &a.readings[i], &a.readings[j]
		return a.before(point{day: r.Day, km: r.KM, index: i}, point{day: s.Day, km: s.KM, index: j})
	})
}

// rising leaves one knot a day and lifts each to the highest before it, in place.
func rising(knots []knot) []knot {
	out := knots[:0]
	for _, k := range knots {
		if n := len(out); n > 0 {
			k.km = max(k.km, out[n-1].km)
			if out[n-1].day == k.day {
				out[n-1] = k
				continue
			}
		}
		out = append(out, k)
	}
	return out
}

// perDay returns the usage in km a day: as stated, else by slope, else the job's default. The count
// is the number of readings behind a slope, or 0.
func (a *assessment) perDay(knots []knot) (float64, int) {
	if a.usage.Stated > 0 {
		return a.usage.Stated / daysPerWeek, 0
	}
	if s, n := slope(knots, &a.limits); n > 0 {
		return min(max(s, 0), a.limits.mostPerDay()), n
	}
	return a.usage.Default / daysPerWeek, 0
}

// conclude carries the last reading to the day asked for and puts findings into words.
func (a *assessment) conclude(e *Estimate, slopeOf int) {
	e.Finding, e.Detail = a.gravest()
	e.unit = a.usage.Unit
	day, km, known := e.Last()
	if !known {
		e.pace = unread
		if len(e.Odd) > 0 {
			e.pace = incredible
		}
		return
	}
	e.Known = true
	e.KM = km + e.carry(e.today, day)
	e.pace, e.slopeOf = a.paceOf(slopeOf), int32(slopeOf)
}

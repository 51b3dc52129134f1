package odometer

import "math"

// The change of a vehicle's readings at a lasting fall, and what may have caused it.

// Limits of what fits; all ours.
const (
	ratioLow, ratioHigh = 1.55, 1.67 // band around KMPerMile that suggests miles and kilometres mixed
	usageSpread         = 3          // a distance fits if it is at most so many times the usual one
	usageSlackKM        = 2000       // ...and this
	nearRollover        = 0.9        // share of a counter's range that a drop must reach to speak for itself
	nearUsual, nearKM   = 0.5, 500   // a distance is about usual if it is off by no more than this share, or this
	newCounterKM        = 1000       // a new counter starts below this, plus what was driven since
	oldCounterKM        = 10000      // a counter is not changed on a vehicle younger than this
)

// averagePerYear is the distance of a light vehicle, used to judge what fits where nothing else
// tells: 18,054 km a year, all light duty (FHWA table VM-1M, 2009).
const averagePerYear = 18054

// expected returns the usage in km a day that decides what fits, and whether readings told it.
func (a *assessment) expected(points []int) (perDay float64, told bool) {
	knots := make([]knot, 0, len(points))
	for _, i := range points {
		knots = append(knots, knot{a.points[i].day, a.points[i].km})
	}
	perDay, n := a.perDay(rising(knots))
	if perDay <= 0 {
		perDay = averagePerYear / daysPerYear
	}
	return perDay, n > 0 || a.usage.Stated > 0
}

// fits reports whether v can be the distance at p's successor, given the usage.
func (a *assessment) fits(p point, v float64, days, perDay float64) bool {
	return v >= p.km-a.limits.slack(p.km) && v-p.km <= usageSpread*perDay*days+usageSlackKM
}

// fallOf is a lasting fall: what was read before, what after, and the usage around it.
type fallOf struct {
	before, after []int // into points
	last, first   point // the readings on both sides
	days          float64
	perDay        float64
	told          bool // perDay comes from readings or was stated
}

// change explains the fall between two agreeing sets of readings and puts one of them right where the
// cause allows it. It reports whether what remains is a suspected rollback, whose later readings are left out.
func (a *assessment) change(before, after []int) (rolledBack bool) {
	f := fallOf{before: before, after: after}
	f.last, f.first = a.points[before[len(before)-1]], a.points[after[0]]
	for _, i := range before {
		f.last.km = max(f.last.km, a.points[i].km)
	}
	f.days = float64(f.first.day) - float64(f.last.day)
	f.perDay, f.told = a.expected(before)
	if !f.told {
		f.perDay, f.told = a.expected(after)
	}
	switch {
	case a.unitChange(&f), a.rollover(&f), a.digitChange(&f), a.newCounter(&f):
		return false
	}
	for _, i := range after {
		a.points[i].kept = false
	}
	a.blameRollback(f.last, f.first)
	return true
}

// scale multiplies points by a factor.
func (a *assessment) scale(points []int, factor float64) {
	for _, i := range points {
		a.points[i].km *= factor
	}
}

// shift adds a distance to points.
func (a *assessment) shift(points []int, km float64) {
	for _, i := range points {
		a.points[i].km += km
	}
}

// holds reports whether points still agree among themselves once multiplied: a cause must explain
// all the readings on its side, not only the first.
func (a *assessment) holds(points []int, factor float64) bool {
	for i := 1; i < len(points); i++ {
		p, q := a.points[points[i-1]], a.points[points[i]]
		p.km *= factor
		q.km *= factor
		if !a.limits.follows(p, q) {
			return false
		}
	}
	return true
}

// unitChange tries miles: the readings after the fall are miles, or those before were kilometres
// that a stated "mi" multiplied. The smaller set is the wrong one.
func (a *assessment) unitChange(f *fallOf) bool {
	predicted := f.last.km + f.perDay*f.days
	if !inBand(predicted/f.first.km) && !inBand(f.last.km/f.first.km) {
		return false
	}
	v := f.first.km * KMPerMile
	possible := v >= f.last.km-a.limits.slack(f.last.km) && v-f.last.km <= a.limits.reach(f.last, f.first)
	switch {
	case !possible:
		return false
	case len(f.before) <= len(f.after) && a.readings[f.last.index].Unit == miles:
		a.scale(f.before, 1/KMPerMile)
		a.blame(UnitMixUp, a.unitWords(f.last.index, false))
	case len(f.before) >= len(f.after) && a.readings[f.first.index].Unit != miles && a.holds(f.after, KMPerMile):
		a.scale(f.after, KMPerMile)
		a.blame(UnitMixUp, a.unitWords(f.first.index, true))
	default:
		return false
	}
	return true
}

// miles is how Reading.Unit states miles.
const miles = "mi"

func inBand(ratio float64) bool { return ratio >= ratioLow && ratio <= ratioHigh }

// digitChange tries a digit too many before the fall (tenths read as kilometres) or one missing after
// it. Where both fit, the smaller set is the wrong one, else the unusually high one.
func (a *assessment) digitChange(f *fallOf) bool {
	const ten = 10
	missing := a.fits(f.last, f.first.km*ten, f.days, f.perDay) && a.holds(f.after, ten)
	tenth := f.last
	tenth.km /= ten
	tooMany := a.fits(tenth, f.first.km, f.days, max(f.perDay/ten, averagePerYear/daysPerYear))
	if missing && tooMany {
		tooMany = len(f.before) < len(f.after) || len(f.before) == len(f.after) && f.last.km > a.limits.unusual()
	}
	switch {
	case tooMany:
		a.scale(f.before, 1.0/ten)
		a.blame(DigitSlip, a.slipWords(f.last.index, f.last.km/ten, true))
	case missing:
		a.scale(f.after, ten)
		a.blame(DigitSlip, a.slipWords(f.first.index, f.first.km*ten, true))
	}
	return tooMany || missing
}

// rollover tries counters of five and six digits that passed their end: then the distance is the
// reading plus the counter's range. The drop is nearly the range, or what was then driven is about usual.
func (a *assessment) rollover(f *fallOf) bool {
	highest := f.last.km
	for _, i := range f.after {
		highest = max(highest, a.points[i].km)
	}
	for _, r := range [...]float64{1e5, 1e6} {
		v := f.first.km + r
		if highest >= r || !a.fits(f.last, v, f.days, f.perDay) {
			continue
		}
		usual := f.perDay * f.days
		if f.last.km-f.first.km >= nearRollover*r || math.Abs(v-f.last.km-usual) <= nearUsual*usual {
			a.shift(f.after, r)
			a.blame(Rollover, a.rolloverWords(f, r))
			return true
		}
	}
	return false
}

// newCounter tries a counter that began at about 0 since the last reading: the distances add up.
func (a *assessment) newCounter(f *fallOf) bool {
	near0 := f.first.km <= newCounterKM+usageSpread*f.perDay*f.days
	if !near0 || f.last.km < oldCounterKM || f.first.km > f.last.km/2 {
		return false
	}
	a.shift(f.after, f.last.km)
	a.blame(CounterChange, a.counterWords(f))
	return true
}

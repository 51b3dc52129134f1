package odometer

import (
	"math"
	"strconv"

	"pitlist/score/say"
)

// oddOne is a single reading that does not agree, with its neighbours and what would fit in its place.
type oddOne struct {
	point
	before, after *point  // nearest kept neighbours; nil none
	low, high     float64 // km that would fit
	predicted     float64 // km that would fit best
	usual         float64 // km driven between the neighbours, or since the only one, at the usual rate
	told          bool    // the usual rate comes from readings or was stated
}

// explainOne looks for the cause of one reading that was left out, and keeps it as put right where
// the cause allows it.
func (a *assessment) explainOne(i int) {
	o := a.around(i)
	p := &a.points[i]
	switch {
	case a.oneUnit(&o, p), a.oneSlip(&o), a.oneFall(&o, p), a.otherOne(i, o.before):
		return
	}
	a.blame(Implausible, say.F("%s does not fit the readings around it; it was left out; read the odometer again.", a.shown(p.index)))
}

// around gathers the neighbours of point i and what would fit between them.
func (a *assessment) around(i int) oddOne {
	o := oddOne{point: a.points[i]}
	var kept []int
	for k := range a.points {
		if !a.points[k].kept {
			continue
		}
		kept = append(kept, k)
		switch q := &a.points[k]; {
		case k < i && (o.before == nil || q.km >= o.before.km):
			o.before = q
		case k > i && o.after == nil:
			o.after = q
		}
	}
	perDay, told := a.expected(kept)
	o.told = told
	a.window(&o, perDay)
	return o
}

// window sets low, high and predicted; at least one neighbour is kept.
func (a *assessment) window(o *oddOne, perDay float64) {
	switch b, c := o.before, o.after; {
	case b != nil && c != nil:
		o.low, o.high = b.km-a.limits.slack(b.km), c.km+a.limits.slack(c.km)
		o.usual = max(0, c.km-b.km)
		o.predicted = (b.km + c.km) / 2
		if c.day > b.day {
			o.predicted = between(knot{b.day, b.km}, knot{c.day, max(b.km, c.km)}, o.day)
		}
	case b != nil:
		o.usual = perDay * (float64(o.day) - float64(b.day))
		o.low, o.high = b.km-a.limits.slack(b.km), b.km+usageSpread*o.usual+usageSlackKM
		o.predicted = b.km + o.usual
	case c != nil:
		o.usual = perDay * (float64(c.day) - float64(o.day))
		o.low, o.high = max(0, c.km-usageSpread*o.usual-usageSlackKM), c.km+a.limits.slack(c.km)
		o.predicted = max(0, c.km-o.usual)
	}
}

// oneUnit tries miles read as kilometres, and the reverse; the reading is then kept as converted.
func (a *assessment) oneUnit(o *oddOne, p *point) bool {
	stated := a.readings[o.index].Unit
	for _, inMiles := range [...]bool{true, false} {
		v := o.km * KMPerMile
		ratio := o.predicted / o.km
		if inMiles && stated == miles {
			continue // it was converted already
		}
		if !inMiles {
			v = o.km / KMPerMile
			ratio = o.km / o.predicted
		}
		if a.unitFits(o, v, ratio) {
			p.km, p.kept = v, true
			a.blame(UnitMixUp, a.unitWords(p.index, inMiles))
			return true
		}
	}
	return false
}

// unitFits accepts v where it can stand between the neighbours, and the ratio to what was expected is
// in the band or v comes within the usual spread of it: over a long gap on a young vehicle the usage
// blurs the ratio. Where no reading tells the usage, the spread is wider.
func (a *assessment) unitFits(o *oddOne, v, ratio float64) bool {
	if o.before != nil && (v < o.low || v-o.before.km > a.limits.reach(*o.before, o.point)) {
		return false
	}
	if o.after != nil && (v > o.high || o.after.km-v > a.limits.reach(o.point, *o.after)) {
		return false
	}
	spread := nearUsual*o.usual + nearKM
	if !o.told {
		spread = o.usual + nearKM
	}
	return inBand(ratio) || math.Abs(v-o.predicted) <= spread && o.after == nil
}

// oneSlip tries the typing slips: a digit missing or too many, two neighbours swapped, thousands. The
// reading is left out all the same, as which slip it was stays a guess.
func (a *assessment) oneSlip(o *oddOne) bool {
	factor := 1.0
	if a.readings[o.index].Unit == miles {
		factor = KMPerMile // the slip was made in miles
	}
	low, high := o.low, o.high
	for i, n := range slips(int64(math.Round(o.km/factor)), o.low/factor, o.predicted/factor) {
		if i == tenfold && (o.before == nil || o.after == nil) {
			// With one neighbour only the wide window would let a swap explain one rollback in eight.
			low, high = max(low, o.predicted-nearUsual*o.usual-nearKM), min(high, o.predicted+nearUsual*o.usual+nearKM)
		}
		if v := float64(n) * factor; v >= low && v <= high {
			a.blame(DigitSlip, a.slipWords(o.index, v, false))
			return true
		}
	}
	return false
}

// tenfold is how many slips of a last digit come first in the list of slips.
const tenfold = 2

// slips lists the numbers that n may be a slip of. A missing last digit is filled in as expected.
func slips(n int64, low, expected float64) []int64 {
	const ten, thousand = 10, 1000
	missing := func(unit int64) int64 {
		rest := int64(min(max(expected-float64(n*unit), 0), float64(unit-1)))
		return n*unit + rest
	}
	if n <= 0 {
		return nil
	}
	list := []int64{n / ten, missing(ten), missing(thousand)}
	digits := strconv.FormatInt(n, ten)
	for i := range len(digits) - 1 {
		if digits[i] == digits[i+1] {
			continue // the number itself is no slip
		}
		swapped := []byte(digits)
		swapped[i], swapped[i+1] = swapped[i+1], swapped[i]
		list = append(list, number(string(swapped)))
	}
	if float64(n) < low {
		return list
	}
	for i := range len(digits) { // a digit typed twice or in between
		list = append(list, number(digits[:i]+digits[i+1:]))
	}
	return list
}

func number(digits string) int64 {
	n, err := strconv.ParseInt(digits, 10, 64)
	if err != nil {
		return 0
	}
	return n
}

// oneFall tries what a last reading below the others may be: the counter's end, a new counter, or a
// suspected rollback.
func (a *assessment) oneFall(o *oddOne, p *point) bool {
	if o.before == nil || o.after != nil || o.km >= o.low {
		return false
	}
	var at int
	for i := range a.points {
		if &a.points[i] == p {
			at = i
		}
	}
	f := fallOf{after: []int{at}, last: *o.before, first: o.point, told: o.told}
	f.days = float64(o.day) - float64(o.before.day)
	f.perDay = o.usual / max(1, f.days)
	if a.rollover(&f) || a.newCounter(&f) {
		p.kept = true
		return true
	}
	a.blameRollback(*o.before, o.point)
	return true
}

// otherOne tries the reading before as the bad one in place of point i: of two readings that
// contradict each other the chain kept the higher, but a cause may speak for the lower. It must stand
// between others, else too much would fit.
func (a *assessment) otherOne(i int, before *point) bool {
	if before == nil {
		return false
	}
	p := &a.points[i]
	before.kept, p.kept = false, true
	for k := range a.points {
		if &a.points[k] != before {
			continue
		}
		o := a.around(k)
		if between := o.before != nil && o.after != nil; between && a.fitsIn(i) && (a.oneUnit(&o, before) || a.oneSlip(&o)) {
			return true
		}
	}
	before.kept, p.kept = true, false
	return false
}

// fitsIn reports whether point i agrees with its kept neighbours.
func (a *assessment) fitsIn(i int) bool {
	o := a.around(i)
	return (o.before == nil || a.limits.follows(*o.before, o.point)) && (o.after == nil || a.limits.follows(o.point, *o.after))
}

// endTooFast looks at the last reading, then the first, where all agree but the stretch to it is faster
// than the yearly limit and far beyond the usage: miles and kilometres mixed, or a digit too many, can
// hide there. It reports whether it settled the points.
func (a *assessment) endTooFast() bool {
	const enough = 3
	n := len(a.points)
	if n < enough {
		return false
	}
	for _, end := range [...][2]int{{n - 1, n - 2}, {0, 1}} {
		if !a.fast(a.points[min(end[0], end[1])], a.points[max(end[0], end[1])]) {
			continue
		}
		for i := range a.points {
			a.points[i].kept = i != end[0]
		}
		o := a.around(end[0])
		if (o.km > o.high || o.km < o.low) && (a.oneUnit(&o, &a.points[end[0]]) || a.oneSlip(&o)) {
			return true
		}
	}
	return false
}

// fast reports whether the stretch from p to q is above the yearly limit.
func (a *assessment) fast(p, q point) bool {
	days := float64(q.day) - float64(p.day)
	return q.km-p.km > a.limits.WarnPerYear/daysPerYear*days+burstKM
}

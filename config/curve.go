package config

import (
	"fmt"
	"math"

	"pitlist/score"
	"pitlist/score/life"
)

// The sensible middle (median or scale) of a curve on each axis. The lower
// ends catch thousands of km written as km, and years as months; the upper
// ones a logarithm or a lifetime that no vehicle reaches. Own judgement.
var middles = map[score.Axis]struct {
	low, high float64
	hint      string
}{
	score.ByKM:     {500, 1e8, "distances are in km: is this in thousands of km?"},
	score.ByHours:  {5, 1e6, "distances are in engine hours: is this in another unit?"},
	score.ByMonths: {0.25, 1e4, "distances are in months: is this in years?"},
}

// The sensible shapes. A Weibull of shape 20 fails within a few percent of one
// distance; below 0.1 half fails before anything is driven. Own judgement.
var (
	weibullShape = span{low: 0.1, high: 20, say: "a shape lies between 0.1 and 20"}
	logSigma     = span{low: 0.01, high: 5, say: "sigma, of the logarithm, lies between 0.01 and 5"}
	logMu        = span{low: -50, high: 50, say: "mu is the mean of ln(distance), such as 11.9 for 147000 km"}
)

// curve reads a life distribution on the axis; nil where it is at fault. An
// axis that is not known skips the check of units.
func curve(f field, axis score.Axis) life.Distribution {
	g, ok := f.group("weibull", "lognormal", "exponential", "table")
	if !ok {
		return nil
	}
	if len(g.keys) != 1 {
		if len(f.node.Content) <= 2*len(g.keys) { // an unknown key was reported already
			f.faultf("write one of weibull, lognormal, exponential, table", "%s holds %d curves; it wants one", f.name(), len(g.keys))
		}
		return nil
	}
	var d life.Distribution
	switch {
	case g.get("weibull").written():
		d = weibull(g.get("weibull"), axis)
	case g.get("lognormal").written():
		d = lognormal(g.get("lognormal"), axis)
	case g.get("exponential").written():
		d = exponential(g.get("exponential"), axis)
	default:
		d = table(g.get("table"), axis)
	}
	if d == nil {
		return nil
	}
	if err := d.Validate(); err != nil {
		f.fault(err.Error(), "")
		return nil
	}
	return d
}

func weibull(f field, axis score.Axis) life.Distribution {
	g, ok := f.group("shape", "scale")
	if !ok {
		return nil
	}
	shape, ok1 := g.need("shape", "above 1 for wear, 1 for chance, below 1 for early failures").number(0, weibullShape)
	at := g.need("scale", "the distance by which 63.2 % are there")
	scale, ok2 := at.number(0, above0)
	if !ok1 || !ok2 || !sensible(at, scale, scale, axis) {
		return nil
	}
	return life.Weibull{Shape: shape, Scale: scale}
}

func lognormal(f field, axis score.Axis) life.Distribution {
	g, ok := f.group("mu", "sigma")
	if !ok {
		return nil
	}
	at := g.need("mu", "the mean of ln(distance)")
	mu, ok1 := at.number(0, logMu)
	sigma, ok2 := g.need("sigma", "the standard deviation of ln(distance)").number(0, logSigma)
	if !ok1 || !ok2 || !sensible(at, mu, math.Exp(mu), axis) {
		return nil
	}
	return life.Lognormal{Mu: mu, Sigma: sigma}
}

func exponential(f field, axis score.Axis) life.Distribution {
	g, ok := f.group("mean")
	if !ok {
		return nil
	}
	at := g.need("mean", "the mean distance")
	mean, ok := at.number(0, above0)
	if !ok || !sensible(at, mean, mean, axis) {
		return nil
	}
	return life.Exponential{Mean: mean}
}

// sensible checks the middle of a curve against its axis.
func sensible(at field, written, middle float64, axis score.Axis) bool {
	m, ok := middles[axis]
	if !ok || (middle >= m.low && middle <= m.high) {
		return true
	}
	what := fmt.Sprintf("%s is %g", at.name(), written)
	if written != middle {
		what += fmt.Sprintf(", which stands for %.3g", middle)
	}
	if middle < m.low {
		at.faultf(m.hint, "%s %s; no part is expected below %g", what, axis.Unit(), m.low)
	} else {
		at.faultf("check the unit, and whether the axis is right", "%s %s; no part is expected above %g", what, axis.Unit(), m.high)
	}
	return false
}

// table reads [[distance, share]…] with each point's own faults.
func table(f field, axis score.Axis) life.Distribution {
	if !f.written() || f.node.Kind != kindList {
		f.wants("a list of [distance, share]", "table: [ [80000, 0.02], [160000, 0.15] ]")
		return nil
	}
	before := len(f.s.faults)
	var points []life.Point
	for _, item := range f.items() {
		p, ok := point(item)
		if !ok {
			continue
		}
		if n := len(points); n > 0 {
			ascends(item, points[n-1], p)
		}
		points = append(points, p)
	}
	if len(f.s.faults) > before {
		return nil
	}
	if len(points) == 0 {
		f.fault("the table has no points", "table: [ [80000, 0.02], [160000, 0.15] ]")
		return nil
	}
	last := points[len(points)-1]
	if !sensible(f.items()[len(points)-1], last.Distance, last.Distance, axis) {
		return nil
	}
	t, err := life.NewTable(points)
	if err != nil {
		f.fault(err.Error(), "")
		return nil
	}
	return t
}

func point(f field) (life.Point, bool) {
	if f.node.Kind != kindList || len(f.node.Content) != 2 {
		f.wants("two numbers: [distance, share]", "")
		return life.Point{}, false
	}
	two := f.items()
	distance, ok1 := two[0].number(0, atLeast0)
	part, ok2 := two[1].number(0, span{low: 0, high: 1, openHigh: true, say: "a cumulative share is at least 0 and below 1"})
	return life.Point{Distance: distance, Share: part}, ok1 && ok2
}

// ascends checks a point against the one before it.
func ascends(f field, before, p life.Point) {
	two := f.items()
	if p.Distance <= before.Distance {
		two[0].faultf("order the points by distance", "the table's distance %g does not lie above the one before, %g", p.Distance, before.Distance)
	}
	if p.Share < before.Share {
		two[1].faultf("the share is cumulative: it cannot fall", "the curve decreases: share %g after %g", p.Share, before.Share)
	}
}

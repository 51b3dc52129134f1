package cohort

import (
	"math"

	"pitlist/score/life"
)

// family is the form of a curve, for the innermost loops.
type family uint8

const (
	weibull family = iota // the exponential too, its shape kept at 1
	lognormal
	table
)

// curve is one of the two distributions at one set of log-parameters, with what
// a quadrature needs to know of it.
type curve struct {
	family family
	a, b   float64 // ln scale and ln shape; mu and ln sigma; ln factor
	k      float64 // shape; sigma; factor
	of     life.Distribution
	marks  []float64 // distances that a quadrature should have as limits, ascending
	far    float64   // beyond it the density only falls; +Inf: not known
	power  int       // flattens the density and the share failed at 0
}

// jet is a curve at one distance: cumulative hazard and log hazard, each with
// its derivatives in the log-parameters.
type jet struct {
	cum, rate   float64
	dcum, drate [2]float64
}

// marked are the shares failed whose distances a quadrature has as limits; the
// first only for a lognormal, as a power flattens the others at 0.
var marked = [...]float64{0.002, 0.1, 0.5, 0.9, 0.998, 1 - 1e-6}

// newCurve is the curve of like's family at the log-parameters p.
func newCurve(like life.Distribution, p []float64) curve {
	c := curve{of: life.WithLogParameters(like, p), a: p[0], k: 1, power: 1, far: math.Inf(1)}
	shares := marked[1:]
	switch d := c.of.(type) {
	case life.Weibull:
		c.b, c.k = p[1], d.Shape
		if d.Shape != 1 {
			c.power = int(math.Min(8, math.Max(1, math.Ceil(4/d.Shape))))
		}
	case life.Lognormal:
		c.family, c.b, c.k, shares = lognormal, p[1], d.Sigma, marked[:]
	case *life.Table:
		c.family, c.k = table, math.Exp(p[0])
		c.marks = d.Knots()[1:]
		return c
	}
	for _, share := range shares {
		if q := c.of.Quantile(share); q > 0 && !math.IsInf(q, 1) {
			c.marks = append(c.marks, q)
		}
	}
	c.far = c.of.Quantile(0.9) // past the mode of every family here
	return c
}

// at is the curve at t > 0, whose natural logarithm is lt.
func (c *curve) at(t, lt float64) (j jet) {
	switch c.family {
	case weibull:
		z := c.k * (lt - c.a)
		h := math.Exp(z)
		j.cum, j.rate = h, c.b+z-lt
		j.dcum = [2]float64{-c.k * h, z * h}
		j.drate = [2]float64{-c.k, 1 + z}
	case lognormal:
		z := (lt - c.a) / c.k
		cum, rate := life.Hazards(c.of, t)
		mills := rate * c.k * t // normal density over its upper tail
		j.cum, j.rate = cum, math.Log(mills)-c.b-lt
		j.dcum = [2]float64{-mills / c.k, -mills * z}
		j.drate = [2]float64{-(mills - z) / c.k, -(mills-z)*z - 1}
	default:
		cum, rate := life.Hazards(c.of, t)
		j.cum, j.rate = cum, math.Log(rate)
		j.dcum, j.drate = [2]float64{cum, 0}, [2]float64{1, 0}
	}
	return j
}

// survival is the log of the share not failed by t, with its derivatives.
func (c *curve) survival(t float64) (log float64, d [2]float64) {
	if !(t > 0) {
		return 0, d
	}
	j := c.at(t, math.Log(t))
	return -j.cum, [2]float64{-j.dcum[0], -j.dcum[1]}
}

// row is one value at each node of a panel.
type row [perPanel]float64

// density writes the log density at the distances t, with its derivatives. The
// Weibull is written out: it is most of the work of a fit.
func (c *curve) density(t, log, d0, d1 *row) {
	if c.family == weibull {
		for i, u := range t {
			lu := math.Log(u)
			z := c.k * (lu - c.a)
			h := math.Exp(z)
			log[i] = c.b + z - lu - h
			d0[i] = c.k * (h - 1)
			d1[i] = 1 + z - z*h
		}
		return
	}
	for i, u := range t {
		j := c.at(u, math.Log(u))
		log[i], d0[i], d1[i] = j.rate-j.cum, j.drate[0]-j.dcum[0], j.drate[1]-j.dcum[1]
	}
}

// lasts adds to log the log share not failed by the distances t, and writes its
// derivatives.
func (c *curve) lasts(t, log, d0, d1 *row) {
	if c.family == weibull {
		for i, v := range t {
			z := c.k * (math.Log(v) - c.a)
			h := math.Exp(z)
			log[i] -= h
			d0[i] = c.k * h
			d1[i] = -z * h
		}
		return
	}
	for i, v := range t {
		j := c.at(v, math.Log(v))
		log[i] -= j.cum
		d0[i], d1[i] = -j.dcum[0], -j.dcum[1]
	}
}

// goes is lasts for the log share failed by the distances t.
func (c *curve) goes(t, log, d0, d1 *row) {
	for i, v := range t {
		j := c.at(v, math.Log(v))
		log[i] += math.Log(-math.Expm1(-j.cum))
		odds := 1 / math.Expm1(j.cum)
		d0[i], d1[i] = j.dcum[0]*odds, j.dcum[1]*odds
	}
}

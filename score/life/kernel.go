package life

import "math"

// jet is a function's value with its first and second derivative.
type jet struct{ f, d1, d2 float64 }

// kernel is a family reduced to its standard form: the distance t has
// z = k·(ln t − ln scale) distributed without parameters. The Weibull's k is its
// shape, the lognormal's 1/sigma.
type kernel interface {
	// survival is ln P(Z > z).
	survival(z float64) jet
	// density is the log density of Z at z.
	density(z float64) jet
	// between is ln P(a < Z <= b); a may be -Inf.
	between(a, b float64) float64
	// quantile is the z below which the share p in (0, 1) lies.
	quantile(p float64) float64
}

// extreme is the smallest extreme value distribution: the logarithm of a Weibull.
type extreme struct{}

func (extreme) survival(z float64) jet { e := math.Exp(z); return jet{-e, -e, -e} }

func (extreme) density(z float64) jet { e := math.Exp(z); return jet{z - e, 1 - e, -e} }

func (extreme) between(a, b float64) float64 {
	if math.IsInf(a, -1) {
		return math.Log(-math.Expm1(-math.Exp(b)))
	}
	// The difference of the cumulative hazards without cancellation.
	gap := math.Exp(a) * math.Expm1(b-a)
	return -math.Exp(a) + math.Log(-math.Expm1(-gap))
}

func (extreme) quantile(p float64) float64 { return math.Log(-math.Log1p(-p)) }

// normal is the standard normal: the logarithm of a lognormal.
type normal struct{}

func (normal) survival(z float64) jet {
	tail := logUpperTail(z)
	h := math.Exp(-z*z/2 - halfLog2Pi - tail)
	return jet{tail, -h, -h * (h - z)}
}

func (normal) density(z float64) jet { return jet{-z*z/2 - halfLog2Pi, -z, -1} }

func (normal) between(a, b float64) float64 {
	// Reckoned from the nearer tail, so that no digits go where both ends lie
	// on the same side.
	if a+b < 0 {
		a, b = -b, -a
	}
	upper := logUpperTail(a)
	if math.IsInf(b, 1) {
		return upper
	}
	return upper + math.Log(-math.Expm1(logUpperTail(b)-upper))
}

func (normal) quantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

package life

import (
	"errors"
	"fmt"
	"math"
)

// Weibull has the cumulative hazard (t/Scale)^Shape. Shape below 1: early
// failures dominate, and the density is unbounded at 0; above 1: wear-out.
type Weibull struct {
	Shape float64 // > 0, no unit
	Scale float64 // > 0, distance by which 63.2 % have failed
}

// CumHazard is (t/Scale)^Shape.
func (w Weibull) CumHazard(t float64) float64 {
	if !(t > 0) {
		return 0
	}
	return math.Exp(w.Shape * math.Log(t/w.Scale))
}

// Hazard is Shape/t · (t/Scale)^Shape.
func (w Weibull) Hazard(t float64) float64 { _, rate := w.hazards(t); return rate }

func (w Weibull) hazards(t float64) (cum, rate float64) {
	switch {
	case t > 0:
		cum = math.Exp(w.Shape * math.Log(t/w.Scale))
		return cum, w.Shape / t * cum
	case t < 0 || w.Shape > 1:
		return 0, 0
	case w.Shape == 1:
		return 0, 1 / w.Scale
	}
	return 0, math.Inf(1)
}

func (w Weibull) over(ts, logs, cum, rate []float64) {
	logScale := math.Log(w.Scale)
	logs, cum = logs[:len(ts)], cum[:len(ts)]
	for i, l := range logs {
		cum[i] = w.Shape * (l - logScale)
	}
	Exps(cum)
	if rate != nil {
		for i, t := range ts {
			rate[i] = w.Shape / t * cum[i]
		}
	}
}

// Quantile is Scale · (-ln(1-p))^(1/Shape).
func (w Weibull) Quantile(p float64) float64 {
	if !(p > 0 && p < 1) {
		return atEnds(p)
	}
	return w.Scale * math.Pow(-math.Log1p(-p), 1/w.Shape)
}

// Validate wants a finite shape and scale above 0.
func (w Weibull) Validate() error {
	return errors.Join(positive("weibull", "shape", w.Shape), positive("weibull", "scale", w.Scale))
}

// Exponential has a constant hazard.
type Exponential struct {
	Mean float64 // > 0, mean distance
}

// CumHazard is t/Mean.
func (e Exponential) CumHazard(t float64) float64 { return math.Max(0, t) / e.Mean }

// Hazard is 1/Mean.
func (e Exponential) Hazard(t float64) float64 {
	if t < 0 {
		return 0
	}
	return 1 / e.Mean
}

// Quantile is -Mean · ln(1-p).
func (e Exponential) Quantile(p float64) float64 {
	if !(p > 0 && p < 1) {
		return atEnds(p)
	}
	return -e.Mean * math.Log1p(-p)
}

// Validate wants a finite mean above 0.
func (e Exponential) Validate() error { return positive("exponential", "mean", e.Mean) }

// Lognormal: the logarithm of the distance is normal.
type Lognormal struct {
	Mu    float64 // mean of ln(distance)
	Sigma float64 // > 0, standard deviation of ln(distance)
}

// CumHazard is -ln of the upper normal tail beyond (ln t - Mu)/Sigma.
func (l Lognormal) CumHazard(t float64) float64 {
	if !(t > 0) {
		return 0
	}
	return -logUpperTail((math.Log(t) - l.Mu) / l.Sigma)
}

// Hazard is the normal density over its upper tail, per unit of distance.
func (l Lognormal) Hazard(t float64) float64 { _, rate := l.hazards(t); return rate }

func (l Lognormal) hazards(t float64) (cum, rate float64) {
	if !(t > 0) || math.IsInf(t, 1) {
		return l.CumHazard(t), 0
	}
	return l.at(t, (math.Log(t)-l.Mu)/l.Sigma)
}

// at is cumulative hazard and hazard at t, z standard deviations from the mean
// of the logarithm.
func (l Lognormal) at(t, z float64) (cum, rate float64) {
	cum = -logUpperTail(z)
	// In logarithms: density and tail both vanish far out, their ratio does not.
	return cum, math.Exp(cum-z*z/2-halfLog2Pi) / (l.Sigma * t)
}

func (l Lognormal) over(ts, logs, cum, rate []float64) {
	table := upperTails()
	for i, log := range logs {
		z := (log - l.Mu) / l.Sigma
		cum[i] = -table.at(z)
		if rate != nil {
			rate[i] = cum[i] - z*z/2 - halfLog2Pi // as in at
		}
	}
	if rate != nil {
		Exps(rate)
		for i, t := range ts {
			rate[i] /= l.Sigma * t
		}
	}
}

// Quantile is exp(Mu + Sigma·z), z the normal quantile.
func (l Lognormal) Quantile(p float64) float64 {
	if !(p > 0 && p < 1) {
		return atEnds(p)
	}
	return math.Exp(l.Mu - l.Sigma*math.Sqrt2*math.Erfcinv(2*p))
}

// Validate wants a finite mu, and a finite sigma above 0.
func (l Lognormal) Validate() error {
	var err error
	if math.IsNaN(l.Mu) || math.IsInf(l.Mu, 0) {
		err = fmt.Errorf("%w: lognormal mu %v: must be a finite number", ErrParameter, l.Mu)
	}
	return errors.Join(err, positive("lognormal", "sigma", l.Sigma))
}

// halfLog2Pi is ln(2π)/2.
const halfLog2Pi = 0.918938533204672741780329736406

// logUpperTail is ln P(Z > z) for a standard normal Z, for any z.
func logUpperTail(z float64) float64 {
	switch {
	case z < -1:
		return math.Log1p(-0.5 * math.Erfc(-z/math.Sqrt2))
	case z < 25:
		return math.Log(0.5 * math.Erfc(z/math.Sqrt2))
	case math.IsInf(z, 1):
		return math.Inf(-1)
	}
	// Asymptotic series of Mills' ratio (Abramowitz & Stegun 26.2.12); at
	// z = 25 the first term left out is below 1e-12.
	r := 1 / (z * z)
	series := 1 - r*(1-3*r*(1-5*r*(1-7*r)))
	return -z*z/2 - halfLog2Pi - math.Log(z) + math.Log(series)
}

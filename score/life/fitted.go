package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Fit is a fitted model: the curve, how the fit ended and what limits it.
type Fit struct {
	Model  Model
	Curve  Distribution // Weibull, Lognormal or Exponential, of those that can fail
	Share  float64      // that can fail, in (0, 1]; 1 without a limited population
	Status Status
	LogLik float64 // of the records alone, without the prior
	Tally
	Warnings []error // what limits the result, to be shown beside it

	likelihood *likelihood
	top        *sums
	free       []int
	cov        *mat.SymDense // in the working parameters that are free
}

// Parameter names a parameter of a fit.
type Parameter string

// The parameters. Their working scale is what is closest to normal: the
// logarithm, for Mu itself and for Share the logit.
const (
	Scale Parameter = "scale" // Weibull
	Shape Parameter = "shape" // Weibull
	Mu    Parameter = "mu"    // lognormal
	Sigma Parameter = "sigma" // lognormal
	Mean  Parameter = "mean"  // exponential
	Share Parameter = "share" // of a limited population
)

// ErrNotEstimated is wrapped where a parameter is asked for that the fit does
// not have, or was given.
var ErrNotEstimated = fmt.Errorf("parameter not estimated by this fit")

// role is where a parameter lives in the working parameters. Sigma is 1/k, so
// its sign turns.
type role struct {
	name Parameter
	at   int
	sign float64
}

func (f *Fit) roles() []role {
	var rs []role
	switch f.Model.Family {
	case FamilyWeibull:
		rs = []role{{Scale, place, 1}, {Shape, steep, 1}}
	case FamilyLognormal:
		rs = []role{{Mu, place, 1}, {Sigma, steep, -1}}
	default:
		rs = []role{{Mean, place, 1}}
	}
	return append(rs, role{Share, logit, 1})
}

// find gives a parameter's role and its place among the free ones.
func (f *Fit) find(p Parameter) (role, int, error) {
	for _, r := range f.roles() {
		for i, j := range f.free {
			if r.name == p && r.at == j {
				return r, i, nil
			}
		}
	}
	return role{}, 0, fmt.Errorf("%w: %s of a %s fit", ErrNotEstimated, p, f.Model.Family)
}

// Parameters lists what was estimated, in the order of the covariance.
func (f *Fit) Parameters() []Parameter {
	var ps []Parameter
	for _, r := range f.roles() {
		if _, _, err := f.find(r.name); err == nil {
			ps = append(ps, r.name)
		}
	}
	return ps
}

// Value is a parameter on its natural scale. It wraps ErrNotEstimated.
func (f *Fit) Value(p Parameter) (float64, error) {
	r, _, err := f.find(p)
	if err != nil {
		return 0, err
	}
	return r.natural(f.top.at[r.at]), nil
}

// natural takes a value of the working parameter to the parameter's own scale.
func (r role) natural(v float64) float64 {
	switch r.name {
	case Mu:
		return v
	case Share:
		return 1 / (1 + math.Exp(-v))
	}
	return math.Exp(r.sign * v)
}

// Cov is the covariance of two parameters on their working scales, from the
// inverse of the observed information (the prior's precision included).
func (f *Fit) Cov(a, b Parameter) (float64, error) {
	ra, i, err := f.find(a)
	if err != nil {
		return 0, err
	}
	rb, j, err := f.find(b)
	if err != nil {
		return 0, err
	}
	return ra.sign * rb.sign * f.cov.At(i, j), nil
}

// SE is the standard error of a parameter on its working scale.
func (f *Fit) SE(p Parameter) (float64, error) {
	v, err := f.Cov(p, p)
	return math.Sqrt(v), err
}

// AIC is Akaike's criterion, 2·parameters − 2·log-likelihood; smaller is
// better, and only differences on the same records mean anything.
func (f *Fit) AIC() float64 { return 2*float64(len(f.free)) - 2*f.LogLik }

// fewFailures is below which intervals from normal theory are rough. Common
// practice, no source.
const fewFailures = 10

// vagueShare is the standard error of a share's logit above which an 80 %
// interval spans more than a factor of 4 in the odds: own judgement.
const vagueShare = 0.5

func (f *Fit) warn() {
	say := func(format string, args ...any) { f.Warnings = append(f.Warnings, fmt.Errorf(format, args...)) }
	if f.Events < fewFailures {
		say("%v failures in %v parts: intervals are rough below %v; prefer likelihood-ratio to Wald ones", f.Events, f.Records, fewFailures)
	}
	if p := f.Model.Prior; p != nil && p.Weight > f.Events {
		say("the prior's weight (%v equivalent failures) exceeds the %v failures on record: the curve is mostly the prior's", p.Weight, f.Events)
	}
	if se, err := f.SE(Share); err == nil && se > vagueShare {
		say("the share that can fail is poorly determined (standard error %.2g of its logit): needs parts followed until failures cease", se)
	}
}

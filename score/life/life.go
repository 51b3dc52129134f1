// Package life holds life distributions, how far a part runs before something
// happens to it, and their estimation from life data: failures, parts still
// running, failures known only to lie between two looks, parts under observation
// only from some distance on. It is for anything that needs a cumulative
// hazard, a density or a quantile that stays exact in the tails, or a curve
// with its uncertainty from records.
//
// It knows no vehicles, reads no files and holds no random source. It does not
// judge whether censoring was independent of the part's condition: records
// taken out because they looked bad bias every estimate made here.
//
// Usual steps with a distribution:
//
//  1. make a Weibull, Lognormal, Exponential or (with NewTable) a Table;
//  2. Validate it, once, where it enters the program;
//  3. ask for Survival, CDF, PDF or Conditional;
//  4. for intervals, Draw variants of it from its weight in equivalent failures.
//
// Usual steps with data:
//
//  1. make a Record of each part: Failed, Running or Between, From its entry;
//  2. Estimate a curve (Choose picks the family), heed its Warnings, and ask the
//     Fit for LikelihoodRatio and LifeLikelihoodRatio intervals;
//  3. lay it over KaplanMeier or, with intervals, Turnbull;
//  4. with no failures, ask ScaleAtLeast what the exposure rules out; with
//     repeated failures of one place, ask MeanCumulative.
//
// Distances are in the unit of the part's axis (kilometres, hours or months);
// a distribution only needs its parameters in that same unit.
//
// The formulas are those of Meeker & Escobar, Statistical Methods for
// Reliability Data (1998), chapters 2 to 4, 7, 8, 11 and 16.
package life

import (
	"errors"
	"fmt"
	"math"
)

// ErrParameter is wrapped by every Validate and constructor error.
var ErrParameter = errors.New("invalid life distribution")

// Distribution is a life distribution on distances t >= 0. The cumulative
// hazard is the primitive: survival is exp(-CumHazard), so nothing is lost
// where the survival is close to 1 or to 0.
type Distribution interface {
	// CumHazard is H(t) = -ln(1-F(t)); 0 for t <= 0.
	CumHazard(t float64) float64
	// Hazard is H'(t) per unit of distance; 0 for t < 0. It is +Inf at 0 for
	// a Weibull of shape below 1.
	Hazard(t float64) float64
	// Quantile is the distance by which the share p in [0, 1] has failed;
	// 0 for p <= 0, +Inf for p >= 1.
	Quantile(p float64) float64
	// Validate reports a parameter that is no number or out of its range.
	Validate() error
}

// Hazards returns cumulative hazard and hazard at t together. The families
// share most of the work between the two, which halves a quadrature's time.
func Hazards(d Distribution, t float64) (cum, rate float64) {
	switch d := d.(type) {
	case Weibull:
		return d.hazards(t)
	case Lognormal:
		return d.hazards(t)
	}
	return d.CumHazard(t), d.Hazard(t)
}

// HazardsOver writes the cumulative hazard and the hazard at each of the
// distances ts > 0 into cum and rate; logs are their natural logarithms, which
// many distributions can share. rate may be nil. Cumulative hazards are kept to
// 1e-11, of themselves where they are above 1, and hazards to 1e-10 of themselves.
func HazardsOver(d Distribution, ts, logs, cum, rate []float64) {
	switch d := d.(type) {
	case Weibull:
		d.over(ts, logs, cum, rate)
		return
	case Lognormal:
		d.over(ts, logs, cum, rate)
		return
	}
	for i, t := range ts {
		cum[i] = d.CumHazard(t)
		if rate != nil {
			rate[i] = d.Hazard(t)
		}
	}
}

// Survival is the probability in [0, 1] of going beyond distance t.
func Survival(d Distribution, t float64) float64 { return math.Exp(-d.CumHazard(t)) }

// CDF is the probability in [0, 1] of having happened by distance t. It keeps
// its relative precision however small it is.
func CDF(d Distribution, t float64) float64 { return -math.Expm1(-d.CumHazard(t)) }

// PDF is the density per unit of distance at t; +Inf at 0 where the hazard is.
func PDF(d Distribution, t float64) float64 {
	if t < 0 {
		return 0
	}
	cum, rate := Hazards(d, t)
	if rate == 0 || math.IsInf(cum, 1) {
		return 0
	}
	return rate * math.Exp(-cum)
}

// Conditional is the probability in [0, 1] that what had not happened by
// distance from has happened by distance to; 0 where to <= from.
func Conditional(d Distribution, from, to float64) float64 {
	if !(to > from) {
		return 0
	}
	h := d.CumHazard(from)
	if math.IsInf(h, 1) {
		return 1
	}
	return -math.Expm1(h - d.CumHazard(to))
}

// positive reports a value that is not a finite number above zero.
func positive(family, name string, v float64) error {
	if !(v > 0) || math.IsInf(v, 1) {
		return fmt.Errorf("%w: %s %s %v: must be a finite number above 0", ErrParameter, family, name, v)
	}
	return nil
}

// atEnds answers Quantile outside the open interval (0, 1).
func atEnds(p float64) float64 {
	if p >= 1 {
		return math.Inf(1)
	}
	return 0
}

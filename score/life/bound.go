package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Bound is a one-sided lower bound on a Weibull's scale at a shape that is
// given: what the exposure supports, not an estimate. With confidence
// Confidence the true scale is above it.
type Bound struct {
	Shape      float64 // given
	Scale      float64 // at least this
	Confidence float64 // in (0, 1)
	Tally
	Warnings []error // what limits the result
}

// Life is the lower bound on the distance by which the share p has failed.
func (b Bound) Life(p float64) float64 {
	return Weibull{Shape: b.Shape, Scale: b.Scale}.Quantile(p)
}

// ScaleAtLeast is the lower bound on the scale of a Weibull of the shape given,
// with any number of failures, none among them (Nelson, J. Quality Technology
// 17 (1985), from memory): with T = Σ(t^k − entry^k) and r failures, 2T/scale^k
// against the chi-squared quantile with 2r+2 degrees.
//
// With no failures it is exact; with some it covers at least as often as it
// says where observation ended at distances set beforehand. A failure in an
// interval counts with the distance it is known to have run, which errs to the
// safe side.
func ScaleAtLeast(records []Record, shape, confidence float64) (*Bound, error) {
	if err := positive("weibull", "shape", shape); err != nil {
		return nil, err
	}
	if shape < minShape || shape > maxShape {
		return nil, fmt.Errorf("%w: weibull shape %v: must be from %v to %v", ErrParameter, shape, minShape, maxShape)
	}
	if !(confidence > 0 && confidence < 1) {
		return nil, fmt.Errorf("%w: confidence %v: must be within 0 and 1", ErrParameter, confidence)
	}
	kept, err := usable(records)
	if err != nil {
		return nil, err
	}
	b := &Bound{Shape: shape, Confidence: confidence, Tally: tally(kept)}
	y, total, ok := logPower(kept, shape, func(r Record) float64 { return r.Low })
	if !ok {
		return nil, fmt.Errorf("%w: bound on the scale: no distance was run under observation", ErrTooFew)
	}
	// Half the chi-squared quantile with 2r+2 degrees is a gamma quantile.
	half := mathext.GammaIncRegInv(b.Events+1, confidence)
	b.Scale = math.Exp(y + (math.Log(total)-math.Log(half))/shape)
	if !finite(b.Scale) || !(b.Scale > 0) {
		return nil, fmt.Errorf("%w: bound on the scale: the powers of the distances leave the range of numbers at shape %v", ErrParameter, shape)
	}
	if b.Events == 0 {
		b.Warnings = append(b.Warnings, fmt.Errorf("no failure in %v parts: a lower bound at shape %v, not an estimate", b.Records, shape))
	}
	return b, nil
}

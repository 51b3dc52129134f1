package life

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"pitlist/score/say"
)

// ErrUnsuited is wrapped where records are of a kind that an estimator cannot
// use.
var ErrUnsuited = errors.New("records unsuited to this estimator")

// Step is a non-parametric estimate after one distance at which parts failed.
type Step struct {
	Time      float64
	AtRisk    float64 // weight under observation just before Time
	Events    float64 // weight that failed at Time
	Survival  float64 // Kaplan-Meier, in [0, 1]
	SE        float64 // Greenwood's standard error of Survival, where HasSE
	HasSE     bool    // false once all at risk have failed: then it is not defined
	CumHazard float64 // Nelson-Aalen
	HazardSE  float64 // its standard error, √Σ events/atRisk²
}

// Steps is a non-parametric estimate of survival and cumulative hazard. It
// changes at its steps only.
type Steps struct {
	Steps []Step // ascending in Time
	Tally
	Warnings []error // what limits the result

	// From is the distance on whose reaching the estimate is conditional.
	From    float64
	entries []weighted // sorted, for the number at risk between steps
	ends    []weighted
}

// weighted is a distance with the weight up to and with it.
type weighted struct{ at, sum float64 }

// KaplanMeier estimates survival by the product limit (Kaplan & Meier 1958) with
// Greenwood's errors, and the cumulative hazard (Nelson 1969, Aalen 1978), from
// exact and right-censored records, with late entry: a part is at risk at t
// where its entry < t <= its end, so that failures at a distance come before
// the parts that leave there.
//
// The estimate is conditional on reaching from; only failures beyond it count.
// With late entry the parts at risk can be few at small distances, and one
// failure among one part at risk takes all survival to 0 for good: a warning
// says so, and a later from is the way out.
//
// Interval-censored records are refused (ErrUnsuited): see Turnbull.
func KaplanMeier(records []Record, from float64) (*Steps, error) {
	kept, err := usable(records)
	if err != nil {
		return nil, err
	}
	if !(from >= 0 && from <= maxDistance) {
		return nil, fmt.Errorf("%w: estimate from distance %v: must be from 0 to %g", ErrParameter, from, maxDistance)
	}
	for _, r := range kept {
		if !r.Exact() && !r.Running() {
			return nil, fmt.Errorf("%w: kaplan-meier: failure between %v and %v; use turnbull", ErrUnsuited, r.Low, r.High)
		}
	}
	s := &Steps{Tally: tally(kept), From: from}
	if s.Records == 0 {
		return nil, fmt.Errorf("%w: kaplan-meier: no records", ErrTooFew)
	}
	var failed []weighted
	for _, r := range kept {
		s.entries = append(s.entries, weighted{r.Entry, r.Weight})
		s.ends = append(s.ends, weighted{r.Low, r.Weight})
		if r.Exact() && r.Low > from {
			failed = append(failed, weighted{r.Low, r.Weight})
		}
	}
	accumulate(s.entries)
	accumulate(s.ends)
	s.walk(failed)
	return s, nil
}

// accumulate sorts by distance and makes the weights running sums.
func accumulate(ws []weighted) {
	sort.Slice(ws, func(i, j int) bool {
		return ws[i].at < ws[j].at || ws[i].at == ws[j].at && ws[i].sum < ws[j].sum
	})
	sum := 0.0
	for i := range ws {
		sum += ws[i].sum
		ws[i].sum = sum
	}
}

// below is the weight at distances under t.
func below(ws []weighted, t float64) float64 {
	i := sort.Search(len(ws), func(i int) bool { return ws[i].at >= t })
	if i == 0 {
		return 0
	}
	return ws[i-1].sum
}

// AtRisk is the weight under observation at the distance t: entry < t <= end.
func (s *Steps) AtRisk(t float64) float64 {
	return math.Max(0, below(s.entries, t)-below(s.ends, t))
}

// walk makes the steps from the failures.
func (s *Steps) walk(failed []weighted) {
	sort.Slice(failed, func(i, j int) bool { return failed[i].at < failed[j].at })
	now := Step{Survival: 1, HasSE: true}
	greenwood, variance := 0.0, 0.0
	for i := 0; i < len(failed); {
		now.Time, now.Events = failed[i].at, 0
		for ; i < len(failed) && failed[i].at == now.Time; i++ {
			now.Events += failed[i].sum
		}
		// Sums of weights that are no whole numbers may differ in the last digit.
		now.AtRisk = math.Max(s.AtRisk(now.Time), now.Events)
		left := now.AtRisk - now.Events
		if left < 1e-12*now.AtRisk {
			left = 0
		}
		now.CumHazard += now.Events / now.AtRisk
		variance += now.Events / now.AtRisk / now.AtRisk
		now.HazardSE = math.Sqrt(variance)
		now.Survival *= left / now.AtRisk
		if now.HasSE = now.HasSE && left > 0; now.HasSE {
			greenwood += now.Events / now.AtRisk / left
			now.SE = now.Survival * math.Sqrt(greenwood)
		} else {
			now.SE = 0
		}
		if left == 0 && i < len(failed) {
			s.warnEmptied(now.Time)
		}
		s.Steps = append(s.Steps, now)
	}
}

func (s *Steps) warnEmptied(t float64) {
	if len(s.Warnings) == 0 {
		s.Warnings = append(s.Warnings, say.NewError("all parts at risk at %s failed there, and others were followed later: survival stays 0; estimate from a distance that more parts had entered by", say.Digits{X: t, N: -1}))
	}
}

// At is the estimate at the distance t: that of the last step at or before it,
// with the number at risk at t itself and Events 0 between steps.
func (s *Steps) At(t float64) Step {
	i := sort.Search(len(s.Steps), func(i int) bool { return s.Steps[i].Time > t })
	step := Step{Survival: 1, HasSE: true}
	if i > 0 {
		step = s.Steps[i-1]
	}
	if step.Time != t {
		step.Events = 0
	}
	step.Time, step.AtRisk = t, s.AtRisk(t)
	return step
}

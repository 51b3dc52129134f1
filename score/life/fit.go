package life

import (
	"fmt"
	"math"

	"pitlist/score/say"
)

// Family names a family of life distributions that can be fitted.
type Family string

// The families.
const (
	FamilyWeibull     Family = "weibull"
	FamilyLognormal   Family = "lognormal"
	FamilyExponential Family = "exponential"
)

// Validate wants one of the families named here.
func (f Family) Validate() error {
	switch f {
	case FamilyWeibull, FamilyLognormal, FamilyExponential:
		return nil
	}
	return fmt.Errorf("%w: family %q: must be weibull, lognormal or exponential", ErrParameter, string(f))
}

// Model says what to fit.
type Model struct {
	Family Family // "": Weibull
	// Shape, where above 0, is a Weibull's shape that is known, or a lognormal's
	// 1/sigma, and not estimated: the way with few failures (Nelson 1985).
	Shape float64
	// Limited lets only a share of the population fail at all, and estimates
	// that share too (Meeker, Technometrics 29 (1987)).
	Limited bool
	// Prior, where not nil, makes the fit maximum a posteriori.
	Prior *Prior
}

// Fitting errors. Each is wrapped with what the data hold and what would be
// needed.
var (
	// ErrTooFew: the records hold too few failures for what is asked.
	ErrTooFew = say.NewError("too few failures")
	// ErrUnbounded: the likelihood has no maximum, it runs to an edge.
	ErrUnbounded = say.NewError("likelihood without a maximum")
	// ErrNotConverged: the search ended without reaching the maximum.
	ErrNotConverged = say.NewError("fit not converged")
)

// Status says how a fit ended. A fit that did not converge is an error, and
// has no status.
type Status string

// The ways in which a fit ends well.
const (
	Converged  Status = "converged"   // at a maximum with all parameters free
	ShapeGiven Status = "shape given" // at a maximum, the shape not estimated
)

// Estimate fits the model to the records. The order of the records does not
// matter. Errors wrap ErrRecord, ErrParameter, ErrTooFew, ErrUnbounded or
// ErrNotConverged; there is no Fit then.
func Estimate(records []Record, m Model) (*Fit, error) {
	if m.Family == "" {
		m.Family = FamilyWeibull
	}
	prior, err := m.check()
	if err != nil {
		return nil, err
	}
	kept, err := usable(records)
	if err != nil {
		return nil, err
	}
	sum := tally(kept)
	if err := m.supported(kept, sum); err != nil {
		return nil, fmt.Errorf("fit %s: %w", m.Family, err)
	}
	f := &Fit{Model: m, Tally: sum, likelihood: &likelihood{kernel: m.kernel(), obs: observe(kept), limited: m.Limited, prior: prior}}
	if err := f.solve(kept); err != nil {
		return nil, fmt.Errorf("fit %s: %w", m.Family, err)
	}
	f.warn()
	return f, nil
}

func (m Model) check() (*normalPrior, error) {
	if err := m.Family.Validate(); err != nil {
		return nil, err
	}
	if m.Shape != 0 {
		if err := positive(string(m.Family), "shape", m.Shape); err != nil {
			return nil, err
		}
		if m.Shape < minShape || m.Shape > maxShape {
			return nil, fmt.Errorf("%w: %s shape %v: must be from %v to %v", ErrParameter, m.Family, m.Shape, minShape, maxShape)
		}
	}
	return m.Prior.working(m.Family)
}

func (m Model) kernel() kernel {
	if m.Family == FamilyLognormal {
		return normal{}
	}
	return extreme{}
}

// free lists the working parameters that are estimated.
func (m Model) free() []int {
	free := []int{place}
	if m.Family != FamilyExponential && m.Shape == 0 {
		free = append(free, steep)
	}
	if m.Limited {
		free = append(free, logit)
	}
	return free
}

func (m Model) shapeFree() bool { return m.Family != FamilyExponential && m.Shape == 0 }

// minShape and maxShape are where a likelihood that still rises counts as
// running to the edge: from a life spread over hundreds of orders of magnitude
// to one the same to a thousandth for all.
const (
	minShape = 1e-3
	maxShape = 1e3
)

// solve searches from the likeliest of several starts, and accepts the end only
// if it is a maximum inside the bounds. Where it is not, the other starts have
// their turn: a limited population's likelihood can have a maximum and yet lead
// to an edge from elsewhere. The error is that of the first.
func (f *Fit) solve(kept []Record) error {
	var first error
	for _, v := range f.starts(kept) {
		s := &search{likelihood: f.likelihood, free: f.Model.free(), from: v}
		err := f.accept(s, s.maximise())
		if err == nil {
			return f.read()
		}
		if first == nil {
			first = err
		}
	}
	if first == nil {
		first = fmt.Errorf("%w: the likelihood cannot be computed near the data", ErrNotConverged)
	}
	return first
}

// accept keeps the end of a search, or says why it is no maximum.
func (f *Fit) accept(s *search, top *sums) error {
	if math.IsInf(top.f, -1) {
		return fmt.Errorf("%w: the likelihood cannot be computed near the data", ErrNotConverged)
	}
	if k := math.Exp(top.at[steep]); k < minShape || k > maxShape {
		return fmt.Errorf("%w: the shape runs to %.3g; needs failures at distances that differ, and parts running past them", ErrUnbounded, k)
	}
	if f.Model.Limited && (math.Abs(top.at[logit]) > maxLogit || f.nobodyImmune(s, top)) {
		return fmt.Errorf("%w: the share runs to an edge (%.6g); the records do not show a limited population: fit without one, or follow parts for longer", ErrUnbounded, top.share)
	}
	cov, ok := covariance(top, s.free)
	if !ok {
		return fmt.Errorf("%w: it is flat where the search ended; needs more failures, or a prior", ErrUnbounded)
	}
	if slope := s.slope(top); !(slope <= 1e-6*(1+f.Tally.Events)) {
		return fmt.Errorf("%w: slope %.2g at the end of the search", ErrNotConverged, slope)
	}
	f.top, f.free, f.cov = top, s.free, cov
	return nil
}

// maxLogit is a share of all but one in ten million: an edge.
const maxLogit = 16.1

// nobodyImmune says that a population without immune parts is as likely as the
// best with some. A likelihood can have a maximum inside and a higher edge.
func (f *Fit) nobodyImmune(limited *search, top *sums) bool {
	if p := f.likelihood.prior; p != nil && p.hit > 0 {
		return false
	}
	all := *f.likelihood
	all.limited = false
	plain := &search{likelihood: &all, from: top.at, free: without(limited.free, logit)}
	return plain.maximise().f >= top.f-1e-9*(1+math.Abs(top.f))
}

// read takes distribution, share and log-likelihood from the maximum.
func (f *Fit) read() error {
	at := f.top.at
	scale, k := math.Exp(at[place]), math.Exp(at[steep])
	switch f.Model.Family {
	case FamilyWeibull:
		f.Curve = Weibull{Shape: k, Scale: scale}
	case FamilyLognormal:
		f.Curve = Lognormal{Mu: at[place], Sigma: 1 / k}
	default:
		f.Curve = Exponential{Mean: scale}
	}
	if err := f.Curve.Validate(); err != nil {
		return fmt.Errorf("%w: %w", ErrUnbounded, err)
	}
	f.Status, f.Share, f.LogLik = Converged, 1, f.top.f
	if f.Model.Family != FamilyExponential && f.Model.Shape > 0 {
		f.Status = ShapeGiven
	}
	if f.Model.Limited {
		f.Share = f.top.share
	}
	if f.likelihood.prior != nil {
		alone := *f.likelihood
		alone.prior = nil
		f.LogLik = alone.eval(at).f
	}
	return nil
}

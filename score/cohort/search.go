package cohort

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"pitlist/score/life"
	"pitlist/score/say"
)

// top is where a search ended, with the curvature there.
type top struct {
	at    params
	value value
	// information is minus the second derivatives over the free parameters, and
	// cov its inverse.
	information, cov *mat.SymDense
}

// search maximises the log-posterior over the free parameters.
type search struct {
	likelihood *likelihood
	from       params
	free       []int
	unit       []float64 // a step of one along each free parameter
}

// The limits of the search.
const (
	maxSteps   = 200  // of BFGS
	maxPolish  = 12   // of Newton
	levelSlope = 1e-7 // per unit of the scaled parameters, against 1 + |f|·1e-6
	stride     = 1e-3 // of the differences of slopes, in scaled parameters
	// steepestEnd is the slope at which an end counts as the top: about so many
	// standard deviations away from it.
	steepestEnd = 0.02
)

// freeOf lists the parameters to estimate.
func (l *likelihood) freeOf(open bool) (free []int) {
	for i := range life.LogParameters(l.onset) {
		free = append(free, onsetAt+i)
	}
	for i := range life.LogParameters(l.delay) {
		free = append(free, delayAt+i)
	}
	if open {
		free = append(free, shareAt)
	}
	return free
}

// run climbs by BFGS (gonum) in parameters scaled by what the prior and the
// records can be expected to leave open, then takes Newton steps whose second
// derivatives are differences of the analytic slopes: these end where the slope
// has no digits left, and give the covariance.
func (s *search) run() (*top, error) {
	begin := s.likelihood.eval(&s.from)
	if math.IsInf(begin.f, -1) {
		return nil, say.NewError("%s: the records cannot be at all with the catalogue's curves", life.ErrNotConverged)
	}
	at, now := s.climb(begin)
	for range maxPolish {
		next, v, ok := s.newton(at, now)
		if !ok {
			break
		}
		at, now = next, v
		if s.steepest(&now) <= levelSlope*(1+1e-6*math.Abs(now.f)) {
			break
		}
	}
	return s.accept(at, now)
}

// place is the parameters at scaled steps z from where the search began.
func (s *search) place(z []float64) params {
	p := s.from
	for i, j := range s.free {
		p[j] += s.unit[i] * z[i]
	}
	return p
}

// climb is the BFGS part; where it gives up, its best place so far is the result.
func (s *search) climb(begin value) (params, value) {
	best, bestAt := begin, s.from
	var lastZ []float64
	var last value
	eval := func(z []float64) value {
		if lastZ != nil && same(z, lastZ) {
			return last
		}
		p := s.place(z)
		v := s.likelihood.eval(&p)
		if v.f > best.f {
			best, bestAt = v, p
		}
		lastZ, last = append(lastZ[:0], z...), v
		return v
	}
	problem := optimize.Problem{
		Func: func(z []float64) float64 { return -eval(z).f },
		Grad: func(grad, z []float64) {
			v := eval(z)
			for i, j := range s.free {
				grad[i] = -v.slope[j] * s.unit[i]
			}
		},
	}
	settings := &optimize.Settings{
		GradientThreshold: 1e-4, MajorIterations: maxSteps,
		Converger: &optimize.FunctionConverge{Absolute: 1e-9, Relative: 1e-13, Iterations: 5},
	}
	// An end that is no maximum is found out by Newton's steps and by accept.
	_, _ = optimize.Minimize(problem, make([]float64, len(s.free)), settings, &optimize.BFGS{})
	return bestAt, best
}

func same(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// steepest is the greatest slope in scaled parameters.
func (s *search) steepest(v *value) float64 {
	g := 0.0
	for i, j := range s.free {
		g = math.Max(g, math.Abs(v.slope[j])*s.unit[i])
	}
	return g
}

// curvature is minus the second derivatives in scaled parameters, by central
// differences of the slopes.
func (s *search) curvature(at params) (*mat.SymDense, bool) {
	n := len(s.free)
	rows := make([][]float64, n)
	for i, j := range s.free {
		hi, lo := at, at
		hi[j] += stride * s.unit[i]
		lo[j] -= stride * s.unit[i]
		a, b := s.likelihood.eval(&hi), s.likelihood.eval(&lo)
		if math.IsInf(a.f, -1) || math.IsInf(b.f, -1) {
			return nil, false
		}
		rows[i] = make([]float64, n)
		for k, m := range s.free {
			rows[i][k] = (b.slope[m] - a.slope[m]) * s.unit[k] / (2 * stride)
		}
	}
	info := mat.NewSymDense(n, nil)
	for i := range n {
		for k := i; k < n; k++ {
			info.SetSym(i, k, (rows[i][k]+rows[k][i])/2)
		}
	}
	return info, true
}

// newton is one step, damped until it rises or lessens the slope; not ok where
// none does.
func (s *search) newton(at params, now value) (params, value, bool) {
	info, ok := s.curvature(at)
	if !ok {
		return at, now, false
	}
	step, ok := s.solve(info, &now)
	if !ok {
		return at, now, false
	}
	for scale := 1.0; scale > 1e-3; scale /= 4 {
		next := at
		for i, j := range s.free {
			next[j] += scale * step[i] * s.unit[i]
		}
		v := s.likelihood.eval(&next)
		blur := s.likelihood.blur(&now)
		rises := v.f > now.f+blur
		level := v.f > now.f-blur && s.steepest(&v) < s.steepest(&now)
		if rises || level {
			return next, v, true
		}
	}
	return at, now, false
}

// blur is how far two values of the likelihood may differ by what its quadratures
// leave out: the slopes then tell better which is higher.
func (l *likelihood) blur(v *value) float64 {
	return 1e-9*(1+math.Abs(v.f)) + 3e-7*float64(len(l.units))
}

// solve is information⁻¹·slope; where the information is not positive definite it
// is shifted until it is.
func (s *search) solve(info *mat.SymDense, v *value) ([]float64, bool) {
	n := len(s.free)
	slope := mat.NewVecDense(n, nil)
	most := 1e-3
	for i, j := range s.free {
		slope.SetVec(i, v.slope[j]*s.unit[i])
		most = math.Max(most, math.Abs(info.At(i, i)))
	}
	step := mat.NewVecDense(n, nil)
	for tau := 0.0; tau < 1e6*most; tau = math.Max(4*tau, 1e-3*most) {
		shifted := mat.NewSymDense(n, nil)
		shifted.CopySym(info)
		for i := range n {
			shifted.SetSym(i, i, info.At(i, i)+tau)
		}
		var chol mat.Cholesky
		if chol.Factorize(shifted) && chol.SolveVecTo(step, slope) == nil {
			return step.RawVector().Data, true
		}
	}
	return nil, false
}

// accept takes the end of a search if it is a maximum.
func (s *search) accept(at params, now value) (*top, error) {
	if g := s.steepest(&now); !(g <= steepestEnd) {
		return nil, say.NewError("%s: slope %s at the end of the search", life.ErrNotConverged, say.Digits{X: g, N: 2})
	}
	scaled, ok := s.curvature(at)
	if !ok {
		return nil, say.NewError("%s: the search ended at an edge", life.ErrUnbounded)
	}
	n := len(s.free)
	var chol mat.Cholesky
	cov := mat.NewSymDense(n, nil)
	if !chol.Factorize(scaled) || chol.InverseTo(cov) != nil {
		return nil, say.NewError("%s: it is flat where the search ended; needs more failures and findings, or a weight behind the catalogue's curves", life.ErrUnbounded)
	}
	t := &top{at: at, value: now, information: mat.NewSymDense(n, nil), cov: mat.NewSymDense(n, nil)}
	for i := range n {
		for k := i; k < n; k++ {
			t.information.SetSym(i, k, scaled.At(i, k)/s.unit[i]/s.unit[k])
			t.cov.SetSym(i, k, cov.At(i, k)*s.unit[i]*s.unit[k])
		}
	}
	return t, nil
}

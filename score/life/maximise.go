package life

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// search maximises a likelihood over its free working parameters; the others
// stay as they are in from.
type search struct {
	likelihood *likelihood
	from       vector
	free       []int
}

// The limits of the search. A step of 2 is a factor of 7 in a scale: farther
// the quadratic model of the likelihood says nothing.
const (
	maxIterations = 200
	maxHalvings   = 40
	maxStep       = 2.0
	levelGround   = 1e-8 // a slope, of the value, from which a step gains its square at most
)

// maximise ascends, and then takes plain Newton steps, since the slope still has
// digits where the value has none. Whether the end is a maximum is for the
// caller to check.
func (s *search) maximise() *sums {
	at := s.ascend()
	if len(s.free) == 0 || math.IsInf(at.f, -1) {
		return at
	}
	return s.polish(at)
}

// ascend climbs by Newton's method, damped: where the likelihood is not
// concave the curvature is shifted until it is, and a step is halved until the
// value rises (Nocedal & Wright, Numerical Optimization (2006), section 3.4).
// It ends where rounding hides any further rise, or where the slope promises
// none.
//
// In at most three dimensions, with exact second derivatives, this is all that
// a general optimiser would come down to.
func (s *search) ascend() *sums {
	at := s.likelihood.eval(s.from)
	if len(s.free) == 0 || math.IsInf(at.f, -1) {
		return at
	}
	for range maxIterations {
		if s.slope(at) <= levelGround*(1+math.Abs(at.f)) {
			break
		}
		next, ok := s.climb(at)
		if !ok {
			break
		}
		rise := next.f - at.f
		at = next
		if rise <= 1e-9*(1+math.Abs(at.f)) {
			break
		}
	}
	return at
}

// climb is one damped step; not ok where none rises.
func (s *search) climb(at *sums) (*sums, bool) {
	step, ok := s.newton(at, true)
	if !ok {
		return at, false
	}
	longest := 0.0
	for _, d := range step {
		longest = math.Max(longest, math.Abs(d))
	}
	scale := math.Min(1, maxStep/longest)
	for range maxHalvings {
		if next := s.moved(at, step, scale); next.f > at.f {
			return next, true
		}
		scale /= 2
	}
	return at, false
}

// polish takes plain Newton steps for as long as they lessen the slope.
func (s *search) polish(at *sums) *sums {
	for range 10 {
		step, ok := s.newton(at, false)
		if !ok || s.slope(at) <= 1e-13*(1+math.Abs(at.f)) {
			return at
		}
		next := s.moved(at, step, 1)
		if math.IsInf(next.f, -1) || !(s.slope(next) < s.slope(at)) {
			return at
		}
		at = next
	}
	return at
}

func (s *search) moved(at *sums, step []float64, scale float64) *sums {
	v := at.at
	for i, j := range s.free {
		v[j] += scale * step[i]
	}
	return s.likelihood.eval(v)
}

// newton solves information·step = slope. Where the information is not
// positive definite it is shifted, if shift allows, until it is.
func (s *search) newton(at *sums, shift bool) ([]float64, bool) {
	tau := 0.0
	cov, ok := covariance(at, s.free, tau)
	for !ok && shift && tau < 1e12 {
		tau = math.Max(4*tau, 1e-3*(1+s.curvature(at)))
		cov, ok = covariance(at, s.free, tau)
	}
	if !ok {
		return nil, false
	}
	step := make([]float64, len(s.free))
	for a := range s.free {
		for b, j := range s.free {
			step[a] += cov.At(a, b) * at.grad[j]
		}
		ok = ok && finite(step[a])
	}
	return step, ok
}

// curvature is the greatest second derivative along a free parameter.
func (s *search) curvature(at *sums) float64 {
	h := 0.0
	for _, j := range s.free {
		h = math.Max(h, math.Abs(at.hess[j][j]))
	}
	return h
}

// slope is the greatest slope along a free parameter.
func (s *search) slope(at *sums) float64 {
	g := 0.0
	for _, j := range s.free {
		g = math.Max(g, math.Abs(at.grad[j]))
	}
	return g
}

// covariance is the inverse of the observed information over the free
// parameters, tau added on its diagonal; not ok where that is not positive
// definite.
func covariance(at *sums, free []int, tau float64) (*mat.SymDense, bool) {
	if len(free) == 0 {
		return nil, false
	}
	info := mat.NewSymDense(len(free), nil)
	for a, i := range free {
		for b, j := range free {
			info.SetSym(a, b, -at.hess[i][j])
		}
		info.SetSym(a, a, info.At(a, a)+tau)
	}
	var chol mat.Cholesky
	if !chol.Factorize(info) {
		return nil, false
	}
	cov := mat.NewSymDense(len(free), nil)
	if err := chol.InverseTo(cov); err != nil {
		return nil, false
	}
	for a := range free {
		if !(cov.At(a, a) > 0) || !finite(cov.At(a, a)) {
			return nil, false
		}
	}
	return cov, true
}

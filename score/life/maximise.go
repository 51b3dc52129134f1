package life

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// search maximises a likelihood over its free working parameters; the others
// stay as they are in from.
type search struct {
	likelihood *likelihood
	from       vector
	free       []int
}

// The limits of the search: enough for the flattest likelihood that still has a
// top, and beyond any curve that is accepted.
const (
	maxIterations = 200
	outOfReach    = 30.0 // a working parameter this far from the start, a factor of 1e13, is an edge
	levelGround   = 1e-8 // a slope, of the value, from which a step gains its square at most
	noRise        = 1e-9 // of the value: rounding hides what is less
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

// ascend climbs by Newton's method with backtracking; where the likelihood is not
// concave, a multiple of the identity is added to the curvature until it is
// (Nocedal & Wright, Numerical Optimization (2006), algorithm 3.3, as gonum has
// it). It ends where rounding hides any further rise, or where the slope
// promises none.
//
// How gonum's search ended says little: a line search that fails at the top,
// where no step rises, is how it mostly ends. What counts is the slope there,
// which the caller checks.
func (s *search) ascend() *sums {
	start := s.likelihood.eval(s.from)
	if len(s.free) == 0 || math.IsInf(start.f, -1) || s.slope(start) <= levelGround*(1+math.Abs(start.f)) {
		return start
	}
	c := &climb{search: s, at: start, top: start}
	x := make([]float64, len(s.free))
	for i, j := range s.free {
		x[i] = s.from[j]
	}
	size := 1 + math.Abs(start.f)
	_, _ = optimize.Minimize(optimize.Problem{Func: c.value, Grad: c.gradient, Hess: c.hessian}, x,
		&optimize.Settings{
			MajorIterations: maxIterations, GradientThreshold: levelGround * size,
			Converger: &optimize.FunctionConverge{Absolute: noRise * size, Iterations: 1},
		},
		&optimize.Newton{Linesearcher: &optimize.Backtracking{MinimumStepSize: 1e-12}, GradStopThreshold: math.NaN()})
	return c.top
}

// climb gives gonum, which descends, the likelihood turned upside down. It asks
// for value, slope and curvature of one place in turn; they are reckoned
// together.
type climb struct {
	*search
	at  *sums // the last place asked for
	top *sums // the highest of them
}

func (c *climb) move(x []float64) *sums {
	v := c.from
	for i, j := range c.free {
		v[j] = x[i]
	}
	if v == c.at.at {
		return c.at
	}
	c.at = c.likelihood.eval(v)
	if c.at.f > c.top.f {
		c.top = c.at
	}
	return c.at
}

func (c *climb) value(x []float64) float64 {
	for i, j := range c.free {
		if !(math.Abs(x[i]-c.from[j]) <= outOfReach) {
			return math.Inf(1)
		}
	}
	return -c.move(x).f
}

func (c *climb) gradient(grad, x []float64) {
	at := c.move(x)
	for i, j := range c.free {
		grad[i] = -at.grad[j]
	}
}

func (c *climb) hessian(hess *mat.SymDense, x []float64) {
	at := c.move(x)
	for a, i := range c.free {
		for b, j := range c.free {
			hess.SetSym(a, b, -at.hess[i][j])
		}
	}
}

// polish takes plain Newton steps for as long as they lessen the slope.
func (s *search) polish(at *sums) *sums {
	for range 10 {
		step, ok := s.newton(at)
		if !ok || s.slope(at) <= 1e-13*(1+math.Abs(at.f)) {
			return at
		}
		next := s.moved(at, step)
		if math.IsInf(next.f, -1) || !(s.slope(next) < s.slope(at)) {
			return at
		}
		at = next
	}
	return at
}

func (s *search) moved(at *sums, step []float64) *sums {
	v := at.at
	for i, j := range s.free {
		v[j] += step[i]
	}
	return s.likelihood.eval(v)
}

// newton solves information·step = slope; not ok where the information is not
// positive definite.
func (s *search) newton(at *sums) ([]float64, bool) {
	cov, ok := covariance(at, s.free)
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

// slope is the greatest slope along a free parameter.
func (s *search) slope(at *sums) float64 {
	g := 0.0
	for _, j := range s.free {
		g = math.Max(g, math.Abs(at.grad[j]))
	}
	return g
}

// covariance is the inverse of the observed information over the free
// parameters; not ok where that is not positive definite.
func covariance(at *sums, free []int) (*mat.SymDense, bool) {
	if len(free) == 0 {
		return nil, false
	}
	info := mat.NewSymDense(len(free), nil)
	for a, i := range free {
		for b, j := range free {
			info.SetSym(a, b, -at.hess[i][j])
		}
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

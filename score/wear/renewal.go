package wear

import (
	"math"
	"slices"
	"sync/atomic"
)

// Unseen renewals by the same design: with q the density of onset + delay, the
// renewal density solves m(t) = q(t) + ∫ q(s) m(t-s) ds over s from 0 to t. It
// is solved for its integral M, whose equation has no singular kernel whatever
// the shapes, on a grid over [0, 2^octave], once for each octave asked for.

// renewals holds the solved grids by octave.
type renewals struct {
	grids [octaves + 1]atomic.Pointer[grid]
}

// grid is R = M - Q on equal steps: the renewals after the first. R is smoother
// than M, so its slope can be taken from the grid while q is exact.
type grid struct {
	step float64
	rest []float64 // R at i·step
}

// fewestSteps and mostSteps bound a grid; stepsPerLife is what is aimed at for
// the median life of a part.
const (
	fewestSteps, mostSteps = 512, 6144
	stepsPerLife           = 400
)

// grid returns the grid that covers [0, e].
func (m *Model) grid(e float64) *grid {
	octave := int(min(octaves, max(0, math.Ceil(math.Log2(e))-lowOctave)))
	at := &m.renewals.grids[octave]
	g := at.Load()
	if g == nil {
		g = m.solve(math.Exp2(float64(octave + lowOctave)))
		at.Store(g)
	}
	return g
}

func (m *Model) solve(end float64) *grid {
	span := m.onset.Quantile(0.5) + m.delay.Quantile(0.5)
	n := fewestSteps
	for n < mostSteps && float64(n)*span < stepsPerLife*end {
		n *= 2
	}
	step := end / float64(n)
	half := make([]float64, 2*n+1) // Q at half steps
	for i := range half {
		half[i] = m.goneMass(float64(i) * step / 2)
	}
	fine := renewalFunction(half)
	whole := make([]float64, n+1) // Q at whole steps: the half steps of the coarse grid
	for i := range whole {
		whole[i] = half[2*i]
	}
	coarse := renewalFunction(whole)
	g := &grid{step: step, rest: make([]float64, n+1)}
	for i := range g.rest {
		// The method errs by the square of the step: Richardson's extrapolation.
		e := (fine[i] - between(coarse, i)) / 3
		g.rest[i] = fine[i] + e - whole[i]
	}
	return g
}

// between is the coarse solution at fine step i, cubic between its own.
func between(coarse []float64, i int) float64 {
	k := i / 2
	if i%2 == 0 {
		return coarse[k]
	}
	if k == 0 || k+2 >= len(coarse) {
		return (coarse[k] + coarse[k+1]) / 2
	}
	return (9*(coarse[k]+coarse[k+1]) - coarse[k-1] - coarse[k+2]) / 16
}

// renewalFunction solves M = Q + ∫ Q(t-s) dM(s) on whole steps from Q on half
// steps by the midpoint rule of Xie, Microelectronics Reliability 29 (1989).
func renewalFunction(half []float64) []float64 {
	n := (len(half) - 1) / 2
	m := make([]float64, n+1)
	rise := make([]float64, n+1) // rise[j] = M(j) - M(j-1)
	for i := 1; i <= n; i++ {
		sum := half[2*i] - half[1]*m[i-1]
		for j := 1; j < i; j++ {
			sum += half[2*(i-j)+1] * rise[j]
		}
		m[i] = sum / (1 - half[1])
		rise[i] = m[i] - m[i-1]
	}
	return m
}

// slope is R'(t) from the cubic through the four nearest grid values.
func (g *grid) slope(t float64) float64 {
	n := len(g.rest) - 1
	i := min(max(1, int(t/g.step)), n-2)
	r := t/g.step - float64(i)
	a, b, c, d := g.rest[i-1], g.rest[i], g.rest[i+1], g.rest[i+2]
	return max(0, (-a*(3*r*r-6*r+2)/6+b*(3*r*r-4*r-1)/2-c*(3*r*r-2*r-2)/2+d*(3*r*r-1)/6)/g.step)
}

// renewalDensity is m(t) for t > 0 within the grid.
func (m *Model) renewalDensity(g *grid, t float64) float64 {
	t = max(t, shortest)
	return math.Exp(m.density.at(t, math.Log2(t))) + g.slope(t)
}

// lives are the life on record, its masses left to the caller, and those that
// began with an unseen renewal before e.
func (m *Model) lives(e, x float64, steps []step) []place {
	g := m.grid(e)
	places := []place{{weight: 1, x: x}}
	for _, p := range periods(e, x, m.lifeSpread, m.bends, steps) {
		places = m.begin(places, g, p, x)
	}
	return places
}

// greatest is the largest logarithm of a mass, weighted, of any life.
func greatest(places []place) float64 {
	top := math.Inf(-1)
	for i := range places {
		p := &places[i]
		top = max(top, math.Log(p.weight)+max(p.worn, p.sound))
	}
	return top
}

// unseen turns the lives' logarithms into masses, sums them into the sound
// mass, and returns the worn mass.
func (s *State) unseen() (worn float64) {
	s.sound = 0
	for i := range s.places {
		p := &s.places[i]
		p.worn, p.sound = p.weight*math.Exp(p.worn+s.shift), p.weight*math.Exp(p.sound+s.shift)
		s.sound += p.sound
		worn += p.worn
	}
	s.mass = worn
	return worn
}

// periods cuts [0, e] into stretches over which the renewal density and the
// masses of a life are smooth: about the spread of a life each, and where c(u)
// steps. Both ends are flattened, as the density may be unbounded there.
func periods(e, x, spread float64, bends []float64, steps []step) []axis {
	cuts := []float64{0, e}
	add := func(t float64) {
		if t > 0 && t < e {
			cuts = append(cuts, t)
		}
	}
	for _, st := range steps {
		add(st.at)
	}
	for _, t := range bends {
		add(t)
		add(x - t)
	}
	slices.Sort(cuts)
	var out []axis
	for i := 1; i < len(cuts); i++ {
		lo, hi := cuts[i-1], cuts[i]
		n := int(min(12, max(2, math.Ceil((hi-lo)/spread))))
		width := (hi - lo) / float64(n)
		for k := range n {
			a := axis{end: x, base: lo + float64(k)*width, span: width, power: 1}
			switch {
			case a.base == 0:
				a.power = 3
			case k == n-1: // own distance x-t counted from the end of the period
				a = axis{end: x, base: x - hi, span: width, power: 3, toward: true}
			}
			out = append(out, a)
		}
	}
	return out
}

// begin appends the lives that began within one period, at Gauss's nodes.
func (m *Model) begin(places []place, g *grid, a axis, x float64) []place {
	for i, node := range gaussNode {
		t, own, jacobian := a.at((1 + node) / 2)
		w := gaussNodeWeight[i] / 2 * jacobian * m.renewalDensity(g, t)
		places = append(places, place{
			begin: t, weight: w, x: own,
			worn:  m.logMass(own),
			sound: -m.onset.CumHazard(own),
		})
	}
	return places
}

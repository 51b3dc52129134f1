package wear

import (
	"math"
	"sync/atomic"
)

// drawRenewals holds the draws' renewal functions by octave, as renewals does.
type drawRenewals struct {
	grids [octaves + 1]atomic.Pointer[drawGrid]
}

// drawGrid is M at equal steps, a row each: [step][draw].
type drawGrid struct {
	step float64
	m    []row
}

// drawSteps over an octave's grid: the midpoint rule's error is then near 1e-4.
const drawSteps = 512

func (d *Draws) grid(e float64) *drawGrid {
	octave := int(min(octaves, max(0, math.Ceil(math.Log2(e))-lowOctave)))
	at := &d.renewals.grids[octave]
	g := at.Load()
	if g == nil {
		g = d.solve(math.Exp2(float64(octave + lowOctave)))
		at.Store(g)
	}
	return g
}

func (d *Draws) solve(end float64) *drawGrid {
	n := d.Len()
	g := &drawGrid{step: end / drawSteps, m: make([]row, drawSteps+1)}
	half := make([]row, 2*drawSteps+1) // Q at half steps, for all draws
	half[0] = make(row, n)
	for i := 1; i < len(half); i++ {
		half[i] = make(row, n)
		d.gone.look(float64(i)*g.step/2, half[i])
		half[i].exp()
	}
	for i := range g.m {
		g.m[i] = make(row, n)
	}
	one := make([]float64, len(half))
	for k := range n {
		for i := range half {
			one[i] = half[i][k]
		}
		for i, v := range renewalFunction(one) {
			g.m[i][k] = v
		}
	}
	return g
}

// density writes the slope of M at t, of every draw, into out.
func (g *drawGrid) density(t float64, out row) {
	i := min(max(1, int(t/g.step)), len(g.m)-3)
	r := t/g.step - float64(i)
	w := [4]float64{-(3*r*r - 6*r + 2) / 6, (3*r*r - 4*r - 1) / 2, -(3*r*r - 2*r - 2) / 2, (3*r*r - 1) / 6}
	for j := range w {
		w[j] /= g.step
	}
	mix(out, w, g.m[i-1], g.m[i], g.m[i+1], g.m[i+2])
}

// unseen adds the lives that began with an unseen renewal; see State.unseen.
func (d *Draws) unseen(s *scratch, h *History, ahead []float64) {
	g := d.grid(h.E)
	var steps []step
	for _, st := range s.steps {
		steps = append(steps, step{at: st.at})
	}
	weight := make(row, d.Len())
	for _, a := range periods(h.E, h.X, d.lifeSpread, nil, steps) {
		for i, node := range gaussNode {
			t, own, jacobian := a.at((1 + node) / 2)
			g.density(t, weight)
			for k := range weight {
				weight[k] = max(0, weight[k]) * gaussNodeWeight[i] / 2 * jacobian
			}
			d.life(s, h, t, own, weight, ahead)
		}
	}
}

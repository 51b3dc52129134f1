package cohort

import (
	"math"
	"sync"
	"sync/atomic"
)

// A life that nobody inspected says no more than its distance, and most lives are
// such: what a model makes of them is one function of the distance for each kernel.
// A lookup holds that function, for one set of parameters, on cells of half an
// octave, as the polynomial through quadratures at the cell's nodes. Each cell is
// held against quadrature between its nodes: one that misses is left to quadrature.
type lookup struct {
	low   float64 // where the first cell begins; below it quadrature answers
	cells []cell
}

// The cells: nodes in each, cells an octave, the most of all, and the largest
// error of the logarithm and its derivatives that the check allows.
const (
	cellNodes = 11
	perOctave = 2
	mostCells = 16
	tolerant  = 2e-7
)

// cell is a polynomial, by its values at Chebyshev's nodes.
type cell struct {
	log   [cellNodes]float64
	d     [curveDims][cellNodes]float64
	rough bool // the polynomial misses
}

// The nodes on [-1, 1] and their barycentric weights (Berrut & Trefethen, SIAM
// Review 46 (2004)).
var nodeAt, nodeWeight = chebyshev()

func chebyshev() (at, weight [cellNodes]float64) {
	sign := 1.0
	for j := range at {
		angle := math.Pi * (float64(j) + 0.5) / cellNodes
		at[j], weight[j] = math.Cos(angle), sign*math.Sin(angle)
		sign = -sign
	}
	return at, weight
}

// newLookup makes the cells that distances from least to most need; nil where
// fewer distances than quadratures would be looked up.
func newLookup(m *model, k kernel, least, most float64, count int) *lookup {
	if !(least > 0) || count < 2*(cellNodes+2) {
		return nil
	}
	n := min(mostCells, int(math.Ceil(perOctave*math.Log2(most/least)*(1+1e-12)))+1)
	if count < 2*n*(cellNodes+2) {
		return nil
	}
	t := &lookup{low: most * math.Exp2((1e-9-float64(n))/perOctave), cells: make([]cell, n)}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range processors(n) {
		wg.Go(func() {
			var w work
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				t.fill(m, &w, k, i)
			}
		})
	}
	wg.Wait()
	return t
}

// checkAt are places between nodes, where a polynomial errs most.
var checkAt = [2]float64{-0.935, 0.1423}

func (t *lookup) fill(m *model, w *work, k kernel, i int) {
	c := &t.cells[i]
	for j, r := range nodeAt {
		c.set(j, m.over(w, t.place(i, r), 0, nil, 0, k))
	}
	for _, r := range checkAt {
		want, got := m.over(w, t.place(i, r), 0, nil, 0, k), c.at(r)
		c.rough = c.rough || !(math.Abs(got.log-want.log) <= tolerant)
		for j := range got.d {
			c.rough = c.rough || !(math.Abs(got.d[j]-want.d[j]) <= tolerant*(1+math.Abs(want.d[j])))
		}
	}
}

// place is the distance at r in [-1, 1] of cell i.
func (t *lookup) place(i int, r float64) float64 {
	return t.low * math.Exp2((float64(i)+(r+1)/2)/perOctave)
}

func (c *cell) set(j int, m mass) {
	c.log[j] = m.log
	for k := range m.d {
		c.d[k][j] = m.d[k]
	}
}

// at is the polynomial at r in [-1, 1].
func (c *cell) at(r float64) (m mass) {
	var sum float64
	for j, at := range nodeAt {
		gap := r - at
		if gap == 0 {
			return mass{c.log[j], [curveDims]float64{c.d[0][j], c.d[1][j], c.d[2][j], c.d[3][j]}}
		}
		b := nodeWeight[j] / gap
		sum += b
		m.log += b * c.log[j]
		m.d[0] += b * c.d[0][j]
		m.d[1] += b * c.d[1][j]
		m.d[2] += b * c.d[2][j]
		m.d[3] += b * c.d[3][j]
	}
	m.log /= sum
	for k := range m.d {
		m.d[k] /= sum
	}
	return m
}

// at is the mass at x; not ok where quadrature has to answer.
func (t *lookup) at(x float64) (mass, bool) {
	if t == nil || !(x >= t.low) {
		return mass{}, false
	}
	l := perOctave * math.Log2(x/t.low)
	i := int(l)
	if i >= len(t.cells) || t.cells[i].rough {
		return mass{}, false
	}
	return t.cells[i].at(2*(l-float64(i)) - 1), true
}

// alone is over for a life that nobody inspected and whose records hide no
// renewals.
func (m *model) alone(w *work, x float64, k kernel) mass {
	if found, ok := m.lookups[k].at(x); ok {
		return found
	}
	return m.over(w, x, 0, nil, 0, k)
}

// reach is what a kernel's lookup has to cover.
type reach struct {
	least, most float64
	count       int
}

func (r *reach) add(x float64) {
	if r.count == 0 || x < r.least {
		r.least = x
	}
	r.most = math.Max(r.most, x)
	r.count++
}

// survey finds what can be looked up among the units.
func (l *likelihood) survey() {
	l.reach = [kernels]reach{}
	for i := range l.units {
		for j := range l.units[i].histories {
			h := &l.units[i].histories[j]
			if l.plain(h) {
				l.reach[h.kernel()].add(h.x)
			}
			if h.end == running && h.e > 0 && !l.same {
				l.reach[gone].add(h.e)
			}
		}
	}
}

// plain tells a life that says no more than its distance.
func (l *likelihood) plain(h *history) bool {
	return len(h.clean) == 0 && (h.e == 0 || !l.same)
}

// kernel is what follows the onset in the life's likelihood.
func (h *history) kernel() kernel {
	if h.end == failed {
		return failing
	}
	return lasting
}

package wear

import (
	"math"
	"sync/atomic"
)

// The tables hold logarithms of smooth functions of distances, as polynomials
// on cells of the logarithm of those distances. A cell is made when it is first
// asked for, from quadrature at its nodes, and checked between them: one that
// misses is halved, down to the narrowest, and then left to quadrature.
// What a cell holds depends on its place alone, so results do not depend on
// who asked first.
const (
	nodes     = 12      // a direction and cell: polynomials of degree 11
	lowOctave = -10     // cells cover distances from 2^lowOctave ...
	octaves   = 40      // ... over this many octaves
	narrowest = 1.0 / 8 // width of a cell that is halved no more, octaves
)

// node places and the matrix from values there to polynomial coefficients.
var nodeAt, toCoef = interpolation()

// interpolation sets up Chebyshev nodes on [-1, 1] and, through the Chebyshev
// polynomials, the coefficients of 1, r, r², ... of the interpolant.
func interpolation() (at [nodes]float64, coef [nodes][nodes]float64) {
	var cheb [nodes][nodes]float64 // cheb[k]: T_k in powers of r
	cheb[0][0], cheb[1][1] = 1, 1
	for k := 2; k < nodes; k++ {
		for i := range nodes {
			cheb[k][i] = -cheb[k-2][i]
			if i > 0 {
				cheb[k][i] += 2 * cheb[k-1][i-1]
			}
		}
	}
	for j := range nodes {
		theta := math.Pi * (float64(j) + 0.5) / nodes
		at[j] = math.Cos(theta)
		for k := range nodes {
			a := 2.0 / nodes * math.Cos(float64(k)*theta)
			if k == 0 {
				a = 1.0 / nodes
			}
			for i := range nodes {
				coef[i][j] += a * cheb[k][i]
			}
		}
	}
	return at, coef
}

// checkAt are places between nodes, where a polynomial errs most.
var checkAt = [3]float64{-0.9445, 0.0785, 0.9721}

// poly is a polynomial on a cell, in powers of the local coordinate.
type poly [nodes]float64

func (p *poly) value(r float64) float64 {
	y := p[nodes-1]
	for i := nodes - 2; i >= 0; i-- {
		y = y*r + p[i]
	}
	return y
}

// fitted is the polynomial through values at the nodes.
func fitted(ys *[nodes]float64) (p poly) {
	for j, y := range ys {
		for i := range nodes {
			p[i] += toCoef[i][j] * y
		}
	}
	return p
}

// along is the polynomial through a function's values at the nodes of s, and
// whether it holds between them.
func along(s span, tolerant float64, exact func(at, out []float64)) (p poly, holds bool) {
	var at, ys [nodes]float64
	for j, r := range nodeAt {
		at[j] = s.place(r)
	}
	exact(at[:], ys[:])
	p = fitted(&ys)
	for j, r := range checkAt {
		at[j] = s.place(r)
	}
	exact(at[:len(checkAt)], ys[:len(checkAt)])
	for j, r := range checkAt {
		if !close(p.value(r), ys[j], tolerant) {
			return p, false
		}
	}
	return p, true
}

// cellKind says how a cell answers.
type cellKind uint8

const (
	smooth     cellKind = iota // by its polynomial
	split                      // by its halves over x
	splitAhead                 // by its halves over d
	rough                      // by quadrature
)

// span is an interval of log2 distance.
type span struct{ lo, width float64 }

func (s span) place(r float64) float64 { return math.Exp2(s.lo + s.width*(r+1)/2) }
func (s span) half(i int) span         { return span{s.lo + float64(i)*s.width/2, s.width / 2} }

// side is the half in which log2 distance l lies.
func (s span) side(l float64) int {
	if l >= s.lo+s.width/2 {
		return 1
	}
	return 0
}

// local is the coordinate in [-1, 1] of log2 distance l.
func (s span) local(l float64) float64 { return 2*(l-s.lo)/s.width - 1 }

// curve is a table over one distance.
type curve struct {
	tolerant float64 // largest error that a check allows
	exact    func(x float64) float64
	cells    [octaves]atomic.Pointer[cell1]
}

type cell1 struct {
	kind  cellKind
	poly  poly
	halfs [2]atomic.Pointer[cell1]
}

// at is the function at x, whose log2 is l.
func (t *curve) at(x, l float64) float64 {
	i := int(math.Floor(l)) - lowOctave
	if i < 0 || i >= octaves {
		return t.exact(x)
	}
	at, s := &t.cells[i], span{float64(i + lowOctave), 1}
	for {
		c := at.Load()
		if c == nil {
			c = t.fill(s)
			at.Store(c)
		}
		switch c.kind {
		case smooth:
			return c.poly.value(s.local(l))
		case rough:
			return t.exact(x)
		}
		k := s.side(l)
		at, s = &c.halfs[k], s.half(k)
	}
}

func (t *curve) fill(s span) *cell1 {
	p, holds := along(s, t.tolerant, func(xs, out []float64) {
		for j, x := range xs {
			out[j] = t.exact(x)
		}
	})
	switch {
	case holds:
		return &cell1{poly: p}
	case s.width > narrowest:
		return &cell1{kind: split}
	}
	return &cell1{kind: rough}
}

// close compares logarithms; false if either is not finite. Of cumulative
// hazards that both leave nothing in a float, no more is asked.
func close(a, b, tolerant float64) bool {
	return math.Abs(a-b) <= tolerant || min(a, b) > logCertain
}

// logCertain is ln 60: e^-60 is nothing beside 1 in a float.
const logCertain = 4.1

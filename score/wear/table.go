package wear

import (
	"math"
	"sync/atomic"
)

// The tables hold logarithms of smooth functions of distances, as polynomials
// on cells of the logarithm of those distances. A cell is made when it is first
// asked for, from quadrature at its nodes, and checked between them: one that
// misses is halved, at most maxHalvings times, and then left to quadrature.
// What a cell holds depends on its place alone, so results do not depend on
// who asked first.
const (
	nodes       = 12  // a direction and cell: polynomials of degree 11
	lowOctave   = -10 // cells cover distances from 2^lowOctave ...
	octaves     = 40  // ... over this many octaves
	maxHalvings = 3   // smallest cell: an eighth of an octave
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

// cellKind says how a cell answers.
type cellKind uint8

const (
	smooth cellKind = iota // by its polynomial
	split                  // by its halves
	rough                  // by quadrature
)

// span is an interval of log2 distance.
type span struct{ lo, width float64 }

func (s span) place(r float64) float64 { return math.Exp2(s.lo + s.width*(r+1)/2) }
func (s span) half(i int) span         { return span{s.lo + float64(i)*s.width/2, s.width / 2} }

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
	coef  [nodes]float64
	halfs [2]atomic.Pointer[cell1]
}

// at is the function at x, whose log2 is l.
func (t *curve) at(x, l float64) float64 {
	i := int(math.Floor(l)) - lowOctave
	if i < 0 || i >= octaves {
		return t.exact(x)
	}
	at, s := &t.cells[i], span{float64(i + lowOctave), 1}
	for depth := 0; ; depth++ {
		c := at.Load()
		if c == nil {
			c = t.fill(s, depth)
			at.Store(c)
		}
		switch c.kind {
		case smooth:
			return c.value(s.local(l))
		case rough:
			return t.exact(x)
		}
		k := 0
		if l >= s.lo+s.width/2 {
			k = 1
		}
		at, s = &c.halfs[k], s.half(k)
	}
}

func (c *cell1) value(r float64) float64 {
	y := c.coef[nodes-1]
	for i := nodes - 2; i >= 0; i-- {
		y = y*r + c.coef[i]
	}
	return y
}

func (t *curve) fill(s span, depth int) *cell1 {
	c := &cell1{}
	for j, r := range nodeAt {
		y := t.exact(s.place(r))
		for i := range nodes {
			c.coef[i] += toCoef[i][j] * y
		}
	}
	for _, r := range checkAt {
		if !close(c.value(r), t.exact(s.place(r)), t.tolerant) {
			c.kind = worse(depth)
			break
		}
	}
	return c
}

// close compares logarithms; false if either is not finite. Of cumulative
// hazards that both leave nothing in a float, no more is asked.
func close(a, b, tolerant float64) bool {
	return math.Abs(a-b) <= tolerant || min(a, b) > logCertain
}

// logCertain is ln 60: e^-60 is nothing beside 1 in a float.
const logCertain = 4.1

func worse(depth int) cellKind {
	if depth < maxHalvings {
		return split
	}
	return rough
}

// surface is a table over two distances: x, the part's own, and d, ahead.
type surface struct {
	tolerant float64 // largest error that a check allows
	// exact writes the function at x and each of ds.
	exact func(x float64, ds, out []float64)
	cells [octaves * octaves]atomic.Pointer[cell2]
}

type cell2 struct {
	kind     cellKind
	coef     [nodes][nodes]float64 // [power of d][power of x]
	quarters [4]atomic.Pointer[cell2]
}

// at is the function at x and d, whose log2 are lx and ld.
func (t *surface) at(x, lx, d, ld float64) float64 {
	i, j := int(math.Floor(lx))-lowOctave, int(math.Floor(ld))-lowOctave
	if i < 0 || i >= octaves || j < 0 || j >= octaves {
		return t.one(x, d)
	}
	at := &t.cells[i*octaves+j]
	sx, sd := span{float64(i + lowOctave), 1}, span{float64(j + lowOctave), 1}
	for depth := 0; ; depth++ {
		c := at.Load()
		if c == nil {
			c = t.fill(sx, sd, depth)
			at.Store(c)
		}
		switch c.kind {
		case smooth:
			return c.value(sx.local(lx), sd.local(ld))
		case rough:
			return t.one(x, d)
		}
		kx, kd := 0, 0
		if lx >= sx.lo+sx.width/2 {
			kx = 1
		}
		if ld >= sd.lo+sd.width/2 {
			kd = 1
		}
		at, sx, sd = &c.quarters[2*kx+kd], sx.half(kx), sd.half(kd)
	}
}

func (t *surface) one(x, d float64) float64 {
	out := [1]float64{}
	t.exact(x, []float64{d}, out[:])
	return out[0]
}

// value runs the rows' Horner schemes side by side: they do not wait for each
// other, which is most of the speed of a look-up.
func (c *cell2) value(rx, rd float64) float64 {
	row := c.coef[nodes-1]
	for i := nodes - 2; i >= 0; i-- {
		from := &c.coef[i]
		for j := range row {
			row[j] = row[j]*rd + from[j]
		}
	}
	y := row[nodes-1]
	for j := nodes - 2; j >= 0; j-- {
		y = y*rx + row[j]
	}
	return y
}

func (t *surface) fill(sx, sd span, depth int) *cell2 {
	c := &cell2{}
	var ds, ys [nodes]float64
	for j, r := range nodeAt {
		ds[j] = sd.place(r)
	}
	for k, r := range nodeAt {
		t.exact(sx.place(r), ds[:], ys[:])
		var along [nodes]float64 // coefficients over d at this x
		for i := range nodes {
			for j, y := range ys {
				along[i] += toCoef[i][j] * y
			}
		}
		for i := range nodes {
			for j := range nodes {
				c.coef[i][j] += toCoef[j][k] * along[i]
			}
		}
	}
	if !t.holds(c, sx, sd) {
		c.kind = worse(depth)
	}
	return c
}

// holds compares a cell with quadrature between its nodes.
func (t *surface) holds(c *cell2, sx, sd span) bool {
	var ds, ys [len(checkAt)]float64
	for j, r := range checkAt {
		ds[j] = sd.place(r)
	}
	for _, rx := range checkAt {
		t.exact(sx.place(rx), ds[:], ys[:])
		for j, rd := range checkAt {
			if !close(c.value(rx, rd), ys[j], t.tolerant) {
				return false
			}
		}
	}
	return true
}

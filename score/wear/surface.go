package wear

import (
	"math"
	"sync/atomic"
)

// surface is a table over two distances: x, the part's own, and d, ahead. Its
// cells begin wide and are halved in the direction in which a polynomial
// misses: over a short way ahead one cell may do for four octaves.
type surface struct {
	tolerant float64 // largest error that a check allows
	// exact writes the function at x and each of ds.
	exact func(x float64, ds, out []float64)
	cells [octaves / widest][octaves / widestAhead]atomic.Pointer[cell2]
}

// Widths of a cell before any halving, octaves of x and of d.
const widest, widestAhead = 2, 4

type cell2 struct {
	kind  cellKind
	coef  *[nodes]poly // [power of d][power of x]; of a smooth one
	halfs [2]atomic.Pointer[cell2]
}

// at is the function at x and d, whose log2 are lx and ld.
func (t *surface) at(x, lx, d, ld float64) float64 {
	i, j := int(math.Floor(lx))-lowOctave, int(math.Floor(ld))-lowOctave
	if i < 0 || i >= octaves || j < 0 || j >= octaves {
		return t.one(x, d)
	}
	i, j = i/widest, j/widestAhead
	at := &t.cells[i][j]
	sx, sd := span{float64(i*widest + lowOctave), widest}, span{float64(j*widestAhead + lowOctave), widestAhead}
	for {
		c := at.Load()
		if c == nil {
			c = t.fill(sx, sd)
			at.Store(c)
		}
		switch c.kind {
		case smooth:
			return c.value(sx.local(lx), sd.local(ld))
		case rough:
			return t.one(x, d)
		case split:
			k := sx.side(lx)
			at, sx = &c.halfs[k], sx.half(k)
		case splitAhead:
			k := sd.side(ld)
			at, sd = &c.halfs[k], sd.half(k)
		}
	}
}

func (t *surface) one(x, d float64) float64 {
	ds, out := [1]float64{d}, [1]float64{}
	t.exact(x, ds[:], out[:])
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
	return row.value(rx)
}

// fill makes the cell over sx and sd. A line in each direction is tried first:
// it tells for a tenth of the work which way a polynomial would miss.
func (t *surface) fill(sx, sd span) *cell2 {
	x, d := sx.place(nodeAt[nodes/2]), sd.place(nodeAt[nodes/2])
	if _, holds := along(sd, t.tolerant, func(ds, out []float64) { t.exact(x, ds, out) }); !holds {
		return halved(sx, sd, splitAhead)
	}
	if _, holds := along(sx, t.tolerant, func(xs, out []float64) {
		for k, x := range xs {
			out[k] = t.one(x, d)
		}
	}); !holds {
		return halved(sx, sd, split)
	}
	c := &cell2{coef: t.interpolate(sx, sd)}
	switch {
	case t.holds(c, sx, sd):
		return c
	case sd.width > sx.width:
		return halved(sx, sd, splitAhead)
	}
	return halved(sx, sd, split)
}

// halved is a cell that answers by its halves in the way asked for, or in the
// other where the cell is too narrow for it, or is rough.
func halved(sx, sd span, way cellKind) *cell2 {
	switch {
	case sx.width <= narrowest && sd.width <= narrowest:
		way = rough
	case sx.width <= narrowest:
		way = splitAhead
	case sd.width <= narrowest:
		way = split
	}
	return &cell2{kind: way}
}

// interpolate is the polynomial through the function's values at the nodes.
func (t *surface) interpolate(sx, sd span) *[nodes]poly {
	coef := &[nodes]poly{}
	var ds, ys [nodes]float64
	for j, r := range nodeAt {
		ds[j] = sd.place(r)
	}
	for k, r := range nodeAt {
		t.exact(sx.place(r), ds[:], ys[:])
		for i, c := range fitted(&ys) { // over d at this x
			for j := range nodes {
				coef[i][j] += toCoef[j][k] * c
			}
		}
	}
	return coef
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

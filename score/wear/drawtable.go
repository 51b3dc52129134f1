package wear

import (
	"math"
	"sync/atomic"

	"pitlist/score/life"
)

// The draws' tables hold logarithms for all draws at the points of a grid, one
// point after another, so that a look-up runs along the draws: a cubic through
// four points a direction, in the logarithm of the distances. A point is made
// when it is first needed, for all draws at once. About 1e-4 is kept: far
// below what 200 draws can tell.

// row is one value a draw.
type row []float64

// stencil is a place on a grid: the first of four points, and their weights.
type stencil struct {
	first  int
	weight [4]float64
}

// ruler is a grid over log2 distance, perOctave points an octave.
type ruler struct{ perOctave float64 }

func (r ruler) points() int { return int(octaves * r.perOctave) }

// distance of point i.
func (r ruler) distance(i int) float64 { return math.Exp2(float64(i)/r.perOctave + lowOctave) }

// find places a distance; beyond the grid's ends it is taken as at the end.
func (r ruler) find(x float64) stencil {
	at := (math.Log2(x) - lowOctave) * r.perOctave
	at = min(max(at, 1), float64(r.points()-3))
	i := int(at)
	t := at - float64(i)
	return stencil{i - 1, [4]float64{
		-t * (t - 1) * (t - 2) / 6, (t + 1) * (t - 1) * (t - 2) / 2,
		-(t + 1) * t * (t - 2) / 2, (t + 1) * t * (t - 1) / 6,
	}}
}

// line is a table over one distance.
type line struct {
	ruler
	make func(x float64) row
	at   []atomic.Pointer[row]
}

func newLine(perOctave float64, make1 func(x float64) row) *line {
	l := &line{ruler: ruler{perOctave}, make: make1}
	l.at = make([]atomic.Pointer[row], l.points())
	return l
}

func (l *line) row(i int) row {
	p := l.at[i].Load()
	if p == nil {
		r := l.make(l.distance(i))
		p = &r
		l.at[i].Store(p)
	}
	return *p
}

// look writes the interpolated logarithms at x into out.
func (l *line) look(x float64, out row) {
	s := l.find(x)
	mix(out, s.weight, l.row(s.first), l.row(s.first+1), l.row(s.first+2), l.row(s.first+3))
}

// mix sets out to the weighted sum of four rows.
func mix(out row, w [4]float64, a, b, c, d row) {
	a, b, c, d = a[:len(out)], b[:len(out)], c[:len(out)], d[:len(out)]
	for k := range out {
		out[k] = w[0]*a[k] + w[1]*b[k] + w[2]*c[k] + w[3]*d[k]
	}
}

// mixOn adds to out what mix would set it to.
func mixOn(out row, w [4]float64, a, b, c, d row) {
	a, b, c, d = a[:len(out)], b[:len(out)], c[:len(out)], d[:len(out)]
	for k := range out {
		out[k] += w[0]*a[k] + w[1]*b[k] + w[2]*c[k] + w[3]*d[k]
	}
}

// sheet is a table over two distances.
type sheet struct {
	over, ahead ruler
	// make gives the rows at x for several ds at once, which share most work.
	make func(x float64, ds []float64) []row
	at   []atomic.Pointer[row]
}

// block is how many points of d are made together.
const block = 2

func newSheet(over, ahead float64, make2 func(x float64, ds []float64) []row) *sheet {
	s := &sheet{over: ruler{over}, ahead: ruler{ahead}, make: make2}
	s.at = make([]atomic.Pointer[row], s.over.points()*s.ahead.points())
	return s
}

func (s *sheet) row(i, j int) row {
	p := s.at[i*s.ahead.points()+j].Load()
	if p != nil {
		return *p
	}
	first := j - j%block
	var ds [block]float64
	for b := range ds {
		ds[b] = s.ahead.distance(first + b)
	}
	rows := s.make(s.over.distance(i), ds[:])
	for b := range rows {
		s.at[i*s.ahead.points()+first+b].Store(&rows[b])
	}
	return rows[j-first]
}

// look writes the interpolated logarithms at x and d into out.
func (s *sheet) look(x, d float64, out row) {
	sx, sd := s.over.find(x), s.ahead.find(d)
	for b := range 4 {
		w, j := sx.weight, sd.first+b
		for a := range w {
			w[a] *= sd.weight[b]
		}
		r0, r1, r2, r3 := s.row(sx.first, j), s.row(sx.first+1, j), s.row(sx.first+2, j), s.row(sx.first+3, j)
		if b == 0 {
			mix(out, w, r0, r1, r2, r3)
		} else {
			mixOn(out, w, r0, r1, r2, r3)
		}
	}
}

// lowest keeps a logarithm of nothing finite, and its opposite one of a hazard
// beyond all measure, so that both can be interpolated.
const lowest = -700

func logOf(v float64) float64 {
	if !(v > 0) {
		return lowest
	}
	return min(max(lowest, math.Log(v)), -lowest)
}

// exp replaces a row's values by their exponentials: most of the draws' time.
func (r row) exp() { life.Exps(r) }

// failed replaces a row's cumulative hazards h by 1 - e^-h.
func (r row) failed(scratch row) {
	for k, h := range r {
		scratch[k] = -h
	}
	scratch.exp()
	for k, h := range r {
		if h < 0.01 {
			r[k] = h * (1 - h/2*(1-h/3*(1-h/4)))
		} else {
			r[k] = 1 - scratch[k]
		}
	}
}

package wear

import (
	"math"
	"slices"

	"pitlist/score/life"
)

// The draws' tables are filled with the same nodes of quadrature for all draws:
// the logarithms of the nodes, half of the work, are then taken once. The nodes
// crowd toward both ends by octaves, as far as any draw's scales ask for.

// around bounds the scales of the draws.
type around struct {
	shortOnset, shortDelay float64 // the smallest median
	onsetPower             float64 // flattens the densities at 0
	onsetKnots, delayKnots []float64
}

func newAround(onset, delay []life.Distribution) around {
	a := around{onsetPower: 2, onsetKnots: knots(onset[0]), delayKnots: knots(delay[0])}
	a.shortOnset, a.shortDelay = math.Inf(1), math.Inf(1)
	for k := range onset {
		a.shortOnset = min(a.shortOnset, onset[k].Quantile(0.5))
		a.shortDelay = min(a.shortDelay, delay[k].Quantile(0.5))
		if w, ok := onset[k].(life.Weibull); ok && w.Shape < 0.75 {
			a.onsetPower = max(a.onsetPower, min(8, math.Ceil(1.5/w.Shape)))
		}
	}
	return a
}

// Gauss-Legendre nodes and weights of order 5 (Abramowitz & Stegun 25.4.30): on
// panels of an octave they miss by less than the tables' cubics do.
var (
	fiveNode   = [5]float64{-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664}
	fiveWeight = [5]float64{0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189}
)

// mesh is a set of nodes over onsets u in [lo, hi], v = end - u.
type mesh struct{ u, v, logU, logV, weight []float64 }

// octavesTo is how many halvings of a length reach below scale, in [0, most].
func octavesTo(length, scale float64, most int) int {
	if !(scale > 0) || math.IsInf(scale, 1) {
		return 0
	}
	return int(min(float64(most), max(0, math.Ceil(math.Log2(length/scale))+1)))
}

// mesh lays nodes over [lo, hi]; up and down are the octaves toward its ends.
func (a *around) mesh(lo, hi, end float64, up, down int, cuts []float64) *mesh {
	c := curves{onsetPower: a.onsetPower, delayPower: 2}
	m := &marks{lo: lo, hi: hi}
	for j := range max(up, down) {
		step := (hi - lo) * math.Exp2(-float64(j+2))
		if j < up {
			m.add(lo + step)
		}
		if j < down {
			m.add(hi - step)
		}
	}
	for _, u := range cuts {
		m.add(u)
	}
	out := &mesh{}
	for _, p := range c.panels(m, end) {
		mid, half := (p.lo+p.hi)/2, (p.hi-p.lo)/2
		for i, node := range fiveNode {
			u, v, jac := p.axis.at(mid + half*node)
			out.u, out.v = append(out.u, u), append(out.v, v)
			out.weight = append(out.weight, fiveWeight[i]*half*jac)
		}
	}
	out.logU, out.logV = logs(out.u), logs(out.v)
	return out
}

func logs(ts []float64) []float64 {
	out := make([]float64, len(ts))
	for i, t := range ts {
		out[i] = math.Log(t)
	}
	return out
}

// fillWorn is, for all draws, the row of ln worn mass at x and after it, for
// each of ds, a row of ln cumulative hazard; see curves.wornSegment.
func (d *Draws) fillWorn(x float64, ds []float64) []row {
	a := &d.around
	marks := slices.Clone(a.onsetKnots)
	for _, v := range a.delayKnots {
		marks = append(marks, x-v)
	}
	m := a.mesh(0, x, x, octavesTo(x, a.shortOnset, 4), octavesTo(x, a.shortDelay, 10), marks)
	n := len(m.u)
	far := make([]*farther, len(ds))
	rows := []row{make(row, d.Len())}
	for j, dist := range ds {
		far[j] = newFarther(m.v, dist)
		rows = append(rows, make(row, d.Len()))
	}
	cum, rate, delay, mass := make(row, n), make(row, n), make(row, n), make(row, n)
	for k := range d.onset {
		life.HazardsOver(d.onset[k], m.u, m.logU, cum, rate)
		life.HazardsOver(d.delay[k], m.v, m.logV, delay, nil)
		least := math.Inf(1) // keeps the masses in range far out in the tail
		for i := range cum {
			least = min(least, cum[i]+delay[i])
		}
		for i := range mass {
			mass[i] = least - cum[i] - delay[i]
		}
		mass.exp()
		sum := 0.0
		for i := range mass {
			mass[i] *= m.weight[i] * rate[i]
			sum += mass[i]
		}
		rows[0][k] = lowest * 1e3
		if sum > 0 && !math.IsInf(least, 1) {
			rows[0][k] = max(lowest*1e3, math.Log(sum)-least)
		}
		for j := range far {
			rows[j+1][k] = logOf(far[j].hazard(d.delay[k], delay, mass, sum))
		}
	}
	return rows
}

// farther is the mesh seen from a further distance.
type farther struct{ v, logV, cum, left, spare row }

func newFarther(v []float64, dist float64) *farther {
	f := &farther{v: slices.Clone(v), cum: make(row, len(v)), left: make(row, len(v)), spare: make(row, len(v))}
	for i := range f.v {
		f.v[i] += dist
	}
	f.logV = logs(f.v)
	return f
}

// hazard is -ln of what is left of the masses, whose delay's cumulative hazard
// was before and whose sum is sum.
func (f *farther) hazard(delay life.Distribution, before, mass row, sum float64) float64 {
	life.HazardsOver(delay, f.v, f.logV, f.cum, nil)
	least := math.Inf(1)
	for i := range f.cum {
		f.cum[i] -= before[i]
		least = min(least, f.cum[i])
	}
	copy(f.left, f.cum)
	f.left.failed(f.spare)
	lost := 0.0
	for i, share := range f.left {
		lost += mass[i] * share
	}
	if lost < 0.5*sum {
		return -math.Log1p(-lost / sum)
	}
	for i, growth := range f.cum {
		f.left[i] = least - growth
	}
	f.left.exp()
	left := 0.0
	for i, share := range f.left {
		left += mass[i] * share
	}
	return least - math.Log(left/sum)
}

// fillSound is, for all draws, the row of ln chance that a part sound at x
// fails within far; see curves.soundFails.
func (d *Draws) fillSound(x, far float64) row {
	a := &d.around
	end := x + far
	marks := slices.Clone(a.onsetKnots)
	for _, v := range a.delayKnots {
		marks = append(marks, end-v)
	}
	up := octavesTo(far, max(x, a.shortOnset/4), 4)
	m := a.mesh(x, end, end, up, octavesTo(far, a.shortDelay, 6), marks)
	n := len(m.u)
	cum, rate, delay, spare := make(row, n), make(row, n), make(row, n), make(row, n)
	out := make(row, d.Len())
	for k := range out {
		life.HazardsOver(d.onset[k], m.u, m.logU, cum, rate)
		life.HazardsOver(d.delay[k], m.v, m.logV, delay, nil)
		before, sum := d.onset[k].CumHazard(x), 0.0
		for i := range cum {
			cum[i] = before - cum[i]
		}
		cum.exp()
		delay.failed(spare)
		for i := range cum {
			sum += m.weight[i] * rate[i] * cum[i] * delay[i]
		}
		out[k] = logOf(sum)
	}
	return out
}

package wear

import (
	"math"
	"slices"

	"pitlist/score/life"
)

// curves are the two life distributions of a part and what a quadrature needs
// to know of them. Everything in this file is exact (adaptive quadrature) and
// slow; tables are filled from it, and it answers where no table reaches.
type curves struct {
	onset, delay life.Distribution
	onsetMarks   []float64 // distances that a quadrature over u should have as limits
	delayMarks   []float64 // likewise over v
	onsetPower   float64   // flattens the onset's density at 0
	delayPower   float64   // flattens the delay's survival at 0
	onsetKnots   []float64 // of a table
	delayKnots   []float64 // of a table
}

func newCurves(onset, delay life.Distribution) curves {
	c := curves{onset: onset, delay: delay, onsetPower: flattening(onset), delayPower: flattening(delay)}
	c.onsetKnots, c.delayKnots = knots(onset), knots(delay)
	c.onsetMarks = append(quantiles(onset, 0.03, 0.5, 0.999), c.onsetKnots...)
	c.delayMarks = append(quantiles(delay, 0.03, 0.5, 0.999), c.delayKnots...)
	return c
}

func knots(d life.Distribution) []float64 {
	if t, ok := d.(interface{ Knots() []float64 }); ok {
		return t.Knots()
	}
	return nil
}

func quantiles(d life.Distribution, ps ...float64) (at []float64) {
	for _, p := range ps {
		if q := d.Quantile(p); q > 0 && !math.IsInf(q, 1) {
			at = append(at, q)
		}
	}
	return at
}

// flattening is the power n of u = τ^n that makes u^(k-1) du at least a third
// power at 0, k the Weibull shape.
func flattening(d life.Distribution) float64 {
	if w, ok := d.(life.Weibull); ok && w.Shape != 1 {
		return min(12, max(1, math.Ceil(4/w.Shape)))
	}
	return 1
}

// marks collects the places that panels over [lo, hi] should have as limits.
type marks struct {
	lo, hi float64
	flat   bool // the density is none at 0 that would want flattening at lo
	at     []float64
}

func (m *marks) add(u float64) {
	if u > m.lo && u < m.hi {
		m.at = append(m.at, u)
	}
}

// panels cuts [lo, hi] at the marks into stretches of two axes: one from lo up
// to the middle, flattened at 0, one from hi down to it, flattened where v = 0.
func (c *curves) panels(m *marks, end float64) []panel {
	mid := (m.lo + m.hi) / 2
	up := axis{end: end, base: m.lo, span: mid - m.lo, power: 1}
	if m.lo == 0 && !m.flat {
		up.power = c.onsetPower
	}
	v0 := end - m.hi
	down := axis{end: end, base: v0, span: m.hi - mid, power: 1, toward: true}
	if v0 < 0.1*(m.hi-mid) {
		down.power = c.delayPower
	}
	slices.Sort(m.at)
	var panels []panel
	cut := func(a axis, inside func(u float64) bool) {
		taus := []float64{0}
		for _, u := range m.at {
			if inside(u) {
				taus = append(taus, a.tau(u))
			}
		}
		taus = append(taus, 1)
		slices.Sort(taus)
		for i := 1; i < len(taus); i++ {
			if taus[i] > taus[i-1] {
				panels = append(panels, panel{a, taus[i-1], taus[i], 0})
			}
		}
	}
	cut(up, func(u float64) bool { return u < mid })
	cut(down, func(u float64) bool { return u > mid })
	return panels
}

// logDensity is ln f(u).
func (c *curves) logDensity(u float64) float64 {
	cum, rate := life.Hazards(c.onset, u)
	return math.Log(rate) - cum
}

// ahead is the growth of the delay's cumulative hazard from v, where it is cumV,
// to v+d. Where d is tiny against v the hazard itself keeps more digits than the
// difference.
func (c *curves) ahead(v, d, cumV float64) float64 {
	if d < tiny*v && c.delayKnots == nil {
		return d * c.delay.Hazard(v+d/2)
	}
	return c.delay.CumHazard(v+d) - cumV
}

// onsetAhead is likewise the growth of the onset's from x to x+d, where it is cum.
func (c *curves) onsetAhead(x, d, cumX, cum float64) float64 {
	if d < tiny*x && c.onsetKnots == nil {
		return d * c.onset.Hazard(x+d/2)
	}
	return cum - cumX
}

// tiny is a way ahead, as a share of the way there, over which a hazard is as
// good as constant: to its square.
const tiny = 1e-5

// wornSegment integrates over onsets in [lo, hi], hi <= x: the logarithm of
// ∫ f(u) Ḡ(x-u) du, and into hazard[j] the worn part's cumulative hazard over
// each further distance ds[j] >= 0, -ln of ∫ f(u) Ḡ(x+d-u) du over that
// integral (Christer & Waller 1984). At most maxParts-1 distances.
func (c *curves) wornSegment(lo, hi, x float64, ds, hazard []float64) (logMass float64) {
	if !(hi > lo) {
		return c.noMass(x-lo, ds, hazard)
	}
	m := c.wornMarks(lo, hi, x, ds)
	panels := c.panels(m, x)
	peak, sizes := c.peaks(m, x, ds)
	if !(peak > hopeless) {
		c.noMass(x-lo, ds, hazard)
		return peak
	}
	f := func(u, v float64, out *parts) {
		lf := c.logDensity(u)
		cum := c.delay.CumHazard(v)
		mass := bounded(lf - cum - peak)
		out[0] = mass
		for j, d := range ds {
			growth := c.ahead(v, d, cum)
			if sizes[j].lost {
				out[j+1] = bounded(lf - cum - growth - sizes[j].peak)
			} else {
				out[j+1] = -mass * math.Expm1(-growth)
			}
		}
	}
	total := integrate(panels, f, len(ds)+1)
	if !(total[0] > 0) {
		return c.noMass(x-lo, ds, hazard)
	}
	for j := range ds {
		ratio := total[j+1] / total[0]
		if sizes[j].lost {
			hazard[j] = max(0, peak-sizes[j].peak-math.Log(ratio))
		} else {
			hazard[j] = -math.Log1p(-min(1, ratio))
		}
	}
	return peak + math.Log(total[0])
}

// noMass answers wornSegment where no mass is left: the hazard is then that of
// an onset at the first of the segment.
func (c *curves) noMass(v float64, ds, hazard []float64) float64 {
	for j, d := range ds {
		hazard[j] = max(0, c.delay.CumHazard(v+d)-c.delay.CumHazard(v))
	}
	return math.Inf(-1)
}

// bounded is exp, held finite where a scaling peak was far too low: such masses
// are beyond any float, and only must not become no numbers.
func bounded(x float64) float64 { return math.Exp(min(x, 600)) }

func (c *curves) wornMarks(lo, hi, x float64, ds []float64) *marks {
	m := &marks{lo: lo, hi: hi}
	for _, u := range c.onsetMarks {
		m.add(u)
	}
	for _, v := range c.delayMarks {
		m.add(x - v)
	}
	for _, d := range ds {
		for _, v := range c.delayKnots {
			m.add(x + d - v)
		}
		// Far ahead the last onsets are all that is left: a thin layer at hi.
		if rate := c.delay.Hazard(x - hi + d); rate*(hi-lo) > 100 {
			m.add(hi - 3/rate)
			m.add(hi - 30/rate)
		}
	}
	return m
}

// hopeless is a logarithm of a mass that no evidence brings back. Below it the
// greatest density stands for the integral, from which it is far less away than
// from any other mass: a mass must not vanish beside a smaller one that is kept.
const hopeless = -1e5

// size says how one further distance is integrated: what is lost on the way
// (small distances), or what is left (lost: nearly all is gone), the latter
// scaled by its own peak as it may be far below the smallest float.
type size struct {
	lost bool
	peak float64
}

// peaks looks at the integrands on a coarse set of places, to scale them.
func (c *curves) peaks(m *marks, x float64, ds []float64) (peak float64, sizes [maxParts]size) {
	var logs [maxParts]float64
	for j := range logs {
		logs[j] = math.Inf(-1)
	}
	var best float64
	look := func(u float64) {
		v := max(0, x-u)
		lf, cum := c.logDensity(u), c.delay.CumHazard(v)
		if lf-cum > logs[0] {
			logs[0], best = lf-cum, u
		}
		for j, d := range ds {
			logs[j+1] = max(logs[j+1], lf-c.delay.CumHazard(v+d))
		}
	}
	before := m.lo
	for _, u := range append(slices.Clone(m.at), m.hi) {
		for i := 1; i < 4; i++ {
			look(before + (u-before)*float64(i)/4)
		}
		before = u
	}
	if logs[0] < -200 { // steep: come closer to the peak, by halving the stride
		for stride := (m.hi - m.lo) / 8; stride > 1e-6*(m.hi-m.lo); stride /= 2 {
			at := best
			look(max(m.lo+1e-9*(m.hi-m.lo), at-stride))
			look(min(m.hi, at+stride))
		}
	}
	for j := range ds {
		sizes[j] = size{lost: logs[j+1] < logs[0]-0.7, peak: logs[j+1]}
	}
	return logs[0], sizes
}

// soundFails is ∫ f(u) G(x+d-u) du over onsets in (x, x+d], given that the part
// is sound at x: the chance that a sound part wears and fails within d. It is
// integrated over the way w from x to the onset, which far beyond most onsets
// is tiny against x.
func (c *curves) soundFails(x, d float64) float64 {
	if !(d > 0) {
		return 0
	}
	m := &marks{hi: d, flat: x > 0}
	cumX, rate := life.Hazards(c.onset, x)
	if c.onset.CumHazard(x+d/2)-cumX > 40 && c.delay.CumHazard(d/2) > 40 {
		return 1 // each had half of the way, and e^-40 is nothing beside 1
	}
	for _, u := range c.onsetMarks {
		m.add(u - x)
	}
	for _, v := range c.delayMarks {
		m.add(d - v)
	}
	if rate > 0 && !math.IsInf(rate, 1) {
		for _, times := range []float64{0.5, 4, 30} { // far out the onset crowds at x
			m.add(times / rate)
		}
	}
	total := integrate(c.panels(m, d), func(w, v float64, out *parts) {
		cum, rate := life.Hazards(c.onset, x+w)
		out[0] = rate * math.Exp(-c.onsetAhead(x, w, cumX, cum)) * -math.Expm1(-c.delay.CumHazard(v))
	}, 1)
	return min(1, total[0])
}

// failureDensity is q(t) = ∫ f(u) g(t-u) du, the density of onset + delay.
func (c *curves) failureDensity(t float64) float64 {
	m := &marks{lo: 0, hi: t}
	for _, u := range c.onsetMarks {
		m.add(u)
	}
	for _, v := range c.delayMarks {
		m.add(t - v)
	}
	total := integrate(c.panels(m, t), func(u, v float64, out *parts) {
		cum, rate := life.Hazards(c.delay, v)
		out[0] = math.Exp(c.logDensity(u)-cum) * rate
	}, 1)
	return total[0]
}

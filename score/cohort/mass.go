package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// The parameters in their places: two of the onset, two of the delay, the logit
// of the share. A family of one parameter leaves its second place unused.
const (
	onsetAt   = 0
	delayAt   = 2
	shareAt   = 4
	curveDims = 4
	dims      = 5
)

// mass is the logarithm of a probability, or of a density, with its derivatives
// in the parameters of the curves.
type mass struct {
	log float64
	d   [curveDims]float64
}

// nothing is the mass of what cannot be.
var nothing = mass{log: math.Inf(-1)}

// plus is the sum of two masses.
func (m mass) plus(o mass) mass {
	if m.log < o.log {
		m, o = o, m
	}
	if math.IsInf(o.log, -1) {
		return m
	}
	r := math.Exp(o.log - m.log)
	share := r / (1 + r)
	for i := range m.d {
		m.d[i] += share * (o.d[i] - m.d[i])
	}
	m.log += math.Log1p(r)
	return m
}

// kernel is what follows the onset at u, over v = x - u.
type kernel uint8

const (
	lasting kernel = iota // not failed yet: 1 - G(v)
	failing               // fails just now: g(v)
	gone                  // has failed: G(v)
)

// perPanel is the number of Gauss-Legendre nodes in a panel.
const perPanel = 8

var gaussAt, gaussWeight = gauss()

// gauss gives nodes and weights on [0, 1].
func gauss() (at, weight [perPanel]float64) {
	quad.Legendre{}.FixedLocations(at[:], weight[:], 0, 1)
	return at, weight
}

// model is the pair of curves at one set of parameters; it is read by several
// goroutines at once.
type model struct {
	onset, delay curve
	unseen       *unseen // lives begun by unseen renewals; nil: none
}

// work is what one goroutine reuses from integral to integral.
type work struct {
	limits []limit
	log    []float64
	weight []float64
	d      [][curveDims]float64
	begun  begun
}

// limit is the lower end of a panel with the log of c(u) in it.
type limit struct{ at, factor float64 }

// negligible is the log of a share of an integral that no result shows.
const negligible = -32

// over is ln ∫₀ˣ c(u) f(u) K(x-u) du with its derivatives: K the kernel, f the
// onset's density (with e > 0 that of all lives begun before e by renewals that
// nobody saw), and c(u) the log miss for every clean inspection at or after u.
func (m *model) over(w *work, x, e float64, clean []float64, miss float64, k kernel) mass {
	w.cut(m, x, e, clean, miss)
	w.log, w.weight, w.d = w.log[:0], w.weight[:0], w.d[:0]
	top := math.Inf(-1)
	for i := len(w.limits) - 2; i >= 0; i-- {
		p := panel{lo: w.limits[i].at, hi: w.limits[i+1].at, end: x}
		factor := w.limits[i].factor
		if m.fades(p, k, factor, top) {
			continue
		}
		p.flatten(m)
		top = math.Max(top, m.fill(w, p, factor, e, k))
	}
	return w.sum(top)
}

// fades tells a panel that adds nothing to a sum whose greatest term is e^top: the
// kernel only falls with v there, and the onsets have at most mass 1.
func (m *model) fades(p panel, k kernel, factor, top float64) bool {
	v := p.end - p.hi
	if k == gone || m.unseen != nil || !(v > m.delay.far) || !(p.hi > m.onset.far/64) {
		return false
	}
	j := m.delay.at(v, math.Log(v))
	bound := factor - j.cum
	if k == failing {
		bound += j.rate
	}
	return bound+math.Log(p.end) < top+negligible
}

// sum adds up what the panels have filled in.
func (w *work) sum(top float64) mass {
	if !(top > math.Inf(-1)) {
		return nothing
	}
	var total float64
	var d [curveDims]float64
	for i, l := range w.log {
		t := w.weight[i] * math.Exp(l-top)
		total += t
		for j := range d {
			d[j] += t * w.d[i][j]
		}
	}
	if !(total > 0) {
		return nothing
	}
	for j := range d {
		d[j] /= total
	}
	return mass{top + math.Log(total), d}
}

// cut lists the limits of the panels over [0, x].
func (w *work) cut(m *model, x, e float64, clean []float64, miss float64) {
	at := append(w.limits[:0], limit{at: 0})
	add := func(u float64) {
		if u > 0 && u < x {
			at = append(at, limit{at: u})
		}
	}
	for _, u := range m.onset.marks {
		add(u)
	}
	for _, v := range m.delay.marks {
		add(x - v)
	}
	for _, y := range clean {
		add(y)
	}
	if e > 0 && m.unseen != nil {
		add(e)
		m.unseen.marks(math.Min(e, x), add)
	}
	slices.SortFunc(at, func(a, b limit) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	if m.onset.family != table && m.delay.family != table && len(at) == 1 {
		add(x / 2) // an end for each singularity
	}
	at = append(at, limit{at: x})
	w.limits = merged(at)
	i := 0
	for j := range w.limits {
		for i < len(clean) && clean[i] <= w.limits[j].at {
			i++
		}
		w.limits[j].factor = float64(len(clean)-i) * miss
	}
}

// merged drops limits that lie on each other.
func merged(at []limit) []limit {
	tiny := at[len(at)-1].at * 1e-13
	out := at[:1]
	for _, l := range at[1:] {
		if l.at-out[len(out)-1].at > tiny {
			out = append(out, l)
		}
	}
	return out
}

// panel is a stretch of onsets u in [lo, hi] of [0, end]. It is cut into nodes by a
// power of a parameter, which flattens the onset's density at u = 0, or what
// follows at v = end - u = 0, as far as the panel comes near there.
type panel struct {
	lo, hi, end float64
	power       int
	toward      bool    // the power is of v, else of u
	from, span  float64 // of the parameter
}

// wide is the ratio of a panel's ends from which on it comes near a singularity.
const wide = 4

func (p *panel) flatten(m *model) {
	v := p.end - p.hi
	switch {
	case m.onset.power > 1 && p.hi > wide*p.lo:
		p.power, p.from, p.span = m.onset.power, p.lo, p.hi
	case m.delay.power > 1 && p.end-p.lo > wide*v:
		p.power, p.toward, p.from, p.span = m.delay.power, true, v, p.end-p.lo
	default:
		p.power, p.from, p.span = 1, p.lo, p.hi
	}
	if p.power > 1 {
		root := 1 / float64(p.power)
		p.from, p.span = math.Pow(p.from, root), math.Pow(p.span, root)
	}
	p.span -= p.from
}

// at is the onset u, the distance v since, and the length that a node stands for,
// less its weight.
func (p *panel) at(node float64) (u, v, jacobian float64) {
	t := p.from + p.span*node
	w, dw := t, p.span
	for n := 1; n < p.power; n++ {
		dw *= t
	}
	if p.power > 1 {
		w, dw = dw/p.span*t, dw*float64(p.power)
	}
	if p.toward {
		return p.end - w, w, dw
	}
	return w, p.end - w, dw
}

// fill appends a panel's nodes, and returns the greatest of their logarithms.
func (m *model) fill(w *work, p panel, factor, e float64, k kernel) (top float64) {
	top = math.Inf(-1)
	for i, node := range gaussAt {
		u, v, jacobian := p.at(node)
		log, d := m.began(w, u, e)
		j := m.delay.at(v, math.Log(v))
		switch k {
		case lasting:
			log -= j.cum
			d[delayAt] -= j.dcum[0]
			d[delayAt+1] -= j.dcum[1]
		case failing:
			log += j.rate - j.cum
			d[delayAt] += j.drate[0] - j.dcum[0]
			d[delayAt+1] += j.drate[1] - j.dcum[1]
		default:
			log += math.Log(-math.Expm1(-j.cum))
			odds := 1 / math.Expm1(j.cum)
			d[delayAt] += j.dcum[0] * odds
			d[delayAt+1] += j.dcum[1] * odds
		}
		log += factor
		if !(log > math.Inf(-1)) || !(v > 0 && u > 0) {
			continue
		}
		w.log, w.d = append(w.log, log), append(w.d, d)
		w.weight = append(w.weight, gaussWeight[i]*jacobian)
		top = math.Max(top, log)
	}
	return top
}

// began is the log density of an onset at u, in the first life or, with e > 0, in
// one begun before e.
func (m *model) began(w *work, u, e float64) (log float64, d [curveDims]float64) {
	j := m.onset.at(u, math.Log(u))
	d[0], d[1] = j.drate[0]-j.dcum[0], j.drate[1]-j.dcum[1]
	log = j.rate - j.cum
	if e > 0 && m.unseen != nil {
		return m.again(w, u, e, log, d)
	}
	return log, d
}

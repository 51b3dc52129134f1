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
	kernels
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
	unseen       *unseen          // lives begun by unseen renewals; nil: none
	lookups      [kernels]*lookup // of lives that nobody inspected; nil: by quadrature
}

// work is what one goroutine reuses from integral to integral.
type work struct {
	limits []limit
	panels []nodes
	used   int // of panels
	begun  begun
}

// nodes are a panel's: the logarithm of what is summed, its derivatives, and the
// length that a node stands for.
type nodes struct {
	log, length row
	d           [curveDims]row
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
	w.used = 0
	top := math.Inf(-1)
	for i := len(w.limits) - 2; i >= 0; i-- {
		p := panel{lo: w.limits[i].at, hi: w.limits[i+1].at, end: x}
		factor := w.limits[i].factor
		if m.fades(p, k, e, factor, top) {
			continue
		}
		p.flatten(m)
		top = math.Max(top, m.fill(w, p, factor, e, k))
	}
	return w.sum(top)
}

// fades tells a panel that adds nothing to a sum whose greatest term is e^top: the
// kernel only falls with v there, and the onsets have at most mass 1.
func (m *model) fades(p panel, k kernel, e, factor, top float64) bool {
	v := p.end - p.hi
	if k == gone || e > 0 && m.unseen != nil || !(v > m.delay.far) || !(p.hi > m.onset.far/64) {
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
	var total, a, b, c, d float64
	for i := range w.panels[:w.used] {
		p := &w.panels[i]
		for j, l := range p.log {
			if l < top+negligible {
				continue
			}
			t := p.length[j] * math.Exp(l-top)
			total += t
			a += t * p.d[0][j]
			b += t * p.d[1][j]
			c += t * p.d[2][j]
			d += t * p.d[3][j]
		}
	}
	if !(total > 0) {
		return nothing
	}
	return mass{top + math.Log(total), [curveDims]float64{a / total, b / total, c / total, d / total}}
}

// cut lists the limits of the panels over [0, x].
func (w *work) cut(m *model, x, e float64, clean []float64, miss float64) {
	w.limits = append(w.limits[:0], limit{})
	for _, u := range m.onset.marks {
		w.add(u, x)
	}
	for _, v := range m.delay.marks {
		w.add(x-v, x)
	}
	for _, y := range clean {
		w.add(y, x)
	}
	if e > 0 && m.unseen != nil {
		m.unseen.marks(w, math.Min(e, x), x)
	}
	if len(w.limits) == 1 {
		w.add(x/2, x) // an end for each singularity
	}
	w.limits = append(w.limits, limit{at: x})
	i := 0
	for j := range w.limits {
		for i < len(clean) && clean[i] <= w.limits[j].at {
			i++
		}
		w.limits[j].factor = float64(len(clean)-i) * miss
	}
}

// tiny is the share of the whole below which a stretch is none.
const tiny = 1e-13

// add puts u among the limits, which ascend, if it lies within (0, x) and not on
// another.
func (w *work) add(u, x float64) {
	if !(u > tiny*x && u < x-tiny*x) {
		return
	}
	i := len(w.limits)
	for i > 0 && w.limits[i-1].at > u {
		i--
	}
	if i > 0 && u-w.limits[i-1].at <= tiny*x || i < len(w.limits) && w.limits[i].at-u <= tiny*x {
		return
	}
	w.limits = slices.Insert(w.limits, i, limit{at: u})
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

// at writes the nodes' onsets u, the distances v since, and the lengths that the
// nodes stand for.
func (p *panel) at(u, v, length *row) {
	for i, node := range gaussAt {
		t := p.from + p.span*node
		w, dw := t, p.span*gaussWeight[i]
		if p.power > 1 {
			power := 1.0
			for n := 1; n < p.power; n++ {
				power *= t
			}
			w, dw = power*t, power*dw*float64(p.power)
		}
		length[i] = dw
		if p.toward {
			u[i], v[i] = p.end-w, w
		} else {
			u[i], v[i] = w, p.end-w
		}
	}
}

// fill makes a panel's nodes, and returns the greatest of their logarithms.
func (m *model) fill(w *work, p panel, factor, e float64, k kernel) (top float64) {
	if w.used == len(w.panels) {
		w.panels = append(w.panels, nodes{})
	}
	n := &w.panels[w.used]
	w.used++
	var u, v row
	p.at(&u, &v, &n.length)
	if e > 0 && m.unseen != nil {
		m.anyLife(w, &u, e, n)
	} else {
		m.onset.density(&u, &n.log, &n.d[0], &n.d[1])
	}
	m.follow(k, &v, n, e)
	top = math.Inf(-1)
	for i := range n.log {
		n.log[i] += factor
		if !(n.log[i] > math.Inf(-1)) || !(u[i] > 0 && v[i] > 0) {
			n.log[i] = math.Inf(-1) // nothing; never no number
		}
		top = math.Max(top, n.log[i])
	}
	return top
}

// follow multiplies by what follows the onsets over v.
func (m *model) follow(k kernel, v *row, n *nodes, e float64) {
	var log, c, d row
	switch k {
	case lasting:
		m.delay.lasts(v, &log, &c, &d)
	case failing:
		m.delay.density(v, &log, &c, &d)
	default:
		m.delay.goes(v, &log, &c, &d)
	}
	seen := e > 0 && m.unseen != nil
	for i := range log {
		n.log[i] += log[i]
		if !seen { // the onset's density then knows nothing of the delay
			n.d[2][i], n.d[3][i] = 0, 0
		}
		n.d[2][i] += c[i]
		n.d[3][i] += d[i]
	}
}

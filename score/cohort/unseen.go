package cohort

import "math"

// Renewals by the same design before the records begin: with q the density of
// onset + delay, lives begin at the density m(t) = q(t) + ∫ q(s) m(t-s) ds
// besides the first at 0. An onset at w, in whatever life, then has the density
//
//	f(w) + ∫₀^min(w, E) m(t) f(w-t) dt,
//
// and every mass of MODEL.md with its m-term is the plain one with this density
// in place of f: c(u) is taken at the onset's place as it should. Both integrals
// are solved once for each set of parameters on equal steps, with their
// derivatives, by the midpoint rule of Xie, Microelectronics Reliability 29
// (1989), whose kernel has no singularity whatever the shapes.
type unseen struct {
	step   float64
	begins [1 + curveDims][]float64 // ∫₀ᵗ m and its derivatives, at whole steps
	onsets [1 + curveDims][]float64 // ∫₀ᵗ of the second term above, likewise
	spread float64                  // over which the densities are smooth
	fewest float64                  // panels of beginnings
	onset  [3][]float64             // the onset's density and its derivatives, likewise
}

// unseenSteps is how finely the lives before the records are solved, where nobody says otherwise.
const unseenSteps = 512

// newUnseen solves the renewals over [0, end] on so many steps, for lives that go on to longest.
func newUnseen(m *model, end, longest float64, steps int) *unseen {
	s := &unseen{step: end / float64(steps), spread: spreadOf(&m.onset), fewest: 2}
	if m.onset.family == table {
		s.fewest = 10 // panels do not know where the curve bends
	}
	plain := model{onset: m.onset, delay: m.delay}
	var w work
	var half [1 + curveDims][]float64 // the share failed, at half steps
	for i := range half {
		half[i] = make([]float64, 2*steps+1)
	}
	for i := 1; i <= 2*steps; i++ {
		q := plain.over(&w, float64(i)*s.step/2, 0, nil, 0, gone)
		share := math.Exp(q.log)
		half[0][i] = share
		for j := range q.d {
			half[1+j][i] = share * q.d[j]
		}
	}
	s.begins = renewals(half)
	s.onsets = convolved(&m.onset, s.begins, s.step)
	s.tabulate(&m.onset, longest)
	return s
}

// mostTabulated bounds the onset's table where lives go on far past the records'
// latest beginning.
const mostTabulated = 16 * unseenSteps

// tabulate takes the onset's density at whole steps: between them it is smooth,
// save close to 0, where it is reckoned anew.
func (s *unseen) tabulate(c *curve, longest float64) {
	n := int(math.Min(mostTabulated, math.Ceil(longest/s.step)+3))
	for j := range s.onset {
		s.onset[j] = make([]float64, n)
	}
	for i := 1; i < n; i++ {
		s.onset[0][i], s.onset[1][i], s.onset[2][i] = densityOf(c, float64(i)*s.step)
	}
}

// densityOf is a density with its derivatives.
func densityOf(c *curve, t float64) (f, d0, d1 float64) {
	j := c.at(t, math.Log(t))
	f = math.Exp(j.rate - j.cum)
	return f, f * (j.drate[0] - j.dcum[0]), f * (j.drate[1] - j.dcum[1])
}

// nearZero is how many steps from 0 the onset's table is not used.
const nearZero = 6

// density is the onset's at t, with its derivatives, cubic between steps.
func (s *unseen) density(c *curve, t float64) (f, d0, d1 float64) {
	place := t / s.step
	i := int(place)
	if i < nearZero || i+3 > len(s.onset[0]) || c.family == table {
		return densityOf(c, t)
	}
	r := place - float64(i)
	// Lagrange's weights for the steps i-1 to i+2.
	w0, w1 := -r*(r-1)*(r-2)/6, (r+1)*(r-1)*(r-2)/2
	w2, w3 := -(r+1)*r*(r-2)/2, (r+1)*r*(r-1)/6
	a, b, e := s.onset[0][i-1:i+3:i+3], s.onset[1][i-1:i+3:i+3], s.onset[2][i-1:i+3:i+3]
	f = w0*a[0] + w1*a[1] + w2*a[2] + w3*a[3]
	d0 = w0*b[0] + w1*b[1] + w2*b[2] + w3*b[3]
	d1 = w0*e[0] + w1*e[1] + w2*e[2] + w3*e[3]
	return f, d0, d1
}

// spreadOf is the distance between the first and the last tenth of onsets.
func spreadOf(c *curve) float64 {
	lo, hi := c.of.Quantile(0.1), c.of.Quantile(0.9)
	if math.IsInf(hi, 1) || !(hi > lo) {
		return math.MaxFloat64
	}
	return hi - lo
}

// renewals solves M = Q + ∫ Q(t-s) dM(s) on whole steps from Q on half steps, and
// the same equation differentiated.
func renewals(half [1 + curveDims][]float64) (m [1 + curveDims][]float64) {
	n := (len(half[0]) - 1) / 2
	var rise [1 + curveDims][]float64
	for j := range m {
		m[j], rise[j] = make([]float64, n+1), make([]float64, n+1)
	}
	q := half[0]
	for i := 1; i <= n; i++ {
		sum := q[2*i] - q[1]*m[0][i-1]
		for s := 1; s < i; s++ {
			sum += q[2*(i-s)+1] * rise[0][s]
		}
		m[0][i] = sum / (1 - q[1])
		rise[0][i] = m[0][i] - m[0][i-1]
	}
	for j := 1; j <= curveDims; j++ {
		dq := half[j]
		for i := 1; i <= n; i++ {
			sum := dq[2*i] + dq[1]*rise[0][i] - q[1]*m[j][i-1]
			for s := 1; s < i; s++ {
				sum += dq[2*(i-s)+1]*rise[0][s] + q[2*(i-s)+1]*rise[j][s]
			}
			m[j][i] = sum / (1 - q[1])
			rise[j][i] = m[j][i] - m[j][i-1]
		}
	}
	return m
}

// convolved is ∫₀ᵗ F(t-s) dM(s) at whole steps, with its derivatives.
func convolved(onset *curve, m [1 + curveDims][]float64, step float64) (r [1 + curveDims][]float64) {
	n := len(m[0]) - 1
	var share [3][]float64 // F and its derivatives at the middles of the steps
	for j := range share {
		share[j] = make([]float64, n)
	}
	for i := range n {
		log, d := onset.survival((float64(i) + 0.5) * step)
		share[0][i] = -math.Expm1(log)
		share[1][i], share[2][i] = -math.Exp(log)*d[0], -math.Exp(log)*d[1]
	}
	for j := range r {
		r[j] = make([]float64, n+1)
		for i := 1; i <= n; i++ {
			sum := 0.0
			for s := 1; s <= i; s++ {
				sum += share[0][i-s] * (m[j][s] - m[j][s-1])
				if j == 1 || j == 2 {
					sum += share[j][i-s] * (m[0][s] - m[0][s-1])
				}
			}
			r[j][i] = sum
		}
	}
	return r
}

// slopes is the derivative at t of values on equal steps, from the cubic through
// the four nearest.
func (s *unseen) slopes(of *[1 + curveDims][]float64, t float64) (out [1 + curveDims]float64) {
	n := len(of[0]) - 1
	i := min(max(1, int(t/s.step)), n-2)
	r := t/s.step - float64(i)
	a, b := -(3*r*r-6*r+2)/6, (3*r*r-4*r-1)/2
	c, d := -(3*r*r-2*r-2)/2, (3*r*r-1)/6
	for j := range out {
		v := of[j][i-1 : i+3]
		out[j] = (a*v[0] + b*v[1] + c*v[2] + d*v[3]) / s.step
	}
	if !(out[0] > 0) {
		return [1 + curveDims]float64{}
	}
	return out
}

// marks adds limits for panels over lives begun before e.
func (s *unseen) marks(w *work, e, x float64) {
	w.add(e, x)
	n := math.Min(12, math.Ceil(e/s.spread))
	for i := 1.0; i < n; i++ {
		w.add(e*i/n, x)
	}
}

// stretches is how many stretches of beginnings a density with jumps gets.
const stretches = 64

// begun is one history's lives begun before its records, at Gauss's nodes.
type begun struct {
	e      float64
	at     []float64
	weight [1 + curveDims][]float64 // m(t) times the node's length, with derivatives
}

// set fills in the nodes for records that begin at e.
func (b *begun) set(s *unseen, e float64) {
	if b.e == e {
		return
	}
	b.e, b.at = e, b.at[:0]
	for j := range b.weight {
		b.weight[j] = b.weight[j][:0]
	}
	n := math.Min(12, math.Max(s.fewest, math.Ceil(2*e/s.spread)))
	for i := range int(n) {
		for k, tau := range gaussAt {
			t := e * (float64(i) + tau) / n
			m := s.slopes(&s.begins, t)
			b.at = append(b.at, t)
			for j := range m {
				b.weight[j] = append(b.weight[j], m[j]*gaussWeight[k]*e/n)
			}
		}
	}
}

// anyLife writes the log density of an onset at the places u, in the first life or
// in one begun before e, with its derivatives.
func (m *model) anyLife(w *work, u *row, e float64, n *nodes) {
	for i, at := range u {
		var d [curveDims]float64
		n.log[i], d = m.again(w, at, e)
		for k := range d {
			n.d[k][i] = d[k]
		}
	}
}

// again is the log density of an onset at u in any life, with its derivatives.
func (m *model) again(w *work, u, e float64) (float64, [curveDims]float64) {
	sum, d0, d1 := densityOf(&m.onset, u)
	d := [curveDims]float64{d0, d1}
	if u <= e {
		r := m.unseen.slopes(&m.unseen.onsets, u)
		sum += r[0]
		for j := range d {
			d[j] += r[1+j]
		}
	} else {
		sum += m.later(w, u, e, &d)
	}
	if !(sum > 0) {
		return math.Inf(-1), [curveDims]float64{}
	}
	for j := range d {
		d[j] /= sum
	}
	return math.Log(sum), d
}

// later is the density of an onset at u > e in a life begun before e; it adds its
// derivatives to d.
func (m *model) later(w *work, u, e float64, d *[curveDims]float64) (sum float64) {
	w.begun.set(m.unseen, e)
	b := &w.begun
	if m.onset.family == table {
		return m.laterSteps(b, u, d)
	}
	for i, t := range b.at {
		f, d0, d1 := m.unseen.density(&m.onset, u-t)
		begins := b.weight[0][i]
		sum += f * begins
		d[0] += f*b.weight[1][i] + d0*begins
		d[1] += f*b.weight[2][i] + d1*begins
		d[2] += f * b.weight[3][i]
		d[3] += f * b.weight[4][i]
	}
	return sum
}

// laterSteps is later for a density with jumps: over each stretch of beginnings its
// integral, which has none, instead of its value.
func (m *model) laterSteps(b *begun, u float64, d *[curveDims]float64) (sum float64) {
	log, slope := m.onset.survival(u)
	before := math.Exp(log)
	dBefore := before * slope[0]
	stretch := b.e / stretches
	for i := range stretches {
		log, slope = m.onset.survival(u - float64(i+1)*stretch)
		after := math.Exp(log)
		dAfter := after * slope[0]
		begins := m.unseen.slopes(&m.unseen.begins, (float64(i)+0.5)*stretch)
		f, df := after-before, dAfter-dBefore
		sum += f * begins[0]
		for k := range d {
			d[k] += f * begins[1+k]
		}
		d[0] += df * begins[0]
		before, dBefore = after, dAfter
	}
	return sum
}

// sound is the mass of no onset by x: in the first life, or in one begun before e.
func (m *model) sound(w *work, x, e float64) mass {
	log, d := m.onset.survival(x)
	out := mass{log: log, d: [curveDims]float64{d[0], d[1]}}
	if !(e > 0) || m.unseen == nil {
		return out
	}
	w.begun.set(m.unseen, e)
	var sum float64
	var ds [curveDims]float64
	for i, t := range w.begun.at {
		log, d := m.onset.survival(x - t)
		s := math.Exp(log)
		sum += s * w.begun.weight[0][i]
		for k := range ds {
			ds[k] += s * w.begun.weight[1+k][i]
		}
		s *= w.begun.weight[0][i]
		ds[0] += s * d[0]
		ds[1] += s * d[1]
	}
	if !(sum > 0) {
		return out
	}
	for k := range ds {
		ds[k] /= sum
	}
	return out.plus(mass{math.Log(sum), ds})
}

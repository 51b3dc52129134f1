package wear

import (
	"cmp"
	"math"
	"slices"
)

// scratch holds one call's rows.
type scratch struct {
	worn, notWorn row    // likelihoods of the observations as of today
	mass, sound   row    // masses of the weak population, summed over lives
	lost, fails   [2]row // what of them fails over each distance
	a, b, c, e    row    // within one life
	before        row    // hazard between an observation and today
	steps         []drawStep
	order         []int // observations by their place
	more          []row // rows of the steps, as many as were ever needed
	used          int   // of more
}

// one hands out one more row of n values.
func (s *scratch) one(n int) row {
	if s.used == len(s.more) {
		s.more = append(s.more, make(row, n))
	}
	s.used++
	return s.more[s.used-1]
}

// drawStep is c(u) in Abel's form, as step.
type drawStep struct {
	at     float64
	weight row
}

func newScratch(n int) *scratch {
	all := make(row, 13*n)
	next := func() row { r := all[:n:n]; all = all[n:]; return r }
	return &scratch{
		worn: next(), notWorn: next(), mass: next(), sound: next(),
		lost: [2]row{next(), next()}, fails: [2]row{next(), next()},
		a: next(), b: next(), c: next(), e: next(), before: next(),
	}
}

func (r row) fill(v float64) {
	for k := range r {
		r[k] = v
	}
}

// Assess is Model.Assess and State.Follow in every draw, for the distances next
// and hold ahead: dst[k] is what draw k says. dst must have Len elements. The
// observations are in seen; h.Factors is not looked at.
func (d *Draws) Assess(h History, seen []Seen, next, hold float64, dst []DrawState) {
	s := d.scratchPool.Get().(*scratch)
	defer d.scratchPool.Put(s)
	ahead := [2]float64{distance(next), distance(hold)}
	d.weigh(s, &h, seen, ahead[:])
	for k := range dst {
		w, sound, _ := d.posterior(s, &h, k)
		dst[k] = DrawState{
			Sound: sound, Worn: w,
			FailWornNext: part(s.lost[0][k], s.mass[k]), FailSoundNext: part(s.fails[0][k], s.sound[k]),
			FailWornHold: part(s.lost[1][k], s.mass[k]), FailSoundHold: part(s.fails[1][k], s.sound[k]),
		}
	}
}

// part is a share in [0, 1]; 0 of nothing.
func part(of, whole float64) float64 {
	if !(whole > 0) {
		return 0
	}
	return min(1, max(0, of/whole))
}

// posterior normalises draw k's masses.
func (d *Draws) posterior(s *scratch, h *History, k int) (worn, sound, rest float64) {
	if h.Found {
		return 1, 0, 0
	}
	p := h.Share
	if d.shares != nil && p > 0 && p < 1 {
		p = d.shares[k]
	}
	worn = p * s.worn[k] * s.mass[k]
	sound = p * s.notWorn[k] * s.sound[k]
	rest = (1 - p) * s.notWorn[k]
	if h.E > 0 && d.replacement == Improved {
		rest += p * s.notWorn[k] * s.c[k] // rectified
	}
	sum := worn + sound + rest
	if !(sum > 0) {
		return 0, 0, 0
	}
	return worn / sum, sound / sum, rest / sum
}

// weigh fills the scratch: likelihoods, masses, and what fails ahead.
func (d *Draws) weigh(s *scratch, h *History, seen []Seen, ahead []float64) {
	h.clean()
	d.observe(s, h, seen)
	s.mass.fill(0)
	s.sound.fill(0)
	for j := range ahead {
		s.lost[j].fill(0)
		s.fails[j].fill(0)
	}
	d.life(s, h, 0, h.X, nil, ahead)
	if h.E > 0 && d.replacement == Same {
		d.unseen(s, h, ahead)
	}
	for k := range s.mass {
		s.mass[k] = max(0, s.mass[k]) // steps that nearly cancel leave less than the tables keep
	}
	if h.E > 0 && d.replacement == Improved {
		d.gone.look(h.E, s.c)
		s.c.exp()
	}
}

// observe multiplies the likelihoods of today, and sets up the steps of c(u)
// if any observation is dated before today or wear was found.
func (d *Draws) observe(s *scratch, h *History, seen []Seen) {
	s.worn.fill(1)
	s.notWorn.fill(1)
	s.steps = s.steps[:0]
	dated := h.Found && h.FoundWornAt < h.X
	for _, e := range seen {
		times(s.worn, e.Worn)
		times(s.notWorn, e.NotWorn)
		dated = dated || e.At < h.X
	}
	if !dated {
		return
	}
	s.worn.fill(1) // all in the steps
	s.steps = d.steps(s, h, seen)
}

// times multiplies a row by one value a draw, or by one for all.
func times(r row, by []float64) {
	if len(by) == 1 {
		for k := range r {
			r[k] *= max(0, by[0])
		}
		return
	}
	by = by[:len(r)]
	for k := range r {
		r[k] *= max(0, by[k])
	}
}

// steps is History.steps in every draw, row by row: the places are the same
// in all.
func (d *Draws) steps(s *scratch, h *History, seen []Seen) []drawStep {
	end := h.X
	if h.Found {
		end = h.FoundWornAt
	}
	s.used = 0
	s.order = s.order[:0]
	for i := range seen {
		s.order = append(s.order, i)
	}
	slices.SortFunc(s.order, func(a, b int) int { return cmp.Compare(seen[a].At, seen[b].At) })
	after := d.after(s, seen)
	before, level := s.one(d.Len()), s.one(d.Len()) // as in History.steps
	before.fill(1)
	copy(level, after[0])
	out := s.steps[:0]
	for i, at := range s.order {
		if seen[at].At >= end {
			break
		}
		times(before, seen[at].NotWorn)
		drop := s.one(d.Len())
		for k := range drop {
			next := before[k] * after[i+1][k]
			drop[k], level[k] = level[k]-next, next
		}
		if seen[at].At > 0 {
			out = append(out, drawStep{seen[at].At, drop})
		}
	}
	return append(out, drawStep{end, level})
}

// after is for each observation, in their order, the product of Worn from it
// on; the last row is all ones.
func (d *Draws) after(s *scratch, seen []Seen) []row {
	rows := make([]row, len(seen)+1)
	for i := range rows {
		rows[i] = s.one(d.Len())
	}
	rows[len(seen)].fill(1)
	for i := len(seen) - 1; i >= 0; i-- {
		copy(rows[i], rows[i+1])
		times(rows[i], seen[s.order[i]].Worn)
	}
	return rows
}

// life adds one life of the part, that began at begin and is x long now, to
// the masses and to what fails ahead. weight is nil for the life on record.
func (d *Draws) life(s *scratch, h *History, begin, x float64, weight row, ahead []float64) {
	d.survival(x, s.a)
	alone := h.E == 0 && h.Share == 1 && len(s.steps) == 0
	if len(s.steps) == 0 {
		d.mass.look(x, s.b)
		d.masses(s, weight, alone)
	} else {
		s.a.exp()
		for k := range s.a {
			s.a[k] *= of(weight, k)
			s.sound[k] += s.a[k]
		}
		d.stretches(s, begin, x, weight, ahead)
	}
	for j, far := range ahead {
		if !(far > 0) {
			continue
		}
		if len(s.steps) == 0 {
			d.hazard(x, far, s.c)
			s.c.failed(s.e)
			for k, share := range s.c {
				s.lost[j][k] += s.b[k] * share
			}
		}
		d.soundAhead.look(x, far, s.c)
		s.c.exp()
		for k, share := range s.c {
			s.fails[j][k] += s.a[k] * min(1, share)
		}
	}
}

func of(weight row, k int) float64 {
	if weight == nil {
		return 1
	}
	return weight[k]
}

// masses turns the logarithms of the sound (a) and the worn mass (b) into
// masses and adds them. Far out in the tail only their ratio counts.
func (d *Draws) masses(s *scratch, weight row, alone bool) {
	for k := range s.a {
		s.b[k] = min(0, s.b[k])
		if top := max(s.a[k], s.b[k]); alone && top < vanishing {
			s.a[k], s.b[k] = s.a[k]-top, s.b[k]-top
		}
	}
	s.a.exp()
	s.b.exp()
	for k := range s.a {
		w := of(weight, k)
		s.a[k], s.b[k] = s.a[k]*w, s.b[k]*w
		s.sound[k] += s.a[k]
		s.mass[k] += s.b[k]
	}
}

// survival writes ln(1 - F(x)) of every draw.
func (d *Draws) survival(x float64, out row) {
	switch {
	case d.shape != nil:
		lx := math.Log(max(x, shortest/2))
		shape, scale := d.shape[:len(out)], d.log[:len(out)]
		for k := range out {
			out[k] = shape[k] * (lx - scale[k])
		}
	case d.stress != nil:
		d.stress.look(x, out)
	default:
		for k := range out {
			out[k] = -d.onset[k].CumHazard(x)
		}
		return
	}
	out.exp()
	for k := range out {
		out[k] = -out[k]
	}
}

// hazard writes the worn part's cumulative hazard over far, of every draw.
func (d *Draws) hazard(x, far float64, out row) {
	if d.meanDelay != nil {
		for k, mean := range d.meanDelay {
			out[k] = far / mean
		}
		return
	}
	if !(far > 0) {
		out.fill(0)
		return
	}
	d.wornAhead.look(x, far, out)
	out.exp()
}

// stretches adds the worn mass under c(u), and what of it fails ahead; see
// State.stretches.
func (d *Draws) stretches(s *scratch, begin, x float64, weight row, ahead []float64) {
	for _, st := range s.steps {
		y := st.at - begin
		if !(y >= shortest) {
			continue
		}
		d.mass.look(y, s.b)
		d.hazard(y, x-y, s.before)
		for k := range s.b {
			s.b[k] = min(0, s.b[k]) - s.before[k]
		}
		s.b.exp()
		for k := range s.b {
			s.b[k] *= st.weight[k] * of(weight, k)
			s.mass[k] += s.b[k]
		}
		for j, far := range ahead {
			d.hazard(y, x-y+far, s.c)
			for k := range s.c {
				s.c[k] = max(0, s.c[k]-s.before[k])
			}
			s.c.failed(s.e)
			for k, share := range s.c {
				s.lost[j][k] += s.b[k] * share
			}
		}
	}
}

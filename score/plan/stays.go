package plan

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"pitlist/score"
)

// drawsOf is the number of parameter draws that the findings carry.
func drawsOf(vehicles []*vehicle) int {
	for _, v := range vehicles {
		for i := range v.work.parts {
			f := v.work.parts[i].Finding
			if d := f.Draws; d != nil {
				return len(d.Worn)
			}
			if f.LetGo > 0 {
				return f.LetGo
			}
		}
	}
	return 0
}

// stays plans anew in each parameter draw and counts for every vehicle the
// draws in which it stands above the line.
func (m *maker) stays() {
	if m.draws = drawsOf(m.vehicles); m.draws == 0 || m.opts.Desk.Buys() {
		m.draws = 0 // a buying desk's line is another
		return
	}
	for _, d := range m.depots {
		d.stays(m.draws, m.opts.Redraw)
	}
	for _, v := range m.vehicles {
		if len(v.worn) > 0 {
			v.above = m.draws // found worn, whatever the curves
		}
	}
}

// race is one depot's contest for its hours, run again in every draw by the
// vehicles that could stand above the line in any.
type race struct {
	*depot
	racers  []racer
	prices  []float64 // of a quarter of an hour in each draw, by guess
	floors  []float64 // of each draw: whoever could reach it there takes part
	without bool      // others, whose draws were let go, do not
}

// racer is a vehicle that competes in the draws.
type racer struct {
	*vehicle
	least     int  // quarters that its shortest part takes
	canInjure bool // a part of it may be forced in a draw
	lacks     bool // draws of it were let go: it takes part where it is forced alone
}

// stays runs the race over n draws: without the vehicles whose draws were let go
// and cannot matter, as long as every draw is settled above them; in draws that
// are open then, with more.
func (d *depot) stays(n int, redraw func([]*score.Assessment)) {
	r := race{depot: d, floors: make([]float64, n)} // floors of 0: everybody
	open := make([]int, n)
	for k := range open {
		open[k] = k
	}
	if d.Limited {
		r.prices = d.pricesIn(n)
		// To begin with none comes back: those that are forced may take all hours
		// that there are.
		for k := range r.floors {
			r.floors[k] = math.Inf(1)
		}
	} else {
		d.recall(r.floors, open, redraw)
	}
	for open = r.hold(open); len(open) > 0; open = r.hold(open) {
		d.recall(r.floors, open, redraw)
	}
}

// hold runs the race in the open draws, shared out among goroutines, and counts
// in those that are settled. It returns the others, which are not settled
// without vehicles that do not take part, with their floors lowered.
func (r *race) hold(open []int) (still []int) {
	r.enlist()
	blocks := slices.Collect(slices.Chunk(open, block))
	heats := make([]heat, min(runtime.GOMAXPROCS(0), len(blocks)))
	var wg sync.WaitGroup
	for g := range heats {
		wg.Go(func() {
			h := &heats[g]
			h.race, h.count = r, make([]int, len(r.racers))
			for b := g; b < len(blocks); b += len(heats) {
				h.run(blocks[b])
			}
		})
	}
	wg.Wait()
	for g := range heats {
		for i, n := range heats[g].count {
			r.racers[i].above += n
		}
		still = append(still, heats[g].open...)
	}
	slices.Sort(still)
	return still
}

// enlist lists who takes part.
func (r *race) enlist() {
	r.racers, r.without = r.racers[:0], false
	for _, v := range r.vehicles {
		switch {
		case v.lacks():
			r.without = true
			if v.mayBeForced() {
				r.racers = append(r.racers, newRacer(v))
			}
		case v.couldRise():
			r.racers = append(r.racers, newRacer(v))
		}
	}
}

// block is how many draws are looked at together: what 16 draws believe of a
// part lies in one line of the cache.
const block = 16

// couldRise tells whether the vehicle can stand above the line in any draw:
// it does so as it is, it carries draws, or it would with hours enough.
func (v *vehicle) couldRise() bool {
	if v.chosen != 0 || v.work.pays() {
		return true
	}
	for i := range v.work.parts {
		if v.work.parts[i].Finding.Draws != nil {
			return true
		}
	}
	return false
}

func newRacer(v *vehicle) racer {
	r := racer{vehicle: v, lacks: v.lacks()}
	for i := range v.work.parts {
		if q := quarters(v.work.hours(1 << i)); i == 0 || q < r.least {
			r.least = q
		}
		r.canInjure = r.canInjure || v.work.parts[i].Finding.Part.Consequence == score.CanInjure
	}
	return r
}

// heat is what one goroutine reuses from draw to draw.
type heat struct {
	*race
	work    work
	rates   [block][]float64 // see rateIn; 0 for racers that do not compete
	left    [block]int       // quarters that the forced parts leave
	atMost  [block]bool      // left may be less: what a forced vehicle takes is known from below
	field   []int            // racers whose options are worked out
	options [][]option
	buf     []option
	count   []int        // draws in which each racer stood above the line
	forced  [block][]int // racers that an injury part brings in
	open    []int        // draws that are not settled without those that do not take part
}

// run plans a block of draws: forced parts first, then the best packing of what
// is left.
func (h *heat) run(draws []int) {
	for j := range draws {
		h.left[j], h.atMost[j], h.forced[j] = capacity(h.Hours), false, h.forced[j][:0]
		h.rates[j] = slices.Grow(h.rates[j][:0], len(h.racers))[:len(h.racers)]
		clear(h.rates[j])
	}
	for i := range h.racers {
		for j, k := range draws {
			h.enter(i, k, j)
		}
	}
	for j, k := range draws {
		picked, settled := h.settle(k, j)
		if !settled {
			h.open = append(h.open, k)
			continue
		}
		for _, i := range picked {
			h.count[i]++
		}
		for _, i := range h.forced[j] {
			h.count[i]++
		}
	}
}

// enter decides racer i in draw k, the j-th of its block, or lets it compete.
func (h *heat) enter(i, k, j int) {
	r := &h.racers[i]
	switch {
	case r.canInjure && r.forcedIn(k):
		h.forced[j] = append(h.forced[j], i)
		switch {
		case r.lacks:
			h.left[j] -= r.least
			h.atMost[j] = true
		case h.Limited:
			h.work.draw(&r.work, k)
			h.left[j] -= quarters(h.work.hours(h.work.force()))
		}
	case r.lacks:
	case h.Limited:
		h.rates[j][i] = r.rateIn(k)
	default:
		if h.work.draw(&r.work, k); h.work.pays() {
			h.count[i]++
		}
	}
}

// settle packs the hours that the forced parts leave in draw k, the j-th of its
// block, and tells whether that can be done without those that do not take part.
func (h *heat) settle(k, j int) (picked []int, settled bool) {
	switch {
	case !h.Limited || h.left[j] <= 0:
		return nil, true
	case h.atMost[j]:
		h.floors[k] = min(h.floors[k], firstShare*h.prices[k])
		return nil, false
	}
	return h.pack(k, h.left[j], h.rates[j])
}

// The share of a draw's guessed price down to which a race looks at vehicles to
// begin with, and the share below which it looks at all. From one floor to the
// next it goes down by a tenth at least.
const firstShare, lastShare, stepDown = 0.94, 0.02, 0.9

// pack fills the hours that are left in draw k. It begins with the racers
// whose rate could reach most of the price that is guessed for the draw, and
// takes in more until the rest provably cannot matter (see enough). Where that
// takes vehicles that do not take part, the draw is not settled, and its floor
// is lowered to what it takes.
func (h *heat) pack(k, left int, rates []float64) (picked []int, settled bool) {
	h.field, h.options, h.buf = h.field[:0], h.options[:0], h.buf[:0]
	floor, over := firstShare*h.prices[k], -1.0 // racers of a rate from over up are in; below 0: none yet
	var picks []int
	for done := false; !done; {
		if floor < lastShare*h.prices[k] {
			floor = 0
		}
		if h.without && floor < h.floors[k] {
			h.floors[k] = floor
			return nil, false
		}
		h.take(k, left, rates, floor, over)
		var r relaxed
		picks, r = solve(h.options, left)
		over = floor
		floor, done = enough(&r, floor)
	}
	for i, j := range picks {
		if j >= 0 {
			picked = append(picked, h.field[i])
		}
	}
	return picked, true
}

// take works out the options of the racers whose rate lies in [floor, over).
func (h *heat) take(k, left int, rates []float64, floor, over float64) {
	for i, rate := range rates {
		if !(rate > 0) || rate < floor || over >= 0 && rate >= over {
			continue
		}
		h.work.draw(&h.racers[i].work, k)
		from := len(h.buf)
		if h.buf = h.work.options(left, h.buf); len(h.buf) > from {
			h.field = append(h.field, i)
			h.options = append(h.options, h.buf[from:len(h.buf):len(h.buf)])
		}
	}
}

// enough tells that no vehicle of a rate below floor can be part of a best
// packing, or else to which floor to go down. The price among the vehicles of
// higher rates bounds the loss: one that is not among them adds nothing to the
// Lagrangian bound at that price, and even its lightest option would lose more
// than the gap between the bound and the best packing without it (see solve).
func enough(r *relaxed, floor float64) (next float64, done bool) {
	switch most := r.price - (r.bound - r.lower + r.slack()); {
	case floor == 0:
		return 0, true // none is left out
	case r.price == 0: // there is room for more
		return floor / 2, false
	default:
		return max(0, stepDown*min(floor, most)), most > floor
	}
}

// rateIn bounds from above the cost of waiting that a quarter of an hour on
// the vehicle can take away in draw k: all of its parts' in the time of one.
func (r *racer) rateIn(k int) float64 {
	sum := 0.0
	for i := range r.work.parts {
		sum += max(0, r.work.parts[i].waitingAtMost(k))
	}
	return sum / float64(r.least)
}

// forcedIn tells whether an injury part of it is over a limit in draw k.
func (v *vehicle) forcedIn(k int) bool {
	for i := range v.work.parts {
		if v.work.parts[i].forcedIn(k) {
			return true
		}
	}
	return false
}

func (c *Choice) forcedIn(k int) bool {
	f := c.Finding
	d := f.Draws
	switch {
	case d == nil && f.LetGo > 0:
		return f.Over.Has(k)
	case d == nil:
		return c.Forced
	case len(d.Risk) > 0:
		return score.OverLimit(f.Part, d.Worn[k], d.Risk[k])
	}
	return score.OverLimit(f.Part, d.Worn[k], 0)
}

// draw makes w the vehicle's work with the beliefs of draw k. Parts without
// draws keep what they have.
func (w *work) draw(as *work, k int) {
	n := len(as.parts)
	if cap(w.gain) < n {
		w.gain, w.waiting = make([]float64, maxParts), make([]float64, maxParts)
	}
	w.opts, w.at, w.parts, w.visits = as.opts, as.at, as.parts, as.visits
	w.gain, w.waiting = w.gain[:n], w.waiting[:n]
	w.forced, w.useful = 0, 0
	for i := range w.parts {
		c := &w.parts[i]
		gain, waiting := c.Gain, c.Waiting
		if d := c.Finding.Draws; d != nil {
			b := beliefs{float64(d.Worn[k]), float64(d.Sound[k]), float64(d.WornNext[k]), float64(d.WornHold[k]), float64(d.SoundHold[k])}
			gain, waiting = c.gain(b), c.wait(b)
		}
		w.set(i, gain, waiting, c.forcedIn(k))
	}
	w.trim()
}

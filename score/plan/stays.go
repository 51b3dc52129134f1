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
	share   float64 // of the depot's price: whoever could reach it takes part
	without bool    // others, whose draws were let go, do not
}

// racer is a vehicle that competes in the draws.
type racer struct {
	*vehicle
	least     int  // quarters that its shortest part takes
	canInjure bool // a part of it may be forced in a draw
	lacks     bool // draws of it were let go: it takes part where it is forced alone
}

// stays runs the race over n draws: without the vehicles whose draws were let go
// and cannot matter, as long as every draw is settled above them; else with more.
func (d *depot) stays(n int, redraw func([]*score.Assessment)) {
	// To begin with none comes back: those that are forced may take all hours
	// that there are.
	var open score.DrawSet
	for _, share := range append([]float64{math.Inf(1)}, floors[:]...) {
		if !d.Limited {
			share = 0 // every vehicle is weighed by itself
		}
		d.recall(share*d.price, open, n, redraw)
		if open = d.hold(n, share); open.Empty() {
			return
		}
	}
}

// hold runs the race, sharing the draws out among goroutines; each counts for
// itself. Nothing is counted where draws are open, which it returns: they are not
// settled without the vehicles that do not take part.
func (d *depot) hold(n int, share float64) (open score.DrawSet) {
	r := race{depot: d, share: share}
	for _, v := range d.vehicles {
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
	blocks := (n + block - 1) / block
	workers := min(runtime.GOMAXPROCS(0), blocks)
	heats := make([]heat, workers)
	var wg sync.WaitGroup
	for g := range heats {
		wg.Go(func() {
			h := &heats[g]
			h.race, h.count = &r, make([]int, len(r.racers))
			for b := g; b < blocks; b += workers {
				h.run(b*block, min(n, (b+1)*block))
			}
		})
	}
	wg.Wait()
	for g := range heats {
		for _, k := range heats[g].open {
			open.Add(k, n)
		}
	}
	if !open.Empty() {
		return open
	}
	for g := range heats {
		for i, n := range heats[g].count {
			r.racers[i].above += n
		}
	}
	return nil
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
	count   []int // draws in which each racer stood above the line
	open    []int // draws that are not settled without those that do not take part
}

// run plans the draws from k up to end, at most a block: forced parts first,
// then the best packing of what is left.
func (h *heat) run(k, end int) {
	for j := range end - k {
		h.left[j], h.atMost[j] = capacity(h.Hours), false
		h.rates[j] = slices.Grow(h.rates[j][:0], len(h.racers))[:len(h.racers)]
		clear(h.rates[j])
	}
	for i := range h.racers {
		for j := range end - k {
			h.enter(i, k+j, j)
		}
	}
	if !h.Limited {
		return
	}
	for j := range end - k {
		switch {
		case h.left[j] <= 0:
		case h.atMost[j]:
			h.open = append(h.open, k+j)
		default:
			h.pack(k+j, h.left[j], h.rates[j])
		}
	}
}

// enter decides racer i in draw k, the j-th of its block, or lets it compete.
func (h *heat) enter(i, k, j int) {
	r := &h.racers[i]
	switch {
	case r.canInjure && r.forcedIn(k):
		h.count[i]++
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

// pack fills the hours that are left in draw k. It begins with the racers
// whose rate could reach half the price of the depot's own plan, and takes in
// more until the rest provably cannot matter (see settled).
func (h *heat) pack(k, left int, rates []float64) {
	h.field, h.options, h.buf = h.field[:0], h.options[:0], h.buf[:0]
	over := -1.0 // racers from this rate up have been taken in; below 0: none yet
	for _, share := range floors {
		if share < h.share && h.without {
			h.open = append(h.open, k)
			return
		}
		floor := share * h.price
		h.take(k, left, rates, floor, over)
		if over = floor; settled(h.options, floor, left) {
			break
		}
	}
	picks, _ := knapsack(h.options, left)
	for i, j := range picks {
		if j >= 0 {
			h.count[h.field[i]]++
		}
	}
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

// floors are the shares of the depot's price down to which a race looks at
// vehicles, one after the other until it is settled.
var floors = [...]float64{0.5, 0.125, 0}

// settled tells that no vehicle of a rate below next can be part of a best
// packing. The price among the options bounds the loss: a vehicle that is not
// among them adds nothing to the Lagrangian bound at that price, and even its
// lightest option would lose more than the gap between the bound and a packing
// that is known to fit (see knapsack).
func settled(options [][]option, next float64, left int) bool {
	if next == 0 {
		return true // none is left out
	}
	if heaviest(options) <= left {
		return false
	}
	r := relax(options, left)
	return r.price-next > r.bound-r.lower+r.slack()
}

// rateIn bounds from above the cost of waiting that a quarter of an hour on
// the vehicle can take away in draw k: all of its parts' in the time of one.
func (r *racer) rateIn(k int) float64 {
	sum := 0.0
	for i := range r.work.parts {
		c := &r.work.parts[i]
		w := c.Waiting
		if d := c.Finding.Draws; d != nil {
			w = c.wait(beliefs{worn: float64(d.Worn[k]), wornNext: float64(d.WornNext[k])})
		}
		sum += max(0, w)
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
			without, looked := c.over(b)
			gain, waiting = without-looked, c.wait(b)
		}
		w.set(i, gain, waiting, c.forcedIn(k))
	}
	w.trim()
}

package plan

import (
	"runtime"
	"slices"
	"sync"

	"pitlist/score"
)

// draws is the number of parameter draws that the findings carry.
func draws(vehicles []*vehicle) int {
	for _, v := range vehicles {
		for i := range v.work.parts {
			if d := v.work.parts[i].Finding.Draws; d != nil {
				return len(d.Worn)
			}
		}
	}
	return 0
}

// stays plans anew in each parameter draw and counts for every vehicle the
// draws in which it stands above the line.
func (m *maker) stays() {
	n := draws(m.vehicles)
	for _, v := range m.vehicles {
		if len(v.worn) > 0 {
			v.above = n // found worn, whatever the curves
		} else if n == 0 {
			v.above = -1
		}
	}
	if n == 0 {
		return
	}
	for _, d := range m.depots {
		d.stays(n)
	}
}

// stays shares the draws out among goroutines; each counts for itself.
func (d *depot) stays(n int) {
	racing := make([]racer, 0, len(d.vehicles))
	for _, v := range d.vehicles {
		if v.couldRise() {
			racing = append(racing, newRacer(v))
		}
	}
	workers := min(runtime.GOMAXPROCS(0), n)
	counts := make([][]int, workers)
	var wg sync.WaitGroup
	for g := range workers {
		wg.Go(func() {
			counts[g] = make([]int, len(racing))
			for k := g; k < n; k += workers {
				d.draw(racing, k, counts[g])
			}
		})
	}
	wg.Wait()
	for i := range racing {
		v := racing[i].vehicle
		if len(v.worn) > 0 {
			continue
		}
		for g := range counts {
			v.above += counts[g][i]
		}
	}
}

// couldRise tells whether the vehicle can stand above the line in any draw: it
// carries draws, or does so as it is.
func (v *vehicle) couldRise() bool {
	if v.chosen != 0 {
		return true
	}
	for i := range v.work.parts {
		c := &v.work.parts[i]
		if c.Finding.Draws != nil || c.Worth > 0 {
			return true
		}
	}
	return false
}

// racer is a vehicle that competes in the draws.
type racer struct {
	*vehicle
	least int // quarters that its cheapest part takes
}

func newRacer(v *vehicle) racer {
	r := racer{vehicle: v}
	for i := range v.work.parts {
		if q := quarters(v.work.hours(1 << i)); i == 0 || q < r.least {
			r.least = q
		}
	}
	return r
}

// rate bounds from above the cost of waiting that a quarter of an hour on the
// vehicle can take away in draw k: all of its parts' in the time of one.
func (r *racer) rate(k int) float64 {
	sum := 0.0
	for i := range r.work.parts {
		c := &r.work.parts[i]
		w := c.Waiting
		if d := c.Finding.Draws; d != nil {
			w = float64(d.Worn[k]) * c.Finding.Part.Inspection.Detects * float64(d.WornNext[k]) * (c.Failure - c.Repair)
		}
		if w > 0 {
			sum += w
		}
	}
	return sum / float64(max(1, r.least))
}

// forced tells whether an injury part of it is over a limit in draw k.
func (r *racer) forced(k int) bool {
	for i := range r.work.parts {
		c := &r.work.parts[i]
		if d := c.Finding.Draws; d != nil && forcedIn(c.Finding, d, k) || d == nil && c.Forced {
			return true
		}
	}
	return false
}

func forcedIn(f *score.Finding, d *score.Draws, k int) bool {
	p := f.Part
	return p.Consequence == score.CanInjure &&
		(float64(d.Worn[k]) > p.WornLimit || len(d.Risk) > 0 && float64(d.Risk[k]) > p.RiskLimit)
}

// draw plans one parameter draw. Vehicles whose rate cannot reach the price
// of a quarter of an hour are not worked out: a price found among the others
// is a lower bound of the price among all, and settles for certain that an
// option below it is not part of a best packing (see knapsack).
func (d *depot) draw(racing []racer, k int, count []int) {
	capacity := int(d.Hours*4 + 1e-6)
	var field []int
	rates := make([]float64, len(racing))
	for i := range racing {
		if racing[i].forced(k) {
			count[i]++
			if d.Limited {
				w := racing[i].work.inDraw(k)
				capacity -= quarters(w.hours(w.join()))
			}
			continue
		}
		if !d.Limited {
			if w := racing[i].work.inDraw(k); w.pays() {
				count[i]++
			}
			continue
		}
		if rates[i] = racing[i].rate(k); rates[i] > 0 {
			field = append(field, i)
		}
	}
	if d.Limited {
		d.race(racing, field, rates, k, max(0, capacity), count)
	}
}

// race packs the hours of one draw. It begins with the vehicles of greatest
// rate, and takes in more until the rest provably cannot matter.
func (d *depot) race(racing []racer, field []int, rates []float64, k, capacity int, count []int) {
	slices.SortFunc(field, func(a, b int) int {
		if rates[a] != rates[b] {
			if rates[a] > rates[b] {
				return -1
			}
			return 1
		}
		return a - b
	})
	options := make([][]option, 0, len(field))
	for n := min(len(field), 4*capacity+16); ; n = min(len(field), 2*n) {
		for _, i := range field[len(options):n] {
			w := racing[i].work.inDraw(k)
			options = append(options, w.options(capacity))
		}
		if n == len(field) || settled(options, rates[field[n]], capacity) {
			break
		}
	}
	for i, j := range knapsack(options, capacity) {
		if j >= 0 {
			count[field[i]]++
		}
	}
}

// settled tells that no vehicle of a rate up to next can be part of a best
// packing: even its lightest option would lose more than the gap between the
// bound and the packing that the options allow.
func settled(options [][]option, next float64, capacity int) bool {
	need := 0
	for _, opts := range options {
		if len(opts) > 0 {
			need += opts[len(opts)-1].weight
		}
	}
	if need <= capacity {
		return false
	}
	price, lower := relax(options, capacity)
	bound := price * float64(capacity)
	for _, opts := range options {
		best := 0.0
		for _, o := range opts {
			best = max(best, o.value-price*float64(o.weight))
		}
		bound += best
	}
	return price-next > bound-lower
}

// pays tells whether any admissible subset exists.
func (w *work) pays() bool {
	for i := range w.parts {
		if w.parts[i].Worth > 0 {
			return true // by itself, so some subset is of greatest worth above zero
		}
	}
	return w.best() != 0
}

// inDraw is the vehicle's work with the beliefs of draw k.
func (w *work) inDraw(k int) work {
	out := work{parts: slices.Clone(w.parts), visits: w.visits, setUp: w.setUp, opts: w.opts}
	for i := range out.parts {
		c := &out.parts[i]
		d := c.Finding.Draws
		if d == nil {
			continue
		}
		*c = w.opts.priced(c.Finding, beliefs{
			worn: float64(d.Worn[k]), sound: float64(d.Sound[k]), wornNext: float64(d.WornNext[k]),
			wornHold: float64(d.WornHold[k]), soundHold: float64(d.SoundHold[k]),
		})
		c.Forced = forcedIn(c.Finding, d, k)
	}
	out.sort()
	return out
}

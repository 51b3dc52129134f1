package plan

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// option is one way to spend hours on a vehicle.
type option struct {
	set    uint64  // the parts
	weight int     // quarters of an hour, at least 1
	value  float64 // cost of waiting that it takes away, above 0
}

// knapsack picks at most one option of each vehicle, so that the weights stay
// within the capacity and the value is greatest: the multiple-choice knapsack,
// exact. Each vehicle's options ascend in weight and in value. It returns the
// index of the option of each vehicle, or -1, and the price of a quarter of an
// hour at the capacity; 0 where there is room for all.
//
// A Lagrangian bound first settles the vehicles whose choice is certain
// (Kellerer, Pferschy & Pisinger 2004, chapter 11); dynamic programming over
// the hours settles the few that are left.
func knapsack(vehicles [][]option, capacity int) (pick []int, price float64) {
	pick, r := solve(vehicles, capacity)
	return pick, r.price
}

// solve is knapsack with the bound that it rests on; its lower is the value of
// the packing.
func solve(vehicles [][]option, capacity int) (pick []int, r relaxed) {
	pick = make([]int, len(vehicles))
	if heaviest(vehicles) <= capacity {
		for i, opts := range vehicles {
			pick[i] = len(opts) - 1 // the most valuable one, or -1
		}
		return pick, relaxed{}
	}
	r = relax(vehicles, capacity)
	free, left := r.settle(vehicles, capacity, pick)
	for i, j := range exact(free, left) {
		pick[free[i].vehicle] = j
	}
	r.lower = 0
	for i, j := range pick {
		if j >= 0 {
			r.lower += vehicles[i][j].value
		}
	}
	return pick, r
}

// heaviest is what every vehicle's most valuable option takes together.
func heaviest(vehicles [][]option) int {
	sum := 0
	for _, opts := range vehicles {
		if len(opts) > 0 {
			sum += opts[len(opts)-1].weight
		}
	}
	return sum
}

// step is a move along a vehicle's convex hull: extra value for extra weight.
type step struct {
	vehicle int
	weight  int
	value   float64
	rate    float64 // value a quarter
}

// relaxed is the linear relaxation of a knapsack: a price of a quarter of an
// hour, at which each vehicle by itself takes the option of greatest value
// less price. No packing can beat the bound.
type relaxed struct {
	price  float64
	lower  float64   // value of a packing that fits
	bound  float64   // upper bound on any packing's value
	margin []float64 // greatest value less price of each vehicle, at least 0
}

// stepRoom is room for steps: a plan solves a knapsack in every parameter draw.
var stepRoom = sync.Pool{New: func() any { return new([]step) }}

// relax solves the linear relaxation of a knapsack that cannot hold everything.
func relax(vehicles [][]option, capacity int) relaxed {
	r := relaxed{margin: make([]float64, len(vehicles))}
	room := stepRoom.Get().(*[]step)
	defer stepRoom.Put(room)
	steps := (*room)[:0]
	for i, opts := range vehicles {
		steps = hull(steps, i, opts)
	}
	slices.SortFunc(steps, func(a, b step) int {
		return cmp.Or(cmp.Compare(b.rate, a.rate), cmp.Compare(a.vehicle, b.vehicle), cmp.Compare(a.weight, b.weight))
	})
	*room = steps
	left, broken := capacity, make([]bool, len(vehicles))
	for _, s := range steps {
		switch {
		case broken[s.vehicle]:
		case s.weight <= left:
			left -= s.weight
			r.lower += s.value
		default:
			broken[s.vehicle] = true // its later steps build on this one
			r.price = max(r.price, s.rate)
		}
	}
	r.bound = r.price * float64(capacity)
	for i, opts := range vehicles {
		for _, o := range opts {
			r.margin[i] = max(r.margin[i], r.worth(o))
		}
		r.bound += r.margin[i]
	}
	return r
}

// worth is an option's value less the price of its hours.
func (r *relaxed) worth(o option) float64 { return o.value - r.price*float64(o.weight) }

// slack keeps rounding from settling anything.
func (r *relaxed) slack() float64 { return 1e-9 * max(1, r.bound) }

// hull adds the steps of a vehicle's upper convex hull, steepest first.
func hull(steps []step, vehicle int, opts []option) []step {
	at := option{}
	for from := 0; from < len(opts); {
		best, top := from, -1.0
		for j := from; j < len(opts); j++ {
			if s := slope(at, opts[j]); s >= top {
				best, top = j, s
			}
		}
		steps = append(steps, step{vehicle, opts[best].weight - at.weight, opts[best].value - at.value, top})
		at, from = opts[best], best+1
	}
	return steps
}

func slope(a, b option) float64 { return (b.value - a.value) / float64(b.weight-a.weight) }

// open is a vehicle whose choice is not certain, with the options that remain
// (-1: none of them).
type open struct {
	vehicle int
	opts    []option
	keep    []int
}

// settle fixes in pick every vehicle of which a single choice can still be
// part of a best packing, and returns the others with the capacity that is
// left them: a choice that falls short of its vehicle's best by more than the
// gap between bound and packing cannot.
func (r *relaxed) settle(vehicles [][]option, capacity int, pick []int) (free []open, left int) {
	gap := r.bound - r.lower + r.slack()
	left = capacity
	for i, opts := range vehicles {
		var keep []int
		if r.margin[i] <= gap {
			keep = append(keep, -1)
		}
		for j, o := range opts {
			if r.margin[i]-r.worth(o) <= gap {
				keep = append(keep, j)
			}
		}
		if len(keep) > 1 {
			free = append(free, open{i, opts, keep})
			continue
		}
		pick[i] = keep[0]
		if keep[0] >= 0 {
			left -= opts[keep[0]].weight
		}
	}
	return free, left
}

// exact is dynamic programming over the hours left: best[c] is the greatest
// value within c quarters.
func exact(free []open, capacity int) []int {
	best := make([]float64, capacity+1)
	next := make([]float64, capacity+1)
	took := make([][]int16, len(free))
	for i := range free {
		took[i] = make([]int16, capacity+1)
		for c := range next {
			next[c], took[i][c] = math.Inf(-1), -1
			for _, j := range free[i].keep {
				w, v := 0, 0.0
				if j >= 0 {
					w, v = free[i].opts[j].weight, free[i].opts[j].value
				}
				if w <= c && best[c-w]+v > next[c] {
					next[c], took[i][c] = best[c-w]+v, int16(j)
				}
			}
		}
		best, next = next, best
	}
	pick := make([]int, len(free))
	for i, c := len(free)-1, capacity; i >= 0; i-- {
		pick[i] = int(took[i][c])
		if pick[i] >= 0 {
			c -= free[i].opts[pick[i]].weight
		}
	}
	return pick
}

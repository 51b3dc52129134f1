package plan

import (
	"cmp"
	"math"
	"slices"
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
// index of the option of each vehicle, or -1.
//
// A Lagrangian bound first settles the vehicles whose choice is certain
// (Kellerer, Pferschy & Pisinger 2004, chapter 11); dynamic programming over
// the hours settles the few that are left.
func knapsack(vehicles [][]option, capacity int) []int {
	pick := make([]int, len(vehicles))
	need := 0
	for i, opts := range vehicles {
		pick[i] = len(opts) - 1 // the most valuable one, or -1
		if pick[i] >= 0 {
			need += opts[pick[i]].weight
		}
	}
	if need <= capacity {
		return pick
	}
	price, lower := relax(vehicles, capacity)
	free, left := settle(vehicles, capacity, price, lower, pick)
	for i, j := range exact(free, left) {
		pick[free[i].vehicle] = j
	}
	return pick
}

// step is a move along a vehicle's convex hull: extra value for extra weight.
type step struct {
	vehicle int
	weight  int
	value   float64
}

func (s step) rate() float64 { return s.value / float64(s.weight) }

// relax solves the linear relaxation: the price of a quarter of an hour at the
// capacity, and the value of a packing that fits.
func relax(vehicles [][]option, capacity int) (price, lower float64) {
	var steps []step
	for i, opts := range vehicles {
		steps = hull(steps, i, opts)
	}
	slices.SortStableFunc(steps, func(a, b step) int { return cmp.Compare(b.rate(), a.rate()) })
	left, broken := capacity, make([]bool, len(vehicles))
	for _, s := range steps {
		switch {
		case broken[s.vehicle]:
		case s.weight <= left:
			left -= s.weight
			lower += s.value
		default:
			broken[s.vehicle] = true // its later steps build on this one
			if price == 0 {
				price = s.rate()
			}
		}
	}
	return price, lower
}

// hull adds the steps of a vehicle's upper convex hull, steepest first.
func hull(steps []step, vehicle int, opts []option) []step {
	at := option{}
	for from := 0; from < len(opts); {
		best := from
		for j := from; j < len(opts); j++ {
			if slope(at, opts[j]) >= slope(at, opts[best]) {
				best = j
			}
		}
		steps = append(steps, step{vehicle, opts[best].weight - at.weight, opts[best].value - at.value})
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

// settle fixes every vehicle of which a single choice can still be part of a
// best packing, and returns the others with the capacity that is left them.
func settle(vehicles [][]option, capacity int, price, lower float64, pick []int) (free []open, left int) {
	bound := price * float64(capacity)
	bests := make([]float64, len(vehicles))
	for i, opts := range vehicles {
		for _, o := range opts {
			bests[i] = math.Max(bests[i], o.value-price*float64(o.weight))
		}
		bound += bests[i]
	}
	slack := bound - lower + 1e-9*math.Max(1, bound) // never settle on rounding
	left = capacity
	for i, opts := range vehicles {
		var keep []int
		if bests[i] <= slack {
			keep = append(keep, -1)
		}
		for j, o := range opts {
			if bests[i]-(o.value-price*float64(o.weight)) <= slack {
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

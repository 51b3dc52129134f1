package plan

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// maxParts bounds the parts of one vehicle that are weighed in combination:
// those of greatest gain beyond their own hours. 2^12 subsets at most.
const maxParts = 12

// work is one vehicle's parts with what their combinations cost.
type work struct {
	parts  []Choice // scored parts, in the catalogue's order
	forced uint64   // bit i: parts[i] is forced
	useful []int    // parts whose gain exceeds the cost of their own hours
	visits []int    // visits[i]: number of the visit of parts[i]
	setUp  []float64
	opts   *Options
}

// newWork prepares the combinations of a vehicle's parts.
func (o *Options) newWork(parts []Choice) work {
	w := work{parts: parts, visits: make([]int, len(parts)), opts: o}
	for i := range parts {
		p := parts[i].Finding.Part
		v := slices.IndexFunc(parts[:i], func(c Choice) bool {
			return p.Inspection.Visit != "" && c.Finding.Part.Inspection.Visit == p.Inspection.Visit
		})
		if v < 0 {
			w.visits[i] = len(w.setUp)
			w.setUp = append(w.setUp, p.Inspection.SetUpHours)
		} else {
			w.visits[i] = w.visits[v]
			w.setUp[w.visits[i]] = math.Max(w.setUp[w.visits[i]], p.Inspection.SetUpHours)
		}
	}
	w.sort()
	return w
}

// sort tells the forced parts and the useful ones from the rest.
func (w *work) sort() {
	for i := range w.parts {
		if w.parts[i].Forced {
			w.forced |= 1 << i
		} else if w.net(i) > 0 {
			w.useful = append(w.useful, i)
		}
	}
	if len(w.useful) > maxParts {
		slices.SortStableFunc(w.useful, func(a, b int) int { return cmp.Compare(w.net(b), w.net(a)) })
		w.useful = w.useful[:maxParts]
		slices.Sort(w.useful)
	}
}

// net is a part's gain less the cost of its own hours, set-up aside.
func (w *work) net(i int) float64 {
	return w.parts[i].Gain - w.opts.cost(w.parts[i].Finding.Part.Inspection.Hours)
}

// hours are what a subset takes: each part's own, each visit's set-up once.
func (w *work) hours(set uint64) float64 {
	var seen uint64
	h := 0.0
	for s := set; s != 0; s &= s - 1 {
		i := bits.TrailingZeros64(s)
		h += w.parts[i].Finding.Part.Inspection.Hours
		if v := uint64(1) << w.visits[i]; seen&v == 0 {
			seen |= v
			h += w.setUp[w.visits[i]]
		}
	}
	return h
}

// worth of a subset: the parts' gains less the cost of its hours.
func (w *work) worth(set uint64) float64 {
	sum := 0.0
	for s := set; s != 0; s &= s - 1 {
		sum += w.parts[bits.TrailingZeros64(s)].Gain
	}
	return sum - w.opts.cost(w.hours(set))
}

func (w *work) waiting(set uint64) float64 {
	sum := 0.0
	for s := set; s != 0; s &= s - 1 {
		sum += w.parts[bits.TrailingZeros64(s)].Waiting
	}
	return sum
}

// admissible: worth above zero, and removing any part lowers it.
func (w *work) admissible(set uint64) bool {
	all := w.worth(set)
	if !(all > 0) {
		return false
	}
	for s := set; s != 0; s &= s - 1 {
		if rest := set &^ (1 << bits.TrailingZeros64(s)); !(w.worth(rest) < all) {
			return false
		}
	}
	return true
}

// subsets calls f with every combination of the useful parts, the empty one
// left out.
func (w *work) subsets(f func(set uint64)) {
	for m := uint64(1); m < 1<<len(w.useful); m++ {
		var set uint64
		for s := m; s != 0; s &= s - 1 {
			set |= 1 << w.useful[bits.TrailingZeros64(s)]
		}
		f(set)
	}
}

// best is the admissible subset of greatest worth; 0 where there is none.
func (w *work) best() uint64 {
	var best uint64
	top := 0.0
	w.subsets(func(set uint64) {
		if v := w.worth(set); v > top && w.admissible(set) {
			best, top = set, v
		}
	})
	return best
}

// join is the forced parts together with the others that raise their worth.
func (w *work) join() uint64 {
	best, top := w.forced, w.worth(w.forced)
	w.subsets(func(set uint64) {
		if v := w.worth(w.forced | set); v > top {
			best, top = w.forced|set, v
		}
	})
	return best
}

// quarters rounds hours up to quarters of an hour; a sum of decimal fractions
// that overshoots a quarter by less than a second counts as that quarter.
func quarters(hours float64) int { return max(1, int(math.Ceil(hours*4-1e-3))) }

// options are the admissible subsets that no other betters in both hours and
// cost of waiting, by hours.
func (w *work) options(limit int) []option {
	var all []option
	w.subsets(func(set uint64) {
		q := quarters(w.hours(set))
		if v := w.waiting(set); q <= limit && v > 0 && w.admissible(set) {
			all = append(all, option{set: set, weight: q, value: v})
		}
	})
	slices.SortFunc(all, func(a, b option) int {
		return cmp.Or(cmp.Compare(a.weight, b.weight), cmp.Compare(b.value, a.value), cmp.Compare(a.set, b.set))
	})
	kept := all[:0]
	for _, o := range all {
		if len(kept) == 0 || o.value > kept[len(kept)-1].value {
			kept = append(kept, o)
		}
	}
	return kept
}

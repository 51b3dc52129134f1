package plan

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"pitlist/score"
)

// maxParts bounds the parts of one vehicle that are told apart in a subset;
// maxWeighed those that are weighed in every combination (2^12 at most). The
// ones left out are those that bring least, and never a forced one.
const (
	maxParts   = 64
	maxWeighed = 12
)

// work is one vehicle's scored parts with what their combinations bring and
// cost. A subset is a set of bits: bit i stands for parts[i]. What a part
// brings differs from draw to draw; what it takes does not.
type work struct {
	opts   *Options
	parts  []Choice
	visits []uint64 // the parts opened in one visit: they share its set-up

	gain    []float64 // worth without the inspection's own cost
	waiting []float64 // cost of waiting
	forced  uint64
	at      occasion
	useful  uint64 // parts whose gain exceeds the cost of their own hours; no other is in an admissible subset
}

// newWork prepares the combinations of a vehicle's parts. Parts beyond what a
// subset can hold come back as the rest: forced ones stay.
func (o *Options) newWork(parts []Choice, at occasion) (w work, rest []Choice) {
	if len(parts) > maxParts {
		slices.SortStableFunc(parts, mattersMore)
		parts, rest = parts[:maxParts], parts[maxParts:]
	}
	w = work{opts: o, at: at, parts: parts, gain: make([]float64, len(parts)), waiting: make([]float64, len(parts))}
	for i := range parts {
		c := &parts[i]
		w.set(i, c.Gain, c.Waiting, c.Forced)
		w.join(i)
	}
	if at.closed {
		w.forced, w.useful = 0, 0
	}
	w.trim()
	return w, rest
}

// mattersMore puts forced parts first, then those that could be, then those
// of greater worth.
func mattersMore(a, b Choice) int {
	rank := func(c *Choice) int {
		switch {
		case c.Forced:
			return 0
		case c.Finding.Part.Consequence == score.CanInjure:
			return 1
		}
		return 2
	}
	return cmp.Or(cmp.Compare(rank(&a), rank(&b)), cmp.Compare(b.Worth, a.Worth))
}

// join files part i under its visit. A visit without a name is its own; on
// the buying desks each part bears its full set-up.
func (w *work) join(i int) {
	name := w.inspection(i).Visit
	if w.opts.Desk.Buys() {
		name = ""
	}
	for v, set := range w.visits {
		if name != "" && w.inspection(bits.TrailingZeros64(set)).Visit == name {
			w.visits[v] |= 1 << i
			return
		}
	}
	w.visits = append(w.visits, 1<<i)
}

func (w *work) inspection(i int) *score.InspectionPlan { return &w.parts[i].Finding.Part.Inspection }

// set says what part i brings.
func (w *work) set(i int, gain, waiting float64, forced bool) {
	w.gain[i], w.waiting[i] = gain, waiting
	switch {
	case forced:
		w.forced |= 1 << i
	case w.net(i) > 0:
		w.useful |= 1 << i
	}
}

// trim leaves out what is too much to weigh in every combination.
func (w *work) trim() {
	for bits.OnesCount64(w.useful) > maxWeighed {
		least := -1
		for s := w.useful; s != 0; s &= s - 1 {
			if i := bits.TrailingZeros64(s); least < 0 || w.net(i) <= w.net(least) {
				least = i
			}
		}
		w.useful &^= 1 << least
	}
}

// net is a part's gain less the cost of its own hours, set-up aside: what it
// adds to a visit that is made anyway.
func (w *work) net(i int) float64 { return w.gain[i] - w.opts.Cost(w.inspection(i).Hours) }

// hours are what a subset takes: each part's own, and each visit's set-up
// once (the longest, where its parts state different ones).
func (w *work) hours(set uint64) float64 {
	sum := 0.0
	for _, visit := range w.visits {
		setUp := 0.0
		for s := set & visit; s != 0; s &= s - 1 {
			p := w.inspection(bits.TrailingZeros64(s))
			sum += p.Hours
			setUp = max(setUp, p.SetUpHours)
		}
		if w.at.serviced {
			setUp = 0
		}
		sum += setUp
	}
	return sum
}

// Hours are what looking at the parts of one vehicle takes: each part's own,
// and each visit's set-up once. Rounded up, they are what the bay gives.
func Hours(findings []*score.Finding) (hours, quarterHours float64) {
	w := work{opts: &Options{}, parts: make([]Choice, min(len(findings), maxParts))}
	for i := range w.parts {
		w.parts[i].Finding = findings[i]
		w.join(i)
	}
	hours = w.hours(1<<len(w.parts) - 1)
	return hours, float64(quarters(hours)) / 4
}

// worth of a subset: the parts' gains less the cost of its hours.
func (w *work) worth(set uint64) float64 { return total(w.gain, set) - w.opts.Cost(w.hours(set)) }

// wait is what a subset's cost of waiting adds up to.
func (w *work) wait(set uint64) float64 { return total(w.waiting, set) }

// value is what hours are spent for: the cost of waiting that a look takes
// away; where vehicles are to be sold on, its worth.
func (w *work) value(set uint64) float64 {
	if w.opts.Desk.Buys() {
		return w.worth(set)
	}
	return w.wait(set)
}

func total(of []float64, set uint64) float64 {
	sum := 0.0
	for s := set; s != 0; s &= s - 1 {
		sum += of[bits.TrailingZeros64(s)]
	}
	return sum
}

// admissible: worth above zero, and removing any part lowers it.
func (w *work) admissible(set uint64) bool {
	all := w.worth(set)
	if !(all > 0) {
		return false
	}
	if set&(set-1) == 0 {
		return true // a part alone: without it the worth is zero
	}
	for s := set; s != 0; s &= s - 1 {
		if !(w.worth(set&^(s&-s)) < all) {
			return false
		}
	}
	return true
}

// after is the subset that follows set among those of all, in an order that
// begins and ends with the empty one.
func after(set, all uint64) uint64 { return (set - all) & all }

// best is the admissible subset of greatest worth; 0 where there is none.
func (w *work) best() uint64 {
	var best uint64
	top := 0.0
	for set := after(0, w.useful); set != 0; set = after(set, w.useful) {
		if v := w.worth(set); v > top && w.admissible(set) {
			best, top = set, v
		}
	}
	return best
}

// pays tells whether any subset is admissible.
func (w *work) pays() bool {
	for s := w.useful; s != 0; s &= s - 1 {
		if w.worth(s&-s) > 0 {
			return true
		}
	}
	return w.best() != 0
}

// force is the forced parts together with the others that raise their worth.
func (w *work) force() uint64 {
	best, top := w.forced, w.worth(w.forced)
	for set := after(0, w.useful); set != 0; set = after(set, w.useful) {
		if v := w.worth(w.forced | set); v > top {
			best, top = w.forced|set, v
		}
	}
	return best
}

// worthiest is the single part of greatest worth by itself.
func (w *work) worthiest() uint64 {
	best := 0
	for i := range w.parts {
		if w.parts[i].Worth > w.parts[best].Worth {
			best = i
		}
	}
	return 1 << best
}

// quarters rounds hours up to quarters of an hour; a sum of decimal fractions
// that overshoots a quarter by less than a second counts as that quarter.
func quarters(hours float64) int { return max(1, int(math.Ceil(hours*4-1e-3))) }

// capacity is the whole quarters of an hour within a depot's hours.
func capacity(hours float64) int { return max(0, int(math.Floor(min(hours, 1e9)*4+1e-6))) }

// options adds to buf the admissible subsets that no other betters in both
// hours and cost of waiting, by ascending hours, and returns them: a part of
// buf's array that belongs to the caller.
func (w *work) options(limit int, buf []option) []option {
	from := len(buf)
	for set := after(0, w.useful); set != 0; set = after(set, w.useful) {
		v := w.value(set)
		if !(v > 0) || !w.admissible(set) {
			continue
		}
		if q := quarters(w.hours(set)); q <= limit {
			buf = append(buf, option{set: set, weight: q, value: v})
		}
	}
	return buf[:from+len(undominated(buf[from:]))]
}

// undominated sorts options by weight and keeps, in place, those that are
// worth more than every lighter one.
func undominated(all []option) []option {
	if len(all) > 1 {
		slices.SortFunc(all, lighter)
	}
	kept := all[:0]
	for _, o := range all {
		if len(kept) == 0 || o.value > kept[len(kept)-1].value {
			kept = append(kept, o)
		}
	}
	return kept
}

func lighter(a, b option) int {
	return cmp.Or(cmp.Compare(a.weight, b.weight), cmp.Compare(b.value, a.value), cmp.Compare(a.set, b.set))
}

package plan

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
)

// Look is one cheap check that can be made on a vehicle. Several parts may
// name the same check by its id: it is then made once, its minutes count once,
// and its results on the parts are independent of each other, since the parts
// are.
type Look struct {
	ID      string
	Minutes float64
	Place   string
	Parts   []LookAt
	Swing   float64 // how far its results are expected to move the deduction; see swing
}

// LookAt is a look at one part.
type LookAt struct {
	Finding *score.Finding
	Check   *score.Check
	part    int // among the parts that the looks are reckoned with
}

// PerMinute is the swing a minute.
func (l *Look) PerMinute() float64 { return l.Swing / l.Minutes }

// LookSet is a set of looks made on one vehicle.
type LookSet struct {
	Looks   []Look
	Swing   float64 // over the joint results
	Minutes float64
}

// Bounds of what is weighed in every combination on one vehicle: looks, and
// results of looks at parts. Looks beyond them are left out, those of least
// swing a minute first, and counted.
const (
	maxLooks   = 8
	maxResults = 12
)

// rounds is the swing below which nothing is moved: it would be shown as 0.
const rounds = 0.5

// seen gives the chance of an observation made now, P(seen | worn) and
// P(seen | not worn) being given, and what is believed after it. All that is
// worn now is worn by the same factor likelier, whenever it began to wear: what
// follows over a distance stays as it was (MODEL, "Evidence" and "What follows").
func (b beliefs) seen(ifWorn, ifNot float64) (chance float64, after beliefs) {
	chance = b.worn*ifWorn + (1-b.worn)*ifNot
	if !(chance > 0) {
		return 0, b
	}
	after = b
	after.worn, after.sound = b.worn*ifWorn/chance, b.sound*ifNot/chance
	return chance, after
}

// shift is one joint result of the looks at a part: its chance and how far it
// moves the deduction.
type shift struct{ chance, by float64 }

// shifts enumerates the joint results of checks on one part, each of which
// spoke or did not; given worn or not worn they are independent.
func (c *Choice) shifts(checks []*score.Check) []shift {
	now := beliefsOf(c.Finding)
	base := c.deductionAt(now)
	out := make([]shift, 0, 1<<len(checks))
	for result := range 1 << len(checks) {
		worn, not := 1.0, 1.0
		for i, k := range checks {
			if result&(1<<i) != 0 {
				worn, not = worn*k.Detects, not*k.FalseAlarm
			} else {
				worn, not = worn*(1-k.Detects), not*(1-k.FalseAlarm)
			}
		}
		if p, after := now.seen(worn, not); p > 0 {
			out = append(out, shift{p, c.deductionAt(after) - base})
		}
	}
	return out
}

// inspected are a vehicle's scored parts with the looks that can be made.
type inspected struct {
	parts []Choice
	looks []Look
	left  int // looks left out: see maxLooks
}

// newInspected gathers the checks of the places among a vehicle's scored parts,
// one look for each id and place, with its swing; greatest swing a minute
// first. A part whose state no result can move is not looked at.
func newInspected(parts []Choice, places ...string) *inspected {
	n := &inspected{parts: parts}
	for i := range parts {
		p := parts[i].Finding.Part
		for j := range p.Checks {
			k := &p.Checks[j]
			if k.Minutes > 0 && slices.Contains(places, k.Place) {
				n.add(LookAt{parts[i].Finding, k, i})
			}
		}
	}
	for i := range n.looks {
		n.looks[i].Swing = n.swing(1 << i)
	}
	slices.SortStableFunc(n.looks, func(a, b Look) int {
		return cmp.Or(cmp.Compare(b.PerMinute(), a.PerMinute()), cmp.Compare(a.ID, b.ID))
	})
	n.bound()
	return n
}

// add files a check under its look. Were two entries to state different
// minutes for one id, which the lint refuses, they are two looks.
func (n *inspected) add(at LookAt) {
	for i := range n.looks {
		l := &n.looks[i]
		if l.ID == at.Check.ID && l.Place == at.Check.Place && l.Minutes == at.Check.Minutes {
			l.Parts = append(l.Parts, at)
			return
		}
	}
	n.looks = append(n.looks, Look{ID: at.Check.ID, Minutes: at.Check.Minutes, Place: at.Check.Place, Parts: []LookAt{at}})
}

// bound keeps the looks that can be weighed in every combination. What moves
// nothing by itself goes first, uncounted: nobody misses it.
func (n *inspected) bound() {
	kept, results := n.looks[:0], 0
	for _, l := range n.looks {
		switch {
		case l.Swing < rounds:
		case len(kept) == maxLooks || results+len(l.Parts) > maxResults:
			n.left++
		default:
			kept, results = append(kept, l), results+len(l.Parts)
		}
	}
	n.looks = kept
}

// swing of a set of looks: the sum over their joint results of P(result) times
// |deduction given the result − deduction|, by enumeration. The parts move the
// deduction independently of each other.
func (n *inspected) swing(set uint64) float64 {
	sums := []shift{{1, 0}}
	for i := range n.parts {
		checks := n.checksOf(set, i)
		if len(checks) == 0 {
			continue
		}
		own := n.parts[i].shifts(checks)
		next := make([]shift, 0, len(sums)*len(own))
		for _, s := range sums {
			for _, o := range own {
				next = append(next, shift{s.chance * o.chance, s.by + o.by})
			}
		}
		sums = next
	}
	swing := 0.0
	for _, s := range sums {
		swing += s.chance * max(s.by, -s.by)
	}
	return swing
}

// checksOf are the checks that a set of looks makes on part i.
func (n *inspected) checksOf(set uint64, i int) []*score.Check {
	var out []*score.Check
	for l := range n.looks {
		if set&(1<<l) == 0 {
			continue
		}
		for _, at := range n.looks[l].Parts {
			if at.part == i {
				out = append(out, at.Check)
			}
		}
	}
	return out
}

// set makes a LookSet.
func (n *inspected) set(set uint64) LookSet {
	s := LookSet{Swing: n.swing(set)}
	for l := range n.looks {
		if set&(1<<l) != 0 {
			s.Looks = append(s.Looks, n.looks[l])
			s.Minutes += n.looks[l].Minutes
		}
	}
	return s
}

// ticks turns minutes into the knapsack's whole numbers: hundredths of a
// minute, rounded up; what overshoots one by a rounding counts as that one.
func ticks(minutes float64) int { return max(1, int(math.Ceil(minutes*ticksAMinute-1e-6))) }

const ticksAMinute = 100

// options are the sets of looks that no other betters in both minutes and
// swing, by ascending minutes.
func (n *inspected) options() []option {
	all := make([]option, 0, 1<<len(n.looks))
	for set := uint64(1); set < 1<<len(n.looks); set++ {
		minutes := 0.0
		for l := range n.looks {
			if set&(1<<l) != 0 {
				minutes += n.looks[l].Minutes
			}
		}
		all = append(all, option{set: set, weight: ticks(minutes), value: n.swing(set)})
	}
	return undominated(all)
}

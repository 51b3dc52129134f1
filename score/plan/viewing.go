package plan

import (
	"cmp"
	"strconv"
	"strings"
)

// Viewing is the plan of an auction's viewing time: which lots to walk to, and
// what to look at there. The minutes are those of the checks; the way between
// lots is not counted.
type Viewing struct {
	Given, Used float64 // minutes
	Lots        int     // walked to
	Swing       float64 // of what is looked at, summed over the lots
	Nothing     int     // lots that no check can move, nor a reading
	Passed      int     // lots that a check could move, and for which no minutes are left
	LooksLeft   int     // looks that were not weighed, see maxLooks
}

// view chooses at most one set of looks a lot, so that the swing within the
// viewing minutes is greatest: a multiple-choice knapsack, exact in hundredths
// of a minute.
func (o *Options) view(offers []Offer, looks []*inspected) Viewing {
	v := Viewing{Given: o.Buying.ViewingMinutes}
	sets := make([][]option, len(looks))
	for i, n := range looks {
		sets[i] = n.options()
		v.LooksLeft += n.left
		if len(sets[i]) == 0 && len(offers[i].Unread) == 0 {
			v.Nothing++
		}
	}
	unit := commonTicks(sets)
	room := int(min(v.Given*ticksAMinute+1e-6, float64(heaviest(sets)*unit))) / unit
	picks, _ := knapsack(sets, room)
	for i, j := range picks {
		switch {
		case j >= 0:
			offers[i].Chosen, offers[i].Above = looks[i].set(sets[i][j].set), true
			v.Lots++
			v.Used += offers[i].Chosen.Minutes
			v.Swing += offers[i].Chosen.Swing
		case len(sets[i]) > 0:
			v.Passed++
		}
	}
	return v
}

// commonTicks divides all weights by their greatest common divisor, so that
// whole minutes make a small table, and returns it.
func commonTicks(sets [][]option) int {
	unit := 0
	for _, set := range sets {
		for _, o := range set {
			unit = gcd(unit, o.weight)
		}
	}
	if unit == 0 {
		return 1
	}
	for _, set := range sets {
		for j := range set {
			set[j].weight /= unit
		}
	}
	return unit
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// counter chooses what to look at while a customer waits: of the sets of looks
// within CounterMinutes the shortest that moves as much as any, to what rounds
// to nothing.
func counter(offers []Offer, looks []*inspected) {
	for i, n := range looks {
		offers[i].Above = offers[i].Row != nil && offers[i].Row.Above
		all := n.options() // ascending in minutes and in swing
		for len(all) > 0 && all[len(all)-1].weight > CounterMinutes*ticksAMinute {
			all = all[:len(all)-1]
		}
		for _, o := range all {
			if o.value > all[len(all)-1].value-rounds {
				offers[i].Chosen = n.set(o.set)
				break
			}
		}
	}
}

// compareYard is the order in which lots stand: lane by lane, within a lane by
// sale order (a number, a time), then by lot; lots without follow.
func compareYard(a, b Offer) int {
	x, y := a.Assessment.Vehicle, b.Assessment.Vehicle
	return cmp.Or(natural(x.Desk().Lane, y.Desk().Lane), natural(x.Desk().SaleOrder, y.Desk().SaleOrder), natural(x.Desk().Lot, y.Desk().Lot), compareVehicles(x, y))
}

// natural compares as a person does: runs of digits by their number, so that
// lane 2 comes before lane 10; nothing comes last.
func natural(a, b string) int {
	if a == "" || b == "" {
		return cmp.Compare(len(b), len(a))
	}
	x, y := strings.ToUpper(a), strings.ToUpper(b)
	for x != "" && y != "" {
		var p, q string
		p, x = run(x)
		q, y = run(y)
		m, err1 := strconv.ParseUint(p, 10, 64)
		n, err2 := strconv.ParseUint(q, 10, 64)
		if c := cmp.Compare(m, n); err1 == nil && err2 == nil && c != 0 {
			return c
		}
		if c := cmp.Compare(p, q); (err1 != nil || err2 != nil) && c != 0 {
			return c
		}
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(a, b))
}

// run cuts the first run of digits, or of what is none, off a text.
func run(s string) (first, rest string) {
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	i := 1
	for i < len(s) && digit(s[i]) == digit(s[0]) {
		i++
	}
	return s[:i], s[i:]
}

package plan

import "math"

// Stock speaks of all vehicles of a trade-in list together.
type Stock struct {
	Vehicles           int
	Deduction          float64 // sum of the deductions
	Expected           float64 // sum of the expected bills
	P10, P50, P80, P90 float64 // percentiles of the bill of all
	Step               float64 // the percentiles are reckoned in steps of this much money
	Within             float64 // …and lie within this much of the exact ones
}

// pile is the distribution of a sum on a grid of equal steps: p[i] is the
// chance of (low + i) steps.
type pile struct {
	step float64
	low  int
	p    []float64
	next []float64
}

// What the percentiles of a whole list may take, in additions, and the steps
// of money that are tried.
const mostAdditions = 2e8

var pileSteps = [...]float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 50_000, 100_000, 1e6, 1e7, 1e8, 1e9}

// stock sums up the offers. The bill of all is the convolution of every part's
// on a grid: an amount between two points of it counts as both, so that its
// mean stays exact. The amounts then err by less than a step each, their errors
// have mean 0 and are independent, so that by Hoeffding's inequality (J. Am.
// Stat. Assoc. 58 (1963), theorem 2) the sum of n of them errs by more than
// step·√(n·ln(2/ε)/2) with chance ε at most; Within takes ε = 10⁻⁹.
func stock(offers []Offer) Stock {
	s := Stock{Vehicles: len(offers)}
	variance, items, n := 0.0, 0, 0
	for i := range offers {
		o := &offers[i]
		s.Deduction += o.Deduction
		for j := range o.Causes {
			b := &o.Causes[j].Bill
			s.Expected += b.Mean()
			variance += b.variance()
			items += len(b.Items())
			n++
		}
	}
	g := pile{step: stepFor(variance, items), p: []float64{1}}
	for i := range offers {
		for j := range offers[i].Causes {
			g.add(&offers[i].Causes[j].Bill)
		}
	}
	s.P10, s.P50, s.P80, s.P90 = g.quantile(0.1), g.quantile(0.5), g.quantile(0.8), g.quantile(0.9)
	s.Step, s.Within = g.step, g.step*math.Sqrt(float64(n)*math.Log(2e9)/2)
	return s
}

// stepFor is the smallest step that keeps the work within bounds: the sum
// spreads over some dozen standard deviations.
func stepFor(variance float64, items int) float64 {
	for _, step := range pileSteps {
		if 15*math.Sqrt(variance)/step*2*float64(items) <= mostAdditions {
			return step
		}
	}
	return pileSteps[len(pileSteps)-1]
}

func (b *Bill) variance() float64 {
	mean, sum := b.Mean(), 0.0
	for _, i := range b.Items() {
		sum += i.Chance * (i.Money() - mean) * (i.Money() - mean)
	}
	return sum
}

// lightTail is the chance below which the ends of a pile are let go.
const lightTail = 1e-13

// add convolves one bill into the pile.
func (g *pile) add(b *Bill) {
	items := b.Items()
	top := int(math.Ceil(items[len(items)-1].Money()/g.step)) + 1
	if cap(g.next) < len(g.p)+top {
		g.next = make([]float64, 2*(len(g.p)+top))
	}
	next := g.next[:len(g.p)+top]
	clear(next)
	for _, i := range items {
		at := i.Money() / g.step
		whole := math.Floor(at)
		g.shift(next, int(whole), i.Chance*(1-(at-whole)))
		g.shift(next, int(whole)+1, i.Chance*(at-whole))
	}
	g.p, g.next = next, g.p[:0:cap(g.p)]
	for len(g.p) > 1 && g.p[0] < lightTail {
		g.p, g.low = g.p[1:], g.low+1
	}
	for len(g.p) > 1 && g.p[len(g.p)-1] < lightTail {
		g.p = g.p[:len(g.p)-1]
	}
}

// shift adds the pile, weighted, some steps farther up.
func (g *pile) shift(next []float64, by int, weight float64) {
	if weight == 0 {
		return
	}
	for k, p := range g.p {
		next[by+k] += weight * p
	}
}

func (g *pile) quantile(q float64) float64 {
	sum := 0.0
	for i, p := range g.p {
		if sum += p; sum >= q-rounding {
			return float64(g.low+i) * g.step
		}
	}
	return float64(g.low+len(g.p)-1) * g.step
}

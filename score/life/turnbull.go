package life

import (
	"fmt"
	"math"
	"sort"
)

// Mass is a share of the failures that lies in (Left, Right], where within it
// the data cannot tell. Left = Right is a single distance; Right = +Inf lies
// beyond all looks.
type Mass struct {
	Left, Right float64
	Share       float64 // in (0, 1]
}

// TurnbullCurve is the non-parametric maximum likelihood estimate.
type TurnbullCurve struct {
	Masses []Mass  // ascending, those with a share only; the shares sum to 1
	LogLik float64 // log of the probability of the records' sets
	// Gap is how far LogLik can at most lie below the maximum.
	Gap float64
	Tally
	Warnings []error // what limits the result
}

// Turnbull estimates the distribution of the failures from records of any
// censoring (Turnbull, J. R. Statist. Soc. B 38 (1976)), without a family: the
// masses on the innermost intervals that make the records likeliest. The
// maximum is certified by the Karush-Kuhn-Tucker conditions (Gentleman & Geyer,
// Biometrika 81 (1994)); where the search stops short of it, that is
// ErrNotConverged.
//
// Late entry is refused (ErrUnsuited): with it the estimate need not be unique.
func Turnbull(records []Record) (*TurnbullCurve, error) {
	kept, err := usable(records)
	if err != nil {
		return nil, err
	}
	for _, r := range kept {
		if r.Entry > 0 {
			return nil, fmt.Errorf("%w: turnbull: entry at %v; with late entry use KaplanMeier or Estimate", ErrUnsuited, r.Entry)
		}
	}
	c := &TurnbullCurve{Tally: tally(kept)}
	if c.Records == 0 {
		return nil, fmt.Errorf("%w: turnbull: no records", ErrTooFew)
	}
	if c.Events == 0 {
		return nil, fmt.Errorf("%w: turnbull: all %v parts are right-censored; needs a failure", ErrTooFew, c.Records)
	}
	p := innermost(kept)
	if err := p.solve(); err != nil {
		return nil, fmt.Errorf("turnbull: %w", err)
	}
	c.LogLik, c.Gap = p.value()
	for j, m := range p.masses {
		if m.Share = p.share[j]; m.Share > 0 {
			c.Masses = append(c.Masses, m)
		}
	}
	if last := c.Masses[len(c.Masses)-1]; math.IsInf(last.Right, 1) {
		c.Warnings = append(c.Warnings, fmt.Errorf("%.3g of the failures lie beyond %v, where no part was followed: the curve says nothing there", last.Share, last.Left))
	}
	return c, nil
}

// Survival is the share in [0, 1] that has not failed by the end of the last
// mass at or before t; between a mass's ends it is known only to fall.
func (c *TurnbullCurve) Survival(t float64) float64 {
	s := 1.0
	for _, m := range c.Masses {
		if m.Right <= t {
			s -= m.Share
		}
	}
	return math.Max(0, s)
}

// masses is the problem reduced to the innermost intervals: record i says that
// its failure lies in one of the masses first[i] to last[i].
type masses struct {
	masses      []Mass
	share       []float64
	first, last []int
	weight      []float64
	total       float64
	chance      []float64 // of each record's set
	gradient    []float64 // Σ weight/chance over the records that hold the mass
	sum         []float64
}

// edge is an end of a record's set. At one distance a point begins first, then
// sets end there (they hold the distance), then intervals begin (they don't).
type edge struct {
	at    float64
	order int // 0 a point begins, 1 an end, 2 an interval begins
}

func (e edge) before(o edge) bool { return e.at < o.at || e.at == o.at && e.order < o.order }

func begin(r Record) edge {
	if r.Exact() {
		return edge{r.Low, 0}
	}
	return edge{r.Low, 2}
}

// innermost finds the intervals on which mass can lie: those that begin with a
// begin and end with the next edge, an end.
func innermost(kept []Record) *masses {
	var edges []edge
	for _, r := range kept {
		edges = append(edges, begin(r), edge{r.High, 1})
	}
	sort.Slice(edges, func(i, j int) bool { return edges[i].before(edges[j]) })
	p := &masses{}
	var begins []edge
	for i := 1; i < len(edges); i++ {
		if edges[i].order == 1 && edges[i-1].order != 1 {
			begins = append(begins, edges[i-1])
			p.masses = append(p.masses, Mass{Left: edges[i-1].at, Right: edges[i].at})
		}
	}
	type set struct{ first, last int }
	of := map[set]int{}
	for _, r := range kept {
		b := begin(r)
		s := set{
			sort.Search(len(begins), func(j int) bool { return !begins[j].before(b) }),
			sort.Search(len(begins), func(j int) bool { return p.masses[j].Right > r.High }) - 1,
		}
		i, known := of[s]
		if !known {
			i = len(p.first)
			of[s] = i
			p.first, p.last, p.weight = append(p.first, s.first), append(p.last, s.last), append(p.weight, 0)
		}
		p.weight[i] += r.Weight
		p.total += r.Weight
	}
	m := len(p.masses)
	p.share, p.gradient, p.sum = make([]float64, m), make([]float64, m+1), make([]float64, m+1)
	p.chance = make([]float64, len(p.first))
	for j := range p.share {
		p.share[j] = 1 / float64(m)
	}
	return p
}

// assess fills chance and gradient for the shares as they are; work is linear
// in records and masses, as every set is a run of masses.
func (p *masses) assess() {
	for j, s := range p.share {
		p.sum[j+1] = p.sum[j] + s
		p.gradient[j] = 0
	}
	p.gradient[len(p.share)] = 0
	for i, w := range p.weight {
		a, b := p.first[i], p.last[i]
		c := p.sum[b+1] - p.sum[a]
		if a == b {
			c = p.share[a] // without the sums' rounding
		}
		p.chance[i] = c
		p.gradient[a] += w / c
		p.gradient[b+1] -= w / c
	}
	for j := 1; j < len(p.share); j++ {
		p.gradient[j] += p.gradient[j-1]
	}
}

// value is the log-likelihood, and how much higher the maximum can at most be:
// concavity bounds it by the steepest mass's gradient less the total weight.
func (p *masses) value() (f, gap float64) {
	p.assess()
	for i, w := range p.weight {
		f += w * math.Log(p.chance[i])
	}
	steepest := 0.0
	for j := range p.share {
		steepest = math.Max(steepest, p.gradient[j])
	}
	return f, math.Max(0, steepest-p.total)
}

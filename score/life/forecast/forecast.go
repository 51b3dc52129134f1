// Package forecast judges probabilities against what happened: concordance, the
// Brier score with its parts, and expected against observed by bands. It is for
// backtests, of lists and of curves.
//
// It makes no forecasts, knows no vehicles, and does not give the limits within
// which a band's count would fall by chance: those are quantiles of the
// Poisson-binomial distribution of the band's Chances.
//
// Usual steps:
//
//  1. pair each forecast with its outcome in an Outcome;
//  2. Concordance says whether the order is right, BrierOf whether the numbers are;
//  3. Bands says where they are not.
package forecast

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// ErrInput is wrapped by every error of this package: forecasts that are no
// probabilities, or outcomes that cannot be judged.
var ErrInput = errors.New("forecasts that cannot be judged")

// Outcome is one forecast and what came of it.
type Outcome struct {
	Chance   float64 // in [0, 1]; for Concordance alone any number, greater meaning likelier
	Happened bool
}

// Concordance is how well forecasts order what happened before what did not.
type Concordance struct {
	Value float64 // in [0, 1], 0.5 without skill; tied pairs count one half
	Pairs float64 // of one that happened with one that did not
	Tied  float64 // pairs with equal forecasts
}

// ConcordanceOf is the share of pairs, one that happened and one that did not,
// in which the former had the greater forecast (Harrell et al., JAMA 247
// (1982); for yes and no the area under the ROC curve). It needs both kinds.
func ConcordanceOf(outcomes []Outcome) (Concordance, error) {
	for i, o := range outcomes {
		if math.IsNaN(o.Chance) {
			return Concordance{}, fmt.Errorf("%w: forecast %d is no number", ErrInput, i+1)
		}
	}
	right, c, before := 0.0, Concordance{}, 0.0 // before: those that did not happen, with lesser forecasts
	for _, g := range groups(outcomes) {
		misses := g.n - g.happened
		right += g.happened * (before + misses/2)
		c.Tied += g.happened * misses
		before += misses
	}
	c.Pairs = before * (float64(len(outcomes)) - before)
	if c.Pairs == 0 {
		return Concordance{}, fmt.Errorf("%w: concordance needs at least one that happened and one that did not", ErrInput)
	}
	c.Value = right / c.Pairs
	return c, nil
}

// group is the outcomes with one forecast.
type group struct{ chance, n, happened float64 }

// groups gathers by distinct forecast, ascending.
func groups(outcomes []Outcome) []group {
	sorted := slices.Clone(outcomes)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i].Chance < sorted[j].Chance })
	var gs []group
	for _, o := range sorted {
		if len(gs) == 0 || gs[len(gs)-1].chance != o.Chance {
			gs = append(gs, group{chance: o.Chance})
		}
		g := &gs[len(gs)-1]
		g.n++
		if o.Happened {
			g.happened++
		}
	}
	return gs
}

// Brier is the mean squared error of probabilities and its parts (Murphy,
// J. Appl. Meteor. 12 (1973)), by distinct forecast: Score = Reliability −
// Resolution + Uncertainty. All in [0, 1].
type Brier struct {
	Score       float64
	Reliability float64 // how far the forecasts lie from what happened at them; 0 is best
	Resolution  float64 // how far what happened differs between forecasts; more is better
	Uncertainty float64 // the score of forecasting the base rate throughout
}

// BrierOf scores probabilities; at least one is needed.
func BrierOf(outcomes []Outcome) (Brier, error) {
	if err := probabilities(outcomes); err != nil {
		return Brier{}, err
	}
	b := Brier{}
	gs := groups(outcomes)
	b.Reliability, b.Resolution, b.Uncertainty = murphy(gs)
	n := float64(len(outcomes))
	for _, g := range gs {
		b.Score += (g.happened*(1-g.chance)*(1-g.chance) + (g.n-g.happened)*g.chance*g.chance) / n
	}
	return b, nil
}

func murphy(gs []group) (reliability, resolution, uncertainty float64) {
	n, happened := 0.0, 0.0
	for _, g := range gs {
		n, happened = n+g.n, happened+g.happened
	}
	base := happened / n
	for _, g := range gs {
		rate := g.happened / g.n
		reliability += g.n * (g.chance - rate) * (g.chance - rate) / n
		resolution += g.n * (rate - base) * (rate - base) / n
	}
	return reliability, resolution, base * (1 - base)
}

func probabilities(outcomes []Outcome) error {
	if len(outcomes) == 0 {
		return fmt.Errorf("%w: there are none", ErrInput)
	}
	for i, o := range outcomes {
		if !(o.Chance >= 0 && o.Chance <= 1) {
			return fmt.Errorf("%w: forecast %d is %v: must be from 0 to 1", ErrInput, i+1, o.Chance)
		}
	}
	return nil
}

// Band is the forecasts in [From, To), the last band with its upper edge.
type Band struct {
	From, To float64
	N        int
	Expected float64   // sum of the forecasts
	Observed int       // of them that happened
	Chances  []float64 // the forecasts, ascending, for the exact limits of Observed
}

// Calibration is expected against observed by bands. Reliability and Resolution
// are Murphy's with each band's mean forecast; since forecasts differ within a
// band, they do not add up to the Brier score.
type Calibration struct {
	Bands                   []Band // as many as the edges make, empty ones among them
	Reliability, Resolution float64
}

// Bands sorts probabilities into the bands between edges, which ascend and
// cover all forecasts: from 0 to 1 is always enough.
func Bands(outcomes []Outcome, edges []float64) (*Calibration, error) {
	if err := probabilities(outcomes); err != nil {
		return nil, err
	}
	c := &Calibration{}
	for i := 1; i < len(edges); i++ {
		if !(edges[i] > edges[i-1]) {
			return nil, fmt.Errorf("%w: band edge %v after %v: must ascend", ErrInput, edges[i], edges[i-1])
		}
		c.Bands = append(c.Bands, Band{From: edges[i-1], To: edges[i]})
	}
	if len(c.Bands) == 0 {
		return nil, fmt.Errorf("%w: bands need two edges", ErrInput)
	}
	for i, o := range outcomes {
		if o.Chance < edges[0] || o.Chance > edges[len(edges)-1] {
			return nil, fmt.Errorf("%w: forecast %d, %v, lies outside the bands", ErrInput, i+1, o.Chance)
		}
		c.Bands[bandOf(o.Chance, edges)].add(o)
	}
	var gs []group
	for i := range c.Bands {
		b := &c.Bands[i]
		slices.Sort(b.Chances)
		for _, p := range b.Chances { // ascending, so that the order of the input never shows
			b.Expected += p
		}
		if b.N > 0 {
			gs = append(gs, group{b.Expected / float64(b.N), float64(b.N), float64(b.Observed)})
		}
	}
	c.Reliability, c.Resolution, _ = murphy(gs)
	return c, nil
}

func bandOf(p float64, edges []float64) int {
	above := sort.Search(len(edges), func(i int) bool { return edges[i] > p })
	return min(above, len(edges)-1) - 1
}

func (b *Band) add(o Outcome) {
	b.N++
	b.Chances = append(b.Chances, o.Chance)
	if o.Happened {
		b.Observed++
	}
}

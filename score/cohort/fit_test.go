package cohort

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
)

// pump wears by a Weibull and is put right with an improved part; a third of the
// vehicles may or may not have it.
func pump() world {
	return world{
		onset: life.Weibull{Shape: 2.8, Scale: 170e3}, delay: life.Weibull{Shape: 1.6, Scale: 33e3},
		detects: 0.9, share: 0.4, open: 0.3, looks: 1, planned: 0.1, late: 0.3, from: 2e4, to: 3e5,
	}
}

// bearing is replaced like for like.
func bearing() world {
	return world{
		onset: life.Lognormal{Mu: 11.7, Sigma: 0.45}, delay: life.Exponential{Mean: 24e3}, same: true,
		detects: 0.8, share: 0.4, looks: 1, planned: 0.1, late: 0.3, from: 2e4, to: 3e5,
	}
}

func fitted(t *testing.T, p Part) *Fit {
	t.Helper()
	f, err := p.Fit()
	require.NoError(t, err)
	return f
}

// TestFitAgainAlike: a second fit of the same records, and one of the records in
// another order, give the same bits.
func TestFitAgainAlike(t *testing.T) {
	for name, w := range map[string]world{"improved": pump(), "same": bearing()} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(20261125, 1))
			pasts := w.fleet(r, 400)
			first := fitted(t, NewPart(w.part(5), pasts))
			assert.Equal(t, first, fitted(t, NewPart(w.part(5), pasts)))
			r.Shuffle(len(pasts), func(i, j int) { pasts[i], pasts[j] = pasts[j], pasts[i] })
			other := fitted(t, NewPart(w.part(5), pasts))
			assert.Equal(t, first.New, other.New)
			assert.Equal(t, first.Band, other.Band)
			assert.Equal(t, first.Goodness, other.Goodness)
			assert.Equal(t, first.LogLik, other.LogLik)
		})
	}
}

// warnings are a fit's warnings as one error.
func warnings(f *Fit) error { return errors.Join(f.Warnings...) }

// TestImpossibleRecords: what cannot be with the catalogue's curves is left out and
// said; it does not spoil the rest.
func TestImpossibleRecords(t *testing.T) {
	w := pump()
	w.open, w.late = 0, 0
	part := w.part(20)
	flat, err := life.NewTable([]life.Point{{Distance: 50e3, Share: 0}, {Distance: 250e3, Share: 0.8}})
	require.NoError(t, err)
	part.Onset = flat
	pasts := []score.Lives{
		{Belonging: score.Belonging{Membership: score.Inside}, Of: []score.Life{{X: 20e3, End: score.EndedFailed}}},
		{Belonging: score.Belonging{Membership: score.Inside}, Of: []score.Life{{X: 140e3, End: score.EndedFailed}}},
		{Belonging: score.Belonging{Membership: score.Inside}, Of: []score.Life{{X: 90e3, End: score.StillRunning}}},
	}
	f := fitted(t, NewPart(part, pasts))
	assert.ErrorContains(t, warnings(f), "1 vehicle was left out")
	assert.Equal(t, 21.0, f.New.Weight, "one failure was used")
}

// TestUnknownRenewals: a renewal of unknown cause is used up to its last clean
// inspection, without one left out, counted, and bounded.
func TestUnknownRenewals(t *testing.T) {
	w := pump()
	w.open, w.late = 0, 0
	pasts := w.fleet(rand.New(rand.NewPCG(20261125, 8)), 300)
	before := fitted(t, NewPart(w.part(20), pasts))
	bare := func(clean ...float64) score.Lives {
		return score.Lives{Belonging: score.Belonging{Membership: score.Inside}, Of: []score.Life{{X: 120e3, Clean: clean, End: score.EndedUnknown}}}
	}
	for range 60 {
		pasts = append(pasts, bare())
	}
	left := fitted(t, NewPart(w.part(20), pasts))
	assert.Equal(t, before.New, left.New, "left out, they move nothing")
	assert.Equal(t, []int{60, 0, 60}, []int{left.Counts.Unknown, left.Counts.UnknownUsed, left.Counts.UnknownLeft})
	require.NotNil(t, left.Unknown)
	half := func(c *Curves) float64 { return c.Onset.Quantile(0.5) }
	assert.Less(t, half(left.Unknown.AllFailed), half(&left.New), "as failures they shorten life")
	assert.Greater(t, half(left.Unknown.NoneFailed), half(&left.New), "as planned they lengthen it")
	used := fitted(t, NewPart(w.part(20), append(pasts[:300:300], bare(80e3))))
	alike := fitted(t, NewPart(w.part(20), append(pasts[:300:300], score.Lives{Belonging: score.Belonging{Membership: score.Inside},
		Of: []score.Life{{X: 80e3, Clean: []float64{80e3}, End: score.StillRunning}}})))
	assert.Equal(t, alike.New, used.New, "followed up to the clean inspection")
}

// TestNothingThatMovedIsSaidToStay: many vehicles still running at a high distance move a curve that
// they tell nothing else of; one at a low distance moves nothing.
func TestNothingThatMovedIsSaidToStay(t *testing.T) {
	w := pump()
	w.open, w.late = 0, 0
	running := func(n int, x float64) (pasts []score.Lives) {
		for range n {
			pasts = append(pasts, score.Lives{Belonging: score.Belonging{Membership: score.Inside}, Of: []score.Life{{X: x, End: score.StillRunning}}})
		}
		return pasts
	}
	stays, moves := 0, 0
	for _, pasts := range [][]score.Lives{running(1, 1e3), running(2, 150e3), running(8, 250e3)} {
		f := fitted(t, NewPart(w.part(5), pasts))
		said := warnings(f).Error()
		for _, p := range f.Parameters {
			moved := math.Abs(p.Value-p.Prior) > 0.1*p.PriorSD
			name := p.Curve + "'s " + parameterName(p.Name).String()
			assert.Equal(t, p.Told < 0.1 && !moved, strings.Contains(said, "next to nothing of the "+name+": it stays"), "%s: %+v", name, p)
			assert.Equal(t, p.Told < 0.1 && moved, strings.Contains(said, "move the "+name+" and take"), "%s: %+v", name, p)
			if p.Told < 0.1 && moved {
				moves++
			} else if p.Told < 0.1 {
				stays++
			}
		}
	}
	assert.Positive(t, stays)
	assert.Positive(t, moves)
}

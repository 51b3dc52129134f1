package backtest

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life/forecast"
	"pitlist/score/plan"
)

// lived is a fleet whose parts live by the catalogue's curves: renewed when
// they fail, looked at by the calendar, renewed as a precaution where a look
// finds them worn. Since every curve is known, the forecasts are right.
func lived(t *testing.T, p *score.WeakPart, n int, rng *rand.Rand) []score.Vehicle {
	t.Helper()
	out := make([]score.Vehicle, n)
	for i := range out {
		born := end - score.Day(600+rng.IntN(2400))
		v := steady(fmt.Sprintf("S-%03d", i), born, end)
		onset := p.Onset.Quantile(rng.Float64())
		fails := onset + p.Delay.Quantile(rng.Float64())
		look := born + score.Day(100+rng.IntN(int(end-born)))
		ref := score.Ref{Source: 1, Row: int32(10 * i)}
		failed := born + score.Day(math.Ceil(math.Min(fails, 1e6)/70))
		if at := 70 * float64(look-born); look < failed && look < end && rng.IntN(2) == 0 {
			found := at >= onset && rng.Float64() < p.Inspection.Detects || at < onset && rng.Float64() < p.Inspection.FalseAlarm
			n := score.Inspection{Day: look, KM: score.Is(at), Part: p.ID, Result: score.FoundSound, Ref: ref}
			if found {
				n.Result, failed = score.FoundWorn, end+1
				v.Repairs = append(v.Repairs, score.Repair{Day: look + 7, KM: score.Is(at + 490), Text: "pump follower replaced as a precaution", Ref: score.Ref{Source: 1, Row: ref.Row + 1}})
			}
			v.Inspections = append(v.Inspections, n)
		}
		if failed <= end {
			v.Repairs = append(v.Repairs, score.Repair{Day: failed, KM: score.Is(70 * float64(failed-born)), Text: "pump follower replaced, follower seized", Ref: score.Ref{Source: 1, Row: ref.Row + 2}})
		}
		out[i] = v
	}
	return out
}

// tested sums up exact limits over independent fleets: how often the count lay
// within them, and how often it should have.
type tested struct{ n, inside, expect, variance float64 }

func (x *tested) add(low, high, observed int, chances []float64) {
	var d plan.PoissonBinomial
	for _, p := range chances {
		d.Add(p)
	}
	within := 0.0
	for i, p := range d.P {
		if n := d.Low + i; n >= low && n <= high {
			within += p
		}
	}
	x.n++
	if low <= observed && observed <= high {
		x.inside++
	}
	x.expect += within
	x.variance += within * (1 - within)
}

// within demands that the count of fleets inside agrees with its expectation,
// 3.3 standard deviations either way (a false alarm in 1,000), a band reckoned
// from the limits' own exact coverage.
func (x *tested) within(t *testing.T, what string) {
	t.Helper()
	assert.InDelta(t, x.expect, x.inside, 3.3*math.Sqrt(x.variance)+0.5, "%s: inside in %v of %v fleets, expected %.1f", what, x.inside, x.n, x.expect)
	assert.Greater(t, x.expect/x.n, 0.95, "the limits hold what they say")
}

// TestKnownTruth: over 300 fleets that live by the catalogue's own curves, the
// failures and the worn findings lie within the exact limits as often as they
// should, in all and in bands; and over all fleets the counts agree with what
// was expected within 4 standard deviations.
func TestKnownTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("300 fleets are judged")
	}
	p := follower(t)
	p.Evidence = nil
	c := &score.Catalogue{Parts: []score.WeakPart{p}}
	rng := rand.New(rand.NewPCG(20261125, 4))
	var all, bands, worn tested
	var expected, observed, variance, wornExpected, wornObserved, wornVariance float64
	const fleets, size = 300, 60
	r, b := lists(t, c, lived(t, &p, fleets*size, rng), options(end-182))
	require.Len(t, r, 1)
	own := make([][]Case, fleets)
	for _, k := range b.cases {
		own[k.Vehicle/size] = append(own[k.Vehicle/size], k)
	}
	for _, fleet := range own {
		var fails, looks []forecast.Outcome
		for _, k := range fleet {
			fails = append(fails, forecast.Outcome{Chance: k.Fail, Happened: k.Came == Failed})
			variance += k.Fail * (1 - k.Fail)
			if k.looked() {
				looks = append(looks, forecast.Outcome{Chance: k.Look, Happened: k.Came == FoundWorn})
				wornVariance += k.Look * (1 - k.Look)
			}
		}
		f := against(fails, failEdges, 1)
		all.add(f.Low, f.High, f.Observed, chances(fails, 0, 1))
		for _, band := range f.Bands {
			bands.add(band.Low, band.High, band.Observed, chances(fails, band.From, band.To))
		}
		expected, observed = expected+f.Expected, observed+float64(f.Observed)
		if len(looks) > 0 {
			w := against(looks, wornEdges, 1)
			worn.add(w.Low, w.High, w.Observed, chances(looks, 0, 1))
			wornExpected, wornObserved = wornExpected+w.Expected, wornObserved+float64(w.Observed)
		}
	}
	all.within(t, "failures")
	bands.within(t, "failures in bands")
	worn.within(t, "worn findings")
	require.Greater(t, expected, 400.0)
	require.Greater(t, wornExpected, 100.0)
	assert.InDelta(t, expected, observed, 4*math.Sqrt(variance), "failures in all")
	assert.InDelta(t, wornExpected, wornObserved, 4*math.Sqrt(wornVariance), "worn findings in all")
}

func chances(all []forecast.Outcome, from, to float64) []float64 {
	var out []float64
	for _, o := range all {
		if o.Chance >= from && (o.Chance < to || to == 1) {
			out = append(out, o.Chance)
		}
	}
	return out
}

// TestWrongCurvesShow: curves that are far too short are found out by the same
// limits.
func TestWrongCurvesShow(t *testing.T) {
	p := follower(t)
	p.Evidence = nil
	fleet := lived(t, &p, 1500, rand.New(rand.NewPCG(7, 7)))
	judge := func(p score.WeakPart) Judgement {
		r, err := Run(context.Background(), &score.Catalogue{Parts: []score.WeakPart{p}}, fleet, options(end-364, end-182))
		require.NoError(t, err)
		return r.All
	}
	right := judge(p)
	assert.True(t, right.Failures.Inside(), "%+v", right.Failures)
	assert.False(t, right.Failures.Need.Short())
	short := p
	short.Onset = p.Delay // worn soon after the start
	wrong := judge(short)
	assert.False(t, wrong.Failures.Inside())
	assert.Greater(t, wrong.Failures.Brier.Score, right.Failures.Brier.Score)
}

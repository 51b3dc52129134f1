package cohort

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// TestTruthRecovered lives through many fleets whose truth is known, and holds the
// fits against it: each parameter's 80 % interval covers as often as it should,
// and none leans to one side. The band of the coverage is the binomial's: of 40
// intervals that cover with chance 0.8, from 23 to 39 do with all but 1 in 1,000
// (scipy.stats.binom.ppf at 0.0005 and 0.9995). The lean is the mean of the errors
// in standard deviations: within 3.3 of its standard errors, besides 0.25 for the
// bias that a maximum has with so few events (of first order in 1/events).
func TestTruthRecovered(t *testing.T) {
	if testing.Short() {
		t.Skip("160 fleets are fitted, in one goroutine")
	}
	const fleets, vehicles, least, most = 40, 260, 23, 39
	noDoubt := pump()
	noDoubt.open, noDoubt.late = 0, 0
	read := noDoubt
	read.onset, read.delay, read.looks = bulletin(t), life.Exponential{Mean: 24e3}, 2
	for name, w := range map[string]world{
		"improved, records from new":                         noDoubt,
		"improved, share unknown, records late":              pump(),
		"like for like, unseen renewals, lognormal":          bearing(),
		"a bulletin's table, its factor learned, more looks": read,
	} {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(20261125, 11))
			covered, sum := map[int]int{}, map[int]float64{}
			for range fleets {
				p := NewPart(w.part(1), w.fleet(r, vehicles))
				require.Greater(t, p.Counts.Events(), 40)
				l, top, err := p.learn(p.byCause[""])
				require.NoError(t, err)
				for i, j := range l.freeOf(l.prior.open) {
					off := (top.at[j] - l.prior.mean[j]) / math.Sqrt(top.cov.At(i, i))
					sum[j] += off
					if math.Abs(off) <= tenth {
						covered[j]++
					}
				}
			}
			for j, n := range covered {
				t.Logf("parameter %d: covered in %d of %d, lean %.3f", j, n, fleets, sum[j]/fleets)
				assert.True(t, n >= least && n <= most, "parameter %d covered in %d of %d", j, n, fleets)
				assert.InDelta(t, 0, sum[j]/fleets, 0.25+3.3/math.Sqrt(fleets), "parameter %d leans", j)
			}
		})
	}
}

// TestPriorHolds: what the records cannot tell stays at the catalogue's, and is said.
func TestPriorHolds(t *testing.T) {
	w := pump()
	w.open, w.late, w.looks, w.from, w.to = 0, 0, 0, 5e3, 60e3
	f := fitted(t, NewPart(w.part(40), w.fleet(rand.New(rand.NewPCG(20261125, 3)), 30)))
	require.Less(t, f.Counts.Events(), 3)
	for _, p := range f.Parameters {
		assert.InDelta(t, p.Prior, p.Value, 0.5*p.PriorSD, "%s %s", p.Curve, p.Name)
		assert.LessOrEqual(t, p.SD, p.PriorSD*1.05)
	}
	assert.ErrorContains(t, warnings(f), "delay's")
	assert.Equal(t, 40+float64(f.Counts.Events()), f.New.Weight)
}

// TestGoodness: expected and seen agree where the curves hold, over all the records
// and however parts left, and part where another curve is at work.
func TestGoodness(t *testing.T) {
	w := pump()
	pasts := w.fleet(rand.New(rand.NewPCG(20261125, 5)), 1500)
	part := NewPart(w.part(20), pasts)
	f := fitted(t, part)
	require.NotNil(t, f.Goodness)
	seen, want := 0.0, 0.0
	for _, b := range f.Goodness.Bands {
		seen, want = seen+b.Failures, want+b.ExpectedFailures
	}
	assert.Equal(t, float64(f.Counts.Failures), seen)
	assert.InDelta(t, seen, want, 3.3*math.Sqrt(want))
	assert.Greater(t, f.Goodness.P, 0.01)
	assert.Empty(t, f.Goodness.Warnings)
	other := w
	other.onset = life.Weibull{Shape: 0.9, Scale: 300e3}
	weak := other.part(1e6) // a catalogue that no record moves
	weak.Onset, weak.Delay = w.onset, w.delay
	g := fitted(t, NewPart(weak, other.fleet(rand.New(rand.NewPCG(20261125, 6)), 1500))).Goodness
	assert.Less(t, g.P, 1e-6)
	assert.NotEmpty(t, g.Warnings)
}

package plan

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// at is P(N = n).
func at(d *PoissonBinomial, n int) float64 {
	if i := n - d.Low; i >= 0 && i < len(d.P) {
		return d.P[i]
	}
	return 0
}

func distributionOf(chances []float64) *PoissonBinomial {
	d := new(PoissonBinomial)
	for _, p := range chances {
		d.Add(p)
	}
	return d
}

// TestPoissonBinomialCases: values from R's PoissonBinomial and exact
// fractions (testdata/plan/SOURCE.md).
func TestPoissonBinomialCases(t *testing.T) {
	data, err := os.ReadFile("../../testdata/plan/poisson_binomial.json")
	require.NoError(t, err)
	var cases []struct {
		ID       string
		Settings struct{ Probability, Quantiles []float64 }
		Expect   struct {
			PMF, CDF []float64
			Mean     float64
			P90      *int
			Quantile []int
		}
		Tolerance float64
	}
	require.NoError(t, json.Unmarshal(data, &cases))
	require.Len(t, cases, 4)
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			d := distributionOf(c.Settings.Probability)
			require.Len(t, c.Expect.PMF, len(c.Settings.Probability)+1)
			sum := 0.0
			for n, want := range c.Expect.PMF {
				assert.InDelta(t, want, at(d, n), c.Tolerance, "P(N = %d)", n)
				if sum += at(d, n); c.Expect.CDF != nil {
					assert.InDelta(t, c.Expect.CDF[n], sum, c.Tolerance, "P(N <= %d)", n)
				}
			}
			assert.InDelta(t, c.Expect.Mean, d.Mean(), 1e-9*c.Expect.Mean)
			for i, q := range c.Settings.Quantiles {
				assert.Equal(t, c.Expect.Quantile[i], d.Quantile(q), "quantile %g", q)
			}
			if c.Expect.P90 != nil {
				assert.Equal(t, *c.Expect.P90, d.Quantile(0.9))
			}
		})
	}
}

// TestPoissonBinomialAgainstDirectConvolution: what is let go in the tails
// never shows, for one common chance against the binomial, and for many small
// ones against plain convolution.
func TestPoissonBinomialAgainstDirectConvolution(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	for _, most := range []float64{1, 0.3, 0.01, 1e-5} {
		chances := make([]float64, 1500)
		plain := make([]float64, len(chances)+1)
		plain[0] = 1
		for i := range chances {
			p := most * r.Float64()
			chances[i] = p
			for n := i + 1; n > 0; n-- {
				plain[n] = plain[n]*(1-p) + plain[n-1]*p
			}
			plain[0] *= 1 - p
		}
		d := distributionOf(chances)
		for n, want := range plain {
			assert.InDelta(t, want, at(d, n), 1e-14, "chances up to %g, n = %d", most, n)
		}
		assert.Less(t, len(d.P), 1000, "the tails are let go")
	}
}

func TestPoissonBinomialEnds(t *testing.T) {
	none := new(PoissonBinomial)
	assert.Zero(t, none.Quantile(0.9), "no events: none happen")
	assert.Zero(t, none.Mean())
	odd := distributionOf([]float64{math.NaN(), -1, 0, 2})
	assert.Equal(t, 1, odd.Quantile(0.5), "no number and below 0 count as 0, above 1 as 1")
	sure := distributionOf([]float64{1, 1, 1})
	assert.Equal(t, 3, sure.Quantile(0), "three sure events are three")
}

// TestTotals: three vehicles by hand; every chance is worn × next.
func TestTotals(t *testing.T) {
	l := hundred(map[string]float64{"*": 1}).Make([]score.Assessment{
		vehicleOf(t, "V1", "North", asks{hours: 1, gain: 5000, waiting: 2500}, asks{hours: 9, gain: 500, waiting: 100}),
		vehicleOf(t, "V2", "North", asks{hours: 1, gain: 1000, waiting: 500}),
		vehicleOf(t, "V3", "North", asks{hours: 2, gain: 20, waiting: 10, standing: score.WornFound}),
	}, 1)
	require.Equal(t, []string{"V3 found worn A 0", "V1 chosen A 1", "V2 rest A 1"}, told(l))
	x := l.Totals
	assert.Equal(t, 3, x.Vehicles)
	assert.Equal(t, 2, x.Above)
	assert.InDelta(t, 1, x.Hours, 1e-12)
	assert.InDelta(t, 0.5+0.002, x.ExpectedWorn, 1e-12, "worn parts among those above the line")
	assert.InDelta(t, 0.25+0.01+0.05+0.001, x.FailNext.Mean, 1e-12, "all parts of all vehicles")
	assert.InDelta(t, 0.25+0.001, x.FailNextAbove.Mean, 1e-12)
	assert.Zero(t, x.FailNext.Low)
	assert.Equal(t, 1, x.FailNext.High, "P(N = 0) = 0.75 · 0.99 · 0.95 · 0.999 = 0.705")
	assert.InDelta(t, 0.5*0.5+0.5, x.AvoidedNext, 1e-12, "found worn is caught for certain")
	assert.InDelta(t, x.WaitingAbove+x.WaitingRest, l.Rows[0].Waiting+l.Rows[1].Waiting+l.Rows[2].Waiting, 1e-9)
	require.Len(t, x.Curve, 4)
	assert.Equal(t, CurvePoint{}, x.Curve[0])
	assert.InDelta(t, 2, x.Curve[3].Hours, 1e-12)
}

func TestCurveIsThinnedWithItsEnds(t *testing.T) {
	points := make([]CurvePoint, 1001)
	for i := range points {
		points[i].Hours = float64(i)
	}
	got := thin(points, 200)
	assert.Len(t, got, 200)
	assert.Zero(t, got[0].Hours)
	assert.Equal(t, 1000.0, got[199].Hours)
}

func BenchmarkPoissonBinomial(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	chances := make([]float64, 300_000)
	for i := range chances {
		chances[i] = 0.002 * r.Float64()
	}
	for b.Loop() {
		distributionOf(chances)
	}
}

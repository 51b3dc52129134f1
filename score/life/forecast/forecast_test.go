package forecast_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life/forecast"
	"pitlist/score/plan"
)

const testdata = "../../../testdata/life"

type published struct {
	ID       string `json:"id"`
	Method   string `json:"method"`
	Data     string `json:"data"`
	Settings struct {
		Probability, Outcome, Edges, Quantiles []float64
	} `json:"settings"`
	Expect    json.RawMessage `json:"expect"`
	Tolerance *float64        `json:"tolerance"`
	Published json.RawMessage `json:"published"`
}

type numbers struct {
	Concordance, Pairs                                *float64
	TiedPairs                                         *float64 `json:"tied_pairs"`
	Brier, Reliability, Resolution, Uncertainty, Mean *float64
	BandReliability                                   *float64 `json:"band_reliability"`
	BandResolution                                    *float64 `json:"band_resolution"`
	P90                                               *float64 `json:"p90"`
	Variance                                          *float64
	Pmf, Cdf, Quantile                                []float64
	Bands                                             []map[string]float64
}

func casesOf(t *testing.T, methods ...string) (found []published) {
	t.Helper()
	for _, name := range []string{"cases.json", "cases_more.json"} {
		raw, err := os.ReadFile(filepath.Join(testdata, name))
		require.NoError(t, err)
		var all []published
		require.NoError(t, json.Unmarshal(raw, &all))
		for _, c := range all {
			for _, m := range methods {
				if c.Method == m {
					found = append(found, c)
				}
			}
		}
	}
	require.NotEmpty(t, found)
	return found
}

func (c published) expect(t *testing.T) (n numbers) {
	t.Helper()
	require.NoError(t, json.Unmarshal(c.Expect, &n))
	return n
}

// outcomes are the case's own, from its settings or its file.
func (c published) outcomes(t *testing.T) (out []forecast.Outcome) {
	t.Helper()
	for i, p := range c.Settings.Probability {
		out = append(out, forecast.Outcome{Chance: p, Happened: c.Settings.Outcome[i] == 1})
	}
	if c.Data == "" {
		return out
	}
	f, err := os.Open(filepath.Join(testdata, c.Data))
	require.NoError(t, err)
	defer f.Close()
	cells, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, row := range cells[1:] {
		p, err := strconv.ParseFloat(row[0], 64)
		require.NoError(t, err)
		out = append(out, forecast.Outcome{Chance: p, Happened: row[1] == "1"})
	}
	return out
}

func TestMeasuresMeetThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "concordance_and_brier", "concordance", "forecast_measures") {
		t.Run(c.ID, func(t *testing.T) {
			want, out := c.expect(t), c.outcomes(t)
			check := func(name string, want *float64, got float64) {
				if want != nil {
					require.InEpsilon(t, *want, got, *c.Tolerance, name)
				}
			}
			k, err := forecast.ConcordanceOf(out)
			require.NoError(t, err)
			require.NotNil(t, want.Concordance)
			check("concordance", want.Concordance, k.Value)
			check("pairs", want.Pairs, k.Pairs)
			check("tied pairs", want.TiedPairs, k.Tied)
			for _, p := range c.prints(t) {
				require.Equal(t, "concordance", p.What)
				require.Equal(t, p.Printed, strconv.FormatFloat(k.Value, 'f', 4, 64))
			}
			if want.Brier == nil {
				return
			}
			b, err := forecast.BrierOf(out)
			require.NoError(t, err)
			check("brier", want.Brier, b.Score)
			check("reliability", want.Reliability, b.Reliability)
			check("resolution", want.Resolution, b.Resolution)
			check("uncertainty", want.Uncertainty, b.Uncertainty)
			if c.Settings.Edges != nil {
				checkBands(t, c, want, out)
			}
		})
	}
}

func (c published) prints(t *testing.T) (list []struct{ What, Printed string }) {
	t.Helper()
	if len(c.Published) > 0 {
		require.NoError(t, json.Unmarshal(c.Published, &list))
	}
	return list
}

// The bands and, from their chances, the exact limits of what is observed.
func checkBands(t *testing.T, c published, want numbers, out []forecast.Outcome) {
	t.Helper()
	got, err := forecast.Bands(out, c.Settings.Edges)
	require.NoError(t, err)
	require.InEpsilon(t, *want.BandReliability, got.Reliability, *c.Tolerance)
	require.InEpsilon(t, *want.BandResolution, got.Resolution, *c.Tolerance)
	require.Len(t, got.Bands, len(want.Bands))
	for i, b := range got.Bands {
		d := &plan.PoissonBinomial{}
		for _, p := range b.Chances {
			d.Add(p)
		}
		below, atMost := cdf(d, b.Observed-1), cdf(d, b.Observed)
		for name, v := range want.Bands[i] {
			is := map[string]float64{
				"n": float64(b.N), "expected": b.Expected, "observed": float64(b.Observed),
				"p_below": below, "p_at_most": atMost, "mid_percentile": (below + atMost) / 2,
				"q05": float64(d.Quantile(0.05)), "q10": float64(d.Quantile(0.1)), "q50": float64(d.Quantile(0.5)),
				"q90": float64(d.Quantile(0.9)), "q95": float64(d.Quantile(0.95)),
			}
			require.Contains(t, is, name)
			require.InDelta(t, v, is[name], *c.Tolerance*math.Max(1, v), "band %d %s", i, name)
		}
	}
}

// cdf is P(N <= n).
func cdf(d *plan.PoissonBinomial, n int) (sum float64) {
	for i, p := range d.P {
		if d.Low+i <= n {
			sum += p
		}
	}
	return sum
}

// The distribution behind the bands' limits, on the cases made for it.
func TestPoissonBinomialMeetsThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "poisson_binomial") {
		t.Run(c.ID, func(t *testing.T) {
			want, d := c.expect(t), &plan.PoissonBinomial{}
			for _, p := range c.Settings.Probability {
				d.Add(p)
			}
			require.NotEmpty(t, want.Pmf)
			for n, p := range want.Pmf {
				require.InDelta(t, p, cdf(d, n)-cdf(d, n-1), *c.Tolerance)
			}
			for n, p := range want.Cdf {
				require.InDelta(t, p, cdf(d, n), *c.Tolerance)
			}
			require.InEpsilon(t, *want.Mean, d.Mean(), *c.Tolerance)
			for i, q := range c.Settings.Quantiles {
				require.Equal(t, int(want.Quantile[i]), d.Quantile(q), "quantile %v", q)
			}
			if want.P90 != nil {
				require.Equal(t, int(*want.P90), d.Quantile(0.9))
			}
		})
	}
}

func TestForecastsThatCannotBeJudged(t *testing.T) {
	nan := math.NaN()
	yes, no := forecast.Outcome{Chance: 0.4, Happened: true}, forecast.Outcome{Chance: 0.2}
	cases := []struct {
		name string
		call func() error
		says string
	}{
		{"all happened", func() error { _, err := forecast.ConcordanceOf([]forecast.Outcome{yes, yes}); return err }, "one that did not"},
		{"no forecasts to order", func() error { _, err := forecast.ConcordanceOf(nil); return err }, "at least one"},
		{"a forecast that is no number", func() error { _, err := forecast.ConcordanceOf([]forecast.Outcome{{Chance: nan}}); return err }, "forecast 1"},
		{"no forecasts to score", func() error { _, err := forecast.BrierOf(nil); return err }, "none"},
		{"a probability above 1", func() error { _, err := forecast.BrierOf([]forecast.Outcome{no, {Chance: 1.1}}); return err }, "forecast 2 is 1.1"},
		{"one edge", func() error { _, err := forecast.Bands([]forecast.Outcome{no}, []float64{0}); return err }, "two edges"},
		{"edges that fall", func() error { _, err := forecast.Bands([]forecast.Outcome{no}, []float64{0, 0.5, 0.4}); return err }, "must ascend"},
		{"a forecast outside the bands", func() error {
			_, err := forecast.Bands([]forecast.Outcome{no, yes}, []float64{0, 0.3})
			return err
		}, "forecast 2, 0.4, lies outside"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := c.call()
			require.ErrorIs(t, err, forecast.ErrInput)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// Murphy's identity holds for any forecasts; the concordance is that of all
// pairs counted one by one; bands lose and double nothing.
func TestMeasuresOfAnyForecasts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		out := make([]forecast.Outcome, rapid.IntRange(1, 40).Draw(t, "n"))
		for i := range out {
			out[i] = forecast.Outcome{Chance: float64(rapid.IntRange(0, 10).Draw(t, "tenths")) / 10, Happened: rapid.Bool().Draw(t, "happened")}
		}
		b, err := forecast.BrierOf(out)
		require.NoError(t, err)
		require.InDelta(t, b.Score, b.Reliability-b.Resolution+b.Uncertainty, 1e-12)
		right, pairs := 0.0, 0.0
		for _, yes := range out {
			for _, no := range out {
				if yes.Happened && !no.Happened {
					pairs++
					if yes.Chance > no.Chance {
						right++
					} else if yes.Chance == no.Chance {
						right += 0.5
					}
				}
			}
		}
		if k, err := forecast.ConcordanceOf(out); pairs > 0 {
			require.NoError(t, err)
			require.InDelta(t, right/pairs, k.Value, 1e-12)
		} else {
			require.Error(t, err)
		}
		c, err := forecast.Bands(out, []float64{0, 0.2, 0.7, 1})
		require.NoError(t, err)
		n := 0
		for _, band := range c.Bands {
			n += band.N
			for _, p := range band.Chances {
				require.True(t, p >= band.From && (p < band.To || band.To == 1))
			}
		}
		require.Equal(t, len(out), n)
	})
}

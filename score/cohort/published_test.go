package cohort

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// published is one case of testdata/life: published life data, or simulated ones,
// with results found by two independent routes (SOURCE.md there).
type published struct {
	ID        string
	Data      string
	Tolerance float64
	Settings  struct {
		Prior struct{ Shape, Scale, Weight float64 }
	}
	Expect map[string]json.RawMessage
}

// listed are a file's cases, whether it is a list or holds one.
func listed(t *testing.T, raw []byte) (all []json.RawMessage) {
	t.Helper()
	var under struct{ Cases []json.RawMessage }
	if json.Unmarshal(raw, &under) == nil {
		return under.Cases
	}
	require.NoError(t, json.Unmarshal(raw, &all))
	return all
}

func publishedCase(t *testing.T, file, id string) published {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("../../testdata/life", file))
	require.NoError(t, err)
	for _, one := range listed(t, raw) {
		var c published
		if json.Unmarshal(one, &c) == nil && c.ID == id {
			return c
		}
	}
	require.Fail(t, "no case "+id)
	return published{}
}

func (c published) value(t *testing.T, name string) float64 {
	t.Helper()
	var v float64
	require.NoError(t, json.Unmarshal(c.Expect[name], &v), name)
	return v
}

// units are the case's records, each part of a vehicle of its own: a failure at
// low = high, else still running at low.
func (c published) units(t *testing.T, open bool) (units []unit) {
	t.Helper()
	f, err := os.Open(filepath.Join("../../testdata/life", c.Data))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		low, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		h := history{x: low}
		if row[2] != "" {
			h.end = failed
		}
		n, err := strconv.Atoi(row[3])
		require.NoError(t, err)
		for range n {
			units = append(units, unit{histories: []history{h}, open: open, shown: h.end == failed})
		}
	}
	inOrder(units)
	return units
}

// atOnce is a delay that is nothing: failure follows the onset within metres, and
// the likelihood is that of plain censored life data.
var atOnce = life.Exponential{Mean: 0.002}

// atLimit fits onset (and share) with the delay held at nothing.
func atLimit(t *testing.T, units []unit, start life.Weibull, p *prior, free ...int) (*likelihood, *top) {
	t.Helper()
	l := newLikelihood(units, start, atOnce, wear.Improved, 1, p)
	s := &search{likelihood: l, from: newPrior(start, atOnce, 1, 0.5, true).mean, free: free}
	for range free {
		s.unit = append(s.unit, 0.03)
	}
	top, err := s.run()
	require.NoError(t, err)
	return l, top
}

// TestLimitedPopulationPublished: with no delay, and membership of all unknown, the
// fit is that of a limited failure population (Meeker 1987).
func TestLimitedPopulationPublished(t *testing.T) {
	for file, id := range map[string]string{
		"cases.json":      "simulated_limited_population/limited_failure_population",
		"cases_more.json": "simulated_share_seen_km/limited_failure_population",
	} {
		t.Run(id, func(t *testing.T) {
			c := publishedCase(t, file, id)
			_, top := atLimit(t, c.units(t, true), life.Weibull{Shape: 2.5, Scale: 80e3}, nil, onsetAt, onsetAt+1, shareAt)
			tolerance := math.Max(c.Tolerance, 2e-6)
			assert.InEpsilon(t, c.value(t, "scale"), math.Exp(top.at[0]), 10*tolerance, "scale")
			assert.InEpsilon(t, c.value(t, "shape"), math.Exp(top.at[1]), 10*tolerance, "shape")
			assert.InEpsilon(t, c.value(t, "share"), 1/(1+math.Exp(-top.at[shareAt])), 10*tolerance, "share")
			assert.InEpsilon(t, c.value(t, "loglik"), top.value.f, tolerance, "log-likelihood")
			for i, name := range []string{"se_log_scale", "se_log_shape", "se_logit_share"} {
				assert.InEpsilon(t, c.value(t, name), math.Sqrt(top.cov.At(i, i)), 1e-3, name)
			}
		})
	}
}

// TestPlainWeibullPublished: with no delay, and membership of all certain, the fit
// is the plain censored Weibull's, without a prior and with one.
func TestPlainWeibullPublished(t *testing.T) {
	start := life.Weibull{Shape: 2.2, Scale: 9000}
	t.Run("maximum likelihood", func(t *testing.T) {
		c := publishedCase(t, "cases_more.json", "bearing_cages_h/weibull_ml")
		_, top := atLimit(t, c.units(t, false), start, nil, onsetAt, onsetAt+1)
		assert.InEpsilon(t, c.value(t, "scale"), math.Exp(top.at[0]), 1e-5, "scale")
		assert.InEpsilon(t, c.value(t, "shape"), math.Exp(top.at[1]), 1e-5, "shape")
		assert.InEpsilon(t, c.value(t, "loglik"), top.value.f, 1e-6, "log-likelihood")
	})
	t.Run("maximum a posteriori", func(t *testing.T) {
		c := publishedCase(t, "cases_more.json", "bearing_cages_h/weibull_map")
		with := life.Weibull{Shape: c.Settings.Prior.Shape, Scale: c.Settings.Prior.Scale}
		p := newPrior(with, atOnce, c.Settings.Prior.Weight, 0.5, false)
		_, top := atLimit(t, c.units(t, false), start, p, onsetAt, onsetAt+1)
		assert.InEpsilon(t, c.value(t, "scale"), math.Exp(top.at[0]), 1e-5, "scale")
		assert.InEpsilon(t, c.value(t, "shape"), math.Exp(top.at[1]), 1e-5, "shape")
		assert.InEpsilon(t, c.value(t, "se_log_scale"), math.Sqrt(top.cov.At(0, 0)), 1e-3, "standard error of the log scale")
		assert.InEpsilon(t, c.value(t, "se_log_shape"), math.Sqrt(top.cov.At(1, 1)), 1e-3, "standard error of the log shape")
	})
	t.Run("score/life", func(t *testing.T) {
		c := publishedCase(t, "cases_more.json", "bearing_cages_h/weibull_ml")
		units := c.units(t, false)
		_, top := atLimit(t, units, start, nil, onsetAt, onsetAt+1)
		fit, err := life.Estimate(observe(units).Records, life.Model{})
		require.NoError(t, err)
		assert.InEpsilon(t, fit.Curve.(life.Weibull).Scale, math.Exp(top.at[0]), 1e-5)
		assert.InEpsilon(t, fit.Curve.(life.Weibull).Shape, math.Exp(top.at[1]), 1e-5)
		assert.InEpsilon(t, fit.LogLik, top.value.f, 1e-6)
	})
}

// wornCase is one worked case of testdata/wear, computed by adaptive quadrature and
// confirmed by simulation (SOURCE.md there).
type wornCase struct {
	Given struct {
		Onset, Delay    map[string]any
		Share, Distance float64
		DistanceKM      float64   `json:"distance_km"`
		HistoryFrom     float64   `json:"history_from_km"`
		Replacement     string    `json:"replacement"`
		Clean           []float64 `json:"clean_inspections_km"`
		Detects         float64   `json:"inspection_detects"`
		Code            struct {
			Present    bool
			WhenWorn   float64  `json:"when_worn"`
			Otherwise  float64  `json:"otherwise"`
			SinceClear *float64 `json:"since_clear_km"`
			ToSet      float64  `json:"typical_km_to_set"`
		}
	}
	Expect struct {
		Prior, Posterior struct{ Immune, Sound, Worn, Rectified float64 }
	}
}

func curveOf(t *testing.T, m map[string]any) life.Distribution {
	t.Helper()
	v := func(name string) float64 { return m[name].(float64) }
	switch m["family"] {
	case "weibull":
		return life.Weibull{Shape: v("shape"), Scale: v("scale")}
	case "lognormal":
		return life.Lognormal{Mu: v("mu"), Sigma: v("sigma")}
	case "exponential":
		return life.Exponential{Mean: v("mean")}
	}
	require.Failf(t, "family", "%v", m["family"])
	return nil
}

// TestWorkedCases: the masses of the likelihood are those of the score.
func TestWorkedCases(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/wear/wear_model.json")
	require.NoError(t, err)
	all := listed(t, raw)
	require.Len(t, all, 24)
	for i, one := range all {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			var c wornCase
			require.NoError(t, json.Unmarshal(one, &c))
			g := &c.Given
			l := newLikelihood([]unit{{histories: []history{{x: g.DistanceKM, e: g.HistoryFrom, clean: g.Clean}}}},
				curveOf(t, g.Onset), curveOf(t, g.Delay), wear.Replacement(g.Replacement), g.Detects, nil)
			at := newPrior(l.onset, l.delay, 1, 0.5, false).mean
			m := l.model(&at)
			var w work
			sound := g.Share * math.Exp(m.sound(&w, g.DistanceKM, g.HistoryFrom).log)
			worn := g.Share * math.Exp(m.over(&w, g.DistanceKM, g.HistoryFrom, g.Clean, math.Log(1-g.Detects), lasting).log)
			rectified := 0.0
			if !l.same && g.HistoryFrom > 0 {
				rectified = g.Share * math.Exp(m.alone(&w, g.HistoryFrom, gone).log)
			}
			whenWorn, otherwise := g.Code.WhenWorn, g.Code.Otherwise
			if !g.Code.Present {
				ready := 1.0
				if g.Code.SinceClear != nil {
					ready = -math.Expm1(-*g.Code.SinceClear / g.Code.ToSet)
				}
				whenWorn, otherwise = 1-whenWorn*ready, 1-otherwise*ready
			}
			sum := worn*whenWorn + (1-g.Share+sound+rectified)*otherwise
			tolerance := 2e-6
			if l.same && g.HistoryFrom > 0 {
				tolerance = 1e-4
			}
			want := c.Expect.Posterior
			assert.InEpsilon(t, want.Worn, worn*whenWorn/sum, tolerance, "worn")
			assert.InEpsilon(t, want.Sound, sound*otherwise/sum, tolerance, "sound")
			assert.InDelta(t, want.Rectified, rectified*otherwise/sum, tolerance, "rectified")
		})
	}
}

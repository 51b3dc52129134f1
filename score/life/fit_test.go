package life_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

func families() map[string]life.Model {
	return map[string]life.Model{
		"weibull_ml":                 {Family: life.FamilyWeibull},
		"weibull_map":                {Family: life.FamilyWeibull},
		"lognormal_ml":               {Family: life.FamilyLognormal},
		"exponential_ml":             {Family: life.FamilyExponential},
		"limited_failure_population": {Family: life.FamilyWeibull, Limited: true},
	}
}

// Every case of the two files that a likelihood answers: maximum likelihood,
// maximum a posteriori, limited failure population.
func TestFitsMeetThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "weibull_ml", "weibull_map", "lognormal_ml", "exponential_ml", "limited_failure_population") {
		t.Run(c.ID, func(t *testing.T) {
			m := families()[c.Method]
			if p := c.Settings.Prior; p != nil {
				m.Prior = &life.Prior{Curve: life.Weibull{Shape: p.Shape, Scale: p.Scale}, Weight: p.Weight}
			}
			f, err := life.Estimate(c.records(t), m)
			if c.refuses() {
				require.Error(t, err)
				require.Nil(t, f)
				return
			}
			require.NoError(t, err)
			require.Equal(t, life.Converged, f.Status)
			var want map[string]json.RawMessage
			require.NoError(t, json.Unmarshal(c.Expect, &want))
			require.NotEmpty(t, want)
			for name, raw := range want {
				checkFit(t, c, f, name, raw)
			}
			for _, p := range c.prints(t) {
				p.meets(t, named(t, f, p.What))
			}
		})
	}
}

func checkFit(t *testing.T, c published, f *life.Fit, name string, raw json.RawMessage) {
	t.Helper()
	var pair []float64
	if json.Unmarshal(raw, &pair) == nil {
		for i, want := range pair {
			c.within(t, name, want, named(t, f, name+"."+strconv.Itoa(i)))
		}
		return
	}
	var want float64
	require.NoError(t, json.Unmarshal(raw, &want))
	c.within(t, name, want, named(t, f, name))
}

// named reads what a case calls by a name off a fit.
func named(t *testing.T, f *life.Fit, name string) float64 {
	t.Helper()
	get := func(v float64, err error) float64 { require.NoError(t, err, name); return v }
	switch name {
	case "loglik":
		return f.LogLik
	case "life_at_10_percent":
		return f.Life(0.1)
	case "log_scale":
		return math.Log(get(f.Value(life.Scale)))
	case "minus_log_shape":
		return -math.Log(get(f.Value(life.Shape)))
	case "se_shape": // on its natural scale
		return get(f.Value(life.Shape)) * get(f.SE(life.Shape))
	case "minus_shape_log_scale":
		return -get(f.Value(life.Shape)) * math.Log(get(f.Value(life.Scale)))
	case "se_minus_shape_log_scale":
		// The gradient of k·ln(scale) in (ln scale, ln k) is (k, k·ln scale).
		k, y := get(f.Value(life.Shape)), math.Log(get(f.Value(life.Scale)))
		v := get(f.Cov(life.Scale, life.Scale)) + 2*y*get(f.Cov(life.Scale, life.Shape)) + y*y*get(f.Cov(life.Shape, life.Shape))
		return k * math.Sqrt(v)
	}
	bare := strings.NewReplacer("log_", "", "logit_", "").Replace(name)
	if after, ok := strings.CutPrefix(bare, "se_"); ok {
		return get(f.SE(life.Parameter(after)))
	}
	if after, ok := strings.CutPrefix(bare, "cov_"); ok {
		a, b, _ := strings.Cut(after, "_")
		return get(f.Cov(life.Parameter(a), life.Parameter(b)))
	}
	if stem, place, ok := strings.Cut(name, "."); ok {
		return end(t, f, stem, place)
	}
	return get(f.Value(life.Parameter(name)))
}

// end is one end of an interval, as in shape_80_wald.0.
func end(t *testing.T, f *life.Fit, stem, place string) float64 {
	t.Helper()
	of, rest, level := stem, "", 0.0
	for _, l := range []string{"_80_", "_95_"} {
		if before, after, ok := strings.Cut(stem, l); ok {
			percent, err := strconv.Atoi(strings.Trim(l, "_"))
			require.NoError(t, err)
			of, rest, level = before, after, float64(percent)/100
		}
	}
	var i life.Interval
	var err error
	switch {
	case rest == "wald_linear": // the natural scale, as its source prints
		v, se := named(t, f, of), named(t, f, "se_"+of)
		if of == "scale" { // se_shape is on its natural scale already
			se *= v
		}
		i = life.Interval{Low: v - 1.959963985*se, High: v + 1.959963985*se}
	case of == "life_at_10_percent" && rest == "wald":
		i, err = f.LifeWald(0.1, level)
	case of == "life_at_10_percent":
		i, err = f.LifeLikelihoodRatio(0.1, level)
	case rest == "wald":
		i, err = f.Wald(life.Parameter(of), level)
	case rest == "likelihood_ratio":
		i, err = f.LikelihoodRatio(life.Parameter(of), level)
	default:
		t.Fatalf("unknown name %s", stem)
	}
	require.NoError(t, err)
	if place == "0" {
		return i.Low
	}
	return i.High
}

// Every case of the two files is claimed by a test, here or in forecast: none
// is left out in silence.
func TestEveryPublishedCaseIsTested(t *testing.T) {
	tested := []string{
		"weibull_ml", "weibull_map", "lognormal_ml", "exponential_ml", "limited_failure_population",
		"weibull_shape_given", "weibull_shape_given_no_failures", "kaplan_meier", "mean_cumulative_function", "turnbull",
		"concordance_and_brier", "concordance", "forecast_measures", "poisson_binomial",
	}
	require.Len(t, casesOf(t, tested...), 43+35)
}

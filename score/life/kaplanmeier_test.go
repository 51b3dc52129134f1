package life_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life"
)

// columns are a case's expected numbers by name and place; null where a number
// is not defined.
func (c published) columns(t *testing.T) map[string][]*float64 {
	t.Helper()
	var all map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(c.Expect, &all))
	out := map[string][]*float64{}
	for name, raw := range all {
		var list []*float64
		if json.Unmarshal(raw, &list) == nil {
			out[name] = list
		}
	}
	require.NotEmpty(t, out)
	return out
}

// Kaplan-Meier with Greenwood's errors, Nelson-Aalen with its own, late entry
// and estimates from a distance on.
func TestKaplanMeierMeetsThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "kaplan_meier") {
		t.Run(c.ID, func(t *testing.T) {
			s, err := life.KaplanMeier(c.records(t), c.Settings.From)
			require.NoError(t, err)
			want := c.columns(t)
			value := func(name string, i int) (v float64, known bool) {
				at := s.At(*want["time"][i])
				switch name {
				case "time":
					return at.Time, true
				case "survival":
					return at.Survival, true
				case "se_greenwood":
					return at.SE, at.HasSE
				case "nelson_aalen":
					return at.CumHazard, true
				case "se_nelson_aalen":
					return at.HazardSE, true
				case "at_risk":
					return at.AtRisk, true
				}
				t.Fatalf("unknown name %s", name)
				return 0, false
			}
			for name, list := range want {
				for i, w := range list {
					got, known := value(name, i)
					require.Equal(t, w != nil, known, "%s %d", name, i)
					if w != nil {
						c.within(t, name, *w, got)
					}
				}
			}
			for _, p := range c.prints(t) {
				name, place, _ := strings.Cut(p.What, ".")
				i, err := strconv.Atoi(place)
				require.NoError(t, err)
				got, _ := value(name, i)
				p.meets(t, got)
			}
		})
	}
}

// The residents of Klein & Moeschberger 1.16: two men are all that is at risk
// when the first dies, and one is left for the next death.
func TestKaplanMeierWarnsWhereTheRiskSetEmpties(t *testing.T) {
	c := published{Data: "data/late_entry_months_1.csv"}
	s, err := life.KaplanMeier(c.records(t), 0)
	require.NoError(t, err)
	require.Len(t, s.Warnings, 1)
	require.ErrorContains(t, s.Warnings[0], "estimate from a distance")
	s, err = life.KaplanMeier(c.records(t), 816)
	require.NoError(t, err)
	require.Empty(t, s.Warnings)
}

func TestKaplanMeierRefusesWhatItCannotUse(t *testing.T) {
	_, err := life.KaplanMeier([]life.Record{life.Failed(3), life.Between(2, 5)}, 0)
	require.ErrorIs(t, err, life.ErrUnsuited)
	require.ErrorContains(t, err, "use turnbull")
	_, err = life.KaplanMeier(nil, 0)
	require.ErrorIs(t, err, life.ErrTooFew)
	_, err = life.KaplanMeier([]life.Record{life.Failed(3)}, math.NaN())
	require.ErrorIs(t, err, life.ErrParameter)
}

// Without censoring and late entry survival is the share still running, and
// Greenwood's variance is the binomial's S(1−S)/n.
func TestKaplanMeierOfCompleteDataIsTheShareLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOfN(rapid.Float64Range(1, 50), 2, 40).Draw(t, "at")
		var rs []life.Record
		for _, x := range at {
			rs = append(rs, life.Failed(math.Ceil(x)))
		}
		s, err := life.KaplanMeier(rs, 0)
		require.NoError(t, err)
		x := rapid.Float64Range(0, 60).Draw(t, "x")
		left, n := 0.0, float64(len(at))
		for _, r := range rs {
			if r.Low > x {
				left++
			}
		}
		step := s.At(x)
		require.InDelta(t, left/n, step.Survival, 1e-12)
		require.Equal(t, left > 0, step.HasSE)
		if step.HasSE {
			require.InDelta(t, math.Sqrt(left/n*(1-left/n)/n), step.SE, 1e-12)
		}
	})
}

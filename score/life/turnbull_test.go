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

func TestTurnbullMeetsThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "turnbull") {
		t.Run(c.ID, func(t *testing.T) {
			got, err := life.Turnbull(c.records(t))
			require.NoError(t, err)
			want := c.columns(t)
			require.Len(t, got.Masses, len(want["mass"]))
			for i, m := range got.Masses {
				require.Equal(t, *want["left"][i], m.Left)
				if right := want["right"][i]; right == nil {
					require.True(t, math.IsInf(m.Right, 1))
				} else {
					require.Equal(t, *right, m.Right)
				}
				c.within(t, "mass", *want["mass"][i], m.Share)
				if after := want["survival_after"]; after != nil {
					// Just after the mass: what comes later.
					left := 0.0
					for _, later := range got.Masses[i+1:] {
						left += later.Share
					}
					c.within(t, "survival_after", *after[i], left)
				}
			}
			var expect struct{ Loglik float64 }
			require.NoError(t, json.Unmarshal(c.Expect, &expect))
			c.within(t, "loglik", expect.Loglik, got.LogLik)
			require.InDelta(t, 0, got.Gap, 1e-8)
			for _, p := range c.prints(t) {
				_, place, _ := strings.Cut(p.What, ".")
				i, err := strconv.Atoi(place)
				require.NoError(t, err)
				p.meets(t, got.Survival(got.Masses[i].Right))
			}
		})
	}
}

// Where every record is exact or right-censored, Turnbull's estimate is that of
// Kaplan and Meier.
func TestTurnbullOfExactRecordsIsKaplanMeier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rs := []life.Record{life.Failed(rapid.Float64Range(1, 9).Draw(t, "one"))}
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			at := math.Ceil(rapid.Float64Range(0, 12).Draw(t, "at")) + 1
			if rapid.Bool().Draw(t, "failed") {
				rs = append(rs, life.Failed(at))
			} else {
				rs = append(rs, life.Running(at))
			}
		}
		km, err := life.KaplanMeier(rs, 0)
		require.NoError(t, err)
		tb, err := life.Turnbull(rs)
		require.NoError(t, err)
		for _, s := range km.Steps {
			require.InDelta(t, s.Survival, tb.Survival(s.Time), 1e-6)
		}
	})
}

// Any records converge, to a maximum that no shift of mass between two places
// improves, with shares that sum to 1.
func TestTurnbullIsAMaximum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rs []life.Record
		for _, r := range drawRecords(t) {
			rs = append(rs, r.From(0))
		}
		c, err := life.Turnbull(rs)
		if c == nil {
			require.ErrorIs(t, err, life.ErrTooFew)
			return
		}
		sum := 0.0
		for _, m := range c.Masses {
			sum += m.Share
		}
		require.InDelta(t, 1, sum, 1e-9)
		require.Less(t, c.Gap, 1e-6)
	})
}

func TestTurnbullRefusesWhatItCannotUse(t *testing.T) {
	_, err := life.Turnbull([]life.Record{life.Failed(3).From(1)})
	require.ErrorIs(t, err, life.ErrUnsuited)
	_, err = life.Turnbull([]life.Record{life.Running(3)})
	require.ErrorIs(t, err, life.ErrTooFew)
	_, err = life.Turnbull(nil)
	require.ErrorIs(t, err, life.ErrTooFew)
}

package life_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life"
)

// units reads id,time,event: an id's last time ends its observation.
func units(t testing.TB, name string) []life.Unit {
	t.Helper()
	d := rows(t, name)
	at := map[float64]int{}
	var us []life.Unit
	for i, id := range d["id"] {
		if _, known := at[id]; !known {
			at[id] = len(us)
			us = append(us, life.Unit{})
		}
		u := &us[at[id]]
		u.End = math.Max(u.End, d["time"][i])
		if d["event"][i] == 1 {
			u.Events = append(u.Events, d["time"][i])
		}
	}
	return us
}

func TestMeanCumulativeMeetsThePublishedCases(t *testing.T) {
	for _, c := range casesOf(t, "mean_cumulative_function") {
		t.Run(c.ID, func(t *testing.T) {
			m, err := life.MeanCumulative(units(t, c.Data))
			require.NoError(t, err)
			want := c.columns(t)
			for name, list := range want {
				for i, w := range list {
					at := m.At(*want["time"][i])
					got, known := at.Time, true
					switch name {
					case "time":
					case "at_risk":
						got = at.AtRisk
					case "mcf":
						got = at.Mean
					case "se_robust":
						got = at.SE
					case "se_nelson":
						got, known = at.NelsonSE, at.HasNelson
					default:
						t.Fatalf("unknown name %s", name)
					}
					require.Equal(t, w != nil, known, "%s %d", name, i)
					if w != nil {
						c.within(t, name, *w, got)
					}
				}
			}
		})
	}
}

func drawUnits(t *rapid.T) []life.Unit {
	us := make([]life.Unit, rapid.IntRange(1, 12).Draw(t, "units"))
	for i := range us {
		us[i].Entry = float64(rapid.IntRange(0, 3).Draw(t, "entry"))
		us[i].End = us[i].Entry + float64(rapid.IntRange(1, 9).Draw(t, "length"))
		for range rapid.IntRange(0, 4).Draw(t, "events") {
			us[i].Events = append(us[i].Events, us[i].Entry+float64(rapid.IntRange(1, int(us[i].End-us[i].Entry)).Draw(t, "at")))
		}
	}
	return us
}

// The formulas as Lawless & Nadeau (1995) and Nelson write them, as double sums
// over units and event times.
func TestMeanCumulativeIsTheDoubleSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		us := drawUnits(t)
		m, err := life.MeanCumulative(us)
		require.NoError(t, err)
		events := func(u life.Unit, at float64) (n float64) {
			for _, e := range u.Events {
				if e == at {
					n++
				}
			}
			return n
		}
		risk := func(u life.Unit, at float64) float64 {
			if u.Entry < at && at <= u.End {
				return 1
			}
			return 0
		}
		mean, robust := 0.0, make([]float64, len(us))
		for at := 1.0; at <= 12; at++ {
			r, d := 0.0, 0.0
			for _, u := range us {
				r, d = r+risk(u, at), d+events(u, at)
			}
			if r > 0 {
				mean += d / r
			}
			variance := 0.0
			for i, u := range us {
				if risk(u, at) > 0 {
					robust[i] += (events(u, at) - d/r) / r
				}
				variance += robust[i] * robust[i]
			}
			step := m.At(at)
			require.Equal(t, r, step.AtRisk)
			require.InDelta(t, mean, step.Mean, 1e-12)
			require.InDelta(t, math.Sqrt(variance), step.SE, 1e-7)
		}
	})
}

func TestMeanCumulativeRefusesWhatCannotBe(t *testing.T) {
	cases := []struct {
		name  string
		units []life.Unit
		is    error
	}{
		{"no units", nil, life.ErrTooFew},
		{"an end before the entry", []life.Unit{{Entry: 5, End: 3}}, life.ErrRecord},
		{"an event after the end", []life.Unit{{End: 3, Events: []float64{4}}}, life.ErrRecord},
		{"an event at the entry", []life.Unit{{Entry: 1, End: 3, Events: []float64{1}}}, life.ErrRecord},
		{"an event at no number", []life.Unit{{End: 3, Events: []float64{math.NaN()}}}, life.ErrRecord},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := life.MeanCumulative(c.units)
			require.ErrorIs(t, err, c.is)
		})
	}
}

package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// worked is a case of testdata/wear (see SOURCE.md there), as far as its
// money goes.
type worked struct {
	Given struct {
		Onset, Delay struct {
			Family                        string
			Shape, Scale, Mean, Mu, Sigma float64
		}
		Share        float64
		NextRun      float64 `json:"next_run_km"`
		Holding      float64 `json:"holding_km"`
		HistoryFrom  float64 `json:"history_from_km"`
		Replacement  wear.Replacement
		Detects      float64 `json:"inspection_detects"`
		FalseAlarm   float64 `json:"inspection_false_alarm"`
		Distance     float64 `json:"distance_km"`
		Odometer     float64 `json:"odometer_km"`
		Renewed      float64 `json:"renewed_at_km"`
		Clean        []float64
		Observations []seen
		Code         seen
		Cost         struct {
			Inspection float64
			Repair     float64 `json:"planned_repair"`
			Failure    float64
		}
	}
	Expect struct {
		Without float64 `json:"cost_without_inspection"`
		With    float64 `json:"cost_with_inspection"`
		Worth   float64
		Waiting float64 `json:"cost_of_waiting"`
	}
}

type seen struct {
	Kind       string
	At         float64 `json:"at_km"`
	Present    bool
	WhenWorn   float64  `json:"when_worn"`
	Otherwise  float64  `json:"otherwise"`
	SinceClear *float64 `json:"since_clear_km"`
	ToSet      float64  `json:"typical_km_to_set"`
}

// factor is what the observation multiplies by, at own distance y.
func (s seen) factor(y, detects float64) wear.Factor {
	ready := 1.0
	if s.SinceClear != nil {
		ready = -math.Expm1(-*s.SinceClear / s.ToSet)
	}
	switch {
	case s.Kind == "clean inspection":
		return wear.Factor{At: y, Worn: 1 - detects, NotWorn: 1}
	case s.Kind == "words" || s.Present:
		return wear.Factor{At: y, Worn: s.WhenWorn, NotWorn: s.Otherwise}
	}
	return wear.Factor{At: y, Worn: 1 - ready*s.WhenWorn, NotWorn: 1 - ready*s.Otherwise}
}

// history is the case on the part's own distance. Facts from before the
// renewal, and a code erased before it, are about the part that left.
func (w *worked) history() wear.History {
	g := &w.Given
	h := wear.History{X: max(g.Distance, g.Odometer-g.Renewed), E: max(0, g.HistoryFrom-g.Renewed), Share: g.Share}
	for _, o := range g.Observations {
		y := o.At - g.Renewed
		if y >= 0 && !(o.Kind == "code" && o.SinceClear != nil && *o.SinceClear > y) {
			h.Factors = append(h.Factors, o.factor(y, g.Detects))
		}
	}
	if g.Odometer == 0 {
		h.Factors = append(h.Factors, g.Code.factor(h.X, g.Detects))
	}
	return h
}

// finding is the case as the scorer would hand it over: a look of one hour at
// the rate of what the case says an inspection costs.
func (w *worked) finding(t *testing.T, clean []float64) (*score.Finding, *Options) {
	t.Helper()
	g := &w.Given
	curve := func(family string, shape, scale, mean, mu, sigma float64) life.Distribution {
		switch family {
		case "weibull":
			return life.Weibull{Shape: shape, Scale: scale}
		case "lognormal":
			return life.Lognormal{Mu: mu, Sigma: sigma}
		}
		return life.Exponential{Mean: mean}
	}
	o, d := g.Onset, g.Delay
	m, err := wear.New(curve(o.Family, o.Shape, o.Scale, o.Mean, o.Mu, o.Sigma), curve(d.Family, d.Shape, d.Scale, d.Mean, d.Mu, d.Sigma), g.Replacement)
	require.NoError(t, err)
	h := w.history()
	for _, y := range clean {
		h.Factors = append(h.Factors, wear.Factor{At: y, Worn: 1 - g.Detects, NotWorn: 1})
	}
	p := &score.WeakPart{Axis: score.ByKM, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Hours: 0.75, SetUpHours: 0.25, Detects: g.Detects, FalseAlarm: g.FalseAlarm},
		Costs:      score.Costs{PlannedRepair: g.Cost.Repair, Failure: g.Cost.Failure}}
	f := &score.Finding{Part: p, Standing: score.Scored, Next: g.NextRun, Hold: g.Holding, State: m.Assess(h)}
	fails := func(d float64) score.Fails {
		return score.Fails{IfWorn: f.State.FailWorn(d), IfSound: f.State.FailSound(d), All: f.State.Fail(d)}
	}
	f.NextFail, f.HoldFail = fails(g.NextRun), fails(g.Holding)
	return f, &Options{BayHour: g.Cost.Inspection}
}

// TestPriceOfWorkedCases runs the published cases of the wear model through
// the plan's own prices (testdata/wear/SOURCE.md).
func TestPriceOfWorkedCases(t *testing.T) {
	for _, file := range []string{"wear_model.json", "dated_observations.json"} {
		data, err := os.ReadFile("../../testdata/wear/" + file)
		require.NoError(t, err)
		var cases []worked
		require.NoError(t, json.Unmarshal(data, &cases))
		var inspected []struct {
			Given struct {
				Clean []float64 `json:"clean_inspections_km"`
			}
		}
		require.NoError(t, json.Unmarshal(data, &inspected))
		for i := range cases {
			t.Run(fmt.Sprintf("%s case %d", file, i+1), func(t *testing.T) {
				f, o := cases[i].finding(t, inspected[i].Given.Clean)
				c, e := o.price(f, occasion{}), cases[i].Expect
				near := func(what string, want, got float64) {
					tolerance := 1e-6
					if cases[i].Given.HistoryFrom > 0 && cases[i].Given.Replacement == wear.Same {
						tolerance = 1e-4 // unseen renewals by the same design
					}
					assert.InDelta(t, want, got, tolerance*math.Abs(want)+1e-9, what)
				}
				near("worth", e.Worth, c.Worth)
				near("cost of waiting", e.Waiting, c.Waiting)
				if file == "wear_model.json" { // the other file has no such columns
					near("without an inspection", e.Without, c.Without)
					near("with one now", e.With, c.With)
				}
			})
		}
	}
}

// TestPriceByHand works the formulas of the wear model's money through on
// round figures.
func TestPriceByHand(t *testing.T) {
	o := &Options{BayHour: 90, OffRoadDay: 160}
	p := &score.WeakPart{Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{SetUpHours: 0.5, Hours: 1.5, Detects: 0.8, FalseAlarm: 0.1},
		Costs:      score.Costs{PlannedRepair: 1000, Failure: 4000, OffRoadDays: 5}}
	f := &score.Finding{Part: p, Standing: score.Scored,
		State:    wear.State{Worn: 0.25, Sound: 0.5}, // the rest is immune or rectified
		NextFail: score.Fails{IfWorn: 0.2},
		HoldFail: score.Fails{IfWorn: 0.9, IfSound: 0.3}}

	t.Run("scored: I, R, C, without, with, worth, waiting", func(t *testing.T) {
		c := o.price(f, occasion{})
		assert.InDelta(t, 2*90+2.0/8*160, c.Inspection, 1e-9, "I = H × rate + H/8 × day off the road, H = 2")
		assert.Equal(t, 1000.0, c.Repair, "R is the planned repair, all in")
		assert.InDelta(t, 4000+5*160, c.Failure, 1e-9, "C bears its days off the road")
		assert.InDelta(t, 4800*(0.25*0.9+0.5*0.3), c.Without, 1e-9) // 1,800
		// 0.25·0.8·1000 + 0.75·0.1·1000 + 0.25·0.2·0.9·4800 + 0.5·0.9·0.3·4800 = 200 + 75 + 216 + 648
		assert.InDelta(t, 220+1139, c.With, 1e-9)
		assert.InDelta(t, 1800-1359, c.Worth, 1e-9)
		assert.InDelta(t, 0.25*0.8*0.2*3800, c.Waiting, 1e-9)
		assert.False(t, c.Forced)
	})
	t.Run("found worn: no look to pay, repair now or run it", func(t *testing.T) {
		worn := *f
		worn.Standing, worn.State = score.WornFound, wear.State{Worn: 1}
		c := o.price(&worn, occasion{})
		assert.Zero(t, c.Inspection)
		assert.InDelta(t, 4800*0.9-1000, c.Worth, 1e-9)
		assert.InDelta(t, 0.2*3800, c.Waiting, 1e-9)
	})
	t.Run("injury part over a limit is forced, under it not, and money never is", func(t *testing.T) {
		for _, c := range []struct {
			consequence score.Consequence
			fail, worn  bool
			want        bool
		}{{score.CanInjure, true, false, true}, {score.CanInjure, false, true, true}, {score.CanInjure, false, false, false}, {score.CostsMoney, true, true, false}} {
			q, g := *p, *f
			q.Consequence, g.Part = c.consequence, &q
			g.NoticeFail, g.NoticeWorn = c.fail, c.worn
			assert.Equal(t, c.want, o.price(&g, occasion{}).Forced, "%+v", c)
		}
	})
}

func TestInspectBefore(t *testing.T) {
	m := memoryless(t)
	state := func(worn float64) wear.State {
		s := m.Assess(wear.History{X: 1e5, Share: 1})
		s.Worn = worn
		return s
	}
	part := &score.WeakPart{Axis: score.ByKM, Inspection: score.InspectionPlan{Detects: 0.9}}
	choice := func(worn float64) *Choice {
		return &Choice{Finding: &score.Finding{Part: part, State: state(worn), Next: 500}, Repair: 1000, Failure: 6000, Inspection: 135}
	}
	o := &Options{}
	t.Run("the smallest distance where waiting costs as much as the look", func(t *testing.T) {
		// 0.3 · 0.9 · (1 − exp(−d/10,000)) · 5,000 = 135 at d = −10,000 ln(1 − 0.1)
		b := o.before(choice(0.3), 100)
		require.True(t, b.Known)
		assert.InDelta(t, -1e4*math.Log(0.9), b.Ahead, 1e-4)
		assert.InDelta(t, b.Ahead, b.KM, 1e-9, "the vehicle's odometer today is 0")
		assert.Zero(t, b.Day, "no use is known")
	})
	t.Run("none where even a certain failure does not make up for the look", func(t *testing.T) {
		assert.Equal(t, Before{}, o.before(choice(0.0299), 100)) // 0.0299 · 0.9 · 5,000 < 135
	})
	t.Run("the more surely worn, the sooner", func(t *testing.T) {
		last := math.Inf(1)
		for _, worn := range []float64{0.05, 0.1, 0.3, 0.7, 1} {
			b := o.before(choice(worn), 100)
			require.True(t, b.Known)
			assert.Less(t, b.Ahead, last)
			last = b.Ahead
		}
	})
	t.Run("a look that costs nothing is due at once", func(t *testing.T) {
		c := choice(0.3)
		c.Inspection = 0
		assert.InDelta(t, 0, o.before(c, 100).Ahead, 1e-3)
	})
	t.Run("parts that wear by hours have no odometer to inspect before", func(t *testing.T) {
		hours := *part
		hours.Axis = score.ByHours
		c := choice(0.3)
		c.Finding.Part = &hours
		b := o.before(c, 100)
		assert.True(t, b.Known)
		assert.Zero(t, b.KM)
	})
	t.Run("agrees with the formula itself on a wearing-out delay", func(t *testing.T) {
		w, err := wear.New(life.Weibull{Shape: 3, Scale: 2e5}, life.Weibull{Shape: 2, Scale: 3e4}, wear.Improved)
		require.NoError(t, err)
		c := choice(0.3)
		c.Finding.State = w.Assess(wear.History{X: 1.5e5, Share: 1})
		b := o.before(c, 100)
		require.True(t, b.Known)
		at := func(d float64) float64 { return c.Finding.State.Worn * 0.9 * c.Finding.State.FailWorn(d) * 5000 }
		assert.InDelta(t, 135, at(b.Ahead), 1e-4)
		assert.Less(t, at(b.Ahead*(1-1e-6)), 135.0)
	})
}

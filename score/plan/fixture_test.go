package plan

import (
	"fmt"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// asks are the figures of a finding made by hand. With an hour in the bay at
// 100, no cost off the road, a look that finds all wear and raises no false
// alarm, and a repair that costs nothing, a part's gain is worn × failure and
// its cost of waiting worn × next × failure.
type asks struct {
	visit        string
	setUp, hours float64 // a visit's and the part's own
	gain         float64 // worth without the look's own cost
	waiting      float64 // at most gain
	injury       bool    // its failure can injure, and it is over a limit
	standing     score.Standing
}

// memoryless is a model whose worn part fails within d with chance
// 1 − exp(−d/10,000), whatever its distance.
func memoryless(tb testing.TB) *wear.Model {
	tb.Helper()
	m, err := exponential()
	require.NoError(tb, err)
	return m
}

var exponential = sync.OnceValues(func() (*wear.Model, error) {
	return wear.New(life.Exponential{Mean: 1e5}, life.Exponential{Mean: 1e4}, wear.Improved)
})

const handFailure = 10_000 // C of every part made by hand

func byHand(tb testing.TB, name string, q asks) score.Finding {
	tb.Helper()
	p := &score.WeakPart{ID: name, Name: name, Axis: score.ByKM, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Visit: q.visit, SetUpHours: q.setUp, Hours: q.hours, Detects: 1},
		Costs:      score.Costs{Failure: handFailure}}
	f := score.Finding{Part: p, Standing: score.Scored, Next: 100}
	if q.standing != "" {
		f.Standing = q.standing
	}
	if q.injury {
		p.Consequence, f.NoticeWorn = score.CanInjure, true
	}
	f.State = memoryless(tb).Assess(wear.History{X: 1e5, Share: 1})
	f.State.Worn = q.gain / handFailure
	f.State.Sound = 1 - f.State.Worn
	next := 0.0
	if q.gain > 0 {
		next = q.waiting / q.gain
	}
	f.NextFail = score.Fails{IfWorn: next, All: f.State.Worn * next}
	f.HoldFail = score.Fails{IfWorn: 1, All: f.State.Worn}
	return f
}

// vehicleOf puts findings on a vehicle; its parts are named A, B, C and so on.
func vehicleOf(tb testing.TB, unit, depot string, parts ...asks) score.Assessment {
	tb.Helper()
	a := score.Assessment{Vehicle: &score.Vehicle{Unit: unit, Depot: depot}}
	for i, q := range parts {
		a.Findings = append(a.Findings, byHand(tb, string(rune('A'+i)), q))
	}
	return a
}

// hundred is the money of the cases worked by hand.
func hundred(hours map[string]float64) *Options { return &Options{BayHour: 100, BayHours: hours} }

// told writes the list as "unit group parts hours".
func told(l List) []string {
	var out []string
	for i := range l.Rows {
		r := &l.Rows[i]
		out = append(out, fmt.Sprintf("%s %s %s %g", r.Assessment.Vehicle.Unit, r.Group, names(r.Parts), r.Hours))
	}
	return out
}

func names(parts []Choice) string {
	s := ""
	for _, c := range parts {
		s += c.Finding.Part.ID
	}
	return s
}

// dispersed gives a finding draws: its chance of being worn times each factor.
func dispersed(f *score.Finding, factors ...float64) {
	n := len(factors)
	row := func(of func(k int) float64) []float32 {
		out := make([]float32, n)
		for k := range out {
			out[k] = float32(of(k))
		}
		return out
	}
	f.Draws = &score.Draws{
		Worn:      row(func(k int) float64 { return min(1, f.State.Worn*factors[k]) }),
		Sound:     row(func(k int) float64 { return 1 - min(1, f.State.Worn*factors[k]) }),
		WornNext:  row(func(int) float64 { return f.NextFail.IfWorn }),
		WornHold:  row(func(int) float64 { return f.HoldFail.IfWorn }),
		SoundHold: row(func(int) float64 { return f.HoldFail.IfSound }),
	}
}

package backtest

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/life"
	"pitlist/score/plan"
	"pitlist/score/wear"
)

// end is until when the invented records reach; a year of the fixtures has 364
// days, 52 weeks.
const (
	end  = score.Day(20_000)
	year = score.Day(364)
)

func pattern(tb testing.TB, s string) dtc.Pattern {
	tb.Helper()
	p, err := dtc.ParsePattern(s)
	require.NoError(tb, err)
	return p
}

// follower is a part that fails once, and is then renewed with an improved one.
func follower(tb testing.TB) score.WeakPart {
	return score.WeakPart{
		ID: "pump-follower", Name: "pump follower", Axis: score.ByKM, Replacement: wear.Improved, Weight: 20, KnownSince: 1,
		Fits:  []score.Fit{{Model: []string{"Heron"}}},
		Onset: life.Weibull{Shape: 2.8, Scale: 120e3}, Delay: life.Weibull{Shape: 1.5, Scale: 30e3},
		Evidence: []evidence.Group{{Name: "rail", Rules: []evidence.Rule{
			{Codes: evidence.CodeTest{Any: []dtc.Pattern{pattern(tb, "P0087")}}, Worn: 0.6, NotWorn: 0.02}}}},
		Repairs:    score.RepairWords{Renews: []string{"pump follower replaced"}, Planned: []string{"as a precaution"}, Failed: []string{"follower seized"}},
		Inspection: score.InspectionPlan{Visit: "top", Hours: 1, Detects: 0.9, FalseAlarm: 0.02},
		Costs:      score.Costs{PlannedRepair: 1000, Failure: 5000}, Consequence: score.CostsMoney,
	}
}

func joint(tb testing.TB) score.WeakPart {
	p := follower(tb)
	p.ID, p.Name, p.Replacement = "rack-joint", "rack joint", wear.Same
	p.Fits = []score.Fit{{Model: []string{"Heron", "Teal"}}}
	p.Onset, p.Delay = life.Weibull{Shape: 2.2, Scale: 150e3}, life.Exponential{Mean: 25e3}
	p.Evidence = []evidence.Group{{Name: "noise", Rules: []evidence.Rule{{Words: []string{"knock over bumps"}, Worn: 0.4, NotWorn: 0.03}}}}
	p.Repairs = score.RepairWords{Renews: []string{"rack joint renewed"}, Failed: []string{"rack joint broken"}}
	p.Inspection.Visit = "axle"
	return p
}

func settings() score.Settings {
	return score.Settings{NextRunDays: 7, HoldingKM: 60e3, DefaultKMPerWeek: 450, RecordsFrom: score.RecordsNew}
}

// money has round figures: an hour in the bay costs 100, a day off the road
// nothing.
func money(hours map[string]float64) plan.Options { return plan.Options{BayHour: 100, BayHours: hours} }

func options(days ...score.Day) Options {
	return Options{Days: days, End: end, Settings: settings(), Plan: money(map[string]float64{"*": 8}), Resamples: 200, Seed: 5}
}

// invented is a fleet with all kinds of facts, drawn from a seed.
func invented(tb testing.TB, n int, seed uint64) []score.Vehicle {
	tb.Helper()
	rng := rand.New(rand.NewPCG(seed, 1))
	code, err := dtc.Parse("P0087")
	require.NoError(tb, err)
	texts := []string{"oil service", "pump follower replaced, follower seized", "pump follower replaced as a precaution", "pump follower replaced",
		"rack joint renewed", "rack joint renewed, rack joint broken", "knock over bumps"}
	results := []score.Result{score.FoundSound, score.FoundSound, score.FoundWorn, score.NotOpened, score.FoundFailed}
	out := make([]score.Vehicle, n)
	for i := range out {
		v := &out[i]
		*v = score.Vehicle{Unit: fmt.Sprintf("H-%03d", i), Model: []string{"Heron", "Teal"}[rng.IntN(2)], Depot: []string{"North", "South"}[rng.IntN(2)]}
		v.InService = end - year*score.Day(5+rng.IntN(4))
		rate := 40 + 40*rng.Float64() // km a day
		km := func(d score.Day) score.Stated { return score.Is(rate * float64(d-v.InService)) }
		for d := v.InService + 10; d < end; d += score.Day(60 + rng.IntN(200)) {
			ref := score.Ref{Source: 1, Row: int32(len(v.Repairs)*7 + i*1000)}
			switch rng.IntN(5) {
			case 0:
				v.Scans = append(v.Scans, score.Scan{Day: d, KM: km(d), Ref: ref})
				if rng.IntN(3) == 0 {
					v.Scans[len(v.Scans)-1].Codes = []dtc.Reading{{Code: code, State: dtc.Stored}}
				}
			case 1:
				v.Inspections = append(v.Inspections, score.Inspection{Day: d, KM: km(d), Part: []string{"pump-follower", "rack-joint"}[rng.IntN(2)], Result: results[rng.IntN(len(results))], Ref: ref})
			default:
				text := texts[0]
				if rng.IntN(6) == 0 {
					text = texts[rng.IntN(len(texts))]
				}
				v.Repairs = append(v.Repairs, score.Repair{Day: d, KM: km(d), Text: text, Ref: ref})
			}
		}
	}
	return out
}

package score

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/life"
	"pitlist/score/wear"
)

const dayOfRun = Day(20_700)

func pattern(tb testing.TB, s string) dtc.Pattern {
	tb.Helper()
	p, err := dtc.ParsePattern(s)
	require.NoError(tb, err)
	return p
}

func codesOf(tb testing.TB, texts ...string) []dtc.Reading {
	tb.Helper()
	var out []dtc.Reading
	for _, s := range texts {
		c, err := dtc.Parse(s)
		require.NoError(tb, err)
		out = append(out, dtc.Reading{Code: c, State: dtc.Stored})
	}
	return out
}

// inventedParts is a catalogue of two: one put right with an improved part,
// and an injury part that is replaced by its like.
func inventedParts(tb testing.TB) *Catalogue {
	tb.Helper()
	pump := WeakPart{
		ID: "pump-follower", Name: "pump follower", Axis: ByKM, Replacement: wear.Improved, Weight: 20, ShareIfUnknown: 0.4,
		Fits:  []Fit{{Model: []string{"Heron"}, EngineSerial: []SerialRange{rangeOf(tb, "HR720000-HR761000")}}},
		Onset: life.Weibull{Shape: 2.8, Scale: 170e3}, Delay: life.Weibull{Shape: 1.6, Scale: 33e3},
		Evidence: []evidence.Group{
			{Name: "rail", Rules: []evidence.Rule{{Codes: evidence.CodeTest{Any: []dtc.Pattern{pattern(tb, "P0087")}}, Worn: 0.6, NotWorn: 0.02, KMToSet: 200,
				Outside: "check the rail pressure sensor first"}}},
			{Name: "noise", Absent: evidence.Counts, Rules: []evidence.Rule{{Words: []string{"knocks when hot"}, Worn: 0.3, NotWorn: 0.01}}},
		},
		Repairs:    RepairWords{Renews: []string{"pump follower replaced"}},
		Inspection: InspectionPlan{Visit: "engine", Hours: 1, Detects: 0.9, FalseAlarm: 0.01},
		Costs:      Costs{PlannedRepair: 1900, Failure: 9400}, Consequence: CostsMoney,
	}
	joint := WeakPart{
		ID: "rack-joint", Name: "steering rack joint", Axis: ByKM, Replacement: wear.Same, Weight: 20, ShareIfUnknown: 1,
		Fits:  []Fit{{Model: []string{"Heron", "Teal"}}},
		Onset: life.Weibull{Shape: 2.6, Scale: 3e5}, Delay: life.Exponential{Mean: 21e3},
		Evidence: []evidence.Group{
			{Name: "noise", Rules: []evidence.Rule{{Words: []string{"knock over bumps"}, Worn: 0.4, NotWorn: 0.03}}},
		},
		Repairs:    RepairWords{Renews: []string{"rack joint renewed"}},
		Inspection: InspectionPlan{Visit: "axle", Hours: 0.5, Detects: 0.95, FalseAlarm: 0.02},
		Costs:      Costs{PlannedRepair: 310, Failure: 5200}, Consequence: CanInjure, RiskKM: 3000, RiskLimit: 0.2, WornLimit: 0.9,
	}
	return &Catalogue{Parts: []WeakPart{pump, joint}}
}

func scorerOf(tb testing.TB, draws int, records string) *Scorer {
	tb.Helper()
	sc, err := NewScorer(inventedParts(tb), Settings{Day: dayOfRun, NextRunDays: 7, HoldingKM: 60e3, DefaultKMPerWeek: 450,
		RecordsFrom: records, Draws: draws, Seed: 7})
	require.NoError(tb, err)
	return sc
}

// pick is a source of choices: a rapid draw, or a seeded generator.
type pick func(name string, n int) int

// inventedVehicle builds a vehicle from choices: distances, a scan, repairs,
// remarks, inspections, in any combination.
func inventedVehicle(tb testing.TB, unit string, choose pick) Vehicle {
	tb.Helper()
	km := float64(5000 + 1000*choose("km", 350))
	v := Vehicle{Unit: unit, Model: []string{"Heron", "Teal", "Crane"}[choose("model", 3)],
		EngineSerial: []string{"HR730001", "HR799999", "", "XX123456"}[choose("serial", 4)],
		Readings:     []Reading{{Day: dayOfRun - 1, KM: km, Unit: "km", Source: "vehicle sheet"}}}
	earlier := func(name string) (Day, Stated) {
		back := choose(name, 60)
		return dayOfRun - 2 - Day(15*back), Is(km * (1 - float64(back+1)/100))
	}
	if choose("scanned", 2) == 1 {
		s := Scan{Day: dayOfRun - 1, KM: Is(km), Codes: codesOf(tb, [][]string{nil, {"P0087"}, {"P0420"}}[choose("codes", 3)]...)}
		if choose("erased", 2) == 1 {
			s.SinceClear = Is(float64(choose("since", 3000)))
		}
		v.Scans = append(v.Scans, s)
	}
	for i := range choose("repairs", 4) {
		d, at := earlier(fmt.Sprint("repair day ", i))
		text := []string{"oil service", "rack joint renewed", "knocks when hot", "pump follower replaced, revised", "knock over bumps"}[choose(fmt.Sprint("text ", i), 5)]
		v.Repairs = append(v.Repairs, Repair{Day: d, KM: at, Text: text, Ref: Ref{1, int32(10 + i)}})
	}
	for i := range choose("inspections", 3) {
		d, at := earlier(fmt.Sprint("look day ", i))
		result := []Result{FoundSound, FoundSound, NotOpened, FoundWorn}[choose(fmt.Sprint("result ", i), 4)]
		v.Inspections = append(v.Inspections, Inspection{Day: d, KM: at, Part: []string{"pump-follower", "steering rack joint"}[choose(fmt.Sprint("part ", i), 2)], Result: result, Ref: Ref{1, int32(20 + i)}})
	}
	return v
}

func choices(r *rand.Rand) pick { return func(_ string, n int) int { return r.IntN(n) } }

func drawnBy(t *rapid.T) pick {
	return func(name string, n int) int { return rapid.IntRange(0, n-1).Draw(t, name) }
}

// TestMassesSumToOne: whatever the records, the four hypotheses share one
// certainty, and every chance is one.
func TestMassesSumToOne(t *testing.T) {
	for _, records := range []string{RecordsNew, RecordsFirst, RecordsNone} {
		sc := scorerOf(t, 0, records)
		rapid.Check(t, func(rt *rapid.T) {
			v := inventedVehicle(t, "V1", drawnBy(rt))
			a := sc.Assess(&v)
			for i := range a.Findings {
				f := &a.Findings[i]
				if f.Standing != Scored && f.Standing != WornFound {
					continue
				}
				s := &f.State
				assert.InDelta(rt, 1, s.Immune+s.Sound+s.Worn+s.Rectified, 1e-9, "%s %+v", f.Part.ID, v)
				for _, p := range []float64{s.Immune, s.Sound, s.Worn, s.Rectified, f.NextFail.All, f.HoldFail.All, f.NextFail.IfWorn, f.HoldFail.IfSound, f.RiskFail} {
					assert.True(rt, p >= 0 && p <= 1+1e-12, "%g of %s", p, f.Part.ID)
				}
				assert.GreaterOrEqual(rt, f.HoldFail.All, f.NextFail.All-1e-12, "farther ahead is no safer")
			}
		})
	}
}

// TestALaterCleanInspectionNeverRaisesTheChanceOfWear.
func TestALaterCleanInspectionNeverRaisesTheChanceOfWear(t *testing.T) {
	sc := scorerOf(t, 0, RecordsFirst)
	rapid.Check(t, func(rt *rapid.T) {
		v := inventedVehicle(t, "V1", drawnBy(rt))
		v.SetUse(UseFacts{HistoryFromKM: Is(0)}) // another row must not change how far the records reach
		before := sc.Assess(&v)
		part := []string{"pump-follower", "rack-joint"}[rapid.IntRange(0, 1).Draw(rt, "looked at")]
		clean := v
		clean.Inspections = append(append([]Inspection(nil), v.Inspections...), Inspection{Day: dayOfRun, Part: part, Result: FoundSound})
		after := sc.Assess(&clean)
		require.Len(rt, after.Findings, len(before.Findings))
		for i := range before.Findings {
			if f := &before.Findings[i]; f.Standing == Scored {
				g := &after.Findings[i]
				assert.LessOrEqual(rt, g.State.Worn, f.State.Worn+1e-9)
				if f.Part.ID == part && f.State.Worn > 1e-6 && f.State.Worn < 1-1e-6 {
					assert.Less(rt, g.State.Worn, f.State.Worn, "and it tells something")
				}
			}
		}
	})
}

// TestIntervalsHoldWhatTheyMust: an 80 % interval lies in [0, 1], its ends in
// order, and in nearly every case it holds the value that it is of.
func TestIntervalsHoldWhatTheyMust(t *testing.T) {
	sc := scorerOf(t, 100, RecordsNew)
	r := rand.New(rand.NewPCG(1, 2))
	shown, held := 0, 0
	for range 400 {
		v := inventedVehicle(t, "V1", choices(r))
		a := sc.Assess(&v)
		for i := range a.Findings {
			f := &a.Findings[i]
			if !f.HasInterval {
				assert.True(t, f.Standing != Scored || f.State.Worn < shownFrom, "every finding worth showing has one")
				continue
			}
			shown++
			assert.True(t, 0 <= f.PLow && f.PLow <= f.PHigh && f.PHigh <= 1, "%g to %g", f.PLow, f.PHigh)
			if f.PLow <= f.State.Worn && f.State.Worn <= f.PHigh {
				held++
			}
		}
	}
	assert.Greater(t, shown, 100)
	assert.GreaterOrEqual(t, float64(held), 0.95*float64(shown), "%d of %d", held, shown)
}

// TestAFixedSeedRepeatsExactly, and another seed moves the draws alone.
func TestAFixedSeedRepeatsExactly(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	one, two := scorerOf(t, 30, RecordsFirst), scorerOf(t, 30, RecordsFirst)
	other, err := NewScorer(inventedParts(t), func() Settings { s := one.settings; s.Seed++; return s }())
	require.NoError(t, err)
	moved := false
	for i := range 60 {
		v := inventedVehicle(t, fmt.Sprint("V", i), choices(r))
		a, b, c := one.Assess(&v), two.Assess(&v), other.Assess(&v)
		for j := range a.Findings {
			f, g, h := &a.Findings[j], &b.Findings[j], &c.Findings[j]
			assert.Equal(t, f.State.Worn, g.State.Worn)
			assert.Equal(t, f.Draws, g.Draws)
			assert.Equal(t, f.State.Worn, h.State.Worn, "draws do not touch the value itself")
			moved = moved || f.HasInterval && f.PLow != h.PLow
		}
	}
	assert.True(t, moved)
}

// TestInParallelAsOneByOne: AssessAll keeps the order and every figure.
func TestInParallelAsOneByOne(t *testing.T) {
	sc := scorerOf(t, 20, RecordsFirst)
	r := rand.New(rand.NewPCG(8, 9))
	vehicles := make([]Vehicle, 300)
	for i := range vehicles {
		vehicles[i] = inventedVehicle(t, fmt.Sprint("V", i), choices(r))
	}
	told := 0
	all, err := scorerOf(t, 20, RecordsFirst).AssessAll(context.Background(), vehicles, nil)
	require.NoError(t, err)
	for i := range vehicles {
		want := sc.Assess(&vehicles[i])
		require.Equal(t, vehicles[i].Unit, all[i].Vehicle.Unit)
		require.Len(t, all[i].Findings, len(want.Findings))
		assert.Equal(t, want.Checks, all[i].Checks)
		for j := range want.Findings {
			f, g := &want.Findings[j], &all[i].Findings[j]
			assert.Equal(t, f.Standing, g.Standing)
			assert.Equal(t, f.State.Worn, g.State.Worn)
			assert.Equal(t, f.HoldFail, g.HoldFail)
			assert.Equal(t, f.Draws, g.Draws)
			assert.Equal(t, f.Facts, g.Facts)
			told++
		}
	}
	assert.Greater(t, told, 300)
}

// TestAssessAllStopsWhenTold and says so.
func TestAssessAllStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := scorerOf(t, 0, RecordsNew).AssessAll(ctx, make([]Vehicle, 1000), nil)
	assert.ErrorIs(t, err, context.Canceled)
}

// TestRowsInAnyOrder: shuffling a vehicle's rows changes no figure.
func TestRowsInAnyOrder(t *testing.T) {
	sc := scorerOf(t, 0, RecordsFirst)
	r := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		v := inventedVehicle(t, "V1", choices(r))
		days := map[Day]bool{}
		twice := false
		for _, d := range v.Repairs {
			twice = twice || days[d.Day]
			days[d.Day] = true
		}
		if twice {
			continue // rows of one day keep the order of the sheet
		}
		mixed := v
		mixed.Repairs = append([]Repair(nil), v.Repairs...)
		r.Shuffle(len(mixed.Repairs), func(i, j int) { mixed.Repairs[i], mixed.Repairs[j] = mixed.Repairs[j], mixed.Repairs[i] })
		a, b := sc.Assess(&v), sc.Assess(&mixed)
		for i := range a.Findings {
			assert.Equal(t, a.Findings[i].State.Worn, b.Findings[i].State.Worn)
			assert.False(t, math.IsNaN(a.Findings[i].State.Worn))
		}
	}
}

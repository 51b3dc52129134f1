package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// whole enumerates what every part of a vehicle is and what every check says,
// and calls f with the chance, the states (0 worn, 1 sound, 2 other) and the
// results in a fixed order.
func whole(parts []given, made map[string]bool, f func(chance float64, states []int, results []bool)) {
	var go1 func(i int, chance float64, states []int, results []bool)
	go1 = func(i int, chance float64, states []int, results []bool) {
		if i == len(parts) {
			f(chance, states, results)
			return
		}
		g := &parts[i]
		for s, p := range []float64{g.Worn, g.Sound, 1 - g.Worn - g.Sound} {
			var go2 func(k int, chance float64, results []bool)
			go2 = func(k int, chance float64, results []bool) {
				if k == len(g.Checks) {
					go1(i+1, chance, append(append([]int(nil), states...), s), results)
					return
				}
				c := &g.Checks[k]
				if !made[c.ID] {
					go2(k+1, chance, results)
					return
				}
				speaks := c.FalseAlarm
				if s == 0 {
					speaks = c.Detects
				}
				go2(k+1, chance*speaks, append(append([]bool(nil), results...), true))
				go2(k+1, chance*(1-speaks), append(append([]bool(nil), results...), false))
			}
			go2(0, chance*p, results)
		}
	}
	go1(0, 1, nil, nil)
}

// posteriors gathers by joint result the chance of it and of each part's being
// worn or sound with it.
func posteriors(parts []given, made map[string]bool) map[string]*struct {
	chance      float64
	worn, sound []float64
} {
	out := map[string]*struct {
		chance      float64
		worn, sound []float64
	}{}
	whole(parts, made, func(p float64, states []int, results []bool) {
		key := ""
		for _, r := range results {
			key += map[bool]string{true: "1", false: "0"}[r]
		}
		e := out[key]
		if e == nil {
			e = &struct {
				chance      float64
				worn, sound []float64
			}{worn: make([]float64, len(parts)), sound: make([]float64, len(parts))}
			out[key] = e
		}
		e.chance += p
		for i, s := range states {
			switch s {
			case 0:
				e.worn[i] += p
			case 1:
				e.sound[i] += p
			}
		}
	})
	return out
}

// deductionOf is the sum of the buyer's choices.
func deductionOf(parts []given) float64 {
	sum := 0.0
	for i := range parts {
		_, cost := parts[i].cheaper()
		sum += cost
	}
	return sum
}

// swingOf is the swing of the checks made, from the joint distribution of all
// states and all results.
func swingOf(parts []given, made map[string]bool) float64 {
	base, swing := deductionOf(parts), 0.0
	for _, e := range posteriors(parts, made) {
		if e.chance == 0 {
			continue
		}
		after := append([]given(nil), parts...)
		for i := range after {
			after[i].Worn, after[i].Sound = e.worn[i]/e.chance, e.sound[i]/e.chance
		}
		swing += e.chance * math.Abs(deductionOf(after)-base)
	}
	return swing
}

// TestSwingIsTheEnumerationOfAllStatesAndResults: sets of checks on vehicles of
// one to three parts, with checks shared between parts.
func TestSwingIsTheEnumerationOfAllStatesAndResults(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	weighed := 0
	for range 150 {
		parts := randomGiven(r, 1+r.IntN(3), 2)
		a := vehicleGiven(parts, false)
		o := auctionOptions()
		var choices []Choice
		for i := range a.Findings {
			choices = append(choices, o.price(&a.Findings[i], occasion{}))
		}
		n := newInspected(choices, "yard")
		for set := uint64(1); set < 1<<len(n.looks); set++ {
			made := map[string]bool{}
			for l := range n.looks {
				made[n.looks[l].ID] = set&(1<<l) != 0
			}
			require.InDelta(t, swingOf(parts, made), n.swing(set), 1e-8)
			weighed++
		}
		for i := range n.looks {
			require.InDelta(t, n.swing(1<<i), n.looks[i].Swing, 1e-9)
			assert.True(t, i == 0 || n.looks[i].PerMinute() <= n.looks[i-1].PerMinute(), "greatest swing a minute first")
		}
	}
	assert.Greater(t, weighed, 150)
}

// TestViewingPlanIsExact holds a thousand small sales against every choice of
// one set of looks a lot.
func TestViewingPlanIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(144, 233))
	for range 1000 {
		o := auctionOptions()
		o.Buying.ViewingMinutes = 0.25 * float64(r.IntN(60))
		var as []score.Assessment
		for range 1 + r.IntN(4) {
			as = append(as, vehicleGiven(randomGiven(r, 1+r.IntN(2), 2), false))
		}
		l := o.Make(as, 1)
		used, swing, lots := 0.0, 0.0, 0
		var looks []*inspected
		for i := range l.Offers {
			f := &l.Offers[i]
			used, swing = used+f.Chosen.Minutes, swing+f.Chosen.Swing
			if f.Above {
				lots++
			}
			assert.Equal(t, f.Above, len(f.Chosen.Looks) > 0, "walked to where something is looked at")
			var choices []Choice
			for j := range f.Causes {
				choices = append(choices, f.Causes[j].Choice)
			}
			looks = append(looks, newInspected(choices, "yard"))
		}
		require.LessOrEqual(t, used, o.Buying.ViewingMinutes+1e-9)
		require.InDelta(t, bestViewing(looks, o.Buying.ViewingMinutes), swing, 1e-7)
		assert.Equal(t, lots, l.Viewing.Lots)
		assert.Equal(t, len(l.Offers), l.Viewing.Lots+l.Viewing.Nothing+l.Viewing.Passed)
		assert.InDelta(t, used, l.Viewing.Used, 1e-9)
	}
}

func bestViewing(lots []*inspected, minutes float64) float64 {
	if len(lots) == 0 {
		return 0
	}
	best := bestViewing(lots[1:], minutes)
	for set := uint64(1); set < 1<<len(lots[0].looks); set++ {
		if s := lots[0].set(set); s.Minutes <= minutes+1e-9 {
			best = max(best, s.Swing+bestViewing(lots[1:], minutes-s.Minutes))
		}
	}
	return best
}

// TestCheckFirstIsTheBestSequence enumerates on small vehicles every check,
// every result and every set of parts to open after it.
func TestCheckFirstIsTheBestSequence(t *testing.T) {
	r := rand.New(rand.NewPCG(377, 610))
	found := 0
	for range 400 {
		parts := randomGiven(r, 1+r.IntN(3), 2)
		ids := map[string]float64{}
		for i := range parts {
			for _, c := range parts[i].Checks {
				ids[c.ID] = c.Minutes
			}
		}
		atOnce, best := opening(parts), 0.0
		for id, minutes := range ids {
			worth := -100 * minutes / 60
			for _, e := range posteriors(parts, map[string]bool{id: true}) {
				after := append([]given(nil), parts...)
				for i := range after {
					after[i].Worn, after[i].Sound = e.worn[i]/e.chance, e.sound[i]/e.chance
				}
				worth += e.chance * opening(after)
			}
			best = max(best, worth-atOnce)
		}
		row := hundred(nil).Make([]score.Assessment{vehicleGiven(parts, false)}, 1).Rows[0]
		switch {
		case best < rounds-1e-6:
			assert.Nil(t, row.Check)
		case best > rounds+1e-6:
			require.NotNil(t, row.Check)
			require.InDelta(t, best, row.Check.Gain, 1e-8)
			require.InDelta(t, atOnce, row.Check.AtOnce, 1e-8)
			found++
		}
	}
	assert.Greater(t, found, 40, "a check pays often enough for this to be a test")
}

// opening is the worth of the best set of parts to open, 0 for none: each part
// has a visit of its own here, so that the best set is every part that pays.
func opening(parts []given) float64 {
	best := 0.0
	for set := range 1 << len(parts) {
		worth := 0.0
		for i := range parts {
			if set&(1<<i) != 0 {
				worth += mean(parts[i].ways(false)) - mean(parts[i].ways(true))
			}
		}
		best = max(best, worth)
	}
	return best
}

func TestNoCheckStandsInForAnInjuryPartOverItsLimit(t *testing.T) {
	g := given{Failure: 10000, Repair: 1000, Detects: 1, Worn: 0.1, Sound: 0.9, IfWorn: 0.5}
	a := vehicleGiven([]given{g}, false)
	a.Findings[0].Part.Checks = []score.Check{{ID: "listen", Minutes: 1, Place: "yard", Detects: 0.8, FalseAlarm: 0.1}}
	require.NotNil(t, hundred(nil).Make([]score.Assessment{a}, 1).Rows[0].Check)
	a.Findings[0].Part.Consequence, a.Findings[0].NoticeFail = score.CanInjure, true
	row := hundred(nil).Make([]score.Assessment{a}, 1).Rows[0]
	assert.Equal(t, Injury, row.Group)
	assert.Nil(t, row.Check)
}

func TestLooksAreBounded(t *testing.T) {
	g := given{Failure: 10000, Repair: 1000, Detects: 1, Worn: 0.1, Sound: 0.9, IfWorn: 0.5}
	a := vehicleGiven([]given{g}, false)
	for k := range maxLooks + 3 {
		a.Findings[0].Part.Checks = append(a.Findings[0].Part.Checks,
			score.Check{ID: string(rune('a' + k)), Minutes: float64(1 + k), Place: "yard", Detects: 0.8, FalseAlarm: 0.1})
	}
	l := auctionOptions().Make([]score.Assessment{a}, 1)
	assert.Len(t, l.Offers[0].Looks, maxLooks)
	assert.Equal(t, 3, l.Offers[0].LooksLeft)
	assert.Equal(t, 3, l.Viewing.LooksLeft, "and it is told")
	assert.Equal(t, "a", l.Offers[0].Looks[0].ID, "the least swing a minute is left out")
}

func TestPlacesOfTheDesks(t *testing.T) {
	g := given{Failure: 10000, Repair: 1000, Detects: 1, Worn: 0.1, Sound: 0.9, IfWorn: 0.5}
	a := vehicleGiven([]given{g}, false)
	for _, place := range []string{"yard", "counter", "bay"} {
		a.Findings[0].Part.Checks = append(a.Findings[0].Part.Checks, score.Check{ID: place, Minutes: 1, Place: place, Detects: 0.8, FalseAlarm: 0.1})
	}
	o := auctionOptions()
	assert.Len(t, o.Make([]score.Assessment{a}, 1).Offers[0].Looks, 1, "an auction has its yard")
	o.Desk = TradeIn
	assert.Len(t, o.Make([]score.Assessment{a}, 1).Offers[0].Looks, 2, "a dealer has a counter, and does not lift the vehicle")
}

func TestCounterLooksWithinTenMinutes(t *testing.T) {
	r := rand.New(rand.NewPCG(987, 1597))
	o := auctionOptions()
	o.Desk = TradeIn
	for range 300 {
		a := vehicleGiven(randomGiven(r, 2, 3), false)
		for i := range a.Findings {
			for k := range a.Findings[i].Part.Checks {
				a.Findings[i].Part.Checks[k].Minutes *= 2.5
			}
		}
		f := o.Make([]score.Assessment{a}, 1).Offers[0]
		var choices []Choice
		for j := range f.Causes {
			choices = append(choices, f.Causes[j].Choice)
		}
		require.LessOrEqual(t, f.Chosen.Minutes, float64(CounterMinutes))
		require.InDelta(t, bestViewing([]*inspected{newInspected(choices, "yard")}, CounterMinutes), f.Chosen.Swing, rounds)
	}
}

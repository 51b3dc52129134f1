package backtest

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/life"
	"pitlist/score/life/forecast"
	"pitlist/score/plan"
)

func TestEvery(t *testing.T) {
	for _, k := range []struct {
		name       string
		first, end score.Day
		weeks      int
		want       []score.Day
	}{
		{"whole spans back from the end", 100, 200, 4, []score.Day{116, 144, 172}},
		{"the first day itself counts", 116, 200, 4, []score.Day{116, 144, 172}},
		{"no span fits", 180, 200, 4, nil},
		{"less than a week is a week", 186, 200, 0, []score.Day{186, 193}},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, Every(k.first, k.end, k.weeks)) })
	}
}

func TestApart(t *testing.T) {
	for _, k := range []struct {
		name string
		days []score.Day
		want []score.Day
	}{
		{"weekly runs, four weeks apart", []score.Day{100, 107, 114, 121, 128, 135, 142}, []score.Day{107, 135}},
		{"in any order", []score.Day{135, 100, 121, 107}, []score.Day{107, 135}},
		{"none far enough from the end", []score.Day{150}, nil},
		{"two runs of one day are one", []score.Day{130, 130}, []score.Day{130}},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, Apart(k.days, 163, 4)) })
	}
}

// TestCame: the first thing to happen decides; of one day's, the gravest.
func TestCame(t *testing.T) {
	at := func(day score.Day, kind score.FactKind) score.Happening {
		return score.Happening{Part: 1, Day: day, Kind: kind, Failed: kind == score.FactFailed}
	}
	failing := at(105, score.FactRenewed)
	failing.Failed = true
	planned := at(105, score.FactRenewed)
	planned.Planned = true
	other := at(103, score.FactFailed)
	other.Part = 2
	for _, k := range []struct {
		name string
		past []score.Happening
		want Came
		on   score.Day
	}{
		{"nothing", nil, Nothing, 0},
		{"a renewal whose text tells of the failure", []score.Happening{failing}, Failed, 105},
		{"an inspection that found it failed", []score.Happening{at(104, score.FactFailed)}, Failed, 104},
		{"a planned renewal", []score.Happening{planned}, Planned, 105},
		{"a renewal of unknown cause", []score.Happening{at(105, score.FactRenewed)}, Unknown, 105},
		{"a look that found it sound", []score.Happening{at(104, score.FactClean), failing}, FoundSound, 104},
		{"found worn before it could fail", []score.Happening{at(104, score.FactFoundWorn), planned}, FoundWorn, 104},
		{"found worn on the day of the failure is the failure", []score.Happening{at(105, score.FactFoundWorn), failing}, Failed, 105},
		{"found sound and renewed on one day is a renewal", []score.Happening{at(105, score.FactClean), planned}, Planned, 105},
		{"on the list's own day it was known already", []score.Happening{at(100, score.FactFailed)}, Nothing, 0},
		{"on the next list's day it counts", []score.Happening{at(110, score.FactFailed)}, Failed, 110},
		{"after the next list it is that list's", []score.Happening{at(111, score.FactFailed)}, Nothing, 0},
		{"another part's is not this one's", []score.Happening{other}, Nothing, 0},
	} {
		t.Run(k.name, func(t *testing.T) {
			what, on := came(k.past, 1, 100, 110)
			assert.Equal(t, k.want, what)
			assert.Equal(t, k.on, on)
		})
	}
}

// TestMoneyByHand: an hour in the bay costs 100, C 5,000, R 1,000, detection
// 0.9, false alarm 0.02.
func TestMoneyByHand(t *testing.T) {
	pump, rack := follower(t), joint(t)
	pump.Inspection.SetUpHours = 0.5
	f, g := &score.Finding{Part: &pump}, &score.Finding{Part: &rack}
	o := money(nil)
	for _, k := range []struct {
		name    string
		parts   []*score.Finding
		came    map[*score.Finding]Came
		caught  int
		avoided float64
	}{
		{"it failed: 0.9 × (5,000 − 1,000) − 150", []*score.Finding{f}, map[*score.Finding]Came{f: Failed}, 1, 3450},
		{"in vain: −150 − 0.02 × 1,000", []*score.Finding{f}, nil, 0, -170},
		{"found sound by the workshop is in vain", []*score.Finding{f}, map[*score.Finding]Came{f: FoundSound}, 0, -170},
		{"renewed as planned: nobody knows how it was", []*score.Finding{f}, map[*score.Finding]Came{f: Planned}, 0, -170},
		{"found worn by the workshop saves nothing more", []*score.Finding{f}, map[*score.Finding]Came{f: FoundWorn}, 0, -150},
		{"two parts: 3,600 − 20 − 250", []*score.Finding{f, g}, map[*score.Finding]Came{f: Failed}, 1, 3330},
		{"both failed: 7,200 − 250", []*score.Finding{f, g}, map[*score.Finding]Came{f: Failed, g: Failed}, 2, 6950},
	} {
		t.Run(k.name, func(t *testing.T) {
			var y Way
			l := lookOf(0, k.parts)
			for _, x := range book(&o, &l, k.came) {
				y.add(&x)
			}
			assert.Equal(t, k.caught, y.Failed)
			assert.InDelta(t, k.avoided, y.Avoided, 1e-9)
			assert.InDelta(t, y.Saved-y.Spent-y.Alarms, y.Avoided, 1e-9)
			assert.Equal(t, len(k.parts), y.Failed+y.Worn+y.Vain)
		})
	}
	t.Run("days off the road cost with the hours and with the failure", func(t *testing.T) {
		off := pump
		off.Costs.OffRoadDays = 4
		h := &score.Finding{Part: &off}
		o := plan.Options{BayHour: 100, OffRoadDay: 80}
		l := lookOf(0, []*score.Finding{h})
		avoided := book(&o, &l, map[*score.Finding]Came{h: Failed})[0].Avoided
		assert.InDelta(t, 0.9*(5000+4*80-1000)-(150+1.5/8*80), avoided, 1e-9)
	})
	t.Run("a look's cost is divided by the hours that each part takes alone", func(t *testing.T) {
		l := lookOf(0, []*score.Finding{f, g}) // 1.5 and 1 hours
		each := book(&o, &l, nil)
		assert.InDelta(t, 150, each[0].Spent, 1e-9)
		assert.InDelta(t, 100, each[1].Spent, 1e-9)
		shared := pump
		h := &score.Finding{Part: &shared}
		l = lookOf(0, []*score.Finding{f, h}) // one visit: 2.5 hours, half each
		assert.InDelta(t, 125, book(&o, &l, nil)[0].Spent, 1e-9)
	})
}

// TestRules: the order of each rule, and how it spends the hours.
func TestRules(t *testing.T) {
	code, err := dtc.Parse("P0420")
	require.NoError(t, err)
	pump, rack := follower(t), joint(t)
	vehicle := func(unit string, km float64, born score.Day, coded bool, parts ...*score.WeakPart) score.Assessment {
		v := &score.Vehicle{Unit: unit, InService: born, Scans: []score.Scan{{Day: 5, Codes: []dtc.Reading{{Code: code}}}, {Day: 6}}}
		if coded {
			v.Scans[1].Codes = v.Scans[0].Codes
		}
		a := score.Assessment{Vehicle: v}
		a.Odometer.KM = km
		for _, p := range parts {
			a.Findings = append(a.Findings, score.Finding{Part: p, Standing: score.Scored})
		}
		return a
	}
	assessed := []score.Assessment{
		vehicle("A", 90e3, 300, true, &pump),
		vehicle("B", 150e3, 500, false, &pump, &rack), // two hours
		vehicle("C", 120e3, 100, false, &pump),
		vehicle("D", 200e3, 0, true), // no part that the catalogue may fit
		vehicle("E", 80e3, 0, false, &pump),
	}
	assessed[0].Findings = append(assessed[0].Findings, score.Finding{Part: &rack, Standing: score.WornFound}) // known: takes no look
	units := func(looks []Look) (s string) {
		for _, l := range looks {
			s += assessed[l.At].Vehicle.Unit
		}
		return s
	}
	for _, k := range []struct {
		name  string
		rule  Rule
		hours float64
		want  string
	}{
		{"the highest mileage first", ByMileage, 9, "BCAE"},
		{"a code on the latest scan, then mileage", ByCode, 9, "ABCE"},
		{"the oldest first, of unknown age last", ByAge, 9, "CABE"},
		{"what no longer fits is passed over", ByMileage, 3, "BC"},
		{"two hours do not fit into one", ByMileage, 1, "C"},
		{"no hours, no looks", ByMileage, 0, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			l := plan.List{Depots: []plan.Depot{{Name: "*", Limited: true, Hours: k.hours}}}
			o := money(map[string]float64{"*": k.hours})
			assert.Equal(t, k.want, units(k.rule.Open(assessed, &o, l)))
		})
	}
	t.Run("without a limit a rule has the hours that the list took", func(t *testing.T) {
		o := money(nil)
		l := plan.List{Depots: []plan.Depot{{Name: "", Used: 3}}}
		assert.Equal(t, "BC", units(ByMileage.Open(assessed, &o, l)))
	})
	t.Run("injury parts took more than was given: the rules get as much", func(t *testing.T) {
		o := money(map[string]float64{"*": 1})
		l := plan.List{Depots: []plan.Depot{{Name: "*", Limited: true, Hours: 1, Used: 3}}}
		assert.Equal(t, "BC", units(ByMileage.Open(assessed, &o, l)))
	})
}

// byHand is a part that wears and fails without memory, so that its chances
// can be written down: onset mean 100,000 km, delay mean 20,000 km.
func byHand(t *testing.T) score.WeakPart {
	p := follower(t)
	p.Onset, p.Delay, p.Evidence = life.Exponential{Mean: 100e3}, life.Exponential{Mean: 20e3}, nil
	return p
}

// wornShare and failWithin are the delay-time model's by hand: of the parts not
// failed by x, the share worn, and the share that fails within d more.
func wornShare(x float64) float64 {
	const a, b = 1 / 100e3, 1 / 20e3
	worn, sound := a/(b-a)*(math.Exp(-a*x)-math.Exp(-b*x)), math.Exp(-a*x)
	return worn / (worn + sound)
}

func failWithin(x, d float64) float64 {
	const a, b = 1 / 100e3, 1 / 20e3
	sound := 1 - (b*math.Exp(-a*d)-a*math.Exp(-b*d))/(b-a) // onset and delay both within d
	w := wornShare(x)
	return w*(1-math.Exp(-b*d)) + (1-w)*sound
}

// steady is a vehicle that covers 70 km a day since new, with a row a month.
func steady(unit string, born, until score.Day, repairs ...score.Repair) score.Vehicle {
	v := score.Vehicle{Unit: unit, Model: "Heron", InService: born, Repairs: repairs}
	for d := born; d <= until; d += 28 {
		v.Readings = append(v.Readings, score.Reading{Day: d, KM: 70 * float64(d-born), Unit: "km"})
	}
	return v
}

// TestRunByHand: three vehicles, one list 28 days before the end. A failed on
// the 20th day, B was found worn by the workshop on the 14th, C ran on; D has
// failed before, E is sold, F came later.
func TestRunByHand(t *testing.T) {
	day := end - 28
	born := day - 1000 // 70,000 km on the list's day
	ref := func(n int32) score.Ref { return score.Ref{Source: 1, Row: n} }
	a := steady("A", born, end, score.Repair{Day: day + 20, Text: "pump follower replaced, follower seized", Ref: ref(1)})
	b := steady("B", born, end)
	b.Inspections = []score.Inspection{{Day: day + 14, Part: "pump-follower", Result: score.FoundWorn, Ref: ref(2)}}
	c := steady("C", born, end)
	d := steady("D", born, end, score.Repair{Day: day - 50, Text: "pump follower replaced, follower seized", Ref: ref(3)})
	e := steady("E", born, end, score.Repair{Day: day + 9, Text: "pump follower replaced, follower seized", Ref: ref(4)})
	e.Status = score.Sold
	f := steady("F", day+1, end, score.Repair{Day: day + 10, Text: "pump follower replaced, follower seized", Ref: ref(5)})
	o := options(day)
	o.Plan = money(nil)
	r, err := Run(context.Background(), &score.Catalogue{Parts: []score.WeakPart{byHand(t)}}, []score.Vehicle{a, b, c, d, e, f}, o)
	require.NoError(t, err)

	assert.Equal(t, 4, r.Vehicles, "the sold one and the one that came later take no part")
	wantFail := failWithin(70e3, 28*70) + failWithin(70e3, 14*70) + failWithin(70e3, 28*70)
	assert.Equal(t, 3, r.All.Failures.N)
	assert.InDelta(t, wantFail, r.All.Failures.Expected, 1e-6)
	assert.Equal(t, 1, r.All.Failures.Observed)
	look := wornShare(70e3 + 14*70)
	assert.Equal(t, 1, r.All.Worn.N, "one look")
	assert.InDelta(t, 0.9*look+0.02*(1-look), r.All.Worn.Expected, 1e-6)
	assert.Equal(t, 1, r.All.Worn.Observed)
	require.Len(t, r.Days, 1)
	assert.InEpsilon(t, r.All.Failures.Expected, r.Days[0].Expected, 1e-12, "summed in another order")
	assert.Equal(t, []Day{{Day: day, Until: end, Vehicles: 4, Listed: 3, Above: 3, Hours: 3, Failures: 1, FailAbove: 1, Expected: r.Days[0].Expected, FoundWorn: 1}}, r.Days)

	// Without a limit every look that pays is made: one failed (3,600), one was
	// found worn (0), one was in vain (−20), at 100 an hour.
	assert.Equal(t, Way{Name: ByList, Vehicles: 3, Parts: 3, Hours: 3, Failed: 1, Worn: 1, Vain: 1, Saved: 3600, Spent: 300, Alarms: 20, Avoided: 3280}, r.All.Ways[0])
	assert.InDelta(t, 3280, r.Parts[0].Ways[0].Avoided, 1e-9, "the one part's are all")
	assert.Equal(t, 1, r.Unseen.Sold)
	assert.Equal(t, Unseen{Sold: 1, Pairs: 3, Never: 1, NeverWorn: r.Unseen.NeverWorn, Above: 1, Elsewhere: []Count{{NotOnRecord, 1}}}, r.Unseen)
	assert.InDelta(t, wornShare(70e3), r.Unseen.NeverWorn, 1e-6)
}

// TestElsewhere: a failure that no list could be held to is told with its
// reason.
func TestElsewhere(t *testing.T) {
	day := end - 91
	failure := func(d score.Day) score.Repair {
		return score.Repair{Day: d, Text: "pump follower replaced, follower seized", Ref: score.Ref{Source: 1, Row: int32(d)}}
	}
	looked := func(d score.Day, r score.Result) score.Inspection {
		return score.Inspection{Day: d, Part: "pump-follower", Result: r, Ref: score.Ref{Source: 2, Row: int32(d)}}
	}
	late := follower(t)
	late.KnownSince = day + 1
	for _, k := range []struct {
		name string
		part score.WeakPart
		make func() score.Vehicle
		want string
	}{
		{"of a vehicle that came later", byHand(t), func() score.Vehicle { return steady("X", day+3, end, failure(day+30)) }, NotOnRecord},
		{"of a part that nobody knew of yet", late, func() score.Vehicle { return steady("X", day-900, end, failure(day+30)) }, NotYetKnown},
		{"outside the ranges", byHand(t), func() score.Vehicle {
			v := steady("X", day-900, end, failure(day+30))
			v.Model = "Gannet"
			return v
		}, OutOfRange},
		{"no reading by then", byHand(t), func() score.Vehicle {
			return score.Vehicle{Unit: "X", Model: "Heron", Repairs: []score.Repair{{Day: day - 9, Text: "oil service"}, failure(day + 30)}}
		}, NoDistance},
		{"found worn before the list", byHand(t), func() score.Vehicle {
			v := steady("X", day-900, end, failure(day+30))
			v.Inspections = []score.Inspection{looked(day-5, score.FoundWorn)}
			return v
		}, KnownAlready},
		{"of the improved part", byHand(t), func() score.Vehicle { return steady("X", day-900, end, failure(day-99), failure(day+30)) }, StoryEnded},
		{"after a look in the same span", byHand(t), func() score.Vehicle {
			v := steady("X", day-900, end, failure(day+30))
			v.Inspections = []score.Inspection{looked(day+5, score.FoundSound)}
			return v
		}, AfterAct},
		{"found failed, then renewed: one failure, and the list's", byHand(t), func() score.Vehicle {
			v := steady("X", day-900, end, failure(day+30))
			v.Inspections = []score.Inspection{looked(day+25, score.FoundFailed)}
			return v
		}, ""},
	} {
		t.Run(k.name, func(t *testing.T) {
			filler := steady("Z", day-900, end)
			r, err := Run(context.Background(), &score.Catalogue{Parts: []score.WeakPart{k.part}}, []score.Vehicle{k.make(), filler}, options(day))
			require.NoError(t, err)
			if k.want == "" {
				assert.Empty(t, r.Unseen.Elsewhere)
				assert.Equal(t, 1, r.All.Failures.Observed)
				return
			}
			assert.Equal(t, []Count{{k.want, 1}}, r.Unseen.Elsewhere)
			assert.Zero(t, r.All.Failures.Observed)
		})
	}
}

// TestNeed: the reckonings by hand (1.95996 + 0.84162 = 2.80158; √1.5 − 1 =
// 0.22474), and that such a number does what is said of it.
func TestNeed(t *testing.T) {
	n := needCount(13, 2)
	assert.Equal(t, 39.0, n.Enough, "(2.80158 / 0.44949)² = 38.85")
	assert.InDelta(t, 6, n.Years, 1e-12, "39 of 13 in 2 years")
	assert.True(t, n.Short())
	assert.Equal(t, 69.0, needPairs(80).Enough, "((0.97998 + 0.84162 × 0.47140) × 6)² = 68.2")
	assert.False(t, needPairs(80).Short())

	// The exact Poisson test of 39 against half as many again.
	tail := func(mean float64, from int) float64 {
		below, p := 0.0, math.Exp(-mean)
		for i := range from {
			below += p
			p *= mean / float64(i+1)
		}
		return 1 - below
	}
	reject := 0
	for tail(39, reject) > level/2 {
		reject++
	}
	assert.InDelta(t, power, tail(39*wrongBy, reject), 0.05)
}

// TestForecastsByHand: two bands, their exact limits and the parts of the
// Brier score, worked by hand.
func TestForecastsByHand(t *testing.T) {
	var all []forecast.Outcome
	for i := range 10 {
		all = append(all, forecast.Outcome{Chance: 0.3, Happened: i < 3}, forecast.Outcome{Chance: 0.5, Happened: i < 7})
	}
	f := against(all, failEdges, 1)
	require.Len(t, f.Bands, 2)
	assert.Equal(t, []any{0.2, 0.4, 10, 3, 0, 6}, []any{f.Bands[0].From, f.Bands[0].To, f.Bands[0].N, f.Bands[0].Observed, f.Bands[0].Low, f.Bands[0].High},
		"binomial(10, 0.3): P(N ≤ 0) = 0.028, P(N ≤ 5) = 0.953, P(N ≤ 6) = 0.989, so 0 is within 0.025")
	assert.Equal(t, 10, f.Observed)
	assert.InDelta(t, 8, f.Expected, 1e-12)
	// Reliability: 10/20 × (0.5 − 0.7)² = 0.02; resolution: both bands 0.2 from
	// the base rate 0.5, so 0.04; uncertainty 0.25; score 0.23.
	assert.InDelta(t, 0.02, f.Brier.Reliability, 1e-12)
	assert.InDelta(t, 0.04, f.Brier.Resolution, 1e-12)
	assert.InDelta(t, 0.25, f.Brier.Uncertainty, 1e-12)
	assert.InDelta(t, 0.23, f.Brier.Score, 1e-12)
	assert.InDelta(t, 0, f.Brier.Within, 1e-12)
	assert.InDelta(t, 0.08, f.Brier.Skill, 1e-12)
	// Pairs: 10 that happened with 10 that did not; the 7 at 0.5 beat 7 misses
	// at 0.3 and tie with 3; the 3 at 0.3 tie with 7: (49 + 10.5 + 10.5)/100.
	assert.InDelta(t, 0.70, f.Concordance.Value, 1e-12)
}

// TestResample: one vehicle of 100 with a difference of 10. The number of
// times that it is drawn is binomial(100, 0.01): P(0) = 0.366, P(≤ 2) = 0.921,
// P(≤ 3) = 0.982. So the interval runs from 0 to 30.
func TestResample(t *testing.T) {
	var l ledger
	l.start(101, 1)
	seen := make([]bool, 101)
	for i := range 100 {
		seen[i] = true
	}
	l.enter(0, 7, 1, &Way{Failed: 10})
	l.enter(2, 7, 1, &Way{Avoided: 500})
	l.enter(0, 100, 1, &Way{Failed: 1000}) // took no part
	of := l.versus(seen, 20_000, 9)
	require.Len(t, of, 2, "all parts, and the one")
	for _, v := range of {
		require.Len(t, v, len(Rules()))
		assert.Equal(t, Range{10, 0, 30}, v[0].Failed)
		assert.Equal(t, Range{}, v[0].Avoided)
		assert.Equal(t, Range{-500, -1500, 0}, v[1].Avoided, "paired: the same vehicles")
		assert.Equal(t, 10, v[0].OnlyList)
		assert.Zero(t, v[0].OnlyRule)
	}
}

// TestSignTest: tails of the binomial with one half, by hand.
func TestSignTest(t *testing.T) {
	for _, k := range []struct {
		name string
		a, b int
		want float64
	}{
		{"nothing to compare", 0, 0, 1},
		{"even", 3, 3, 1},
		{"5 to none is not enough: 2/32", 5, 0, 2.0 / 32},
		{"6 to none is: 2/64", 6, 0, 2.0 / 64},
		{"8 to 2: 2 × (45 + 10 + 1)/1024", 2, 8, 112.0 / 1024},
	} {
		t.Run(k.name, func(t *testing.T) {
			assert.InDelta(t, k.want, signTest(k.a, k.b), 1e-12)
			assert.Equal(t, k.want < 0.05, (&Versus{Sign: signTest(k.a, k.b)}).Told())
		})
	}
}

func TestRunErrors(t *testing.T) {
	c := &score.Catalogue{Parts: []score.WeakPart{follower(t)}}
	_, err := Run(context.Background(), c, nil, options())
	assert.ErrorIs(t, err, ErrNothing, "no past day")
	_, err = Run(context.Background(), c, []score.Vehicle{steady("A", end-5, end)}, options(end-50))
	assert.ErrorIs(t, err, ErrNothing, "nothing was on the records by then")
	_, err = Run(context.Background(), c, nil, options(end-50, end-50))
	assert.ErrorContains(t, err, "ascend")
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err = Run(ctx, c, invented(t, 5, 1), options(end-91))
	assert.ErrorIs(t, err, context.Canceled)
}

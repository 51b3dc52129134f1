package plan

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/wear"
)

// anyState is a state with curves behind it; what it believes is overwritten.
func anyState() wear.State {
	m, err := exponential()
	if err != nil {
		panic(err)
	}
	return m.Assess(wear.History{X: 1e5, Share: 0.5})
}

// given is a part given by its numbers.
type given struct {
	Failure, Repair, Detects float64
	FalseAlarm               float64 `json:"false_alarm"`
	Worn, Sound              float64
	IfWorn                   float64 `json:"if_worn"`
	IfSound                  float64 `json:"if_sound"`
	Checks                   []struct {
		ID               string
		Minutes, Detects float64
		FalseAlarm       float64 `json:"false_alarm"`
	}
}

func (g *given) finding(i int) score.Finding {
	p := &score.WeakPart{ID: fmt.Sprintf("P%d", i), Name: fmt.Sprintf("Part %d", i), Axis: score.ByKM, Consequence: score.CostsMoney,
		Inspection: score.InspectionPlan{Hours: 1, Detects: g.Detects, FalseAlarm: g.FalseAlarm},
		Costs:      score.Costs{Failure: g.Failure, PlannedRepair: g.Repair}}
	for _, c := range g.Checks {
		p.Checks = append(p.Checks, score.Check{ID: c.ID, Minutes: c.Minutes, Place: "yard", Detects: c.Detects, FalseAlarm: c.FalseAlarm})
	}
	f := score.Finding{Part: p, PartIndex: i, Standing: score.Scored, State: anyState()}
	f.State.Worn, f.State.Sound, f.State.Immune = g.Worn, g.Sound, 1-g.Worn-g.Sound
	f.HoldFail = score.Fails{IfWorn: g.IfWorn, IfSound: g.IfSound, All: g.Worn*g.IfWorn + g.Sound*g.IfSound}
	return f
}

func vehicleGiven(parts []given, closed bool) score.Assessment {
	a := score.Assessment{Vehicle: &score.Vehicle{Unit: "V"}}
	a.Vehicle.SetDesk(score.DeskFacts{CannotOpen: closed})
	for i := range parts {
		a.Findings = append(a.Findings, parts[i].finding(i))
	}
	return a
}

// auctionOptions are the money of the cases, at an auction.
func auctionOptions() *Options {
	return &Options{BayHour: 100, Desk: Auction, Buying: Buying{Cover: 0.8, ViewingMinutes: 120, TakeLessFrom: 100, LookFrom: 150, LeaveShare: 0.25}}
}

// TestDesksByHand: testdata/desks/SOURCE.md shows the arithmetic.
func TestDesksByHand(t *testing.T) {
	data, err := os.ReadFile("../../testdata/desks/cases.json")
	require.NoError(t, err)
	var cases []struct {
		Name   string
		Closed bool
		Parts  []given
		Expect struct {
			Without, With, Deduction float64
			Opens                    bool
			Swing, Minutes           float64
			CheckWorth               float64  `json:"check_worth"`
			CheckGain                *float64 `json:"check_gain"`
			Bill                     [][2]float64
			P90, P95                 float64
		}
	}
	require.NoError(t, json.Unmarshal(data, &cases))
	require.Len(t, cases, 6)
	for _, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			e := c.Expect
			as := []score.Assessment{vehicleGiven(c.Parts, c.Closed)}
			o := auctionOptions().Make(as, 1).Offers[0]
			first := o.Causes[0]
			assert.InDelta(t, e.Without, first.Without, 1e-9)
			assert.InDelta(t, e.With, first.With, 1e-9)
			assert.Equal(t, e.Opens, first.Opens)
			assert.InDelta(t, e.Deduction, o.Deduction, 1e-9)
			var bill [][2]float64
			for _, i := range o.Bill.Items() {
				bill = append(bill, [2]float64{i.Money(), math.Round(i.Chance*1e9) / 1e9})
			}
			assert.Equal(t, e.Bill, bill)
			assert.Equal(t, e.P90, o.BillP90)
			assert.Equal(t, e.P95, o.Bill.Quantile(0.95))
			if e.Minutes > 0 {
				require.Len(t, o.Looks, 1)
				assert.InDelta(t, e.Swing, o.Chosen.Swing, 1e-9)
				assert.Equal(t, e.Minutes, o.Chosen.Minutes, "a shared look's minutes count once")
			}
			if e.CheckGain != nil {
				row := hundred(nil).Make(as, 1).Rows[0]
				if *e.CheckGain == 0 {
					assert.Nil(t, row.Check, "it costs more than it saves")
					return
				}
				require.NotNil(t, row.Check)
				assert.InDelta(t, e.CheckWorth, row.Check.Worth, 1e-9)
				assert.InDelta(t, *e.CheckGain, row.Check.Gain, 1e-9)
				assert.InDelta(t, 0.17, row.Check.Opened, 1e-12)
				assert.InDelta(t, 0.17, row.Check.Hours, 1e-12)
			}
		})
	}
}

// randomGiven draws the parts of a vehicle. Checks have few ids, so that some
// are shared.
func randomGiven(r *rand.Rand, parts, checks int) []given {
	out := make([]given, parts)
	for i := range out {
		g := &out[i]
		g.Repair = 50 * float64(r.IntN(40))
		g.Failure = g.Repair + 100*float64(1+r.IntN(90))
		g.Detects, g.FalseAlarm = 0.5+0.5*r.Float64(), 0.2*r.Float64()
		g.Worn = r.Float64() * r.Float64()
		g.Sound = (1 - g.Worn) * r.Float64()
		g.IfWorn, g.IfSound = r.Float64(), 0.3*r.Float64()
		for k := range r.IntN(checks + 1) {
			g.Checks = append(g.Checks, struct {
				ID               string
				Minutes, Detects float64
				FalseAlarm       float64 `json:"false_alarm"`
			}{string(rune('a' + k)), 1.5 * float64(k+1), 0.3 + 0.6*r.Float64(), 0.2 * r.Float64()})
		}
	}
	return out
}

// way is one course that things may take: its chance and what it costs.
type way struct {
	chance float64
	cents  int64
}

// ways follows one part through all that can happen: what it is, what a look
// finds, whether it fails. It knows the story, not the formulas.
func (g *given) ways(opened bool) []way {
	const look = 100
	var out []way
	other := 1 - g.Worn - g.Sound
	for _, h := range []struct{ chance, found, fails float64 }{
		{g.Worn, g.Detects, g.IfWorn}, {g.Sound, g.FalseAlarm, g.IfSound}, {other, g.FalseAlarm, 0},
	} {
		if !opened {
			out = append(out, way{h.chance * h.fails, cents(g.Failure)}, way{h.chance * (1 - h.fails), 0})
			continue
		}
		out = append(out, way{h.chance * h.found, cents(look + g.Repair)},
			way{h.chance * (1 - h.found) * h.fails, cents(look + g.Failure)}, way{h.chance * (1 - h.found) * (1 - h.fails), cents(look)})
	}
	return out
}

// mean is what the ways are expected to cost, in money.
func mean(ways []way) float64 {
	sum := 0.0
	for _, w := range ways {
		sum += w.chance * float64(w.cents) / 100
	}
	return sum
}

// cheaper is the decision of a buyer and what it is expected to cost.
func (g *given) cheaper() (opened bool, cost float64) {
	open, leave := mean(g.ways(true)), mean(g.ways(false))
	return open < leave, min(open, leave)
}

// TestBillIsTheEnumerationOfAllOutcomes: of all parts of small vehicles.
func TestBillIsTheEnumerationOfAllOutcomes(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 34))
	for range 300 {
		parts := randomGiven(r, 1+r.IntN(4), 0)
		o := auctionOptions().Make([]score.Assessment{vehicleGiven(parts, false)}, 1).Offers[0]
		all, sum := map[int64]float64{0: 1}, 0.0
		for i := range parts {
			opened, cost := parts[i].cheaper()
			sum += cost
			next := map[int64]float64{}
			for _, w := range parts[i].ways(opened) {
				for c, p := range all {
					next[c+w.cents] += p * w.chance
				}
			}
			all = next
		}
		total, expected := 0.0, 0.0
		for _, i := range o.Bill.Items() {
			require.InDelta(t, all[i.Cents], i.Chance, 1e-12)
			total, expected = total+i.Chance, expected+i.Money()*i.Chance
		}
		require.InDelta(t, 1, total, 1e-12, "no outcome is missing")
		require.InDelta(t, sum, o.Deduction, 1e-8)
		require.InDelta(t, o.Deduction, expected, 1e-8, "the sum of expectations is the expectation of the sum")
		require.InDelta(t, expected, o.Bill.Mean(), 1e-9)
		amounts := make([]int64, 0, len(all))
		for c, p := range all {
			if p > 0 {
				amounts = append(amounts, c)
			}
		}
		slices.Sort(amounts)
		for _, q := range []float64{0.1, 0.5, 0.8, 0.9, 0.999} {
			below := 0.0
			for _, c := range amounts {
				if below += all[c]; below >= q-1e-12 {
					require.Equal(t, float64(c)/100, o.Bill.Quantile(q))
					break
				}
			}
		}
	}
}

// TestBillP90AgainstMillionDraws follows vehicles through what can happen to
// them: the 90 % quantile must split a million draws as it says.
func TestBillP90AgainstMillionDraws(t *testing.T) {
	const n = 1_000_000
	r := rand.New(rand.NewPCG(55, 89))
	for range 3 {
		parts := randomGiven(r, 4, 0)
		o := auctionOptions().Make([]score.Assessment{vehicleGiven(parts, false)}, 1).Offers[0]
		q, sum := cents(o.BillP90), 0.0
		below, upTo := 0, 0
		opened := make([]bool, len(parts))
		for i := range parts {
			opened[i], _ = parts[i].cheaper()
		}
		for range n {
			var bill int64
			for i := range parts {
				bill += parts[i].happens(r, opened[i])
			}
			sum += float64(bill) / 100
			if bill < q {
				below++
			}
			if bill <= q {
				upTo++
			}
		}
		four := 4 * math.Sqrt(0.9*0.1/n) // standard errors
		assert.LessOrEqual(t, float64(below)/n, 0.9+four)
		assert.GreaterOrEqual(t, float64(upTo)/n, 0.9-four)
		assert.InDelta(t, o.Deduction, sum/n, 4*9000*math.Sqrt(4.0/n)/2, "no bill of four parts has a standard deviation above 9,000")
	}
}

// happens draws one course of one part.
func (g *given) happens(r *rand.Rand, opened bool) int64 {
	u := r.Float64()
	found, fails := g.FalseAlarm, 0.0
	switch {
	case u < g.Worn:
		found, fails = g.Detects, g.IfWorn
	case u < g.Worn+g.Sound:
		fails = g.IfSound
	}
	cost := 0.0
	if opened {
		if cost = 100; r.Float64() < found {
			return cents(cost + g.Repair)
		}
	}
	if r.Float64() < fails {
		cost += g.Failure
	}
	return cents(cost)
}

package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/wear"
)

// plain is the first case of testdata/desks: 200 come off, a check moves 129.
var plain = given{Failure: 10000, Repair: 1000, Detects: 1, Worn: 0.1, Sound: 0.9, IfWorn: 0.5}

func plainWith(minutes float64, price float64) score.Assessment {
	a := vehicleGiven([]given{plain}, false)
	if minutes > 0 {
		a.Findings[0].Part.Checks = []score.Check{{ID: "listen", Minutes: minutes, Place: "yard", Detects: 0.8, FalseAlarm: 0.1}}
	}
	if price > 0 {
		guide(a.Vehicle, score.Is(price))
	}
	return a
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		rule    string
		minutes float64
		price   float64
		change  func(b *Buying)
		want    Verdict
	}{
		{"leave where the deduction is leave_share of the price", 4, 800, nil, Leave},
		{"not below it", 0, 801, nil, TakeLess},
		{"look first where a swing reaches look_from, though money comes off", 4, 9000, func(b *Buying) { b.LookFrom = 129 - 1e-9 }, LookFirst},
		{"leave comes before look first", 4, 800, func(b *Buying) { b.LookFrom = 1 }, Leave},
		{"a swing below look_from is no reason to look", 4, 9000, func(b *Buying) { b.LookFrom = 129 + 1e-9 }, TakeLess},
		{"take less from take_less_from on", 0, 9000, func(b *Buying) { b.TakeLessFrom = 200 }, TakeLess},
		{"take below it", 0, 9000, func(b *Buying) { b.TakeLessFrom = 200.01 }, Take},
		{"without a price nothing is too dear", 0, 0, nil, TakeLess},
	} {
		t.Run(c.rule, func(t *testing.T) {
			o := auctionOptions()
			if c.change != nil {
				c.change(&o.Buying)
			}
			got := o.Make([]score.Assessment{plainWith(c.minutes, c.price)}, 1).Offers[0]
			assert.Equal(t, c.want, got.Verdict)
			assert.Equal(t, c.want == LookFirst, got.Check != nil)
		})
	}
}

func TestLookFirstNamesWhatMovesMostAMinute(t *testing.T) {
	a := plainWith(0, 9000)
	a.Findings[0].Part.Checks = []score.Check{
		{ID: "strong", Minutes: 20, Place: "yard", Detects: 0.9, FalseAlarm: 0.01},
		{ID: "quick", Minutes: 4, Place: "yard", Detects: 0.8, FalseAlarm: 0.1},
		{ID: "glance", Minutes: 0.1, Place: "yard", Detects: 0.2, FalseAlarm: 0.1},
	}
	o := auctionOptions()
	o.Buying.LookFrom = 100
	got := o.Make([]score.Assessment{a}, 1).Offers[0]
	require.Equal(t, LookFirst, got.Verdict)
	assert.Equal(t, "quick", got.Check.ID, "the glance does not reach look_from, the strong one takes five times as long")
}

func TestBidLimit(t *testing.T) {
	o := auctionOptions()
	o.Buying.Margin = 250
	a := plainWith(0, 5000)
	assert.InDelta(t, 5000-200-250, o.Make([]score.Assessment{a}, 1).Offers[0].BidLimit, 1e-9, "the deduction exceeds the 80 % bill of 100")
	o.Buying.Cover = 0.95
	assert.InDelta(t, 5000-1100-250, o.Make([]score.Assessment{a}, 1).Offers[0].BidLimit, 1e-9, "the 95 % bill of 1,100 exceeds it")
	guide(a.Vehicle, score.Stated{})
	got := o.Make([]score.Assessment{a}, 1).Offers[0]
	assert.False(t, got.HasPrice)
	assert.Zero(t, got.BidLimit)
}

func TestPartsThatAreKnown(t *testing.T) {
	a := vehicleGiven([]given{plain, plain}, true)
	a.Findings[0].Standing = score.AwaitingRepair
	a.Findings[1].Standing = score.WornFound
	a.Findings[1].State.Worn = 1
	o := auctionOptions().Make([]score.Assessment{a}, 1).Offers[0]
	assert.InDelta(t, 10000+1000, o.Deduction, 1e-9, "failed and not put right costs a failure; found worn its repair, opened or not")
	assert.Equal(t, 11000.0, o.Bill.Quantile(0.01), "for certain")
}

func TestEveryVehicleJudgedHasAnOffer(t *testing.T) {
	as := []score.Assessment{
		plainWith(0, 0), {Vehicle: &score.Vehicle{Unit: "NOTHING"}}, {Vehicle: &score.Vehicle{Unit: "GONE"}, SetAside: "sold"},
	}
	l := auctionOptions().Make(as, 1)
	require.Len(t, l.Offers, 2)
	assert.Equal(t, Take, l.Offers[0].Verdict)
	assert.Equal(t, []BillItem{{0, 1}}, l.Offers[0].Bill.Items())
}

// TestPartWithoutAReading: of a part that nothing tells the distance of, no
// figure says that it costs nothing. The reading is to be looked at first, no
// bid can be named where nothing else could be priced, and no lot counts as one
// that no look can move.
func TestPartWithoutAReading(t *testing.T) {
	unread := func(gs ...given) score.Assessment {
		a := vehicleGiven(append(gs, plain), false)
		a.Findings[len(gs)].Standing = score.NoDistance
		guide(a.Vehicle, score.Is(9000))
		return a
	}
	none, one := unread(), unread(plain)
	o := auctionOptions()
	l := o.Make([]score.Assessment{none, one}, 1)
	require.Len(t, l.Offers, 2)
	assert.Zero(t, l.Viewing.Nothing)
	for _, of := range l.Offers {
		require.Len(t, of.Unread, 1)
		assert.Equal(t, LookFirst, of.Verdict)
		assert.Nil(t, of.Check)
		if of.Unjudged() {
			assert.Zero(t, of.BidLimit)
		} else {
			assert.InDelta(t, 200, of.Deduction, 1e-9, "what is known is told")
			assert.InDelta(t, 9000-200-o.Buying.Margin, of.BidLimit, 1e-9)
		}
	}
	assert.NotEqual(t, l.Offers[0].Unjudged(), l.Offers[1].Unjudged())
	guide(one.Vehicle, score.Is(800))
	assert.Equal(t, Leave, o.Make([]score.Assessment{one}, 1).Offers[0].Verdict, "what is known is reason enough")
}

// TestUnknownIsWhatTheModelSaysOfEitherAnswer: the two answers are those of the
// same history with a share of 1 and of 0.
func TestUnknownIsWhatTheModelSaysOfEitherAnswer(t *testing.T) {
	m := memoryless(t)
	r := rand.New(rand.NewPCG(4, 6))
	for range 200 {
		h := wear.History{X: 2e5 * r.Float64(), Share: 0.05 + 0.9*r.Float64(), Factors: []wear.Factor{{At: 1e6, Worn: r.Float64(), NotWorn: r.Float64()}}}
		h.E = h.X * r.Float64()
		of := func(share float64) score.Assessment {
			g := plain
			a := vehicleGiven([]given{g, plain}, r.IntN(2) < 0)
			h := h
			h.Share = share
			f := &a.Findings[0]
			f.State = m.Assess(h)
			f.Belonging.Membership = score.Unknown
			f.HoldFail = score.Fails{IfWorn: f.State.FailWorn(5e4), IfSound: f.State.FailSound(5e4), All: f.State.Fail(5e4)}
			return a
		}
		o := auctionOptions()
		o.Buying.TakeLessFrom = 1e-9
		make1 := func(share float64) Offer { return o.Make([]score.Assessment{of(share)}, 1).Offers[0] }
		got, inside, outside := make1(h.Share), make1(1), make1(0)
		require.Len(t, got.Unknowns, 1)
		require.InEpsilon(t, inside.Deduction, got.Unknowns[0].Inside, 1e-9)
		require.InEpsilon(t, outside.Deduction, got.Unknowns[0].Outside, 1e-9)
	}
}

func TestYardOrder(t *testing.T) {
	for _, c := range []struct {
		name      string
		lots, got []score.DeskFacts // lane, sale order, lot
	}{
		{"without lanes by sale order, then by lot",
			[]score.DeskFacts{stands("", "B-1", "7"), stands("", "A-10", "3"), stands("", "", "1"), stands("", "a-2", "9"), stands("", "A-2", "10"), stands("", "10:05", "5"), stands("", "9:40", "6")},
			[]score.DeskFacts{stands("", "9:40", "6"), stands("", "10:05", "5"), stands("", "A-2", "10"), stands("", "a-2", "9"), stands("", "A-10", "3"), stands("", "B-1", "7"), stands("", "", "1")}},
		{"lane by lane, though the lanes are called up in turn",
			[]score.DeskFacts{stands("10", "9:30", "1"), stands("2", "9:32", "2"), stands("", "9:00", "6"), stands("10", "9:36", "3"), stands("2", "9:34", "4"), stands("2", "", "5")},
			[]score.DeskFacts{stands("2", "9:32", "2"), stands("2", "9:34", "4"), stands("2", "", "5"), stands("10", "9:30", "1"), stands("10", "9:36", "3"), stands("", "9:00", "6")}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var as []score.Assessment
			for _, d := range c.lots {
				v := &score.Vehicle{}
				v.SetDesk(d)
				as = append(as, score.Assessment{Vehicle: v})
			}
			var got []score.DeskFacts
			for _, o := range auctionOptions().Make(as, 1).Offers {
				got = append(got, o.Assessment.Vehicle.Desk())
			}
			assert.Equal(t, c.got, got)
		})
	}
}

// guide gives a vehicle a guide price.
func guide(v *score.Vehicle, price score.Stated) {
	d := v.Desk()
	d.GuidePrice = price
	v.SetDesk(d)
}

func stands(lane, order, lot string) score.DeskFacts {
	return score.DeskFacts{Lane: lane, SaleOrder: order, Lot: lot}
}

// TestStockAgainstTheExactConvolution: small lists whose bill can be reckoned
// to the cent.
func TestStockAgainstTheExactConvolution(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 21))
	for range 40 {
		var as []score.Assessment
		for range 5 {
			parts := randomGiven(r, 1, 0)
			parts[0].Repair += 0.37 // off the grid
			as = append(as, vehicleGiven(parts, false))
		}
		o := auctionOptions()
		o.Desk = TradeIn
		l := o.Make(as, 1)
		var all Bill
		for i := range l.Offers {
			all = all.Add(l.Offers[i].Bill)
		}
		s := l.Stock
		assert.InDelta(t, all.Mean(), s.Expected, 1e-6)
		assert.InDelta(t, s.Deduction, s.Expected, 0.01*5, "to the rounding of amounts to cents")
		for q, got := range map[float64]float64{0.1: s.P10, 0.5: s.P50, 0.8: s.P80, 0.9: s.P90} {
			low, high := all.Quantile(q-1e-6), all.Quantile(q+1e-6)
			assert.GreaterOrEqual(t, got, low-s.Within, "q %g", q)
			assert.LessOrEqual(t, got, high+s.Within, "q %g", q)
		}
	}
}

func TestPileKeepsTheMean(t *testing.T) {
	g := pile{step: 7, p: []float64{1}}
	want := 0.0
	for i := range 50 {
		b := newBill([]BillItem{{0, 0.6}, {int64(1234 + 77*i), 0.3}, {int64(98765 - i), 0.1}})
		want += b.Mean()
		g.add(&b)
	}
	got := 0.0
	for i, p := range g.p {
		got += p * float64(g.low+i) * g.step
	}
	assert.InDelta(t, want, got, 1e-6)
}

func TestFoldMovesNothingThatCounts(t *testing.T) {
	b := Bill{}
	r := rand.New(rand.NewPCG(1, 2))
	want := 0.0
	for range 30 {
		p := math.Pow(r.Float64(), 6)
		c := int64(1e6 * r.Float64())
		own := newBill([]BillItem{{0, 1 - p}, {c, p}})
		want += own.Mean()
		b = b.Add(own)
	}
	sum := 0.0
	for _, i := range b.Items() {
		sum += i.Chance
	}
	assert.LessOrEqual(t, len(b.Items()), mostItems)
	assert.InDelta(t, 1, sum, 1e-9)
	assert.InEpsilon(t, want, b.Mean(), 1e-2)
}

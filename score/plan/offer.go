package plan

import (
	"cmp"
	"slices"

	"pitlist/score"
)

// Verdict is what a buying desk is told to do.
type Verdict string

// The verdicts.
const (
	Leave     Verdict = "leave"
	LookFirst Verdict = "look first"
	TakeLess  Verdict = "take less"
	Take      Verdict = "take"
)

// Offer is one vehicle that a buying desk may take. Money is in the job's
// currency; nothing is rounded, save the bill's amounts, to cents.
type Offer struct {
	Rank       int
	Assessment *score.Assessment
	Row        *Row // of the list; nil: the catalogue prices nothing on it
	Above      bool // auction: walked to; trade-in: into the workshop before it is sold on
	Closed     bool // it cannot be opened

	Price      float64          // asked or offered; at an auction the guide price
	HasPrice   bool             // a price above 0 is stated
	Causes     []Cause          // every priced part, the greatest deduction first
	Unread     []*score.Finding // parts that no figure holds, since nothing tells how far they have run
	Deduction  float64
	Bill       Bill
	BillP90    float64
	BillCover  float64 // the bill's quantile that a bid must bear
	BidLimit   float64 // auction, where HasPrice and not Unjudged; below 0: no bid is low enough
	Verdict    Verdict
	Check      *Look     // where the verdict is to look first: the check that moves most a minute; nil: a reading (Unread), or another verdict
	Looks      []Look    // all that could be looked at here, greatest swing a minute first
	LooksLeft  int       // looks that were not weighed, see maxLooks
	Chosen     LookSet   // auction: the viewing plan's; trade-in: the best within CounterMinutes
	Outcomes   []Outcome // of the chosen looks
	Unknowns   []Unknown
	HoldReason score.HoldReason // what limits the distance that all this is over
}

// Unjudged tells that nothing could be priced, for want of a reading: the
// figures are then those of no vehicle at all.
func (o *Offer) Unjudged() bool { return len(o.Causes) == 0 && len(o.Unread) > 0 }

// Cause is one part with what it takes off the price.
type Cause struct {
	Choice
	Deduction float64
	Opens     bool // the buyer opens it (found worn: repairs it); else it is left alone
	Bill      Bill
}

// Unknown is a part of which it is not known whether the vehicle belongs to
// its ranges, and what either answer would mean.
type Unknown struct {
	Finding *score.Finding
	// Inside and Outside are the vehicle's whole deduction if it belongs to the
	// ranges, and if it does not.
	Inside, Outside float64
}

// CounterMinutes is how long a customer's vehicle stands at the counter for
// looks without lifting it.
const CounterMinutes = 10

// places are where looks can be made, by desk.
func (d Desk) places() []string {
	switch d {
	case Auction:
		return []string{"yard"}
	case TradeIn:
		return []string{"yard", "counter"}
	}
	return []string{"yard", "counter", "bay"}
}

// offer makes the offers of a buying desk, in the list's order.
func (m *maker) offer(l *List, assessments []score.Assessment) {
	rows := make(map[*score.Assessment]*Row, len(l.Rows))
	for i := range l.Rows {
		rows[l.Rows[i].Assessment] = &l.Rows[i]
	}
	looks := make([]*inspected, 0, len(assessments))
	l.Offers = make([]Offer, 0, len(assessments))
	for i := range assessments {
		a := &assessments[i]
		if a.SetAside != "" {
			continue
		}
		o, n := m.offerOf(a, rows[a])
		l.Offers, looks = append(l.Offers, o), append(looks, n)
	}
	if m.opts.Desk == Auction {
		l.Viewing = m.opts.view(l.Offers, looks)
		slices.SortStableFunc(l.Offers, compareYard)
	} else {
		counter(l.Offers, looks)
		slices.SortStableFunc(l.Offers, compareStock)
		l.Stock = stock(l.Offers)
	}
	for i := range l.Offers {
		l.Offers[i].Rank = i + 1
		l.Offers[i].Outcomes = m.outcomes(&l.Offers[i])
	}
}

// offerOf prices one vehicle.
func (m *maker) offerOf(a *score.Assessment, row *Row) (Offer, *inspected) {
	v := a.Vehicle
	o := Offer{Assessment: a, Row: row, Closed: v.Desk().CannotOpen, HoldReason: a.Ahead.HoldReason}
	o.Price, o.HasPrice = m.opts.Desk.price(v)
	scored := m.causes(&o)
	o.BillP90, o.BillCover = o.Bill.Quantile(0.9), o.Bill.Quantile(m.opts.Buying.Cover)
	if m.opts.Desk == Auction && o.HasPrice && !o.Unjudged() {
		o.BidLimit = m.bidLimit(o.Price, o.Deduction, o.Bill)
	}
	n := newInspected(scored, m.opts.Desk.places()...)
	o.Looks, o.LooksLeft = n.looks, n.left
	o.Verdict, o.Check = m.opts.Buying.verdict(&o)
	o.Unknowns = m.opts.Buying.unknowns(&o)
	return o, n
}

// causes fills in what each part takes off the price, and their sum and bill;
// it returns the scored parts, which a look can move. A part found failed and
// not put right costs what a failure costs, for certain.
func (m *maker) causes(o *Offer) (scored []Choice) {
	at := m.opts.occasionOf(o.Assessment.Vehicle, m.day)
	for i := range o.Assessment.Findings {
		f := &o.Assessment.Findings[i]
		var c Choice
		switch f.Standing {
		case score.Scored:
			c = m.opts.price(f, at)
			scored = append(scored, c)
		case score.WornFound:
			c = m.opts.price(f, at)
		case score.AwaitingRepair:
			c = Choice{Finding: f, Failure: m.opts.Failure(f.Part), Closed: at.closed}
			c.Without, c.With = c.Failure, c.Failure
		case score.NoDistance:
			o.Unread = append(o.Unread, f)
			continue
		default:
			continue
		}
		o.Causes = append(o.Causes, Cause{Choice: c, Deduction: c.Deduction(), Opens: c.Opens(), Bill: c.Bill()})
	}
	for i := range o.Causes {
		o.Deduction += o.Causes[i].Deduction
		o.Bill = o.Bill.Add(o.Causes[i].Bill)
	}
	slices.SortStableFunc(o.Causes, func(a, b Cause) int { return cmp.Compare(b.Deduction, a.Deduction) })
	return scored
}

// price is what the desk measures a deduction against: the price asked or
// offered, at an auction the guide price; each stands in for the other.
func (d Desk) price(v *score.Vehicle) (float64, bool) {
	first, second := v.Desk().Price, v.Desk().GuidePrice
	if d == Auction {
		first, second = second, first
	}
	for _, p := range []score.Stated{first, second} {
		if p.Known && p.Value > 0 {
			return p.Value, true
		}
	}
	return 0, false
}

// verdict applies the job's thresholds in their order. Where it is to look
// first, it names among the checks whose swing is enough the one that moves
// most a minute; where a part lacks a reading, that is to be looked at first,
// since without it nobody can say "take". Without a price nothing is too dear.
func (b *Buying) verdict(o *Offer) (Verdict, *Look) {
	if o.HasPrice && o.Deduction >= b.LeaveShare*o.Price {
		return Leave, nil
	}
	for i := range o.Looks { // greatest swing a minute first
		if o.Looks[i].Swing >= b.LookFrom {
			return LookFirst, &o.Looks[i]
		}
	}
	if len(o.Unread) > 0 {
		return LookFirst, nil
	}
	if o.Deduction >= b.TakeLessFrom {
		return TakeLess, nil
	}
	return Take, nil
}

// unknowns lists what is not known of the ranges and would matter: where the
// two answers lie at least TakeLessFrom apart. Given that the vehicle belongs,
// the posterior is what it is now less the immune part of it.
func (b *Buying) unknowns(o *Offer) []Unknown {
	var out []Unknown
	for i := range o.Causes {
		c := &o.Causes[i]
		f := c.Finding
		member := 1 - f.State.Immune
		if f.Standing != score.Scored || f.Belonging.Membership != score.Unknown || !(member > 0) {
			continue
		}
		in := beliefsOf(f)
		in.worn, in.sound = in.worn/member, in.sound/member
		u := Unknown{f, o.Deduction - c.Deduction + c.deductionAt(in), o.Deduction - c.Deduction}
		if u.Inside-u.Outside >= b.TakeLessFrom {
			out = append(out, u)
		}
	}
	slices.SortStableFunc(out, func(a, b Unknown) int { return cmp.Compare(b.Inside, a.Inside) })
	return out
}

// compareStock keeps the plan's order, what to put through the workshop first;
// vehicles that are not in it follow, the greatest deduction first.
func compareStock(a, b Offer) int {
	rank := func(o *Offer) int {
		if o.Row == nil {
			return 1 << 62
		}
		return o.Row.Rank
	}
	return cmp.Or(cmp.Compare(rank(&a), rank(&b)), cmp.Compare(b.Deduction, a.Deduction), compareVehicles(a.Assessment.Vehicle, b.Assessment.Vehicle))
}

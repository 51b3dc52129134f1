package report

import (
	"fmt"
	"iter"
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// OfferRow is what a buying desk is told of one vehicle. Money is in the run's
// currency and not rounded; sentences hold it rounded.
type OfferRow struct {
	Lot, Lane      string
	SaleOrder      string
	Price          float64 // asked or offered; at an auction the guide price
	HasPrice       bool
	Held           float64 // km that the figures are over
	HeldReason     say.Text
	Deduction      float64
	BillMean       float64
	BillP90        float64
	BillCover      float64 // the quantile of the bill that a bid must bear
	BidLimit       float64 // below 0: no bid is low enough
	HasBid         bool
	Verdict        plan.Verdict
	Advice         say.Text // the verdict in one sentence, with the numbers that decide it
	Bid            say.Text // auction: where to stop bidding, in one sentence; empty else
	Look           *LookRow
	Chosen         []LookRow    // auction: what the viewing plan looks at here; trade-in: in ten minutes
	Swing, Minutes float64      // of Chosen together
	Outcomes       []OutcomeRow // what Chosen may show, and what it would mean
	CanLook        []LookRow    // all that could be looked at, greatest swing a minute first
	Causes         []CauseRow
	Unknown        []say.Text // sentences: what is not known, and what either answer would mean in money
	Ask            []say.Text // what to ask the seller
	Reads          say.Text   // "read the odometer": what the parts that no figure holds lack; empty: nothing
	Unjudged       bool       // no figure speaks of it: nothing could be priced for want of a reading
	Closed         bool       // it cannot be opened
}

// CauseRow is one part with what it takes off the price.
type CauseRow struct {
	Part, Name string
	Deduction  float64
	BillP90    float64
	Opens      bool
	Chance     say.Text // "62%, likely"
	Later      say.Text // of a part that is likelier to fail than to be worn now: "(6.0% to fail)"; else empty
	Words      say.Text // a sentence
	CanInjure  bool
}

// LookRow is one cheap check on one vehicle.
type LookRow struct {
	ID       string
	Minutes  float64
	Place    string
	Parts    []string // names of the parts that it speaks of
	Swing    float64  // money that it is expected to move
	Steps    []string
	Cautions []say.Text
	Words    say.Text // "listen, 4 min in the yard, for the high-pressure pump follower"
}

// mostCauses are told in words (MODEL: the three largest).
const mostCauses = 3

// offered is the row of one offer.
func (d *Document) offered(o *plan.Offer) WorkRow {
	var w WorkRow
	if o.Row != nil {
		w = d.workRow(o.Row)
	} else {
		w = vehicleRow(o.Assessment)
		w.Why = Why(&plan.Row{Assessment: o.Assessment, Awaiting: thatStand(o.Assessment, score.AwaitingRepair)})
	}
	w.Rank, w.Above, w.Stays = o.Rank, o.Above, -1
	w.Offer = d.offerRow(o)
	return w
}

func (d *Document) offerRow(o *plan.Offer) *OfferRow {
	v := o.Assessment.Vehicle
	r := &OfferRow{
		Lot: v.Desk().Lot, Lane: v.Desk().Lane, SaleOrder: v.Desk().SaleOrder, Price: finite(o.Price), HasPrice: o.HasPrice,
		Held: finite(o.Assessment.Ahead.HoldKM), HeldReason: o.HoldReason.Say(),
		Deduction: finite(o.Deduction), BillMean: finite(o.Bill.Mean()), BillP90: finite(o.BillP90), BillCover: finite(o.BillCover),
		BidLimit: finite(o.BidLimit), HasBid: d.hasBid(o),
		Verdict: o.Verdict, Advice: d.advice(o), Bid: d.bid(o),
		Swing: finite(o.Chosen.Swing), Minutes: finite(o.Chosen.Minutes), Closed: o.Closed,
		Chosen: lookRows(o.Chosen.Looks), Outcomes: d.outcomes(o), CanLook: lookRows(o.Looks), Reads: reads(o.Unread), Unjudged: o.Unjudged(),
	}
	if o.Check != nil {
		look := lookRow(o.Check)
		r.Look = &look
	}
	for i := range o.Causes {
		r.Causes = append(r.Causes, d.causeRow(&o.Causes[i]))
	}
	for i := range o.Unknowns {
		r.Unknown = append(r.Unknown, d.unknown(&o.Unknowns[i]))
	}
	for _, f := range o.Unread {
		r.Unknown = append(r.Unknown, say.F("%s: nothing tells how far it has run; it is in no figure.", f.Part.Name))
	}
	r.Ask = ask(o)
	return r
}

// Largest are the three largest causes; those that round to nothing are left
// out.
func (r *OfferRow) Largest() []CauseRow {
	out := r.Causes[:min(mostCauses, len(r.Causes))]
	for len(out) > 0 && math.Round(out[len(out)-1].Deduction) == 0 {
		out = out[:len(out)-1]
	}
	return out
}

// Checks lists the ids of the checks chosen, as the tables write them.
func (r *OfferRow) Checks() string {
	ids := make([]string, len(r.Chosen))
	for i := range r.Chosen {
		ids[i] = r.Chosen[i].ID
	}
	return strings.Join(ids, "; ")
}

func (d *Document) money(x float64) say.Value { return money(x, d.Run.Currency) }

// advice words the verdict. It names the numbers that decide, so that it can
// never say another thing than they do; of parts that no number holds it says
// so.
func (d *Document) advice(o *plan.Offer) say.Text {
	if len(o.Unread) == 0 {
		return d.verdict(o)
	}
	read, names := reads(o.Unread), partNames(o.Unread)
	if o.Verdict != plan.LookFirst || o.Check != nil {
		return say.Join(" ", d.verdict(o), say.F("And %s: without that no figure holds the %s.", read, names))
	}
	first := say.F("Look first: %s; without that no figure holds the %s.", read, names)
	if o.Unjudged() {
		return first
	}
	return say.Join(" ", first, say.F("What is known takes %s off.", d.money(o.Deduction)))
}

// reads says what to read, or to ask for, so that parts can be judged.
func reads(parts []*score.Finding) say.Text {
	var out []say.Text
	for _, f := range parts {
		switch f.Part.Axis {
		case score.ByHours:
			out = append(out, say.F("read the hour meter"))
		case score.ByMonths:
			out = append(out, say.F("ask when it entered service"))
		default:
			out = append(out, say.F("read the odometer"))
		}
	}
	return say.And(distinct(out)...)
}

func partNames(parts []*score.Finding) say.Text {
	names := make([]say.Text, len(parts))
	for i, f := range parts {
		names[i] = lower(f.Part.Name)
	}
	return say.And(names...)
}

// verdict words the verdict itself.
func (d *Document) verdict(o *plan.Offer) say.Text {
	off := d.money(o.Deduction)
	switch o.Verdict {
	case plan.Leave:
		return say.F("Leave it: %s would have to come off, %s of %s, and from %s on it is not worth having.",
			off, say.Percent(o.Deduction/o.Price), d.money(o.Price), say.Percent(d.list.Buying.LeaveShare))
	case plan.LookFirst:
		return say.F("Look first: %s; it is expected to move the %s that come off by %s.", lookWords(o.Check), off, d.money(o.Check.Swing))
	case plan.TakeLess:
		return say.F("Take it for %s less.", off)
	}
	if math.Round(o.Deduction) == 0 {
		return say.F("Take it: nothing that the catalogue knows takes anything off.")
	}
	return say.F("Take it: what the catalogue knows takes %s off, too little to argue.", off)
}

// bid says where to stop bidding at an auction.
func (d *Document) bid(o *plan.Offer) say.Text {
	if plan.Desk(d.Run.Desk) != plan.Auction {
		return say.Text{}
	}
	switch {
	case !o.HasPrice:
		return say.F("No limit can be named: no guide price is given.")
	case o.Unjudged():
		return say.F("No limit can be named: nothing of it could be reckoned.")
	}
	b := &d.list.Buying
	why := say.F("guide price %s, less %s, less the margin of %s", d.money(o.Price), d.bears(o), d.money(b.Margin))
	if o.BidLimit <= 0 {
		return say.F("No bid: %s leaves nothing.", why)
	}
	return say.F("Stop at %s (%s).", d.money(o.BidLimit), why)
}

// bears words the larger of the two amounts that a bid must bear.
func (d *Document) bears(o *plan.Offer) say.Text {
	if o.BillCover > o.Deduction {
		return say.F("%s that the bill stays within in %s of cases", d.money(o.BillCover), say.Percent(d.list.Buying.Cover))
	}
	return say.F("%s expected to come off", d.money(o.Deduction))
}

func (d *Document) causeRow(c *plan.Cause) CauseRow {
	f := c.Finding
	var later say.Text
	if f.Standing == score.Scored && f.HoldFail.All > f.State.Worn {
		later = say.F("(%s to fail)", say.Percent(f.HoldFail.All))
	}
	return CauseRow{
		Part: f.Part.ID, Name: f.Part.Name, Deduction: finite(c.Deduction), BillP90: finite(c.Bill.Quantile(0.9)),
		Opens: c.Opens, Chance: ChanceWords(f), Later: later, CanInjure: canInjure(f),
		Words: say.F("%s takes %s off: %s.", f.Part.Name, d.money(c.Deduction), d.causeWhy(c)),
	}
}

// causeWhy says what the amount consists of.
func (d *Document) causeWhy(c *plan.Cause) say.Text {
	f := c.Finding
	switch {
	case f.Standing == score.AwaitingRepair:
		return say.F("it has failed and was not put right")
	case f.Standing == score.WornFound && c.Opens:
		return say.F("it was found worn, and the repair costs that")
	case f.Standing == score.WornFound:
		return say.F("it was found worn, and left alone it has a chance of %s to fail over the time held", say.Percent(f.HoldFail.All))
	}
	worn, odds, fail := say.Percent(f.State.Worn), Odds(f.State.Worn), say.Percent(f.HoldFail.All)
	switch {
	case c.Opens:
		return say.F("%s to be worn, %s; to be opened after buying (%s for the look, %s if it is worn); still %s to fail over the time held (%s)",
			worn, odds, d.money(c.Inspection), d.money(c.Repair), say.Percent(c.Missed()), d.money(c.Failure))
	case c.Closed && c.With < c.Without:
		return say.F("%s to be worn, %s; it cannot be opened, and has a chance of %s to fail over the time held, for %s", worn, odds, fail, d.money(c.Failure))
	}
	return say.F("%s to be worn, %s; not worth opening: a chance of %s to fail over the time held, for %s", worn, odds, fail, d.money(c.Failure))
}

// unknown says what is not known and what its two answers would mean.
func (d *Document) unknown(u *plan.Unknown) say.Text {
	reason := say.Or(u.Finding.Belonging.Reason(), say.F("not known whether it is of the affected ones"))
	return say.F("%s: %s; inside the range %s would come off in all, outside %s.",
		u.Finding.Part.Name, reason, d.money(u.Inside), d.money(u.Outside))
}

// ask lists what to ask the seller of the parts that take most off: only what
// he could know and the records do not say.
func ask(o *plan.Offer) []say.Text {
	var out []say.Text
	for i := range o.Causes[:min(mostCauses, len(o.Causes))] {
		c := &o.Causes[i]
		if c.Finding.Standing == score.Scored && math.Round(c.Deduction) > 0 {
			out = append(out, say.F("Was the %s ever repaired: what was done, when, at what distance, with what part?", lower(c.Finding.Part.Name)))
		}
	}
	for i := range o.Unknowns {
		if lacks := o.Unknowns[i].Finding.Belonging.Lacks; lacks != 0 {
			out = append(out, say.F("What is the %s?", lacks.Say()))
		}
	}
	for _, f := range o.Unread {
		switch f.Part.Axis {
		case score.ByHours:
			out = append(out, say.F("What does the hour meter read?"))
		case score.ByMonths:
			out = append(out, say.F("When did it enter service?"))
		default:
			out = append(out, say.F("What does the odometer read?"))
		}
	}
	return distinct(out)
}

// distinct keeps the first of equal texts.
func distinct[T string | say.Text](items []T) []T {
	seen := map[string]bool{}
	out := items[:0]
	for _, s := range items {
		if words := fmt.Sprint(s); !seen[words] {
			seen[words] = true
			out = append(out, s)
		}
	}
	return out
}

func lookRows(looks []plan.Look) []LookRow {
	out := make([]LookRow, 0, len(looks))
	for i := range looks {
		out = append(out, lookRow(&looks[i]))
	}
	return out
}

func lookRow(l *plan.Look) LookRow {
	r := LookRow{ID: l.ID, Minutes: l.Minutes, Place: l.Place, Swing: finite(l.Swing), Words: lookWords(l)}
	for _, at := range l.Parts {
		r.Parts = append(r.Parts, at.Finding.Part.Name)
		r.Steps = append(r.Steps, at.Check.Steps...)
		r.Cautions = append(r.Cautions, plain(at.Check.Cautions)...)
	}
	r.Steps, r.Cautions = distinct(r.Steps), distinct(r.Cautions)
	return r
}

// lookName is a look's id as a person reads it.
func lookName(l *plan.Look) string { return strings.ReplaceAll(l.ID, "-", " ") }

// lookWords names a look: "listen, 4 min in the yard, for the rack joint".
func lookWords(l *plan.Look) say.Text {
	names := make([]say.Text, len(l.Parts))
	for i, at := range l.Parts {
		names[i] = lower(at.Finding.Part.Name)
	}
	return say.F("%s, %s min %s, for the %s", lookName(l), say.Number(l.Minutes), placeWords(l.Place), say.And(names...))
}

// BillRow is one amount of one vehicle's bill.
type BillRow struct {
	Unit, VIN      string
	Amount, Chance float64 // money to the cent; in (0, 1]
}

// Bills yields every vehicle's bill, in the list's order, amounts ascending.
func (d *Document) Bills() iter.Seq[BillRow] {
	return func(yield func(BillRow) bool) {
		for i := range d.list.Offers {
			o := &d.list.Offers[i]
			v := o.Assessment.Vehicle
			if o.Unjudged() {
				continue // a bill of nothing would be untrue
			}
			for _, item := range o.Bill.Items() {
				if !yield(BillRow{v.Unit, vinOf(v), item.Money(), item.Chance}) {
					return
				}
			}
		}
	}
}

// Cautions are what to mind while looking at a vehicle that is for sale: those
// of the looks chosen, then the general ones.
func (r *OfferRow) Cautions() []say.Text {
	var out []say.Text
	for i := range r.Chosen {
		out = append(out, r.Chosen[i].Cautions...)
	}
	for i := range r.Causes {
		if r.Causes[i].CanInjure {
			out = append(out, injuryCaution)
		}
	}
	return distinct(append(out, generalCautions...))
}

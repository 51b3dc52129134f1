package report

import (
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// Offered is what a buying desk made of the vehicle, over the distance that it is
// held. What nothing could be reckoned of is absent.
type Offered struct {
	Lot       string   `json:"lot,omitempty"`
	Lane      string   `json:"lane,omitempty"`
	Verdict   string   `json:"verdict"`
	Price     *float64 `json:"price,omitempty"` // at an auction the guide price
	Deduction *float64 `json:"deduction,omitempty"`
	BillP90   *float64 `json:"bill_p90,omitempty"`
	BidLimit  *float64 `json:"bid_limit,omitempty"` // auction; below 0: no bid is low enough
	Causes    []string `json:"causes"`              // what takes most off
	Unknown   []string `json:"unknown"`             // what is not known, and what either answer would mean
	Looks     []string `json:"looks"`               // what could be looked at, that with the greatest swing a minute first

	auction bool
}

// Explain tells one vehicle's whole story as this run's desk decides on it.
func (d *Document) Explain(a *score.Assessment) Story {
	s := Explain(d.Run, d.fleet, a, d.rows[a.Vehicle], len(d.list.Rows))
	o := d.offers[a.Vehicle]
	if o == nil {
		return s
	}
	w, l := d.offered(o), d.Run.Speaks()
	s.Decision = Decision{OnList: true, Rank: w.Rank, Of: len(d.list.Offers), Above: w.Above, Why: l.Say(w.Say()), Worth: w.Worth, Waiting: w.Waiting, Hours: w.Hours, Stays: -1}
	s.Offer = d.offeredTo(w.Offer, l)
	return s
}

func (d *Document) offeredTo(o *OfferRow, l *say.Language) *Offered {
	out := &Offered{
		Lot: o.Lot, Lane: o.Lane, Verdict: string(o.Verdict), Price: known(o.HasPrice, o.Price),
		Deduction: known(!o.Unjudged, o.Deduction), BillP90: known(!o.Unjudged, o.BillP90), BidLimit: known(o.HasBid, o.BidLimit),
		Causes: []string{}, Unknown: []string{}, Looks: []string{}, auction: plan.Desk(d.Run.Desk) == plan.Auction,
	}
	for _, c := range o.Largest() {
		out.Causes = append(out.Causes, l.Say(c.Words))
	}
	for _, u := range o.Unknown {
		out.Unknown = append(out.Unknown, l.Say(u))
	}
	for i := range o.CanLook {
		out.Looks = append(out.Looks, l.Say(o.CanLook[i].Words))
	}
	return out
}

func known(is bool, x float64) *float64 {
	if !is {
		return nil
	}
	return &x
}

// tell says what is decided at a buying desk.
func (o *Offered) tell(w *teller, d *Decision) {
	verdict := VerdictWords(plan.Verdict(o.Verdict))
	switch {
	case o.auction && d.Above:
		w.line(say.F("No. %d of %d in the order of the yard, walked to: %s", d.Rank, d.Of, verdict))
	case o.auction:
		w.line(say.F("No. %d of %d in the order of the yard: %s", d.Rank, d.Of, verdict))
	case d.Above:
		w.line(say.F("No. %d of %d, through the workshop before it is sold on: %s", d.Rank, d.Of, verdict))
	default:
		w.line(say.F("No. %d of %d: %s", d.Rank, d.Of, verdict))
	}
	w.in(say.Plain(d.Why))
	for _, list := range [...][]string{o.Causes, o.Unknown} {
		for _, s := range list {
			w.in(say.Plain(s))
		}
	}
	for _, s := range o.Looks {
		w.in(say.F("may be looked at: %s", s))
	}
}

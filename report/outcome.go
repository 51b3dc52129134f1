package report

import (
	"pitlist/score/plan"
	"pitlist/score/say"
)

// OutcomeRow is what one outcome of the chosen looks would mean.
type OutcomeRow struct {
	Speaks    bool // one of the looks speaks for wear; false: none does
	Deduction float64
	BidLimit  float64  // auction, where the offer has one; below 0: no bid is low enough
	Words     say.Text // "scan speaks for wear of the rack joint: stop at EUR 4,100"
}

// outcomes are what the chosen looks may show, that none of them speaks first.
func (d *Document) outcomes(o *plan.Offer) []OutcomeRow {
	out := make([]OutcomeRow, 0, len(o.Outcomes))
	for i := range o.Outcomes {
		r := &o.Outcomes[i]
		out = append(out, OutcomeRow{Speaks: r.At != nil, Deduction: finite(r.Deduction), BidLimit: finite(r.BidLimit), Words: d.outcomeWords(o, r)})
	}
	return out
}

// outcomeWords says what an outcome would mean: at an auction where to stop
// bidding, elsewhere what comes off.
func (d *Document) outcomeWords(o *plan.Offer, r *plan.Outcome) say.Text {
	if r.At == nil {
		switch {
		case !d.hasBid(o):
			return say.F("nothing speaks for wear: %s come off", d.money(r.Deduction))
		case r.BidLimit <= 0:
			return say.F("nothing speaks for wear: no bid")
		}
		return say.F("nothing speaks for wear: stop at %s", d.money(r.BidLimit))
	}
	look, part := lookName(r.Look), lower(r.At.Finding.Part.Name)
	switch {
	case !d.hasBid(o):
		return say.F("%s speaks for wear of the %s: %s come off", look, part, d.money(r.Deduction))
	case r.BidLimit <= 0:
		return say.F("%s speaks for wear of the %s: no bid", look, part)
	}
	return say.F("%s speaks for wear of the %s: stop at %s", look, part, d.money(r.BidLimit))
}

// hasBid tells whether a bid limit can be named.
func (d *Document) hasBid(o *plan.Offer) bool {
	return plan.Desk(d.Run.Desk) == plan.Auction && o.HasPrice && !o.Unjudged()
}

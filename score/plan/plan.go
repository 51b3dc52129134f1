// Package plan turns judgements into decisions: what an inspection is worth,
// what waiting costs, and which vehicles to take into the bay within the hours
// that there are; on the buying desks what to take off a price, what to look
// at first and where to stop bidding. It knows no file and no clock.
//
// The usual steps: Price every finding (Options hold the money), then Make the
// list. On the buying desks the list also holds an Offer for every vehicle.
// Sources: expected-value decisions over the delay-time model (Christer
// & Waller 1984); multiple-choice knapsack (Kellerer, Pferschy & Pisinger,
// Knapsack Problems, 2004, chapter 11).
package plan

import "pitlist/score"

// Options are the job's money and hours.
type Options struct {
	BayHour    float64            // cost of an hour in the bay
	OffRoadDay float64            // cost of a vehicle's day off the road
	BayHours   map[string]float64 // depot -> hours until the next run; "*" for the others; nil: no limit

	Desk        Desk    // whose decision it is; "": the fleet's
	NextRunDays float64 // days until the next run; 0: a service day is never before it
	Buying      Buying  // of the buying desks
	Kits        Kits

	// Redraw brings back the draws that Sift let go (score.Scorer.Redraw); nil
	// where none were.
	Redraw func([]*score.Assessment)

	// Drawn is told when no draw is asked for any more, and no vehicle will be
	// judged again; nil: nobody waits for it. The list is still to be made then.
	Drawn func()
}

// Desk says whose decision the plan serves.
type Desk string

// The desks.
const (
	Fleet   Desk = "fleet"
	TradeIn Desk = "trade-in"
	Auction Desk = "auction"
)

// Buys tells the two desks that put a price on a vehicle.
func (d Desk) Buys() bool { return d == TradeIn || d == Auction }

// Buying holds what the buying desks decide by; money in the job's currency.
type Buying struct {
	Cover          float64 // quantile of the bill that a bid must bear, in (0, 1)
	Margin         float64 // kept back from a bid
	ViewingMinutes float64 // for all checks until the sale
	TakeLessFrom   float64 // deduction from which the verdict is "take less"
	LookFrom       float64 // swing from which it is "look first"
	LeaveShare     float64 // deduction, as a share of the price, from which it is "leave"
}

// Kits says how sure the shelf must be, and for how long.
type Kits struct {
	Service      float64 // chance in (0, 1) that the kits held suffice; 0: kits are not reckoned
	DeliveryDays float64 // until what is ordered arrives
}

// Choice is one part of a vehicle with its money. All amounts are in the
// job's currency.
type Choice struct {
	Finding    *score.Finding
	Gain       float64 // worth without the inspection's own cost I
	Worth      float64 // by itself, its visit's set-up counted in full
	Waiting    float64 // cost of waiting until the next run
	Inspection float64 // I by itself
	Repair     float64 // R, planned
	Failure    float64 // C, in service
	Without    float64 // expected cost without an inspection
	With       float64 // expected cost with one now
	Forced     bool    // injury part over a limit
	Closed     bool    // on a buying desk: the vehicle cannot be opened, so With is out of reach
}

// Group is a row's place in the list, in this order.
type Group string

// The groups of the list from its head to its foot.
const (
	FoundWorn Group = "found worn"
	Injury    Group = "injury"
	Chosen    Group = "chosen"
	Rest      Group = "rest"
)

// Row is one vehicle of the list.
type Row struct {
	Rank       int
	Assessment *score.Assessment
	Group      Group
	Above      bool             // above the line
	Parts      []Choice         // what the row speaks of: the chosen subset, else the admissible one of greatest worth, else the part of greatest worth
	Lead       Choice           // the part of greatest cost of waiting among Parts
	Others     []Choice         // the vehicle's other scored parts
	Awaiting   []*score.Finding // parts found failed and not renewed

	FailNext, FailHold float64 // 1 − ∏(1 − ·) over Parts
	Worth              float64
	Waiting            float64
	Hours              float64 // rounded up to quarters; 0 for what is found worn already
	Cumulative         float64 // running sum of hours down the list, within the depot
	Stays              float64 // share of parameter draws above the line; negative: not reckoned
	Before             Before
	Check              *CheckFirst // fleet: a cheap check that pays before the bay; nil: none does
	Service            *Service    // fleet: the service that is due within the weeks ahead; nil: none
}

// Before is the distance and the day by which an inspection pays: the
// smallest distance ahead at which waiting costs as much as looking.
type Before struct {
	Known bool
	Ahead float64 // on the lead part's axis
	KM    float64 // odometer then; 0 for a part that does not wear by km
	Day   score.Day
}

// Depot is the account of one depot's hours.
type Depot struct {
	Name        string
	Limited     bool
	Hours       float64 // given
	Used        float64
	Above       int     // vehicles above the line
	Below       int     // vehicles below the line with a worth above zero
	NextWaiting float64 // greatest cost of waiting left below the line
	MoreHour    float64 // what one more bay-hour would be worth: cost of waiting (buying desks: worth) that it takes away besides
}

// List is the plan of one run.
type List struct {
	Rows     []Row
	Depots   []Depot
	Awaiting []*score.Assessment // vehicles of which only parts awaiting repair are to be told
	Totals   Totals
	Buying   Buying      // what the offers were decided by
	Kits     []KitNeed   // in the catalogue's order
	Load     []DepotLoad // bay-hours by week; fleet
	Offers   []Offer     // buying desks: every vehicle judged, in the list's order
	Viewing  Viewing     // auction
	Stock    Stock       // trade-in
}

// Totals speak of the whole list.
type Totals struct {
	Vehicles, Above           int
	Hours                     float64
	ExpectedWorn              float64 // worn parts expected among the inspected
	FailNext                  Count   // failures before the next run, all parts of all vehicles
	FailNextAbove             Count   // of the parts above the line
	AvoidedNext               float64 // failures before the next run that the inspections above the line avoid
	WaitingAbove, WaitingRest float64
	Curve                     []CurvePoint // hours against expected failures avoided, for the chart
}

// Count is an expected number with the 10th and 90th percentile of its exact
// (Poisson-binomial) distribution.
type Count struct {
	Mean      float64
	Low, High int
}

// CurvePoint is a point of the curve of bay-hours against failures avoided
// over the holding distance.
type CurvePoint struct{ Hours, Avoided float64 }

package report

import (
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// Document is all that a rendering needs, in words and in unrounded numbers.
// It points to the fleet and the plan it was composed from and changes
// neither; its long tables are yielded row by row, in a total order.
type Document struct {
	Run     Run
	Title   say.Text   // "weekly-north, 23 Nov 2026"
	Head    []say.Text // the list's totals and where the line falls, short sentences
	Line    say.Text   // what stands on the line itself
	Today   []TodayItem
	Cards   []Card      // for the vehicles above the line, in the list's order, at most MostCards
	Results []ResultRow // a row for each part that results are waited for, at most MostResults
	Parts   []PartSummary
	Depots  []plan.Depot
	Totals  plan.Totals
	Curve   []plan.CurvePoint // hours against failures avoided, at most mostCurve points
	Clouds  []Cloud           // chance of being worn by distance, for the chart
	Guide   []Chapter         // how to read the list, and what it cannot know

	Kits    []KitRow         // to hold until the next delivery, in the catalogue's order
	Load    []plan.DepotLoad // bay-hours by week; fleet
	Viewing *plan.Viewing    // auction; nil on the other desks
	Stock   *StockRow        // trade-in; nil on the other desks

	CardsLeftOut   int // vehicles above the line beyond MostCards
	ResultsLeftOut int // vehicle-parts beyond MostResults

	Week *Week     // the week in six numbers; nil where no earlier run is known
	Gone []GoneRow // vehicles that were on the last list, or above its line, and are no longer

	fleet       *score.Fleet
	assessments []score.Assessment
	list        plan.List
	catalogue   *score.Catalogue
	rows        map[*score.Vehicle]*plan.Row
	slips       map[*score.Finding]slip.Slip   // of the findings that results are waited for
	offers      map[*score.Vehicle]*plan.Offer // buying desks
	urgent      int                            // vehicles to be looked at today
	groups      [4]int                         // rows of each group, in the list's order
}

// MostCards is the greatest number of cards; nobody prints more for one run
// (judgement).
const MostCards = 400

// Compose makes the document of a run. The assessments stand in the fleet's
// order; the list's rows point to them. It is pure: the same arguments give
// the same document.
func Compose(run Run, fleet *score.Fleet, assessments []score.Assessment, list plan.List, catalogue *score.Catalogue) *Document {
	d := &Document{
		Run: run, Title: say.F("%s, %s", run.Job, say.Day(run.Day)),
		Depots: list.Depots, Totals: list.Totals,
		fleet: fleet, assessments: assessments, list: list, catalogue: catalogue,
		rows: make(map[*score.Vehicle]*plan.Row, len(list.Rows)),
	}
	for i := range list.Rows {
		row := &list.Rows[i]
		d.rows[row.Assessment.Vehicle] = row
		d.groups[groupIndex(row.Group)]++
	}
	d.offers = make(map[*score.Vehicle]*plan.Offer, len(list.Offers))
	for i := range list.Offers {
		d.offers[list.Offers[i].Assessment.Vehicle] = &list.Offers[i]
	}
	d.Kits, d.Load = kitRows(list.Kits), list.Load
	d.desk()
	d.compare()
	d.Head, d.Line = head(d), line(d)
	if d.Buys() {
		d.Head, d.Line = offerHead(d), offerLine(d)
	}
	d.Today = today(d)
	d.Results, d.ResultsLeftOut = results(d)
	d.Cards, d.CardsLeftOut = cards(d)
	d.Parts = summarise(catalogue, assessments, run.Day)
	d.Curve = thinned(list.Totals.Curve)
	d.Clouds = clouds(catalogue, assessments)
	d.Guide = guide(d)
	return d
}

// Buys tells that the run was made for a buying desk.
func (d *Document) Buys() bool { return plan.Desk(d.Run.Desk).Buys() }

// desk fills in what only one of the buying desks has.
func (d *Document) desk() {
	switch plan.Desk(d.Run.Desk) {
	case plan.Auction:
		d.Viewing = &d.list.Viewing
	case plan.TradeIn:
		d.Stock = stockRow(&d.list, d.Run.Currency)
	}
}

// groupOrder is the order of the groups from the list's head to its foot.
var groupOrder = [...]plan.Group{plan.FoundWorn, plan.Injury, plan.Chosen, plan.Rest}

func groupIndex(g plan.Group) int {
	for i, known := range groupOrder {
		if g == known {
			return i
		}
	}
	return len(groupOrder) - 1
}

// above counts the rows above the line.
func (d *Document) above() int {
	n := 0
	for i := range d.list.Rows {
		if d.list.Rows[i].Above {
			n++
		}
	}
	return n
}

// canInjure tells that a failure of the part can hurt someone.
func canInjure(f *score.Finding) bool {
	return f != nil && f.Part.Consequence == score.CanInjure
}

package invented

import (
	"cmp"
	"slices"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// above is the number of rows above the line.
const above = 9

// Run is the run of the tests.
func Run(fleet *score.Fleet) report.Run {
	return report.Run{
		Job: "weekly-north", Day: Today, Name: "2026-11-23", Version: "0.1.0", Desk: "fleet", Currency: "EUR",
		Settings:        []report.Setting{{Key: "market", Stated: "eu", Name: say.Plain("Market"), Value: say.Plain("eu")}, {Key: "usage.holding_km", Stated: 60000, Name: say.Plain("Distance"), Value: say.Of(say.KM(60000))}},
		Inputs:          []report.Input{{Path: "intake/units.xlsx", SHA256: "ab12", Sheets: fleet.Counts[:1]}, {Path: "intake/codes.csv", SHA256: "cd34", Sheets: fleet.Counts[1:]}},
		CatalogueDigest: "3f1c0e5d9b", CatalogueFiles: []string{"parts/fuel.yaml", "learned.yaml"},
		Warnings: []say.Text{say.Plain("3 failures in 41 vehicles; shape not fitted")},
	}
}

// List plans by hand: parts found worn, the injury part, then by chance.
func List(as []score.Assessment) plan.List {
	var l plan.List
	for i := range as {
		a := &as[i]
		if row, ok := row(a); ok {
			l.Rows = append(l.Rows, row)
		} else if a.Findings[0].Standing == score.AwaitingRepair {
			l.Awaiting = append(l.Awaiting, a)
		}
	}
	order := map[plan.Group]int{plan.FoundWorn: 0, plan.Injury: 1, plan.Chosen: 2}
	slices.SortStableFunc(l.Rows, func(a, b plan.Row) int {
		return cmp.Or(cmp.Compare(order[a.Group], order[b.Group]), cmp.Compare(b.Waiting, a.Waiting))
	})
	used := map[string]float64{}
	for i := range l.Rows {
		r := &l.Rows[i]
		r.Rank, r.Above = i+1, i < above
		if !r.Above {
			r.Group = plan.Rest
		}
		used[r.Assessment.Vehicle.Depot] += r.Hours
		r.Cumulative = used[r.Assessment.Vehicle.Depot]
	}
	l.Depots = []plan.Depot{
		{Name: "Harbour", Limited: true, Hours: 8, Used: 7.75, Above: 3, Below: 5, NextWaiting: 31.4},
		{Name: "Island", Limited: true, Hours: 6, Used: 5.5, Above: 2, Below: 4, NextWaiting: 22},
		{Name: "North", Limited: true, Hours: 12.5, Used: 12.25, Above: 4, Below: 6, NextWaiting: 48.25},
	}
	l.Totals = totals(&l)
	return l
}

func totals(l *plan.List) plan.Totals {
	t := plan.Totals{Vehicles: len(l.Rows), Above: above, Hours: 25.5, ExpectedWorn: 5.3, AvoidedNext: 0.11,
		FailNext: plan.Count{Mean: 0.17, Low: 0, High: 1}, FailNextAbove: plan.Count{Mean: 0.12, Low: 0, High: 1}, WaitingAbove: 1320, WaitingRest: 240}
	hours, avoided := 0.0, 0.0
	t.Curve = append(t.Curve, plan.CurvePoint{})
	for i := range l.Rows {
		hours += l.Rows[i].Hours
		avoided += l.Rows[i].Lead.Finding.State.Worn * 0.7
		t.Curve = append(t.Curve, plan.CurvePoint{Hours: hours, Avoided: avoided})
		if i < above {
			t.Hours = hours
		}
	}
	return t
}

// row makes the row of a vehicle with anything to say.
func row(a *score.Assessment) (plan.Row, bool) {
	r := plan.Row{Assessment: a, Group: plan.Chosen, Stays: -1}
	for i := range a.Findings {
		f := &a.Findings[i]
		if f.Standing != score.Scored && f.Standing != score.WornFound {
			continue
		}
		c := plan.Choice{Finding: f, Worth: f.State.Worn * 4100, Waiting: f.NextFail.All * 8200, Inspection: 180, Repair: f.Part.Costs.PlannedRepair,
			Failure: f.Part.Costs.Failure + 720, Without: f.HoldFail.All * 12000, With: f.HoldFail.All*12000 - f.State.Worn*4100}
		if f.NoticeWorn || f.NoticeFail {
			r.Group, c.Forced = plan.Injury, true
		}
		if f.Standing == score.WornFound {
			r.Group = plan.FoundWorn
		}
		if len(r.Parts) == 0 || f.State.Worn > 0.1 {
			r.Parts = append(r.Parts, c)
		} else {
			r.Others = append(r.Others, c)
		}
	}
	if len(r.Parts) == 0 {
		return r, false
	}
	r.Lead = r.Parts[0]
	for i := range r.Parts {
		c := &r.Parts[i]
		if r.Group == plan.Injury && c.Forced {
			r.Lead = *c
		}
		r.Worth, r.Waiting = r.Worth+c.Worth, r.Waiting+c.Waiting
		r.FailNext = 1 - (1-r.FailNext)*(1-c.Finding.NextFail.All)
		r.FailHold = 1 - (1-r.FailHold)*(1-c.Finding.HoldFail.All)
		r.Hours += c.Finding.Part.Inspection.Hours + c.Finding.Part.Inspection.SetUpHours
	}
	if r.Group == plan.FoundWorn {
		r.Hours = 0
	}
	r.Stays = 0.5 + r.Lead.Finding.State.Worn/2
	r.Before = plan.Before{Known: r.Worth > 100, Ahead: 900, KM: a.Odometer.KM + 900, Day: Today + 15}
	return r, true
}

// Document composes the whole.
func Document() *report.Document {
	fleet, catalogue := Fleet(), Catalogue()
	as := Assessments(fleet, catalogue)
	return report.Compose(Run(fleet), fleet, as, List(as), catalogue)
}

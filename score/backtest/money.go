package backtest

import (
	"pitlist/score"
	"pitlist/score/plan"
)

// ByList names the list among the ways.
const ByList = "this list"

// Way is how one way of choosing fared over all the lists' days. Money is in
// the job's currency.
type Way struct {
	Name     string
	Vehicles int     // opened, each list's day counted
	Parts    int     // opened
	Hours    float64 // in quarters, as the bay gives them
	Failed   int     // of the parts opened: failed by the next day
	Worn     int     // of them: found worn by the workshop's own look by the next day
	Vain     int     // of them: neither
	Saved    float64 // failures turned into planned repairs: detects × (C − R) each
	Spent    float64 // on looks: hours in the bay and off the road
	Alarms   float64 // expected cost of repairs on a false alarm: false alarm × R for each part opened in vain
	Avoided  float64 // Saved − Spent − Alarms
}

// ledger keeps what each way brought, vehicle by vehicle: vehicles are
// independent of each other, lists are not.
type ledger struct {
	ways    []Way
	caught  [][]float64 // way, vehicle
	avoided [][]float64
}

func (l *ledger) start(vehicles int) {
	names := []string{ByList}
	for _, r := range Rules() {
		names = append(names, string(r))
	}
	for _, n := range names {
		l.ways = append(l.ways, Way{Name: n})
		l.caught = append(l.caught, make([]float64, vehicles))
		l.avoided = append(l.avoided, make([]float64, vehicles))
	}
}

// ways is what each way opens on a day.
func (b *backtest) ways(assessed []score.Assessment, list plan.List, ours []Look) [][]Look {
	out := [][]Look{ours}
	for _, r := range Rules() {
		out = append(out, r.Open(assessed, &b.Plan, list))
	}
	return out
}

// add books one day's looks.
func (l *ledger) add(w *window, opened [][]Look) {
	for k, looks := range opened {
		for i := range looks {
			v := w.members[looks[i].At]
			caught, avoided := l.ways[k].book(&w.Plan, &looks[i], w.came)
			l.caught[k][v] += float64(caught)
			l.avoided[k][v] += avoided
		}
	}
}

// book enters one vehicle's look: what it costs, and what it would have saved
// by what came of each part opened.
//
// A part that failed would have cost C; found by the look, with the chance to
// detect it, it costs R. What the workshop found worn itself saves nothing: R
// was paid then, and would have been now. Anything else was opened in vain as
// far as the records tell, though some of it was worn, too, and was only found
// or failed later; it bears the false alarms.
func (y *Way) book(o *plan.Options, l *Look, came map[*score.Finding]Came) (caught int, avoided float64) {
	spent, saved, alarms := o.Cost(l.Hours), 0.0, 0.0
	for _, f := range l.Parts {
		n, repair := &f.Part.Inspection, f.Part.Costs.PlannedRepair
		switch came[f] {
		case Failed:
			caught++
			saved += n.Detects * (o.Failure(f.Part) - repair)
		case FoundWorn:
			y.Worn++
		default:
			y.Vain++
			alarms += n.FalseAlarm * repair
		}
	}
	y.Vehicles++
	y.Parts += len(l.Parts)
	y.Hours += l.Quarters
	y.Failed += caught
	y.Spent, y.Saved, y.Alarms = y.Spent+spent, y.Saved+saved, y.Alarms+alarms
	y.Avoided = y.Saved - y.Spent - y.Alarms
	return caught, saved - spent - alarms
}

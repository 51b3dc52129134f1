package backtest

import (
	"pitlist/score"
	"pitlist/score/plan"
)

// ByList names the list among the ways.
const ByList = "this list"

// Way is how one way of choosing fared over all the lists' days, for one part
// or for all. Money is in the job's currency.
type Way struct {
	Name     string
	Vehicles int     // opened, each list's day counted
	Parts    int     // opened
	Hours    float64 // in quarters, as the bay gives them; of one part its share, unrounded
	Failed   int     // of the parts opened: failed by the next day
	Worn     int     // of them: found worn by the workshop's own look by the next day
	Vain     int     // of them: neither
	Saved    float64 // failures turned into planned repairs: detects × (C − R) each
	Spent    float64 // on looks: hours in the bay and off the road
	Alarms   float64 // expected cost of repairs on a false alarm: false alarm × R for each part opened in vain
	Avoided  float64 // Saved − Spent − Alarms
}

// ledger keeps what each way brought, vehicle by vehicle and part by part:
// vehicles are independent of each other, lists are not.
type ledger struct {
	parts int         // of the catalogue
	ways  [][]Way     // way, column: all parts together, then each part
	rows  [][]float64 // vehicle, cell; nil: never opened by any way
}

// all is the column of all parts together; a part's own comes after it.
const all = 0

func (l *ledger) start(vehicles, parts int) {
	l.parts, l.rows = parts, make([][]float64, vehicles)
	names := []string{ByList}
	for _, r := range Rules() {
		names = append(names, string(r))
	}
	for _, n := range names {
		columns := make([]Way, 1+parts)
		for i := range columns {
			columns[i].Name = n
		}
		l.ways = append(l.ways, columns)
	}
}

// cell is the place in a vehicle's row of what a way brought: failures opened
// there, and the money after it.
func (l *ledger) cell(way, column int) int { return 2 * (way*(1+l.parts) + column) }

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
			look := &looks[i]
			l.ways[k][all].Vehicles++
			l.ways[k][all].Hours += look.Quarters
			for j, y := range book(&w.Plan, look, w.came) {
				l.enter(k, w.members[look.At], 1+w.judge.part(look.Parts[j]), &y)
			}
		}
	}
}

// enter adds what one part of a look brought to a way, in all and for the part.
func (l *ledger) enter(way, vehicle, column int, y *Way) {
	if l.rows[vehicle] == nil {
		l.rows[vehicle] = make([]float64, l.cell(len(l.ways), 0))
	}
	for _, c := range [...]int{all, column} {
		l.ways[way][c].add(y)
		at := l.cell(way, c)
		l.rows[vehicle][at] += float64(y.Failed)
		l.rows[vehicle][at+1] += y.Avoided
	}
	l.ways[way][column].Vehicles++
	l.ways[way][column].Hours += y.Hours
}

// of is what every way brought for a part, or for all.
func (l *ledger) of(column int) []Way {
	var out []Way
	for k := range l.ways {
		out = append(out, l.ways[k][column])
	}
	return out
}

// add sums up all but the vehicles and the hours: several parts share those.
func (y *Way) add(x *Way) {
	y.Parts += x.Parts
	y.Failed, y.Worn, y.Vain = y.Failed+x.Failed, y.Worn+x.Worn, y.Vain+x.Vain
	y.Saved, y.Spent, y.Alarms = y.Saved+x.Saved, y.Spent+x.Spent, y.Alarms+x.Alarms
	y.Avoided = y.Saved - y.Spent - y.Alarms
}

// book is what a look costs and would have saved, for each part opened by what
// came of it; the look's own cost is divided by the hours that each part would
// take by itself.
//
// A part that failed would have cost C; found by the look, with the chance to
// detect it, it costs R. What the workshop found worn itself saves nothing: R
// was paid then, and would have been now. Anything else was opened in vain as
// far as the records tell, though some of it was worn, too, and was only found
// or failed later; it bears the false alarms.
func book(o *plan.Options, l *Look, came map[*score.Finding]Came) []Way {
	alone := 0.0
	for _, f := range l.Parts {
		alone += f.Part.Inspection.SetUpHours + f.Part.Inspection.Hours
	}
	out := make([]Way, len(l.Parts))
	for i, f := range l.Parts {
		n, repair := &f.Part.Inspection, f.Part.Costs.PlannedRepair
		share := 1 / float64(len(l.Parts))
		if alone > 0 {
			share = (n.SetUpHours + n.Hours) / alone
		}
		y := Way{Parts: 1, Hours: share * l.Hours, Spent: share * o.Cost(l.Hours)}
		switch came[f] {
		case Failed:
			y.Failed, y.Saved = 1, n.Detects*(o.Failure(f.Part)-repair)
		case FoundWorn:
			y.Worn = 1
		default:
			y.Vain, y.Alarms = 1, n.FalseAlarm*repair
		}
		y.Avoided = y.Saved - y.Spent - y.Alarms
		out[i] = y
	}
	return out
}

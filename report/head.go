package report

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// head says in a few sentences how the run stands against the last and what
// the list holds.
func head(d *Document) []say.Text {
	if d.Week == nil {
		return holds(d)
	}
	out := []say.Text{d.Week.Text()}
	if !d.Week.Kept.Empty() {
		out = append(out, d.Week.Kept)
	}
	return append(out, holds(d)...)
}

// holds says in a few sentences what the list holds.
func holds(d *Document) []say.Text {
	t := &d.Totals
	missing := unreckoned(d)
	out := []say.Text{
		say.F("Take in %d of %s: %s in the bay, about %s among them expected to be worn.",
			d.above(), say.Count(len(d.list.Rows), "vehicle", "vehicles"), say.Hours(t.Hours), say.CountTenth(finite(t.ExpectedWorn), "part", "parts")),
		untilNext(t, d.Run.Currency),
	}
	if d.above() == 0 {
		out[0] = say.F("Take in none of %s.", say.Count(len(d.list.Rows), "vehicle", "vehicles"))
	}
	empty := len(d.list.Rows) == 0
	switch {
	case empty && missing.Empty():
		out = []say.Text{say.F("No vehicle has a part that the catalogue speaks of; see the sheet of rows to mend and the parts' ranges.")}
	case empty:
		out = []say.Text{say.F("No vehicle can be ranked.")}
	}
	if !missing.Empty() {
		out = append(out, missing)
	}
	if empty { // why may stand among what limits the run: a column that nobody understood
		out = append(out, d.Run.Warnings[:min(mostWarnings, len(d.Run.Warnings))]...)
	}
	return out
}

// mostWarnings is how many of the run's warnings the first sheet shows where
// nothing could be ranked; all stand in the guide.
const mostWarnings = 3

// untilNext says what is expected to fail until the next run. A small fleet's
// hundredths are not rounded down to nothing, which would cost nothing.
func untilNext(t *plan.Totals, currency string) say.Text {
	few := t.FailNext.Mean > 0 && t.FailNext.Mean < 0.05
	avoided := finite(t.AvoidedNext)
	var avoids say.Text
	switch {
	case t.Above == 0: // nothing is taken in, so that nothing is avoided
		return say.Sentence(expected(&t.FailNext))
	case few && t.FailNext.High == 0:
	case avoided > 0 && avoided < 0.05:
		avoids = say.F("looking now avoids fewer than %s", say.Tenth(0.1))
	default:
		avoids = say.F("looking now avoids about %s", say.Tenth(avoided))
	}
	return say.Join(" ", say.Sentence(expected(&t.FailNext), avoids), say.F("Leaving all of them unseen until then would cost %s.", money(t.WaitingAbove, currency)))
}

// expected says how many failures are expected before the next run.
func expected(n *plan.Count) say.Text {
	mean := finite(n.Mean)
	failures := say.CountTenth(mean, "failure", "failures")
	switch {
	case mean > 0 && mean < 0.05 && n.High == 0:
		return say.F("before the next run fewer than %s failures expected in all (none in more than 9 of 10 cases)", say.Tenth(0.1))
	case mean > 0 && n.High == 0: // the 90th percentile
		return say.F("before the next run %s expected in all (none in at least 9 of 10 cases)", failures)
	}
	return say.F("before the next run %s expected in all (%d to %d in 8 of 10 cases)", failures, n.Low, n.High)
}

// unreckoned says how many vehicles have a part that the catalogue speaks of
// and no reading that tells how far it has run; empty where there is none.
func unreckoned(d *Document) say.Text {
	n := 0
	for i := range d.assessments {
		for j := range d.assessments[i].Findings {
			if d.assessments[i].Findings[j].Standing == score.NoDistance {
				n++
				break
			}
		}
	}
	if n == 0 {
		return say.Text{}
	}
	if d.Viewing != nil {
		return say.F("Not judged for a part that the catalogue speaks of, since no reading tells how far it has run: %s (see the other checks).", say.Count(n, "lot", "lots"))
	}
	return say.F("Not ranked for a part that the catalogue speaks of, since no reading tells how far it has run: %s (see the other checks).", say.Count(n, "vehicle", "vehicles"))
}

// line says where the line falls and why, depot by depot.
func line(d *Document) say.Text {
	var said []say.Text
	for i := range d.Depots {
		if depot := &d.Depots[i]; depot.Limited {
			said = append(said, depotLine(depot, d.Run.Currency, len(d.Depots) == 1))
		}
	}
	if len(said) == 0 {
		return say.F("The line falls where a look no longer pays: no limit of bay-hours is given.")
	}
	return say.F("The line falls where the bay-hours end. %s.", limited(said))
}

// limited joins what is said of depots, of the first of them.
func limited(said []say.Text) say.Text {
	const most = 6 // depots in one line; the sheet of counts has them all
	if len(said) > most {
		said = append(said[:most], say.One(len(said)-most, say.F("and 1 more depot"), say.F("and %d more depots", len(said)-most)))
	}
	return say.Join("; ", said...)
}

func depotLine(p *plan.Depot, currency string, alone bool) say.Text {
	name := say.Plain(p.Name)
	switch unnamed := p.Name == "" || p.Name == "*"; {
	case unnamed && alone:
		name = say.F("The bay")
	case unnamed:
		name = say.F("Other depots")
	}
	used := say.F("%s: %s of %s used", name, say.Number(p.Used), say.Hours(p.Hours))
	if p.Used > p.Hours {
		used = say.F("%s (injury parts go in whatever the hours)", used)
	}
	var more say.Text
	if math.Round(p.MoreHour) > 0 {
		more = say.F("one more hour worth %s", money(p.MoreHour, currency))
	}
	left := say.One(p.Below, say.F("1 worth a look left below"), say.F("%d worth a look left below", p.Below))
	switch {
	case p.Below == 0:
		left = say.F("nothing that pays is left below")
	case p.NextWaiting > 0:
		dearest := money(p.NextWaiting, currency)
		left = say.One(p.Below, say.F("1 worth a look left below, the dearest to leave %s", dearest), say.F("%d worth a look left below, the dearest to leave %s", p.Below, dearest))
	}
	return say.Join(", ", used, more, left)
}

// TodayItem is something to look at today. It carries no probability.
type TodayItem struct {
	Unit, VIN, Depot string
	Lot, Lane        string // at an auction
	Vehicle          string
	OdometerKM       float64
	OdometerKnown    bool
	Look             say.Text // what to look at
	Why              say.Text
	Rank             int  // of the same vehicle's row on the list; 0: it is on none
	AtHead           bool // that row stands at the list's head, for the same reason
	More             int  // this item stands for so many more; 0: it is one itself
	of               *score.Vehicle
}

// TodayVehicles is how many vehicles are to be looked at today.
func (d *Document) TodayVehicles() int { return d.urgent }

// TodayCount is how many items stand at the head, with those that are summed up.
func (d *Document) TodayCount() int {
	n := 0
	for i := range d.Today {
		n += max(1, d.Today[i].More)
	}
	return n
}

// mostToday limits each kind of item at the head of the list; the rest is
// told in one sentence (judgement: what a planner reads before coffee).
const mostToday = 12

// today gathers what stands at the head without a probability: codes and words
// that no entry of the catalogue speaks of, parts found failed, and what heads
// the list itself, parts found worn and injury parts over a limit.
func today(d *Document) []TodayItem {
	var seen, head, checks []TodayItem
	for i := range d.list.Rows {
		item, ok := urgent(d, &d.list.Rows[i])
		switch {
		case !ok:
		case item.AtHead:
			head = append(head, item)
		default:
			seen = append(seen, item)
		}
	}
	for _, a := range d.list.Awaiting {
		if d.rows[a.Vehicle] == nil {
			seen = append(seen, awaitingItem(a))
		}
	}
	for _, a := range checkedToday(d.assessments) {
		checks = append(checks, checkItem(d, a))
	}
	d.urgent = vehiclesOf(checks, seen, head)
	out := append(cut(checks, say.F("See the sheet “%s” for them.", slip.SheetChecks.Name)), cut(seen, say.F("See the sheet “%s” for them.", slip.SheetResults.Name))...)
	return append(out, cut(head, say.F("They stand at the head of the list."))...)
}

// vehiclesOf counts the vehicles of the items: one may be told of for several reasons.
func vehiclesOf(lists ...[]TodayItem) int {
	seen := map[*score.Vehicle]bool{}
	for _, items := range lists {
		for i := range items {
			seen[items[i].of] = true
		}
	}
	return len(seen)
}

// checkedToday are the vehicles with a check for today, what was seen last first: an
// alarm of this week comes before one of last year.
func checkedToday(as []score.Assessment) []*score.Assessment {
	var out []*score.Assessment
	for i := range as {
		if latestToday(&as[i]) >= 0 {
			out = append(out, &as[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *score.Assessment) int { return cmp.Compare(latestToday(b), latestToday(a)) })
	return out
}

// latestToday is the latest day of a vehicle's checks for today; 0 where none states one, -1
// where there is none.
func latestToday(a *score.Assessment) score.Day {
	last := score.Day(-1)
	for i := range a.Checks {
		if c := &a.Checks[i]; c.Today {
			last = max(last, c.Day)
		}
	}
	return last
}

// checkItem puts a vehicle's checks for today into one item.
func checkItem(d *Document, a *score.Assessment) TodayItem {
	var look, why, do []say.Text
	for i := range a.Checks {
		if c := &a.Checks[i]; c.Today {
			look, why, do = append(look, checkLook(c)), append(why, c.Reason), append(do, c.Check)
		}
	}
	item := todayItem(d, a)
	item.Look, item.Why = say.And(distinct(look)...), say.Sentence(distinct(append(why, do...))...)
	return item
}

// cut keeps the first items and says how many more there are.
func cut(items []TodayItem, where say.Text) []TodayItem {
	if len(items) <= mostToday {
		return items
	}
	more := len(items) - mostToday
	return append(items[:mostToday:mostToday], TodayItem{AtHead: items[0].AtHead, More: more, Look: say.F("and more"), Why: say.F("%s of this kind. %s", say.Count(more, "more vehicle", "more vehicles"), where)})
}

// urgent tells whether a row of the list is also to be told at the head.
func urgent(d *Document, row *plan.Row) (TodayItem, bool) {
	item := todayItem(d, row.Assessment)
	var why, look []say.Text
	note := func(f *score.Finding, reason say.Text) {
		look = append(look, say.Plain(f.Part.Name))
		if canInjure(f) { // common practice, no source
			reason = say.F("%s. Not to be used until released", reason)
		}
		why = append(why, reason)
	}
	for _, f := range row.Awaiting {
		note(f, foundSo(f))
	}
	for i := range row.Parts {
		f := row.Parts[i].Finding
		switch {
		case f == nil:
		case f.Standing == score.WornFound:
			note(f, foundSo(f))
		case row.Group == plan.Injury && (f.NoticeWorn || f.NoticeFail):
			look = append(look, say.Plain(f.Part.Name))
			why = append(why, say.F("its failure can injure, and its risk is over the limit of the catalogue"))
			if signs := byStrength(ofThisPart(f.Facts), +1); len(signs) > 0 {
				why = append(why, sayFact(signs[0], f.Part))
			}
		}
	}
	item.Look, item.Why = say.And(look...), say.Sentence(why...)
	item.AtHead = row.Group == plan.FoundWorn || row.Group == plan.Injury
	return item, len(why) > 0
}

func awaitingItem(a *score.Assessment) TodayItem {
	var item TodayItem
	fill(&item, a)
	var look, why []say.Text
	injury := false
	for i := range a.Findings {
		if f := &a.Findings[i]; f.Standing == score.AwaitingRepair {
			look = append(look, say.Plain(f.Part.Name))
			why = append(why, foundSo(f))
			injury = injury || canInjure(f)
		}
	}
	item.Look, item.Why = say.And(look...), say.Sentence(why...)
	if injury {
		item.Why = say.Join(" ", item.Why, say.F("Not to be used until released."))
	}
	return item
}

func todayItem(d *Document, a *score.Assessment) TodayItem {
	var item TodayItem
	fill(&item, a)
	if row := d.rows[a.Vehicle]; row != nil {
		item.Rank = row.Rank
	}
	return item
}

func fill(item *TodayItem, a *score.Assessment) {
	v := a.Vehicle
	item.of = v
	item.Unit, item.VIN, item.Depot = v.Unit, vinOf(v), v.Depot
	item.Lot, item.Lane = v.Desk().Lot, v.Desk().Lane
	item.Vehicle = vehicleName(v.Make, v.Model, yearOf(v))
	item.OdometerKM, item.OdometerKnown = a.Odometer.KM, a.Odometer.Known
}

// checkLook names what a check asks for in few words.
func checkLook(c *score.OtherCheck) say.Text {
	switch {
	case c.Part != nil:
		return say.Plain(c.Part.Name)
	case c.Code.Valid():
		return say.F("Code %s", c.Code.String())
	}
	return say.F("What was noted")
}

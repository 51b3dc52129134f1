package report

import (
	"fmt"
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
)

// head says in a few sentences how the run stands against the last and what
// the list holds.
func head(d *Document) []string {
	if d.Week == nil {
		return holds(d)
	}
	out := []string{d.Week.Text()}
	if d.Week.Kept != "" {
		out = append(out, d.Week.Kept)
	}
	return append(out, holds(d)...)
}

// holds says in a few sentences what the list holds.
func holds(d *Document) []string {
	t := &d.Totals
	above := d.above()
	missing := unreckoned(d)
	if len(d.list.Rows) == 0 {
		if missing != "" {
			return []string{"No vehicle can be ranked.", missing}
		}
		return []string{"No vehicle has a part that the catalogue speaks of; see the sheet of rows to mend and the parts' ranges."}
	}
	first := fmt.Sprintf("Take in %d of %s: %s in the bay, about %s among them expected to be worn.",
		above, counted(len(d.list.Rows), "vehicle"), hours(t.Hours), counted2(t.ExpectedWorn, "part"))
	second := fmt.Sprintf("Before the next run %s expected in all (%d to %d in 8 of 10 cases); looking now avoids about %s. Leaving all of them unseen until then would cost %s.",
		counted2(t.FailNext.Mean, "failure"), t.FailNext.Low, t.FailNext.High, trimmed1(t.AvoidedNext), Money(t.WaitingAbove, d.Run.Currency))
	if missing != "" {
		return []string{first, second, missing}
	}
	return []string{first, second}
}

// unreckoned says how many vehicles have a part that the catalogue speaks of
// and no reading that tells how far it has run; "" where there is none.
func unreckoned(d *Document) string {
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
		return ""
	}
	return fmt.Sprintf("Not ranked for a part that the catalogue speaks of, since no reading tells how far it has run: %s (see the other checks).", counted(n, "vehicle"))
}

// counted2 writes an expected number: "9.2 parts", "1 part".
func counted2(x float64, one string) string {
	s := trimmed1(x)
	if s == "1" {
		return "1 " + one
	}
	return s + " " + one + "s"
}

// trimmed1 writes a number with one decimal where it is below 100.
func trimmed1(x float64) string {
	x = finite(x)
	if x >= 100 {
		return grouped(x)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0")
}

// line says where the line falls and why, depot by depot.
func line(d *Document) string {
	limited := false
	var said []string
	for i := range d.Depots {
		depot := &d.Depots[i]
		if !depot.Limited {
			continue
		}
		limited = true
		said = append(said, depotLine(depot, d.Run.Currency))
	}
	if !limited {
		return "The line falls where a look no longer pays: no limit of bay-hours is given."
	}
	const most = 6 // depots in one line; the sheet of counts has them all
	if len(said) > most {
		said = append(said[:most], fmt.Sprintf("and %d more depots", len(said)-most))
	}
	return "The line falls where the bay-hours end. " + strings.Join(said, "; ") + "."
}

func depotLine(p *plan.Depot, currency string) string {
	name := p.Name
	if name == "" || name == "*" {
		name = "other depots"
	}
	s := fmt.Sprintf("%s: %s of %s used", name, trimmed(p.Used), hours(p.Hours))
	if p.Used > p.Hours {
		s += " (injury parts go in whatever the hours)"
	}
	if math.Round(p.MoreHour) > 0 {
		s += ", one more hour worth " + Money(p.MoreHour, currency)
	}
	switch {
	case p.Below == 0:
		return s + ", nothing that pays is left below"
	case p.NextWaiting > 0:
		return s + ", " + fmt.Sprintf("%d worth a look left below, the dearest to leave %s", p.Below, Money(p.NextWaiting, currency))
	}
	return s + fmt.Sprintf(", %d worth a look left below", p.Below)
}

// TodayItem is something to look at today. It carries no probability.
type TodayItem struct {
	Unit, VIN, Depot string
	Vehicle          string
	OdometerKM       float64
	OdometerKnown    bool
	Look             string // what to look at
	Why              string
	Rank             int // of the same vehicle's row on the list; 0: it is on none
}

// mostToday limits each kind of item at the head of the list; the rest is
// told in one sentence (judgement: what a planner reads before coffee).
const mostToday = 12

// notReleased is the rule for a part whose failure can injure and that was
// found worn or failed (common practice, no source).
const notReleased = "Not to be used until released"

// today gathers what stands at the head without a probability: parts found
// failed or worn that can injure, injury parts over a limit, and codes and
// words that no entry of the catalogue speaks of.
func today(d *Document) []TodayItem {
	var seen, checks []TodayItem
	for i := range d.list.Rows {
		row := &d.list.Rows[i]
		if item, ok := urgent(d, row); ok {
			seen = append(seen, item)
		}
	}
	for _, a := range d.list.Awaiting {
		if d.rows[a.Vehicle] == nil {
			seen = append(seen, awaitingItem(a))
		}
	}
	for i := range d.assessments {
		a := &d.assessments[i]
		for j := range a.Checks {
			if c := &a.Checks[j]; c.Today {
				item := todayItem(d, a)
				item.Look, item.Why = checkLook(c), sentence(nonEmpty(c.Reason.String(), c.Check.String()))
				checks = append(checks, item)
			}
		}
	}
	return append(cut(checks, "See the sheet “Other checks” for them."), cut(seen, "They stand at the head of the list.")...)
}

// cut keeps the first items and says how many more there are.
func cut(items []TodayItem, where string) []TodayItem {
	if len(items) <= mostToday {
		return items
	}
	more := len(items) - mostToday
	return append(items[:mostToday:mostToday], TodayItem{Look: "and more", Why: counted(more, "more vehicle") + " of this kind. " + where})
}

// urgent tells whether a row of the list is also to be told at the head.
func urgent(d *Document, row *plan.Row) (TodayItem, bool) {
	item := todayItem(d, row.Assessment)
	var why, look []string
	note := func(f *score.Finding, reason string) {
		look = append(look, f.Part.Name)
		if canInjure(f) {
			reason += ". " + notReleased
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
			look = append(look, f.Part.Name)
			why = append(why, "its failure can injure, and its risk is over the limit of the catalogue")
			if signs := byStrength(ofThisPart(f.Facts), +1); len(signs) > 0 {
				why = append(why, sayFact(signs[0], f.Part))
			}
		}
	}
	item.Look, item.Why = joined(look), sentence(why)
	return item, len(why) > 0
}

func awaitingItem(a *score.Assessment) TodayItem {
	var item TodayItem
	fill(&item, a)
	var look, why []string
	injury := false
	for i := range a.Findings {
		if f := &a.Findings[i]; f.Standing == score.AwaitingRepair {
			look = append(look, f.Part.Name)
			why = append(why, foundSo(f))
			injury = injury || canInjure(f)
		}
	}
	item.Look, item.Why = joined(look), sentence(why)
	if injury {
		item.Why += " " + notReleased + "."
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
	item.Unit, item.VIN, item.Depot = v.Unit, vinOf(v), v.Depot
	item.Vehicle = vehicleName(v.Make, v.Model, yearOf(v))
	item.OdometerKM, item.OdometerKnown = a.Odometer.KM, a.Odometer.Known
}

// checkLook names what a check asks for in few words.
func checkLook(c *score.OtherCheck) string {
	switch {
	case c.Part != nil:
		return c.Part.Name
	case c.Code.Valid():
		return "Code " + c.Code.String()
	}
	return "What was noted"
}

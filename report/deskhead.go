package report

import (
	"cmp"
	"math"
	"strings"

	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// offerHead says in a few sentences what a buying desk's list holds.
func offerHead(d *Document) []say.Text {
	if len(d.list.Offers) == 0 {
		return []say.Text{say.F("No vehicle could be judged; see the sheet of rows to mend.")}
	}
	count := map[plan.Verdict]int{}
	for i := range d.list.Offers {
		count[d.list.Offers[i].Verdict]++
	}
	all := say.Count(len(d.list.Offers), "vehicle", "vehicles")
	if d.Viewing != nil {
		all = say.Count(len(d.list.Offers), "lot", "lots")
	}
	out := []say.Text{say.F("Of %s: leave %d, look first at %d, take %d for less, take %d.", all,
		count[plan.Leave], count[plan.LookFirst], count[plan.TakeLess], count[plan.Take])}
	if d.Viewing != nil {
		out = append(out, viewingWords(d.Viewing, d.Run.Currency))
	}
	if d.Stock != nil {
		out = append(out, d.Stock.Words...)
	}
	if odds := saleOdds(d); odds != 0 {
		out = append(out, say.F("In every figure the odds that a part is worn are taken %s times as high as its curve says, since the vehicle is for sale: the job's own judgement.", say.Number(odds)))
	}
	if missing := unreckoned(d); !missing.Empty() {
		out = append(out, missing)
	}
	return out
}

// saleOdds is what the job multiplies the odds by; 0: nothing.
func saleOdds(d *Document) float64 {
	for i := range d.assessments {
		for j := range d.assessments[i].Findings {
			if odds := d.assessments[i].Findings[j].SaleOdds; odds != 0 {
				return odds
			}
		}
	}
	return 0
}

func viewingWords(v *plan.Viewing, currency string) say.Text {
	given := say.Number(v.Given)
	nothing, passed := say.Count(v.Nothing, "lot", "lots"), say.Count(v.Passed, "lot", "lots")
	walked := say.F("Walk to %s in %s of %s minutes of looking, the way between them not counted; what is seen there is expected to move %s.",
		say.Count(v.Lots, "lot", "lots"), say.Number(v.Used), given, money(v.Swing, currency))
	switch {
	case v.Lots > 0:
	case v.Passed > 0:
		walked = say.F("Walk to no lot: no look fits the %s minutes.", given)
	default:
		walked = say.F("Walk to no lot: no look would move what comes off.")
	}
	out := []say.Text{walked}
	switch {
	case v.Nothing > 0 && v.Passed > 0:
		out = append(out, say.F("No look can move %s; for %s there are no minutes left.", nothing, passed))
	case v.Nothing > 0 && v.Lots > 0:
		out = append(out, say.F("No look can move %s.", nothing))
	case v.Passed > 0 && v.Lots > 0:
		out = append(out, say.F("For %s there are no minutes left.", passed))
	}
	if v.LooksLeft > 0 {
		out = append(out, say.One(v.LooksLeft, say.F("Of lots with very many checks the least telling one was not weighed."),
			say.F("Of lots with very many checks the %d least telling were not weighed.", v.LooksLeft)))
	}
	return say.Join(" ", out...)
}

// offerLine says what the line means on a buying desk.
func offerLine(d *Document) say.Text {
	if d.Viewing != nil {
		return say.Join(" ", say.F("Lots stand in the order of the yard; those marked are walked to."), walk(d))
	}
	first := say.F("Marked under “%s”: what pays to open before it is sold on, the greatest worth for an hour first.", say.F("Before sale to the workshop"))
	var used []say.Text
	for i := range d.Depots {
		if depot := &d.Depots[i]; depot.Limited {
			used = append(used, depotLine(depot, d.Run.Currency, len(d.Depots) == 1))
		}
	}
	if len(used) == 0 {
		return say.Join(" ", first, say.F("All that pays is marked: no limit of bay-hours is given."))
	}
	return say.Join(" ", first, say.F("The marks end where the bay-hours end. %s.", limited(used)))
}

// mostWalked is how many lots the first page names in one sentence (judgement).
const mostWalked = 60

// walk names the lots to walk to, lane by lane in the order of the yard, so
// that the first page alone tells the way; empty where there are none.
func walk(d *Document) say.Text {
	var names, lanes []string
	for i := range d.list.Offers {
		if o := &d.list.Offers[i]; len(o.Chosen.Looks) > 0 {
			v := o.Assessment.Vehicle
			names, lanes = append(names, cmp.Or(v.Desk().Lot, v.Unit, vinOf(v))), append(lanes, v.Desk().Lane)
		}
	}
	shown := min(len(names), mostWalked)
	var said []say.Text
	for from, to := 0, 0; from < shown; from = to {
		for to = from + 1; to < shown && lanes[to] == lanes[from]; to++ {
		}
		here := say.Plain(strings.Join(names[from:to], ", "))
		switch {
		case lanes[from] != "":
			here = say.F("lane %s: %s", lanes[from], here)
		case from > 0:
			here = say.F("without a lane: %s", here)
		}
		said = append(said, here)
	}
	switch {
	case shown == 0:
		return say.Text{}
	case shown < len(names):
		return say.F("Walk to %s; and %d more, on the sheet “%s”.", say.Join("; ", said...), len(names)-shown, slip.SheetViewing.Name)
	}
	return say.F("Walk to %s.", say.Join("; ", said...))
}

// StockRow speaks of all vehicles of a trade-in list together.
type StockRow struct {
	plan.Stock
	Workshop int     // vehicles to put through the workshop before they are sold on
	Hours    float64 // bay-hours that this takes
	Worth    float64 // what it is worth
	Words    []say.Text
}

func stockRow(l *plan.List, currency string) *StockRow {
	s := &StockRow{Stock: l.Stock}
	for i := range l.Rows {
		if r := &l.Rows[i]; r.Above && r.Hours > 0 {
			s.Workshop, s.Hours, s.Worth = s.Workshop+1, s.Hours+r.Hours, s.Worth+r.Worth
		}
	}
	all, low, high := money(s.Expected, currency), money(s.P10, currency), money(s.P90, currency)
	bills := say.F("The bills of all are expected to come to %s: %s to %s in 8 of 10 cases.", all, low, high)
	if math.Round(s.Within) >= 1 {
		bills = say.F("The bills of all are expected to come to %s: %s to %s in 8 of 10 cases (these two within %s of the exact ones).", all, low, high, money(s.Within, currency))
	}
	put := say.Count(s.Workshop, "vehicle", "vehicles")
	through := say.F("Put %s through the workshop before sale: %s, worth %s.", put, say.Hours(s.Hours), money(s.Worth, currency))
	if n := leftAbove(l); n > 0 {
		through = say.Join(" ", through, say.One(n, say.F("1 of them is to be left at its price, and goes there only if it is taken all the same."),
			say.F("%d of them are to be left at their price, and go there only if they are taken all the same.", n)))
	}
	s.Words = []say.Text{bills, through}
	return s
}

// leftAbove counts the vehicles for the workshop that are not worth having at their price.
func leftAbove(l *plan.List) (n int) {
	for i := range l.Offers {
		if o := &l.Offers[i]; o.Above && o.Verdict == plan.Leave {
			n++
		}
	}
	return n
}

// KitRow is how many kits of one part to hold until the next delivery.
type KitRow struct {
	Part, Name, PartNo string
	Places             int     // vehicle-parts that may need one
	Expected           float64 // kits
	Hold               int     // kits
	Pieces             int     // of PartNo: Hold times what a kit holds
}

func kitRows(kits []plan.KitNeed) []KitRow {
	out := make([]KitRow, 0, len(kits))
	for _, k := range kits {
		out = append(out, KitRow{k.Part.ID, k.Part.Name, k.Part.Kit.PartNo, k.Places, finite(k.Expected), k.Hold, k.Pieces})
	}
	return out
}

// CheckFirstRow is a cheap check that pays before the bay.
type CheckFirstRow struct {
	LookRow
	Worth, Gain float64 // of checking first; over the better of opening at once and leaving it
	Opened      float64 // chance that it is then opened
	HoursSaved  float64 // bay-hours that it is expected to save; below 0: it opens what would be left
	Words       say.Text
}

func checkFirstRow(row *plan.Row, currency string) *CheckFirstRow {
	c := row.Check
	if c == nil {
		return nil
	}
	r := &CheckFirstRow{LookRow: lookRow(&c.Look), Worth: finite(c.Worth), Gain: finite(c.Gain), Opened: finite(c.Opened), HoursSaved: finite(c.HoursNow - c.Hours)}
	look, opened, gain := lookWords(&c.Look), say.Percent(c.Opened), money(c.Gain, currency)
	r.Words = say.F("Check first: %s; open it only if that speaks for it (chance %s). Worth %s more than opening it at once.", look, opened, gain)
	if c.AtOnce == 0 {
		r.Words = say.F("Check first: %s; open it only if that speaks for it (chance %s). Worth %s more than leaving it.", look, opened, gain)
	}
	return r
}

// ServiceRow is a service that is due within the weeks ahead.
type ServiceRow struct {
	plan.Service
	Words say.Text
}

func serviceRow(row *plan.Row, currency string) *ServiceRow {
	s := row.Service
	if s == nil {
		return nil
	}
	r := &ServiceRow{Service: *s}
	switch {
	case s.Now:
		r.Words = say.F("In for service on %s, before the next run: opened then, the set-up costs nothing (%s saved).", say.Day(s.Day), money(s.Saves, currency))
	case s.Better:
		r.Words = say.F("Have it opened at the service on %s: %s of set-up saved, and waiting until then costs %s.", say.Day(s.Day), money(s.Saves, currency), money(s.Waiting, currency))
	default:
		r.Words = say.F("Do not wait for the service on %s: waiting costs %s, the set-up saved would be %s.", say.Day(s.Day), money(s.Waiting, currency), money(s.Saves, currency))
	}
	return r
}

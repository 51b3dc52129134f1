package workbook

import (
	"fmt"
	"strings"

	"pitlist/report"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// The columns of the list; those past listPrinted are for the screen.
const (
	colWhy      = 9
	listPrinted = 13
)

func listColumns() []column {
	cols := []column{
		{head: say.F("No."), shape: ordinal, least: 6, most: 8},
		{head: say.F("Take in?"), shape: centred, least: 9, most: 9},
		{head: say.F("Unit"), shape: text, least: 9, most: 18},
		{head: say.F("Depot"), shape: text, least: 8, most: 16},
		{head: say.F("Vehicle"), shape: wrapped, least: 12, most: 24},
		{head: say.F("km"), shape: whole, least: 9, most: 12},
		{head: say.F("Look at"), shape: wrapped, least: 14, most: 24},
		{head: say.F("Chance worn"), shape: percent, least: 8, most: 8},
		{head: say.F("In words"), shape: wrapped, least: 12, most: 14},
		{head: say.F("Why"), shape: wrapped, least: 60, most: 60},
		{head: say.F("Waiting costs"), shape: money, least: 9, most: 12},
		{head: say.F("Hours"), shape: hour, least: 8, most: 8},
		{head: say.F("Hours so far"), shape: hour, least: 8, most: 9},

		{head: say.F("In the same visit"), shape: wrapped, least: 14, most: 30},
		{head: say.F("Chance, low"), shape: percent, least: 8, most: 8},
		{head: say.F("Chance, high"), shape: percent, least: 8, most: 8},
		{head: say.F("Fails before next run"), shape: percent, least: 9, most: 9},
		{head: say.F("Fails while held"), shape: percent, least: 9, most: 9},
		{head: say.F("Worth of a look"), shape: money, least: 9, most: 12},
		{head: say.F("Stays above the line"), shape: percent, least: 9, most: 9},
		{head: say.F("Look before, km"), shape: whole, least: 10, most: 12},
		{head: say.F("Look before, day"), shape: text, least: 11, most: 11},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("VIN"), shape: text, least: 20, most: 22},
		{head: say.F("Plate"), shape: text, least: 9, most: 14},
		{head: say.F("km rests on"), shape: wrapped, least: 20, most: 40},
		{head: say.F("Since the last run"), shape: wrapped, least: 12, most: 30},
	}
	for i := listPrinted; i < len(cols); i++ {
		cols[i].off = true
	}
	return cols
}

// list makes the first sheet: what to take in, in which order, and why.
func (b *book) list() error {
	rows, left := b.listed()
	cols := listColumns()
	if b.doc.Run.Currency != "" {
		cols[10].head = say.F("Waiting costs, %s", b.doc.Run.Currency)
		cols[18].head = say.F("Worth of a look, %s", b.doc.Run.Currency)
	}
	for i := range rows {
		for j, v := range listCells(&rows[i]) {
			b.fit(&cols[j], v)
		}
	}
	for i := range b.doc.Today {
		for j, v := range todayCells(&b.doc.Today[i]) {
			b.fit(&cols[j], v)
		}
	}
	plan := listPlan(b.doc, rows, left)
	headRow := 2 + len(b.doc.Head) + 1 // title, sentences, the line's sentence
	g, err := b.grid(sheetList, cols, page{headRow: headRow, frozen: 3, lastRow: headRow + len(plan), filter: true})
	if err != nil {
		return err
	}
	if err := b.listHead(g); err != nil {
		return err
	}
	for _, item := range plan {
		if err := item(g); err != nil {
			return err
		}
	}
	return g.end()
}

// listed collects the rows for people: all above the line and the next ones.
func (b *book) listed() (rows []report.WorkRow, left int) {
	below := 0
	for r := range b.doc.Worklist() {
		if !r.Above {
			if below == b.opts.below() {
				return rows, b.doc.Length() - len(rows)
			}
			below++
		}
		rows = append(rows, r)
	}
	return rows, 0
}

func (b *book) listHead(g *grid) error {
	if err := g.across(title, slip.SheetList.Head(say.Plain(b.doc.Title))); err != nil {
		return err
	}
	for _, s := range append(append([]string{}, b.doc.Head...), b.doc.Line) {
		if err := g.across(lead, s); err != nil {
			return err
		}
	}
	return g.headings()
}

// groupTitles names the groups of the list.
var groupTitles = map[plan.Group]string{
	plan.FoundWorn: "FOUND WORN ALREADY: a repair, not a look",
	plan.Injury:    "CAN INJURE: taken in whatever the hours",
	plan.Chosen:    "WHERE WAITING COSTS MOST FOR AN HOUR IN THE BAY",
	plan.Rest:      "BELOW THE LINE: wait",
}

// listPlan lays out what stands under the headings, one item a row.
func listPlan(d *report.Document, rows []report.WorkRow, left int) []func(*grid) error {
	var out []func(*grid) error
	add := func(t tone, cells ...any) {
		out = append(out, func(g *grid) error { return g.put(t, cells...) })
	}
	if len(d.Today) > 0 {
		add(section, sectionCells("LOOK TODAY: not weighed against the rest, so without a probability")...)
	}
	for i := range d.Today {
		add(urgent, todayCells(&d.Today[i])...)
	}
	group, lined := plan.Group(""), false
	for i := range rows {
		r := &rows[i]
		if !r.Above && !lined {
			add(theLine, lineCells(d.Line)...)
			lined = true
		}
		if r.Group != group {
			group = r.Group
			add(section, sectionCells(groupTitles[group])...)
		}
		t := plain
		if !r.Above {
			t = waiting
		}
		add(t, listCells(r)...)
	}
	if !lined && len(rows) > 0 {
		add(theLine, lineCells(d.Line)...)
	}
	if left > 0 {
		add(section, sectionCells(fmt.Sprintf("and %d more below, in worklist.csv", left))...)
	}
	return out
}

// sectionCells is a row of one text, which runs over the cells after it.
func sectionCells(s string) []any {
	cells := make([]any, listPrinted)
	for i := range cells {
		cells[i] = blank{}
	}
	cells[0] = s
	return cells
}

func lineCells(s string) []any {
	cells := sectionCells("THE LINE")
	cells[colWhy] = s
	return cells
}

func todayCells(t *report.TodayItem) []any {
	// Its number is of the list further down, and would mislead here.
	cells := []any{blank{}, "today", name(t.Unit, t.VIN), t.Depot, t.Vehicle, blank{}, t.Look, blank{}, blank{}, t.Why, blank{}, blank{}, blank{}}
	if t.Rank > 0 {
		cells[9] = fmt.Sprintf("%s (No. %d on the list.)", t.Why, t.Rank)
	}
	if t.OdometerKnown {
		cells[5] = t.OdometerKM
	}
	if t.Unit == "" && t.VIN == "" {
		cells[2] = blank{}
	}
	return cells
}

func listCells(r *report.WorkRow) []any {
	take := "wait"
	if r.Above {
		take = "yes"
	}
	cells := []any{r.Rank, take, name(r.Unit, r.VIN), r.Depot, r.Vehicle(), when(r.OdometerKnown, r.OdometerKM), r.LeadName,
		chance(r.PWorn), report.Odds(r.PWorn), whyCell(r), r.Waiting, r.Hours, r.Cumulative}
	if r.FoundWorn() {
		cells[7], cells[8] = blank{}, "found worn"
	}
	return append(cells, farCells(r)...)
}

// whyCell is the reason, after what is to be checked before the bay.
func whyCell(r *report.WorkRow) string {
	if r.Check == nil {
		return r.Why
	}
	return r.Check.Words + " " + r.Why
}

// farCells are the further numbers, right of the printed page.
func farCells(r *report.WorkRow) []any {
	visit := ""
	if len(r.Parts) > 1 {
		visit = strings.Join(r.Parts, ", ")
	}
	injure := "no"
	if r.Injury {
		injure = "yes"
	}
	before := ""
	if r.BeforeDate != 0 {
		before = r.BeforeDate.String()
	}
	return []any{visit, when(r.HasInterval, chance(r.PLow)), when(r.HasInterval, chance(r.PHigh)),
		chance(r.FailNext), chance(r.FailHold), r.Worth, when(r.Stays >= 0, chance(r.Stays)),
		when(r.BeforeKM > 0, r.BeforeKM), before, injure, r.VIN, r.Registration, r.OdometerBasis, r.Change}
}

// when is the value where it is known, else an empty cell.
func when(known bool, v any) any {
	if !known {
		return blank{}
	}
	return v
}

// name is the shortest sure way to speak of a vehicle.
func name(unit, vin string) string {
	if unit != "" {
		return unit
	}
	return vin
}

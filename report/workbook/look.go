package workbook

import (
	"strings"

	"pitlist/report"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// nearColumns are what stands before the first scroll and on the printed page:
// more are not read as one row (judgement). The rest is right of them, for the
// screen.
const nearColumns = 9

// The columns of the list that others fill or run over to.
const (
	colChance = 5
	colWhy    = 6
)

func (b *book) listColumns() []column {
	in := money1(b.doc.Run.Currency)
	return far([]column{
		{head: say.F("No."), shape: ordinal, least: 6, most: 8},
		{head: say.F("Take in?"), shape: centred, least: 8, most: 9},
		{head: say.F("Unit"), shape: wrapped, least: 9, most: 14},
		{head: say.F("Vehicle, km, depot"), shape: wrapped, least: 18, most: 18},
		{head: say.F("Look at"), shape: wrapped, least: 16, most: 18},
		{head: say.F("How likely worn"), shape: wrapped, least: 13, most: 13},
		{head: say.F("Why"), shape: wrapped, least: 44, most: 80},
		{head: say.F("Waiting costs, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Hours in the bay"), shape: hour, least: 8, most: 8},

		{head: say.F("Hours so far"), shape: hour, least: 8, most: 9},
		{head: say.F("Depot"), shape: text, least: 8, most: 16},
		{head: say.F("km"), shape: whole, least: 9, most: 12},
		{head: say.F("Chance worn"), shape: percent, least: 8, most: 8},
		{head: say.F("Chance, low"), shape: percent, least: 8, most: 8},
		{head: say.F("Chance, high"), shape: percent, least: 8, most: 8},
		{head: say.F("In the same visit"), shape: wrapped, least: 14, most: 30},
		{head: say.F("Fails before next run"), shape: percent, least: 9, most: 9},
		{head: say.F("Fails while held"), shape: percent, least: 9, most: 9},
		{head: say.F("Worth of a look, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Stays above the line"), shape: percent, least: 9, most: 9},
		{head: say.F("Look before, km"), shape: whole, least: 10, most: 12},
		{head: say.F("Look before, day"), shape: dayShape, least: 11, most: 12},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("VIN"), shape: text, least: 20, most: 22},
		{head: say.F("Plate"), shape: text, least: 9, most: 14},
		{head: say.F("km rests on"), shape: wrapped, least: 20, most: 40},
		{head: say.F("Since the last run"), shape: wrapped, least: 12, most: 30},
	})
}

// far puts the columns after the near ones off the printed page.
func far(cols []column) []column {
	for i := nearColumns; i < len(cols); i++ {
		cols[i].off = true
	}
	return cols
}

// screenful is the width that a screen of 1280 pixels shows at 100 %: 8 pixels
// a unit of width, less 50 for the row numbers and the bar (common practice, no
// source).
const screenful = 153

// fillScreen gives one column what the other near ones leave of a screen, so
// that the next column stands past its edge.
func (b *book) fillScreen(cols []column, at int) {
	settleWidths(cols, b.speaks)
	left := float64(screenful)
	for i := range nearColumns {
		if i != at {
			left -= cols[i].width
		}
	}
	least, most := cols[at].bounds()
	cols[at].width = min(max(left, least), most)
}

// list makes the first sheet: what to take in, in which order, and why.
func (b *book) list() error {
	rows, left := b.listed()
	cols := b.listColumns()
	for i := range rows {
		for j, v := range listCells(&rows[i]) {
			b.fit(&cols[j], v)
			if said, ok := v.(say.Text); ok && j == colChance {
				cols[j].wordsFit(b.speaks.Say(said))
			}
		}
	}
	for i := range b.doc.Today {
		for j, v := range todayCells(&b.doc.Today[i]) {
			b.fit(&cols[j], v)
		}
	}
	b.fillScreen(cols, colWhy)
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
	if err := g.across(title, slip.SheetList.Head(b.doc.Title)); err != nil {
		return err
	}
	for _, s := range b.says() {
		if err := g.across(lead, s); err != nil {
			return err
		}
	}
	return g.headings()
}

// groupTitle names a group of the list.
func groupTitle(g plan.Group) say.Text {
	switch g {
	case plan.FoundWorn:
		return say.F("FOUND WORN ALREADY: a repair, not a look")
	case plan.Injury:
		return say.F("CAN INJURE: taken in whatever the hours")
	case plan.Chosen:
		return say.F("WHERE WAITING COSTS MOST FOR AN HOUR IN THE BAY")
	}
	return say.F("BELOW THE LINE: wait")
}

// listPlan lays out what stands under the headings, one item a row.
func listPlan(d *report.Document, rows []report.WorkRow, left int) []func(*grid) error {
	var out []func(*grid) error
	add := func(t tone, cells ...any) {
		out = append(out, func(g *grid) error { return g.put(t, cells...) })
	}
	for i := range d.Today {
		if d.Today[i].AtHead {
			break // they come last, and their rows follow with more
		}
		if i == 0 {
			add(section, sectionCells(say.F("LOOK TODAY: not weighed against the rest, so without a probability"))...)
		}
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
			add(section, sectionCells(groupTitle(group))...)
		}
		t := plain
		switch {
		case !r.Above:
			t = waiting
		case atHead(r):
			t = pressing
		}
		add(t, listCells(r)...)
	}
	if !lined && len(rows) > 0 {
		add(theLine, lineCells(d.Line)...)
	}
	if left > 0 {
		add(section, sectionCells(say.F("and %d more below, in worklist.csv", left))...)
	}
	return out
}

// sectionCells is a row of one text, which runs over the cells after it.
func sectionCells(words say.Text) []any {
	cells := make([]any, nearColumns)
	for i := range cells {
		cells[i] = blank{}
	}
	cells[0] = words
	return cells
}

func lineCells(words say.Text) []any {
	cells := sectionCells(say.F("THE LINE"))
	cells[colWhy] = words
	return cells
}

func todayCells(t *report.TodayItem) []any {
	why := t.Why
	if t.Rank > 0 { // its number is of the list further down, and would mislead in its column
		why = say.F("%s (No. %d on the list.)", why, t.Rank)
	}
	return []any{blank{}, say.F("today"), name(t.Unit, t.VIN), say.Join(", ", say.Plain(t.Vehicle), say.Plain(t.Depot)), t.Look, blank{}, why, blank{}, blank{}}
}

func listCells(r *report.WorkRow) []any {
	take := say.F("wait")
	switch {
	case atHead(r):
		take = say.F("today")
	case r.Above:
		take = say.F("yes")
	}
	likely, worn := say.Join(", ", say.Of(say.Percent(r.PWorn)), report.Odds(r.PWorn)), any(chance(r.PWorn))
	if r.FoundWorn() {
		likely, worn = say.F("found worn"), blank{}
	}
	return append([]any{r.Rank, take, name(r.Unit, r.VIN), say.Join(", ", withDistance(r), say.Plain(r.Depot)), r.LeadName, likely, whyCell(r), r.Waiting, r.Hours,
		r.Cumulative, r.Depot, when(r.OdometerKnown, r.OdometerKM), worn}, farCells(r)...)
}

// atHead tells that a row is to be looked at today whatever the rest: its part
// was found worn, or can injure and is over its limit.
func atHead(r *report.WorkRow) bool {
	return r.Group == plan.FoundWorn || r.Group == plan.Injury
}

// whyCell is what is to be done beside opening it, the reason, and what moved
// the row.
func whyCell(r *report.WorkRow) say.Text {
	var held, moved say.Text
	if r.Hold {
		held = say.F("Not to be used until released.")
	}
	if r.Moved {
		moved = say.F("Since the last run: %s.", r.Change)
	}
	return say.Join(" ", held, r.Say(), moved)
}

// farCells are the further numbers, right of the printed page.
func farCells(r *report.WorkRow) []any {
	visit := ""
	if len(r.Parts) > 1 {
		visit = strings.Join(r.Parts, ", ")
	}
	return []any{when(r.HasInterval, chance(r.PLow)), when(r.HasInterval, chance(r.PHigh)), visit,
		chance(r.FailNext), chance(r.FailHold), r.Worth, when(r.Stays >= 0, chance(r.Stays)),
		when(r.BeforeKM > 0, r.BeforeKM), dated(r.BeforeDate), yesNo(r.Injury), r.VIN, r.Registration, r.OdometerBasis, r.Change}
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

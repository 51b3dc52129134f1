package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// The chart of the load stands on rows of its own under the title.
const (
	loadChartRows = 22
	mostStacked   = 4  // depots told apart in one chart by how dark they are; more are drawn as one
	unsetWidth    = 64 // pixels of a column of a new sheet
	unsetHeight   = 20 // pixels of a row of a new sheet
	leastWeekCols = 6  // the tables beneath have as many columns
	uprightCols   = 8  // so many stay readable across an upright page
)

// stacks are the fills from the ground up: dark, light and between, with a
// frame each, so that neighbours differ on black-and-white paper too.
var stacks = [...]string{"1F3A4D", "C9D6DF", "5B87A6", "FFE9B8"}

// weeks makes the sheet of what is to come: the load of bay-hours by week,
// what one more hour would be worth, and the kits to hold.
func (b *book) weeks() error {
	cols := make([]column, max(leastWeekCols, len(b.doc.Load)+3))
	for i := range cols {
		width := 15.0
		if i == 0 {
			width = 30
		}
		cols[i] = column{shape: wrapped, width: width, least: width, most: width}
	}
	counting := &weekSheet{tables: tables{grid: &grid{book: b, cols: cols}}}
	if counting.all(b.doc); counting.err != nil {
		return counting.err
	}
	if err := b.loadChart(counting.first, len(cols)); err != nil {
		return err
	}
	g, err := b.grid(sheetWeeks, cols, page{portrait: len(cols) <= uprightCols, lastRow: counting.row})
	if err != nil {
		return err
	}
	w := &weekSheet{tables: tables{grid: g}}
	if w.all(b.doc); w.err != nil {
		return w.err
	}
	return g.end()
}

// weekSheet writes the sheet; first is the row of the first week.
type weekSheet struct {
	tables
	first int
}

func (w *weekSheet) all(d *report.Document) {
	w.across(title, slip.SheetWeeks.Head(d.Title))
	w.across(lead, say.F("Bay-hours that looks will take by week: what stands above the line in the first, the others in the week by which a look pays, or in that of a service for which waiting costs less than the set-up."))
	for range loadChartRows {
		w.gap()
	}
	w.load(d.Load)
	w.gap()
	w.moreHour(d)
	w.gap()
	w.kits(d.Kits)
}

// load is the table beneath the chart, a week a row.
func (w *weekSheet) load(load []plan.DepotLoad) {
	heads := []any{say.F("Week from")}
	for i := range load {
		heads = append(heads, say.F("%s, hours", depotName(load[i].Name, len(load) == 1)))
	}
	shapes := []shape{wrapped}
	for range load {
		shapes = append(shapes, hour)
	}
	shapes = append(shapes, hour, ordinal)
	w.heads(shapes, append(heads, say.F("All, hours"), say.F("Vehicles"))...)
	w.first = w.row + 1
	for k := range plan.WeeksAhead {
		cells, sum, vehicles := []any{say.Of(say.Day(load[0].Weeks[k].From))}, 0.0, 0
		for i := range load {
			week := &load[i].Weeks[k]
			cells = append(cells, week.Hours)
			sum, vehicles = sum+week.Hours, vehicles+week.Vehicles
		}
		w.row1(shapes, append(cells, sum, vehicles)...)
	}
	w.given(load, shapes)
}

// given closes the table: the hours that there are in a week, and what no week
// is named for.
func (w *weekSheet) given(load []plan.DepotLoad, shapes []shape) {
	cells, sum, all := []any{say.F("Hours given a week")}, 0.0, true
	later := []any{say.F("Vehicles later, or no day known")}
	beyond := 0
	whole := []shape{wrapped}
	for i := range load {
		l := &load[i]
		if l.Limited {
			cells = append(cells, l.Weekly)
		} else {
			cells = append(cells, say.F("no limit"))
		}
		sum, all = sum+l.Weekly, all && l.Limited
		later = append(later, l.Later)
		beyond += l.Later
		whole = append(whole, ordinal)
	}
	w.shaped(section, shapes, append(cells, when(all, sum), blank{}))
	w.shaped(section, append(whole, ordinal, ordinal), append(later, blank{}, beyond))
}

// moreHour is what one more bay-hour would be worth at each depot.
func (w *weekSheet) moreHour(d *report.Document) {
	in := money1(d.Run.Currency)
	shapes := []shape{wrapped, hour, hour, ordinal, ordinal, money}
	w.heads(shapes, say.F("One more bay-hour"), say.F("Hours given"), say.F("Hours used"), say.F("Vehicles above the line"), say.F("Vehicles worth a look below it"), say.F("One more hour is worth, %s", in))
	for i := range d.Depots {
		p := &d.Depots[i]
		var given, more any = say.F("no limit"), say.F("no limit")
		if p.Limited {
			given, more = p.Hours, p.MoreHour
		}
		w.row1(shapes, depotName(p.Name, len(d.Depots) == 1), given, p.Used, p.Above, p.Below, more)
	}
}

// depotName names a depot, and the hours that no depot of its own has.
func depotName(s string, alone bool) say.Text {
	switch unnamed := s == "" || s == "*"; {
	case unnamed && alone:
		return say.F("the bay")
	case unnamed:
		return say.F("Other depots")
	}
	return say.Plain(s)
}

// loadChart draws the load as stacked columns; first is the row of the first
// week. It spans the columns of the tables: its corners are tied to cells, and
// are reckoned while these still have the size of a new sheet's.
func (b *book) loadChart(first, wide int) error {
	last, sheet := first+plan.WeeksAhead-1, b.speaks.Say(sheetWeeks)
	area := func(col int) (string, error) {
		letter, err := excelize.ColumnNumberToName(col)
		return fmt.Sprintf("'%s'!$%s$%d:$%s$%d", sheet, letter, first, letter, last), err
	}
	weeks, err := area(1)
	if err != nil {
		return err
	}
	cols := b.stacked()
	var all []excelize.ChartSeries
	for i, col := range cols {
		values, err := area(col)
		if err != nil {
			return err
		}
		letter, err := excelize.ColumnNumberToName(col)
		if err != nil {
			return err
		}
		all = append(all, excelize.ChartSeries{
			Name: fmt.Sprintf("'%s'!$%s$%d", sheet, letter, first-1), Categories: weeks, Values: values,
			Fill: solid(stacks[i]),
			Line: excelize.LineOptions{Type: excelize.LineSolid, Width: 0.75, Fill: solid("000000")},
		})
	}
	c := &chartSheet{book: b, sheet: sheet, figures: sheet}
	c.add("A3", &excelize.Chart{
		Type: excelize.ColStacked, Series: all, Dimension: excelize.ChartDimension{Width: uint(unsetWidth * wide), Height: uint(unsetHeight * (loadChartRows - 1))},
		Title: c.title(say.F("Bay-hours by week")),
		XAxis: c.axis(say.F("week from"), ""), YAxis: c.axis(say.F("hours in the bay"), "0"),
	})
	return c.err
}

// stacked are the columns of the table that the chart shows: each depot's, or
// that of all together where there are more than can be told apart.
func (b *book) stacked() []int {
	n := len(b.doc.Load)
	if n > mostStacked {
		return []int{n + 2}
	}
	out := make([]int, n)
	for i := range out {
		out[i] = i + 2
	}
	return out
}

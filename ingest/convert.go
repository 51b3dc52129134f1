package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// converter turns the rows of one sheet into facts.
type converter struct {
	*sheet
	learn     bool // cells are evidence for their columns
	skipping  bool // nothing of the sheet is used
	slot      int32
	num       int32
	cells     []string
	mark      int // issues before this row
	memory    memory
	idle      []idle // why kinds of sheet found nothing to use on the row
	prev      textRow
	readHours score.Stated // in the odometer's cell read last, where the cell says hours
	readOn    score.Day    // of the odometer's cell read last, where it holds a day; else 0
	beside    string       // a VIN that stands in the cell of the row's unit or plate
	top       []topCell    // of the block at hand

	metrics    map[string]metricRead // of a table with one figure a row
	metricOf   header.Field          // what the figure of the row is
	metricUnit value.Unit
}

func newConverter(s *sheet, learn bool) *converter {
	return &converter{sheet: s, learn: learn, memory: newMemory()}
}

// title files a row above the headings, or the heading itself: read, and
// nothing to use in it, save a day that says what the sheet is "as of".
func (c *converter) title(l *line, heading bool) {
	c.classes = append(c.classes, isBlank)
	if heading {
		return
	}
	for _, cell := range l.cells {
		if d, ok := asOf(cell); ok && d <= c.file.opts.Day {
			c.latest = max(c.latest, d)
		}
	}
}

// row turns one row into facts, and gives it its class as far as it can be
// told before the sheets are joined.
func (c *converter) row(l *line) {
	c.slot, c.num, c.cells, c.mark = int32(len(c.classes)), int32(l.row), l.cells, len(c.issues)
	c.classes = append(c.classes, pending)
	switch {
	case c.skipping:
		c.raise(c.slot, isSetAside)
	case l.fault != nil && l.cells == nil:
		c.reject(nil, l.fault.Text, l.fault.Reason, say.F("correct the line in the file that it was exported from"))
	case c.form != nil:
		c.formRow()
	case blank(l.cells) || header.IsRule(l.cells) || c.view.Layout.IsHeading(l.cells) || c.underHeading() && header.NumbersColumns(l.cells):
		c.raise(c.slot, isBlank)
	default:
		c.filled()
		if l.fault != nil {
			c.mention(nil, l.fault.Text, score.Noted, say.F("%s; quotation marks were read as plain text", l.fault.Reason), say.F("check the row"))
		}
	}
}

// filled turns a row with something in it into facts.
func (c *converter) filled() {
	for _, col := range c.columns {
		s := c.ditto(col)
		if s == "" {
			continue
		}
		col.sample(s)
		if c.learn {
			col.look(s)
		}
		if s[0] == '#' {
			if _, fault := value.IsMissing(s); fault {
				col.errors++
			}
		}
	}
	before := c.prev
	if c.tooLong(); c.carriesOn() || c.splitFigure() {
		return
	}
	c.inBlock()
	k := c.key()
	if k.vin == "" && c.noVehicle(&k) {
		return
	}
	report := c.checkVIN(&k)
	if k.nameless() {
		if c.classes[c.slot] != isRejected {
			c.reject(nil, firstCell(c.cells), say.F("the row names no vehicle: no unit, VIN or registration"), c.nameIt(before))
		}
		return
	}
	c.unitAsDay(&k)
	r := newRow(&k, c.slot, c.num)
	r.vehicle = c.view.Layout.Has(header.Vehicles)
	c.named.add(r)
	c.facts(report)
	c.prev = textRow{slot: c.slot, num: c.num, of: c.slot, first: c.num, row: c.rowAt()}
}

// unitAsDay tells of a unit that a spreadsheet program seems to have turned into
// a day before it wrote the text file. In a workbook such a day is a number, as
// many units are.
func (c *converter) unitAsDay(k *key) {
	if c.sheet.text && len(c.at[header.Unit]) > 0 && strings.ContainsAny(k.unit, "-./ ") && c.memory.isDay(k.unit, false, false) {
		c.mention(c.at[header.Unit][0], k.unit, score.Noted, say.F("a day stands here, as where a spreadsheet program turns a name such as 9-5 or 3-10 into one; it is taken for the unit as it stands"),
			say.F("format the column as text, and write the name again"))
	}
}

// ditto is the column's cell; where it holds a ditto mark the value above is put
// in its place.
func (c *converter) ditto(col *column) string {
	s := col.cell(c.cells)
	if s == "" || col.Field == header.Ignore {
		return s
	}
	if !value.IsDitto(s) {
		if len(s) < 100 {
			col.above = s
		}
		return s
	}
	if col.above != "" && len(col.With) == 0 {
		c.cells[col.Index] = col.above
		c.dittos++
	}
	return col.cell(c.cells)
}

// nameIt is what to do about a row that names no vehicle.
func (c *converter) nameIt(before textRow) say.Text {
	if before.num != 0 && before.slot+1 == c.slot {
		return say.F("where it belongs to the vehicle of row %d, write its unit here too; an empty cell is not filled down", int(before.first))
	}
	return say.F("fill in one of them")
}

// underHeading reports the first row under the heading.
func (c *converter) underHeading() bool {
	l := &c.view.Layout
	return int(c.slot) == l.Row+l.Rows
}

// noVehicle sets a row aside that speaks of the sheet, or of a group of vehicles, and not of one.
func (c *converter) noVehicle(k *key) bool {
	name := k.unit
	if name == "" {
		name = k.registration
	}
	switch {
	case header.IsTotal(c.cells) || header.IsTotalName(name) && c.onlyFigures():
		c.setAside(say.F("a row of totals or a foot note, not a vehicle"), say.Text{})
	case c.figured && name != "" && (header.LoneNote(name) || c.oneWord && strings.Contains(name, " ")) && c.filledCells() == 1:
		c.setAside(say.F("stands alone on its row: the heading of a group, or a note, and not a vehicle"), say.F("if it is a vehicle, fill in more of its row"))
	default:
		return false
	}
	return true
}

// onlyFigures reports a row of one text, and figures.
func (c *converter) onlyFigures() bool {
	texts := 0
	for _, s := range c.cells {
		if s != "" && !blank([]string{s}) && strings.Trim(s, "0123456789.,- \u00a0\u202f") != "" {
			texts++
		}
	}
	return texts == 1
}

func (c *converter) filledCells() int {
	n := 0
	for _, s := range c.cells {
		if s != "" && !blank([]string{s}) {
			n++
		}
	}
	return n
}

// tellLong is how many rows with more cells than headings are told of one by
// one.
const tellLong = 20

// tooLong tells of a row of a text file that has cells beyond the headings: a
// delimiter inside a cell shifts all behind it.
func (c *converter) tooLong() {
	if !c.sheet.text || !c.beyond() {
		return
	}
	width := c.lastHeaded()
	if c.long++; c.long <= tellLong {
		c.mention(nil, firstCell(c.cells[width:]), score.Noted, say.F("the row has more cells than headings (%d, and %d); what stands beyond them is not used", len(c.cells), width), say.F("look for a delimiter inside a cell"))
	}
}

// lastHeaded is how many columns there are up to the last that has a heading.
func (c *converter) lastHeaded() int {
	width := len(c.columns)
	for width > 0 && c.columns[width-1].Heading == "" {
		width--
	}
	return width
}

// beyond reports a row with cells behind the last heading.
func (c *converter) beyond() bool {
	width := c.lastHeaded()
	return len(c.cells) > width && !blank(c.cells[width:])
}

// longRows sums up what tooLong told, and columns of a workbook that have
// values and no heading.
func (s *sheet) longRows() {
	if s.long > tellLong {
		s.note(say.F("%d rows have more cells than headings; the first %d are told of one by one", s.long, tellLong))
	}
	for _, c := range s.columns {
		if !s.text && c.Heading == "" && c.Field == header.Ignore && len(c.view.Samples) > 0 {
			s.note(say.F("column %s holds values and has no heading; it is left alone", header.Letter(c.Index)))
		}
	}
}

// rowAt is the index of the row at hand in sheet.named.
func (c *converter) rowAt() int32 { return int32(c.named.len() - 1) }

func blank(cells []string) bool {
	for _, s := range cells {
		if s != "" && strings.TrimSpace(s) != "" {
			return false
		}
	}
	return true
}

func firstCell(cells []string) string {
	for _, s := range cells {
		if s != "" {
			return s
		}
	}
	return ""
}

// issue files what is wrong with one cell of the row, which is not used; with
// the row where col is nil.
func (c *converter) issue(col *column, cell string, sev score.Severity, reason, remedy say.Text) {
	if sev == score.Rejected {
		c.raise(c.slot, isRejected)
	}
	if c.mention(col, cell, sev, reason, remedy) && col != nil {
		col.view.Refused++
	}
}

// mention files what there is to know of a cell that is used all the same.
// What two facts of a row complain of is told once, with the graver severity;
// mention returns whether it is new.
func (c *converter) mention(col *column, cell string, sev score.Severity, reason, remedy say.Text) bool {
	i := problem{score.Issue{Ref: c.ref(), Value: clip(cell), Severity: sev, Reason: reason, Suggestion: remedy}, c.slot}
	if col != nil {
		i.Column = col.Heading
	}
	for n := c.mark; n < len(c.issues); n++ {
		have := &c.issues[n]
		if have.Column == i.Column && have.Value == i.Value && have.Reason.String() == reason.String() {
			have.Severity = graver(have.Severity, sev)
			return false
		}
	}
	c.issues = append(c.issues, i)
	return true
}

func graver(a, b score.Severity) score.Severity {
	for _, s := range [...]score.Severity{score.Rejected, score.SetAside} {
		if a == s || b == s {
			return s
		}
	}
	return score.Noted
}

func (c *converter) reject(col *column, cell string, reason, remedy say.Text) {
	c.issue(col, cell, score.Rejected, reason, remedy)
}

func (c *converter) setAside(reason, remedy say.Text) {
	c.issue(nil, firstCell(c.cells), score.SetAside, reason, remedy)
	c.raise(c.slot, isSetAside)
}

// ref points to the row at hand; the source is filled in when the sheets are
// joined.
func (c *converter) ref() score.Ref { return score.Ref{Row: c.num} }

// end dates what gave no day of its own: the sheet's latest day, else the
// run's.
func (c *converter) end() {
	day := c.latest
	if day == 0 {
		day = c.file.opts.Day
	}
	date(&c.scans, day, func(s *score.Scan) *score.Day { return &s.Day })
	date(&c.repairs, day, func(r *score.Repair) *score.Day { return &r.Day })
	date(&c.inspections, day, func(i *score.Inspection) *score.Day { return &i.Day })
	date(&c.readings, day, func(r *score.Reading) *score.Day { return &r.Day })
	date(&c.hours, day, func(r *score.Reading) *score.Day { return &r.Day })
	date(&c.remarks, day, func(r *score.Remark) *score.Day { return &r.Day })
}

// date gives the day to facts that have none.
func date[T any](facts *pile[fact[T]], day score.Day, of func(*T) *score.Day) {
	for f := range facts.all() {
		if d := of(&f.what); *d == 0 {
			*d = day
		}
	}
}

// keep makes a text safe to hold on to: a cell is cut out of its line, or out of a
// block of rows, which would stay in memory with it.
func (c *converter) keep(s string) string { return strings.Clone(s) }

// text is the cell of the field's column; "" where it says nothing.
func (c *converter) text(f header.Field) string {
	cols := c.at[f]
	if len(cols) == 0 {
		return ""
	}
	return c.present(cols[0])
}

// present is the column's cell unless it says nothing.
func (c *converter) present(col *column) string {
	s := col.cell(c.cells)
	if s == "" || !c.memory.missing(s) {
		return onOneLine(col.Field, s)
	}
	return ""
}

// word is a text that many rows share, kept once.
func (c *converter) word(f header.Field) string { return c.memory.intern(c.text(f)) }

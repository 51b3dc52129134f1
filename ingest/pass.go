package ingest

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// ahead is how many rows are looked at before the columns are decided.
const ahead = 400

// read understands the sheet and turns its rows into facts. Columns are
// decided on the first rows; where the whole sheet decides otherwise, it is
// read once more with that decision.
func (s *sheet) read(ctx context.Context, open func() (rows, error)) error {
	p := pass{sheet: s, learn: true}
	if err := p.run(ctx, open); err != nil || !s.view.Skipped.Empty() {
		return err
	}
	if s.redecide() {
		s.forget()
		p = pass{sheet: s}
		if err := p.run(ctx, open); err != nil {
			return err
		}
	}
	p.conv.end()
	if s.form != nil {
		s.form.end()
	}
	s.openQuestions()
	return nil
}

// forget drops the facts of the first pass, not what it learnt.
func (s *sheet) forget() {
	s.long, s.dittos, s.besides = 0, 0, 0
	s.classes, s.issues, s.latest, s.spoken, s.carried = nil, nil, 0, spokenUnits{}, nil
	s.unclosed, s.planned, s.coded, s.doubted, s.unread = someRows{}, someRows{}, someRows{}, nil, nil
	s.named, s.vehicles, s.vins = pile[namedRow]{}, pile[vehicleRow]{}, pile[score.VINRow]{}
	s.scans, s.repairs = pile[fact[score.Scan]]{}, pile[fact[score.Repair]]{}
	s.inspections, s.remarks = pile[fact[score.Inspection]]{}, pile[fact[score.Remark]]{}
	s.readings, s.hours = pile[fact[score.Reading]]{}, pile[fact[score.Reading]]{}
	for _, c := range s.columns {
		c.view.Refused, c.view.Samples, c.errors, c.above = 0, nil, 0, ""
	}
}

// pass is one reading of a sheet from the first row to the last.
type pass struct {
	*sheet
	learn bool   // the first pass, which gathers evidence
	head  []line // the first rows, until the columns are decided
	begun bool
	conv  *converter
	n     int

	finder *header.Finder // of further tables below
	held   []line         // rows that may be the title of the next table
}

func (p *pass) run(ctx context.Context, open func() (rows, error)) error {
	p.conv, p.finder = newConverter(p.sheet, p.learn), header.NewFinder(p.recognition())
	err := each(ctx, open, func(l *line) error {
		if l.row < p.from {
			return ctx.Err() // a table above, which has been read
		}
		if p.next != 0 && l.row >= p.next {
			return errTableEnds
		}
		if p.n++; p.n%5000 == 0 {
			p.progress(5000)
		}
		if err := ctx.Err(); err != nil { // asked of each row: one may hold megabytes
			return err
		}
		if err := p.file.count(len(l.cells)); err != nil {
			return err
		}
		tooWide(l)
		l.cells = p.strip(l.cells)
		p.clean(l.cells)
		if p.begun {
			return p.take(l)
		}
		l.cells = slices.Clone(l.cells) // the batch is used again
		if p.head = append(p.head, *l); len(p.head) == ahead {
			return p.begin()
		}
		return nil
	})
	if err == nil && !p.begun {
		err = p.begin()
	}
	if err != nil && !errors.Is(err, errTableEnds) {
		return err
	}
	p.release()
	p.progress(p.n % 5000)
	return nil
}

// progress counts each row once, however often it is read.
func (p *pass) progress(rows int) {
	if tell := p.file.opts.Progress; tell != nil && rows > 0 && p.learn && p.reach == 0 {
		tell(p.file.input.Path, rows)
	}
}

// begin decides the columns on the first rows and converts these.
func (p *pass) begin() error {
	p.begun = true
	if len(p.head) > 0 {
		p.first, p.topLeft = p.head[0].row, clip(firstCell(p.head[0].cells))
	}
	if p.learn {
		p.form = p.formOf(p.head)
		p.conv.skipping = p.form == nil && !p.recognise(p.head)
	}
	from, to := p.view.Layout.Row, p.view.Layout.Row+p.view.Layout.Rows
	head := p.head
	p.head = nil
	for i := range head {
		if l := &head[i]; i < to && !p.conv.skipping {
			p.conv.title(l, i >= from)
		} else if err := p.take(l); err != nil {
			return err
		}
	}
	return nil
}

// recognise finds the heading and looks at the values under it.
func (s *sheet) recognise(head []line) bool {
	cells := make([][]string, len(head))
	first := 0
	for i := range head {
		cells[i] = head[i].cells
		if head[i].row < s.told.HeaderRow {
			first = i + 1
		}
	}
	s.above = titles(cells[:first])
	layout, end, err := s.layout(cells[first:])
	if layout.Row >= 0 {
		layout.Row += first
		s.view.Heading = head[layout.Row].row
	}
	for i := max(0, layout.Row); i < len(head); i++ {
		head[i].cells = s.strip(head[i].cells) // a table stands beside, which has just been seen
		cells[i] = head[i].cells
	}
	s.view.Layout = layout
	if err != nil {
		s.unrecognised(err, len(head))
		return false
	}
	s.setColumns(layout.Columns)
	switch {
	case layout.ByName && layout.NamedBy == header.Ignore:
		s.note(say.F("no column names the vehicle; the name of the sheet is taken for its unit: %s", layout.Vehicle))
	case layout.ByName:
		s.note(say.F("no column names the vehicle; it is the one named above the table: %s", layout.Vehicle))
	}
	for _, row := range cells[layout.Row+layout.Rows : first+end] {
		for _, c := range s.columns {
			c.look(c.cell(row))
		}
	}
	s.figured = s.namesHaveFigures(cells[layout.Row+layout.Rows : first+end])
	for _, c := range s.columns {
		c.decide(s.order)
		c.forgetEvidence() // the conversion looks at these rows again
	}
	s.lookApart(cells[layout.Row+layout.Rows : first+end])
	s.unitsHoldMore(cells[layout.Row+layout.Rows : first+end])
	for _, p := range layout.Missing {
		s.note(p.Words())
	}
	return true
}

// namesHaveFigures reports that the vehicles of the rows, where more than their
// name is given, are named with figures: four of five.
func (s *sheet) namesHaveFigures(rows [][]string) bool {
	names, with, words := 0, 0, 0
	for _, row := range rows {
		if s.view.Layout.IsHeading(row) || header.IsTotal(row) {
			continue
		}
		for _, f := range [...]header.Field{header.Unit, header.Registration} {
			if cols := s.at[f]; len(cols) > 0 && cols[0].cell(row) != "" {
				if name := cols[0].cell(row); !loneCell(row) && !header.IsTotalName(name) {
					names++
					with += hasFigure(name)
					if strings.Contains(name, " ") {
						words++
					}
				}
				break
			}
		}
	}
	s.oneWord = names > 1 && words == 0
	return names > 0 && with*5 >= names*4
}

func hasFigure(s string) int {
	if hasDigit(s) {
		return 1
	}
	return 0
}

func loneCell(row []string) bool {
	filled := 0
	for _, c := range row {
		if c != "" {
			filled++
		}
	}
	return filled == 1
}

// recognition is what the job says of the sheet's headings.
func (s *sheet) recognition() header.Options {
	return header.Options{Told: s.told.Columns, Holds: s.told.Holds, Measures: s.file.opts.Measures, First: s.told.HeaderRow > 0, Date1904: s.date1904,
		Above: s.above, Today: s.file.opts.Day.Time(), Vehicle: vehicleName(s.view.Source), Named: []string{s.view.Source.Sheet, fileName(s.view.Source.File)}}
}

// fileName is the last part of a path without its ending.
func fileName(path string) string {
	name := filepath.Base(path)
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// titlesTo are the titles above the rows that may be the heading, and these.
func (s *sheet) titlesTo(rows [][]string) []string {
	return append(slices.Clone(s.above), titles(rows)...)
}

// titles are the cells above the heading, which say what the table is about.
func titles(rows [][]string) []string {
	var out []string
	for _, r := range rows {
		for _, c := range r {
			if c != "" {
				out = append(out, c)
			}
		}
	}
	return out
}

// layout recognises the heading of the first table among the rows, and how
// many of the rows belong to it.
func (s *sheet) layout(cells [][]string) (l header.Layout, end int, err error) {
	o := s.recognition()
	s.rowNames(cells)
	l, err = header.Recognise(cells, o)
	first, end := s.firstTable(cells, &l)
	if first >= 0 || end < len(cells) {
		from := max(0, first)
		o.First = o.First || first >= 0
		o.Above = s.titlesTo(cells[:from])
		if l, err = header.Recognise(cells[from:end], o); l.Row >= 0 {
			l.Row += from
		}
	}
	if n := s.sideBySide(cells[:end], &l); n > 0 {
		row := l.Row
		o.First, o.Above = true, s.titlesTo(cells[:row])
		l, err = header.Recognise(s.strips(cells[row:end]), o)
		l.Row += row
	}
	if err == nil && s.file.opts.vehiclesToo && l.Describes && len(o.Holds) == 0 {
		o.Holds = append(slices.DeleteFunc(slices.Clone(l.Holds), func(k header.Kind) bool { return k == header.Readings }), header.Vehicles)
		row := l.Row
		o.First, o.Above = true, s.titlesTo(cells[:row])
		l, err = header.Recognise(s.strips(cells[row:end]), o)
		l.Row += row
		s.note(say.F("no sheet lists the vehicles; they are taken from this one"))
	}
	return l, end, err
}

// rowNames mends the heading of a text file whose program numbers the rows in
// front and leaves the number's heading out, so that every cell would stand
// under the wrong one.
func (s *sheet) rowNames(cells [][]string) {
	if !s.text || len(cells) < 3 {
		return
	}
	for i, row := range cells[1:] {
		if n, err := strconv.Atoi(first(row)); len(row) != len(cells[0])+1 || err != nil || n != i+1 {
			return
		}
	}
	cells[0] = append([]string{""}, cells[0]...)
	s.note(say.F("the rows are numbered and the number has no heading; headings were moved one column to the right"))
}

func first(row []string) string {
	if len(row) == 0 {
		return ""
	}
	return row[0]
}

func (s *sheet) setColumns(columns []header.Column) {
	s.columns = make([]*column, len(columns))
	s.at = map[header.Field][]*column{}
	for i := range columns {
		c := newColumn(&columns[i], s)
		if n := len(c.With); n > 0 {
			s.note(say.F("columns %s to %s hold pieces of a VIN; they are read as one", header.Letter(c.Index), header.Letter(c.With[n-1])))
		}
		s.columns[i] = c
		if c.Field != header.Ignore {
			s.at[c.Field] = append(s.at[c.Field], c)
		}
	}
}

// unrecognised tells of a sheet that no heading row was found in. An empty
// sheet is no fault.
func (s *sheet) unrecognised(err error, rows int) {
	if rows == 0 {
		s.view.Empty, s.view.Skipped = true, say.F("empty sheet")
		return
	}
	s.view.Skipped = say.Plain(strings.TrimSpace(err.Error()))
	issue := score.Issue{Severity: score.SetAside}
	var nr *header.NotRecognised
	if errors.As(err, &nr) {
		s.view.Skipped, issue.Suggestion = nr.Words(), nr.Hint()
		s.openHeading(nr)
	}
	if s.text && s.view.Layout.Row < 0 && linesQuoted(s.topLeft) {
		issue.Suggestion = say.F("each line stands in one cell, as where quotation marks stand around whole lines: save the file from the spreadsheet again, as CSV")
	}
	issue.Reason = notRead(s.view.Skipped)
	s.tell(issue)
}

// linesQuoted sees a line that is one cell and holds what parts cells.
func linesQuoted(cell string) bool {
	return strings.Count(cell, ",") > 1 || strings.Count(cell, ";") > 1 || strings.Count(cell, "\t") > 1
}

// redecide compares what the whole sheet shows with what was used.
func (s *sheet) redecide() bool {
	changed := false
	for _, c := range s.columns {
		changed = c.decide(s.order) || changed
	}
	if s.blocks.holds() && s.form == nil {
		s.blocks.fill, changed = true, true
	}
	return changed
}

// openQuestions turns what the headings and the columns leave open into
// issues that point to the heading.
func (s *sheet) openQuestions() {
	at := score.Ref{Row: int32(s.view.Heading)}
	if s.spoken.km > 0 && s.spoken.miles > 0 {
		s.note(say.One(s.spoken.km, say.F("the odometer is in km on 1 row and in miles on %d; each was read by its own unit", s.spoken.miles),
			say.F("the odometer is in km on %d rows and in miles on %d; each was read by its own unit", s.spoken.km, s.spoken.miles)))
	}
	s.mileage()
	s.tellUnits()
	for _, p := range s.view.Layout.Ambiguous {
		heading := ""
		if len(p.Columns) > 0 {
			heading = s.heading(p.Columns[0])
		}
		if len(p.Choices) > 0 {
			s.open = append(s.open, question{text: p.Text, column: heading, choices: p.Choices})
			continue
		}
		s.tell(score.Issue{Severity: score.Noted, Column: heading, Reason: p.Text, Suggestion: p.Hint, Ref: at})
	}
	for _, c := range s.columns {
		if c.errors > 0 {
			s.note(say.One(c.errors, say.F("1 cell of %s holds a spreadsheet error such as #N/A; it counts as missing", strconv.Quote(c.Heading)),
				say.F("%d cells of %s hold a spreadsheet error such as #N/A; they count as missing", c.errors, strconv.Quote(c.Heading))))
		}
		if c.Field == header.Ignore {
			continue
		}
		for _, q := range c.questions {
			if q.dates {
				q.column = c.Heading
				s.open = append(s.open, q.question)
				continue
			}
			s.tell(score.Issue{Severity: score.Noted, Column: c.Heading, Reason: q.text, Suggestion: q.remedy, Ref: at})
		}
	}
	s.tellBlocks()
	s.tellUnread()
	s.tellUnclosed()
	s.tellPlanned()
	s.tellCoded()
	s.tellDoubted()
	s.longRows()
	s.noteCells()
}

// noteCells tells of cells that were read otherwise than they stand there.
func (s *sheet) noteCells() {
	if s.besides > 0 {
		s.note(say.One(s.besides, say.F("1 cell holds a VIN beside the vehicle's number; both were read"), say.F("%d cells hold a VIN beside the vehicle's number; both were read", s.besides)))
	}
	if s.dittos > 0 {
		s.note(say.One(s.dittos, say.F("1 cell holds a ditto mark; the value above it was read"), say.F("%d cells hold ditto marks; the values above them were read", s.dittos)))
	}
	if s.twice.n > 0 {
		s.note(say.One(s.twice.n, say.F("1 cell was encoded twice (%s); it was read as it was meant", strconv.Quote(s.twice.was)),
			say.F("%d cells were encoded twice, such as %s; they were read as they were meant", s.twice.n, strconv.Quote(s.twice.was))))
	}
	if s.controls > 0 {
		s.note(say.One(s.controls, say.F("1 cell holds control characters; these were left out"),
			say.F("%d cells hold control characters; these were left out", s.controls)))
	}
}

// mileage asks whether figures headed "Mileage" are km or miles, where nothing
// says so, and any where the workbook has cells that show miles in a way that is not
// read.
func (s *sheet) mileage() {
	if s.spoken.unstated == 0 || s.unit != value.NoUnit {
		return
	}
	for _, c := range s.at[header.Odometer] {
		h := value.Fold(c.Heading)
		switch {
		case c.Unit != value.NoUnit:
		case s.file.miles:
			s.open = append(s.open, question{text: say.F("%s says neither km nor miles, and the workbook has cells that show miles by their number format alone; it is read in km", strconv.Quote(c.Heading)), column: c.Heading, unit: value.Mile})
		case strings.Contains(h, "mileage") || strings.Contains(h, "milage"):
			s.open = append(s.open, question{text: say.F("%s says neither km nor miles; it is read in km", strconv.Quote(c.Heading)), column: c.Heading, unit: value.Km})
		}
	}
}

// heading is the heading of the column at index i.
func (s *sheet) heading(i int) string {
	for _, c := range s.columns {
		if c.Index == i {
			return c.Heading
		}
	}
	return ""
}

// openHeading asks for the columns of a sheet that could not be used, with
// what the headings may mean as the guess.
func (s *sheet) openHeading(e *header.NotRecognised) {
	q := question{text: say.F("which columns name the vehicle and its facts")}
	named := false
	cols := s.view.Layout.Columns
	known := slices.ContainsFunc(e.Known, func(c header.Column) bool { return header.Identifies(c.Field) })
	for _, c := range e.Unknown {
		if len(c.Candidates) > 0 && !(known && header.Identifies(c.Candidates[0])) {
			q.choices = append(q.choices, header.Choice{Heading: header.NameIn(cols, c.Index), Field: c.Candidates[0]})
		}
	}
	for _, c := range append(slices.Clone(e.Known), e.Unknown...) {
		named = named || header.Identifies(c.Field) || len(c.Candidates) > 0 && header.Identifies(c.Candidates[0])
	}
	bare := slices.IndexFunc(cols, func(c header.Column) bool { return c.Heading == "" })
	switch {
	case named:
	case bare >= 0: // a name is often written under no heading
		q.choices = append([]header.Choice{{Heading: header.NameIn(cols, bare), Field: header.Unit}}, q.choices...)
	case len(e.Unknown) > 0:
		q.choices = append([]header.Choice{{Heading: header.NameIn(cols, e.Unknown[0].Index), Field: header.Unit}}, q.choices...)
	}
	if len(q.choices) > 0 {
		s.open = append(s.open, q)
	}
	for _, p := range s.view.Layout.Ambiguous {
		if len(p.Choices) > 0 && p.Fields[0] == header.Odometer {
			s.open = append(s.open, question{text: p.Text, column: s.heading(p.Columns[0]), choices: p.Choices})
		}
	}
}

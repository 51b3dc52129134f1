package ingest

import (
	"context"
	"errors"
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/score"
)

// ahead is how many rows are looked at before the columns are decided.
const ahead = 400

// read understands the sheet and turns its rows into facts. Columns are
// decided on the first rows; where the whole sheet decides otherwise, it is
// read once more with that decision.
func (s *sheet) read(ctx context.Context, open func() (rows, error)) error {
	p := pass{sheet: s, learn: true}
	if err := p.run(ctx, open); err != nil || s.view.Skipped != "" {
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
	s.classes, s.issues, s.latest, s.spoken = nil, nil, 0, spokenUnits{}
	s.named, s.vehicles, s.vins = pile[namedRow]{}, pile[vehicleRow]{}, pile[score.VINRow]{}
	s.scans, s.repairs = pile[fact[score.Scan]]{}, pile[fact[score.Repair]]{}
	s.inspections, s.remarks = pile[fact[score.Inspection]]{}, pile[fact[score.Remark]]{}
	s.readings, s.hours = pile[fact[score.Reading]]{}, pile[fact[score.Reading]]{}
	for _, c := range s.columns {
		c.view.Refused, c.view.Samples, c.errors = 0, nil, 0
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
}

func (p *pass) run(ctx context.Context, open func() (rows, error)) error {
	p.conv = newConverter(p.sheet, p.learn)
	err := each(ctx, open, func(l *line) error {
		if p.n++; p.n%5000 == 0 {
			p.progress(5000)
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		if p.begun {
			p.conv.row(l)
			return nil
		}
		l.cells = slices.Clone(l.cells) // the batch is used again
		if p.head = append(p.head, *l); len(p.head) == ahead {
			p.begin()
		}
		return nil
	})
	if err != nil {
		return err
	}
	if !p.begun {
		p.begin()
	}
	p.progress(p.n % 5000)
	return nil
}

// progress counts each row once, however often it is read.
func (p *pass) progress(rows int) {
	if tell := p.file.opts.Progress; tell != nil && rows > 0 && p.learn {
		tell(p.file.input.Path, rows)
	}
}

// begin decides the columns on the first rows and converts these.
func (p *pass) begin() {
	p.begun = true
	if len(p.head) > 0 {
		p.first, p.topLeft = p.head[0].row, clip(firstCell(p.head[0].cells))
	}
	if p.learn {
		p.form = p.formOf(p.head)
		p.conv.skipping = p.form == nil && !p.recognise(p.head)
	}
	from, to := p.view.Layout.Row, p.view.Layout.Row+p.view.Layout.Rows
	for i := range p.head {
		if l := &p.head[i]; i < to && !p.conv.skipping {
			p.conv.title(l, i >= from)
		} else {
			p.conv.row(l)
		}
	}
	p.head = nil
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
	layout, err := header.Recognise(cells[first:], header.Options{
		Told: s.told.Columns, Holds: s.told.Holds, Measures: s.file.opts.Measures, First: s.told.HeaderRow > 0,
	})
	if layout.Row >= 0 {
		layout.Row += first
	}
	s.view.Layout = layout
	if err != nil {
		s.unrecognised(err, len(head))
		return false
	}
	s.view.Heading = head[layout.Row].row
	s.setColumns(layout.Columns)
	for _, row := range cells[layout.Row+layout.Rows:] {
		for _, c := range s.columns {
			c.look(c.cell(row))
		}
	}
	for _, c := range s.columns {
		c.decide(s.order)
		c.forgetEvidence() // the conversion looks at these rows again
	}
	for _, p := range layout.Missing {
		s.note("%s", p.String())
	}
	return true
}

func (s *sheet) setColumns(columns []header.Column) {
	s.columns = make([]*column, len(columns))
	s.at = map[header.Field][]*column{}
	for i := range columns {
		c := newColumn(&columns[i], s)
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
		s.view.Skipped = emptySheet
		return
	}
	s.view.Skipped = strings.TrimSpace(err.Error())
	issue := score.Issue{Severity: score.SetAside, Reason: "sheet not read: " + s.view.Skipped}
	var nr *header.NotRecognised
	if errors.As(err, &nr) {
		issue.Suggestion = nr.Hint()
	}
	s.tell(issue)
}

// redecide compares what the whole sheet shows with what was used.
func (s *sheet) redecide() bool {
	changed := false
	for _, c := range s.columns {
		changed = c.decide(s.order) || changed
	}
	return changed
}

// openQuestions turns what the headings and the columns leave open into
// issues that point to the heading.
func (s *sheet) openQuestions() {
	at := score.Ref{Row: int32(s.view.Heading)}
	if s.spoken.km > 0 && s.spoken.miles > 0 {
		s.note("the odometer is in km on %d rows and in miles on %d; each was read by its own unit", s.spoken.km, s.spoken.miles)
	}
	for _, p := range s.view.Layout.Ambiguous {
		issue := score.Issue{Severity: score.Noted, Reason: p.Text, Suggestion: p.Hint, Ref: at}
		if len(p.Columns) > 0 {
			for _, c := range s.columns {
				if c.Index == p.Columns[0] {
					issue.Column = c.Heading
				}
			}
		}
		s.tell(issue)
	}
	for _, c := range s.columns {
		if c.errors > 0 {
			s.note("%d cells of %q hold a spreadsheet error such as #N/A; they count as missing", c.errors, c.Heading)
		}
		if c.Field == header.Ignore {
			continue
		}
		for _, q := range c.questions {
			s.tell(score.Issue{Severity: score.Noted, Column: c.Heading, Reason: q.text, Suggestion: q.remedy, Ref: at})
		}
	}
}

package ingest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pitlist/ingest/csv"
	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
)

// ahead is how many rows are looked at before the columns are decided.
const ahead = 400

// sheet is one sheet on its way into the fleet: its rows as facts that know
// their vehicle only by name.
type sheet struct {
	file     *file
	told     *Told
	order    value.Order // the job's word for columns that cannot decide
	date1904 bool
	view     SheetView
	blank    int // rows that the reader passed over
	hidden   int

	columns []*column
	at      map[header.Field][]*column
	classes []rowClass // a row each, as delivered
	issues  []score.Issue
	latest  score.Day // of the sheet's own days, none later than the run
	strings map[string]string

	vehicles    []vehicleRow
	scans       []eventRow[score.Scan]
	repairs     []eventRow[score.Repair]
	inspections []eventRow[score.Inspection]
	readings    []eventRow[score.Reading]
	hours       []eventRow[score.Reading]
}

// rowClass is a row's class while it is being settled: facts of one row may
// end differently, and the best of them counts.
type rowClass uint8

const (
	pending rowClass = iota // no fact of it has been settled
	isBlank
	isRejected
	isSetAside
	isMerged
	isUsed
)

var classOf = [...]score.Class{score.ClassSetAside, score.ClassBlank, score.ClassRejected, score.ClassSetAside, score.ClassMerged, score.ClassUsed}

// raise settles a row's class: used beats merged beats set aside.
func (s *sheet) raise(slot int32, c rowClass) {
	if c > s.classes[slot] {
		s.classes[slot] = c
	}
}

// counts adds up the rows by class.
func (s *sheet) counts() score.Counts {
	c := score.Counts{Source: s.view.Source, Hidden: s.hidden}
	c.Read, c.Blank = s.blank, s.blank
	for _, class := range s.classes {
		c.Add(classOf[class])
	}
	return c
}

func (s *sheet) note(format string, args ...any) {
	s.view.Notes = append(s.view.Notes, fmt.Sprintf(format, args...))
}

// skip sets all n rows of the sheet aside.
func (s *sheet) skip(n int, why string) {
	s.view.Skipped = why
	s.classes = make([]rowClass, n)
	for i := range s.classes {
		s.classes[i] = isSetAside
	}
	s.issues = append(s.issues, score.Issue{Severity: score.SetAside, Reason: "sheet not read: " + why, Value: s.view.Source.Sheet})
}

// read understands the sheet and turns its rows into facts. Columns are
// decided on the first rows; where the whole sheet decides otherwise, it is
// read once more with that decision.
func (s *sheet) read(ctx context.Context, open func() (rows, error)) error {
	again, err := s.pass(ctx, open)
	if err != nil || !again {
		return err
	}
	s.forget()
	_, err = s.pass(ctx, open)
	return err
}

// forget drops the facts of the first pass, not what it learnt.
func (s *sheet) forget() {
	s.classes, s.issues, s.latest = nil, nil, 0
	s.vehicles, s.scans, s.repairs, s.inspections, s.readings, s.hours = nil, nil, nil, nil, nil, nil
	for _, c := range s.columns {
		c.view.Refused, c.view.Samples = 0, nil
	}
}

type held struct {
	row   int
	cells []string
}

// pass reads the sheet from the first row to the last. It returns true where
// the columns turned out to need another decision than the one used.
func (s *sheet) pass(ctx context.Context, open func() (rows, error)) (again bool, err error) {
	var head []held
	conv := converter{sheet: s}
	begun := false
	n := 0
	err = each(ctx, open, func(row int, cells []string) error {
		if n++; n%5000 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
			s.progress(5000)
		}
		if !begun {
			head = append(head, held{row, slices.Clone(cells)})
			if len(head) < ahead {
				return nil
			}
			begun = true
			s.begin(head, &conv)
			return nil
		}
		conv.row(row, cells)
		return nil
	}, s.badRow)
	if err != nil {
		return false, err
	}
	if !begun {
		s.begin(head, &conv)
	}
	s.progress(n % 5000)
	if s.view.Skipped != "" {
		return false, nil
	}
	conv.end()
	return s.redecide(), nil
}

func (s *sheet) progress(rows int) {
	if p := s.file.opts.Progress; p != nil && rows > 0 {
		p(s.file.input.Path, rows)
	}
}

// badRow records a row that a text file could not hand out.
func (s *sheet) badRow(e *csv.RowError) {
	s.classes = append(s.classes, isRejected)
	s.issues = append(s.issues, score.Issue{
		Ref: score.Ref{Row: int32(e.Row)}, Value: clip(e.Text), Severity: score.Rejected,
		Reason: e.Reason, Suggestion: "correct the line in the file that it was exported from",
	})
}

// begin decides the columns on the first rows and converts these.
func (s *sheet) begin(head []held, conv *converter) {
	if s.columns == nil && !s.recognise(head) {
		s.view.Skipped = strings.TrimSpace(s.view.Skipped)
		for range head {
			s.classes = append(s.classes, isSetAside)
		}
		conv.skipping = true
		return
	}
	for i := range head {
		h := &head[i]
		if i < s.view.Layout.Row+s.view.Layout.Rows {
			conv.title(h, i >= s.view.Layout.Row)
			continue
		}
		conv.row(h.row, h.cells)
	}
}

// recognise finds the heading and looks at the values under it.
func (s *sheet) recognise(head []held) bool {
	cells := make([][]string, len(head))
	first := 0
	for i := range head {
		cells[i] = head[i].cells
		if head[i].row < s.told.HeaderRow {
			first = i + 1
		}
	}
	layout, err := header.Recognise(cells[min(first, len(cells)):], header.Options{Told: s.told.Columns, Holds: s.told.Holds, Measures: s.file.opts.Measures})
	if layout.Row >= 0 {
		layout.Row += first
	}
	s.view.Layout = layout
	if err != nil {
		s.unrecognised(err, len(head))
		return false
	}
	s.view.Heading = head[layout.Row].row
	s.columns = make([]*column, len(layout.Columns))
	s.at = map[header.Field][]*column{}
	for i := range layout.Columns {
		c := newColumn(&layout.Columns[i], s)
		s.columns[i] = c
		if f := c.Field; f != header.Ignore {
			s.at[f] = append(s.at[f], c)
		}
	}
	for i := layout.Row + layout.Rows; i < len(cells); i++ {
		for _, c := range s.columns {
			if cell := c.cell(cells[i]); cell != "" {
				c.look(cell)
			}
		}
	}
	for _, c := range s.columns {
		c.decide(s.order)
	}
	s.problems(layout)
	return true
}

// unrecognised tells of a sheet that no heading row was found in. An empty
// sheet is no fault.
func (s *sheet) unrecognised(err error, rows int) {
	if rows == 0 {
		s.view.Skipped = emptySheet
		return
	}
	s.view.Skipped = err.Error()
	issue := score.Issue{Severity: score.SetAside, Reason: "sheet not read: " + err.Error()}
	var nr *header.NotRecognised
	if errors.As(err, &nr) {
		issue.Suggestion = nr.Hint()
	}
	s.issues = append(s.issues, issue)
}

// problems turns what the layout leaves open into issues.
func (s *sheet) problems(l header.Layout) {
	for _, p := range l.Ambiguous {
		issue := score.Issue{Severity: score.Noted, Reason: p.Text, Suggestion: p.Hint, Ref: score.Ref{Row: int32(s.view.Heading)}}
		for i, c := range p.Columns {
			if i < 1 && c < len(s.columns) {
				issue.Column = s.columns[c].Heading
			}
		}
		s.issues = append(s.issues, issue)
	}
	for _, p := range l.Missing {
		s.note("%s", p.String())
	}
}

// redecide compares what the whole sheet shows with what was used.
func (s *sheet) redecide() bool {
	changed := false
	for _, c := range s.columns {
		changed = c.decide(s.order) || changed
	}
	for _, c := range s.columns {
		s.view.Columns = append(s.view.Columns, c.view)
	}
	if changed {
		s.view.Columns = s.view.Columns[:0]
	}
	return changed
}

// intern keeps one copy of a text that many rows share.
func (s *sheet) intern(t string) string {
	if t == "" {
		return ""
	}
	if s.strings == nil {
		s.strings = map[string]string{}
	}
	if have, ok := s.strings[t]; ok {
		return have
	}
	if len(s.strings) > 100_000 {
		clear(s.strings)
	}
	t = strings.Clone(t)
	s.strings[t] = t
	return t
}

// clip shortens a value for a message.
func clip(s string) string {
	const most = 120
	if len(s) <= most {
		return s
	}
	cut := most
	for cut > 0 && s[cut]&0xC0 == 0x80 {
		cut--
	}
	return s[:cut] + "…"
}

package ingest

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"pitlist/ingest/header"
	"pitlist/score/say"
)

// mostTables bounds how many tables of one sheet are read one by one: the
// sheet is walked once for each.
const mostTables = 20

// titleRows is how many rows with one cell each are held back in front of a
// heading: a title of the table that follows, with blank rows.
const titleRows = 4

// errTableEnds ends a pass where another table begins below.
var errTableEnds = errors.New("another table begins")

// tables reads a sheet's tables, which stand one below the other: each as a
// sheet of its own, named after the row that it begins on.
func (f *file) tables(ctx context.Context, first *sheet, open func() (rows, error)) error {
	name := first.view.Source.Sheet
	for s, n := first, 1; ; n++ {
		if err := s.read(ctx, open); err != nil {
			return err
		}
		if s.next == 0 {
			return nil
		}
		below := tableName(name, s.next)
		t := f.newSheet(below, f.toldExactly(below))
		t.date1904, t.text, t.view.Hidden, t.from = s.date1904, s.text, s.view.Hidden, s.next
		if t.whole = n == mostTables; t.whole {
			t.note(say.F("the sheet holds more than %d tables, one below the other; what follows is read as one: give each a sheet of its own", mostTables))
		}
		f.sheets = append(f.sheets, t)
		s = t
	}
}

// tableName names the second and later tables of a sheet.
func tableName(sheet string, row int) string {
	if sheet == "" {
		return fmt.Sprintf("from row %d", row)
	}
	return fmt.Sprintf("%s, from row %d", sheet, row)
}

// take converts a row, unless it begins another table. Rows with one word in
// them wait for what follows, as they may be the title of the next table.
func (p *pass) take(l *line) error {
	if p.learn && !p.whole && !p.conv.skipping && l.fault == nil && len(p.columns) > 1 {
		switch {
		case len(p.held) < titleRows && (loneWord(l.cells) || len(p.held) > 0 && blank(l.cells)):
			l.cells = slices.Clone(l.cells) // the batch is used again
			p.held = append(p.held, *l)
			return nil
		case p.finder.IsHeading(l.cells) && !p.view.Layout.IsHeading(l.cells):
			if p.next = l.row; len(p.held) > 0 {
				p.next = p.held[0].row
			}
			p.held = nil
			return errTableEnds
		}
	}
	p.release()
	p.conv.row(l)
	return nil
}

// release converts the rows that were held back: no table follows them.
func (p *pass) release() {
	for i := range p.held {
		p.conv.row(&p.held[i])
	}
	p.held = p.held[:0]
}

// loneWord sees a row with one cell, which has no figure in it.
func loneWord(cells []string) bool {
	filled := 0
	for _, c := range cells {
		if c == "" {
			continue
		}
		if filled++; filled > 1 || hasDigit(c) {
			return false
		}
	}
	return filled == 1
}

// firstTable finds which rows the first table takes up: a later table of the
// same sheet may have the better heading. It returns the heading's place where
// another than the best is the first, else -1, and the place where the next
// table begins, else the number of rows.
func (s *sheet) firstTable(cells [][]string, layout *header.Layout) (first, end int) {
	first, end = -1, len(cells)
	if s.whole || layout.Row < 0 {
		return first, end
	}
	finder := header.NewFinder(s.recognition())
	for i := range cells {
		if !finder.IsHeading(cells[i]) || layout.IsHeading(cells[i]) {
			continue
		}
		switch {
		case i+1 < layout.Row && first < 0:
			first = i
		case first >= 0 && i > first+1, first < 0 && i >= layout.Row+layout.Rows:
			return first, i
		}
	}
	if first >= 0 {
		end = max(first+1, layout.Row)
	}
	return first, end
}

package ingest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

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

// tables reads a sheet's tables, which stand one below the other or side by
// side: each as a sheet of its own, named after the place that it begins at.
// What stands below a table that another stands beside is looked for in the
// columns of that table alone.
func (f *file) tables(ctx context.Context, first *sheet, open func() (rows, error)) error {
	name := first.view.Source.Sheet
	todo := []*sheet{first}
	for n := 1; len(todo) > 0; n++ {
		s, outer := todo[0], todo[0].right
		todo = todo[1:]
		if err := s.read(ctx, open); err != nil {
			return err
		}
		if s.next != 0 {
			todo = append(todo, f.further(s, tableName(name, s.left, s.next), s.next, s.left, s.right, n))
		}
		if s.beside != 0 {
			todo = append(todo, f.further(s, tableName(name, s.beside, s.from), s.from, s.beside, outer, n))
		}
	}
	return nil
}

// further makes the sheet of a table that begins on the row from (0: the
// sheet's first) and has the columns from left up to right; n tables of its
// sheet have been read.
func (f *file) further(s *sheet, name string, from, left, right, n int) *sheet {
	t := f.newSheet(name, f.toldExactly(name))
	t.date1904, t.text, t.commas, t.view.Hidden = s.date1904, s.text, s.commas, s.view.Hidden
	t.from, t.left, t.right = from, left, right
	if t.whole = n >= mostTables; t.whole {
		t.note(say.F("the sheet holds more than %d tables, one below the other; what follows is read as one: give each a sheet of its own", mostTables))
	}
	f.sheets = append(f.sheets, t)
	return t
}

// tableName names the second and later tables of a sheet: left is the index of
// the first column, row the number of the first row where it is not the
// sheet's.
func tableName(sheet string, left, row int) string {
	var parts []string
	if sheet != "" {
		parts = append(parts, sheet)
	}
	if left > 0 {
		parts = append(parts, "from column "+header.Letter(left))
	}
	if row > 0 {
		parts = append(parts, fmt.Sprintf("from row %d", row))
	}
	return strings.Join(parts, ", ")
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

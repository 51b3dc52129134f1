package ingest

import (
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/score/say"
)

// strip is a row as far as it belongs to the table at hand. Columns keep their
// places.
func (s *sheet) strip(cells []string) []string {
	if s.right > 0 && len(cells) > s.right {
		cells = cells[:s.right]
	}
	for i := range min(s.left, len(cells)) {
		cells[i] = ""
	}
	return cells
}

func (s *sheet) strips(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for i := range rows {
		out[i] = s.strip(rows[i])
	}
	return out
}

// sideBySide looks for a table to the right of the one at hand: both have
// headings of their own that name vehicles in the same way, and a column
// between them is blank in every row looked at. It settles where this one ends
// and returns where the other begins; 0 where there is none. Two pieces that
// name vehicles in different ways are one table with a column left free, which
// is said where they are not equally long.
func (s *sheet) sideBySide(rows [][]string, l *header.Layout) int {
	if s.whole || l.Row < 0 {
		return 0
	}
	rows = rows[l.Row:]
	pieces := apart(rows)
	if len(pieces) < 2 {
		return 0
	}
	first, second := pieces[0], pieces[1]
	a, b := s.namesIn(rows, first), s.namesIn(rows, second)
	next := tableName(s.view.Source.Sheet, second.from, s.from)
	switch {
	case len(a) == 0 || len(b) == 0:
		return 0
	case !slices.ContainsFunc(a, func(f header.Field) bool { return slices.Contains(b, f) }):
		if first.last(rows) != second.last(rows) {
			s.note(say.F("column %s is blank, and what stands before and behind it does not end on the same row; it is read as one table: if it is two, give each a sheet of its own", header.Letter(first.to)))
		}
		return 0
	case len(s.told.Columns) > 0 && s.file.toldExactly(next) == nil:
		return 0 // the job speaks of the whole sheet's columns
	}
	s.right, s.beside = first.to, second.from
	s.note(say.F("another table stands beside this one, from column %s on; it is read as a sheet of its own", header.Letter(second.from)))
	return s.beside
}

// piece is a run of columns, from and up to an index.
type piece struct{ from, to int }

// apart finds the pieces of a sheet between columns that are blank throughout.
func apart(rows [][]string) (out []piece) {
	var filled []bool
	for _, cells := range rows {
		for i, c := range cells {
			for len(filled) <= i {
				filled = append(filled, false)
			}
			filled[i] = filled[i] || strings.TrimSpace(c) != ""
		}
	}
	for i, has := range filled {
		switch {
		case !has:
		case i == 0 || !filled[i-1]:
			out = append(out, piece{i, i + 1})
		default:
			out[len(out)-1].to = i + 1
		}
	}
	return out
}

// of is a row with nothing but the piece in it.
func (p piece) of(cells []string) []string {
	out := make([]string, min(len(cells), p.to))
	if p.from < len(out) {
		copy(out[p.from:], cells[p.from:])
	}
	return out
}

// last is the last row with something of the piece.
func (p piece) last(rows [][]string) int {
	for i := len(rows) - 1; i >= 0; i-- {
		if !blank(p.of(rows[i])) {
			return i
		}
	}
	return -1
}

// namesIn are the ways in which a piece, read by itself, names its vehicles;
// none where it is no table.
func (s *sheet) namesIn(rows [][]string, p piece) (out []header.Field) {
	alone := make([][]string, len(rows))
	for i := range rows {
		alone[i] = p.of(rows[i])
	}
	l, err := header.Recognise(alone, header.Options{Measures: s.file.opts.Measures})
	if err != nil {
		return nil
	}
	for _, c := range l.Columns {
		if header.Identifies(c.Field) {
			out = append(out, c.Field)
		}
	}
	return out
}

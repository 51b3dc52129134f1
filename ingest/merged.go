package ingest

import (
	"cmp"
	"io"
	"slices"

	"pitlist/ingest/header"
	"pitlist/ingest/xlsx"
	"pitlist/score/say"
)

// reaching are the merged cells of a sheet whose value belongs to several rows
// of a table, in the order of their rows. One that reaches over several columns
// of the table is none of a single column; an amount of money is not had anew
// by every row.
func reaching(merged []xlsx.Span, tables []*sheet) (out []xlsx.Span) {
	if len(merged) == 0 {
		return nil
	}
	used := make([][]int, len(tables))
	for i, t := range tables {
		used[i] = t.usedUpTo()
	}
	for _, m := range merged {
		for i, t := range tables {
			if t.reached(m, used[i]) {
				out = append(out, m)
				break
			}
		}
	}
	slices.SortStableFunc(out, func(a, b xlsx.Span) int { return cmp.Compare(a.First, b.First) })
	return out
}

// usedUpTo counts, for each column, the columns before it that are used: a file
// may have many columns and many merged cells.
func (s *sheet) usedUpTo() []int {
	out := make([]int, 1, len(s.columns)+1)
	for i, c := range s.columns {
		n := out[i]
		if c.Field != header.Ignore {
			n++
		}
		out = append(out, n)
	}
	return out
}

// reached reports a merged cell below the headings of the table, whose first
// column is used, and none beside it.
func (s *sheet) reached(m xlsx.Span, used []int) bool {
	heading := s.view.Heading + max(0, s.view.Layout.Rows-1)
	if s.form != nil || !s.view.Skipped.Empty() || m.First <= heading || m.First < s.from || s.next != 0 && m.First >= s.next || m.Column >= len(s.columns) {
		return false
	}
	switch f := s.columns[m.Column].Field; f {
	case header.Ignore, header.Cost, header.Price, header.GuidePrice:
		return false
	}
	return used[min(m.Column+m.Columns, len(s.columns))]-used[m.Column] == 1
}

// mergedCells notes values that reach over several rows: those that were read on
// each of them, and those that count for the first. Those of the heading are read
// as such.
func (s *sheet) mergedCells(is *xlsx.Sheet) {
	left, heading := is.MoreMerged-s.reach, s.view.Heading+max(0, s.view.Layout.Rows-1)
	for _, m := range is.Merged {
		if m.First > heading {
			left++
		}
	}
	if !s.view.Skipped.Empty() {
		return
	}
	if s.reach > 0 {
		s.note(say.One(s.reach, say.F("1 merged cell reaches over several rows; its value was read on each of them"),
			say.F("%d merged cells reach over several rows; their values were read on each of them", s.reach)))
	}
	if left > 0 {
		s.note(say.One(left, say.F("1 merged cell reaches over several rows; its value counts for the first of them: take the merging back and fill it down"),
			say.F("%d merged cells reach over several rows; their values count for the first of them: take the merging back and fill them down", left)))
	}
}

// filler hands out rows with the values of merged cells on each row that they
// reach over, as far as the row stands in the file.
type filler struct {
	rows
	spans []xlsx.Span // those to come, in the order of their rows
	open  []openSpan
	cells []string
}

// openSpan is a merged cell that reaches to the row at hand or beyond.
type openSpan struct {
	xlsx.Span
	value string
}

func filledDown(open func() (rows, error), spans []xlsx.Span) func() (rows, error) {
	return func() (rows, error) {
		r, err := open()
		if err != nil {
			return nil, err
		}
		return &filler{rows: r, spans: spans}, nil
	}
}

func (f *filler) Read() (row int, cells []string, err error) {
	if row, cells, err = f.rows.Read(); err != nil {
		return row, cells, err
	}
	f.open = slices.DeleteFunc(f.open, func(o openSpan) bool { return o.Last < row })
	f.cells = append(f.cells[:0], cells...)
	for _, o := range f.open {
		for len(f.cells) <= o.Column {
			f.cells = append(f.cells, "")
		}
		if blank(f.cells[o.Column : o.Column+1]) {
			f.cells[o.Column] = o.value
		}
	}
	for len(f.spans) > 0 && f.spans[0].First <= row {
		m := f.spans[0]
		f.spans = f.spans[1:]
		taken := slices.ContainsFunc(f.open, func(o openSpan) bool { return o.Column == m.Column })
		if m.First == row && m.Last > row && m.Column < len(cells) && !blank(cells[m.Column:m.Column+1]) && !taken {
			f.open = append(f.open, openSpan{m, cells[m.Column]})
		}
	}
	return row, f.cells, nil
}

// Close lets go of the file's rows.
func (f *filler) Close() error {
	if c, ok := f.rows.(io.Closer); ok {
		return c.Close()
	}
	return nil
}

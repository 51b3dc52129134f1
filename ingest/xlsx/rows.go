package xlsx

import (
	"errors"
	"fmt"
	"io"

	"pitlist/score/say"
)

// Rows hands out one sheet's rows from top to bottom.
type Rows struct {
	book  *Book
	sheet int // index into Book.sheets
	way   way
	row   int   // handed out last
	seen  int   // rows handed out
	cells int64 // cells with a value among them
	err   error // why reading ended; repeated by later calls
}

// way is how the rows come out of the file: by our own reader, or by the library
// behind a check.
type way interface {
	read() (row int, cells []string, err error)
	close() error
}

// Rows starts on a sheet. One sheet of a book is read at a time: a second call ends
// the first Rows.
func (b *Book) Rows(sheet string) (*Rows, error) {
	if b.archive == nil {
		return nil, fmt.Errorf("workbook %s: already closed", b.path)
	}
	i := b.find(sheet)
	if i < 0 {
		return nil, fault(NoSheet, b.path, say.F("no worksheet is called %s", quoted(sheet)), nil)
	}
	if b.open != nil {
		if err := b.open.Close(); err != nil {
			return nil, err
		}
	}
	r := &Rows{book: b, sheet: i}
	var err error
	if b.plain {
		r.way, err = b.ownWay(i)
	} else {
		r.way, err = b.secondWay(i)
	}
	if err != nil {
		return nil, err
	}
	b.open = r
	return r, nil
}

// Read gives the next row that holds something: its number as the user sees it and
// its cells as stored, from column A on. Cells after the last one with a value are
// cut, so rows differ in length. Rows without any value are passed over. The slice
// is valid until the next Read; its strings stay, but several rows share the memory
// of theirs: clone what is kept for long. At the end Read returns io.EOF, or an error
// if the sheet is damaged: then no row of it can be trusted.
func (r *Rows) Read() (row int, cells []string, err error) {
	if r.err != nil {
		return 0, nil, r.err
	}
	row, cells, err = r.way.read()
	if errors.Is(err, errUnsure) {
		if err = r.changeWay(); err == nil {
			row, cells, err = r.way.read()
		}
	}
	if err != nil {
		r.err = err
		return 0, nil, err
	}
	r.row = row
	r.count(cells)
	return row, cells, nil
}

// count keeps the figures of what was handed out.
func (r *Rows) count(cells []string) {
	r.seen++
	for _, c := range cells {
		if c != "" {
			r.cells++
		}
	}
}

// changeWay goes on with the library where our own reader met what it does not
// understand: the sheet is checked from its beginning, and the rows that were handed
// out are passed over. They must be as many, with as many values, ending in the same row.
func (r *Rows) changeWay() error {
	if err := r.way.close(); err != nil {
		return err
	}
	r.way = nil
	way, err := r.book.secondWay(r.sheet)
	if err != nil {
		return err
	}
	r.way = way
	again := Rows{}
	for again.seen < r.seen {
		row, cells, err := way.read()
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if err != nil {
			break
		}
		again.row = row
		again.count(cells)
	}
	if again.row != r.row || again.seen != r.seen || again.cells != r.cells {
		return r.book.sheetFault(r.sheet, say.F("two ways of reading it differ: row %d, %d rows with %d values, and row %d, %d rows with %d values",
			r.row, r.seen, r.cells, again.row, again.seen, again.cells), nil)
	}
	return nil
}

// Close ends the reading; later calls of Read fail.
func (r *Rows) Close() error {
	if r.book.open == r {
		r.book.open = nil
	}
	if r.err == nil {
		r.err = fmt.Errorf("workbook %s: sheet %q: already closed", r.book.path, r.book.sheets[r.sheet].Name)
	}
	if r.way == nil {
		return nil
	}
	way := r.way
	r.way = nil
	return way.close()
}

// sheetFault is a Damaged fault of one sheet.
func (b *Book) sheetFault(sheet int, text say.Text, err error) error {
	f := fault(Damaged, b.path, text, err)
	f.Sheet = b.sheets[sheet].Name
	return f
}

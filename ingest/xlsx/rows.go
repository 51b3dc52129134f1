package xlsx

import (
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// Rows hands out one sheet's rows from top to bottom.
type Rows struct {
	book  *Book
	sheet Sheet
	rows  *excelize.Rows
	at    int   // number of the row excelize stands on
	seen  int   // rows delivered
	cells int64 // cells with a value delivered
	err   error // why reading ended; repeated by later calls
}

// Rows starts on a sheet. One sheet of a book is read at a time: a second call ends
// the first Rows.
func (b *Book) Rows(sheet string) (*Rows, error) {
	if b.file == nil {
		return nil, fmt.Errorf("workbook %s: already closed", b.path)
	}
	s, ok := b.sheet(sheet)
	if !ok {
		return nil, fault(NoSheet, b.path, fmt.Sprintf("no worksheet is called %q", sheet), nil)
	}
	if b.open != nil {
		if err := b.open.Close(); err != nil {
			return nil, err
		}
	}
	rows, err := b.file.Rows(s.Name)
	if err != nil {
		return nil, b.sheetFault(s.Name, "cannot be read", err)
	}
	r := &Rows{book: b, sheet: s, rows: rows}
	b.open = r
	return r, nil
}

// Read gives the next row that holds something: its number as the user sees it and
// its cells as stored, from column A on. Cells after the last one with a value are
// cut, so rows differ in length. Rows without any value are passed over. The slice
// is valid until the next Read. At the end it returns io.EOF, or an error if what
// was delivered is not all that the integrity pass counted.
func (r *Rows) Read() (row int, cells []string, err error) {
	if r.err != nil {
		return 0, nil, r.err
	}
	if row, cells, err = r.next(); err != nil {
		r.err = err
		return 0, nil, err
	}
	return row, cells, nil
}

// next advances excelize to a row with cells. It stops at the last row with a value,
// which the integrity pass knows: past the end of the rows excelize takes anchors of
// drawings for rows, and a million styled blank rows would be walked for nothing.
func (r *Rows) next() (row int, cells []string, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = r.book.sheetFault(r.sheet.Name, fmt.Sprintf("row %d: reader stopped: %v", r.at, p), nil)
		}
	}()
	for r.at < r.sheet.last {
		if err := r.book.ctx.Err(); err != nil {
			return 0, nil, err
		}
		if !r.rows.Next() {
			break
		}
		r.at++
		cells, err := r.rows.Columns()
		if err = errors.Join(err, r.rows.Error()); err != nil {
			return 0, nil, r.book.sheetFault(r.sheet.Name, fmt.Sprintf("row %d", r.at), err)
		}
		if len(cells) > 0 {
			r.count(cells)
			return r.at, cells, nil
		}
	}
	return 0, nil, r.finish()
}

// count keeps the figures that finish compares.
func (r *Rows) count(cells []string) {
	r.seen++
	for _, c := range cells {
		if c != "" {
			r.cells++
		}
	}
}

// finish compares what was delivered with what the integrity pass counted: the last
// guard against rows lost in silence.
func (r *Rows) finish() error {
	if err := r.rows.Error(); err != nil {
		return r.book.sheetFault(r.sheet.Name, fmt.Sprintf("after row %d", r.at), err)
	}
	if r.seen != r.sheet.Rows || r.cells != r.sheet.cells {
		return r.book.sheetFault(r.sheet.Name, fmt.Sprintf(
			"%d rows with %d values were read, but the file holds %d rows with %d values",
			r.seen, r.cells, r.sheet.Rows, r.sheet.cells), nil)
	}
	return io.EOF
}

// Close ends the reading; later calls of Read fail.
func (r *Rows) Close() error {
	if r.rows == nil {
		return nil
	}
	if r.book.open == r {
		r.book.open = nil
	}
	if r.err == nil {
		r.err = fmt.Errorf("workbook %s: sheet %q: already closed", r.book.path, r.sheet.Name)
	}
	rows := r.rows
	r.rows = nil
	return rows.Close()
}

// sheetFault is a Damaged fault of one sheet.
func (b *Book) sheetFault(sheet, text string, err error) error {
	f := fault(Damaged, b.path, text, err)
	f.Sheet = sheet
	return f
}

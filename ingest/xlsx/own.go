package xlsx

import (
	"errors"
	"io"
)

// ownWay reads a sheet in one pass: the scanner walks the XML, the form checks it and
// makes rows of it, the archive compares size and checksum at the end.
type ownWay struct {
	book  *Book
	sheet int
	part  *partReader
	scan  *scanner
	form  *sheetForm
	next  int    // row of the form's block to hand out
	text  string // the block's
	cells []string
	err   error // what follows the block
}

func (b *Book) ownWay(sheet int) (way, error) {
	s := &b.sheets[sheet]
	part, err := b.archive.open(s.part)
	if err != nil {
		return nil, asFault(b.path, s.Name, s.part, err)
	}
	w := &ownWay{book: b, sheet: sheet, part: part, form: b.form(sheet)}
	w.scan = newScanner(part, w.form)
	return w, nil
}

// form prepares the walk through a sheet. Rows and texts of the other sheets so far
// count against the limits.
func (b *Book) form(sheet int) *sheetForm {
	f := newSheetForm(b.strings, b.limits)
	f.units = b.units
	for i := range b.sheets {
		if i != sheet {
			f.rowsLeft -= b.sheets[i].elements()
			f.textLeft -= b.sheets[i].text
		}
	}
	return f
}

func (w *ownWay) read() (row int, cells []string, err error) {
	if err := w.book.ctx.Err(); err != nil {
		return 0, nil, err
	}
	for w.next == len(w.form.block.rows) {
		if w.err != nil {
			return 0, nil, w.err
		}
		w.fill()
	}
	row, w.cells = w.form.block.row(w.next, w.text, w.cells)
	w.next++
	return row, w.cells, nil
}

// fill walks on until a block of rows is there, or the walk ends.
func (w *ownWay) fill() {
	b := &w.form.block
	b.reset()
	w.next = 0
	for !b.full() || w.form.at != inData {
		more, err := w.scan.step()
		if err != nil || !more {
			w.ended(err)
			break
		}
	}
	w.text = string(b.text)
}

// ended decides what the end of the walk means. A row that was begun is forgotten.
func (w *ownWay) ended(err error) {
	s := &w.book.sheets[w.sheet]
	switch {
	case err == nil:
		w.err = io.EOF
		s.learn(w.form)
	case w.scan.unsure(err):
		w.err = errUnsure
	default:
		w.err = asFault(w.book.path, s.Name, s.part, err)
	}
}

func (w *ownWay) close() error {
	if w.part == nil {
		return nil
	}
	part := w.part
	w.part = nil
	if w.err == nil {
		w.err = errors.New("closed")
	}
	return part.Close()
}

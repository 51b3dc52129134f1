package xlsx

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
)

// libraryWay reads a sheet with excelize, after encoding/xml has walked it to its end.
// It takes whatever our own reader does not vouch for, and is slow.
type libraryWay struct {
	book  *Book
	sheet int
	check *sheetForm // what the walk saw
	rows  *excelize.Rows
	at    int   // number of the row excelize stands on
	seen  int   // rows delivered
	units int   // of the cells that the check saw with a unit, those passed
	cells int64 // cells with a value delivered
}

func (b *Book) secondWay(sheet int) (way, error) {
	s := &b.sheets[sheet]
	check := b.form(sheet)
	check.discard = true
	if err := b.archive.read(s.part, func(r io.Reader) error { return walkXML(r, check, b.limits) }); err != nil {
		return nil, asFault(b.path, s.Name, s.part, err)
	}
	if b.library == nil {
		if err := b.openLibrary(); err != nil {
			return nil, err
		}
	}
	rows, err := b.library.Rows(s.Name)
	if err != nil {
		return nil, b.sheetFault(sheet, say.F("cannot be read"), err)
	}
	return &libraryWay{book: b, sheet: sheet, check: check, rows: rows}, nil
}

// stylesPart is where the library looks for styles.
const stylesPart = "xl/styles.xml"

// openLibrary hands the sheets to the library, and what they need.
func (b *Book) openLibrary() error {
	needed := map[string]bool{contentTypes: true, rootRels: true, b.book: true, relsOf(b.book): true, stringsPart: true, stylesPart: true}
	for i := range b.sheets {
		needed[b.sheets[i].part] = true
	}
	data, err := b.archive.copy(needed)
	if err != nil {
		return err
	}
	if b.library, err = openExcelize(data, b.spool, b.limits); err != nil {
		return fault(Damaged, b.path, say.F("cannot be opened"), err)
	}
	return nil
}

// openExcelize hands bytes to excelize. A panic there is turned into an error: one
// odd workbook must not take the whole batch down.
func openExcelize(data []byte, spool string, limits Limits) (f *excelize.File, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("reader stopped: %v", p)
		}
	}()
	return excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:   true,
		TmpDir:         spool,
		UnzipSizeLimit: max(limits.Bytes, excelize.StreamChunkSize),
	})
}

// read advances excelize to a row with cells. It stops at the last row with a value,
// which the check knows: past the end of the rows excelize takes anchors of drawings
// for rows, and a million styled blank rows would be walked for nothing.
func (w *libraryWay) read() (row int, cells []string, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = w.book.sheetFault(w.sheet, say.F("row %d: reader stopped: %s", w.at, fmt.Sprint(p)), nil)
		}
	}()
	for w.at < w.check.sheet.last {
		if err := w.book.ctx.Err(); err != nil {
			return 0, nil, err
		}
		if !w.rows.Next() {
			break
		}
		w.at++
		cells, err := w.rows.Columns()
		if err = errors.Join(err, w.rows.Error()); err != nil {
			return 0, nil, w.book.sheetFault(w.sheet, say.F("row %d", w.at), err)
		}
		if len(cells) > 0 {
			w.count(cells)
			return w.at, w.withUnits(cells), nil
		}
	}
	return 0, nil, w.finish()
}

// withUnits writes behind the figures of the row what their number formats write.
func (w *libraryWay) withUnits(cells []string) []string {
	for ; w.units < len(w.check.beside) && int(w.check.beside[w.units].row) <= w.at; w.units++ {
		if b := w.check.beside[w.units]; int(b.row) == w.at && int(b.column) <= len(cells) && cells[b.column-1] != "" {
			cells[b.column-1] += b.unit
		}
	}
	return cells
}

func (w *libraryWay) count(cells []string) {
	w.seen++
	for _, c := range cells {
		if c != "" {
			w.cells++
		}
	}
}

// finish compares what was delivered with what the check counted: the last guard
// against rows lost in silence.
func (w *libraryWay) finish() error {
	if err := w.rows.Error(); err != nil {
		return w.book.sheetFault(w.sheet, say.F("after row %d", w.at), err)
	}
	if s := &w.check.sheet; w.seen != s.Rows || w.cells != s.cells {
		return w.book.sheetFault(w.sheet, say.F("%d rows with %d values were read, but the file holds %d rows with %d values",
			w.seen, w.cells, s.Rows, s.cells), nil)
	}
	w.book.sheets[w.sheet].learn(w.check)
	return io.EOF
}

func (w *libraryWay) close() error { return w.rows.Close() }

// properties asks the library for the date system. It is given the workbook without
// its sheets and strings: opening it whole would inflate everything once more.
func (b *Book) properties(book string) error {
	data, err := b.archive.copy(map[string]bool{contentTypes: true, rootRels: true, book: true, relsOf(book): true})
	if err != nil {
		return err
	}
	f, err := openExcelize(data, b.spool, b.limits)
	if err != nil {
		return fault(Damaged, b.path, say.F("cannot be opened"), err)
	}
	props, err := f.GetWorkbookProps()
	if err = errors.Join(err, f.Close()); err != nil {
		return fault(Damaged, b.path, say.F("its properties cannot be read"), err)
	}
	b.date1904 = props.Date1904 != nil && *props.Date1904
	return nil
}

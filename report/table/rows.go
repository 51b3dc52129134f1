package table

import (
	"bytes"
	"context"
	"io"
	"math"
	"strconv"
	"time"
	"unicode"
	"unicode/utf8"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
)

// rows writes records of a CSV file, cell by cell, as encoding/csv writes them;
// a test holds them against it. It remembers its first error and asks the
// context every so often. A million rows are made in the room of one.
type rows struct {
	ctx    context.Context
	out    io.Writer
	speaks *say.Language
	n      int
	err    error
	row    []byte // the cells so far, a comma behind each
	cell   []byte // what a cell says
}

const askEvery = 1024 // rows between two looks at the context

// newRows begins a file with the names of its columns.
func newRows(ctx context.Context, w io.Writer, d *report.Document, header ...string) *rows {
	r := &rows{ctx: ctx, out: w, speaks: d.Run.Speaks()}
	r.text(header...)
	r.put()
	return r
}

// put writes the row and tells whether to go on.
func (r *rows) put() bool {
	if r.n++; r.err == nil && r.n%askEvery == 0 {
		r.err = r.ctx.Err()
	}
	if r.err == nil {
		r.row[len(r.row)-1] = '\n' // in place of the last comma
		_, r.err = r.out.Write(r.row)
	}
	r.row = r.row[:0]
	return r.err == nil
}

// text adds cells that a person or a spreadsheet may have filled in.
func (r *rows) text(cells ...string) {
	for _, s := range cells {
		r.cell = append(r.cell[:0], s...)
		r.add()
	}
}

// said adds texts in the run's language.
func (r *rows) said(texts ...say.Text) {
	for _, t := range texts {
		r.cell = t.AppendIn(r.cell[:0], r.speaks)
		r.add()
	}
}

// add adds what stands in the cell's room.
func (r *rows) add() { r.row = append(appendQuoted(r.row, Safe(r.cell)), ',') }

// appendQuoted appends a cell, between quotation marks where it needs them.
func appendQuoted(to, cell []byte) []byte {
	if !needsQuotes(cell) {
		return append(to, cell...)
	}
	to = append(to, '"')
	for i := bytes.IndexByte(cell, '"'); i >= 0; i = bytes.IndexByte(cell, '"') {
		to = append(append(to, cell[:i]...), `""`...)
		cell = cell[i+1:]
	}
	return append(append(to, cell...), '"')
}

// needsQuotes is encoding/csv's rule: the characters of the format, a blank in
// front, and what some database takes for the end.
func needsQuotes(cell []byte) bool {
	first, _ := utf8.DecodeRune(cell)
	return unicode.IsSpace(first) || bytes.ContainsAny(cell, ",\"\r\n") || string(cell) == `\.`
}

// number adds numbers with as many digits as tell each apart from every other;
// an empty cell for what is no number.
func (r *rows) number(numbers ...float64) {
	for _, x := range numbers {
		r.row = append(appendNumber(r.row, x), ',')
	}
}

// known adds numbers where they are known, else empty cells.
func (r *rows) known(are bool, numbers ...float64) {
	for _, x := range numbers {
		if are {
			r.row = appendNumber(r.row, x)
		}
		r.row = append(r.row, ',')
	}
}

// appendNumber writes in plain notation in the range of everyday amounts, since
// not every reader takes 2e+06.
func appendNumber(to []byte, x float64) []byte {
	switch a := math.Abs(x); {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return to
	case x == 0:
		return append(to, '0') // never -0
	case a >= 1e-4 && a < 1e15:
		return strconv.AppendFloat(to, x, 'f', -1, 64)
	}
	return strconv.AppendFloat(to, x, 'g', -1, 64)
}

// count adds integers.
func (r *rows) count(numbers ...int) {
	for _, n := range numbers {
		r.row = append(strconv.AppendInt(r.row, int64(n), 10), ',')
	}
}

// stated adds an integer; 0 means not stated.
func (r *rows) stated(n int) {
	if n == 0 {
		r.empty(1)
		return
	}
	r.count(n)
}

// truth adds answers, true or false.
func (r *rows) truth(answers ...bool) {
	for _, is := range answers {
		r.row = append(strconv.AppendBool(r.row, is), ',')
	}
}

// day adds a day as 2026-10-12; an empty cell where none is stated.
func (r *rows) day(d score.Day) {
	if d != 0 {
		r.row = d.Time().AppendFormat(r.row, time.DateOnly)
	}
	r.empty(1)
}

// empty adds so many empty cells.
func (r *rows) empty(n int) {
	for range n {
		r.row = append(r.row, ',')
	}
}

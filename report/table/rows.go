package table

import (
	"context"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"time"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
)

// rows writes records of a CSV file, cell by cell. It remembers its first error
// and asks the context every so often. A row costs one piece of memory.
type rows struct {
	ctx    context.Context
	out    *csv.Writer
	speaks *say.Language
	n      int
	err    error
	row    []byte   // the cells so far, one behind the other
	ends   []int    // of each cell in row
	cells  []string // room for put
	cell   []byte   // what a cell says
}

const askEvery = 1024 // rows between two looks at the context

// newRows begins a file with the names of its columns.
func newRows(ctx context.Context, w io.Writer, d *report.Document, header ...string) *rows {
	r := &rows{ctx: ctx, out: csv.NewWriter(w), speaks: d.Run.Speaks()}
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
		row, from := string(r.row), 0
		r.cells = r.cells[:0]
		for _, end := range r.ends {
			r.cells, from = append(r.cells, row[from:end]), end
		}
		r.err = r.out.Write(r.cells)
	}
	r.row, r.ends = r.row[:0], r.ends[:0]
	return r.err == nil
}

// end writes what is left, and returns the first error.
func (r *rows) end() error {
	if r.out.Flush(); r.err == nil {
		r.err = r.out.Error()
	}
	return r.err
}

// ended marks the end of a cell.
func (r *rows) ended() { r.ends = append(r.ends, len(r.row)) }

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
func (r *rows) add() {
	r.row = append(r.row, Safe(r.cell)...)
	r.ended()
}

// number adds numbers with as many digits as tell each apart from every other;
// an empty cell for what is no number.
func (r *rows) number(numbers ...float64) {
	for _, x := range numbers {
		r.row = appendNumber(r.row, x)
		r.ended()
	}
}

// known adds numbers where they are known, else empty cells.
func (r *rows) known(are bool, numbers ...float64) {
	for _, x := range numbers {
		if are {
			r.row = appendNumber(r.row, x)
		}
		r.ended()
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
		r.row = strconv.AppendInt(r.row, int64(n), 10)
		r.ended()
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
		r.row = strconv.AppendBool(r.row, is)
		r.ended()
	}
}

// day adds a day as 2026-10-12; an empty cell where none is stated.
func (r *rows) day(d score.Day) {
	if d != 0 {
		r.row = d.Time().AppendFormat(r.row, time.DateOnly)
	}
	r.ended()
}

// empty adds so many empty cells.
func (r *rows) empty(n int) {
	for range n {
		r.ended()
	}
}

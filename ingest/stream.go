package ingest

import (
	"context"
	"errors"
	"io"

	"pitlist/ingest/csv"
)

// rows is what both kinds of file hand out: the row's number as people see
// it and its cells, which are valid until the next Read.
type rows interface {
	Read() (row int, cells []string, err error)
}

// line is one row of a file, or what is wrong with it.
type line struct {
	row   int
	cells []string      // of a faulty row: as they read with quotes as plain text; nil where they do not
	fault *csv.RowError // nil for a row in order
}

// batch carries lines from the goroutine that reads to the one that converts.
// It is used again and again; the cells of all its lines stand in one slice.
type batch struct {
	lines []line
	cells []string
	err   error // why reading ended; io.EOF at the end
}

// batchRows and inFlight bound what lies between the two goroutines: enough
// that neither waits for the other, small beside the sheet.
const (
	batchRows = 256
	inFlight  = 4
)

// each hands every line of a sheet to use, from the first on. Reading and
// unpacking go on in a goroutine of their own while use is at work; it has
// ended when each returns.
func each(ctx context.Context, open func() (rows, error), use func(*line) error) (err error) {
	r, err := open()
	if err != nil {
		return err
	}
	full, free, stop := make(chan *batch, inFlight), make(chan *batch, inFlight), make(chan struct{})
	for range inFlight {
		free <- &batch{}
	}
	go pump(r, full, free, stop)
	defer func() {
		close(stop)
		for range full { // until the reader has seen it
		}
		if c, ok := r.(io.Closer); ok {
			err = errors.Join(err, c.Close())
		}
	}()
	for b := range full {
		for i := range b.lines {
			if err := use(&b.lines[i]); err != nil {
				return err
			}
		}
		switch {
		case errors.Is(b.err, io.EOF):
			return ctx.Err()
		case b.err != nil:
			return b.err
		}
		free <- b
	}
	return ctx.Err()
}

// pump reads into batches until the sheet ends or nobody wants more.
func pump(r rows, full chan<- *batch, free <-chan *batch, stop <-chan struct{}) {
	defer close(full)
	for {
		select {
		case <-stop:
			return
		case b := <-free:
			b.fill(r)
			full <- b // never blocks: there are as many places as batches
			if b.err != nil {
				return
			}
		}
	}
}

// fill reads the next lines. Only the slice of cells is copied: strings never
// change.
func (b *batch) fill(r rows) {
	b.lines, b.cells, b.err = b.lines[:0], b.cells[:0], nil
	for len(b.lines) < batchRows {
		row, cells, err := r.Read()
		l := line{row: row}
		if err != nil && !errors.As(err, &l.fault) {
			b.err = err
			return
		}
		if l.fault != nil {
			l.row, cells = l.fault.Row, l.fault.Cells
		}
		if cells != nil {
			from := len(b.cells)
			b.cells = append(b.cells, cells...)
			l.cells = b.cells[from:len(b.cells):len(b.cells)]
		}
		b.lines = append(b.lines, l)
	}
}

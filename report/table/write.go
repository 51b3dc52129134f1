package table

import (
	"bufio"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"sync"

	"pitlist/report"
)

// Create makes a new file by its plain name. What it returns is closed once,
// and its Close reports what writing it cost (a full disk).
type Create func(name string) (io.WriteCloser, error)

// file is one of the files of a run with what writes its content.
type file struct {
	name string
	put  func(ctx context.Context, w io.Writer, d *report.Document) error
	buys bool // a file of the buying desks only
}

// files lists what a run writes for programs.
var files = [...]file{
	{name: "worklist.csv", put: worklist},
	{name: "findings.csv", put: findings},
	{name: "other_checks.csv", put: otherChecks},
	{name: "rejected.csv", put: rejected},
	{name: "vins.csv", put: vins},
	{name: "odometer.csv", put: odometers},
	{name: "kits.csv", put: kits},
	{name: "bills.csv", put: bills, buys: true},
	{name: "run.json", put: runJSON},
}

// Write writes all files of the document, several at a time. It stops when
// the context ends, and returns every fault; the caller removes what was
// begun.
func Write(ctx context.Context, create Create, d *report.Document) error {
	errs := make([]error, len(files))
	var wait sync.WaitGroup
	for i := range files {
		if files[i].buys && !d.Buys() {
			continue
		}
		wait.Go(func() {
			if err := writeFile(ctx, create, &files[i], d); err != nil {
				errs[i] = fmt.Errorf("write %s: %w", files[i].name, err)
			}
		})
	}
	wait.Wait()
	return errors.Join(errs...)
}

func writeFile(ctx context.Context, create Create, f *file, d *report.Document) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	out, err := create(f.name)
	if err != nil {
		return err
	}
	buffer := bufio.NewWriterSize(out, 1<<16)
	err = f.put(ctx, buffer, d)
	return errors.Join(err, buffer.Flush(), out.Close())
}

// rows writes records of a CSV file; it remembers its first error and asks
// the context every so often.
type rows struct {
	ctx context.Context
	csv *csv.Writer
	n   int
	err error
	row []string // room for a row, from one to the next
}

// begin is a row's first cells, to which more may be appended before it is put.
func (r *rows) begin(cells ...string) []string { return append(r.row[:0], cells...) }

const askEvery = 1024 // rows between two looks at the context

func newRows(ctx context.Context, w io.Writer, header ...string) *rows {
	r := &rows{ctx: ctx, csv: csv.NewWriter(w)}
	r.err = r.csv.Write(header)
	return r
}

// put writes one record and tells whether to go on.
func (r *rows) put(cells ...string) bool {
	if r.n++; r.err == nil && r.n%askEvery == 0 {
		r.err = r.ctx.Err()
	}
	if r.err == nil {
		r.err = r.csv.Write(cells)
	}
	r.row = cells[:0]
	return r.err == nil
}

func (r *rows) end() error {
	r.csv.Flush()
	return errors.Join(r.err, r.csv.Error())
}

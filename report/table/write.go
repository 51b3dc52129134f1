package table

import (
	"bufio"
	"context"
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

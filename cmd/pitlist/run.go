package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"pitlist/report"
	"pitlist/score"
)

func newRun(w *world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "run JOB",
		Short: "Read, judge, plan and write the list of one job",
		Long: `Reads the job's spreadsheets, judges every vehicle against the catalogue, plans
the bay-hours and writes the run's folder: pitlist.xlsx for people, CSV and JSON
for programs. The folder appears whole or not at all.`,
		Example:           "  pitlist run weekly.yaml\n  pitlist run weekly.yaml --as-of 2026-11-23",
		Args:              exactly(1, "one job file"),
		ValidArgsFunction: jobFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := w.day()
			if err != nil {
				return err
			}
			_, err = w.runJob(cmd.Context(), args[0], day)
			return err
		},
	}
	w.addDay(cmd)
	w.addWithout(cmd)
	return cmd
}

// runJob makes one run of a job and tells how it ended.
func (w *world) runJob(ctx context.Context, path string, day score.Day) (*batch, error) {
	p := newProgress(w.errOut)
	defer p.end()
	b, err := configure(path, day, p)
	if err != nil {
		return nil, err
	}
	b.without, b.language = w.without, w.language
	folder, err := hold(b.job.OutputFolder())
	if err != nil {
		return nil, err
	}
	defer folder.release()
	name, doc, err := b.carryOut(ctx, folder)
	if err != nil {
		return nil, err
	}
	p.end()
	w.tell(b, doc, filepath.Join(b.job.OutputFolder(), name))
	if b.metrics != nil {
		fmt.Fprintf(w.errOut, "note: the metrics file %s cannot be written: %s\n", b.job.Metrics, cause(b.metrics))
	}
	return b, b.outcome()
}

// carryOut makes the run of a configured batch in the output folder that is
// held for it. It says nothing; name is that of the run's own folder.
func (b *batch) carryOut(ctx context.Context, f *folder) (name string, doc *report.Document, err error) {
	b.began, b.writes = b.now(), true
	if b.memory, err = remember(ctx, b, b.without); err != nil {
		return "", nil, err
	}
	defer b.memory.leave(b, &err)
	if err := b.memory.settle(ctx, f); err != nil {
		return "", nil, err
	}
	if err := b.readBeside(ctx); err != nil {
		return "", nil, err
	}
	if err := b.memory.recall(ctx, b); err != nil {
		return "", nil, err
	}
	if err := b.judge(ctx); err != nil {
		return "", nil, err
	}
	if name, doc, err = f.write(ctx, b); err == nil {
		b.metrics = writeMetrics(b.job, f.path, nil)
	}
	return name, doc, err
}

// readBeside reads the inputs while the record's pages are checked. A damaged
// record ends it at once.
func (b *batch) readBeside(ctx context.Context) error {
	reading, stop := b.memory.unsound(ctx)
	defer stop()
	err := b.readInputs(reading)
	if err != nil && reading.Err() != nil && ctx.Err() == nil {
		return b.memory.sound()
	}
	return err
}

// outcome is how a run that was written ends: with a code of its own where
// rows or files were refused or files set aside.
func (b *batch) outcome() error {
	if n := score.Sum(b.read.Fleet.Counts).Rejected; n > 0 || unread(b) > 0 || b.aside > 0 {
		return &ended{exitRejected}
	}
	return nil
}

// unread counts the files that could not be read.
func unread(b *batch) int {
	n := 0
	for _, f := range b.read.Files {
		if f.Err != nil {
			n++
		}
	}
	return n
}

// tell says on the terminal what was written and what was not used.
func (w *world) tell(b *batch, doc *report.Document, folder string) {
	c := score.Sum(b.read.Fleet.Counts)
	fmt.Fprintf(w.out, "%d rows read: %d used, %d set aside, %d rejected, %d merged, %d blank\n", c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank)
	for _, f := range b.read.Files {
		if f.Err != nil {
			fmt.Fprintf(w.out, "not read: %s\n", f.Words())
		}
	}
	fmt.Fprintf(w.out, "%s read, %d of them with a part that the catalogue may concern\n", plural(len(b.read.Fleet.Vehicles), "vehicle"), b.concerned())
	for _, line := range doc.Head {
		fmt.Fprintln(w.out, line)
	}
	if n := doc.TodayVehicles(); n > 0 {
		fmt.Fprintf(w.out, "look today: %s, at the head of the first sheet\n", plural(n, "vehicle"))
	}
	for row := range doc.Worklist() {
		if row.Rank > 3 {
			break
		}
		fmt.Fprintf(w.out, "%d. %s: %s\n", row.Rank, row.Name(), row.Say())
	}
	fmt.Fprintf(w.out, "open %s\n", filepath.Join(folder, workbookName))
}

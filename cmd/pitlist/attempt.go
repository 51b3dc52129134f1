package main

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"pitlist/config"
	"pitlist/ingest"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

// makeRun makes one scheduled run under the lock of its output folder. What
// another process has settled meanwhile is not made again. With draws 0 the
// intervals rest on as many draws as ever.
func makeRun(c clock, draws int) func(ctx context.Context, job *config.Job, o *order) (*made, error) {
	kept := &scorers{}
	return func(ctx context.Context, job *config.Job, o *order) (*made, error) {
		b, err := prepare(job, odometer.DayOf(o.moment.Day()), nil)
		if err != nil {
			return nil, err
		}
		b.scorers, b.draws, b.clock, b.scheduled, b.notes = kept, draws, c.now, o.moment.At, o.notes
		if o.problem != "" {
			b.notes = append(b.notes, say.F("the job file on disk is at fault, and this run was made by the last sound one: %s", o.problem))
		}
		b.setAside(o.aside)
		f, err := hold(job.OutputFolder())
		if err != nil {
			return nil, err
		}
		defer f.release()
		n, _ := readNote(f.path, job.Name) // a damaged note is replaced; what runs say still counts
		if !n.Settled.Before(o.moment.At) {
			return nil, errSettled
		}
		n.try(o.moment.At, c.now())
		if err := f.writeNote(n); err != nil {
			return nil, cannotWrite(f.path, err)
		}
		name, doc, err := b.carryOut(ctx, f)
		if err != nil {
			return nil, err
		}
		n.settle(o.moment.At)
		// The run's own folder says the same: see lastScheduled.
		_ = f.writeNote(n)
		return &made{b, doc, name}, nil
	}
}

// attrs name the run in the log.
func (o *order) attrs() []any {
	a := []any{"scheduled", o.moment.At.Format(time.RFC3339), "day", o.moment.Day().Format(time.DateOnly), "tries", o.tries}
	if o.madeUp {
		a = append(a, "made_up", true, "missed", o.missed+1)
	}
	return a
}

// failureOf is an error with its hint, for the log, without what it quotes of
// the inputs.
func failureOf(err error) slog.Attr {
	text, hint := explain(err, say.English)
	var q *quotingError
	if errors.As(err, &q) {
		text = strings.ReplaceAll(text, q.cells, "")
	}
	return slog.Group("failure", "code", codeOf(err), "err", text, "hint", hint)
}

// explain is what stopped a run and what to do about it. What is wrong with the
// inputs is said in the language; what the system, a library or this program
// says to whoever keeps it running stays as the terminal has it.
func explain(err error, l *say.Language) (text, hint string) {
	var f *failure
	var in *ingest.Fault
	text = err.Error()
	if errors.As(err, &in) {
		text, hint = strings.Replace(text, in.Error(), l.Say(in.Text), 1), l.Say(in.Hint)
	}
	if errors.As(err, &f) {
		hint = f.hint
	}
	return text, hint
}

// codeOf is the exit code that an error stands for.
func codeOf(err error) int {
	var f *failure
	var quiet *ended
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, context.Canceled):
		return exitInterrupted
	case errors.As(err, &f):
		return f.code
	case errors.As(err, &quiet):
		return quiet.code
	}
	return exitFailed
}

// done writes the one line at the end of a run and tells who wants to know.
func (k *keeper) done(ctx context.Context, o *order, m *made) {
	if m == nil {
		return // another process's, which has told of it
	}
	b := m.batch
	rows, t := score.Sum(b.read.Fleet.Counts), &b.list.Totals
	attrs := append(o.attrs(), "run", m.name, "code", codeOf(b.outcome()),
		slog.Group("rows", "read", rows.Read, "used", rows.Used, "set_aside", rows.SetAside, "rejected", rows.Rejected, "merged", rows.Merged, "blank", rows.Blank),
		"vehicles", t.Vehicles, "above_line", t.Above, "hours", t.Hours, "failures_expected", t.FailNext.Mean,
		"files_unread", unread(b)+b.aside, "warnings", len(m.doc.Run.Warnings), "seconds", b.now().Sub(b.began).Seconds(), secondsOf(b.took))
	k.log.Info("run done", attrs...)
	for _, w := range m.doc.Run.Warnings {
		k.log.Debug("warning", "text", w.String())
	}
	if b.metrics != nil {
		k.log.Warn("the metrics file cannot be written", "err", cause(b.metrics))
	}
	if k.job.Notify != nil && !k.job.Notify.OnlyFailure {
		k.tell(ctx, k.job, noticeOf(k.job, o, m))
	}
}

func secondsOf(stages []took) slog.Attr {
	var attrs []any
	for _, s := range stages {
		attrs = append(attrs, slog.Float64(s.Stage, s.Seconds))
	}
	return slog.Group("took", attrs...)
}

// gaveUp reports a run that failed for good.
func (k *keeper) gaveUp(ctx context.Context, o *order, err error) {
	k.log.Error("the run failed and is given up", append(o.attrs(), failureOf(err))...)
	k.publishFailure(o)
	if k.job.Notify != nil {
		k.tell(ctx, k.job, failureNotice(k.job, o, err))
	}
}

// publishFailure puts a failure into the metrics file.
func (k *keeper) publishFailure(o *order) {
	if err := writeMetrics(k.job, k.job.OutputFolder(), &failed{k.clock.now(), o.tries}); err != nil {
		k.log.Warn("the metrics file cannot be written", "err", cause(err))
	}
}

// notice is what the command of notify gets as JSON, and what mail is made of.
type notice struct {
	Job       string          `json:"job"`
	Outcome   string          `json:"outcome"` // done, done with rows or files left out, failed
	Code      int             `json:"exit_code"`
	Day       string          `json:"day"`
	Scheduled time.Time       `json:"scheduled"`
	MadeUp    bool            `json:"made_up"`
	Missed    int             `json:"missed"` // scheduled times that the run stands for beside its own
	Tries     int             `json:"tries"`
	Folder    string          `json:"folder,omitempty"` // of the run
	Workbook  string          `json:"workbook,omitempty"`
	Error     string          `json:"error,omitempty"`
	Hint      string          `json:"hint,omitempty"`
	Head      []string        `json:"head"` // the list in a few sentences
	Run       json.RawMessage `json:"run"`  // run.json of the run; null where there is none

	language *say.Language // of the head and the e-mail; nil: English
}

// speaks is the language of what the notice says to people.
func (n *notice) speaks() *say.Language {
	if n.language == nil {
		return say.English
	}
	return n.language
}

// The outcomes of a run.
const (
	outcomeDone   = "done"
	outcomePart   = "done, some rows or files left out"
	outcomeFailed = "failed"
)

func startNotice(job *config.Job, o *order) *notice {
	language, _ := say.ByTag(job.Language) // the job was checked
	return &notice{language: language, Job: job.Name, Day: o.moment.Day().Format(time.DateOnly), Scheduled: o.moment.At,
		MadeUp: o.madeUp, Missed: o.missed, Tries: o.tries, Head: []string{}, Run: json.RawMessage("null")}
}

// noticeOf tells of a run that was written.
func noticeOf(job *config.Job, o *order, m *made) *notice {
	n := startNotice(job, o)
	n.Outcome, n.Code = outcomeDone, codeOf(m.batch.outcome())
	if n.Code != exitDone {
		n.Outcome = outcomePart
	}
	n.Folder = filepath.Join(job.OutputFolder(), m.name)
	n.Workbook = filepath.Join(n.Folder, workbookName)
	for _, s := range m.doc.Head {
		n.Head = append(n.Head, n.language.Say(s))
	}
	if record, err := os.ReadFile(filepath.Join(n.Folder, runRecord)); err == nil && json.Valid(record) {
		n.Run = record
	}
	return n
}

// failureNotice tells of a run that was given up.
func failureNotice(job *config.Job, o *order, err error) *notice {
	n := startNotice(job, o)
	n.Outcome, n.Code = outcomeFailed, codeOf(err)
	n.Error, n.Hint = explain(err, n.language)
	return n
}

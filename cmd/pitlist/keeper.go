package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"runtime"
	"time"

	"pitlist/config"
	"pitlist/config/timetable"
	"pitlist/ingest/history"
	"pitlist/report"
	"pitlist/score/say"
)

// How the schedule bears with faults (judgement).
const (
	onTime       = 10 * time.Minute // a run that begins no later counts as begun at its time
	firstPause   = time.Minute      // before a failed run is tried again; doubled each time
	longestPause = time.Hour
	lookEvery    = time.Minute    // at the clock, which may be set, and at the job file
	tooFarAhead  = 24 * time.Hour // a note that far in the future was written by a wrong clock
)

// errSettled: another process has made this run.
var errSettled = errors.New("this run is made already")

// order is one run that is due.
type order struct {
	moment  timetable.Moment
	madeUp  bool // its time passed while nothing was running
	missed  int  // scheduled times that it stands for beside its own
	tries   int
	notes   []say.Text // for the run's warnings
	aside   []restless // inputs that would not keep still
	problem string     // what is wrong with the job file on disk; "" nothing
}

// made is a run that was written.
type made struct {
	batch *batch
	doc   *report.Document
	name  string
}

// keeper keeps one job: it waits for its times and has its runs made.
type keeper struct {
	path  string
	clock clock
	log   *slog.Logger
	slot  chan struct{} // held while a run is made: two large ones at once would share the memory
	run   func(ctx context.Context, job *config.Job, o *order) (*made, error)
	tell  func(ctx context.Context, job *config.Job, n *notice)

	job     *config.Job // the last sound one
	looked  os.FileInfo // the job file when it was last read
	problem string      // what is wrong with the job file since; "" nothing
	note    note
	next    time.Time // announced
}

// keep waits and runs until the context ends.
func (k *keeper) keep(ctx context.Context) error {
	k.tidy(ctx)
	k.begin()
	for {
		o := k.due(k.clock.now())
		var err error
		if o != nil {
			err = k.serve(ctx, o)
		} else {
			next := k.job.Schedule.Times.Next(k.clock.now())
			k.announce(next)
			err = k.sleep(ctx, next.At)
		}
		if err != nil {
			return err
		}
	}
}

// begin takes up where the last process stopped. A job that was never kept
// has missed nothing.
func (k *keeper) begin() {
	now := k.clock.now()
	n, err := readNote(k.job.OutputFolder(), k.job.Name)
	if err != nil {
		k.log.Warn("the note of past runs cannot be read; what was missed is not known", "err", cause(err))
	}
	if n.Settled.After(now.Add(tooFarAhead)) {
		k.log.Warn("the note of past runs lies in the future; the clock was wrong then or is now", "settled", n.Settled)
		n = note{Job: k.job.Name, Settled: now}
		k.note = n
		k.overwrite()
		return
	}
	k.note = n
	if n.Settled.IsZero() {
		k.settle(now)
	}
}

// announce says when the next run is due, once.
func (k *keeper) announce(next timetable.Moment) {
	if !next.At.Equal(k.next) {
		k.next = next.At
		k.log.Info("next run", "at", next.At.Format(time.RFC3339), "day", next.Day().Format(time.DateOnly))
	}
}

// sleep waits until a time, in steps: the clock may be set, and the job file
// may change. A changed job ends the wait.
func (k *keeper) sleep(ctx context.Context, until time.Time) error {
	for {
		left := until.Sub(k.clock.now())
		if left <= 0 && !until.IsZero() {
			return nil
		}
		if until.IsZero() { // no such time within fifteen years
			left = lookEvery
		}
		if err := k.clock.wait(ctx, min(left, lookEvery)); err != nil {
			return err
		}
		if k.reload(false) {
			return nil
		}
	}
}

// reload takes a changed job file if it is sound. One that is not is told of
// in the log, with every fault, and the last sound one is kept: a list by
// last week's settings serves the planner better than none.
func (k *keeper) reload(always bool) (taken bool) {
	info, err := os.Stat(k.path)
	if err == nil && !always && k.looked != nil && info.Size() == k.looked.Size() && info.ModTime().Equal(k.looked.ModTime()) {
		return false
	}
	job, faults, err := config.LoadJob(k.path)
	problem := ""
	switch {
	case err != nil:
		problem = cause(err).Error()
	case len(faults) > 0:
		problem = faults.Error()
	case job.Schedule == nil:
		problem = k.path + ": schedule is missing"
	}
	k.looked = info
	if problem != "" {
		if problem != k.problem {
			k.log.Error("the job file is at fault; the last sound one is kept until it is corrected", "faults", problem)
		}
		k.problem = problem
		return false
	}
	if k.problem != "" {
		k.log.Info("the job file is sound again")
	}
	k.problem = ""
	if job.Digest == k.job.Digest {
		return false
	}
	k.job, k.next = job, time.Time{}
	k.log.Info("the job file has changed and is taken")
	return true
}

// due finds what is to be run now, and settles what is not to be made up.
func (k *keeper) due(now time.Time) *order {
	latest, n := k.job.Schedule.Times.Since(k.note.Settled, now)
	if n == 0 {
		return nil
	}
	o := &order{moment: latest, missed: n - 1}
	late := now.Sub(latest.At) > onTime
	at := slog.String("scheduled", latest.At.Format(time.RFC3339))
	switch {
	case k.note.Begun.Equal(latest.At) && sameDay(k.note.Tried, now, k.job.Schedule.Location):
		o.tries = k.note.Tries
		k.log.Warn("a run was cut off and is taken up again", at, "tries", o.tries)
	case k.job.Schedule.CatchUp && (late || n > 1):
		o.madeUp = late
		k.log.Warn("missed while nothing was running; one run makes up for all", at, "missed", n, "counted_to", counted(n))
	case late:
		k.log.Warn("missed while nothing was running, and not made up: catch_up is false", at, "missed", n, "counted_to", counted(n))
		k.settle(latest.At)
		return nil
	case n > 1:
		k.log.Warn("earlier times were missed, and are not made up: catch_up is false", at, "missed", n-1)
	}
	if o.madeUp {
		o.notes = append(o.notes, lateNote(latest.At, o.missed))
	}
	return o
}

// counted says whether a count was ended early.
func counted(n int) string {
	if n >= 1000 {
		return "at least"
	}
	return "exactly"
}

// lateNote says when a run that was made up for was due.
func lateNote(due time.Time, missed int) say.Text {
	at := due.Format(dueFormat)
	switch missed {
	case 0:
		return say.F("made up: this run was due at %s, when nothing was running", at)
	case 1:
		return say.F("made up: this run was due at %s, when nothing was running; it stands for one earlier run too", at)
	}
	return say.F("made up: this run was due at %s, when nothing was running; it stands for %d earlier runs too", at, missed)
}

// dueFormat is how the time at which a run was due is written.
const dueFormat = "2006-01-02 15:04 MST"

// sameDay tells whether two instants fall on one local date.
func sameDay(a, b time.Time, zone *time.Location) bool {
	return a.In(zone).Format(time.DateOnly) == b.In(zone).Format(time.DateOnly)
}

// endOfDay is the local midnight after an instant.
func endOfDay(t time.Time, zone *time.Location) time.Time {
	y, m, d := t.In(zone).Date()
	return time.Date(y, m, d+1, 0, 0, 0, 0, zone)
}

// pause is how long to wait before the next attempt, after so many failed.
func pause(tries int) time.Duration {
	if tries > 6 {
		return longestPause
	}
	return min(longestPause, firstPause<<max(0, tries-1))
}

// serve has one due run made, again and again within its day if it fails.
// The error is the context's, and nothing else.
func (k *keeper) serve(ctx context.Context, o *order) error {
	if o.tries > 0 { // cut off: whatever cut it off may do so again
		if err := k.pauseUntil(ctx, k.note.Tried.Add(pause(o.tries))); err != nil {
			return err
		}
	}
	end := k.lastChance(o)
	for {
		k.reload(true)
		m, err := k.attempt(ctx, o)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err == nil {
			k.settle(o.moment.At)
			k.done(ctx, o, m)
			k.skipped(o)
			return nil
		}
		again := k.clock.now().Add(pause(o.tries))
		if !again.Before(end) {
			k.settle(o.moment.At)
			k.gaveUp(ctx, o, err)
			return nil
		}
		k.log.Warn("the run failed and will be tried again", append(o.attrs(), "again", again.Format(time.RFC3339), failureOf(err))...)
		k.publishFailure(o)
		if err := k.pauseUntil(ctx, again); err != nil {
			return err
		}
	}
}

// pauseUntil sleeps through changes of the job file.
func (k *keeper) pauseUntil(ctx context.Context, until time.Time) error {
	for k.clock.now().Before(until) {
		if err := k.sleep(ctx, until); err != nil {
			return err
		}
	}
	return nil
}

// lastChance is when a run is no longer tried: at the end of the day on which
// it was begun, or when the next is due.
func (k *keeper) lastChance(o *order) time.Time {
	end := endOfDay(k.clock.now(), k.job.Schedule.Location)
	if next := k.job.Schedule.Times.Next(k.clock.now()); !next.IsZero() && next.At.Before(end) {
		return next.At
	}
	return end
}

// skipped settles the times that passed while a run was being made.
func (k *keeper) skipped(o *order) {
	latest, n := k.job.Schedule.Times.Since(o.moment.At, k.clock.now())
	if n == 0 {
		return
	}
	k.log.Warn("the run took longer than its interval; what fell due meanwhile is skipped", append(o.attrs(), "skipped", n, "latest", latest.At.Format(time.RFC3339))...)
	k.settle(latest.At)
}

// attempt makes one attempt at a run; errSettled never comes back: what
// another process has made is done.
func (k *keeper) attempt(ctx context.Context, o *order) (m *made, err error) {
	o.tries++
	o.problem = k.problem
	if o.aside, err = settle(ctx, k.clock, k.job); err != nil {
		return nil, err
	}
	for _, r := range o.aside {
		k.log.Warn("an input would not keep still and is set aside", "file", r.shown, "why", r.why.String())
	}
	select {
	case k.slot <- struct{}{}:
		defer func() { <-k.slot }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	defer func() {
		if r := recover(); r != nil {
			k.log.Debug("panic", "value", fmt.Sprint(r), "stack", stack())
			err = fmt.Errorf("internal fault of the program (%T)", r)
		}
	}()
	m, err = k.run(ctx, k.job, o)
	if errors.Is(err, errSettled) {
		k.log.Info("another process has made this run", o.attrs()...)
		return nil, nil
	}
	return m, err
}

func stack() string {
	b := make([]byte, 16<<10)
	return string(b[:runtime.Stack(b, false)])
}

// settle notes that a scheduled time asks for nothing more, in the memory at
// least: the folder may be held or full, and the schedule goes on all the same.
func (k *keeper) settle(at time.Time) {
	k.note.settle(at)
	f, err := hold(k.job.OutputFolder())
	if err == nil {
		defer f.release()
		n, _ := readNote(f.path, k.job.Name) // a damaged one is replaced
		n.settle(k.note.Settled)
		err = f.writeNote(n)
	}
	if err != nil {
		k.log.Warn("the note of past runs cannot be written; after a restart this run may be made again", "err", err)
	}
}

// tidy puts right what a process that was killed in the middle of a run left
// behind, where no run follows that would do it: the folder, latest, the record,
// the note, the metrics. While another process holds the folder it is its
// business.
func (k *keeper) tidy(ctx context.Context) {
	f, err := hold(k.job.OutputFolder())
	if err != nil {
		if codeOf(err) != exitHeld {
			k.log.Warn("what the last process left cannot be put right", failureOf(err))
		}
		return
	}
	defer f.release()
	if err := settleRecord(ctx, k.job, f); err != nil {
		k.log.Warn("the record cannot be looked at", failureOf(err))
	}
	n, _ := readNote(f.path, k.job.Name)
	if n.Settled.IsZero() {
		return
	}
	if err := f.writeNote(n); err != nil {
		k.log.Warn("the note of past runs cannot be written", "err", err)
	}
	if !n.Settled.Equal(lastScheduled(f.path, k.job.Name)) {
		return // the last that was settled is no run, and the metrics tell of that
	}
	if err := writeMetrics(k.job, f.path, nil); err != nil {
		k.log.Warn("the metrics file cannot be written", "err", cause(err))
	}
}

// settleRecord ends in the job's record a run that was cut off. A record that
// is not there or damaged is the next run's to tell of.
func settleRecord(ctx context.Context, job *config.Job, f *folder) error {
	path := job.HistoryPath()
	if _, err := os.Stat(path); err != nil {
		return nil
	}
	record, err := history.Open(ctx, path)
	if err != nil {
		return nil
	}
	return errors.Join((&memory{record: record}).settle(ctx, f), record.Close())
}

// overwrite puts the keeper's note in place of another.
func (k *keeper) overwrite() {
	f, err := hold(k.job.OutputFolder())
	if err == nil {
		defer f.release()
		err = f.writeNote(k.note)
	}
	if err != nil {
		k.log.Warn("the note of past runs cannot be written", "err", err)
	}
}

package main

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"pitlist/config"
)

// leaveWithin is how long a run may take to come to an end once the program is
// asked to stop. One that needs longer is abandoned, which leaves nothing half
// done: a run's folder appears whole or not at all.
const leaveWithin = 8 * time.Second

func newSchedule(w *world) *cobra.Command {
	var once, debug bool
	var form string
	cmd := &cobra.Command{
		Use:   "schedule JOB…",
		Short: "Stay up and run each job at its times",
		Long: `Stays up and runs each job at the times of its schedule, by the clock of its
time zone; the run's day is that of the scheduled time. Each local time comes
once, also when the clock is changed. A run missed while nothing was running is
made up if the job says catch_up. A failed run is tried again within its day.

With --once it makes the run whose time came last, unless that is done, and
ends with the run's exit code: for cron, systemd timers and Kubernetes.`,
		Example: "  pitlist schedule weekly.yaml\n  pitlist schedule north.yaml south.yaml --log json\n  pitlist schedule weekly.yaml --once",
		Args: func(cmd *cobra.Command, args []string) error {
			return exactly(-1, "one job file or more")(cmd, args)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			level := slog.LevelInfo
			if debug {
				level = slog.LevelDebug
			}
			log, err := newLog(w.errOut, form, level)
			if err != nil {
				return err
			}
			keepers, err := keepersOf(args, wallClock(), log)
			if err != nil {
				return err
			}
			if once {
				return onceEach(cmd.Context(), keepers)
			}
			return keepAll(cmd.Context(), keepers, log)
		},
	}
	cmd.Flags().BoolVar(&once, "once", false, "make the run that is due and end with its exit code")
	cmd.Flags().StringVar(&form, "log", "text", "form of the log lines: text or json")
	cmd.Flags().BoolVar(&debug, "debug", false, "log more, also what may name vehicles")
	return cmd
}

// keepersOf reads the jobs; every fault of all of them comes back in one
// error, and none is kept before all are sound.
func keepersOf(paths []string, c clock, log *slog.Logger) ([]*keeper, error) {
	slot := make(chan struct{}, 1)
	var all config.Faults
	var out []*keeper
	named := map[string]string{}
	for _, path := range paths {
		if isSpreadsheet(path) {
			return nil, noJob(path)
		}
		job, faults, err := config.LoadJob(path)
		if err != nil {
			return nil, usageError(err, "give the paths of job files, such as weekly.yaml")
		}
		if all = append(all, faults...); len(faults) > 0 {
			continue
		}
		if job.Schedule == nil {
			all = append(all, config.Fault{File: path, Line: 1, Column: 1, Key: "schedule", Problem: "schedule is missing", Hint: `say when: schedule: { cron: "0 5 * * MON", time_zone: Europe/Oslo }`})
			continue
		}
		key := job.Name + " in " + job.OutputFolder()
		if other, twice := named[key]; twice {
			return nil, usageError(fmt.Errorf("%s and %s are one job: %s", other, path, key), "name each job once")
		}
		named[key] = path
		jobLog := log.With("job", job.Name)
		out = append(out, &keeper{path: path, job: job, clock: c, log: jobLog, slot: slot, run: makeRun(c, 0), tell: tellAll(jobLog)})
	}
	if len(all) > 0 {
		return nil, faultsError(all)
	}
	return out, nil
}

// keepAll keeps every job until the context ends. A regular stop is no
// failure: the exit code is 0.
func keepAll(ctx context.Context, keepers []*keeper, log *slog.Logger) error {
	var kept sync.WaitGroup
	for _, k := range keepers {
		kept.Go(func() { _ = k.keep(ctx) }) // the context's error, and nothing else
	}
	gone := make(chan struct{})
	go func() {
		kept.Wait()
		close(gone)
	}()
	<-ctx.Done()
	log.Info("asked to stop")
	select {
	case <-gone:
		log.Info("stopped; a run that was cut off is taken up again at the next start")
	case <-time.After(leaveWithin):
		log.Warn("stopped; the run did not end in time and was abandoned, nothing was written")
	}
	return nil
}

// onceEach makes the run that is due of each job, and ends with the worst of
// their exit codes. It too leaves within its time.
func onceEach(ctx context.Context, keepers []*keeper) error {
	worst := make(chan int, 1)
	go func() {
		code := exitDone
		for _, k := range keepers {
			if one := k.once(ctx); severity(one) > severity(code) {
				code = one
			}
		}
		worst <- code
	}()
	code := exitInterrupted
	select {
	case code = <-worst:
	case <-ctx.Done():
		select {
		case code = <-worst:
		case <-time.After(leaveWithin):
		}
	}
	if code == exitDone {
		return nil
	}
	return &ended{code}
}

// severity orders exit codes: done, done in part, held, failed, at fault,
// interrupted.
func severity(code int) int {
	for i, c := range []int{exitDone, exitRejected, exitHeld, exitFailed, exitUsage, exitInterrupted} {
		if c == code {
			return i
		}
	}
	return -1
}

// once makes the run whose time came last, unless it is settled. Whoever
// starts it decides whether that time is too long ago, and whether to try
// again.
func (k *keeper) once(ctx context.Context) int {
	n, err := readNote(k.job.OutputFolder(), k.job.Name)
	if err != nil {
		k.log.Warn("the note of past runs cannot be read; what runs there are still counts", "err", cause(err))
	}
	now := k.clock.now()
	last := k.job.Schedule.Times.Last(now)
	if last.IsZero() || !n.Settled.Before(last.At) {
		k.log.Info("nothing is due", "done", n.Settled.Format(time.RFC3339), "next", k.job.Schedule.Times.Next(now).At.Format(time.RFC3339))
		k.tidy(ctx)
		return exitDone
	}
	o := &order{moment: last}
	if !n.Settled.IsZero() {
		_, missed := k.job.Schedule.Times.Since(n.Settled, last.At)
		o.missed = missed - 1
	}
	if n.Begun.Equal(last.At) {
		o.tries = n.Tries
	}
	m, err := k.attempt(ctx, o)
	switch {
	case ctx.Err() != nil:
		k.log.Warn("interrupted; nothing was written", o.attrs()...)
		return exitInterrupted
	case err != nil:
		if codeOf(err) == exitHeld {
			k.log.Error("the run was not made", append(o.attrs(), failureOf(err))...)
			return exitHeld
		}
		k.gaveUp(ctx, o, err)
		return codeOf(err)
	case m == nil:
		return exitDone
	}
	k.done(ctx, o, m)
	return codeOf(m.batch.outcome())
}

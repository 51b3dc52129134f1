package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"pitlist/ingest/history"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/backtest"
	"pitlist/score/say"
)

// asked is what the flags of a backtest say.
type asked struct {
	every    int
	from, to dayText
	refit    bool
}

// defaultEvery is how many weeks lie between two past lists where nobody says:
// a quarter, in which a look can show what it saves and which is short beside
// the time from wear to failure (judgement).
const defaultEvery = 13

func newBacktest(w *world) *cobra.Command {
	var a asked
	cmd := &cobra.Command{
		Use:   "backtest JOB",
		Short: "Hold past lists against what happened since",
		Long: `Makes the job's list for past days, each from what was known on its day, and holds
it against what the records say happened until the next: failures and worn findings
expected and counted, how many failures stood above the line, and the money avoided
beside three plain rules with the same bay-hours. The days are those of the runs on
the job's record, and every so many weeks before them. Writes a sheet and a page of
text into a folder beside the runs; changes nothing else.`,
		Example:           "  pitlist backtest weekly.yaml\n  pitlist backtest weekly.yaml --every 13 --from 2022-01-01 --to 2026-11-23 --refit",
		Args:              exactly(1, "one job file"),
		ValidArgsFunction: jobFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := w.day()
			if err != nil {
				return err
			}
			return w.backtest(cmd.Context(), args[0], day, a)
		},
	}
	w.addDay(cmd)
	w.addWithout(cmd)
	cmd.Flags().IntVar(&a.every, "every", defaultEvery, "weeks from one past list to the next")
	cmd.Flags().Var(&a.from, "from", "the first list's day at the earliest (default: when the records and the catalogue begin)")
	cmd.Flags().Var(&a.to, "to", "until when the records are taken (default: the run's day)")
	cmd.Flags().BoolVar(&a.refit, "refit", false, "learn the curves of each list from what was known on its day")
	return cmd
}

// span is the time over which a backtest goes.
type span struct {
	from, to score.Day // from 0: as early as there is something to judge
	every    int       // weeks
}

// span reads the flags; to is the run's day where nothing is said.
func (a *asked) span(day score.Day) (s span, err error) {
	s = span{to: day, every: a.every}
	if a.every < 1 {
		return s, usageError(fmt.Errorf("--every %d: lists lie at least a week apart", a.every), "for example --every 13")
	}
	if a.from != "" {
		if s.from, err = parseDay(string(a.from)); err != nil {
			return s, err
		}
	}
	if a.to != "" {
		if s.to, err = parseDay(string(a.to)); err != nil {
			return s, err
		}
	}
	switch {
	case s.to > day:
		return s, usageError(fmt.Errorf("--to %s is later than the run's day, %s", s.to, day), "leave it out, or give --as-of too")
	case s.from >= s.to:
		return s, usageError(fmt.Errorf("--from %s is not before %s", s.from, s.to), "give an earlier day")
	}
	return s, nil
}

// backtest makes the past lists of a job and writes what became of them.
func (w *world) backtest(ctx context.Context, path string, day score.Day, a asked) error {
	s, err := a.span(day)
	if err != nil {
		return err
	}
	p := newProgress(w.errOut)
	defer p.end()
	b, folder, left, err := w.openStudy(ctx, path, day, p)
	if err != nil {
		return err
	}
	defer folder.release()
	past, err := b.past(ctx, s, a.refit)
	if err != nil {
		return err
	}
	name, err := folder.free(ofBacktest + day.String())
	if err != nil {
		return err
	}
	past.Run, past.LeftOut = b.run(name), left
	sheet, page := report.ComposeBacktest(*past)
	if err := folder.appear(name, func(dir string) error { return writeStudy(ctx, dir, sheet, page) }); err != nil {
		return err
	}
	p.end()
	fmt.Fprint(w.out, page.Text())
	fmt.Fprintf(w.out, "\nopen %s\n", filepath.Join(b.job.OutputFolder(), name, studyBook))
	return b.outcome()
}

// past makes the lists and holds them against what happened.
func (b *batch) past(ctx context.Context, s span, refit bool) (*report.Past, error) {
	recorded, err := b.recordedDays(ctx)
	if err != nil {
		return nil, err
	}
	out := &report.Past{Refitted: refit}
	o := backtest.Options{End: s.to, Settings: b.settings(), Plan: *b.options(), Seed: drawSeed}
	if refit {
		kept := map[string]bool{}
		o.Refit = backtest.Refitted(ctx, b.catalogue, o.Settings, func(day score.Day, part string, err error) {
			if !kept[part] {
				kept[part] = true
				b.note(say.F("%s keeps the catalogue's curves on %s and perhaps on other days: %s", part, day.String(), err))
			}
		})
	}
	fleet := b.read.Fleet.Vehicles
	o.Days = b.pastDays(s, recorded)
	b.progress.start("making past lists", len(o.Days))
	o.Done = func(int) { b.progress.add(1) }
	out.Catalogue = b.catalogue
	out.Result, err = backtest.Run(ctx, b.catalogue, fleet, o)
	switch {
	case errors.Is(err, backtest.ErrNothing):
		return nil, errNoPast(b, s)
	case err == nil && out.Result.All.Failures.N == 0:
		return nil, &failure{code: exitFailed, err: fmt.Errorf("none of the %s judged any part: no entry of the catalogue that was known by then fits a vehicle that was on the records", plural(len(o.Days), "past lists")),
			hint: "compare the catalogue's fits and known_since with what `pitlist read` shows"}
	}
	return out, err
}

// pastDays chooses the days of the lists: those of the runs on record, and
// every so many weeks before them.
func (b *batch) pastDays(s span, recorded []score.Day) []score.Day {
	from := s.from
	if from == 0 {
		from = max(backtest.First(b.read.Fleet.Vehicles), firstKnown(b.catalogue))
	}
	var within []score.Day
	for _, d := range recorded {
		if d >= from && d < s.to {
			within = append(within, d)
		}
	}
	days := backtest.Apart(within, s.to, s.every)
	first := s.to
	if len(days) > 0 {
		first = days[0]
	}
	return append(backtest.Every(from, first, s.every), days...)
}

// firstKnown is the day since which any entry of the catalogue is known.
func firstKnown(c *score.Catalogue) score.Day {
	first := score.Day(0)
	for i := range c.Parts {
		if d := c.Parts[i].KnownSince; i == 0 || d < first {
			first = d
		}
	}
	return first
}

// recordedDays are the days of the runs on the job's record; none where it has
// no record, or no run has made one yet.
func (b *batch) recordedDays(ctx context.Context) (days []score.Day, err error) {
	path := b.job.HistoryPath()
	if path == "" || b.without {
		return nil, nil
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	record, err := history.Open(ctx, path)
	if err != nil {
		return nil, cannotRemember(err)
	}
	defer func() {
		if e := record.Close(); e != nil && err == nil {
			err = cannotRemember(e)
		}
	}()
	kept, err := record.Days(ctx)
	if err != nil {
		return nil, cannotRemember(err)
	}
	for _, d := range kept {
		days = append(days, score.Day(d))
	}
	return days, nil
}

func errNoPast(b *batch, s span) error {
	first := backtest.First(b.read.Fleet.Vehicles)
	text := fmt.Sprintf("no past list can be judged: with %s between the lists and records until %s, none falls on a day by which there were records and entries of the catalogue", plural(s.every, "weeks"), s.to)
	if first != 0 {
		text += fmt.Sprintf(" (the first dated row is of %s; the first entry is known since %s)", first, firstKnown(b.catalogue))
	}
	return &failure{code: exitFailed, err: errors.New(text), hint: "give fewer weeks with --every, an earlier --from, or inputs that reach farther back"}
}

package main

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"pitlist/config"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/cohort"
)

// learnedName is the overlay that a fit writes.
const learnedName = "learned.yaml"

func newFit(w *world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "fit JOB",
		Short: "Learn the parts' curves from the fleet's own records",
		Long: `Reads the job's inputs and the record of earlier runs, and learns from them the
curves of every part and the rates of its signs, with the catalogue as prior. Writes
a folder beside the runs: learned.yaml, an overlay that a person reviews and lists in
the job, and a study of what it rests on. Changes nothing else.`,
		Example:           "  pitlist fit weekly.yaml\n  pitlist fit weekly.yaml --as-of 2026-11-23",
		Args:              exactly(1, "one job file"),
		ValidArgsFunction: jobFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := w.day()
			if err != nil {
				return err
			}
			return w.fit(cmd.Context(), args[0], day)
		},
	}
	w.addDay(cmd)
	w.addWithout(cmd)
	return cmd
}

func (w *world) fit(ctx context.Context, path string, day score.Day) error {
	p := newProgress(w.errOut)
	defer p.end()
	b, folder, left, err := w.openStudy(ctx, path, day, p)
	if err != nil {
		return err
	}
	defer folder.release()
	parts, err := b.learn(ctx)
	if err != nil {
		return err
	}
	name, err := folder.free(ofFit + day.String())
	if err != nil {
		return err
	}
	study := report.Learned(b.run(name), parts, learnedName, left)
	err = folder.appear(name, func(dir string) error {
		return writeFit(ctx, dir, study, overlayOf(b, parts))
	})
	if err != nil {
		return err
	}
	p.end()
	fmt.Fprint(w.out, study.Text())
	fmt.Fprintf(w.out, "\nwritten to %s; %s changes nothing until it is listed in the job\n", filepath.Join(b.job.OutputFolder(), name), learnedName)
	return b.outcome()
}

// unlearn reads the catalogue again without what earlier fits learned from
// these records, and names the files left out.
func (b *batch) unlearn() (left []string, err error) {
	files, faults := b.job.CatalogueFiles()
	if len(faults) == 0 {
		b.catalogue, left, faults, err = config.LoadUnlearned(files)
	}
	if err != nil {
		return nil, usageError(err, "check the catalogue files that the job names")
	}
	if len(faults) > 0 {
		return nil, faultsError(faults)
	}
	for i := range left {
		left[i] = filepath.Base(left[i])
	}
	return left, nil
}

// learn fits every part to the fleet's records.
func (b *batch) learn(ctx context.Context) ([]report.LearnedPart, error) {
	settings := b.settings()
	settings.Draws = 0
	scorer, err := score.NewScorer(b.catalogue, settings)
	if err != nil {
		return nil, err
	}
	parts, err := cohort.Gather(ctx, scorer, b.read.Fleet.Vehicles)
	if err != nil {
		return nil, err
	}
	b.progress.start("learning", len(parts))
	out := make([]report.LearnedPart, len(parts))
	for i := range parts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		fit, err := parts[i].Fit()
		out[i] = report.LearnedPart{Weak: parts[i].Weak, Fit: fit, Err: err}
		b.progress.add(1)
	}
	return out, nil
}

// overlayOf holds what was learned of the parts of which there was something to
// learn.
func overlayOf(b *batch, parts []report.LearnedPart) *config.Learned {
	out := &config.Learned{Job: b.job.Name, Day: b.day}
	for i := range parts {
		f := parts[i].Fit
		if f == nil || f.Status != cohort.Learned {
			continue
		}
		c := &f.Counts
		e := config.LearnedEntry{
			ID: f.Weak.ID, Onset: f.New.Onset, Delay: f.New.Delay, Weight: f.New.Weight,
			Source: fmt.Sprintf("records of %s to %s: %d failures and %d worn findings in %d lives of %d vehicles, over %s's",
				b.job.Name, b.day, c.Failures, c.WornFindings, c.Lives, c.Vehicles, sourceOf(f.Weak)),
			Rates: ratesOf(f),
		}
		if f.New.Share != f.Old.Share {
			e.Share = score.Is(f.New.Share)
		}
		for _, w := range f.Warnings {
			e.Notes = append(e.Notes, w.Error())
		}
		out.Entries = append(out.Entries, e)
	}
	return out
}

// sourceOf is where the prior's curves come from.
func sourceOf(p *score.WeakPart) string {
	if p.CurveSource != "" {
		return p.CurveSource
	}
	return p.Source
}

// ratesOf lists the rates that openings have moved.
func ratesOf(f *cohort.Fit) []config.LearnedRate {
	var out []config.LearnedRate
	for _, r := range f.Rates {
		if r.Worn.New == r.Worn.Old && r.NotWorn.New == r.NotWorn.Old {
			continue
		}
		g := &f.Weak.Evidence[r.Group]
		out = append(out, config.LearnedRate{Group: g.Name, Rule: r.Rule + 1, ID: g.Rules[r.Rule].ID,
			Worn: r.Worn.New, NotWorn: r.NotWorn.New, Weight: r.Weight})
	}
	return out
}

// writeFit writes the study and, where there is something to list, the overlay.
func writeFit(ctx context.Context, dir string, study *report.Study, learned *config.Learned) error {
	if err := writeStudy(ctx, dir, study, study); err != nil || len(learned.Entries) == 0 {
		return err
	}
	return save(filepath.Join(dir, learnedName), learned.Write)
}

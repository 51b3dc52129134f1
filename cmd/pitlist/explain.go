package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"pitlist/ingest"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/vin"
)

func newExplain(w *world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "explain JOB UNIT_OR_VIN",
		Short: "Tell one vehicle's whole story",
		Long: `Reads and judges the whole job, then tells of one vehicle: ranges, distances, the
evidence with its weight, costs, and the decision. Writes no file.`,
		Example:           "  pitlist explain weekly.yaml V-204\n  pitlist explain weekly.yaml V-204 --json",
		Args:              exactly(2, "a job file and a unit, VIN or registration"),
		ValidArgsFunction: jobFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			day, err := w.day()
			if err != nil {
				return err
			}
			p := newProgress(w.errOut)
			defer p.end()
			b, err := configure(args[0], day, p)
			if err != nil {
				return err
			}
			b.without = w.without
			if err := b.readInputs(cmd.Context()); err != nil {
				return err
			}
			if err := b.look(cmd.Context()); err != nil {
				return err
			}
			if err := b.judge(cmd.Context()); err != nil {
				return err
			}
			p.end()
			return w.explain(b, args[1])
		},
	}
	w.addDay(cmd)
	w.addJSON(cmd)
	w.addWithout(cmd)
	return cmd
}

// explain tells of every vehicle that the name fits.
func (w *world) explain(b *batch, name string) error {
	found := 0
	tell := func(a *score.Assessment) report.Story {
		return report.Explain(b.run(""), b.read.Fleet, a, rowOf(b.list, a), len(b.list.Rows))
	}
	if b.job.Desk.Buys() { // where the decision is another than to take in or to wait
		tell = report.Compose(b.run(""), b.read.Fleet, b.assessed, b.list, b.catalogue).Explain
	}
	for i := range b.assessed {
		a := &b.assessed[i]
		if !ingest.Names(a.Vehicle, name) {
			continue
		}
		found++
		story := tell(a)
		if w.json {
			if err := writeJSON(w.out, story); err != nil {
				return err
			}
			continue
		}
		fmt.Fprintln(w.out, story.Text())
	}
	if found == 0 {
		return usageError(fmt.Errorf("no vehicle %q in the inputs of %s", name, b.job.Path), nearVehicles(b.read.Fleet, name))
	}
	return nil
}

func rowOf(l plan.List, a *score.Assessment) *plan.Row {
	for i := range l.Rows {
		if l.Rows[i].Assessment == a {
			return &l.Rows[i]
		}
	}
	return nil
}

// nearVehicles suggests units and VINs that resemble the name.
func nearVehicles(f *score.Fleet, name string) string {
	var names []string
	for i := range f.Vehicles {
		v := &f.Vehicles[i]
		if v.Unit != "" {
			names = append(names, v.Unit)
		}
		if v.VIN != "" {
			names = append(names, string(v.VIN))
		}
	}
	text, _ := vin.Clean(name)
	if near := nearest(text, names); near != "" {
		return "did you mean " + near + "?"
	}
	return "give the unit as the vehicle sheet writes it, or the VIN"
}

func writeJSON(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, strings.TrimSuffix(noun, "s"))
}

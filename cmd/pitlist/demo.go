package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"pitlist/config/demo"
	"pitlist/score"
	"pitlist/score/say"
)

func newDemo(w *world) *cobra.Command {
	language := ""
	cmd := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write an invented fleet, run it, and say what to open",
		Long: `Writes the spreadsheets, job and catalogue of an invented department into DIR
(default demo/), runs the job as of ` + demo.Day + `, and says what to open. What is
really wrong with each vehicle is simulated and known, so it ends by comparing
the list with two simpler rules. Faults are planted in the files on purpose.`,
		Example: "  pitlist demo\n  pitlist demo tryout\n  pitlist demo tryout-es --language es",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usageError(fmt.Errorf("`pitlist demo` wants one folder or none, got %d arguments", len(args)), "for example: pitlist demo tryout")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := "demo"
			if len(args) == 1 {
				dir = args[0]
			}
			if w.asOf == "" {
				w.asOf = demo.Day
			}
			day, err := w.day()
			if err != nil {
				return err
			}
			if _, known := say.ByTag(language); !known {
				return usageError(fmt.Errorf("--language is %q; it is %s", language, strings.Join(say.Tags(), " or ")), "for example: pitlist demo --language es")
			}
			return w.demo(cmd, dir, day, language)
		},
	}
	w.addDay(cmd)
	cmd.Flags().StringVar(&language, "language", "", "the language that the jobs write in: "+strings.Join(say.Tags(), " or "))
	cmd.Flags().Lookup("as-of").Usage = "the run's day (default: the demo's own, " + demo.Day + ")"
	return cmd
}

// demo writes the demo in a language, "" as it is, runs it and compares it with the truth.
func (w *world) demo(cmd *cobra.Command, dir string, day score.Day, language string) error {
	d, err := demo.Make(demo.Seed)
	if err != nil {
		return err
	}
	if language != "" {
		d.Speak(language)
	}
	if err := writeDemo(dir, d); err != nil {
		return err
	}
	fmt.Fprintf(w.out, "the demo's files are in %s; they hold %d planted faults in %d rows\n", dir, len(d.Planted), d.Rows)
	job := filepath.Join(dir, demo.JobName)
	b, err := w.runJob(cmd.Context(), job, day)
	var rows *ended
	if err != nil && !errors.As(err, &rows) { // rejected rows are planted here
		return err
	}
	w.compare(b, d)
	if day.String() != demo.Day {
		fmt.Fprintf(w.out, "The truth is that of %s; the run was made for %s.\n", demo.Day, day)
	}
	for _, name := range []string{demo.SaleName, demo.TradeName} {
		fmt.Fprintf(w.out, "\nThe same fleet for another desk, %s:\n", name)
		if _, err := w.runJob(cmd.Context(), filepath.Join(dir, name), day); err != nil && !errors.As(err, &rows) {
			return err
		}
	}
	fmt.Fprintf(w.out, "\nnext: pitlist explain %s %s --as-of %s\n", job, first(b), day)
	return nil
}

// first names the vehicle that leads the list.
func first(b *batch) string {
	if len(b.list.Rows) == 0 {
		return "UNIT"
	}
	return b.list.Rows[0].Assessment.Vehicle.Name()
}

// writeDemo writes the files below dir, over those of an earlier demo. Any
// other folder that holds something is refused.
func writeDemo(dir string, d *demo.Demo) error {
	if err := oursOrEmpty(dir); err != nil {
		return err
	}
	for _, f := range d.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			return cannotWrite(dir, err)
		}
		if err := os.WriteFile(path, f.Data, 0o666); err != nil {
			return cannotWrite(dir, err)
		}
	}
	return nil
}

func oursOrEmpty(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return usageError(fmt.Errorf("%s cannot be the demo's folder: %w", dir, cause(err)), "name a folder, or none for demo/")
	case len(entries) == 0:
		return nil
	}
	marker, err := os.ReadFile(filepath.Join(dir, demo.Marker))
	if err == nil && strings.HasPrefix(string(marker), demo.MarkerLine) {
		return nil
	}
	return usageError(fmt.Errorf("%s holds files that are not of a demo; nothing was written", dir), "name an empty or a new folder: pitlist demo "+dir+"-demo")
}

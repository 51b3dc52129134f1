package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/agnivade/levenshtein"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const about = `pitlist reads fleet spreadsheets, applies known-weak-part ranges and wear
curves, weighs codes and repairs, and writes a prioritised list of vehicles to
inspect, each with its reason.

A list is a reason to look, not a diagnosis. Local rules and licensed practice
come first.`

func newRoot(w *world) *cobra.Command {
	root := &cobra.Command{
		Use:           "pitlist",
		Short:         "Which vehicles to inspect first, and why",
		Long:          about,
		Example:       "  pitlist demo\n  pitlist run weekly.yaml\n  pitlist explain weekly.yaml V-204",
		Version:       version(),
		Args:          cobra.ArbitraryArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return cmd.Help()
		}
		return unknownCommand(cmd, args[0])
	}
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(newRun(w), newDemo(w), newRead(w), newExplain(w), newSchedule(w), newFit(w), newBacktest(w), newLint(w), newDraft(w), newVIN(w), newCode(w))
	return root
}

// unknownCommand names the nearest command.
func unknownCommand(root *cobra.Command, name string) error {
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	hint := "`pitlist --help` lists the commands"
	if ext := strings.ToLower(filepath.Ext(name)); ext == ".yaml" || ext == ".yml" {
		return usageError(fmt.Errorf("there is no command %q", name), fmt.Sprintf("to run a job: pitlist run %s", name))
	}
	if near := nearest(name, names); near != "" {
		hint = fmt.Sprintf("did you mean `pitlist %s`?", near)
	}
	return usageError(fmt.Errorf("there is no command %q", name), hint)
}

// flagError names the nearest flag.
func flagError(cmd *cobra.Command, err error) error {
	hint := fmt.Sprintf("`%s --help` lists the flags", cmd.CommandPath())
	var missing *pflag.NotExistError
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		return invalidFlag(invalid, hint)
	}
	if errors.As(err, &missing) {
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near := nearest(missing.GetSpecifiedName(), names); near != "" {
			hint = fmt.Sprintf("did you mean --%s?", near)
		}
	}
	return usageError(err, hint)
}

// invalidFlag says what a flag wants.
func invalidFlag(err *pflag.InvalidValueError, hint string) error {
	f, got := err.GetFlag(), err.GetValue()
	if _, ok := f.Value.(*dayText); ok {
		return noDay(got)
	}
	wants := "another value"
	switch f.Value.Type() {
	case "int":
		wants = "a whole number"
	case "bool":
		wants = "true or false, or nothing"
	}
	return usageError(fmt.Errorf("--%s wants %s, got %q", f.Name, wants, got), hint)
}

// dayText is a flag's day as written; one that is given is not empty, as that of a
// script's variable that was never set would be.
type dayText string

func (d *dayText) String() string { return string(*d) }
func (d *dayText) Type() string   { return "string" }
func (d *dayText) Set(s string) error {
	if strings.TrimSpace(s) == "" {
		return noDay(s)
	}
	*d = dayText(s)
	return nil
}

// nearest is the name at the smallest edit distance, if that is small enough
// to be a slip.
func nearest(name string, names []string) string {
	best, at := "", 1+max(1, len(name)/2)
	for _, n := range names {
		if strings.HasPrefix(n, name) && name != "" {
			return n
		}
		if d := levenshtein.ComputeDistance(bareName(name), bareName(n)); d < at {
			best, at = n, d
		}
	}
	return best
}

func bareName(s string) string { return strings.ReplaceAll(strings.ToLower(s), "-", "") }

// exactly demands n arguments, or at least -n, and says what they are.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == n || n < 0 && len(args) >= -n {
			return nil
		}
		return usageError(fmt.Errorf("`%s` wants %s, got %s", cmd.CommandPath(), what, plural(len(args), "argument")), "for example:\n"+cmd.Example)
	}
}

// jobFiles completes the paths of job files.
func jobFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}

func (w *world) addDay(cmd *cobra.Command) {
	cmd.Flags().Var(&w.asOf, "as-of", "the run's day, such as 2026-11-25 (default: today)")
}

func (w *world) addWithout(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&w.without, withoutFlag, false, "go on without the job's record of earlier runs, also where it is damaged")
}

func (w *world) addJSON(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&w.json, "json", false, "write JSON instead of text")
}

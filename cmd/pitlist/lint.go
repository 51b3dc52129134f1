package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"pitlist/config"
)

func newLint(w *world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "lint FILE…",
		Short: "Check jobs and catalogues: every fault at once",
		Long: `Checks job files and catalogues without running anything: every fault at once,
with file, line and what to write instead. A job brings its catalogues along.`,
		Example: "  pitlist lint weekly.yaml parts/*.yaml",
		Args:    exactly(-1, "at least one job file or catalogue"),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if i := slices.IndexFunc(args, isSpreadsheet); i >= 0 {
				return noJob(args[i])
			}
			faults := config.Lint(args)
			if w.json {
				if faults == nil {
					faults = config.Faults{}
				}
				if err := writeJSON(w.out, faults); err != nil {
					return err
				}
				if len(faults) > 0 {
					return &ended{exitUsage}
				}
				return nil
			}
			if len(faults) > 0 {
				return &failure{exitUsage, faults, "correct them and lint again"}
			}
			fmt.Fprintf(w.out, "%s checked, no fault\n", plural(len(args), "file"))
			return nil
		},
	}
	w.addJSON(cmd)
	return cmd
}

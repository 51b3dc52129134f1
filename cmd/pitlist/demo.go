package main

import "github.com/spf13/cobra"

func newDemo(w *world) *cobra.Command {
	return &cobra.Command{Use: "demo [DIR]", Short: "Write an invented fleet, run it, and say what to open"}
}

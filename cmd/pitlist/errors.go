package main

import (
	"context"
	"errors"
	"fmt"
	"io"

	"pitlist/config"
	"pitlist/ingest"
)

// The exit codes; the README's table says the same.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2
	exitRejected    = 3
	exitHeld        = 4
	exitInterrupted = 130
)

// failure is an error with its exit code and what to do about it.
type failure struct {
	code int
	err  error
	hint string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// quotingError quotes cells of the inputs, for whoever sits before the terminal.
// Logs leave them out: a model may be a plate in the wrong column.
type quotingError struct{ text, cells string }

func (e *quotingError) Error() string { return e.text + e.cells }

func usageError(err error, hint string) error { return &failure{exitUsage, err, hint} }

// faultsError carries every fault of a job or a catalogue.
func faultsError(faults config.Faults) error {
	return &failure{exitUsage, faults, "correct them; `pitlist lint FILE` checks again without running"}
}

// conclude prints what stopped the command, in one error line and its hints,
// and returns the exit code.
func conclude(err error, errOut io.Writer) int {
	if err == nil {
		return exitDone
	}
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(errOut, "error: interrupted; nothing was written")
		return exitInterrupted
	}
	var quiet *ended
	if errors.As(err, &quiet) {
		return quiet.code
	}
	code, hint := exitFailed, ""
	var f *failure
	var in *ingest.Fault
	var faults config.Faults
	switch {
	case errors.As(err, &f):
		code, hint = f.code, f.hint
	case errors.As(err, &in):
		hint = in.Hint.String()
	}
	if errors.As(err, &faults) {
		printFaults(errOut, faults, hint)
		return code
	}
	fmt.Fprintf(errOut, "error: %s\n", err)
	if hint != "" {
		fmt.Fprintf(errOut, "hint: %s\n", hint)
	}
	return code
}

// ended carries an exit code out of a command that has said all it had to.
type ended struct{ code int }

func (e *ended) Error() string { return fmt.Sprintf("exit code %d", e.code) }

// printFaults lists every fault with what to do about it, then the one error
// line; a single fault is the error line itself.
func printFaults(w io.Writer, faults config.Faults, hint string) {
	if len(faults) == 1 {
		f := faults[0]
		if f.Hint != "" {
			hint, f.Hint = f.Hint, ""
		}
		fmt.Fprintf(w, "error: %s\nhint: %s\n", f.Error(), hint)
		return
	}
	for _, f := range faults {
		remedy := f.Hint
		f.Hint = ""
		fmt.Fprintln(w, f.Error())
		if remedy != "" {
			fmt.Fprintln(w, "    "+remedy)
		}
	}
	fmt.Fprintf(w, "error: %d faults in the job or the catalogue\nhint: %s\n", len(faults), hint)
}

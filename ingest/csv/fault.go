package csv

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// Kind sorts the faults of a file. It is an error itself, so that
// errors.Is(err, csv.Empty) asks for one kind.
type Kind string

// The kinds of fault.
const (
	Missing         Kind = "no such file"
	Directory       Kind = "a folder, not a file"
	NotRegular      Kind = "not a regular file"
	Unreadable      Kind = "cannot be read"
	Empty           Kind = "empty file"
	NotText         Kind = "not a text file"
	UnknownEncoding Kind = "unknown encoding"
	Changed         Kind = "changed while it was read"
	TooLarge        Kind = "over a limit"
)

// Error makes a Kind a target for errors.Is.
func (k Kind) Error() string { return string(k) }

// Fault says why a text file cannot be used, or used any further.
type Fault struct {
	Kind Kind
	Path string // as given to Open
	Text string // what is wrong
	Hint string // what to do next
	Err  error  // cause, may be nil
}

// Error names the file and what is wrong; the hint stands apart.
func (f *Fault) Error() string {
	if f.Err != nil {
		return fmt.Sprintf("text file %s: %s: %v", f.Path, f.Text, f.Err)
	}
	return fmt.Sprintf("text file %s: %s", f.Path, f.Text)
}

// Unwrap gives the kind and the cause to errors.Is and errors.As.
func (f *Fault) Unwrap() []error {
	if f.Err == nil {
		return []error{f.Kind}
	}
	return []error{f.Kind, f.Err}
}

// RowError is a row that cannot be trusted. Reading goes on after it.
type RowError struct {
	Row    int      // line in the file, from 1, on which the row begins
	Text   string   // the line as it stands, cut after 300 bytes
	Reason string   // what is wrong with it
	Cells  []string // its cells with quotation marks read as plain text; nil where there is no such reading
}

// Error names the line and the reason.
func (e *RowError) Error() string { return fmt.Sprintf("line %d: %s", e.Row, e.Reason) }

var hints = map[Kind]string{
	Missing:         "check the path in the job file",
	Directory:       "name the file, or use a pattern such as folder/*.csv",
	NotRegular:      "copy the data into an ordinary file first",
	Unreadable:      "check that the file may be read and is not locked by another program",
	Empty:           "export the data again",
	NotText:         "export it as .csv, or give it the ending of what it is",
	UnknownEncoding: "write utf-8, utf-16le, windows-1252, iso-8859-15, cp850 or another common name",
	Changed:         "wait until the export is complete and run again",
	TooLarge:        "raise the limit in the job file if the file is honest",
}

// fault makes a Fault with the hint of its kind.
func fault(k Kind, path, text string, err error) *Fault {
	return &Fault{Kind: k, Path: path, Text: text, Hint: hints[k], Err: err}
}

func overLimit(path, what string, limit int64, key string) error {
	return fault(TooLarge, path, fmt.Sprintf("%s are over the limit of %d (job file: %s)", what, limit, key), nil)
}

// regular refuses what is not an ordinary file before it is opened: opening a named
// pipe would wait for ever.
func regular(path string) (fs.FileInfo, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fault(Missing, path, "no such file", nil)
	case err != nil:
		return nil, fault(Unreadable, path, "cannot be looked at", err)
	case info.IsDir():
		return nil, fault(Directory, path, "is a folder, not a file", nil)
	case !info.Mode().IsRegular():
		return nil, fault(NotRegular, path, "not a regular file", nil)
	}
	return info, nil
}

package csv

import (
	"fmt"

	"pitlist/ingest/ordinary"
	"pitlist/score/say"
)

// Kind sorts the faults of a file. It is an error itself, so that
// errors.Is(err, csv.Empty) asks for one kind.
type Kind string

// The kinds of fault.
const (
	Missing              = Kind(ordinary.Missing)
	Directory            = Kind(ordinary.Directory)
	NotRegular           = Kind(ordinary.NotRegular)
	Unreadable           = Kind(ordinary.Unreadable)
	Link                 = Kind(ordinary.Link)
	Changed              = Kind(ordinary.Changed)
	Empty           Kind = "empty file"
	NotText         Kind = "not a text file"
	UnknownEncoding Kind = "unknown encoding"
	TooLarge        Kind = "over a limit"
)

// Error makes a Kind a target for errors.Is.
func (k Kind) Error() string { return string(k) }

// Fault says why a text file cannot be used, or used any further.
type Fault struct {
	Kind Kind
	Path string   // as given to Open
	Text say.Text // what is wrong
	Hint say.Text // what to do next
	Err  error    // cause, may be nil
}

// Error names the file and what is wrong, in English; the hint stands apart.
func (f *Fault) Error() string { return f.Words("").String() }

// Words names the file, as shown where that is given, and what is wrong. The
// cause is in the words of the system.
func (f *Fault) Words(shown string) say.Text {
	if shown == "" {
		shown = f.Path
	}
	text := say.F("text file %s: %s", shown, f.Text)
	if f.Err != nil {
		text = say.Join(": ", text, say.Plain(f.Err.Error()))
	}
	return text
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
	Reason say.Text // what is wrong with it
	Cells  []string // its cells with quotation marks read as plain text; nil where there is no such reading
}

// Error names the line and the reason.
func (e *RowError) Error() string { return fmt.Sprintf("line %d: %s", e.Row, e.Reason) }

var hints = map[Kind]say.Text{
	Missing:         say.F("check the path in the job file"),
	Directory:       say.F("name the file, or use a pattern such as folder/*.csv"),
	Link:            say.F("put the file itself there, or name in the job the file or folder that it leads to"),
	NotRegular:      say.F("copy the data into an ordinary file first"),
	Unreadable:      say.F("check that the file may be read and is not locked by another program"),
	Empty:           say.F("export the data again"),
	NotText:         say.F("export it as .csv, or give it the ending of what it is"),
	UnknownEncoding: say.F("write utf-8, utf-16le, windows-1252, iso-8859-15, cp850 or another common name"),
	Changed:         say.F("wait until the export is complete and run again"),
	TooLarge:        say.F("raise the limit in the job file if the file is honest"),
}

// fault makes a Fault with the hint of its kind.
func fault(k Kind, path string, text say.Text, err error) *Fault {
	return &Fault{Kind: k, Path: path, Text: text, Hint: hints[k], Err: err}
}

func overLimit(path string, text say.Text) error { return fault(TooLarge, path, text, nil) }

package xlsx

import (
	"errors"
	"fmt"
	"strings"
)

// Kind sorts the faults of a file. It is an error itself, so that
// errors.Is(err, xlsx.Protected) asks for one kind.
type Kind string

// The kinds of fault. Each is what a user could act on in one way.
const (
	Missing       Kind = "no such file"
	Directory     Kind = "a folder, not a file"
	NotRegular    Kind = "not a regular file"
	Unreadable    Kind = "cannot be read"
	LockFile      Kind = "lock file of an open workbook"
	Empty         Kind = "empty file"
	Truncated     Kind = "incomplete file"
	Protected     Kind = "protected by a password"
	WrongPassword Kind = "wrong password"
	OldFormat     Kind = "old .xls workbook"
	OpenDocument  Kind = "OpenDocument spreadsheet"
	Binary        Kind = "binary .xlsb workbook"
	NotWorkbook   Kind = "not a workbook"
	Damaged       Kind = "damaged workbook"
	Disordered    Kind = "rows or cells out of order"
	TooLarge      Kind = "over a limit"
	NoSheet       Kind = "no such sheet"
)

// Error makes a Kind a target for errors.Is.
func (k Kind) Error() string { return string(k) }

// Fault says why a workbook, or one of its sheets, cannot be used.
type Fault struct {
	Kind  Kind
	Path  string // as given to Open
	Sheet string // empty unless one sheet is at fault
	Text  string // what is wrong, with the place in the file where it is known
	Hint  string // what to do next
	Err   error  // cause, may be nil
}

// Error names the file, the sheet if there is one, and what is wrong. The hint is
// left to the caller, who prints it on a line of its own.
func (f *Fault) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "workbook %s: ", f.Path)
	if f.Sheet != "" {
		fmt.Fprintf(&b, "sheet %q: ", f.Sheet)
	}
	b.WriteString(f.Text)
	if f.Err != nil {
		fmt.Fprintf(&b, ": %v", f.Err)
	}
	return b.String()
}

// Unwrap gives the kind and the cause to errors.Is and errors.As.
func (f *Fault) Unwrap() []error {
	if f.Err == nil {
		return []error{f.Kind}
	}
	return []error{f.Kind, f.Err}
}

// hints holds the advice that depends on the kind alone.
var hints = map[Kind]string{
	Missing:       "check the path in the job file",
	Directory:     "name the file, or use a pattern such as folder/*.xlsx",
	NotRegular:    "copy the data into an ordinary file first",
	Unreadable:    "check that the file may be read and is not locked by another program",
	LockFile:      "close the workbook, or leave files that begin with ~$ out of the pattern",
	Empty:         "export the workbook again",
	Truncated:     "the copy or download was cut short, or is still going on; fetch it again",
	Protected:     "name the environment variable that holds the password in password_env",
	WrongPassword: "check the password in the environment variable that password_env names",
	OldFormat:     "open it and save as .xlsx",
	OpenDocument:  "open it and save as .xlsx",
	Binary:        "open it and save as .xlsx",
	NotWorkbook:   "open it and save as .xlsx; if it is text, give it the ending .csv or .tsv",
	Damaged:       "open it in the spreadsheet program, let it repair the file, and save it under a new name",
	Disordered:    "open it in the spreadsheet program and save it under a new name",
	TooLarge:      "raise the limit in the job file if the file is honest",
	NoSheet:       "check the sheet's name",
}

// fault makes a Fault with the hint of its kind.
func fault(k Kind, path, text string, err error) *Fault {
	return &Fault{Kind: k, Path: path, Text: text, Hint: hints[k], Err: err}
}

// formError is what a check of one part finds, before path and sheet are known.
type formError struct {
	kind Kind
	text string
}

func (e *formError) Error() string { return e.text }

func damagedf(format string, args ...any) error {
	return &formError{Damaged, fmt.Sprintf(format, args...)}
}

func disorderedf(format string, args ...any) error {
	return &formError{Disordered, fmt.Sprintf(format, args...)}
}

func overLimit(what string, limit int64, key string) error {
	return &formError{TooLarge, fmt.Sprintf("%s are over the limit of %d (job file: %s)", what, limit, key)}
}

// asFault gives a part's error its path and sheet. A fault, a cancellation or a failure
// of our own files passes through as it is.
func asFault(path, sheet, part string, err error) error {
	var done *Fault
	var own *spoolError
	if err == nil || errors.As(err, &done) || errors.As(err, &own) || isCancelled(err) {
		return err
	}
	var form *formError
	if errors.As(err, &form) {
		f := fault(form.kind, path, form.text, nil)
		f.Sheet = sheet
		if sheet == "" && form.kind != TooLarge {
			f.Text = "part " + part + ": " + form.text
		}
		return f
	}
	f := fault(Damaged, path, "part "+part, err)
	f.Sheet = sheet
	return f
}

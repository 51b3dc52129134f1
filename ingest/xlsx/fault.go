package xlsx

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"pitlist/ingest/ordinary"
	"pitlist/score/say"
)

// Kind sorts the faults of a file. It is an error itself, so that
// errors.Is(err, xlsx.Protected) asks for one kind.
type Kind string

// The kinds of fault. Each is what a user could act on in one way.
const (
	Missing            = Kind(ordinary.Missing)
	Directory          = Kind(ordinary.Directory)
	NotRegular         = Kind(ordinary.NotRegular)
	Unreadable         = Kind(ordinary.Unreadable)
	Link               = Kind(ordinary.Link)
	Changed            = Kind(ordinary.Changed)
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
	Path  string   // as given to Open
	Sheet string   // empty unless one sheet is at fault
	Text  say.Text // what is wrong, with the place in the file where it is known
	Hint  say.Text // what to do next
	Err   error    // cause, may be nil
}

// Error names the file, the sheet if there is one, and what is wrong, in English.
// The hint is left to the caller, who prints it on a line of its own.
func (f *Fault) Error() string { return f.Words("").String() }

// Words is Error in any language, with the file as shown where that is given. The
// cause is in the words of the system.
func (f *Fault) Words(shown string) say.Text {
	if shown == "" {
		shown = f.Path
	}
	text := say.F("workbook %s: %s", shown, f.Text)
	if f.Sheet != "" {
		text = say.F("workbook %s: sheet %s: %s", shown, quoted(f.Sheet), f.Text)
	}
	if f.Err != nil {
		text = say.Join(": ", text, say.Plain(short(f.Err.Error())))
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

// hints holds the advice that depends on the kind alone.
var hints = map[Kind]say.Text{
	Missing:       say.F("check the path in the job file"),
	Directory:     say.F("name the file, or use a pattern such as folder/*.xlsx"),
	Link:          say.F("put the file itself there, or name in the job the file or folder that it leads to"),
	NotRegular:    say.F("copy the data into an ordinary file first"),
	Unreadable:    say.F("check that the file may be read and is not locked by another program"),
	LockFile:      say.F("close the workbook, or leave files that begin with ~$ out of the pattern"),
	Empty:         say.F("export the workbook again"),
	Truncated:     say.F("the copy or download was cut short, or is still going on; fetch it again"),
	Protected:     say.F("name the environment variable that holds the password in password_env"),
	WrongPassword: say.F("check the password in the environment variable that password_env names"),
	OldFormat:     say.F("open it and save as .xlsx"),
	OpenDocument:  say.F("open it and save as .xlsx"),
	Binary:        say.F("open it and save as .xlsx"),
	NotWorkbook:   say.F("open it and save as .xlsx; if it is text, give it the ending .csv or .tsv"),
	Damaged:       say.F("open it in the spreadsheet program, let it repair the file, and save it under a new name"),
	Disordered:    say.F("open it in the spreadsheet program and save it under a new name"),
	TooLarge:      say.F("raise the limit in the job file if the file is honest"),
	NoSheet:       say.F("check the sheet's name"),
	Changed:       say.F("wait until the export is complete and run again"),
}

// fault makes a Fault with the hint of its kind.
func fault(k Kind, path string, text say.Text, err error) *Fault {
	return &Fault{Kind: k, Path: path, Text: text, Hint: hints[k], Err: err}
}

// formError is what a check of one part finds, before path and sheet are known.
type formError struct {
	kind Kind
	text say.Text
	err  error // cause, may be nil
}

func (e *formError) Error() string { return e.text.String() }

func damaged(text say.Text) error { return &formError{Damaged, text, nil} }

func disordered(text say.Text) error { return &formError{Disordered, text, nil} }

func overLimit(text say.Text) error { return &formError{TooLarge, text, nil} }

// quoted is a text out of the file between quotation marks, and cut no more
// than 20 characters of it.
func quoted[T ~string | ~[]byte](s T) string { return strconv.Quote(short(s)) }
func cut[T ~string | ~[]byte](s T) string    { return fmt.Sprintf("%.20q", string(s)) }

// mostShown is how many bytes of a text out of the file a message repeats: a name may
// be megabytes long, and a message goes into the record and the mail.
const mostShown = 200

// short is a text out of the file, for a message.
func short[T ~string | ~[]byte](s T) string {
	if len(s) <= mostShown {
		return string(s)
	}
	return strings.ToValidUTF8(string(s[:mostShown]), "") + "…"
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
		f := fault(form.kind, path, form.text, form.err)
		f.Sheet = sheet
		if sheet == "" && part != "" && form.kind != TooLarge {
			f.Text = say.F("part %s: %s", short(part), form.text)
		}
		return f
	}
	f := fault(Damaged, path, say.F("part %s", short(part)), err)
	f.Sheet = sheet
	return f
}

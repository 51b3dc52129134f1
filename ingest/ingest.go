// Package ingest turns files into a fleet: it reads the sheets, understands
// their columns, joins them by VIN, else by unit, else by registration, and
// keeps the account of every row.
//
// It judges nothing but form: what a code or a distance means for a part is
// package score's business. The usual steps:
//
//  1. list the Inputs (files with what the job says of them);
//  2. Read them all; files are read in parallel, their order kept;
//  3. look at Result.Sheets for how each column was understood, at
//     Fleet.Issues for what was refused, and at Fleet.Counts for the account.
package ingest

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"sync"

	"pitlist/ingest/csv"
	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/ingest/xlsx"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// Input is one file with what the job says of it.
type Input struct {
	Path     string
	Shown    string // the path as the job writes it, for results; "" is Path
	Folder   string // links must not lead out of it; "" is the file's own
	Password string // of a protected workbook
	// PasswordEnv is the name of the variable that holds the password, for
	// lines that can be pasted into the job.
	PasswordEnv string
	Encoding    string // of a text file; "" decides by its bytes
	DateOrder   value.Order
	Sheets      []Told
}

// Told is what the job says of one sheet.
type Told struct {
	Name         string // of the sheet; "" for a text file
	Holds        []header.Kind
	Columns      map[string]string // heading -> canonical name, or "ignore"
	OdometerUnit string            // "km" or "mi"; "" as the sheet says, else km
	DateOrder    value.Order
	HeaderRow    int // 1-based row of the headings; 0: found
}

// Options are the job's settings that reading needs.
type Options struct {
	Day       score.Day // of the run
	Market    vin.Market
	DateOrder value.Order // where a column cannot decide it
	Encoding  string
	Strict    bool     // one unreadable file stops the run
	Measures  []string // the measures that the catalogue speaks of
	Parts     []string // ids of the catalogue's parts; nil: any
	TmpDir    string
	Limits    Limits                      // on what one file may cost
	Progress  func(path string, rows int) // told now and then, from several goroutines; may be nil

	vehiclesToo bool // lists of events that describe their vehicles are lists of vehicles too
}

// Result is what was read.
type Result struct {
	Fleet   *score.Fleet
	Files   []FileView
	Sheets  []SheetView
	Answers []Answer // what lists that came back say was found
}

// FileView tells of one file.
type FileView struct {
	Path   string
	SHA256 string
	Notes  []say.Text
	Err    error // why it could not be read; nil
}

// Words says why the file could not be read, naming it as the job does; empty where
// it could.
func (v *FileView) Words() say.Text {
	if v.Err == nil {
		return say.Text{}
	}
	return words(v.Err, &Input{Shown: v.Path})
}

// Hint is what to do about a file that could not be read; empty where it could.
func (v *FileView) Hint() say.Text { return hint(v.Err) }

// SheetView tells how a sheet was understood.
type SheetView struct {
	Source  score.Source
	Hidden  bool
	Layout  header.Layout
	Heading int // row of the headings as the spreadsheet shows it; 0: none
	Columns []ColumnView
	Counts  score.Counts
	Issues  int // rows or cells of it in Fleet.Issues
	Notes   []say.Text
	Empty   bool     // nothing stands in it
	Skipped say.Text // why nothing of it was read; empty where it was
	Told    Told     // what the job says of it
}

// ColumnView tells how a column was understood.
type ColumnView struct {
	Column  header.Column
	How     say.Text // what its values decided: "day first: 25/03/2024", "decimal comma"
	Samples []string // three values as they stand, a spreadsheet's count of days as a day
	Refused int
}

// ErrNothing says that no vehicle was found in any input.
var ErrNothing = errors.New(nothingFound().String())

func nothingFound() say.Text { return say.F("no vehicle found in any input") }

// Fault stops a run: what is wrong and what to do.
type Fault struct {
	Text, Hint say.Text
	Err        error
}

// Error is what is wrong, in English.
func (f *Fault) Error() string { return f.Text.String() }

// Unwrap gives the cause.
func (f *Fault) Unwrap() error { return f.Err }

// Read reads all inputs into one fleet. Without Options.Strict a file that
// cannot be read is told of in Files and as an issue; with it, or where no
// vehicle was found at all, an error ends the run.
func Read(ctx context.Context, inputs []Input, o Options) (*Result, error) {
	files, err := readFiles(ctx, inputs, &o)
	if err == nil && lacksVehicles(files) {
		o.vehiclesToo = true
		files, err = readFiles(ctx, inputs, &o)
	}
	if err != nil {
		return nil, err
	}
	return assemble(files, &o)
}

// lacksVehicles tells that no sheet lists vehicles, and that a list of events
// describes those that it names.
func lacksVehicles(files []*file) bool {
	describes := false
	for _, f := range files {
		for _, s := range f.sheets {
			if !s.view.Skipped.Empty() {
				continue
			}
			if s.view.Layout.Has(header.Vehicles) {
				return false
			}
			describes = describes || s.view.Layout.Describes && len(s.told.Holds) == 0
		}
	}
	return describes
}

// readFiles reads the files side by side.
func readFiles(ctx context.Context, inputs []Input, o *Options) ([]*file, error) {
	files := make([]*file, len(inputs))
	limit := make(chan struct{}, max(1, runtime.GOMAXPROCS(0)))
	var wg sync.WaitGroup
	for i := range inputs {
		wg.Go(func() {
			limit <- struct{}{}
			defer func() { <-limit }()
			files[i] = readFile(ctx, &inputs[i], o)
		})
	}
	wg.Wait()
	return files, ctx.Err()
}

// assemble joins the files and checks the account.
func assemble(files []*file, o *Options) (*Result, error) {
	res := &Result{}
	for _, f := range files {
		res.Files = append(res.Files, f.view)
		if f.view.Err != nil && o.Strict {
			return res, &Fault{Text: f.view.Words(), Hint: hint(f.view.Err), Err: f.view.Err}
		}
	}
	res.Fleet, res.Answers = join(files)
	for _, f := range files {
		for _, s := range f.sheets {
			s.view.Counts, s.view.Columns = s.counts(), s.columnViews()
			res.Sheets = append(res.Sheets, s.view)
			res.Fleet.Counts = append(res.Fleet.Counts, s.view.Counts)
			if !s.view.Counts.Balanced() {
				return res, fmt.Errorf("internal: the account of %s %s does not add up: %+v", s.view.Source.File, s.view.Source.Sheet, s.view.Counts)
			}
		}
	}
	if len(res.Fleet.Vehicles) == 0 {
		return res, nothing(res)
	}
	return res, nil
}

// nothing explains an empty fleet by what stood in its way.
func nothing(r *Result) error {
	f := &Fault{Text: nothingFound(), Hint: say.F("run `pitlist read JOB` to see how each sheet was understood"), Err: ErrNothing}
	for _, v := range r.Files {
		if v.Err != nil {
			f.Text, f.Hint, f.Err = v.Words(), hint(v.Err), errors.Join(ErrNothing, v.Err)
			return f
		}
	}
	for _, s := range r.Sheets {
		if s.Skipped.Empty() {
			continue
		}
		where := say.Plain(filepath.Base(s.Source.File))
		if s.Source.Sheet != "" {
			where = say.F("%s, sheet %s", where, s.Source.Sheet)
		}
		f.Text = say.Join(": ", nothingFound(), where, s.Skipped)
		if !s.Empty {
			f.Hint = say.F("name the columns in the job, for example sheets: [{ name: Sheet1, columns: { \"Fleet ref\": unit } }]")
		}
		return f
	}
	return f
}

// hint finds what to do about a file's fault.
func hint(err error) say.Text {
	var x *xlsx.Fault
	var c *csv.Fault
	var own *Fault
	switch {
	case errors.As(err, &own):
		return own.Hint
	case errors.As(err, &x):
		return x.Hint
	case errors.As(err, &c):
		return c.Hint
	}
	return say.Text{}
}

package ingest

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"pitlist/ingest/csv"
	"pitlist/ingest/value"
	"pitlist/ingest/xlsx"
	"pitlist/score"
	"pitlist/score/say"
)

// file is one input on its way into the fleet.
type file struct {
	input  *Input
	opts   *Options
	view   FileView
	sheets []*sheet
	lone   string // the only sheet of a workbook that is not hidden; "" where there are several
	miles  bool   // cells of the workbook may show miles by their number format, beside more than that
	cells  int64  // read so far
}

// shown is the path by which results name the file.
func (in *Input) shown() string {
	if in.Shown != "" {
		return in.Shown
	}
	return in.Path
}

// fault says why the file could not be read, naming it as the job does.
func (f *file) fault() say.Text { return words(f.view.Err, f.input) }

// words says what an error of an input says. It names the input as the job
// does, or as the error does where in is nil.
func words(err error, in *Input) say.Text {
	if in == nil {
		in = &Input{}
	}
	var x *xlsx.Fault
	var c *csv.Fault
	var own *Fault
	switch {
	case errors.As(err, &own):
		return own.Text
	case errors.As(err, &x):
		return x.Words(in.shown())
	case errors.As(err, &c):
		return c.Words(in.shown())
	}
	text := err.Error()
	if in.Path != "" {
		text = strings.ReplaceAll(text, in.Path, in.shown())
	}
	return say.Plain(text)
}

// readFile reads every sheet of one file; what stops it goes into the view.
func readFile(ctx context.Context, in *Input, o *Options) *file {
	f := &file{input: in, opts: o, view: FileView{Path: in.shown()}}
	if f.view.Err = f.byKind(ctx, f.workbook, f.text); f.view.Err != nil {
		f.sheets = nil // a file counts whole or not at all
	}
	f.ask()
	return f
}

// byKind reads the file as what its name says that it is, under its limit of time.
func (f *file) byKind(ctx context.Context, workbook, text func(context.Context) error) error {
	switch ext := strings.ToLower(filepath.Ext(f.input.Path)); {
	case ext == ".xlsx" || ext == ".xlsm":
		return f.within(ctx, workbook)
	case ext == ".csv" || ext == ".tsv" || ext == ".txt":
		return f.within(ctx, text)
	}
	return &Fault{Text: say.F("%s: not a kind of file that is read", f.input.shown()), Hint: say.F("save it as .xlsx or .csv")}
}

func (f *file) open(ctx context.Context) (*xlsx.Book, error) {
	return xlsx.Open(ctx, f.input.Path, xlsx.Options{Password: f.input.Password, Folder: f.input.Folder, TmpDir: f.opts.TmpDir, Limits: f.opts.Limits.Workbook})
}

func (f *file) workbook(ctx context.Context) error {
	book, err := f.open(ctx)
	if err != nil {
		return err
	}
	defer book.Close()
	f.view.SHA256, f.view.Notes = book.SHA256(), book.Notes()
	f.lone, f.miles = lone(book), book.ShowsMiles()
	for _, s := range book.Sheets() {
		told := f.told(s.Name)
		sh := f.newSheet(s.Name, told)
		sh.date1904 = book.Date1904()
		sh.view.Hidden = s.Hidden
		reads := !s.Hidden || told != nil
		if err := f.bookSheet(ctx, book, sh, reads); err != nil {
			return err
		}
	}
	f.strangers(book)
	f.listed()
	return nil
}

// bookSheet reads the tables of one sheet of a workbook. Which cells are merged
// stands behind the rows: where values reach over rows of a table, it is read
// once more with these filled in.
func (f *file) bookSheet(ctx context.Context, book *xlsx.Book, sh *sheet, reads bool) error {
	name, mark := sh.view.Source.Sheet, len(f.sheets)
	again := *sh
	f.sheets = append(f.sheets, sh)
	if reads {
		open := func() (rows, error) { return book.Rows(name) }
		if err := f.tables(ctx, sh, open); err != nil {
			return err
		}
		is, err := book.Count(name)
		if err != nil {
			return err
		}
		if reach := reaching(is.Merged, f.sheets[mark:]); len(reach) > 0 {
			sh = &again
			sh.reach = len(reach)
			f.sheets = append(f.sheets[:mark], sh)
			if err := f.tables(ctx, sh, filledDown(open, reach)); err != nil {
				return err
			}
		}
	}
	return sh.account(book, reads)
}

// account takes over what the reader counted, which it knows at the sheet's end. A
// hidden sheet that the job does not name is counted and not used, so that damage in
// it is seen all the same.
func (s *sheet) account(book *xlsx.Book, used bool) error {
	is, err := book.Count(s.view.Source.Sheet)
	if err != nil {
		return err
	}
	s.blank, s.hidden = is.Blank, is.HiddenRows
	if !used {
		s.skip(is.Rows, say.F("hidden sheet; name it in the job under sheets to have it read"))
		return nil
	}
	notes := s.view.Notes
	s.view.Notes = nil
	if is.HiddenRows > 0 {
		s.note(say.One(is.HiddenRows, say.F("1 row is hidden or filtered out; it was read like the others"),
			say.F("%d rows are hidden or filtered out; they were read like the others", is.HiddenRows)))
	}
	if is.Formulas > 0 {
		s.note(say.One(is.Formulas, say.F("1 formula cell holds no saved value: open the file in a spreadsheet program and save it"),
			say.F("%d formula cells hold no saved value: open the file in a spreadsheet program and save it", is.Formulas)))
	}
	s.mergedCells(&is)
	s.view.Notes = append(s.view.Notes, notes...)
	return nil
}

// lone is the only sheet of a workbook that is not hidden; "" where there are several.
func lone(book *xlsx.Book) (name string) {
	for _, s := range book.Sheets() {
		switch {
		case s.Hidden:
		case name != "":
			return ""
		default:
			name = s.Name
		}
	}
	return name
}

// strangers notes sheets that the job names and the workbook does not have, and what it
// says of a sheet without naming it where there are several.
func (f *file) strangers(book *xlsx.Book) {
	for _, t := range f.input.Sheets {
		if t.Name == "" && f.lone == "" && len(book.Sheets()) > 0 {
			f.view.Notes = append(f.view.Notes, say.F("the job speaks of a sheet without naming it, and this workbook has several; name it there: name: %s", strconv.Quote(book.Sheets()[0].Name)))
		}
		if t.Name != "" && !slices.ContainsFunc(f.sheets, func(s *sheet) bool { return sameName(s.view.Source.Sheet, t.Name) }) {
			f.view.Notes = append(f.view.Notes, say.F("the job names a sheet %s, which this workbook does not have", strconv.Quote(t.Name)))
		}
	}
}

// sameName compares names of sheets as spreadsheet programs do.
func sameName(a, b string) bool {
	return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b))
}

func (f *file) textOptions() csv.Options {
	o := csv.Options{Encoding: f.input.Encoding, Folder: f.input.Folder, Limits: f.opts.Limits.Text}
	if o.Encoding == "" {
		o.Encoding = f.opts.Encoding
	}
	return o
}

func (f *file) text(ctx context.Context) error {
	o := f.textOptions()
	sh := f.newSheet("", f.told(""))
	sh.text = true
	f.sheets = append(f.sheets, sh)
	var last *csv.File
	err := f.tables(ctx, sh, func() (rows, error) {
		c, err := csv.Open(ctx, f.input.Path, o)
		if err != nil {
			return nil, err
		}
		if last != nil && last.SHA256() != c.SHA256() { // the second pass, or a further table
			return nil, errors.Join(&Fault{Text: say.F("%s: the file was replaced while it was read", f.input.shown()), Hint: say.F("wait until the export is complete and run again")}, c.Close())
		}
		last = c
		sh.commas = c.Delimiter() == ','
		return c, nil
	})
	if last != nil {
		f.view.SHA256, f.view.Notes = last.SHA256(), last.Notes() // complete once all is read
	}
	return err
}

// toldExactly finds what the job says of a table by its name.
func (f *file) toldExactly(name string) *Told {
	for i := range f.input.Sheets {
		if t := &f.input.Sheets[i]; sameName(t.Name, name) {
			return t
		}
	}
	return nil
}

// told finds what the job says of a sheet, by name without regard to case.
func (f *file) told(name string) *Told {
	if t := f.toldExactly(name); t != nil {
		return t
	}
	if name == "" && len(f.input.Sheets) == 1 {
		return &f.input.Sheets[0] // a text file has one sheet, whatever it is called
	}
	if f.lone != "" && sameName(name, f.lone) {
		return f.toldExactly("") // of a workbook with one sheet its name may be left out
	}
	return nil
}

func (f *file) newSheet(name string, told *Told) *sheet {
	s := &sheet{file: f, told: told}
	if told == nil {
		s.told = &Told{}
	}
	s.view.Told = *s.told
	s.view.Source = score.Source{File: f.input.shown(), Sheet: name}
	if u, _, ok := value.ParseUnit(s.told.OdometerUnit); ok {
		s.unit = u
	}
	for _, o := range []value.Order{s.told.DateOrder, f.input.DateOrder, f.opts.DateOrder} {
		if s.order == "" {
			s.order = o
		}
	}
	return s
}

package ingest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"pitlist/ingest/csv"
	"pitlist/ingest/value"
	"pitlist/ingest/xlsx"
	"pitlist/score"
)

// rows is what both kinds of file hand out.
type rows interface {
	Read() (row int, cells []string, err error)
}

// file is one input on its way into the fleet.
type file struct {
	input  *Input
	opts   *Options
	view   FileView
	sheets []*sheet
}

// readFile reads every sheet of one file; what stops it goes into the view.
func readFile(ctx context.Context, in *Input, o *Options) *file {
	f := &file{input: in, opts: o, view: FileView{Path: in.Path}}
	switch strings.ToLower(filepath.Ext(in.Path)) {
	case ".xlsx", ".xlsm":
		f.view.Err = f.workbook(ctx)
	case ".csv", ".tsv", ".txt":
		f.view.Err = f.text(ctx)
	default:
		f.view.Err = fmt.Errorf("%s: not a kind of file that is read; save it as .xlsx or .csv", in.Path)
	}
	if f.view.Err != nil {
		f.sheets = nil // a file counts whole or not at all
	}
	return f
}

func (f *file) workbook(ctx context.Context) error {
	book, err := xlsx.Open(ctx, f.input.Path, xlsx.Options{Password: f.input.Password, TmpDir: f.opts.TmpDir})
	if err != nil {
		return err
	}
	defer book.Close()
	f.view.SHA256, f.view.Notes = book.SHA256(), book.Notes()
	for _, s := range book.Sheets() {
		told := f.told(s.Name)
		sh := f.newSheet(s.Name, told)
		sh.date1904 = book.Date1904()
		sh.view.Hidden = s.Hidden
		sh.blank, sh.hidden = s.Blank, s.HiddenRows
		f.sheets = append(f.sheets, sh)
		if s.Hidden && told == nil {
			sh.skip(s.Rows, "hidden sheet; name it in the job under sheets to have it read")
			continue
		}
		if s.HiddenRows > 0 {
			sh.note("%d rows are hidden or filtered out; they were read like the others", s.HiddenRows)
		}
		if s.Formulas > 0 {
			sh.note("%d formula cells hold no saved value: open the file in a spreadsheet program and save it", s.Formulas)
		}
		if err := sh.read(ctx, func() (rows, error) { return book.Rows(s.Name) }); err != nil {
			return err
		}
	}
	return nil
}

func (f *file) text(ctx context.Context) error {
	encoding := f.input.Encoding
	if encoding == "" {
		encoding = f.opts.Encoding
	}
	sh := f.newSheet("", f.told(""))
	open := func() (rows, error) {
		c, err := csv.Open(ctx, f.input.Path, csv.Options{Encoding: encoding})
		if err != nil {
			return nil, err
		}
		f.view.SHA256, f.view.Notes = c.SHA256(), c.Notes()
		return c, nil
	}
	f.sheets = append(f.sheets, sh)
	return sh.read(ctx, open)
}

// told finds what the job says of a sheet, by name without regard to case.
func (f *file) told(name string) *Told {
	for i := range f.input.Sheets {
		t := &f.input.Sheets[i]
		if strings.EqualFold(strings.TrimSpace(t.Name), strings.TrimSpace(name)) || t.Name == "" && name == "" {
			return t
		}
	}
	if name == "" && len(f.input.Sheets) == 1 {
		return &f.input.Sheets[0] // a text file has one sheet, whatever it is called
	}
	return nil
}

func (f *file) newSheet(name string, told *Told) *sheet {
	s := &sheet{file: f, told: told}
	if told == nil {
		s.told = &Told{}
	}
	s.view.Source = score.Source{File: f.input.Path, Sheet: name}
	s.order = f.input.DateOrder
	if s.told.DateOrder != "" {
		s.order = s.told.DateOrder
	}
	if s.order == "" {
		s.order = f.opts.DateOrder
	}
	return s
}

// each hands every row to use, from the first on. A row that cannot be read
// as such goes to bad. Close is called where the reader has it.
func each(ctx context.Context, open func() (rows, error), use func(row int, cells []string) error, bad func(*csv.RowError)) error {
	r, err := open()
	if err != nil {
		return err
	}
	if c, ok := r.(io.Closer); ok {
		defer c.Close()
	}
	for {
		row, cells, err := r.Read()
		var fault *csv.RowError
		switch {
		case err == nil:
			if err := use(row, cells); err != nil {
				return err
			}
		case errors.Is(err, io.EOF):
			return ctx.Err()
		case errors.As(err, &fault):
			bad(fault)
		default:
			return err
		}
	}
}

// mileOrKm reads a unit as a job or a column states it.
func mileOrKm(s string) (string, bool) {
	u, _, ok := value.ParseUnit(s)
	return u, ok && (u == value.Km || u == value.Mile)
}

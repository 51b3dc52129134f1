package ingest

import (
	"context"

	"pitlist/ingest/csv"
)

// RawRow is one row of a file as it stands, for tables that are no fleet's: no
// column of it has been understood.
type RawRow struct {
	Sheet    string // "" for a text file
	Date1904 bool   // the workbook counts its days from 1904
	Row      int    // as the spreadsheet shows it, or the line of the text file
	Cells    []string
	Fault    string // why the row cannot be trusted; "" where it can. Its cells may then be nil
}

// ReadRaw hands every row of a file to use, sheet by sheet; hidden sheets are left
// out and named in passed. It reads as Read does: the same kinds of file, the same
// limits, control characters taken out. The row is valid until use returns. A file
// counts whole or not at all: where the view has an error, what was handed out
// before it is to be dropped.
func ReadRaw(ctx context.Context, in Input, o Options, use func(*RawRow) error) (view FileView, passed []string) {
	r := rawReader{file: &file{input: &in, opts: &o, view: FileView{Path: in.shown()}}, use: use}
	r.view.Err = r.byKind(ctx, r.workbook, r.text)
	return r.view, r.passed
}

// rawReader is one reading of ReadRaw.
type rawReader struct {
	*file
	row    RawRow
	passed []string // hidden sheets
	use    func(*RawRow) error
}

func (r *rawReader) workbook(ctx context.Context) error {
	book, err := r.open(ctx)
	if err != nil {
		return err
	}
	defer book.Close()
	r.view.SHA256, r.view.Notes = book.SHA256(), book.Notes()
	for _, s := range book.Sheets() {
		if s.Hidden {
			r.passed = append(r.passed, s.Name)
			continue
		}
		r.row = RawRow{Sheet: s.Name, Date1904: book.Date1904()}
		if err := each(ctx, func() (rows, error) { return book.Rows(s.Name) }, r.put); err != nil {
			return err
		}
	}
	return nil
}

func (r *rawReader) text(ctx context.Context) error {
	var opened *csv.File
	err := each(ctx, func() (rows, error) {
		var err error
		if opened, err = csv.Open(ctx, r.input.Path, r.textOptions()); err != nil {
			return nil, err // a nil *csv.File in rows would not be nil
		}
		return opened, nil
	}, r.put)
	if opened != nil {
		r.view.SHA256, r.view.Notes = opened.SHA256(), opened.Notes()
	}
	return err
}

func (r *rawReader) put(l *line) error {
	tooWide(l)
	if err := r.count(len(l.cells)); err != nil {
		return err
	}
	r.row.Row, r.row.Cells, r.row.Fault = l.row, l.cells, ""
	if l.fault != nil {
		r.row.Fault = l.fault.Reason.String()
	}
	for i, c := range l.cells {
		if unclean(c) {
			l.cells[i], _ = cleaned(c)
		}
	}
	return r.use(&r.row)
}

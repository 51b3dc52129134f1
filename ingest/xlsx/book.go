package xlsx

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
)

// Limits stop a file that is far larger than any honest workbook. A zero field
// means its default; an exceeded limit names itself and its key in the job file.
type Limits struct {
	Bytes     int64 // all parts expanded, and all text of the rows, where a shared string counts as often as it is used; default 4 GiB; limits.bytes
	FileBytes int64 // the file as it lies on disk; default 1 GiB; limits.file_bytes
	PartBytes int64 // one expanded part that is held in memory: the list of sheets and what leads to it, where the library reads sheets also the styles; default 32 MiB; limits.part_bytes
	Rows      int64 // rows of all sheets, blank ones too; default 20,000,000; limits.rows
	Parts     int64 // parts in the file; default 10,000; limits.parts
	// RecordBytes bounds the text of one row, shared strings counted in every cell that points to them; default 8 MiB; limits.record_bytes.
	// A cell has 32,767 characters at most in the programs.
	RecordBytes int64
}

// withDefaults fills the zero fields.
func (l Limits) withDefaults() Limits {
	for _, d := range []struct {
		field *int64
		value int64
	}{{&l.Bytes, 4 << 30}, {&l.FileBytes, 1 << 30}, {&l.PartBytes, 32 << 20}, {&l.Rows, 20_000_000}, {&l.Parts, 10_000}, {&l.RecordBytes, 8 << 20}} {
		if *d.field == 0 {
			*d.field = d.value
		}
	}
	return l
}

// Options of Open. The zero value opens an unprotected workbook.
type Options struct {
	Password string // opens a protected workbook; ignored for others
	Folder   string // links must not lead out of it; default: the one that the file lies in
	Limits   Limits
	TmpDir   string // where the book's own spool folder (mode 0700) is made; default: the system's

	second      bool  // leave all sheets to the library, for comparing the two ways
	heldStrings int64 // bytes of shared strings in memory; default heldTexts
	from1900    bool  // the date system is known, and the library is not asked for it: for fuzzing sheets
}

// Sheet tells what is known of one worksheet. The counts are complete once its rows
// have been read to their end, or Count has counted them.
type Sheet struct {
	Name       string
	Hidden     bool   // hidden or very hidden: read it only where the job names it
	Rows       int    // rows with at least one value or formula: what Rows.Read delivers
	Blank      int    // rows that stand in the file but hold nothing; Read passes over them
	HiddenRows int    // of Rows, those that are hidden or filtered out; they are delivered
	Formulas   int    // formula cells without a stored value: they read as blank
	Merged     []Span // cells that are merged over several rows, as the file lists them: the first holds the value
	MoreMerged int    // further ones, not kept in mind

	part  string // name of its part
	read  bool   // it was read to its end: the counts are complete
	cells int64  // cells with a value
	text  int64  // bytes of text in them
	last  int    // number of the last row with a value or formula
}

// Span is a merged cell: its rows by their numbers, its first column by its index
// from 0, and how many columns it takes up.
type Span struct{ First, Last, Column, Columns int }

// learn takes over what a walk to the sheet's end has counted.
func (s *Sheet) learn(f *sheetForm) {
	name, hidden, part := s.Name, s.Hidden, s.part
	*s = f.sheet
	s.Name, s.Hidden, s.part, s.read = name, hidden, part, true
}

// elements counts the rows that stand in the sheet, filled or not.
func (s *Sheet) elements() int64 { return int64(s.Rows + s.Blank) }

// Book is an open workbook.
type Book struct {
	path     string
	ctx      context.Context
	limits   Limits
	book     string // name of the part that lists the sheets
	data     []byte // the zip, decrypted
	digest   string
	spool    string // our folder of spool files
	archive  *archive
	strings  *texts
	plain    bool     // our own reader may read the sheets
	units    []string // shown
	oddMiles bool     // a number format shows miles in a way that is not read
	sheets   []Sheet
	notes    []say.Text
	date1904 bool
	library  *excelize.File // nil until a sheet needs it
	open     *Rows
}

// Open reads the whole file and checks every part but the sheets, which are checked
// as they are read. It holds no handle on the file afterwards, so the user may have
// it open or replace it. Errors are *Fault, the context's error if ctx ends first,
// or a failure of the spool files; ctx also ends reading later on.
func Open(ctx context.Context, path string, o Options) (*Book, error) {
	limits := o.Limits.withDefaults()
	data, err := load(ctx, path, o.Folder, limits)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	if data, err = unlock(path, data, o.Password); err != nil {
		return nil, err
	}
	b := &Book{path: path, ctx: ctx, limits: limits, data: data, digest: hex.EncodeToString(sum[:])}
	if b.spool, err = os.MkdirTemp(o.TmpDir, "pitlist-xlsx-*"); err != nil {
		return nil, fmt.Errorf("workbook %s: make spool folder: %w", path, err)
	}
	if err := b.inspect(&o); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}

// inspect reads all parts but the sheets.
func (b *Book) inspect(o *Options) (err error) {
	if b.archive, err = openArchive(b.ctx, b.path, b.data, b.limits); err != nil {
		return err
	}
	book, err := b.archive.workbook()
	if err != nil {
		return err
	}
	if !o.from1900 {
		if err := b.properties(book.part); err != nil {
			return err
		}
	}
	b.book, b.notes = book.part, book.notes
	later := map[string]bool{}
	for _, t := range book.tabs {
		b.sheets = append(b.sheets, Sheet{Name: t.name, Hidden: t.hidden, part: t.part})
		later[t.part] = true
	}
	held := o.heldStrings
	if held == 0 {
		held = heldTexts
	}
	if b.strings, b.plain, err = b.archive.strings(b.spool, held); err != nil {
		return err
	}
	b.plain, b.units = b.plain && !o.second, b.shown()
	return b.archive.rest(later)
}

// Sheets lists the worksheets in the order of their tabs. Other kinds of sheet are
// left out and named in Notes.
func (b *Book) Sheets() []Sheet { return slices.Clone(b.sheets) }

// Notes says what was left out or is remarkable about the book, one sentence each.
func (b *Book) Notes() []say.Text { return slices.Clone(b.notes) }

// Date1904 tells whether date serials count from 1904, 1,462 days later than usual.
func (b *Book) Date1904() bool { return b.date1904 }

// SHA256 is the hexadecimal digest of the file as it was read.
func (b *Book) SHA256() string { return b.digest }

// Count reads a sheet to its end unless that has been done, and tells what is in it.
// Errors are those of Rows and of Rows.Read.
func (b *Book) Count(sheet string) (Sheet, error) {
	if i := b.find(sheet); i >= 0 && b.sheets[i].read {
		return b.sheets[i], nil
	}
	r, err := b.Rows(sheet)
	if err != nil {
		return Sheet{}, err
	}
	for err == nil {
		_, _, err = r.Read()
	}
	if !errors.Is(err, io.EOF) {
		return Sheet{}, errors.Join(err, r.Close())
	}
	return b.sheets[r.sheet], r.Close()
}

// Close ends an open Rows, and removes the spool files. Later calls do nothing.
func (b *Book) Close() error {
	var errs []error
	if b.open != nil {
		errs = append(errs, b.open.Close())
	}
	if b.library != nil {
		errs = append(errs, b.library.Close())
		b.library = nil
	}
	errs = append(errs, b.strings.close())
	b.archive, b.data, b.strings = nil, nil, nil
	if b.spool != "" {
		errs = append(errs, os.RemoveAll(b.spool))
		b.spool = ""
	}
	return errors.Join(errs...)
}

// find gives the index of a worksheet, without regard to case as spreadsheet programs
// compare names; -1 if there is none.
func (b *Book) find(name string) int {
	return slices.IndexFunc(b.sheets, func(s Sheet) bool { return strings.EqualFold(s.Name, name) })
}

// isCancelled tells a cancellation from a fault of the file.
func isCancelled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

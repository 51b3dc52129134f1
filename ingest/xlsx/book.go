package xlsx

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Limits stop a file that is far larger than any honest workbook. A zero field
// means its default; an exceeded limit names itself and its key in the job file.
type Limits struct {
	Bytes     int64 // all parts expanded; default 4 GiB; limits.bytes
	FileBytes int64 // the file as it lies on disk; default 1 GiB; limits.file_bytes
	PartBytes int64 // one expanded part that is neither a sheet nor the shared strings, held in memory; default 512 MiB; limits.part_bytes
	Rows      int64 // rows of all sheets, blank ones too; default 20,000,000; limits.rows
	Parts     int64 // parts in the file; default 10,000; limits.parts
}

// withDefaults fills the zero fields.
func (l Limits) withDefaults() Limits {
	for _, d := range []struct {
		field *int64
		value int64
	}{{&l.Bytes, 4 << 30}, {&l.FileBytes, 1 << 30}, {&l.PartBytes, 512 << 20}, {&l.Rows, 20_000_000}, {&l.Parts, 10_000}} {
		if *d.field == 0 {
			*d.field = d.value
		}
	}
	return l
}

// Options of Open. The zero value opens an unprotected workbook.
type Options struct {
	Password string // opens a protected workbook; ignored for others
	Limits   Limits
	TmpDir   string // where the book's own spool folder (mode 0700) is made; default: the system's
}

// Sheet tells what the integrity pass saw of one worksheet.
type Sheet struct {
	Name       string
	Hidden     bool // hidden or very hidden: read it only where the job names it
	Rows       int  // rows with at least one value or formula: what Rows.Read will deliver
	Blank      int  // rows that stand in the file but hold nothing; Read passes over them
	HiddenRows int  // of Rows, those that are hidden or filtered out; they are delivered
	Formulas   int  // formula cells without a stored value: they read as blank

	cells int64 // cells with a value
	last  int   // number of the last row with a value or formula
}

// Book is an open workbook that passed the integrity check.
type Book struct {
	path   string
	ctx    context.Context
	file   *excelize.File
	spool  string
	digest string
	layout layout
	open   *Rows
}

// Open reads the whole file, checks every part and makes its sheets readable. It
// holds no handle on the file afterwards, so the user may have it open or replace
// it. Errors are *Fault, or the context's error if ctx ends first; ctx also ends
// reading later on.
func Open(ctx context.Context, path string, o Options) (*Book, error) {
	limits := o.Limits.withDefaults()
	data, err := load(ctx, path, limits)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	if data, err = unlock(path, data, o.Password); err != nil {
		return nil, err
	}
	lay, err := inspect(ctx, path, data, limits)
	if err != nil {
		return nil, err
	}
	b := &Book{path: path, ctx: ctx, digest: hex.EncodeToString(sum[:]), layout: lay}
	if b.spool, err = os.MkdirTemp(o.TmpDir, "pitlist-xlsx-*"); err != nil {
		return nil, fmt.Errorf("workbook %s: make spool folder: %w", path, err)
	}
	if b.file, err = openExcelize(data, b.spool, limits); err != nil {
		return nil, errors.Join(fault(Damaged, path, "cannot be opened", err), b.Close())
	}
	return b, nil
}

// openExcelize hands the checked bytes to excelize. A panic there is turned into an
// error: one odd workbook must not take the whole batch down.
func openExcelize(data []byte, spool string, limits Limits) (f *excelize.File, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("reader stopped: %v", p)
		}
	}()
	return excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:   true,
		TmpDir:         spool,
		UnzipSizeLimit: max(limits.Bytes, excelize.StreamChunkSize),
	})
}

// Sheets lists the worksheets in the order of their tabs. Other kinds of sheet are
// left out and named in Notes.
func (b *Book) Sheets() []Sheet { return slices.Clone(b.layout.sheets) }

// Notes says what was left out or is remarkable about the book, one sentence each.
func (b *Book) Notes() []string { return slices.Clone(b.layout.notes) }

// Date1904 tells whether date serials count from 1904, 1,462 days later than usual.
func (b *Book) Date1904() bool { return b.layout.date1904 }

// SHA256 is the hexadecimal digest of the file as it was read.
func (b *Book) SHA256() string { return b.digest }

// Close ends an open Rows, and removes the spool files. Later calls do nothing.
func (b *Book) Close() error {
	var errs []error
	if b.open != nil {
		errs = append(errs, b.open.Close())
	}
	if b.file != nil {
		errs = append(errs, b.file.Close())
		b.file = nil
	}
	if b.spool != "" {
		errs = append(errs, os.RemoveAll(b.spool))
		b.spool = ""
	}
	return errors.Join(errs...)
}

// sheet finds a worksheet by name, without regard to case as spreadsheet programs do.
func (b *Book) sheet(name string) (Sheet, bool) {
	for _, s := range b.layout.sheets {
		if strings.EqualFold(s.Name, name) {
			return s, true
		}
	}
	return Sheet{}, false
}

// isCancelled tells a cancellation from a fault of the file.
func isCancelled(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}

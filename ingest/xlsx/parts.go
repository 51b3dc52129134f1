package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
)

// layout is what the integrity pass learns of a workbook.
type layout struct {
	sheets   []Sheet
	notes    []string
	date1904 bool
}

// archive is the zip of one workbook while it is being checked.
type archive struct {
	path   string
	limits Limits
	parts  map[string]*zip.File // by the name under which excelize will look for it
	order  []string             // names in the order of the directory
	done   map[string]bool      // parts read to their end
	budget budget
	rows   int64 // rows of all sheets so far
}

const (
	stringsPart = "xl/sharedStrings.xml" // the only place where excelize looks
	rootRels    = "_rels/.rels"
)

// inspect is the integrity pass: every part is read to its end, so that sizes and
// checksums are compared, and the sheets' XML is walked in full. Excelize does
// neither: it drops those errors and delivers what came before them.
func inspect(ctx context.Context, path string, data []byte, limits Limits) (layout, error) {
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if errors.Is(err, zip.ErrFormat) {
		return layout{}, truncated(path, data) // the directory stands at the end
	}
	if err != nil {
		return layout{}, fault(Damaged, path, "the zip directory cannot be read", err)
	}
	a := &archive{path: path, limits: limits, done: map[string]bool{}, budget: budget{ctx: ctx, left: limits.Bytes, limit: limits.Bytes}}
	if err := a.index(zr.File); err != nil {
		return layout{}, asFault(path, "", "", err)
	}
	book, err := a.workbook()
	if err != nil {
		return layout{}, err
	}
	lay := layout{date1904: book.date1904, notes: book.notes}
	if lay.sheets, err = a.sheets(book.tabs); err != nil {
		return layout{}, err
	}
	return lay, a.rest()
}

// index notes the parts by name and refuses what makes the names ambiguous, since of
// two parts with one name excelize takes the last.
func (a *archive) index(files []*zip.File) error {
	if int64(len(files)) > a.limits.Parts {
		return overLimit("parts of the file", a.limits.Parts, "limits.parts")
	}
	a.parts = make(map[string]*zip.File, len(files))
	taken := make(map[string]bool, len(files))
	for _, f := range files {
		name := partName(f.Name)
		// Part names are compared without case: ECMA-376 part 2, 6.2.2.3.
		if low := strings.ToLower(name); taken[low] {
			return damagedf("two parts are called %q", name)
		} else {
			taken[low] = true
		}
		if f.Flags&1 != 0 { // APPNOTE 4.4.4, bit 0: encrypted
			return &formError{Protected, fmt.Sprintf("part %q is encrypted by the zip program", name)}
		}
		if f.UncompressedSize64 > uint64(a.limits.Bytes) {
			return overLimit("bytes of the expanded parts", a.limits.Bytes, "limits.bytes")
		}
		a.parts[name] = f
		a.order = append(a.order, name)
	}
	return nil
}

// partName is the name under which excelize keeps a part.
func partName(name string) string {
	name = strings.ReplaceAll(name, "\\", "/")
	for _, fixed := range []string{stringsPart, "[Content_Types].xml"} {
		if strings.EqualFold(name, fixed) {
			return fixed
		}
	}
	return name
}

// rest reads the parts that nothing has read yet, for their size and checksum.
func (a *archive) rest() error {
	for _, name := range a.order {
		if a.done[name] {
			continue
		}
		if a.parts[name].UncompressedSize64 > uint64(a.limits.PartBytes) {
			return asFault(a.path, "", name, overLimit("bytes of part "+name, a.limits.PartBytes, "limits.part_bytes"))
		}
		err := a.read(name, func(r io.Reader) error {
			_, err := io.Copy(io.Discard, r)
			return err
		})
		if err != nil {
			return asFault(a.path, "", name, err)
		}
	}
	return nil
}

// bytes reads a small part whole.
func (a *archive) bytes(name string) (data []byte, err error) {
	if a.parts[name] == nil {
		return nil, fault(Damaged, a.path, fmt.Sprintf("part %s is missing", name), nil)
	}
	if a.parts[name].UncompressedSize64 > uint64(a.limits.PartBytes) {
		return nil, asFault(a.path, "", name, overLimit("bytes of part "+name, a.limits.PartBytes, "limits.part_bytes"))
	}
	err = a.read(name, func(r io.Reader) error {
		data, err = io.ReadAll(r)
		return err
	})
	return data, asFault(a.path, "", name, err)
}

// read opens a part and lets use take it in; use must read to the end for the
// checksum to be compared. The part's bytes count against the budget.
func (a *archive) read(name string, use func(io.Reader) error) error {
	f := a.parts[name]
	rc, err := f.Open()
	if err != nil {
		return err
	}
	var r io.Reader = rc
	sum := crc32.NewIEEE()
	if f.CRC32 == 0 { // archive/zip takes 0 for "not stated" and compares nothing
		r = io.TeeReader(rc, sum)
	}
	err = use(&metered{r, &a.budget})
	if err == nil && f.CRC32 == 0 && sum.Sum32() != 0 {
		err = zip.ErrChecksum
	}
	if cerr := rc.Close(); err == nil {
		err = cerr
	}
	a.done[name] = true
	return err
}

// budget is what all parts together may still expand to.
type budget struct {
	ctx         context.Context
	left, limit int64
}

// metered draws on the budget, and ends when the context does.
type metered struct {
	r io.Reader
	b *budget
}

func (m *metered) Read(p []byte) (int, error) {
	if err := m.b.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := m.r.Read(p)
	if m.b.left -= int64(n); m.b.left < 0 {
		return 0, overLimit("bytes of the expanded parts", m.b.limit, "limits.bytes")
	}
	return n, err
}

// sheets walks the shared strings and then every worksheet.
func (a *archive) sheets(tabs []tab) ([]Sheet, error) {
	blank, err := a.sharedStrings()
	if err != nil {
		return nil, err
	}
	sheets := make([]Sheet, 0, len(tabs))
	for _, t := range tabs {
		form := newSheetForm(blank, a.limits.Rows-a.rows, a.limits.Rows)
		err := a.walk(t.part, form)
		if err != nil {
			return nil, asFault(a.path, t.name, t.part, err)
		}
		a.rows += form.rowElements()
		s := form.sheet
		s.Name, s.Hidden = t.name, t.hidden
		sheets = append(sheets, s)
	}
	return sheets, nil
}

// sharedStrings tells for each shared string whether it is empty.
func (a *archive) sharedStrings() ([]bool, error) {
	if a.parts[stringsPart] == nil {
		return nil, nil
	}
	form := &stringsForm{}
	if err := a.walk(stringsPart, form); err != nil {
		return nil, asFault(a.path, "", stringsPart, err)
	}
	return form.blank, nil
}

// walk runs a part through the fast scanner. Whatever that does not vouch for is
// walked again with encoding/xml, whose verdict counts; so the scanner may be
// narrow, and errors carry a line.
func (a *archive) walk(name string, h form) error {
	before := a.budget.left
	var failed error // of the reading itself: a second walk would not help
	err := a.read(name, func(r io.Reader) error {
		s := newScanner(r, h)
		err := s.run()
		failed = s.readErr
		return err
	})
	if err == nil || failed != nil || isZipFault(err) {
		return err
	}
	h.reset()
	a.budget.left = before
	return a.read(name, func(r io.Reader) error { return walkXML(r, h) })
}

// isZipFault tells damage of the archive from damage of the XML in it.
func isZipFault(err error) bool {
	return errors.Is(err, zip.ErrChecksum) || errors.Is(err, zip.ErrFormat) || errors.Is(err, zip.ErrAlgorithm)
}

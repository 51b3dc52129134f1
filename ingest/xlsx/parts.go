package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"io"
	"strings"

	"pitlist/score/say"
)

// archive is the zip of one workbook.
type archive struct {
	path   string
	ctx    context.Context
	limits Limits
	parts  map[string]*zip.File // by the name under which excelize will look for it
	order  []string             // names in the order of the directory
	done   map[string]bool      // parts read to their end
}

const (
	stringsPart = "xl/sharedStrings.xml" // the only place where excelize looks
	rootRels    = "_rels/.rels"

	contentTypes = "[Content_Types].xml"
)

// openArchive reads the directory.
func openArchive(ctx context.Context, path string, data []byte, limits Limits) (*archive, error) {
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if errors.Is(err, zip.ErrFormat) {
		return nil, truncated(path, data) // the directory stands at the end
	}
	if err != nil {
		return nil, fault(Damaged, path, say.F("the zip directory cannot be read"), err)
	}
	if hides(data, zr.File) {
		return nil, fault(Damaged, path, say.F("other data, perhaps another workbook, stand in front of those that its directory names"), nil)
	}
	a := &archive{path: path, ctx: ctx, limits: limits, done: map[string]bool{}}
	if err := a.index(zr.File); err != nil {
		return nil, asFault(path, "", "", err)
	}
	return a, nil
}

// hides tells of an archive that begins before its first part: of two archives one
// behind the other, programs differ in which they open.
func hides(data []byte, files []*zip.File) bool {
	const fixed, lengthsAt = 30, 26 // APPNOTE 4.3.7, local file header
	if len(files) == 0 || len(data) < fixed {
		return false
	}
	first := int64(fixed) + int64(binary.LittleEndian.Uint16(data[lengthsAt:])) + int64(binary.LittleEndian.Uint16(data[lengthsAt+2:]))
	for _, f := range files {
		if at, err := f.DataOffset(); err != nil || at <= first {
			return false // what cannot be found is told where it is read
		}
	}
	return true
}

// index notes the parts by name and refuses what makes the names ambiguous, since of
// two parts with one name excelize takes the last.
func (a *archive) index(files []*zip.File) error {
	if int64(len(files)) > a.limits.Parts {
		return overLimit(say.F("parts of the file are over the limit of %d (job file: %s)", a.limits.Parts, "limits.parts"))
	}
	a.parts = make(map[string]*zip.File, len(files))
	taken := make(map[string]bool, len(files))
	left := uint64(a.limits.Bytes) // no part can expand to more than it states: archive/zip stops there
	for _, f := range files {
		name := partName(f.Name)
		// Part names are compared without case: ECMA-376 part 2, 6.2.2.3.
		if low := strings.ToLower(name); taken[low] {
			return damaged(say.F("two parts are called %s", quoted(name)))
		} else {
			taken[low] = true
		}
		if f.Flags&1 != 0 { // APPNOTE 4.4.4, bit 0: encrypted
			return &formError{Protected, say.F("part %s is encrypted by the zip program", quoted(name)), nil}
		}
		if f.UncompressedSize64 > left {
			return overLimit(say.F("bytes of the expanded parts are over the limit of %d (job file: %s)", a.limits.Bytes, "limits.bytes"))
		}
		left -= f.UncompressedSize64
		a.parts[name] = f
		a.order = append(a.order, name)
	}
	return nil
}

// partName is the name under which excelize keeps a part.
func partName(name string) string {
	name = strings.ReplaceAll(name, "\\", "/")
	for _, fixed := range []string{stringsPart, contentTypes} {
		if strings.EqualFold(name, fixed) {
			return fixed
		}
	}
	return name
}

// rest reads the parts that nothing else reads, for their size and checksum; later
// are those that will be read.
func (a *archive) rest(later map[string]bool) error {
	for _, name := range a.order {
		if a.done[name] || later[name] {
			continue
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

// fits refuses a part that is too large to be held in memory.
func (a *archive) fits(name string) error {
	if a.parts[name].UncompressedSize64 <= uint64(a.limits.PartBytes) {
		return nil
	}
	return asFault(a.path, "", name, overLimit(say.F("bytes of part %s are over the limit of %d (job file: %s)", short(name), a.limits.PartBytes, "limits.part_bytes")))
}

// copy makes a workbook of some of the parts, as they are, for the library. It holds
// all of them in memory but what it takes by its name for a sheet or shared strings.
func (a *archive) copy(needed map[string]bool) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, name := range a.order {
		if !needed[name] {
			continue
		}
		spooled := name == stringsPart || strings.HasPrefix(strings.ToLower(name), "xl/worksheets/sheet")
		if err := a.fits(name); err != nil && !spooled {
			return nil, err
		}
		if err := z.Copy(a.parts[name]); err != nil {
			return nil, asFault(a.path, "", name, err)
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// bytes reads a small part whole.
func (a *archive) bytes(name string) (data []byte, err error) {
	if a.parts[name] == nil {
		return nil, fault(Damaged, a.path, say.F("part %s is missing", short(name)), nil)
	}
	if err := a.fits(name); err != nil {
		return nil, err
	}
	err = a.read(name, func(r io.Reader) error {
		data, err = io.ReadAll(r)
		return err
	})
	return data, asFault(a.path, "", name, err)
}

// read opens a part and lets use take it in; use must read to the end for the
// checksum to be compared.
func (a *archive) read(name string, use func(io.Reader) error) error {
	p, err := a.open(name)
	if err != nil {
		return err
	}
	err = use(p)
	if cerr := p.Close(); err == nil {
		err = cerr
	}
	a.done[name] = true
	return err
}

func (a *archive) open(name string) (*partReader, error) { return openPart(a.ctx, a.parts[name]) }

// strings reads the shared strings. plain tells that the scanner vouches for them;
// else they were read with encoding/xml, and the sheets are left to the library.
func (a *archive) strings(dir string, limit int64) (t *texts, plain bool, err error) {
	if a.parts[stringsPart] == nil {
		return nil, true, nil
	}
	var own *scanner
	t, err = a.fill(dir, limit, func(r io.Reader, h form) error {
		own = newScanner(r, h)
		return own.run()
	})
	if err == nil {
		plain, err = a.known(stringsPart)
		return t, plain, asFault(a.path, "", stringsPart, err)
	}
	if own != nil && !own.unsure(err) {
		return t, false, asFault(a.path, "", stringsPart, err)
	}
	if err := t.close(); err != nil {
		return nil, false, err
	}
	t, err = a.fill(dir, limit, func(r io.Reader, h form) error { return walkXML(r, h, a.limits) })
	return t, false, asFault(a.path, "", stringsPart, err)
}

// known tells whether the part's root stands in a namespace of workbooks (ECMA-376
// parts 4 and 1). The library refuses shared strings of another one.
func (a *archive) known(name string) (ok bool, err error) {
	p, err := a.open(name)
	if err != nil {
		return false, err
	}
	d := xml.NewDecoder(p)
	for err == nil {
		var token xml.Token
		token, err = d.Token()
		if root, found := token.(xml.StartElement); found {
			s := root.Name.Space
			ok = s == "http://schemas.openxmlformats.org/spreadsheetml/2006/main" || s == "http://purl.oclc.org/ooxml/spreadsheetml/main"
			break
		}
	}
	return ok, errors.Join(err, p.Close())
}

// fill walks the shared strings into a table of their own, which is returned also
// with an error.
func (a *archive) fill(dir string, limit int64, walk func(io.Reader, form) error) (*texts, error) {
	t := newTexts(dir, limit)
	h := newStringsForm(a.limits, t.add)
	err := a.read(stringsPart, func(r io.Reader) error { return walk(r, h) })
	if err == nil {
		err = t.done()
	}
	return t, err
}

// isZipFault tells damage of the archive from damage of the XML in it.
func isZipFault(err error) bool {
	return errors.Is(err, zip.ErrChecksum) || errors.Is(err, zip.ErrFormat) || errors.Is(err, zip.ErrAlgorithm)
}

package workbook

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"io"
	"regexp"
	"slices"
)

// contentTypes is the part whose entries the library writes in an order of
// its own each time.
const contentTypes = "[Content_Types].xml"

// settle writes the parts of a workbook in one order, so that the same run
// gives the same bytes: the content types first, as readers expect, then by
// name. Parts are copied as they are compressed, save those that the library
// writes amiss.
func settle(w io.Writer, book []byte) error {
	in, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		return err
	}
	parts := slices.Clone(in.File)
	slices.SortFunc(parts, func(a, b *zip.File) int {
		return cmp.Or(last(a.Name != contentTypes)-last(b.Name != contentTypes), cmp.Compare(a.Name, b.Name))
	})
	out := zip.NewWriter(w)
	for _, part := range parts {
		switch {
		case part.Name == contentTypes:
			err = rewrite(out, part, sortTypes)
		case chartPart.MatchString(part.Name):
			err = rewrite(out, part, mendAxes)
		default:
			err = out.Copy(part)
		}
		if err != nil {
			return err
		}
	}
	return out.Close()
}

func last(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

var typeEntry = regexp.MustCompile(`<(?:Default|Override)\s[^>]*?(?:/>|></(?:Default|Override)>)`)

// sortTypes sorts the entries of the content types; their order means nothing
// (ECMA-376 part 2, 10.1.2).
func sortTypes(body []byte) []byte {
	entries := typeEntry.FindAll(body, -1)
	slices.SortFunc(entries, bytes.Compare)
	next := 0
	return typeEntry.ReplaceAllFunc(body, func([]byte) []byte { next++; return entries[next-1] })
}

var (
	chartPart = regexp.MustCompile(`^xl/charts/chart\d+\.xml$`)
	valueAxis = regexp.MustCompile(`(?s)<valAx>.*?</valAx>`)
	labelOnly = regexp.MustCompile(`<(?:auto|lblAlgn|lblOffset|noMultiLvlLbl)\s[^>]*?(?:/>|></\w+>)`)
)

// mendAxes drops from the axes of values what only an axis of labels may have
// (ECMA-376 part 1, 21.2.2.226); the library writes it on both.
func mendAxes(body []byte) []byte {
	return valueAxis.ReplaceAllFunc(body, func(axis []byte) []byte { return labelOnly.ReplaceAll(axis, nil) })
}

// rewrite puts a part into the new workbook as change has it.
func rewrite(out *zip.Writer, part *zip.File, change func([]byte) []byte) (err error) {
	r, err := part.Open()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	body, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	w, err := out.CreateHeader(&zip.FileHeader{Name: part.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	_, err = w.Write(change(body))
	return err
}

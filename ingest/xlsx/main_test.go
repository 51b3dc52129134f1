package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// part is one entry of a zip to be written.
type part struct{ name, data string }

// zipOf writes parts in order, stored uncompressed so that tests can find their bytes.
func zipOf(t testing.TB, parts []part) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range parts {
		e, err := w.CreateHeader(&zip.FileHeader{Name: p.name, Method: zip.Store})
		require.NoError(t, err)
		_, err = io.WriteString(e, p.data)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// write puts bytes into a file of their own.
func write(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

// writer gives a writer of files whose place is reused: a fuzzer would make a folder a
// workbook otherwise, which takes longer than reading it.
func writer(f *testing.F) func(testing.TB, []byte) string {
	path := filepath.Join(f.TempDir(), "fuzz.xlsx")
	return func(t testing.TB, data []byte) string {
		t.Helper()
		require.NoError(t, os.WriteFile(path, data, 0o600))
		return path
	}
}

const (
	mainNS   = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relNS    = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packNS   = "http://schemas.openxmlformats.org/package/2006/relationships"
	header   = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	rootPart = header + `<Relationships xmlns="` + packNS + `"><Relationship Id="rId1" Type="` + relNS + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`
	bookRels = header + `<Relationships xmlns="` + packNS + `"><Relationship Id="rId1" Type="` + relNS + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`
	bookXML  = header + `<workbook xmlns="` + mainNS + `" xmlns:r="` + relNS + `"><sheets><sheet name="Units" sheetId="1" r:id="rId1"/></sheets></workbook>`
	sstXML   = header + `<sst xmlns="` + mainNS + `" count="3" uniqueCount="3"><si><t/></si><si><t>unit</t></si><si><r><rPr><b/></rPr><t>Te</t></r><r><t>al</t></r><rPh sb="0" eb="1"><t>x</t></rPh></si></sst>`
	types    = header + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`
)

// sheetXML wraps rows into a worksheet.
func sheetXML(rows string) string {
	return header + `<worksheet xmlns="` + mainNS + `"><dimension ref="A1"/><sheetData>` + rows + `</sheetData></worksheet>`
}

// bookParts is a small workbook with one sheet, "Units".
func bookParts(sheet string) []part {
	return []part{{"[Content_Types].xml", types}, {"_rels/.rels", rootPart}, {"xl/workbook.xml", bookXML},
		{"xl/_rels/workbook.xml.rels", bookRels}, {"xl/sharedStrings.xml", sstXML}, {"xl/worksheets/sheet1.xml", sheet}}
}

// replaced is a workbook with one part's text changed; an empty text drops the part.
func replaced(parts []part, name, data string) []part {
	var out []part
	for _, p := range parts {
		if p.name == name {
			p.data = data
		}
		if p.data != "" {
			out = append(out, p)
		}
	}
	return out
}

// readBytes opens a workbook and reads its first sheet.
func readBytes(t testing.TB, data []byte, o Options) (*Book, []line, error) {
	t.Helper()
	return readFirst(t, write(t, "fleet.xlsx", data), o)
}

// readFirst opens a file and reads its first sheet.
func readFirst(t testing.TB, path string, o Options) (*Book, []line, error) {
	t.Helper()
	b, err := Open(context.Background(), path, o)
	if err != nil {
		return nil, nil, err
	}
	t.Cleanup(func() { require.NoError(t, b.Close()) })
	lines, err := readSheet(b, b.Sheets()[0].Name)
	return b, lines, err
}

// text joins lines for comparison: "1:a|b 3:c".
func text(lines []line) string {
	var b strings.Builder
	for i, l := range lines {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(strings.Join(append([]string{itoa(l.row)}, strings.Join(l.cells, "|")), ":"))
	}
	return b.String()
}

// saved is the bytes of a workbook that excelize wrote.
func saved(t testing.TB, o excelize.Options, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	require.NoError(t, f.Write(&b, o))
	return b.Bytes()
}

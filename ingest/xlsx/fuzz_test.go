package xlsx

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// seeds are sheets that lead into the corners of both walks.
var seeds = []string{
	sheetXML(`<row r="1" hidden="1"><c r="A1" t="s"><v>1</v></c><c r="C1"><v>12.5</v></c></row><row r="3"><c r="B3"><f ca="1">A1</f><v/></c></row>`),
	sheetXML(`<row><c t="inlineStr"><is><r><rPr><b/></rPr><t>a&amp;b</t></r></is></c><c t="str"><v>&#65;</v></c></row>`),
	sheetXML(`<row r="1"><c r="A1" t="d"><v>2026-11-23</v></c><extLst><x/></extLst></row></sheetData><sheetData>`),
	sheetXML("<row r='1'\n><c r=\"b1\" t='b' ><v>1</v></c ></row><!-- x --><row r=\"2\"/>"),
	"\xEF\xBB\xBF<a:worksheet><a:sheetData><a:row><a:c><a:v>]]&gt;</a:v></a:c></a:row></a:sheetData></a:worksheet>",
	`<worksheet><sheetData/><x y="&lt;" z=">"/></worksheet><worksheet/>`,
	`<?xml version="1.1"?><worksheet><sheetData/></worksheet>`,
}

var fuzzStrings = []string{"", "unit", "Teal"} // as in sstXML

// FuzzSheet: whatever the scanner accepts, encoding/xml accepts with the same
// figures; and the rows that are delivered are those that encoding/xml decodes.
func FuzzSheet(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	corpusSheets(f)
	write, strings3 := writer(f), tableOf(f, fuzzStrings)
	f.Fuzz(func(t *testing.T, doc string) {
		fast, slow := newSheetForm(strings3, Limits{Rows: 100_000}.withDefaults()), newSheetForm(strings3, Limits{Rows: 100_000}.withDefaults())
		fastErr := newScanner(strings.NewReader(doc), fast).run()
		slowErr := walkXML(strings.NewReader(doc), slow, slow.limits)
		if fastErr == nil {
			require.NoError(t, slowErr)
			require.Equal(t, slow.sheet, fast.sheet)
			require.Equal(t, slow.block, fast.block)
		}
		_, lines, err := readFirst(t, write(t, zipOf(t, bookParts(doc))), Options{Limits: Limits{Rows: 100_000}, from1900: true})
		if slowErr != nil {
			require.Error(t, err)
			return
		}
		if err != nil { // refused late: allowed, as it is said
			require.ErrorIs(t, err, Damaged)
			return
		}
		if want, ok := decoded(doc, fuzzStrings); ok {
			require.Equal(t, text(want), text(lines))
		}
	})
}

// tableOf holds texts as a book's shared strings.
func tableOf(t testing.TB, list []string) *texts {
	t.Helper()
	table := newTexts(t.TempDir(), heldTexts)
	for _, s := range list {
		require.NoError(t, table.add([]byte(s)))
	}
	require.NoError(t, table.done())
	return table
}

// refText is a text of a cell as encoding/xml decodes it.
type refText struct {
	T []string `xml:"t"`
	R []struct {
		T []string `xml:"t"`
	} `xml:"r"`
}

func (r refText) String() string {
	s := strings.Join(r.T, "")
	for _, run := range r.R {
		s += strings.Join(run.T, "")
	}
	return s
}

// refSheet is a sheet as encoding/xml decodes it.
type refSheet struct {
	Rows []struct {
		R string `xml:"r,attr"`
		C []struct {
			R  string    `xml:"r,attr"`
			T  string    `xml:"t,attr"`
			V  string    `xml:"v"`
			F  *struct{} `xml:"f"`
			IS *refText  `xml:"is"`
		} `xml:"c"`
	} `xml:"sheetData>row"`
}

// decoded gives the rows with values of a document that is known to be in order. ok is
// false where the decoding into a structure does not say enough.
func decoded(doc string, shared []string) (out []line, ok bool) {
	var s refSheet
	if xml.Unmarshal([]byte(doc), &s) != nil || strings.Contains(doc, "_x") {
		return nil, false
	}
	number := 0
	for _, r := range s.Rows {
		if number++; r.R != "" {
			number, _ = strconv.Atoi(r.R)
		}
		l := line{row: number}
		column := 0
		for _, c := range r.C {
			if column++; c.R != "" {
				column = columnOf(c.R)
			}
			v := c.V
			if c.T == "inlineStr" && c.IS != nil {
				v = c.IS.String()
			}
			if c.T == "s" && v != "" {
				i, _ := strconv.Atoi(strings.TrimSpace(v))
				v = shared[i]
			}
			if v != "" || c.F != nil {
				l.cells = append(append(l.cells, make([]string, column-1-len(l.cells))...), v)
			}
		}
		if len(l.cells) > 0 {
			out = append(out, l)
		}
	}
	return out, true
}

// columnOf counts the letters of a reference in base 26.
func columnOf(ref string) (n int) {
	for _, c := range strings.ToUpper(ref) {
		if c >= 'A' && c <= 'Z' {
			n = n*26 + int(c-'A') + 1
		}
	}
	return n
}

// twoSheets is a workbook of two sheets, its own part given.
func twoSheets(book, first, second, sst string) []part {
	parts := replaced(bookParts(first), "xl/sharedStrings.xml", sst)
	parts = replaced(parts, "xl/workbook.xml", book)
	parts = replaced(parts, "xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "</Relationships>",
		`<Relationship Id="rId2" Type="`+relNS+`/worksheet" Target="/xl/worksheets/sheet2.xml"/></Relationships>`, 1))
	return append(parts, part{"xl/worksheets/sheet2.xml", second})
}

// bookTwo lists the two sheets, the first one hidden, and dates from 1904.
const bookTwo = header + `<workbook xmlns="` + mainNS + `" xmlns:r="` + relNS + `"><workbookPr date1904="1"/><sheets>` +
	`<sheet name="Units &amp; more" sheetId="1" state="hidden" r:id="rId1"/><sheet name="Scans" sheetId="7" r:id="rId2"/></sheets></workbook>`

// FuzzBothWays: whole workbooks of two sheets, their strings and the part that lists
// them, read by our own reader and by the library, cell by cell, with names, hidden
// sheets, counts and notes. Only where the library refuses may our reader say more:
// then what it reads is what encoding/xml decodes.
func FuzzBothWays(f *testing.F) {
	for i, s := range seeds {
		f.Add(bookTwo, s, seeds[len(seeds)-1-i], sstXML)
	}
	for seed := range uint64(40) {
		book, other := map[string]string{}, map[string]string{}
		for _, p := range madeBook(seed) {
			book[p.name] = p.data
		}
		for _, p := range madeBook(seed + 1000) {
			other[p.name] = p.data
		}
		f.Add(bookTwo, book["xl/worksheets/sheet1.xml"], other["xl/worksheets/sheet1.xml"], book["xl/sharedStrings.xml"])
	}
	write := writer(f)
	f.Fuzz(func(t *testing.T, book, first, other, sst string) {
		path := write(t, zipOf(t, twoSheets(book, first, other, sst)))
		limits := Limits{Bytes: 1 << 22, Rows: 10_000}
		own := readWhole(path, Options{Limits: limits, heldStrings: 64})
		second := readWhole(path, Options{Limits: limits, second: true})
		if own.err != nil {
			require.Error(t, second.err)
			return
		}
		if second.err == nil {
			require.Equal(t, second.sheets, own.sheets)
			require.Equal(t, second.lines, own.lines)
			return
		}
		require.ErrorIs(t, second.err, Damaged)
		for i, s := range own.sheets {
			doc := map[string]string{"xl/worksheets/sheet1.xml": first, "xl/worksheets/sheet2.xml": other}[s.part]
			if want, ok := decoded(doc, decodedStrings(sst)); ok && !strings.Contains(sst, "_x") {
				require.Equal(t, text(want), text(own.lines[i]))
			}
		}
	})
}

// decodedStrings are shared strings as encoding/xml decodes them.
func decodedStrings(doc string) (out []string) {
	var ref struct {
		SI []refText `xml:"si"`
	}
	if xml.Unmarshal([]byte(doc), &ref) != nil {
		return nil
	}
	for _, si := range ref.SI {
		out = append(out, si.String())
	}
	return out
}

// FuzzStrings: the two walks agree on the shared strings as well.
func FuzzStrings(f *testing.F) {
	f.Add(sstXML)
	f.Add(`<?xml version="1.0' encoding="UTF-8"?><sst/>`) // once taken for a declaration
	f.Add(`<sst><si><r><t>a</t></r><phoneticPr/></si><extLst><x/></extLst></sst>`)
	f.Fuzz(func(t *testing.T, doc string) {
		var fast, slow []string
		keep := func(list *[]string) *stringsForm {
			return newStringsForm(Limits{}.withDefaults(), func(text []byte) error { *list = append(*list, string(text)); return nil })
		}
		if newScanner(strings.NewReader(doc), keep(&fast)).run() != nil {
			return
		}
		require.NoError(t, walkXML(strings.NewReader(doc), keep(&slow), Limits{}))
		require.Equal(t, slow, fast)
		var ref struct {
			SI []refText `xml:"si"`
		}
		require.NoError(t, xml.Unmarshal([]byte(doc), &ref))
		require.Len(t, fast, len(ref.SI))
		for i, si := range ref.SI {
			if !strings.Contains(doc, "_x") {
				require.Equal(t, si.String(), fast[i], "string %d", i)
			}
		}
	})
}

// FuzzOpen: no bytes make it panic, and what is no sound zip is a fault.
func FuzzOpen(f *testing.F) {
	f.Add(zipOf(f, bookParts(seeds[0])))
	f.Add([]byte("PK\x03\x04"))
	f.Add(append(bytes.Clone(oleMark), encryptedPackage...))
	write := writer(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := Open(context.Background(), write(t, data), Options{Limits: Limits{Bytes: 1 << 22, Rows: 10_000}})
		if err != nil {
			var fault *Fault
			require.ErrorAs(t, err, &fault)
			return
		}
		for _, s := range b.Sheets() {
			_, _ = readSheet(b, s.Name)
		}
		require.NoError(t, b.Close())
	})
}

// TestScannerRefillsItsBuffer: tags and texts across the end of the buffer.
func TestScannerRefillsItsBuffer(t *testing.T) {
	doc := sheetXML(strings.Repeat(`<row><c t="str"><v>a &amp; b</v></c><c t="inlineStr"><is><t xml:space="preserve">Ä</t></is></c></row>`, 500))
	want := newSheetForm(nil, Limits{Rows: 1000}.withDefaults())
	require.NoError(t, walkXML(strings.NewReader(doc), want, want.limits))
	for size := 1; size < 80; size++ {
		form := newSheetForm(nil, Limits{Rows: 1000}.withDefaults())
		s := newScanner(&pieces{doc: doc, size: size}, form)
		s.buf = make([]byte, 256)
		require.NoError(t, s.run(), "pieces of %d", size)
		require.Equal(t, want.sheet, form.sheet)
	}
}

// pieces hands out a document a few bytes at a time.
type pieces struct {
	doc  string
	size int
}

func (p *pieces) Read(b []byte) (int, error) {
	if p.doc == "" {
		return 0, io.EOF
	}
	n := copy(b, p.doc[:min(p.size, len(p.doc))])
	p.doc = p.doc[n:]
	return n, nil
}

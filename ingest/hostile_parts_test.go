package ingest

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/ingest/xlsx"
)

// zipEntry is one entry of a zip written by hand (APPNOTE 4.3), whose directory may
// say something else than is there. The zero values of what it says are the truth.
type zipEntry struct {
	name, data string
	local      string                   // name before the data, where it is another
	size, csz  uint32                   // sizes as the directory states them
	crc        uint32                   // checksum as the directory states it
	method     uint16                   // 0: stored
	flags      uint16                   // APPNOTE 4.4.4
	extra      []byte                   // of the directory
	after      []byte                   // data descriptor
	at         func(map[string]int) int // its place, where it is another
}

// zipped writes the entries; comment stands at the end.
func zipped(entries []zipEntry, comment string) []byte {
	var b, directory bytes.Buffer
	places := map[string]int{}
	le := binary.LittleEndian
	put := func(w io.Writer, v ...any) {
		for _, x := range v {
			binary.Write(w, le, x)
		}
	}
	for _, e := range entries {
		place := b.Len()
		places[e.name] = place
		local, sum := e.local, crc32.ChecksumIEEE([]byte(e.data))
		if local == "" {
			local = e.name
		}
		n := uint32(len(e.data))
		said := func(v, truth uint32) uint32 {
			if v != 0 {
				return v
			}
			return truth
		}
		b.WriteString("PK\x03\x04")
		put(&b, []uint16{20, e.flags, e.method, 0, 0}, sum, n, n, []uint16{uint16(len(local)), 0})
		b.WriteString(local + e.data)
		b.Write(e.after)
		if e.at != nil {
			place = e.at(places)
		}
		directory.WriteString("PK\x01\x02")
		put(&directory, []uint16{20, 20, e.flags, e.method, 0, 0}, said(e.crc, sum), said(e.csz, n), said(e.size, n),
			[]uint16{uint16(len(e.name)), uint16(len(e.extra)), 0, 0, 0}, uint32(0), uint32(place))
		directory.WriteString(e.name)
		directory.Write(e.extra)
	}
	from := b.Len()
	b.Write(directory.Bytes())
	b.WriteString("PK\x05\x06")
	put(&b, []uint16{0, 0, uint16(len(entries)), uint16(len(entries))}, uint32(directory.Len()), uint32(from), uint16(len(comment)))
	b.WriteString(comment)
	return b.Bytes()
}

const (
	sheetPart = "xl/worksheets/sheet1.xml"
	bookPart  = "xl/workbook.xml"
	bookRels  = "xl/_rels/workbook.xml.rels"
	rootRels  = "_rels/.rels"
)

func relation(id, kind, to string) string {
	return `<Relationship Id="` + id + `" Type="` + relSpace + `/` + kind + `" Target="` + to + `"/>`
}

func relations(list ...string) string {
	return xmlHead + `<Relationships xmlns="` + pkgSpace + `">` + strings.Join(list, "") + `</Relationships>`
}

func bookOf(inside string) string {
	return xmlHead + `<workbook xmlns="` + mainSpace + `" xmlns:r="` + relSpace + `">` + inside + `</workbook>`
}

const oneSheet = `<sheets><sheet name="Units" sheetId="1" r:id="rId1"/></sheets>`

// plainBook are the entries of an honest workbook of one vehicle, B1.
func plainBook() []zipEntry {
	return []zipEntry{
		{name: "[Content_Types].xml", data: xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`},
		{name: rootRels, data: relations(relation("rId1", "officeDocument", bookPart))},
		{name: bookPart, data: bookOf(oneSheet)},
		{name: bookRels, data: relations(relation("rId1", "worksheet", "worksheets/sheet1.xml"))},
		{name: sheetPart, data: worksheet("", unitsXML)},
	}
}

// with makes a workbook of plainBook after a change.
func with(change func(part func(name string) *zipEntry), more ...zipEntry) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		list := append(plainBook(), more...)
		change(func(name string) *zipEntry {
			return &list[slices.IndexFunc(list, func(e zipEntry) bool { return e.name == name })]
		})
		require.NoError(t, os.WriteFile(path, zipped(list, ""), 0o600))
	}
}

// add makes a workbook of plainBook with further parts.
func add(more ...zipEntry) func(*testing.T, string) {
	return with(func(func(string) *zipEntry) {}, more...)
}

// says makes a workbook of plainBook with another text in a part.
func says(part, text string, more ...zipEntry) func(*testing.T, string) {
	return with(func(p func(string) *zipEntry) { p(part).data = text }, more...)
}

// stringsOf is a part of shared strings.
func stringsOf(list ...string) string {
	return xmlHead + `<sst xmlns="` + mainSpace + `"><si><t>` + strings.Join(list, "</t></si><si><t>") + `</t></si></sst>`
}

// zip64 is the extra field of large sizes (APPNOTE 4.5.3).
func zip64(sizes ...uint64) []byte {
	b := binary.LittleEndian.AppendUint16(nil, 1)
	b = binary.LittleEndian.AppendUint16(b, uint16(8*len(sizes)))
	for _, s := range sizes {
		b = binary.LittleEndian.AppendUint64(b, s)
	}
	return b
}

// TestHostilePackages: archives and parts that say one thing and are another.
func TestHostilePackages(t *testing.T) {
	decoy := worksheet("", strings.ReplaceAll(unitsXML, ">B1<", ">DECOY<"))
	shared := worksheet("", `<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row><row r="2"><c r="A2" t="s"><v>2</v></c><c r="B2" t="s"><v>3</v></c></row>`)
	xxe := `<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>`
	long := strings.Repeat("x", 1<<20)
	for _, h := range []hostile{
		{name: "sizes of zip64 that are gigabytes", make: with(func(p func(string) *zipEntry) {
			e := p(sheetPart)
			e.size, e.csz, e.extra = 0xFFFFFFFF, 0xFFFFFFFF, zip64(1<<62, 1<<62)
		}), says: []string{"limits.bytes"}},
		{name: "sizes of zip64 that are small", make: with(func(p func(string) *zipEntry) {
			e := p(sheetPart)
			e.size, e.csz, e.extra = 0xFFFFFFFF, uint32(len(e.data)), zip64(10)
		}), says: []string{"Units"}},
		{name: "zip64 promised and missing", make: with(func(p func(string) *zipEntry) { p(sheetPart).size = 0xFFFFFFFF }), says: []string{"bad.xlsx"}},
		{name: "checksum right, size too small", make: with(func(p func(string) *zipEntry) { p(sheetPart).size = 40 }), says: []string{"Units"}},
		{name: "checksum right, size too large", make: with(func(p func(string) *zipEntry) { p(sheetPart).size = 1 << 20 }), says: []string{"Units", "end early"}},
		{name: "checksum wrong in a part that nobody reads", make: add(zipEntry{name: "xl/media/image1.png", data: "x", crc: 7}), says: []string{"image1.png", "checksum"}},
		{name: "a data descriptor with another checksum", make: with(func(p func(string) *zipEntry) {
			e := p(sheetPart)
			e.flags, e.after = 8, []byte("PK\x07\x08\x01\x02\x03\x04\x01\x00\x00\x00\x01\x00\x00\x00")
		}), says: []string{"Units"}},
		{name: "a way of compression that is not known", make: with(func(p func(string) *zipEntry) { p(sheetPart).method = 99 }), says: []string{"Units", "algorithm"}},
		{name: "a part encrypted by the zip program", make: with(func(p func(string) *zipEntry) { p(sheetPart).flags = 1 }), says: []string{"encrypted by the zip program"}},
		{name: "one name twice", make: add(zipEntry{name: sheetPart, data: decoy}), says: []string{"two parts are called"}},
		{name: "one name twice but for its case", make: add(zipEntry{name: "XL/Worksheets/Sheet1.xml", data: decoy}), says: []string{"two parts are called"}},
		{name: "one name twice but for its slashes", make: add(zipEntry{name: `xl\worksheets\sheet1.xml`, data: decoy}), says: []string{"two parts are called"}},
		{name: "another name before the data than in the directory", make: with(func(p func(string) *zipEntry) { p(sheetPart).local = "xl/media/image1.png" }), units: []string{"B1"}},
		{name: "two entries over the same bytes", make: add(zipEntry{name: "xl/worksheets/sheet2.xml", data: worksheet("", unitsXML), at: func(at map[string]int) int { return at[sheetPart] }}), units: []string{"B1"}},
		{name: "an entry that points past the end", make: with(func(p func(string) *zipEntry) {
			p(sheetPart).at = func(map[string]int) int { return 1 << 30 }
		}), says: []string{"bad.xlsx"}},
		{name: "a directory within the comment", make: func(t *testing.T, path string) {
			list := plainBook()
			list[4].data = decoy
			require.NoError(t, os.WriteFile(path, zipped(plainBook(), string(zipped(list, ""))), 0o600))
		}, says: []string{"other data, perhaps another workbook, stand in front"}},
		{name: "a workbook behind another", make: func(t *testing.T, path string) {
			list := plainBook()
			list[4].data = decoy
			require.NoError(t, os.WriteFile(path, append(zipped(list, ""), zipped(plainBook(), "")...), 0o600))
		}, says: []string{"other data, perhaps another workbook, stand in front"}},
		{name: "absolute and climbing targets lead within the archive only", make: says(bookRels, relations(relation("rId1", "worksheet", "/../../../etc/passwd"))), says: []string{"Units", "etc/passwd is missing"}},
		{name: "a sheet that lies at an address", make: says(bookRels, relations(`<Relationship Id="rId1" Type="`+relSpace+`/worksheet" Target="http://192.0.2.1/sheet1.xml" TargetMode="External"/>`)), says: []string{"Units", "is missing"}},
		{name: "relations in a ring", make: says(bookRels, relations(relation("rId1", "worksheet", "workbook.xml"))), says: []string{"Units", "<workbook> in place of <worksheet>"}},
		{name: "two workbooks in one file", make: says(rootRels, relations(relation("rId1", "officeDocument", bookPart), relation("rId2", "officeDocument", "yl/workbook.xml")),
			zipEntry{name: "yl/workbook.xml", data: bookOf(oneSheet)}, zipEntry{name: "yl/_rels/workbook.xml.rels", data: relations(relation("rId1", "worksheet", "sheet.xml"))}, zipEntry{name: "yl/sheet.xml", data: decoy}), says: []string{"says twice which part is its workbook"}},
		{name: "no sheets", make: says(bookPart, bookOf("<sheets/>")), says: []string{"lists no sheet"}},
		{name: "sheets where they are not looked for", make: says(bookPart, bookOf("<a>"+oneSheet+"</a>")), says: []string{"lists no sheet"}},
		{name: "a sheet that is named twice in one tag", make: says(bookPart, bookOf(`<sheets><sheet name="Units" name="Other" state="visible" state="hidden" sheetId="1" r:id="rId1"/></sheets>`)), says: []string{"workbook.xml", `attribute "name" stands twice`}},
		{name: "two date systems", make: says(bookPart, bookOf(`<workbookPr date1904="1"/><workbookPr date1904="0"/>`+oneSheet)), says: []string{"date system"}},
		{name: "a date system that is none", make: says(bookPart, bookOf(`<workbookPr date1904="perhaps"/>`+oneSheet)), says: []string{"perhaps"}},
		{name: "shared strings missing", make: says(sheetPart, shared), says: []string{"Units", "row 1", `shared string "0" does not exist, there are 0`}},
		{name: "shared strings at another place, others at the usual one", make: with(func(p func(string) *zipEntry) {
			p(sheetPart).data = shared
			p(bookRels).data = relations(relation("rId1", "worksheet", "worksheets/sheet1.xml"), relation("rId2", "sharedStrings", "real.xml"))
		}, zipEntry{name: "xl/real.xml", data: stringsOf("Unit", "Model", "B1", "Heron")}, zipEntry{name: "xl/sharedStrings.xml", data: stringsOf("Unit", "Model", "DECOY", "Heron")}), says: []string{"xl/real.xml, where none are read"}},
		{name: "an entity in the list of sheets", make: says(bookPart, strings.Replace(bookOf(strings.Replace(oneSheet, "Units", "&a;", 1)), "<workbook", xxe+"<workbook", 1)), says: []string{"workbook.xml", "declares a document type"}},
		{name: "an entity in the relations", make: says(bookRels, strings.Replace(relations(relation("rId1", "worksheet", "&a;")), "<Relationships", xxe+"<Relationships", 1)), says: []string{"workbook.xml.rels", "declares a document type"}},
		{name: "entities in styles and properties, which nobody reads", make: add(zipEntry{name: "docProps/core.xml", data: xxe + "<x>&a;</x>"}, zipEntry{name: "xl/styles.xml", data: xxe + "<styleSheet>&a;</styleSheet>"}), units: []string{"B1"}},
		{name: "a million number formats", make: add(zipEntry{name: "xl/styles.xml", data: xmlHead + `<styleSheet xmlns="` + mainSpace + `"><numFmts>` + strings.Repeat(`<numFmt numFmtId="164" formatCode="yyyy"/>`, 1_000_000) + "</numFmts></styleSheet>"}), units: []string{"B1"}},
		{name: "defined names and links to other files", make: says(bookPart, bookOf(oneSheet+`<externalReferences><externalReference r:id="rId9"/></externalReferences><definedNames><definedName name="x">'file:///etc/[passwd]a'!$A$1</definedName></definedNames>`)), units: []string{"B1"}},
		{name: "formulas in a ring", make: says(sheetPart, worksheet("", unitsXML+`<row r="3"><c r="A3"><f t="shared" si="0" ref="A3:A4">A4</f><v>B3</v></c></row><row r="4"><c r="A4"><f t="shared" si="0"/><v>B4</v></c><c r="B4"><f>B4</f></c></row>`)), units: []string{"B1", "B3", "B4"}, notes: "1 formula cell holds no saved value"},
		{name: "a number of a row below zero", make: says(sheetPart, worksheet("", unitsXML+`<row r="-3"><c><v>1</v></c></row>`)), says: []string{"Units", `row number "-3"`}},
		{name: "a number of a row past the last", make: says(sheetPart, worksheet("", unitsXML+`<row r="1048577"><c><v>1</v></c></row>`)), says: []string{"Units", `row number "1048577"`}},
		{name: "a number of a row that no machine counts to", make: says(sheetPart, worksheet("", unitsXML+`<row r="99999999999999999999"><c><v>1</v></c></row>`)), says: []string{"Units", "row number"}},
		{name: "rows out of order", make: says(sheetPart, worksheet("", unitsXML+`<row r="5"/><row r="4"><c r="A4"><v>1</v></c></row>`)), says: []string{"Units", "row 4 follows row 5"}},
		{name: "a cell twice", make: says(sheetPart, worksheet("", unitsXML+`<row r="3"><c r="A3"><v>1</v></c><c r="A3"><v>2</v></c></row>`)), says: []string{"Units", "row 3: cell A3 comes after column 1"}},
		{name: "a VIN in a format that makes a day of it", make: with(func(p func(string) *zipEntry) {
			p(sheetPart).data = worksheet("", `<row r="1"><c r="A1" t="inlineStr"><is><t>VIN</t></is></c><c r="B1" t="inlineStr"><is><t>Model</t></is></c></row><row r="2"><c r="A2" s="1"><v>12345678901234567</v></c><c r="B2" t="inlineStr"><is><t>Heron</t></is></c></row>`)
		}, zipEntry{name: "xl/styles.xml", data: xmlHead + `<styleSheet xmlns="` + mainSpace + `"><cellXfs count="2"><xf/><xf numFmtId="14"/></cellXfs></styleSheet>`}), notes: "check digit"},
		{name: "a name of a megabyte", make: says(bookPart, bookOf(strings.Replace(oneSheet, "Units", long, 1))), says: []string{"its name has 1048576 bytes"}},
		{name: "an attribute of a megabyte", make: says(sheetPart, worksheet("", `<row r="1" hidden="`+long+`"/>`)), says: []string{"Units", "neither 0 nor 1"}},
		{name: "an element's name of a megabyte", make: says(sheetPart, worksheet("", `<row r="1"><`+long+`/></row>`)), says: []string{"Units", "in row 1"}},
		{name: "a tag's name of a megabyte that is not closed", make: says(sheetPart, worksheet("", `<row r="1"><c><f><`+long+`></f></c></row>`)), says: []string{"Units"}},
		{name: "a part's name of 60,000 bytes, twice", make: add(zipEntry{name: long[:60_000], data: "x"}, zipEntry{name: strings.ToUpper(long[:60_000]), data: "x"}), says: []string{"two parts are called"}},
		{name: "three thousand sheets", make: func(t *testing.T, path string) {
			list, sheets, rels := plainBook(), "", []string{}
			for i := range 3_000 {
				sheets += fmt.Sprintf(`<sheet name="Units %d" sheetId="%d" r:id="rId%d"/>`, i, i+1, i)
				rels = append(rels, relation(fmt.Sprint("rId", i), "worksheet", fmt.Sprintf("s%d.xml", i)))
				list = append(list, zipEntry{name: fmt.Sprintf("xl/s%d.xml", i), data: worksheet("", strings.ReplaceAll(unitsXML, ">B1<", fmt.Sprintf(">B%d<", i)))})
			}
			list[2].data, list[3].data = bookOf("<sheets>"+sheets+"</sheets>"), relations(rels...)
			require.NoError(t, os.WriteFile(path, zipped(list, ""), 0o600))
		}, units: []string{"B0", "B2999"}, alloc: 2000, heap: 150},
	} {
		t.Run(h.name, h.check)
	}
}

// TestHostileAmplification: a file of kilobytes that would make gigabytes of
// text or of open elements out of a few.
func TestHostileAmplification(t *testing.T) {
	if testing.Short() {
		t.Skip("what is held against limits here is memory, and the race detector takes its own")
	}
	deep := func(name string, levels int) part {
		return part{name: name, write: func(w io.Writer) {
			io.WriteString(w, xmlHead+`<worksheet xmlns="`+mainSpace+`"><sheetData>`+unitsXML+"</sheetData><extLst>")
			repeat(w, "<a>", levels)
			repeat(w, "</a>", levels)
			io.WriteString(w, "</extLst></worksheet>")
		}}
	}
	for _, h := range []hostile{
		{name: "elements twenty million deep behind the rows", make: func(t *testing.T, path string) { rawBook(t, path, deep("", 20_000_000)) }, says: []string{"Units", "nested more than 500 deep"}},
		{name: "elements twenty million deep in the shared strings", make: asBook(worksheet("", unitsXML), part{name: "xl/sharedStrings.xml", write: func(w io.Writer) {
			io.WriteString(w, xmlHead+`<sst xmlns="`+mainSpace+`"><extLst>`)
			repeat(w, "<a>", 20_000_000)
		}}), says: []string{"nested more than 500 deep"}},
		{name: "a million sheets in the list", make: func(t *testing.T, path string) {
			list := plainBook()
			list[2].data = bookOf("<sheets>" + numbered(million, `<sheet name="U%d" sheetId="%d" r:id="rId1"/>`) + "</sheets>")
			writeZip(t, path, list)
		}, says: []string{"bytes of part xl/workbook.xml are over the limit of 33554432", "limits.part_bytes"}},
		{name: "as many sheets in the list as its limit lets pass", make: func(t *testing.T, path string) {
			list := plainBook()
			list[2].data = bookOf("<sheets>" + numbered(million/2, `<sheet name="U%d" sheetId="%d" r:id="rId1"/>`) + "</sheets>")
			writeZip(t, path, list)
		}, says: []string{"sheets of the file are over the limit of 10000", "limits.parts"}, alloc: 2500, heap: 500},
		{name: "a million relations", make: func(t *testing.T, path string) {
			list := plainBook()
			list[3].data = relations(relation("rId1", "worksheet", "worksheets/sheet1.xml"), numbered(million, `<Relationship Id="x%d" Type="t" Target="y%d"/>`))
			writeZip(t, path, list)
		}, says: []string{"bytes of part xl/_rels/workbook.xml.rels are over the limit of 33554432", "limits.part_bytes"}},
		{name: "a million names of cells", make: func(t *testing.T, path string) {
			list := plainBook()
			list[2].data = bookOf(oneSheet + "<definedNames>" + numbered(million, `<definedName name="x%d">A%d</definedName>`) + "</definedNames>")
			writeZip(t, path, list)
		}, says: []string{"bytes of part xl/workbook.xml are over the limit of 33554432", "limits.part_bytes"}},
		{name: "a million number formats before the library", make: func(t *testing.T, path string) {
			list := append(plainBook(), zipEntry{name: "xl/styles.xml", data: xmlHead + `<styleSheet xmlns="` + mainSpace + `"><numFmts>` + numbered(million, `<numFmt numFmtId="%d" formatCode="yyyy%d"/>`) + "</numFmts></styleSheet>"})
			list[4].data = worksheet("", "<!-- -->"+unitsXML) // what our own reader leaves to it
			writeZip(t, path, list)
		}, says: []string{"bytes of part xl/styles.xml are over the limit of 33554432", "limits.part_bytes"}},
		{name: "a picture of 400 MB beside what the library reads", make: asBook(worksheet("", "<!-- -->"+unitsXML), part{name: "xl/media/image1.png", write: func(w io.Writer) { repeat(w, " ", 400<<20) }}), units: []string{"B1"}},
		{name: "elements five million deep in the list of sheets", make: func(t *testing.T, path string) {
			list := plainBook()
			list[2].data = bookOf(oneSheet + strings.Repeat("<a>", 5_000_000))
			writeZip(t, path, list)
		}, says: []string{"workbook.xml", "nested more than 500 deep"}},
		{name: "one text of three megabytes in a thousand cells", make: asBook(worksheet("", unitsXML+sharedRows(1000, 1)), part{name: "xl/sharedStrings.xml", text: stringsOf("B2", strings.Repeat("Teal ", 600_000))}),
			says: []string{"Units", "bytes of text in the cells are over the limit of 67108864", "limits.bytes"}, limits: Limits{Workbook: xlsx.Limits{Bytes: 64 << 20}}},
		{name: "one text of a megabyte in each cell of a row", make: asBook(worksheet("", unitsXML+sharedRows(1, 16_000)), part{name: "xl/sharedStrings.xml", text: stringsOf("B2", strings.Repeat("Teal ", 200_000))}),
			says: []string{"Units", "bytes of text in row 3 are over the limit of 8388608", "limits.record_bytes"}},
		{name: "sixty texts of a megabyte in one cell", make: sized(func(w io.Writer) {
			io.WriteString(w, `<row r="3"><c r="A3" t="inlineStr"><is><t>B2</t></is></c><c r="B3" t="inlineStr"><is>`)
			for range 60 {
				io.WriteString(w, "<r><t>")
				repeat(w, "Teal ", 200_000)
				io.WriteString(w, "</t></r>")
			}
			io.WriteString(w, `</is></c></row>`)
		}), says: []string{"Units", "row 3", "limits.record_bytes"}},
		{name: "a shared string of nine megabytes in pieces", make: asBook(worksheet("", unitsXML), part{name: "xl/sharedStrings.xml", text: xmlHead + `<sst xmlns="` + mainSpace + `"><si>` + strings.Repeat("<r><t>"+strings.Repeat("x", 1<<20)+"</t></r>", 9) + `</si></sst>`}),
			says: []string{"shared string 0 are over the limit of 8388608", "limits.record_bytes"}},
		{name: "thirty rows of a megabyte before any heading", make: sized(func(w io.Writer) {
			for i := 3; i < 33; i++ {
				fmt.Fprintf(w, `<row r="%d"><c r="B%d" t="inlineStr"><is><t>`, i, i)
				repeat(w, "Teal 12 km ", 90_000)
				io.WriteString(w, `</t></is></c></row>`)
			}
		}), units: []string{"B1"}, alloc: 1500, heap: 200},
	} {
		t.Run(h.name, h.check)
	}
}

const million = 1_000_000

// numbered writes a form n times, with its number twice.
func numbered(n int, form string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, form, i, i)
	}
	return b.String()
}

// sharedRows writes n rows of a unit and cells that all point to shared string 1.
func sharedRows(n, cells int) string {
	var b strings.Builder
	for r := 3; r < n+3; r++ {
		fmt.Fprintf(&b, `<row r="%d"><c t="s"><v>0</v></c>%s</row>`, r, strings.Repeat(`<c t="s"><v>1</v></c>`, cells))
	}
	return b.String()
}

func writeZip(t *testing.T, path string, list []zipEntry) {
	t.Helper()
	f, err := os.Create(path)
	require.NoError(t, err)
	z := zip.NewWriter(f)
	for _, e := range list {
		w, err := z.Create(e.name)
		require.NoError(t, err)
		_, err = io.WriteString(w, e.data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	require.NoError(t, f.Close())
}

package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// TestScannerVouchesForNothingElse: what is no XML, or is not plain, is never taken by
// the scanner, also where the form passes over all: it would be read without a word.
func TestScannerVouchesForNothingElse(t *testing.T) {
	within := func(text string) string {
		return strings.Replace(sheetXML(""), "</worksheet>", "<extLst>"+text+"</extLst></worksheet>", 1)
	}
	walk := func(doc string) error {
		return newScanner(strings.NewReader(doc), newSheetForm(nil, Limits{}.withDefaults())).run()
	}
	require.NoError(t, walk(within(`a<b c="1" d='2'> &amp; &#65; &#x41; ü ]]x </b><e:f/>`+"\r\n")), "plain")
	for _, text := range []string{
		"&bad;", "&amp", "&#0;", "&#x1F;", "&#xFFFE;", "&#xD800;", "&#;", "\x01", "\xff", "\xef\xbf\xbe", "a]]>b",
		`<a b="&bad;"/>`, `<a b="<"/>`, "<a b=\"\x01\"/>", `<a b="1"c="2"/>`, `<a b=1/>`, `<a b=x1x/>`, `<a b/>`, `<a b = "1"/>`, `<a :b="1"/>`,
		"<:a/>", "<a:b:c></a:b:c>", "<1a/>", "<a/x>", "<a / >", "<a></b>", "</>", "<>", "<", "<a", "<a><b></a></b>", "<!-- -->", "<![CDATA[x]]>", "<?x?>", "<!DOCTYPE x>",
	} {
		assert.Error(t, walk(within(text)), "%q", text)
	}
	for _, doc := range []string{"</>", "</a>", sheetXML("") + "x", sheetXML("") + "</a>", sheetXML("") + "<worksheet/>", strings.TrimSuffix(sheetXML(""), "</worksheet>"), "", " "} {
		assert.Error(t, walk(doc), "%q", doc)
	}
}

// TestLimitsOverSeveralSheets: they bound the file, not each sheet, and a shared
// string counts in each cell that points to it.
func TestLimitsOverSeveralSheets(t *testing.T) {
	shared := header + `<sst xmlns="` + mainNS + `"><si><t>` + strings.Repeat("Teal ", 200) + "</t></si></sst>"
	cells := func(n int) string { return strings.Repeat(`<c t="s"><v>0</v></c>`, n) }
	twoSheets := func(rows string) []byte {
		parts := replaced(bookParts(sheetXML(rows)), "xl/sharedStrings.xml", shared)
		parts = replaced(parts, "xl/workbook.xml", strings.Replace(bookXML, "</sheets>", `<sheet name="Codes" sheetId="2" r:id="rId2"/></sheets>`, 1))
		parts = replaced(parts, "xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "</Rel", `<Relationship Id="rId2" Type="`+relNS+`/worksheet" Target="worksheets/sheet2.xml"/></Rel`, 1))
		return zipOf(t, append(parts, part{"xl/worksheets/sheet2.xml", sheetXML(rows)}))
	}
	for _, c := range []struct {
		rule, rows string
		limits     Limits
		says       string // of the second sheet; the first is within the limit
	}{
		{"rows", `<row><c><v>1</v></c></row><row/>`, Limits{Rows: 3}, "rows are over the limit of 3 (job file: limits.rows)"},
		{"text", "<row>" + cells(6) + "</row>", Limits{Bytes: 10_000}, "bytes of text in the cells are over the limit of 10000 (job file: limits.bytes)"},
	} {
		for _, second := range []bool{false, true} {
			b, err := Open(context.Background(), write(t, "fleet.xlsx", twoSheets(c.rows)), Options{Limits: c.limits, second: second})
			require.NoError(t, err, c.rule)
			_, err = readSheet(b, "Units")
			require.NoError(t, err, c.rule)
			_, err = readSheet(b, "Codes")
			wantFault(t, err, TooLarge, c.says, `sheet "Codes"`)
			require.NoError(t, b.Close())
		}
	}
	_, _, err := readBytes(t, twoSheets("<row>"+cells(6)+"</row>"), Options{Limits: Limits{RecordBytes: 5000}})
	wantFault(t, err, TooLarge, `bytes of text in row 1 are over the limit of 5000 (job file: limits.record_bytes); cell F1 begins with "Teal Teal Teal Teal "`)
	_, _, err = readBytes(t, twoSheets("<row>"+cells(5)+"</row>"), Options{Limits: Limits{RecordBytes: 5000}})
	require.NoError(t, err, "at the limit is not over it")
}

// TestLimitsOfParts: each by itself, and all together.
func TestLimitsOfParts(t *testing.T) {
	good := bookParts(sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row>`))
	image := part{"xl/media/image1.png", strings.Repeat("x", 5000)}
	small := Options{Limits: Limits{PartBytes: 4000}}
	_, _, err := readBytes(t, zipOf(t, append(good, image)), small)
	require.NoError(t, err, "what nobody holds in memory is bounded by limits.bytes")
	fill := "<!--" + strings.Repeat("x", 5000) + "-->"
	elsewhere := replaced(replaced(good, "xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "worksheets/sheet1.xml", "data.xml", 1)), "xl/worksheets/sheet1.xml", "")
	for _, c := range []struct {
		rule, part string
		parts      []part
		second     bool // only the library holds it
	}{
		{"the list of sheets", "xl/workbook.xml", replaced(good, "xl/workbook.xml", bookXML+fill), false},
		{"where the sheets are", "xl/_rels/workbook.xml.rels", replaced(good, "xl/_rels/workbook.xml.rels", bookRels+fill), false},
		{"types of the parts", "[Content_Types].xml", replaced(good, "[Content_Types].xml", types+fill), false},
		{"styles", "xl/styles.xml", append(good, part{"xl/styles.xml", `<styleSheet xmlns="` + mainNS + `"/>` + fill}), true},
		{"a sheet of an odd name", "xl/data.xml", append(elsewhere, part{"xl/data.xml", sheetXML("") + fill}), true},
	} {
		o := small
		if c.second {
			_, _, err = readBytes(t, zipOf(t, c.parts), Options{Limits: Limits{PartBytes: 9000}, second: true})
			require.NoError(t, err, c.rule)
			o.second = true
		}
		_, _, err = readBytes(t, zipOf(t, c.parts), o)
		wantFault(t, err, TooLarge, "bytes of part "+c.part+" are over the limit of 4000 (job file: limits.part_bytes)")
	}
	_, _, err = readBytes(t, zipOf(t, replaced(good, "xl/workbook.xml", strings.Replace(bookXML, "</sheets>", strings.Repeat(`<sheet name="x" r:id="rId2"/>`, 6)+"</sheets>", 1))), Options{Limits: Limits{Parts: 6}})
	wantFault(t, err, TooLarge, "sheets of the file are over the limit of 6 (job file: limits.parts)")
	total := 0
	for _, p := range append(good, image) {
		total += len(p.data)
	}
	_, _, err = readBytes(t, zipOf(t, append(good, image)), Options{Limits: Limits{Bytes: int64(total - 1)}})
	wantFault(t, err, TooLarge, "bytes of the expanded parts are over the limit")
	_, _, err = readBytes(t, zipOf(t, append(good, image)), Options{Limits: Limits{Bytes: int64(total)}})
	require.NoError(t, err, "at the limit is not over it")
}

// TestMergedCellsKeptInMind: no more than bounded.
func TestMergedCellsKeptInMind(t *testing.T) {
	sheet := strings.Replace(sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row>`), "</sheetData>", "</sheetData><mergeCells>"+strings.Repeat(`<mergeCell ref="A1:A2"/>`, mostMerged+1)+"</mergeCells>", 1)
	_, s, err := both(t, sheet)
	require.NoError(t, err)
	require.Len(t, s.Merged, mostMerged)
}

// patched changes the directory's entry of a part: at is the place in it (APPNOTE 4.3.12).
func patched(t *testing.T, data []byte, name string, at int, value ...byte) []byte {
	t.Helper()
	for i := bytes.Index(data, []byte("PK\x01\x02")); i >= 0 && i+46 < len(data); i++ {
		if bytes.HasPrefix(data[i:], []byte("PK\x01\x02")) && bytes.HasPrefix(data[i+46:], []byte(name)) {
			copy(data[i+at:], value)
			return data
		}
	}
	t.Fatal("no entry " + name)
	return nil
}

// withoutSum is a workbook that states 0 for the checksum of a part, also beside its
// data: archive/zip takes that for "not stated".
func withoutSum(t *testing.T, parts []part, name string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		h := &zip.FileHeader{Name: p.name, CRC32: crc32.ChecksumIEEE([]byte(p.data)), CompressedSize64: uint64(len(p.data)), UncompressedSize64: uint64(len(p.data))}
		if p.name == name {
			h.CRC32 = 0
		}
		w, err := z.CreateRaw(h)
		require.NoError(t, err)
		_, err = io.WriteString(w, p.data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

func TestArchivesThatSayOneThing(t *testing.T) {
	sheet, strs := "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"
	shared := sheetXML(`<row r="1"><c r="A1" t="s"><v>1</v></c></row>`)
	good := bookParts(shared)
	const flagsAt, crcAt, csizeAt, sizeAt = 8, 16, 20, 24
	refused := func(rule string, data []byte, kind Kind, says ...string) {
		t.Helper()
		for _, second := range []bool{false, true} {
			_, _, err := readBytes(t, data, Options{second: second})
			wantFault(t, err, kind, says...)
		}
	}
	refused("encrypted by zip", patched(t, zipOf(t, good), sheet, flagsAt, 9), Protected, "encrypted by the zip program")
	refused("checksum 0 is compared too", withoutSum(t, good, sheet), Damaged, "checksum", `sheet "Units"`)
	refused("and of a part that nobody else reads", patched(t, zipOf(t, append(good, part{"xl/media/a.png", "x"})), "xl/media/a.png", crcAt, 1, 2, 3, 4), Damaged, "xl/media/a.png", "checksum")
	refused("larger than it is", patched(t, zipOf(t, good), sheet, sizeAt, 0, 0, 1, 0), Damaged, "its data end early", `sheet "Units"`)
	refused("nothing but an end", []byte("PK\x03\x04PK\x05\x06"+strings.Repeat("\x00", 18)), NotWorkbook, "no workbook")
	front := zipOf(t, bookParts(sheetXML("")))
	refused("another archive in front", append(front, zipOf(t, good)...), Damaged, "stand in front of those that its directory names")
	refused("one name twice but for its slashes", zipOf(t, append(good, part{`xl\worksheets\sheet1.xml`, shared})), Damaged, "two parts")

	for rule, parts := range map[string][]part{
		"another case": replaced(append(bookParts(shared), part{"XL/SharedStrings.XML", sstXML}), strs, ""),
		"backslashes":  replaced(append(bookParts(shared), part{`xl\sharedStrings.xml`, sstXML}), strs, ""),
	} {
		for _, second := range []bool{false, true} {
			_, lines, err := readBytes(t, zipOf(t, parts), Options{second: second})
			require.NoError(t, err, rule)
			require.Equal(t, "1:unit", text(lines), rule)
		}
	}

	// The library reads no strings of another namespace, and says so of each cell.
	foreign := zipOf(t, replaced(good, strs, strings.Replace(sstXML, mainNS, "urn:other", 1)))
	_, first, err1 := readBytes(t, foreign, Options{})
	_, again, err2 := readBytes(t, foreign, Options{second: true})
	require.Equal(t, err1 == nil, err2 == nil)
	require.Equal(t, text(again), text(first), "both ways see the same")
}

// TestCancelledPart: a part of blanks has no rows at which a cancellation could be seen.
func TestCancelledPart(t *testing.T) {
	for _, size := range []int{100, 2 * aheadFrom} {
		data := zipOf(t, []part{{"a", strings.Repeat(" ", size)}})
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		p, err := openPart(ctx, z.File[0])
		require.NoError(t, err)
		_, err = io.Copy(io.Discard, p)
		require.ErrorIs(t, err, context.Canceled, "%d bytes", size)
		require.NoError(t, p.Close())
	}
}

// TestLargeFileIsRefusedBeforeItIsRead: and one that grows meanwhile.
func TestLargeFileIsRefusedBeforeItIsRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.xlsx")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(2<<30)) // sparse
	require.NoError(t, f.Close())
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err = Open(context.Background(), path, Options{})
	runtime.ReadMemStats(&after)
	wantFault(t, err, TooLarge, "bytes of the file are over the limit of 1073741824 (job file: limits.file_bytes)")
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(16<<20))

	limits := Limits{FileBytes: 1000}
	_, err = readAll(context.Background(), strings.NewReader(strings.Repeat("x", 1001)), 10, limits)
	require.ErrorContains(t, err, "limits.file_bytes")
	_, err = readAll(context.Background(), strings.NewReader(strings.Repeat("x", 1000)), 10, limits)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = readAll(ctx, strings.NewReader("x"), 1, limits)
	require.ErrorIs(t, err, context.Canceled)
}

// TestCompoundHeadersOfAnyKind: whatever the header says, looking at it ends, without
// a panic.
func TestCompoundHeadersOfAnyKind(t *testing.T) {
	put := func(b []byte, at int, v uint32) []byte {
		binary.LittleEndian.PutUint32(b[at:], v)
		return b
	}
	for _, shift := range []uint16{0, 1, 8, 9, 12, 16, 63, 64, 65535} {
		b := crowded(3)
		binary.LittleEndian.PutUint16(b[sectorShiftAt:], shift)
		oversized(b)
	}
	for _, v := range []uint32{0, 1, 2, 3, 0x00FFFFFF, 0x7FFFFFFF, 0x80000000, lastSector - 1, lastSector, 0xFFFFFFFF} {
		oversized(put(crowded(3), difatStartAt, v))
		oversized(put(crowded(3), directoryStartAt, v))
		oversized(put(crowded(3), difatAt, v))
		oversized(put(put(crowded(3), difatStartAt, 1), 512+512+508, v)) // the next part of the list of FAT sectors
	}
	ring := put(crowded(3), difatStartAt, 1)
	put(ring, 512+512+508, 1)
	oversized(ring) // the list goes on in its own sector
	many := crowded(3)
	for range mostNamed + 1 {
		many = append(many, encryptionInfo...)
	}
	require.True(t, oversized(many), "the other name that the library looks for")
}

// TestProtectedFileWithAnyByteChanged: it opens, or there is a fault.
func TestProtectedFileWithAnyByteChanged(t *testing.T) {
	whole := saved(t, excelize.Options{Password: "crane"}, fill(t, 1))
	for i := 0; i < min(len(whole), 2048); i += 97 {
		data := bytes.Clone(whole)
		data[i] ^= 0xFF
		if _, err := unlock("fleet.xlsx", data, "crane"); err != nil {
			var f *Fault
			require.ErrorAs(t, err, &f, "byte %d", i)
		}
	}
}

// TestBrokenSpoolIsToldAsSuch: whichever way notices it.
func TestBrokenSpoolIsToldAsSuch(t *testing.T) {
	err := asFault("fleet.xlsx", "Units", "xl/worksheets/sheet1.xml", errors.Join(&spoolError{io.ErrShortWrite}))
	require.ErrorContains(t, err, "spool file of shared strings")
	require.NotErrorIs(t, err, Damaged)
}

// TestWaysThatDiffer: where the second way does not deliver what the first handed out,
// that is an error and not another list.
func TestWaysThatDiffer(t *testing.T) {
	data := saved(t, excelize.Options{}, fill(t, 9))
	for _, change := range []func(r *Rows){
		func(r *Rows) { r.cells++ },
		func(r *Rows) { r.row++ },
		func(r *Rows) { r.seen++; r.row++ }, // the cells of one row more
		func(r *Rows) { r.seen = 100 },      // more rows than there are
	} {
		b, err := Open(context.Background(), write(t, "fleet.xlsx", data), Options{})
		require.NoError(t, err)
		r, err := b.Rows("Sheet1")
		require.NoError(t, err)
		for range 3 {
			_, _, err = r.Read()
			require.NoError(t, err)
		}
		change(r)
		wantFault(t, r.changeWay(), Damaged, `sheet "Sheet1"`, "two ways of reading it differ")
		require.NoError(t, r.Close())
		require.NoError(t, b.Close())
	}
}

// TestMemoryOfSharedStrings: empty ones cost memory too, and of the spool only a few
// pages are held.
func TestMemoryOfSharedStrings(t *testing.T) {
	texts := newTexts(t.TempDir(), 10*heldHeader)
	for range 30 {
		require.NoError(t, texts.add(nil))
	}
	require.NoError(t, texts.done())
	require.Equal(t, []int{10, 20}, []int{len(texts.held), texts.spooled})
	require.NoError(t, texts.close())

	s, err := newSpool(t.TempDir())
	require.NoError(t, err)
	for i := range 2 * pagesHeld {
		require.NoError(t, s.add(bytes.Repeat([]byte{byte(i)}, pageSize)))
	}
	require.NoError(t, s.flush())
	for i := range 2 * pagesHeld {
		b := make([]byte, 1)
		require.NoError(t, s.readAt(b, int64(i)*pageSize))
		require.Equal(t, byte(i), b[0])
	}
	require.LessOrEqual(t, len(s.pages), pagesHeld)
	require.NoError(t, closeSpools(s))
}

// TestSecondWayEnds: by a cancellation, and by a panic of the library's.
func TestSecondWayEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	b, err := Open(ctx, write(t, "fleet.xlsx", saved(t, excelize.Options{}, fill(t, 9))), Options{second: true})
	require.NoError(t, err)
	defer b.Close()
	r, err := b.Rows("Sheet1")
	require.NoError(t, err)
	w := r.way.(*libraryWay)
	rows := w.rows
	w.rows = nil
	_, _, err = w.read()
	wantFault(t, err, Damaged, `sheet "Sheet1"`, "row 0: reader stopped: runtime error")
	w.rows = rows
	cancel()
	_, _, err = r.Read()
	require.ErrorIs(t, err, context.Canceled)
}

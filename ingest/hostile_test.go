package ingest

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/csv"
	"pitlist/ingest/xlsx"
	"pitlist/score"
)

// hostile is a file that means harm or is badly broken. The test that makes it
// sees a clear error, or that it does no harm, and every other file read.
type hostile struct {
	name   string
	file   string // its name; "" is bad.xlsx
	make   func(t *testing.T, path string)
	says   []string // parts of the error; none: it is read
	hint   string   // part of what to do
	notes  string   // part of what is said where it is read
	units  []string // vehicles that it brings where it is read
	limits Limits
	alloc  uint64 // most bytes that reading may allocate in all, MiB; 0 is 200
	heap   uint64 // most bytes alive at once beyond what was there before, MiB; 0 is 100
}

func (h hostile) check(t *testing.T) {
	dir := t.TempDir()
	name := h.file
	if name == "" {
		name = "bad.xlsx"
	}
	bad, good := filepath.Join(dir, name), filepath.Join(dir, "good.csv")
	require.NoError(t, os.WriteFile(good, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	h.make(t, bad)
	if h.limits.Time == 0 {
		h.limits.Time = 5 * time.Minute // a file that goes on and on ends in an error that no case expects
	}
	inputs := []Input{{Path: bad, Shown: name}, {Path: good, Shown: "good.csv"}}
	var r result
	alloc, heap := spent(func() { r = readWith(t, inputs, Options{Limits: h.limits}) })
	if !testing.Short() { // the race detector, which runs with -short, allocates for itself
		assert.LessOrEqual(t, alloc>>20, or(h.alloc, 200), "MiB allocated in all")
		assert.LessOrEqual(t, heap>>20, or(h.heap, 100), "MiB alive at once")
	}
	assert.NotNil(t, r.vehicle("G1"), "the other file is read")
	for _, c := range r.Fleet.Counts {
		assert.True(t, c.Balanced())
	}
	for _, u := range h.units {
		r.vehicle(u)
	}
	if len(h.says) == 0 {
		require.NoError(t, r.Files[0].Err)
		if h.notes != "" {
			said := fmt.Sprint(r.Files[0].Notes, r.Sheets[0].Notes)
			for _, i := range r.Fleet.Issues {
				said += "\n" + i.Reason.String()
			}
			assert.Contains(t, said, h.notes)
		}
		return
	}
	require.Error(t, r.Files[0].Err)
	told := words(r.Files[0].Err, &inputs[0]).String()
	for _, says := range h.says {
		assert.Contains(t, told, says)
	}
	assert.Contains(t, told, name)
	assert.Less(t, len(told), 1000, "no message repeats what is huge")
	advice := hint(r.Files[0].Err).String()
	assert.NotEmpty(t, advice)
	assert.Contains(t, advice, h.hint)
	refused := r.Fleet.Issues[slices.IndexFunc(r.Fleet.Issues, func(i score.Issue) bool { return i.Value == name })]
	assert.Equal(t, []string{"rejected", "file not read: " + told}, []string{string(refused.Severity), refused.Reason.String()}, "it stands among the refused rows")
	for _, c := range r.Fleet.Counts {
		if c.Source.File == name {
			assert.Zero(t, c.Read, "no row of it is used")
		}
	}
	_, err := tryRead(t, inputs, Options{Limits: h.limits, Strict: true})
	var f *Fault
	require.ErrorAs(t, err, &f, "a strict job stops")
}

func or(v, def uint64) uint64 {
	if v == 0 {
		return def
	}
	return v
}

// spent runs f and returns the bytes that it allocated in all, and the most
// that were alive at once beyond those before, as looked at all the while.
func spent(f func()) (alloc, heap uint64) {
	runtime.GC()
	var before, now runtime.MemStats
	runtime.ReadMemStats(&before)
	var most atomic.Uint64
	stop, done := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(done)
		tick := time.NewTicker(20 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-stop:
				return
			case <-tick.C:
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				if m.HeapAlloc > before.HeapAlloc {
					most.Store(max(most.Load(), m.HeapAlloc-before.HeapAlloc))
				}
			}
		}
	}()
	f()
	close(stop)
	<-done
	runtime.ReadMemStats(&now)
	return now.TotalAlloc - before.TotalAlloc, most.Load()
}

// --- workbooks by hand ---

const (
	xmlHead   = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	mainSpace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relSpace  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	pkgSpace  = "http://schemas.openxmlformats.org/package/2006/relationships"
)

// part is one part of a workbook; write, where it is set, streams a large one.
type part struct {
	name, text string
	write      func(io.Writer)
	raw        []byte // compressed already
	expands    uint64 // what raw expands to
}

// unitsXML is an honest sheet of one vehicle.
const unitsXML = `<row r="1"><c r="A1" t="inlineStr"><is><t>Unit</t></is></c><c r="B1" t="inlineStr"><is><t>Model</t></is></c></row>` +
	`<row r="2"><c r="A2" t="inlineStr"><is><t>B1</t></is></c><c r="B2" t="inlineStr"><is><t>Heron</t></is></c></row>`

// worksheet writes a sheet's XML around rows.
func worksheet(before, rows string) string {
	return xmlHead + `<worksheet xmlns="` + mainSpace + `">` + before + "<sheetData>" + rows + "</sheetData></worksheet>"
}

// rawBook writes a workbook of one sheet with any further parts.
func rawBook(t testing.TB, path string, sheet part, more ...part) {
	t.Helper()
	f, err := os.Create(path)
	require.NoError(t, err)
	defer f.Close()
	z := zip.NewWriter(f)
	sheet.name = "xl/worksheets/sheet1.xml"
	parts := append([]part{
		{name: "[Content_Types].xml", text: xmlHead + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/></Types>`},
		{name: "_rels/.rels", text: xmlHead + `<Relationships xmlns="` + pkgSpace + `"><Relationship Id="rId1" Type="` + relSpace + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{name: "xl/workbook.xml", text: xmlHead + `<workbook xmlns="` + mainSpace + `" xmlns:r="` + relSpace + `"><sheets><sheet name="Units" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{name: "xl/_rels/workbook.xml.rels", text: xmlHead + `<Relationships xmlns="` + pkgSpace + `"><Relationship Id="rId1" Type="` + relSpace + `/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="` + relSpace + `/sharedStrings" Target="sharedStrings.xml"/></Relationships>`},
		sheet,
	}, more...)
	for _, p := range parts {
		if p.raw != nil {
			w, err := z.CreateRaw(&zip.FileHeader{Name: p.name, Method: zip.Deflate, CompressedSize64: uint64(len(p.raw)), UncompressedSize64: p.expands})
			require.NoError(t, err)
			_, err = w.Write(p.raw)
			require.NoError(t, err)
			continue
		}
		w, err := z.Create(p.name)
		require.NoError(t, err)
		if p.write != nil {
			p.write(w)
		} else {
			_, err = io.WriteString(w, p.text)
			require.NoError(t, err)
		}
	}
	require.NoError(t, z.Close())
}

// asBook makes a hostile file of one sheet's XML.
func asBook(sheet string, more ...part) func(*testing.T, string) {
	return func(t *testing.T, path string) { rawBook(t, path, part{text: sheet}, more...) }
}

// repeat writes a text n times.
func repeat(w io.Writer, text string, n int) {
	block := []byte(strings.Repeat(text, max(1, (64<<10)/len(text))))
	for n > 0 {
		k := min(n, len(block)/len(text))
		w.Write(block[:k*len(text)])
		n -= k
	}
}

// sized writes a sheet whose rows come from write.
func sized(rows func(io.Writer)) func(*testing.T, string) {
	return func(t *testing.T, path string) {
		rawBook(t, path, part{write: func(w io.Writer) {
			before, after, _ := strings.Cut(worksheet("", unitsXML+"|"), "|")
			io.WriteString(w, before)
			rows(w)
			io.WriteString(w, after)
		}})
	}
}

func TestHostileWorkbooks(t *testing.T) {
	tight := Limits{Workbook: xlsx.Limits{Bytes: 16 << 20, Parts: 100, Rows: 10_000, PartBytes: 1 << 20}}
	for _, h := range []hostile{
		{name: "a bomb by ratio: gigabytes of blanks in a few megabytes", make: bomb,
			says: []string{"over the limit of 4294967296", "limits.bytes"}},
		{name: "a bomb by ratio, the limit in the job", make: sized(func(w io.Writer) { repeat(w, " ", 64<<20) }), limits: tight, says: []string{"over the limit of 16777216", "limits.bytes"}},
		{name: "a bomb by ratio outside the sheets", make: asBook(worksheet("", unitsXML), part{name: "xl/media/image1.xml", write: func(w io.Writer) { repeat(w, " ", 64<<20) }}), limits: tight, says: []string{"limits."}},
		{name: "a bomb whose parts deny their size", make: func(t *testing.T, path string) { lyingSize(t, path, 64<<20) }, limits: tight, says: []string{"sheet1.xml"}},
		{name: "a bomb by nesting: an archive in an archive in an archive is not opened", make: asBook(worksheet("", unitsXML), part{name: "xl/embeddings/inner.zip", text: string(nested(t, 6))}), units: []string{"B1"}},
		{name: "a bomb by count of parts", make: func(t *testing.T, path string) {
			more := make([]part, 10_001)
			for i := range more {
				more[i] = part{name: fmt.Sprintf("xl/media/%d.bin", i), text: "x"}
			}
			rawBook(t, path, part{text: worksheet("", unitsXML)}, more...)
		}, says: []string{"parts of the file are over the limit of 10000", "limits.parts"}},
		{name: "one part twelve thousand times in the directory", make: overlapping, says: []string{"over the limit of 10000", "limits.parts"}},
		{name: "a sheet whose dimension lies", make: asBook(worksheet(`<dimension ref="A1:XFD1048576"/>`, unitsXML)), units: []string{"B1"}},
		{name: "1,048,576 styled empty rows", make: sized(func(w io.Writer) {
			for i := 3; i <= 1_048_576; i++ {
				fmt.Fprintf(w, `<row r="%d" s="1" customFormat="1"><c r="A%d" s="0"/></row>`, i, i)
			}
		}), units: []string{"B1"}},
		{name: "more rows than the job allows", make: sized(func(w io.Writer) {
			for i := 3; i <= 20_000; i++ {
				fmt.Fprintf(w, `<row r="%d"/>`, i)
			}
		}), limits: tight, says: []string{"over the limit of 10000", "limits.rows"}},
		{name: "16,384 columns", make: asBook(worksheet("", wideRows(3))), units: []string{"U2"}, alloc: 250}, // each heading is held against all rules
		{name: "more cells than the job allows", make: asBook(worksheet("", wideRows(40))), limits: Limits{Cells: 200_000}, says: []string{"cells of the file are over the limit of 200000", "limits.cells"}},
		{name: "a column past the last", make: asBook(worksheet("", unitsXML+`<row r="3"><c r="XFE3"><v>1</v></c></row>`)), says: []string{"XFE3"}},
		{name: "a shared-string index out of range", make: asBook(worksheet("", `<row r="1"><c r="A1" t="s"><v>7</v></c></row>`), part{name: "xl/sharedStrings.xml", text: xmlHead + `<sst xmlns="` + mainSpace + `"><si><t>x</t></si></sst>`}), says: []string{`shared string "7" does not exist`}},
		{name: "a shared-string index below zero", make: asBook(worksheet("", `<row r="1"><c r="A1" t="s"><v>-1</v></c></row>`), part{name: "xl/sharedStrings.xml", text: xmlHead + `<sst xmlns="` + mainSpace + `"><si><t>x</t></si></sst>`}), says: []string{"shared string"}},
		{name: "XML a hundred thousand elements deep", make: asBook(worksheet("", `<row r="1"><c r="A1"><f>`+strings.Repeat("<a>", 100_000)+strings.Repeat("</a>", 100_000)+"</f></c></row>")), says: []string{"Units"}},
		{name: "entity declarations that explode", make: asBook(xmlHead + `<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>` + worksheet("", `<row r="1"><c r="A1" t="inlineStr"><is><t>&c;</t></is></c></row>`)[len(xmlHead):]), says: []string{`sheet "Units"`, `it declares a document type or entities, "DOCTYPE x [<!ENTITY ", which a workbook may not (line 2 of the XML)`}, hint: "let it repair the file"},
		{name: "an entity that names a file", make: asBook(xmlHead + `<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>` + worksheet("", `<row r="1"><c r="A1" t="inlineStr"><is><t>&a;</t></is></c></row>`)[len(xmlHead):]), says: []string{`sheet "Units"`, `it declares a document type or entities, "DOCTYPE x [<!ENTITY ", which a workbook may not (line 2 of the XML)`}, hint: "let it repair the file"},
		{name: "an entity that nothing declares", make: asBook(worksheet("", unitsXML+`<row r="3"><c r="A3" t="inlineStr"><is><t>B2</t></is></c><c r="B3" t="inlineStr"><is><t>&teal;</t></is></c></row>`)), says: []string{`sheet "Units"`, "cell B3: XML syntax error on line 2: invalid character entity &teal;"}, hint: "let it repair the file"},
		{name: "a cell of 10 MB", make: sized(func(w io.Writer) {
			io.WriteString(w, `<row r="3"><c r="A3" t="inlineStr"><is><t>B2</t></is></c><c r="B3" t="inlineStr"><is><t>`)
			repeat(w, "Teal ", 2<<20)
			io.WriteString(w, `</t></is></c></row>`)
		}), says: []string{`sheet "Units"`, `bytes of text in row 3 are over the limit of 8388608 (job file: limits.record_bytes); cell B3 begins with "Teal Teal Teal Teal "`}, hint: "raise the limit in the job file if the file is honest", alloc: 400},
		{name: "10 MB beside the cells", make: sized(func(w io.Writer) {
			io.WriteString(w, `<row r="3"><c r="A3" t="inlineStr" x="`)
			repeat(w, "Teal ", 2<<20)
			io.WriteString(w, `"/></row>`)
		}), says: []string{`sheet "Units"`, "in or after row 3: bytes of a single text or tag, in which ", "limits.record_bytes"}, hint: "raise the limit in the job file if the file is honest", alloc: 400},
		{name: "part names that climb out of the folder", make: asBook(worksheet("", unitsXML), part{name: "../../climbed.txt", text: "x"}, part{name: "/etc/climbed", text: "x"}, part{name: `..\..\other.txt`, text: "x"}), units: []string{"B1"}},
		{name: "links to other files and addresses are never followed", make: asBook(worksheet("", unitsXML), part{name: "xl/worksheets/_rels/sheet1.xml.rels", text: xmlHead + `<Relationships xmlns="` + pkgSpace + `"><Relationship Id="rId1" Type="` + relSpace + `/hyperlink" Target="http://192.0.2.1/" TargetMode="External"/><Relationship Id="rId2" Type="` + relSpace + `/externalLinkPath" Target="file:///etc/passwd" TargetMode="External"/></Relationships>`}), units: []string{"B1"}},
		{name: "macros are never run", file: "bad.xlsm", make: asBook(worksheet("", unitsXML), part{name: "xl/vbaProject.bin", text: "\xD0\xCF\x11\xE0Auto_Open"}), units: []string{"B1"}},
		{name: "a workbook larger on disk than the job allows", make: asBook(worksheet("", unitsXML)), limits: Limits{Workbook: xlsx.Limits{FileBytes: 100}}, says: []string{"over the limit of 100", "limits.file_bytes"}},
	} {
		t.Run(h.name, h.check)
	}
}

// bomb writes a workbook of some megabytes whose sheet expands to five
// gigabytes: one compressed block of blanks, eighty times.
func bomb(t *testing.T, path string) {
	t.Helper()
	const times, size = 80, 64 << 20
	var block, end bytes.Buffer
	w, err := flate.NewWriter(&block, flate.BestCompression)
	require.NoError(t, err)
	io.WriteString(w, "<")
	repeat(w, " ", size-1)
	require.NoError(t, w.Flush())
	body := block.Bytes()
	e, err := flate.NewWriter(&end, flate.BestCompression)
	require.NoError(t, err)
	require.NoError(t, e.Close())
	rawBook(t, path, part{raw: append(bytes.Repeat(body, times), end.Bytes()...), expands: times * size})
}

// TestLimitOfSeconds: a file whose reading takes longer than the job allows
// ends with the limit's name; the clock of the run itself goes on.
func TestLimitOfSeconds(t *testing.T) {
	dir := t.TempDir()
	book, text := filepath.Join(dir, "a.xlsx"), filepath.Join(dir, "b.csv")
	rawBook(t, book, part{text: worksheet("", unitsXML)})
	require.NoError(t, os.WriteFile(text, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	res, err := tryRead(t, []Input{{Path: book}, {Path: text}}, Options{Limits: Limits{Time: time.Nanosecond}})
	require.ErrorIs(t, err, ErrNothing)
	for _, f := range res.Files {
		require.ErrorContains(t, f.Err, "seconds of reading are over the limit of 1e-09 (job file: limits.seconds)")
		assert.NotEmpty(t, hint(f.Err))
	}
	r := readWith(t, []Input{{Path: book}, {Path: text}}, Options{Limits: Limits{Time: time.Hour}})
	assert.Equal(t, []string{"B1", "G1"}, r.names())
}

// wideRows fills n rows to the last column.
func wideRows(n int) string {
	var b strings.Builder
	for r := 1; r <= n; r++ {
		fmt.Fprintf(&b, `<row r="%d">`, r)
		for c := range 16_384 {
			v := fmt.Sprintf("x%d", c)
			switch {
			case r == 1 && c < 2:
				v = [...]string{"Unit", "Model"}[c]
			case c == 0:
				v = fmt.Sprintf("U%d", r)
			}
			fmt.Fprintf(&b, `<c t="inlineStr"><is><t>%s</t></is></c>`, v)
		}
		b.WriteString("</row>")
	}
	return b.String()
}

// nested is an archive within an archive, depth times.
func nested(t *testing.T, depth int) []byte {
	t.Helper()
	data := bytes.Repeat([]byte{0}, 1<<20)
	for range depth {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		for i := range 4 {
			w, err := z.Create(fmt.Sprintf("%d.zip", i))
			require.NoError(t, err)
			w.Write(data)
		}
		require.NoError(t, z.Close())
		data = b.Bytes()
	}
	return data
}

// lyingSize writes a workbook whose sheet says in the directory that it is
// small (APPNOTE 4.3.12) and expands to n bytes.
func lyingSize(t *testing.T, path string, n int) {
	t.Helper()
	sized(func(w io.Writer) { repeat(w, " ", n) })(t, path)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	name := []byte("xl/worksheets/sheet1.xml")
	for at := 0; ; {
		i := bytes.Index(data[at:], []byte("PK\x01\x02"))
		require.GreaterOrEqual(t, i, 0)
		at += i
		if bytes.HasPrefix(data[at+46:], name) {
			binary.LittleEndian.PutUint32(data[at+24:], 1000)
			break
		}
		at += 4
	}
	require.NoError(t, os.WriteFile(path, data, 0o600))
}

// overlapping writes a directory that names one part twelve thousand times:
// an archive of a few megabytes that would expand to as many copies.
func overlapping(t *testing.T, path string) {
	t.Helper()
	var body bytes.Buffer
	w, err := flate.NewWriter(&body, flate.BestCompression)
	require.NoError(t, err)
	data := bytes.Repeat([]byte{' '}, 1<<20)
	w.Write(data)
	w.Close()
	const name = "a.xml"
	var b bytes.Buffer
	head := func(sign string, central bool) {
		b.WriteString(sign)
		if central {
			binary.Write(&b, binary.LittleEndian, uint16(20))
		}
		binary.Write(&b, binary.LittleEndian, []uint16{20, 0, 8, 0, 0})
		binary.Write(&b, binary.LittleEndian, []uint32{crc32.ChecksumIEEE(data), uint32(body.Len()), uint32(len(data))})
		binary.Write(&b, binary.LittleEndian, []uint16{uint16(len(name)), 0})
		if central {
			binary.Write(&b, binary.LittleEndian, []uint16{0, 0, 0, 0, 0, 0, 0})
		}
		b.WriteString(name)
	}
	head("PK\x03\x04", false)
	b.Write(body.Bytes())
	from, n := b.Len(), 12_000
	for range n {
		head("PK\x01\x02", true)
	}
	size := b.Len() - from
	b.WriteString("PK\x05\x06")
	binary.Write(&b, binary.LittleEndian, []uint16{0, 0, uint16(n), uint16(n)})
	binary.Write(&b, binary.LittleEndian, []uint32{uint32(size), uint32(from)})
	binary.Write(&b, binary.LittleEndian, uint16(0))
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
}

func rawText(data string) func(*testing.T, string) {
	return func(t *testing.T, path string) { require.NoError(t, os.WriteFile(path, []byte(data), 0o600)) }
}

func TestHostileTexts(t *testing.T) {
	const head = "Unit;Model;Remarks\nT1;Heron;quiet\n"
	stream := func(write func(io.Writer)) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			f, err := os.Create(path)
			require.NoError(t, err)
			io.WriteString(f, head)
			write(f)
			require.NoError(t, f.Close())
		}
	}
	for _, h := range []hostile{
		{name: "NUL", make: rawText(head + "T2;He\x00ron;x\nT3;Teal;x\n"), units: []string{"T1", "T3"}, notes: "NUL"},
		{name: "a quotation mark that is never closed", make: rawText(head + "T2;Heron;\"open\n" + strings.Repeat("T3;Teal;x\n", 2000)), units: []string{"T1", "T2", "T3"}, notes: "quotation"},
		{name: "quotation marks only", make: rawText(head + strings.Repeat(`"`, 200_000) + "\nT3;Teal;x\n"), units: []string{"T1", "T3"}},
		{name: "100 MB without a line end", make: stream(func(w io.Writer) { repeat(w, "x", 100<<20) }), units: []string{"T1"}, notes: "over the limit of 1048576 (job file: limits.record_bytes)"},
		{name: "100 MB within quotation marks", make: stream(func(w io.Writer) {
			io.WriteString(w, `T2;Heron;"`)
			repeat(w, "x\n", 50<<20)
		}), limits: Limits{Text: csv.Limits{Rows: 100_000}}, says: []string{"rows are over the limit of 100000", "limits.rows"}, alloc: 1000},
		{name: "a gigabyte where the job allows less", make: func(t *testing.T, path string) {
			f, err := os.Create(path)
			require.NoError(t, err)
			require.NoError(t, f.Truncate(1<<30))
			require.NoError(t, f.Close())
		}, limits: Limits{Text: csv.Limits{Bytes: 1 << 20}}, says: []string{"over the limit of 1048576", "limits.bytes"}},
		{name: "mixed encodings", make: rawText(head + "T2;Heron;\xC3\x9Cbersee\nT3;Teal;\xDCbersee\n"), units: []string{"T1", "T2", "T3"}, notes: "windows-1252"},
		{name: "half a character at the end", make: rawText(head + "T2;Heron;\xC3"), units: []string{"T1", "T2"}},
		{name: "a million delimiters in a row", make: rawText(head + "T2;Heron;" + strings.Repeat(";", 1_000_000) + "\nT3;Teal;x\n"), units: []string{"T1", "T3"}, notes: "1000003 cells"},
		{name: "control characters and marks that turn the writing", make: rawText(head + "T2\x1b[2J;He\u202eron;a\x07b\x9b\n"), units: []string{"T1"}, notes: "control characters"},
		{name: "more cells than the job allows", make: rawText(head + strings.Repeat("T2;Heron;x\n", 100)), limits: Limits{Cells: 50}, says: []string{"limits.cells"}},
	} {
		h.file = "bad.csv"
		t.Run(h.name, h.check)
	}
}

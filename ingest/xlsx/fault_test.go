package xlsx

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func itoa(n int) string { return strconv.Itoa(n) }

// fill puts n rows of text and numbers into Sheet1.
func fill(t testing.TB, n int) func(f *excelize.File) {
	return func(f *excelize.File) {
		for i := 1; i <= n; i++ {
			require.NoError(t, f.SetSheetRow("Sheet1", "A"+itoa(i), &[]any{"N-" + itoa(i), i * 1000, "Harbour"}))
		}
	}
}

// wantFault checks kind and wording, and that a hint is there.
func wantFault(t *testing.T, err error, k Kind, says ...string) {
	t.Helper()
	require.Error(t, err)
	require.ErrorIs(t, err, k)
	var f *Fault
	require.ErrorAs(t, err, &f)
	assert.NotEmpty(t, f.Hint)
	for _, s := range says {
		assert.Contains(t, err.Error(), s)
	}
}

func TestWhatIsNoWorkbookIsNamed(t *testing.T) {
	ole := append([]byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}, make([]byte, 600)...)
	cases := []struct {
		rule, name string
		data       []byte
		kind       Kind
		says       string
	}{
		{"nothing in it", "a.xlsx", nil, Empty, "empty"},
		{"old binary workbook", "a.xlsx", ole, OldFormat, ".xls"},
		{"open document", "a.xlsx", zipOf(t, []part{{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"}, {"content.xml", "<a/>"}}), OpenDocument, ".ods"},
		{"binary workbook", "a.xlsx", zipOf(t, []part{{"_rels/.rels", rootPart}, {"xl/workbook.bin", "x"}}), Binary, ".xlsb"},
		{"zip of photographs", "a.xlsx", zipOf(t, []part{{"van.jpg", "x"}}), NotWorkbook, "zip file, but no workbook"},
		{"text document", "a.xlsx", zipOf(t, []part{{"_rels/.rels", strings.ReplaceAll(rootPart, "xl/workbook.xml", "word/document.xml")}, {"word/document.xml", "<document/>"}}), NotWorkbook, "no workbook"},
		{"web page", "a.xlsx", []byte("<html><table><tr><td>unit</td></tr></table></html>"), NotWorkbook, "web page"},
		{"XML export", "a.xlsx", []byte("\xEF\xBB\xBF<?xml version=\"1.0\"?><Workbook/>"), NotWorkbook, "XML"},
		{"text", "a.xlsx", []byte("unit;vin\n1;2\n"), NotWorkbook, "text file"},
		{"three bytes of a zip", "a.xlsx", []byte("PK\x03"), Truncated, "incomplete, 3 bytes"},
		{"lock file", "~$a.xlsx", []byte("\x05Anna"), LockFile, "lock file"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, err := Open(context.Background(), write(t, c.name, c.data), Options{})
			wantFault(t, err, c.kind, c.says)
		})
	}
}

func TestPathsThatAreNoFile(t *testing.T) {
	_, err := Open(context.Background(), filepath.Join(t.TempDir(), "none.xlsx"), Options{})
	wantFault(t, err, Missing, "none.xlsx")
	_, err = Open(context.Background(), t.TempDir(), Options{})
	wantFault(t, err, Directory, "folder")
	_, err = Open(context.Background(), os.DevNull, Options{})
	require.Error(t, err)
	require.NotErrorIs(t, err, Empty, "a device is refused before it is read")
}

func TestUnreadableFile(t *testing.T) {
	path := write(t, "fleet.xlsx", []byte("PK"))
	require.NoError(t, os.Chmod(path, 0))
	if f, err := os.Open(path); err == nil {
		require.NoError(t, f.Close())
		t.Skip("this user may read everything")
	}
	_, err := Open(context.Background(), path, Options{})
	wantFault(t, err, Unreadable)
}

func TestCutWorkbook(t *testing.T) {
	whole := saved(t, excelize.Options{}, fill(t, 300))
	for percent := 5; percent < 100; percent += 5 {
		t.Run(itoa(percent)+" percent", func(t *testing.T) {
			n := len(whole) * percent / 100
			_, _, err := readBytes(t, whole[:n], Options{})
			wantFault(t, err, Truncated, "incomplete, "+itoa(n)+" bytes")
		})
	}
	_, _, err := readBytes(t, whole[:len(whole)-1], Options{})
	require.Error(t, err, "one byte short")
}

func TestPasswords(t *testing.T) {
	locked := saved(t, excelize.Options{Password: "crane"}, fill(t, 3))
	_, _, err := readBytes(t, locked, Options{})
	wantFault(t, err, Protected, "password")
	_, _, err = readBytes(t, locked, Options{Password: "boat"})
	wantFault(t, err, WrongPassword)
	_, lines, err := readBytes(t, locked, Options{Password: "crane"})
	require.NoError(t, err)
	require.Equal(t, "1:N-1|1000|Harbour 2:N-2|2000|Harbour 3:N-3|3000|Harbour", text(lines))
	_, _, err = readBytes(t, locked[:len(locked)/2], Options{Password: "crane"})
	require.Error(t, err, "cut")
	plain := saved(t, excelize.Options{}, fill(t, 1))
	_, _, err = readBytes(t, plain, Options{Password: "crane"})
	require.NoError(t, err, "a password does no harm to an open workbook")
}

// TestWriteProtectedOpensWithoutPassword: [MS-XLSX] encrypts such files with a fixed
// password that programs supply by themselves.
func TestWriteProtectedOpensWithoutPassword(t *testing.T) {
	_, lines, err := readBytes(t, saved(t, excelize.Options{Password: "VelvetSweatshop"}, fill(t, 1)), Options{})
	require.NoError(t, err)
	require.Equal(t, "1:N-1|1000|Harbour", text(lines))
}

func TestLimitsNameThemselves(t *testing.T) {
	data := zipOf(t, bookParts(sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row><row r="2"/><row r="3"/>`)))
	bomb := saved(t, excelize.Options{}, func(f *excelize.File) {
		require.NoError(t, f.SetCellValue("Sheet1", "A1", strings.Repeat(" ", 32000)))
	})
	cases := []struct {
		rule   string
		data   []byte
		limits Limits
		says   string
	}{
		{"expanded bytes of all parts", bomb, Limits{Bytes: 20000}, "limits.bytes"},
		{"bytes of the file", data, Limits{FileBytes: 100}, "limits.file_bytes"},
		{"bytes of one part", data, Limits{PartBytes: 100}, "limits.part_bytes"},
		{"rows, blank ones too", data, Limits{Rows: 2}, "limits.rows"},
		{"parts", data, Limits{Parts: 5}, "limits.parts"},
		{"one shared string", data, Limits{RecordBytes: 3}, "bytes of shared string 1 are over the limit of 3 (job file: limits.record_bytes)"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, _, err := readBytes(t, c.data, Options{Limits: c.limits})
			wantFault(t, err, TooLarge, c.says)
		})
	}
	_, _, err := readBytes(t, data, Options{Limits: Limits{Rows: 3, Parts: 6}})
	require.NoError(t, err, "at the limit is not over it")
}

func TestDamageOfTheArchive(t *testing.T) {
	good := bookParts(sheetXML(`<row r="1"><c r="A1"><v>171400</v></c></row>`))
	t.Run("a changed digit in a stored part", func(t *testing.T) {
		data := zipOf(t, good)
		i := strings.Index(string(data), "171400")
		data[i] = '9'
		_, _, err := readBytes(t, data, Options{})
		wantFault(t, err, Damaged, `sheet "Units"`, "checksum")
	})
	t.Run("two parts of one name", func(t *testing.T) {
		_, _, err := readBytes(t, zipOf(t, append(good, part{"XL/Worksheets/sheet1.xml", sheetXML("")})), Options{})
		wantFault(t, err, Damaged, "two parts")
	})
	cases := []struct{ rule, part, data, says string }{
		{"a listed sheet without its part", "xl/worksheets/sheet1.xml", "", "is missing"},
		{"no relationships of the workbook", "xl/_rels/workbook.xml.rels", "", "is missing"},
		{"no root relationships", "_rels/.rels", "", "is missing"},
		{"no workbook part", "xl/workbook.xml", "", "is missing"},
		{"workbook part cut", "xl/workbook.xml", bookXML[:len(bookXML)-20], "unexpected EOF"},
		{"sheet without a relationship", "xl/workbook.xml", strings.Replace(bookXML, "rId1", "rId9", 1), "does not say"},
		{"two relationships of one name", "xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "</Rel", `<Relationship Id="rId1" Type="x" Target="y"/></Rel`, 1), "two relationships"},
		{"two sheets of one name", "xl/workbook.xml", strings.Replace(bookXML, "</sheets>", `<sheet name="UNITS" sheetId="2" r:id="rId1"/></sheets>`, 1), "two sheets"},
		{"two sheets of one part", "xl/workbook.xml", strings.Replace(bookXML, "</sheets>", `<sheet name="Codes" sheetId="2" r:id="rId1"/></sheets>`, 1), "another sheet"},
		{"shared strings cut", "xl/sharedStrings.xml", sstXML[:len(sstXML)-30], "sharedStrings"},
		{"two lists of shared strings", "xl/sharedStrings.xml", sstXML + "<sst/>", "<sst> in place of <sst>"},
		{"another root of the shared strings", "xl/sharedStrings.xml", strings.ReplaceAll(sstXML, "sst", "list"), "<list> in place of <sst>"},
		{"what is no shared string", "xl/sharedStrings.xml", strings.Replace(sstXML, "<si><t/></si>", "<x/>", 1), "<x> among the shared strings"},
		{"a shared string where none may stand", "xl/sharedStrings.xml", strings.Replace(sstXML, "</sst>", "<extLst><si/></extLst></sst>", 1), "<si> at a wrong place"},
		{"shared strings 501 deep", "xl/sharedStrings.xml", strings.Replace(sstXML, "</sst>", "<extLst>"+strings.Repeat("<a>", 500)+strings.Repeat("</a>", 500)+"</extLst></sst>", 1), "nested more than 500 deep"},
		{"an element in the text of a shared string", "xl/sharedStrings.xml", strings.Replace(sstXML, "unit", "<x/>", 1), "<x> inside the text of shared string 1"},
		{"text between shared strings", "xl/sharedStrings.xml", strings.Replace(sstXML, "<si><t/></si>", "lost<si/>", 1), `text "lost" where none may stand, at shared string 0`},
		{"two date systems", "xl/workbook.xml", strings.Replace(bookXML, "<sheets>", `<workbookPr date1904="1"/><workbookPr/><sheets>`, 1), "two elements that give its date system"},
		{"shared strings where none are read", "xl/_rels/workbook.xml.rels", strings.Replace(bookRels, "</Rel", `<Relationship Id="rId2" Type="`+relNS+`/sharedStrings" Target="other.xml"/></Rel`, 1), "part xl/other.xml, where none are read"},
		{"entities in the list of sheets", "xl/workbook.xml", strings.Replace(bookXML, "<workbook", `<!DOCTYPE x [<!ENTITY a "b">]><workbook`, 1), `it declares a document type or entities, "DOCTYPE x [<!ENTITY ", which a workbook may not`},
		{"501 elements deep in the list of sheets", "xl/workbook.xml", strings.Replace(bookXML, "</workbook>", strings.Repeat("<a>", 501)+strings.Repeat("</a>", 501)+"</workbook>", 1), "nested more than 500 deep"},
		{"an attribute of a sheet twice", "xl/workbook.xml", strings.Replace(bookXML, "<sheet ", `<sheet name="Other" `, 1), `attribute "name" stands twice`},
		{"no sheets", "xl/workbook.xml", strings.Replace(bookXML, "<sheet ", "<page ", 1), "it lists no sheet"},
		{"a sheet's name of a megabyte", "xl/workbook.xml", strings.Replace(bookXML, "Units", strings.Repeat("x", 1<<20), 1), "its name has 1048576 bytes"},
		{"two workbooks", "_rels/.rels", strings.Replace(rootPart, "</Rel", `<Relationship Id="rId2" Type="`+relNS+`/officeDocument" Target="xl/workbook.xml"/></Rel`, 1), "it says twice which part is its workbook"},
		{"a list of sheets with two roots", "xl/workbook.xml", bookXML + "<workbook/>", "a second root element <workbook>"},
		{"shared strings out of shape", "xl/sharedStrings.xml", strings.Replace(sstXML, "<si><t>unit</t></si>", "<si><t>unit</t><t>lost</t></si>", 1), "in a text, or twice"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			tmp := t.TempDir()
			_, _, err := readBytes(t, zipOf(t, replaced(good, c.part, c.data)), Options{TmpDir: tmp})
			wantFault(t, err, Damaged, c.says)
			assert.Less(t, len(err.Error()), 1000, "no message repeats what is huge")
			left, err := os.ReadDir(tmp)
			require.NoError(t, err)
			assert.Empty(t, left, "what does not open leaves nothing behind")
		})
	}
}

func TestZipWithoutAWorkbook(t *testing.T) {
	rels := strings.Replace(rootPart, `/officeDocument" T`, `/other" T`, 1)
	_, _, err := readBytes(t, zipOf(t, replaced(bookParts(sheetXML("")), "_rels/.rels", rels)), Options{})
	wantFault(t, err, NotWorkbook, "this is a zip file, but no workbook")
}

// TestNoChangedBytePassesUnnoticed: whichever byte of the file changes, the rows are
// the same or there is an error.
func TestNoChangedBytePassesUnnoticed(t *testing.T) {
	whole := saved(t, excelize.Options{}, fill(t, 40))
	_, want, err := readBytes(t, whole, Options{})
	require.NoError(t, err)
	for i := 0; i < len(whole); i += 23 {
		data := append([]byte(nil), whole...)
		data[i] ^= 1 << (i % 8)
		if _, got, err := readBytes(t, data, Options{}); err == nil {
			require.Equal(t, text(want), text(got), "byte %d", i)
		}
	}
}

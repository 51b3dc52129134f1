package xlsx

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// both reads a sheet's XML in both ways, which must agree: in the rows, in the counts
// and in what is refused.
func both(t *testing.T, xml string) (string, Sheet, error) {
	t.Helper()
	data := zipOf(t, bookParts(xml))
	b, lines, err := readBytes(t, data, Options{})
	second, again, secondErr := readBytes(t, data, Options{second: true})
	if err != nil {
		require.Error(t, secondErr)
		require.Equal(t, said(err), said(secondErr))
		return "", Sheet{}, err
	}
	require.NoError(t, secondErr)
	require.Equal(t, again, lines)
	require.Equal(t, second.Sheets(), b.Sheets())
	return text(lines), b.Sheets()[0], nil
}

// said is an error's text without the file's path.
func said(err error) string {
	var f *Fault
	if errors.As(err, &f) {
		return f.Sheet + f.Text.String()
	}
	return err.Error()
}

func TestSheetsThatAreRead(t *testing.T) {
	cases := []struct{ rule, rows, want string }{
		{"numbers as stored", `<row r="1"><c r="A1"><v>1.2345678901234501E16</v></c><c r="B1" s="0"><v>0.30000000000000004</v></c></row>`, "1:1.2345678901234501E16|0.30000000000000004"},
		{"shared strings, rich ones without the guide", `<row r="1"><c r="A1" t="s"><v>1</v></c><c r="B1" t="s"><v>2</v></c></row>`, "1:unit|Teal"},
		{"empty shared string is no value", `<row r="1"><c r="A1" t="s"><v>0</v></c></row><row r="2"><c r="A2"><v>5</v></c></row>`, "2:5"},
		{"inline string", `<row r="1"><c r="A1" t="inlineStr"><is><t xml:space="preserve"> A&amp;B </t></is></c></row>`, "1: A&B "},
		{"inline rich string", `<row r="1"><c r="A1" t="inlineStr"><is><r><rPr><sz val="9"/></rPr><t>Te</t></r><r><t>al</t></r></is></c></row>`, "1:Teal"},
		{"boolean, error, date, formula's text", `<row r="1"><c r="A1" t="b"><v>1</v></c><c r="B1" t="e"><v>#N/A</v></c><c r="C1" t="d"><v>2026-11-23</v></c><c r="D1" t="str"><f>A1</f><v>x</v></c></row>`, "1:1|#N/A|2026-11-23|x"},
		{"gaps keep numbers and columns", `<row r="3"><c r="B3"><v>1</v></c><c r="D3"><v>2</v></c></row><row r="9"><c r="A9"><v>3</v></c></row>`, "3:|1||2 9:3"},
		{"rows and cells without references", `<row><c><v>1</v></c><c><v>2</v></c></row><row><c><v>3</v></c></row>`, "1:1|2 2:3"},
		{"references here and there", `<row r="2"><c><v>1</v></c><c r="D2"><v>2</v></c><c><v>3</v></c></row><row><c><v>4</v></c></row>`, "2:1|||2|3 3:4"},
		{"blank styled cells are passed over", `<row r="1"><c r="A1" s="1"/><c r="B1" s="1"/></row><row r="2" s="1"/><row r="3"><c r="C3"><v>7</v></c><c r="D3" s="1"/></row><row r="1048576"><c r="A1048576" s="1"/></row>`, "3:||7"},
		{"formula without value reads as blank", `<row r="1"><c r="A1"><f>1+1</f></c></row><row r="2"><c r="A2"><v>4</v></c></row>`, "1: 2:4"},
		{"numeric references and other quotes", `<row r='1'><c r='A1' t='str'><v>&#65;&#x42;&gt;</v></c></row>`, "1:AB>"},
		{"comment and CDATA, by the second walk", `<!-- x --><row r="1"><c r="A1" t="str"><v><![CDATA[a<b]]></v></c></row>`, "1:a<b"},
		{"lower case reference", `<row r="1"><c r="b1"><v>1</v></c></row>`, "1:|1"},
		{"last cell of a sheet", `<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>`, "1048576:" + strings.Repeat("|", 16383) + "1"},
		{"letters beyond ASCII", `<row r="1"><c r="A1" t="str"><v>Ångström 起重机</v></c></row>`, "1:Ångström 起重机"},
		{"no rows", ``, ""},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			got, _, err := both(t, sheetXML(c.rows))
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
}

func TestSheetsThatAreRefused(t *testing.T) {
	cases := []struct {
		rule, rows string
		kind       Kind
		says       string
	}{
		{"row after a higher one", `<row r="3"/><row r="1"/>`, Disordered, "row 1 follows row 3"},
		{"same row twice", `<row r="3"/><row r="3"/>`, Disordered, "row 3 follows row 3"},
		{"cell after a later column", `<row r="1"><c r="C1"><v>1</v></c><c r="A1"><v>2</v></c></row>`, Disordered, "A1"},
		{"cell twice", `<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row>`, Disordered, "A1"},
		{"cell of another row", `<row r="1"><c r="A7"><v>1</v></c></row>`, Disordered, "A7"},
		{"row past the last", `<row r="1048577"/>`, Damaged, "1048577"},
		{"row number that is none", `<row r="one"/>`, Damaged, "one"},
		{"column past the last", `<row r="1"><c r="XFE1"><v>1</v></c></row>`, Damaged, "XFE1"},
		{"cells run past the last column", `<row r="1"><c r="XFD1"/><c/></row>`, Damaged, "16384"},
		{"reference with dollar signs", `<row r="1"><c r="$A$1"><v>1</v></c></row>`, Damaged, "$A$1"},
		{"shared string that does not exist", `<row r="1"><c r="A1" t="s"><v>3</v></c></row>`, Damaged, "shared string"},
		{"shared string that is no number", `<row r="1"><c r="A1" t="s"><v>x</v></c></row>`, Damaged, "index"},
		{"cell type that is none", `<row r="1"><c r="A1" t="q"><v>3</v></c></row>`, Damaged, `"q"`},
		{"style that is no number", `<row r="1"><c r="A1" s="x"><v>3</v></c></row>`, Damaged, "style"},
		{"formula attribute out of form", `<row r="1"><c r="A1"><f ca="maybe">1</f><v>3</v></c></row>`, Damaged, "maybe"},
		{"two values", `<row r="1"><c r="A1"><v>3</v><v>4</v></c></row>`, Damaged, "two <v>"},
		{"inline string in a number", `<row r="1"><c r="A1"><is><t>x</t></is></c></row>`, Damaged, "inline string"},
		{"two texts in an inline string", `<row r="1"><c r="A1" t="inlineStr"><is><t>x</t><t>y</t></is></c></row>`, Damaged, "twice"},
		{"text between cells", `<row r="1">lost<c r="A1"><v>3</v></c></row>`, Damaged, "lost"},
		{"cell outside a row", `<c r="A1"><v>3</v></c>`, Damaged, "<c>"},
		{"row in a row", `<row r="1"><row r="2"/></row>`, Damaged, "<row>"},
		{"unclosed cell", `<row r="1"><c r="A1"><v>1</v></row><row r="2"/>`, Damaged, "</row>"},
		{"entity of a web page", `<row r="1"><c r="A1" t="str"><v>a&nbsp;b</v></c></row>`, Damaged, "cell A1: XML syntax error on line 2: invalid character entity &nbsp;"},
		{"control character", "<row r=\"1\"><c r=\"A1\" t=\"str\"><v>a\x0bb</v></c></row>", Damaged, "U+000B"},
		{"bytes that are not UTF-8", "<row r=\"1\"><c r=\"A1\" t=\"str\"><v>a\xffb</v></c></row>", Damaged, "UTF-8"},
		{"attribute twice", `<row r="1" r="2"><c r="A1"><v>1</v></c></row>`, Damaged, "twice"},
		{"reference without letters", `<row r="1"><c r="1"><v>1</v></c></row>`, Damaged, `cell reference "1"`},
		{"element in a cell that is none of its own", `<row r="1"><c r="A1"><x/><v>1</v></c></row>`, Damaged, "<x> in a cell of row 1"},
		{"shared formula without a number", `<row r="1"><c r="A1"><f si="x"/><v>1</v></c></row>`, Damaged, `formula attribute si="x"`},
		{"inline string and a value", `<row r="1"><c r="A1" t="inlineStr"><is><t>x</t></is><v>1</v></c></row>`, Damaged, "an inline string in a cell of another type"},
		{"attribute of a cell twice", `<row r="1"><c r="A1" t="n" t="s"><v>1</v></c></row>`, Damaged, `attribute "t" stands twice`},
		{"element in a value", `<row r="1"><c r="A1"><v>1<x/></v></c></row>`, Damaged, "<x> inside a value of row 1"},
		{"element in a formula", `<row r="1"><c r="A1"><f><x/></f></c></row>`, Damaged, "<x> inside a value of row 1"},
		{"rows run past the last", `<row r="1048576"/><row/>`, Damaged, "row number 1048577"},
		{"row number 0", `<row r="0"/>`, Damaged, `row number "0"`},
		{"row number that wraps around to 1", `<row r="18446744073709551617"/>`, Damaged, `row number "18446744073709551617"`},
		{"attribute that is neither yes nor no", `<row r="1" hidden="perhaps"/>`, Damaged, `attribute hidden="perhaps" is neither 0 nor 1`},
		{"shared string of blanks", `<row r="1"><c r="A1" t="s"><v> </v></c></row>`, Damaged, `shared string "" does not exist`},
		{"shared string that wraps around to the first", `<row r="1"><c r="A1" t="s"><v>18446744073709551616</v></c></row>`, Damaged, "does not exist, there are 3"},
		{"row data end and begin again", `<row r="1"/></sheetData><sheetData><row r="2"/>`, Damaged, "second"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, _, err := both(t, sheetXML(c.rows))
			wantFault(t, err, c.kind, c.says, `sheet "Units"`)
		})
	}
}

func TestDocumentsThatAreRefused(t *testing.T) {
	good := sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row>`)
	cases := []struct{ rule, xml, says string }{
		{"cut anywhere", good[:len(good)-30], "unexpected EOF"},
		{"nothing but white space", " \n", "ends before"},
		{"no sheet data", strings.NewReplacer("<sheetData>", "<x>", "</sheetData>", "</x>").Replace(good), "<row> at a wrong place"},
		{"another root", "<chartsheet/>", "chartsheet"},
		{"no place for rows", header + `<worksheet xmlns="` + mainNS + `"></worksheet>`, "no <sheetData>: its rows are lost"},
		{"row before the rows", strings.Replace(good, "<sheetData>", `<row r="1"/><sheetData>`, 1), "<row> at a wrong place"},
		{"500 elements deep behind the rows", strings.Replace(good, "</worksheet>", "<extLst>"+strings.Repeat("<a>", 500)+strings.Repeat("</a>", 500)+"</extLst></worksheet>", 1), "nested more than 500 deep"},
		{"two roots", good + "<worksheet/>", "second root"},
		{"entity declarations", strings.Replace(good, "<worksheet", `<!DOCTYPE x [<!ENTITY a "b">]><worksheet`, 1), `it declares a document type or entities, "DOCTYPE x [<!ENTITY ", which a workbook may not (line 2 of the XML)`},
		{"another encoding", strings.Replace(good, "UTF-8", "ISO-8859-1", 1), "encoding"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, _, err := both(t, c.xml)
			wantFault(t, err, Damaged, c.says, `sheet "Units"`)
		})
	}
	for cut := len(header) + 1; cut < len(good); cut += 7 {
		_, _, err := both(t, good[:cut])
		require.ErrorIs(t, err, Damaged, "cut after %d bytes", cut)
	}
}

func TestCountsOfASheet(t *testing.T) {
	_, s, err := both(t, sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row><row r="2" hidden="1"><c r="A2"><v>1</v></c></row><row r="3" hidden="true"/><row r="4"><c r="A4"><f>A1</f></c><c r="B4"><f>A1</f><v>1</v></c></row>`))
	require.NoError(t, err)
	require.Equal(t, Sheet{Name: "Units", Rows: 3, Blank: 1, HiddenRows: 1, Formulas: 1, part: "xl/worksheets/sheet1.xml", read: true, cells: 3, text: 3, last: 4}, s)
}

// TestAnchorsAfterTheRowsAreNoRows: excelize takes <xdr:row> of a form's anchor for a
// row.
func TestAnchorsAfterTheRowsAreNoRows(t *testing.T) {
	xml := strings.Replace(sheetXML(`<row r="1"><c r="A1"><v>1</v></c></row>`), "</sheetData>",
		`</sheetData><controls><anchor><from><xdr:row xmlns:xdr="x">5</xdr:row></from></anchor></controls>`, 1)
	got, _, err := both(t, xml)
	require.NoError(t, err)
	require.Equal(t, "1:1", got)
}

// TestEndlessTextIsNotHeldInMemory: a small file may expand to one text of gigabytes.
// It is told of with its cell, what stands in it and the limit; the limit can be raised.
func TestEndlessTextIsNotHeldInMemory(t *testing.T) {
	long := strings.Repeat("Teal ", 9<<20/5)
	cell := func(text string) string {
		return `<row r="3"><c r="B3" t="inlineStr"><is><t>` + text + "</t></is></c></row>"
	}
	for _, c := range []struct{ rule, rows, says string }{
		{"between the rows", strings.Repeat(" ", 9<<20), `before the first row: bytes of a single text or tag, in which "                    " stands, are over the limit of 8388608 (job file: limits.record_bytes)`},
		{"a comment", `<row r="7"/><!--` + long + "-->", "in or after row 7: bytes of a single text or tag, in which "},
		{"a cell", cell(long), `bytes of text in row 3 are over the limit of 8388608 (job file: limits.record_bytes); cell B3 begins with "Teal Teal Teal Teal "`},
		{"a cell's attribute", `<row r="3"><c r="B3" x="` + long + `"/></row>`, "in or after row 3: bytes of a single text or tag, in which "},
	} {
		_, _, err := both(t, sheetXML(c.rows))
		wantFault(t, err, TooLarge, c.says, "limits.record_bytes")
		require.Less(t, len(err.Error()), 500, c.rule)
		if strings.Contains(c.rows, "Teal") {
			require.Contains(t, err.Error(), "Teal Teal", c.rule)
		}
	}
	_, lines, err := readBytes(t, zipOf(t, bookParts(sheetXML(cell(long)))), Options{Limits: Limits{RecordBytes: 16 << 20}})
	require.NoError(t, err)
	require.True(t, text(lines) == "3:|"+long, "what the job allows is read whole")
}

func TestPrefixedAndMarkedDocument(t *testing.T) {
	xml := "\xEF\xBB\xBF" + `<?xml version="1.0"?><x:worksheet xmlns:x="` + mainNS + `"><x:sheetData><x:row r="1"><x:c r="A1"><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>`
	got, _, err := both(t, xml)
	require.NoError(t, err)
	require.Equal(t, "1:1", got)
}

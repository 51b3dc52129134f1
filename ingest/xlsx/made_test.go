package xlsx

import (
	"fmt"
	"math/rand/v2"
	"strings"
)

// maker makes small workbooks at random, in all the ways in which programs write
// them and some in which none should.
type maker struct {
	r *rand.Rand
	b strings.Builder

	prefix string // of every element: "" or "x:"
	pretty bool   // white space between the tags
	odd    bool   // comments, instructions and CDATA here and there
	refs   bool   // rows and cells say where they are, mostly
	texts  int    // shared strings
	row    int
}

// one tells, once in n times.
func (m *maker) one(n int) bool { return m.r.IntN(n) == 0 }

func pick[T any](m *maker, list ...T) T { return list[m.r.IntN(len(list))] }

// madeBook is workbook number seed.
func madeBook(seed uint64) []part {
	m := &maker{r: rand.New(rand.NewPCG(seed, 7))}
	m.pretty, m.odd, m.refs = m.one(4), m.one(5), !m.one(5)
	sst := m.strings()
	sheet := m.sheet()
	if m.one(8) {
		sheet = m.damaged(sheet)
	}
	if m.one(60) {
		sst = m.damaged(sst)
	}
	parts := replaced(replaced(bookParts(sheet), "xl/sharedStrings.xml", sst), "", "")
	if m.one(6) { // ECMA-376 part 1, the strict form
		strict := strings.NewReplacer(mainNS, "http://purl.oclc.org/ooxml/spreadsheetml/main", relNS, "http://purl.oclc.org/ooxml/officeDocument/relationships")
		for i := range parts {
			parts[i].data = strict.Replace(parts[i].data)
		}
	}
	return parts
}

// damaged cuts or changes a document somewhere.
func (m *maker) damaged(doc string) string {
	i := m.r.IntN(len(doc))
	switch m.r.IntN(5) {
	case 0:
		return doc[:i]
	case 1:
		return doc[:i] + doc[min(len(doc), i+1+m.r.IntN(3)):]
	case 2:
		return doc[:i] + pick(m, "&nbsp;", "\x0b", "\xff", "<", ">", "&", `"`, "9", "x", "</v>", "]]>") + doc[i:]
	case 3:
		return doc + pick(m, "<x/>", "lost", "<!-- end -->", "\n")
	}
	return strings.Replace(doc, `r="`, `r="`+pick(m, "1", "0", "A", "99999999"), 1)
}

// start writes the declaration and an open tag of the root.
func (m *maker) start(root string) {
	m.b.Reset()
	m.prefix = pick(m, "", "", "", "", "x:")
	m.b.WriteString(pick(m, "", "", "", "", "\xEF\xBB\xBF"))
	m.b.WriteString(pick(m, header, header, `<?xml version="1.0"?>`, `<?xml version='1.0' encoding='utf-8'?>`, ""))
	if m.one(80) {
		m.b.Reset()
		m.b.WriteString(pick(m, `<?xml version="1.0" encoding="UTF-16"?>`, `<?xml version="1.0" encoding="ISO-8859-1"?>`))
	}
	ns := ` xmlns="` + mainNS + `"`
	if m.prefix != "" {
		ns = ` xmlns:x="` + mainNS + `"`
	}
	m.open(root, ns)
}

func (m *maker) open(name, attrs string) {
	m.gap()
	m.b.WriteString("<" + m.prefix + name + attrs + pick(m, "", "", "", " ") + ">")
}

func (m *maker) close(name string) {
	space := ""
	if m.odd && m.one(6) {
		space = " "
	}
	m.b.WriteString("</" + m.prefix + name + space + ">")
}

func (m *maker) empty(name, attrs string) {
	m.gap()
	m.b.WriteString("<" + m.prefix + name + attrs + pick(m, "/>", " />", "></"+m.prefix+name+">"))
}

// gap is what may stand between tags without meaning.
func (m *maker) gap() {
	if m.pretty {
		m.b.WriteString(pick(m, "\n", "\n  ", "\r\n\t", " "))
	}
	if m.odd && m.one(12) {
		m.b.WriteString(pick(m, "<!-- a note -->", "<?mso keep?>", "<!---->"))
	}
}

// words writes the text of an element.
func (m *maker) words() {
	for range m.r.IntN(4) {
		if m.odd && m.one(6) {
			m.b.WriteString(pick(m, "<![CDATA[a<b & c]]>", "<!-- in a text -->", "<![CDATA[]]>", "<?mso x?>"))
			continue
		}
		m.b.WriteString(pick(m, "pump knocks", "when hot", "00123", " ", "  ", "\n", "\r\n", "\r", "\t", "&amp;", "&lt;b&gt;", "&quot;", "&apos;", "&#65;", "&#x2019;", "&#13;", "&#10;",
			"Ångström", "起重机", "\U0001F69A", "_x000D_", "_x000d_", "_x005F_x000D_", "_xD83D_", "_x00e9_", "_x12_", "_x", "a_x0041_b", "12,5", "#N/A", "]]", "e\u0301", "\u00a0", "\u200b", "'", `"`))
	}
}

func (m *maker) text() {
	m.b.WriteString("<" + m.prefix + "t" + pick(m, "", "", ` xml:space="preserve"`, ` xml:space='default'`) + ">")
	m.words()
	m.close("t")
}

// rich is the inside of si and is: a text, runs, guides, in any order.
func (m *maker) rich() {
	switch m.r.IntN(8) {
	case 0:
		m.empty("t", "")
		return
	case 1:
		return
	case 2, 3, 4:
		m.gap()
		m.text()
		return
	}
	own := m.r.IntN(8) // where a text outside the runs stands
	for i := range 1 + m.r.IntN(3) {
		if i == own {
			m.text()
		}
		m.open("r", "")
		if m.one(2) {
			m.b.WriteString("<" + m.prefix + "rPr><" + m.prefix + "b/><" + m.prefix + `sz val="9"/></` + m.prefix + "rPr>")
		}
		if !m.one(6) {
			m.gap()
			m.text()
		}
		m.close("r")
	}
	if m.one(3) {
		m.open("rPh", ` sb="0" eb="1"`)
		m.text()
		m.close("rPh")
		m.empty("phoneticPr", ` fontId="1"`)
	}
	if own == 7 {
		m.text()
	}
}

// strings is the part of shared strings.
func (m *maker) strings() string {
	m.start("sst")
	m.texts = 1 + m.r.IntN(6)
	for range m.texts {
		m.open("si", "")
		m.rich()
		m.close("si")
	}
	m.gap()
	m.close("sst")
	return m.b.String()
}

// sheet is the part of the worksheet.
func (m *maker) sheet() string {
	m.start("worksheet")
	m.empty("dimension", ` ref="`+pick(m, "A1", "A1:XFD1048576", "C3:D4")+`"`)
	m.row = 0
	if m.one(20) {
		m.empty("sheetData", "")
	} else {
		m.open("sheetData", "")
		for range m.r.IntN(7) {
			m.oneRow()
		}
		m.gap()
		m.close("sheetData")
	}
	if m.one(4) {
		m.b.WriteString(pick(m, `<mergeCells count="1"><mergeCell ref="A1:B1"/></mergeCells>`, `<controls><anchor><from><xdr:row xmlns:xdr="x">5</xdr:row></from></anchor></controls>`,
			`<extLst><ext><row r="1"/></ext></extLst>`, `<pageMargins left="0.7"/>`))
	}
	m.gap()
	m.close("worksheet")
	return m.b.String()
}

func (m *maker) oneRow() {
	m.row++
	attrs := ""
	if m.refs || m.one(2) {
		m.row += m.r.IntN(3)
		attrs = fmt.Sprintf(` r="%d"`, m.row)
	}
	attrs += pick(m, "", "", ` hidden="1"`, ` hidden="true"`, ` hidden="0"`, ` spans="1:9"`, ` ht="15.5" customHeight="1"`, ` s="1" customFormat="1"`, ` y:dyDescent="0.3"`)
	if m.one(8) {
		m.empty("row", attrs)
		return
	}
	m.open("row", attrs)
	column := 0
	for range m.r.IntN(6) {
		column++
		at := ""
		if m.refs || m.one(2) {
			column += m.r.IntN(3)
			at = fmt.Sprintf(` r=%[1]s%c%d%[1]s`, pick(m, `"`, `"`, `'`), pick(m, 'A', 'A', 'A', 'a')+int32(column-1), m.row)
		}
		m.cell(at + pick(m, "", "", ` s="0"`, ` s="1"`, ` cm="1"`))
	}
	m.gap()
	m.close("row")
}

// cell writes one cell of any type.
func (m *maker) cell(attrs string) {
	kind := pick(m, "", "", "n", "s", "s", "s", "str", "b", "e", "d", "inlineStr", "inlineStr")
	if kind != "" {
		attrs += ` t="` + kind + `"`
	}
	if m.one(7) {
		m.empty("c", attrs)
		return
	}
	m.open("c", attrs)
	if kind != "inlineStr" && m.one(4) {
		m.open("f", pick(m, "", "", ` ca="1"`, ` t="shared" si="0"`, ` t="shared" ref="A1:A3" si="0"`, ` t="array" ref="A1" aca="false"`))
		m.b.WriteString(pick(m, "A1*2", "SUM(A1:B2)", `IF(A1&gt;1,"a","b")`, ""))
		m.close("f")
		if m.one(3) {
			m.close("c")
			return
		}
	}
	m.value(kind)
	if m.one(30) {
		m.b.WriteString(`<extLst><ext uri="x"/></extLst>`)
	}
	m.gap()
	m.close("c")
}

func (m *maker) value(kind string) {
	if kind == "inlineStr" && !m.one(10) {
		m.open("is", "")
		m.rich()
		m.close("is")
		return
	}
	if m.one(12) {
		m.empty("v", "")
		return
	}
	m.open("v", pick(m, "", "", "", ` xml:space="preserve"`))
	switch kind {
	case "s":
		i := m.r.IntN(max(m.texts, 1))
		if m.one(60) {
			i = m.texts // there is none
		}
		fmt.Fprintf(&m.b, pick(m, "%d", "%d", "%d", " %d ", "0%d"), i)
	case "b":
		m.b.WriteString(pick(m, "0", "1", "true"))
	case "e":
		m.b.WriteString(pick(m, "#N/A", "#DIV/0!", "#REF!"))
	case "d":
		m.b.WriteString(pick(m, "2026-11-25", "2026-11-25T07:30:00"))
	case "str", "inlineStr":
		m.words()
	default:
		m.b.WriteString(pick(m, "12", "123456.7", "0.30000000000000004", "1.2345678901234501E16", "-5", "45000", "1E5", " 7 ", "00123"))
	}
	m.close("v")
}

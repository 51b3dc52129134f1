package xlsx

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"

	"pitlist/score/say"
)

// longestName is the most bytes that a sheet's name may have; the programs allow
// 31 characters.
const longestName = 1000

// tab is a worksheet as the workbook part lists it.
type tab struct {
	name   string
	part   string // name of its part in the zip
	hidden bool
}

// bookPart is what the workbook part tells.
type bookPart struct {
	part  string // its own name
	tabs  []tab
	notes []say.Text
}

// The shapes of the two parts that lead to the sheets. Names without a namespace
// match both the transitional and the strict form (ECMA-376 parts 1 and 4).
type (
	xmlRels struct {
		Rels []xmlRel `xml:"Relationship"`
	}
	xmlRel struct {
		ID     string `xml:"Id,attr"`
		Type   string `xml:"Type,attr"`
		Target string `xml:"Target,attr"`
	}
	xmlBook struct {
		XMLName xml.Name
		Props   []struct{} `xml:"workbookPr"`
		Sheets  []struct {
			Name  string     `xml:"name,attr"`
			State string     `xml:"state,attr"`
			Attrs []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
)

// workbook finds the workbook part and the worksheets it lists.
func (a *archive) workbook() (bookPart, error) {
	name, err := a.workbookName()
	if err != nil {
		return bookPart{}, err
	}
	var book xmlBook
	if err := a.decode(name, &book); err != nil {
		return bookPart{}, err
	}
	if book.XMLName.Local != "workbook" {
		return bookPart{}, fault(NotWorkbook, a.path, say.F("part %s is no workbook", short(name)), nil)
	}
	if len(book.Props) > 1 { // the date system stands in it
		return bookPart{}, fault(Damaged, a.path, say.F("part %s: two elements that give its date system", short(name)), nil)
	}
	if int64(len(book.Sheets)) > a.limits.Parts {
		return bookPart{}, asFault(a.path, "", "", overLimit(say.F("sheets of the file are over the limit of %d (job file: %s)", a.limits.Parts, "limits.parts")))
	}
	rels, err := a.rels(relsOf(name))
	if err != nil {
		return bookPart{}, err
	}
	if err := a.onlyStrings(name, rels); err != nil {
		return bookPart{}, err
	}
	return a.tabs(name, &book, rels)
}

// relsOf names the part that holds a part's relationships: ECMA-376 part 2, 6.5.3.
func relsOf(name string) string { return path.Join(path.Dir(name), "_rels", path.Base(name)+".rels") }

// workbookName follows the root relationships, and says what else the file may be.
func (a *archive) workbookName() (string, error) {
	has := func(name string) bool { return a.parts[name] != nil }
	switch {
	case has("mimetype") && has("content.xml"):
		return "", fault(OpenDocument, a.path, say.F("this is an OpenDocument spreadsheet (.ods), whatever its name says"), nil)
	case has("xl/workbook.bin"):
		return "", fault(Binary, a.path, say.F("this is a binary workbook (.xlsb), whatever its name says"), nil)
	case !has(rootRels) && has("xl/workbook.xml"):
		return "", fault(Damaged, a.path, say.F("part %s is missing", rootRels), nil)
	case !has(rootRels):
		return "", fault(NotWorkbook, a.path, say.F("this is a zip file, but no workbook"), nil)
	}
	rels, err := a.rels(rootRels)
	if err != nil {
		return "", err
	}
	name := ""
	for _, r := range rels {
		if !strings.HasSuffix(r.Type, "/officeDocument") {
			continue
		}
		if name != "" {
			return "", fault(Damaged, a.path, say.F("it says twice which part is its workbook"), nil)
		}
		if name = target("", r.Target); !has(name) {
			return "", fault(Damaged, a.path, say.F("part %s is missing", short(name)), nil)
		}
	}
	if name == "" {
		return "", fault(NotWorkbook, a.path, say.F("this is a zip file, but no workbook"), nil)
	}
	return name, nil
}

// onlyStrings refuses shared strings at another place than the usual: there is
// where they are looked for, and what stands there may be other strings.
func (a *archive) onlyStrings(book string, rels map[string]xmlRel) error {
	for _, r := range rels {
		if part := target(book, r.Target); path.Base(r.Type) == "sharedStrings" && partName(part) != stringsPart {
			return fault(Damaged, a.path, say.F("its shared strings stand in part %s, where none are read", short(part)), nil)
		}
	}
	return nil
}

// rels reads a part of relationships, by their identifier.
func (a *archive) rels(name string) (map[string]xmlRel, error) {
	var list xmlRels
	if err := a.decode(name, &list); err != nil {
		return nil, err
	}
	byID := make(map[string]xmlRel, len(list.Rels))
	for _, r := range list.Rels {
		if _, twice := byID[r.ID]; twice {
			return nil, fault(Damaged, a.path, say.F("part %s: two relationships are called %s", short(name), quoted(r.ID)), nil)
		}
		byID[r.ID] = r
	}
	return byID, nil
}

// decode reads a small XML part into v.
func (a *archive) decode(name string, v any) error {
	data, err := a.bytes(name)
	if err != nil {
		return err
	}
	if err := onlyOnce(data); err != nil {
		return asFault(a.path, "", name, err)
	}
	if err := xml.NewDecoder(bytes.NewReader(data)).Decode(v); err != nil {
		return fault(Damaged, a.path, say.F("part %s", short(name)), err)
	}
	return nil
}

// twice names an attribute that stands twice; "" if none does.
func twice(attrs []xml.Attr) string {
	seen := make(map[xml.Name]bool, len(attrs))
	for _, at := range attrs {
		if seen[at.Name] {
			return at.Name.Local
		}
		seen[at.Name] = true
	}
	return ""
}

// onlyOnce walks a small part to its end for what encoding/xml does not mind and
// readers take differently: declarations of entities, an attribute twice, a second root.
func onlyOnce(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	depth, roots := 0, 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.Directive:
			return atLine(declares(t), d)
		case xml.StartElement:
			if depth++; depth == 1 {
				roots++
			}
			if roots > 1 {
				return atLine(damaged(say.F("a second root element <%s>", short(t.Name.Local))), d)
			}
			if depth > maxDepth {
				return atLine(tooDeep(), d)
			}
			if name := twice(t.Attr); name != "" {
				return atLine(damaged(say.F("attribute %s stands twice", quoted(name))), d)
			}
		case xml.EndElement:
			depth--
		}
	}
}

// tabs resolves the listed sheets. Each must lead to a part: excelize leaves out a
// sheet whose part is missing, without a word.
func (a *archive) tabs(bookName string, book *xmlBook, rels map[string]xmlRel) (bookPart, error) {
	out := bookPart{part: bookName}
	if len(book.Sheets) == 0 {
		return out, fault(Damaged, a.path, say.F("it lists no sheet"), nil)
	}
	names, parts := map[string]bool{}, map[string]bool{}
	for _, s := range book.Sheets {
		bad := func(text say.Text) (bookPart, error) {
			f := fault(Damaged, a.path, text, nil)
			f.Sheet = s.Name
			return bookPart{}, f
		}
		if len(s.Name) > longestName {
			return bad(say.F("its name has %d bytes", len(s.Name)))
		}
		if low := strings.ToLower(s.Name); names[low] {
			return bad(say.F("two sheets have this name"))
		} else {
			names[low] = true
		}
		rel, ok := rels[relationID(s.Attrs)]
		if !ok {
			return bad(say.F("the workbook does not say where its data are"))
		}
		if kind := path.Base(rel.Type); kind != "worksheet" {
			out.notes = append(out.notes, say.F("sheet %s is left out: it is a %s, not a worksheet", quoted(s.Name), short(kind)))
			continue
		}
		part := target(bookName, rel.Target)
		if a.parts[part] == nil {
			return bad(say.F("its part %s is missing", short(part)))
		}
		if parts[part] {
			return bad(say.F("its part %s belongs to another sheet too", short(part)))
		}
		parts[part] = true
		out.tabs = append(out.tabs, tab{s.Name, part, s.State == "hidden" || s.State == "veryHidden"})
	}
	return out, nil
}

// relationID picks r:id among a sheet's attributes; the namespace has two forms.
func relationID(attrs []xml.Attr) string {
	for _, at := range attrs {
		if at.Name.Local == "id" && strings.HasSuffix(at.Name.Space, "/relationships") {
			return at.Value
		}
	}
	return ""
}

// target resolves a relationship's target against the part that states it.
func target(from, to string) string {
	to = strings.ReplaceAll(to, "\\", "/")
	if strings.HasPrefix(to, "/") {
		return strings.TrimPrefix(path.Clean(to), "/")
	}
	return strings.TrimPrefix(path.Join(path.Dir(from), to), "/")
}

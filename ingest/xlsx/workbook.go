package xlsx

import (
	"bytes"
	"encoding/xml"
	"path"
	"strings"

	"pitlist/score/say"
)

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
		return bookPart{}, fault(NotWorkbook, a.path, say.F("part %s is no workbook", name), nil)
	}
	rels, err := a.rels(relsOf(name))
	if err != nil {
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
	for _, r := range rels {
		if strings.HasSuffix(r.Type, "/officeDocument") {
			name := strings.TrimPrefix(r.Target, "/")
			if !has(name) {
				return "", fault(Damaged, a.path, say.F("part %s is missing", name), nil)
			}
			return name, nil
		}
	}
	return "", fault(NotWorkbook, a.path, say.F("this is a zip file, but no workbook"), nil)
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
			return nil, fault(Damaged, a.path, say.F("part %s: two relationships are called %s", name, quoted(r.ID)), nil)
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
	if err := xml.NewDecoder(bytes.NewReader(data)).Decode(v); err != nil {
		return fault(Damaged, a.path, say.F("part %s", name), err)
	}
	return nil
}

// tabs resolves the listed sheets. Each must lead to a part: excelize leaves out a
// sheet whose part is missing, without a word.
func (a *archive) tabs(bookName string, book *xmlBook, rels map[string]xmlRel) (bookPart, error) {
	out := bookPart{part: bookName}
	names, parts := map[string]bool{}, map[string]bool{}
	for _, s := range book.Sheets {
		bad := func(text say.Text) (bookPart, error) {
			f := fault(Damaged, a.path, text, nil)
			f.Sheet = s.Name
			return bookPart{}, f
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
			out.notes = append(out.notes, say.F("sheet %s is left out: it is a %s, not a worksheet", quoted(s.Name), kind))
			continue
		}
		part := target(bookName, rel.Target)
		if a.parts[part] == nil {
			return bad(say.F("its part %s is missing", part))
		}
		if parts[part] {
			return bad(say.F("its part %s belongs to another sheet too", part))
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

package main

import (
	"archive/zip"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// written is a text of an output with the place where it stands.
type written struct {
	at     string // "out/2026-11-23/pitlist.xlsx, Inspect first!C4"
	text   string
	number bool // of a cell
}

// sentences are the columns of the CSV files that hold words for people. All
// others hold numbers, what the inputs say, and values for programs.
var sentences = map[string][]string{
	"worklist.csv":     {"odometer_basis", "change", "why"},
	"findings.csv":     {"membership_reason", "evidence"},
	"other_checks.csv": {"reason", "check"},
	"rejected.csv":     {"reason", "suggestion"},
	"vins.csv":         {"country", "suggestion"},
	"odometer.csv":     {"basis", "detail"},
}

// outputs reads every text for people that stands in the files of a run or a
// study.
func outputs(t *testing.T, dir string) (out []written) {
	t.Helper()
	short := filepath.Base(filepath.Dir(dir)) + "/" + filepath.Base(dir) + "/"
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range files {
		path, at := filepath.Join(dir, f.Name()), short+f.Name()
		switch {
		case filepath.Ext(path) == ".xlsx":
			out = append(out, workbookTexts(t, path, at)...)
		case filepath.Ext(path) == ".txt":
			for _, paragraph := range strings.Split(string(mustRead(t, path)), "\n\n") {
				out = append(out, written{at: at, text: paragraph})
			}
		case f.Name() == runRecord:
			out = append(out, runTexts(t, path, at)...)
		default:
			out = append(out, tableTexts(t, path, at, sentences[f.Name()])...)
		}
	}
	return out
}

// tableTexts reads some columns of a CSV file.
func tableTexts(t *testing.T, path, at string, columns []string) (out []written) {
	t.Helper()
	if len(columns) == 0 {
		return nil
	}
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, c := range columns {
		i := slices.Index(rows[0], c)
		require.GreaterOrEqual(t, i, 0, "%s has no column %s", path, c)
		for _, r := range rows[1:] {
			out = append(out, written{at: at + ", " + c, text: r[i]})
		}
	}
	return out
}

// runTexts reads the sentences of run.json.
func runTexts(t *testing.T, path, at string) (out []written) {
	t.Helper()
	var run struct {
		Warnings []string
		Week     struct{ Gone []struct{ Why string } }
	}
	require.NoError(t, json.Unmarshal(mustRead(t, path), &run))
	for _, s := range run.Warnings {
		out = append(out, written{at: at + ", warnings", text: s})
	}
	for _, g := range run.Week.Gone {
		out = append(out, written{at: at + ", gone", text: g.Why})
	}
	return out
}

// workbookTexts reads whatever of a workbook people see: cells, sheet names,
// charts, drop-downs and their messages, heads and feet of pages, properties,
// words in number formats. It reads the parts themselves, so that nothing is
// missed that a library does not show.
func workbookTexts(t *testing.T, path, at string) (out []written) {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer z.Close()
	shared, sheets := sharedStrings(t, &z.Reader), sheetNames(t, &z.Reader)
	for _, part := range z.File {
		if filepath.Ext(part.Name) != ".xml" || part.Name == "xl/sharedStrings.xml" || strings.HasPrefix(part.Name, "xl/theme/") {
			continue
		}
		in, err := part.Open()
		require.NoError(t, err)
		for _, w := range partTexts(t, in, shared) {
			w.at = at + ", " + cmp.Or(sheets[part.Name], part.Name) + w.at
			out = append(out, w)
		}
		require.NoError(t, in.Close())
	}
	return out
}

// sheetNames maps the parts that are sheets to the names on their tabs.
func sheetNames(t *testing.T, z *zip.Reader) map[string]string {
	t.Helper()
	f, err := z.Open("xl/workbook.xml")
	require.NoError(t, err)
	defer f.Close()
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
		} `xml:"sheets>sheet"`
	}
	require.NoError(t, xml.NewDecoder(f).Decode(&book))
	out := map[string]string{}
	for i, s := range book.Sheets {
		out[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = s.Name
	}
	return out
}

// seen are the attributes that a person reads: of sheets, messages of
// drop-downs, links, columns of tables.
var seen = map[string][]string{
	"sheet":          {"name"},
	"dataValidation": {"promptTitle", "prompt", "errorTitle", "error"},
	"hyperlink":      {"display", "tooltip"},
	"tableColumn":    {"name"},
}

// spoken are the elements whose text a person reads.
var spoken = []string{"t", "title", "subject", "description", "keywords", "category", "creator", "lpstr", "lastModifiedBy"}

// partTexts reads the texts of one part of a workbook.
func partTexts(t *testing.T, in io.Reader, shared []string) (out []written) {
	t.Helper()
	d := xml.NewDecoder(in)
	var at, kind string // of the cell
	var open []string
	var text strings.Builder
	for {
		token, err := d.Token()
		if err == io.EOF {
			return out
		}
		require.NoError(t, err)
		switch x := token.(type) {
		case xml.StartElement:
			open = append(open, x.Name.Local)
			text.Reset()
			for _, a := range x.Attr {
				switch {
				case x.Name.Local == "c" && a.Name.Local == "r":
					at = "!" + a.Value
				case x.Name.Local == "c" && a.Name.Local == "t":
					kind = a.Value
				case slices.Contains(seen[x.Name.Local], a.Name.Local):
					out = append(out, written{at: " " + x.Name.Local + " " + a.Name.Local, text: a.Value})
				case x.Name.Local == "numFmt" && a.Name.Local == "formatCode":
					out = append(out, written{at: " number format", text: strings.Join(quotedIn.FindAllString(a.Value, -1), " ")})
				}
			}
		case xml.CharData:
			text.Write(x)
		case xml.EndElement:
			w := endOf(x.Name.Local, open, text.String(), kind, shared)
			if number := x.Name.Local == "v" && kind == ""; number || w != "" {
				out = append(out, written{at, cmp.Or(w, text.String()), number})
			}
			if x.Name.Local == "c" {
				at, kind = "", ""
			}
			text.Reset()
			open = open[:len(open)-1]
		}
	}
}

// quotedIn finds the words of a number format.
var quotedIn = regexp.MustCompile(`"[^"]*"`)

// codesOfPage are those of sides, sizes and fields in the head or foot of a page.
var codesOfPage = regexp.MustCompile(`&(\d+|[A-Z])`)

// endOf is the text that a person reads of an element that ends; "" for none.
func endOf(name string, open []string, text, kind string, shared []string) string {
	within := func(parent string) bool { return len(open) > 1 && slices.Contains(open[:len(open)-1], parent) }
	switch {
	case strings.HasSuffix(name, "Header"), strings.HasSuffix(name, "Footer"):
		return codesOfPage.ReplaceAllString(text, " ")
	case slices.Contains(spoken, name):
		return text
	case name == "v" && kind == "s":
		n := 0
		for _, r := range text {
			n = 10*n + int(r-'0')
		}
		return shared[n]
	case name == "v" && (kind == "str" || within("strCache")):
		return text
	case strings.HasPrefix(name, "formula") && within("dataValidation"), name == "f":
		return strings.Join(quotedIn.FindAllString(text, -1), " ") // a list, or words of a formula
	}
	return ""
}

// sharedStrings are the texts that cells point to.
func sharedStrings(t *testing.T, z *zip.Reader) []string {
	t.Helper()
	f, err := z.Open("xl/sharedStrings.xml")
	if err != nil {
		return nil
	}
	defer f.Close()
	var table struct {
		SI []struct {
			T string   `xml:"t"`
			R []string `xml:"r>t"`
		} `xml:"si"`
	}
	require.NoError(t, xml.NewDecoder(f).Decode(&table))
	out := make([]string, len(table.SI))
	for i, s := range table.SI {
		out[i] = s.T + strings.Join(s.R, "")
	}
	return out
}

package demo

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
)

// firstRow is the spreadsheet's number of the first row of data.
func (t *table) firstRow() int { return len(t.titles) + 2 }

// planted lists the table's faults with the rows on which they ended up.
func (t *table) planted() []Planted {
	var out []Planted
	for i, r := range t.rows {
		if r.plant == nil {
			continue
		}
		p := *r.plant
		p.File, p.Sheet, p.Row = t.file, t.sheet, t.firstRow()+i
		if r.v != nil {
			p.Unit = r.v.unit
		}
		out = append(out, p)
	}
	return out
}

// encode makes the files; sheets of one file stand together in the list.
func encode(tables []*table) ([]File, error) {
	var out []File
	for i := 0; i < len(tables); {
		j := i + 1
		for j < len(tables) && tables[j].file == tables[i].file {
			j++
		}
		make := book
		if tables[i].style.csv != 0 {
			make = text
		}
		data, err := make(tables[i:j])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", tables[i].file, err)
		}
		out = append(out, File{tables[i].file, data})
		i = j
	}
	return out, nil
}

// book writes a workbook, one sheet a table.
func book(tables []*table) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	dated, err := f.NewStyle(&excelize.Style{NumFmt: 14})
	if err != nil {
		return nil, err
	}
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, err
	}
	if err := f.SetSheetName(f.GetSheetName(0), tables[0].sheet); err != nil {
		return nil, err
	}
	for _, t := range tables {
		if err := t.sheetInto(f, dated, bold); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		return nil, err
	}
	return inOrder(b.Bytes())
}

// inOrder puts the parts of a workbook into the order of their names: where
// several sheets are streamed, the library's order varies from time to time.
func inOrder(data []byte) ([]byte, error) {
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	slices.SortFunc(r.File, func(a, b *zip.File) int { return strings.Compare(a.Name, b.Name) })
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range r.File {
		if err := w.Copy(f); err != nil {
			return nil, err
		}
	}
	err = w.Close()
	return b.Bytes(), err
}

func (t *table) sheetInto(f *excelize.File, dated, bold int) error {
	if _, err := f.NewSheet(t.sheet); err != nil {
		return err
	}
	w, err := f.NewStreamWriter(t.sheet)
	if err != nil {
		return err
	}
	if err := w.SetColWidth(1, len(t.head), 21); err != nil {
		return err
	}
	if err := t.above(w, bold); err != nil {
		return err
	}
	for i, r := range t.rows {
		cells := make([]any, len(r.cells))
		for j, c := range r.cells {
			cells[j] = t.cell(c, dated)
		}
		at, _ := excelize.CoordinatesToCellName(1, t.firstRow()+i)
		if err := w.SetRow(at, cells, excelize.RowOpts{Hidden: r.hidden}); err != nil {
			return err
		}
	}
	return w.Flush()
}

// above writes the titles, each merged over the whole width, and the headings.
func (t *table) above(w *excelize.StreamWriter, bold int) error {
	for i, title := range t.titles {
		if title == "" {
			continue
		}
		at, _ := excelize.CoordinatesToCellName(1, i+1)
		to, _ := excelize.CoordinatesToCellName(len(t.head), i+1)
		if err := w.SetRow(at, []any{excelize.Cell{StyleID: bold, Value: title}}); err != nil {
			return err
		}
		if err := w.MergeCell(at, to); err != nil {
			return err
		}
	}
	cells := make([]any, len(t.head))
	for i, h := range t.head {
		cells[i] = excelize.Cell{StyleID: bold, Value: h}
	}
	at, _ := excelize.CoordinatesToCellName(1, len(t.titles)+1)
	return w.SetRow(at, cells)
}

// cell writes one value as the file does.
func (t *table) cell(c any, dated int) any {
	switch c := c.(type) {
	case day:
		if t.style.dates == "" {
			return excelize.Cell{StyleID: dated, Value: c.time()}
		}
		return c.time().Format(t.style.dates)
	case float64:
		if t.style.spaced && c >= 1000 && c < 1e9 {
			return spaced(c)
		}
	case string:
		if c == "" {
			return nil
		}
	}
	return c
}

// spaced writes a distance with a blank between thousands, as text.
func spaced(v float64) string {
	s := strconv.FormatFloat(v, 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// stray stands for a quotation mark that its program did not escape, as real
// exports have: a tyre of 19".
const stray = "¤"

// text writes a text file of one table.
func text(tables []*table) ([]byte, error) {
	t := tables[0]
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.Comma, w.UseCRLF = t.style.csv, true
	if err := w.Write(t.head); err != nil {
		return nil, err
	}
	for _, r := range t.rows {
		record := make([]string, len(r.cells))
		for i, c := range r.cells {
			record[i] = t.plain(c)
		}
		if err := w.Write(record); err != nil {
			return nil, err
		}
	}
	w.Flush()
	raw := bytes.ReplaceAll(b.Bytes(), []byte(stray), []byte(`"`))
	if !t.style.windows {
		return append([]byte("\ufeff"), raw...), w.Error()
	}
	return charmap.Windows1252.NewEncoder().Bytes(raw)
}

func (t *table) plain(c any) string {
	switch c := c.(type) {
	case day:
		return c.time().Format(t.style.dates)
	case float64:
		return strings.Replace(strconv.FormatFloat(c, 'f', -1, 64), ".", t.style.decimals, 1)
	case int:
		return strconv.Itoa(c)
	case string:
		return c
	}
	return ""
}

package xlsx

import (
	"bytes"
	"strconv"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
)

// place is where in a part the walk stands.
type place uint8

const (
	outside   place = iota // before the root, or after it
	inRoot                 // worksheet, sst
	inData                 // sheetData
	inRow                  // row
	inCell                 // c
	inValue                // v
	inFormula              // f
	inString               // is, si
	inRun                  // r of a rich text
	inText                 // t
	inOther                // anything without meaning here; its descendants too
)

// Bounds of a sheet: ECMA-376 part 1, 18.3.1.73 and 18.3.1.4 leave them open, the
// programs (and excelize) stop here.
const (
	maxRow    = 1_048_576
	maxColumn = 16_384
	maxDepth  = 500 // elements within an element that says nothing to us (ours): an honest one has a dozen
)

// sheetForm checks the XML of one worksheet: rows ascend, cells in a row ascend and
// name their row, shared strings exist, and nothing stands where excelize would take
// it for something else or pass over it (ECMA-376 part 1, 18.3.1). The rows go into
// block, whose taking out is the caller's business, unless it only checks.
type sheetForm struct {
	sheet    Sheet
	block    block
	discard  bool         // rows are counted and let go
	strings  *texts       // the shared strings; nil where the file has none
	units    []string     // by style, what its number format writes behind a figure; nil for none
	beside   []besideCell // of a form that only checks: cells with such a style
	rowsLeft int64
	textLeft int64 // bytes that the rows may still hold
	limits   Limits

	at      place
	back    place // where inText returns to
	skipped int   // open elements below inOther
	root    bool  // worksheet was seen
	data    bool  // sheetData was seen
	dataEnd bool  // sheetData was left
	row     rowState
	cell    cellState
}

type rowState struct {
	number, column int
	hidden         bool
	cells, text    int // where its cells and their texts begin in the block
	shared         int // bytes of the shared strings that it points to
}

type cellState struct {
	kind                            cellKind
	index                           []byte // text of v where it points to a shared string
	hasValue, hasFormula, hasString bool   // which elements were seen
	text                            bool   // t="str": the text of a formula, which may be empty
	unit                            string // that its number format writes behind a figure
	from                            int    // where its text begins in the block
	state                           textState
}

// besideCell is a cell with the unit that its number format writes.
type besideCell struct {
	row, column int32 // from 1
	unit        string
}

// mostBeside bounds how many of them are held: four columns of a full sheet. A test lowers it.
var mostBeside = 4 << 20

// cellKind is the attribute t: ECMA-376 part 1, 18.18.11 ST_CellType.
type cellKind uint8

const (
	plainCell  cellKind = iota // number, boolean, error, date, formula's string
	sharedCell                 // t="s"
	inlineCell                 // t="inlineStr"
)

// newSheetForm prepares a check within limits, none of which has been used up.
func newSheetForm(strings *texts, limits Limits) *sheetForm {
	return &sheetForm{strings: strings, rowsLeft: limits.Rows, textLeft: limits.Bytes, limits: limits}
}

// tooDeep refuses elements within elements: whoever walks them has to remember each.
func tooDeep() error { return damaged(say.F("elements are nested more than %d deep", maxDepth)) }

func (f *sheetForm) whole() bool { return f.root && f.dataEnd && f.at == outside }

// place is the cell at hand, or the row before it.
func (f *sheetForm) place() say.Text {
	if f.at >= inCell && f.at <= inText {
		return say.F("cell %s", f.cellName())
	}
	if f.row.number == 0 {
		return say.F("before the first row")
	}
	return say.F("in or after row %d", f.row.number)
}

// cellName is the cell at hand as people name it.
func (f *sheetForm) cellName() string {
	name, _ := excelize.CoordinatesToCellName(f.row.column, f.row.number) // both were checked
	return name
}

func (f *sheetForm) start(local []byte, attrs []attr) error {
	switch f.at {
	case inData:
		if string(local) != "row" {
			return damaged(say.F("<%s> among the rows", short(local)))
		}
		f.at = inRow
		return f.openRow(attrs)
	case inRow:
		if string(local) == "c" {
			f.at = inCell
			return f.openCell(attrs)
		}
		return f.skip(local, string(local) == "extLst")
	case inCell:
		return f.inCell(local, attrs)
	case inString, inRun:
		return f.inString(local)
	case inRoot:
		return f.inRoot(local)
	case outside:
		return f.openRoot(local)
	case inOther:
		if f.skipped++; f.skipped > maxDepth {
			return tooDeep()
		}
		if f.dataEnd && string(local) == "mergeCell" {
			f.merged(attrs)
		}
		return f.noStray(local)
	}
	return damaged(say.F("<%s> inside a value of row %d", short(local), f.row.number))
}

func (f *sheetForm) end() error {
	switch f.at {
	case inValue, inFormula, inString:
		f.at = inCell
	case inCell:
		f.at = inRow
		return f.closeCell()
	case inRow:
		f.at = inData
		return f.closeRow()
	case inText:
		f.cell.state.leave(f.back, f.block.text)
		f.at = f.back
	case inRun:
		f.at = inString
	case inOther:
		if f.skipped--; f.skipped == 0 {
			f.at = f.back
		}
	case inData:
		f.at, f.dataEnd = inRoot, true
	case inRoot:
		f.at = outside
		if !f.data {
			return damaged(say.F("it has no <sheetData>: its rows are lost"))
		}
	}
	return nil
}

func (f *sheetForm) chars(b []byte) error {
	switch f.at {
	case inValue, inText:
		if f.at == inValue && f.cell.kind == sharedCell {
			f.cell.index = append(f.cell.index, b...)
			return nil
		}
		f.block.text = append(f.block.text, b...)
		return f.bounded("")
	case outside, inData, inRow, inCell, inString, inRun:
		if !blank(b) {
			return damaged(say.F("text %s where none may stand, in or after row %d", cut(b), f.row.number))
		}
	}
	return nil
}

// bounded refuses a row that would fill the memory: a shared string counts in each
// cell that points to it, for there it will be read.
func (f *sheetForm) bounded(shared string) error {
	if int64(f.row.shared+len(f.block.text)-f.row.text) <= f.limits.RecordBytes {
		return nil
	}
	begins := cut(f.block.text[f.cell.from:])
	if shared != "" {
		begins = cut(shared)
	}
	return overLimit(say.F("bytes of text in row %d are over the limit of %d (job file: %s); cell %s begins with %s",
		f.row.number, f.limits.RecordBytes, "limits.record_bytes", f.cellName(), begins))
}

// openRoot takes the root element.
func (f *sheetForm) openRoot(local []byte) error {
	if f.root {
		return damaged(say.F("a second root element <%s>", short(local)))
	}
	if string(local) != "worksheet" {
		return damaged(say.F("<%s> in place of <worksheet>", short(local)))
	}
	f.root, f.at = true, inRoot
	return nil
}

// inRoot takes a child of worksheet.
func (f *sheetForm) inRoot(local []byte) error {
	if string(local) != "sheetData" {
		if err := f.noStray(local); err != nil {
			return err
		}
		return f.skip(local, true)
	}
	if f.data {
		return damaged(say.F("a second <sheetData>"))
	}
	f.data, f.at = true, inData
	return nil
}

// skip passes over an element and all in it.
func (f *sheetForm) skip(local []byte, known bool) error {
	if !known {
		return damaged(say.F("<%s> in row %d", short(local), f.row.number))
	}
	f.back, f.at, f.skipped = f.at, inOther, 1
	return nil
}

// mostMerged bounds how many merged cells of a sheet are kept in mind.
const mostMerged = 100_000

// merged notes cells that are merged over several rows. What cannot be read of a merge costs nothing: values stand in the cells.
func (f *sheetForm) merged(attrs []attr) {
	ref, err := find(attrs, "ref")
	from, to, found := bytes.Cut(ref, []byte(":"))
	if err != nil || !found {
		return
	}
	left, first := corner(from)
	right, last := corner(to)
	switch {
	case first == 0 || last <= first || left == 0 || right < left:
	case len(f.sheet.Merged) == mostMerged:
		f.sheet.MoreMerged++
	default:
		f.sheet.Merged = append(f.sheet.Merged, Span{First: first, Last: last, Column: left - 1, Columns: right - left + 1})
	}
}

// corner reads a corner of a range, such as $AB$12; 0 where it is none.
func corner(ref []byte) (column, row int) {
	digits := bytes.TrimLeft(ref, "$ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	for _, c := range ref[:len(ref)-len(digits)] {
		if c == '$' {
			continue
		}
		if column = column*26 + int(c-'A') + 1; column > maxColumn {
			return 0, 0
		}
	}
	row, err := ordinal(digits, maxRow)
	if err != nil {
		return 0, 0
	}
	return column, row
}

// noStray refuses, up to the end of the rows, names that excelize looks for at any
// depth. After that it reads no more.
func (f *sheetForm) noStray(local []byte) error {
	if f.dataEnd {
		return nil
	}
	switch string(local) {
	case "row", "c", "v", "f", "is", "sheetData":
		return damaged(say.F("<%s> at a wrong place, in or after row %d", short(local), f.row.number))
	}
	return nil
}

// openRow takes the number of a row, which must be higher than the last; without one
// it is the next.
func (f *sheetForm) openRow(attrs []attr) error {
	r, err := find(attrs, "r")
	if err != nil {
		return err
	}
	hidden, err := flag(attrs, "hidden")
	if err != nil {
		return err
	}
	number := f.row.number + 1
	if r != nil {
		if number, err = ordinal(r, maxRow); err != nil {
			return damaged(say.F("row number %s", quoted(r)))
		}
	}
	if number <= f.row.number {
		return disordered(say.F("row %d follows row %d", number, f.row.number))
	}
	if number > maxRow {
		return damaged(say.F("row number %d", number))
	}
	if f.rowsLeft--; f.rowsLeft < 0 {
		return overLimit(say.F("rows are over the limit of %d (job file: %s)", f.limits.Rows, "limits.rows"))
	}
	f.row = rowState{number: number, hidden: hidden, cells: len(f.block.cells), text: len(f.block.text)}
	return nil
}

// closeRow counts a row.
func (f *sheetForm) closeRow() error {
	if len(f.block.cells) == f.row.cells {
		f.sheet.Blank++
		return nil
	}
	text := int64(f.row.shared + len(f.block.text) - f.row.text)
	f.sheet.text += text
	if f.textLeft -= text; f.textLeft < 0 {
		return overLimit(say.F("bytes of text in the cells are over the limit of %d (job file: %s)", f.limits.Bytes, "limits.bytes"))
	}
	f.block.rows = append(f.block.rows, rowAt{f.row.number, len(f.block.cells)})
	if f.discard {
		f.block.reset()
	}
	f.sheet.Rows++
	f.sheet.last = f.row.number
	if f.row.hidden {
		f.sheet.HiddenRows++
	}
	return nil
}

// flag reads a boolean attribute, false if it is absent.
func flag(attrs []attr, name string) (bool, error) {
	value, err := find(attrs, name)
	if err != nil || value == nil {
		return false, err
	}
	switch string(value) {
	case "1", "true":
		return true, nil
	case "0", "false":
		return false, nil
	}
	return false, damaged(say.F("attribute %s=%s is neither 0 nor 1", name, quoted(value)))
}

// ordinal reads a whole number from 1 to most, digits only.
func ordinal(b []byte, most int) (int, error) {
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' || n > most {
			return 0, strconv.ErrSyntax
		}
		n = n*10 + int(c-'0')
	}
	if n < 1 || n > most {
		return 0, strconv.ErrRange
	}
	return n, nil
}

// stringIndex reads the pointer of a cell into the shared strings.
func (f *sheetForm) stringIndex() (int, error) {
	b := bytes.TrimSpace(f.cell.index)
	n, most := 0, 0
	if f.strings != nil {
		most = f.strings.len()
	}
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, damaged(say.F("row %d: %s is no index of a shared string", f.row.number, cut(b)))
		}
		if n = n*10 + int(c-'0'); n >= most {
			break
		}
	}
	if len(b) == 0 || n >= most {
		return 0, damaged(say.F("row %d: shared string %s does not exist, there are %d", f.row.number, cut(b), most))
	}
	return n, nil
}

package xlsx

import (
	"bytes"
	"strconv"

	"pitlist/score/say"
)

// openCell takes a cell's place and type. The place must lie in the row and after
// the cell before; without one it is the next column.
func (f *sheetForm) openCell(attrs []attr) error {
	f.cell = cellState{index: f.cell.index[:0], from: len(f.block.text)}
	column, number := f.row.column+1, true
	var ref []byte
	for i, at := range attrs {
		var err error
		switch string(at.local) {
		case "r":
			ref = at.value
			if column, err = f.cellColumn(at.value); err != nil {
				return err
			}
		case "t":
			f.cell.text, number = string(at.value) == "str", string(at.value) == "n"
			if f.cell.kind, err = kindOf(at.value); err != nil {
				return err
			}
		case "s":
			// A style that is no number makes excelize skip the value.
			style, err := strconv.ParseInt(string(at.value), 10, 64)
			if err != nil {
				return damaged(say.F("row %d: style %s of a cell", f.row.number, quoted(at.value)))
			}
			if style >= 0 && style < int64(len(f.units)) {
				f.cell.unit = f.units[style]
			}
		default:
			continue
		}
		if repeated(attrs, i) {
			return damaged(say.F("row %d: attribute %s stands twice", f.row.number, quoted(at.local)))
		}
	}
	if column <= f.row.column {
		return disordered(say.F("row %d: cell %s comes after column %d", f.row.number, short(ref), f.row.column))
	}
	if column > maxColumn {
		return damaged(say.F("row %d: a cell past column %d", f.row.number, maxColumn))
	}
	f.row.column = column
	if !number {
		f.cell.unit = ""
	}
	return nil
}

// repeated tells whether attribute i bears the name of one before it.
func repeated(attrs []attr, i int) bool {
	for _, at := range attrs[:i] {
		if string(at.local) == string(attrs[i].local) {
			return true
		}
	}
	return false
}

// cellColumn reads a reference such as AB12 and compares its row.
func (f *sheetForm) cellColumn(ref []byte) (int, error) {
	column, i := 0, 0
	for ; i < len(ref) && i < 3; i++ {
		c := ref[i] &^ 0x20 // lower case is taken, as excelize does
		if c < 'A' || c > 'Z' {
			break
		}
		column = column*26 + int(c-'A') + 1
	}
	row, err := ordinal(ref[i:], maxRow)
	if i == 0 || err != nil || column > maxColumn {
		return 0, damaged(say.F("row %d: cell reference %s", f.row.number, cut(ref)))
	}
	if row != f.row.number {
		return 0, disordered(say.F("row %d holds cell %s", f.row.number, short(ref)))
	}
	return column, nil
}

// kindOf sorts the cell types of ST_CellType.
func kindOf(t []byte) (cellKind, error) {
	switch string(t) {
	case "s":
		return sharedCell, nil
	case "inlineStr":
		return inlineCell, nil
	case "n", "b", "d", "e", "str":
		return plainCell, nil
	}
	return 0, damaged(say.F("cell type %s", quoted(t)))
}

// inCell takes a child of c.
func (f *sheetForm) inCell(local []byte, attrs []attr) error {
	c := &f.cell
	var seen *bool
	switch string(local) {
	case "v":
		f.at, seen = inValue, &c.hasValue
	case "f":
		f.at, seen = inFormula, &c.hasFormula
		if err := formulaAttributes(attrs); err != nil {
			return err
		}
	case "is":
		f.at, seen = inString, &c.hasString
		c.state.begin = c.from
	case "extLst":
		return f.skip(local, true)
	default:
		return damaged(say.F("<%s> in a cell of row %d", short(local), f.row.number))
	}
	if *seen {
		return damaged(say.F("two <%s> in a cell of row %d", short(local), f.row.number))
	}
	*seen = true
	return nil
}

// formulaAttributes refuses what makes excelize drop the value that follows.
func formulaAttributes(attrs []attr) error {
	for _, at := range attrs {
		switch string(at.local) {
		case "aca", "ca", "bx", "dt2D", "dtr", "del1", "del2":
			if _, err := strconv.ParseBool(string(at.value)); err != nil {
				return damaged(say.F("formula attribute %s=%s", short(at.local), quoted(at.value)))
			}
		case "si":
			if _, err := strconv.Atoi(string(at.value)); err != nil {
				return damaged(say.F("formula attribute %s=%s", short(at.local), quoted(at.value)))
			}
		}
	}
	return nil
}

// inString takes a child of an inline string, or of a run in it.
func (f *sheetForm) inString(local []byte) error {
	next, err := f.cell.state.enter(f.at, local, len(f.block.text))
	if err != nil {
		return err
	}
	if next == inOther {
		return f.skip(local, true)
	}
	if next == inText {
		f.back = f.at
	}
	f.at = next
	return nil
}

// textState walks the elements of one text: ECMA-376 part 1, 18.4.8 si and 18.4.4 r.
// Of two <t> in one place excelize takes the last, so a second one is refused.
type textState struct {
	inString, inRun bool // whether a <t> was seen
	begin           int  // where the text begins in its buffer
	own             int  // where the <t> outside the runs begins
}

// enter tells where an element leads; n is the length of the buffer. Phonetic guides
// and properties hold no text of the cell.
func (t *textState) enter(at place, local []byte, n int) (place, error) {
	seen := &t.inString
	if at == inRun {
		seen = &t.inRun
	}
	switch name := string(local); {
	case name == "t" && !*seen:
		*seen, t.own = true, n
		return inText, nil
	case at == inString && name == "r":
		t.inRun = false
		return inRun, nil
	case at == inString && (name == "rPh" || name == "phoneticPr"),
		at == inRun && name == "rPr":
		return inOther, nil
	}
	return 0, damaged(say.F("<%s> in a text, or twice", short(local)))
}

// leave ends a <t>. One that follows runs is moved in front of them: excelize reads
// it first wherever it stands.
func (t *textState) leave(to place, buf []byte) {
	if to != inString || t.own == t.begin {
		return
	}
	text := bytes.Clone(buf[t.own:])
	copy(buf[t.begin+len(text):], buf[t.begin:t.own])
	copy(buf[t.begin:], text)
}

// closeCell decides whether the cell holds something, as excelize will see it.
func (f *sheetForm) closeCell() error {
	c := &f.cell
	if c.hasString && (c.kind != inlineCell || c.hasValue) {
		return damaged(say.F("row %d: an inline string in a cell of another type", f.row.number))
	}
	shared := ""
	switch {
	case c.hasString:
		f.block.text = unescape(f.block.text, c.from)
	case len(c.index) > 0:
		i, err := f.stringIndex()
		if err != nil {
			return err
		}
		if shared, f.block.text, err = f.strings.get(i, f.block.text); err != nil {
			return err
		}
	}
	f.row.shared += len(shared)
	value := shared != "" || len(f.block.text) > c.from
	if value {
		f.sheet.cells++
	}
	if value && c.unit != "" {
		f.block.text = append(f.block.text, c.unit...)
		if f.discard {
			if len(f.beside) >= mostBeside {
				return overLimit(say.F("cells whose number format writes a unit are over %d, more than are held where a sheet's XML is unusual; save the file once more with a spreadsheet program", mostBeside))
			}
			f.beside = append(f.beside, besideCell{int32(f.row.number), int32(f.row.column), c.unit})
		}
	}
	// Some programs write an empty <v> for what they have not reckoned; an empty text of type str is a saved value.
	if c.hasFormula && !value && !c.hasString && (!c.hasValue || !c.text) {
		f.sheet.Formulas++
	}
	if value || c.hasFormula {
		f.block.cells = append(f.block.cells, cellAt{f.row.column, c.from, len(f.block.text), shared})
	}
	return f.bounded(shared)
}

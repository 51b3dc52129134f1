package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/score/slip"
)

// The bounds that a spreadsheet holds what is typed against; the reader of
// what comes back has its own.
const (
	mostKM      = 5_000_000
	mostMeasure = 1_000_000
)

// guard is a check on cells that people type in: what it asks for, and
// whether something else may be kept all the same.
type guard struct {
	kind           excelize.DataValidationType
	first, second  string // formulas
	title, message string
	stop           bool
}

// The guards of the cells. A stop is only where nothing else can be meant: a
// cell that takes a unit or a mark of its own is let through and read.
var (
	guardFound = guard{kind: excelize.DataValidationTypeList, first: `"` + strings.Join(slip.Findings[:], ",") + `"`, stop: true,
		title: "What was found", message: "worn, sound, not opened or failed; empty where nobody has looked."}
	guardMeasured = guard{kind: excelize.DataValidationTypeDecimal, first: fmt.Sprint(-mostMeasure), second: fmt.Sprint(mostMeasure),
		title: "Measured value", message: "A number, in the unit of the measure."}
	guardFixed = guard{kind: excelize.DataValidationTypeCustom, first: "FALSE", stop: true,
		title: "Not to be filled in", message: "This cell tells which row is which. Fill in the framed cells."}
)

var escaped = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// guardDay asks for a day from the list's to today; guardKM for no less than
// the last reading, where the cell at has one.
func (b *book) guardDay() guard {
	list := b.doc.Run.Day.Time().Format("DATE(2006,1,2)")
	// A list may be made ahead of its day: that day at least can be typed.
	return guard{kind: excelize.DataValidationTypeDate, first: list, second: "MAX(TODAY()," + list + ")", stop: true,
		title: "Day of the look or the repair", message: "From the day of the list to today, such as 2026-11-24."}
}

func guardKM(cell, last string) guard {
	return guard{kind: excelize.DataValidationTypeCustom, first: fmt.Sprintf("OR(ISTEXT(%s),AND(%s>=%s,%s<=%d))", cell, cell, last, cell, mostKM),
		title: "Odometer", message: "In km, as on the instrument, and no less than the last reading. Write mi after miles: 106,500 mi."}
}

// guard sets a check on an area of a sheet. It must run before the stream
// begins.
func (b *book) guard(sheet, area string, g guard) error {
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(area)
	// The library writes formulas as they stand, so the marks of XML are ours to
	// escape.
	if err := dv.SetRange(escaped.Replace(g.first), escaped.Replace(g.second), g.kind, excelize.DataValidationOperatorBetween); err != nil {
		return err
	}
	style := excelize.DataValidationErrorStyleWarning
	if g.stop {
		style = excelize.DataValidationErrorStyleStop
	}
	dv.SetError(style, g.title, g.message)
	if g.kind != excelize.DataValidationTypeCustom || !g.stop {
		dv.SetInput(g.title, g.message)
	}
	return b.file.AddDataValidation(sheet, dv)
}

// resultEntries sets the checks of the sheet of results' columns. What tells
// which row is which is guarded rather than locked: a locked sheet cannot be
// sorted.
func (b *book) resultEntries(cols []column, first, last int) error {
	if last < first {
		return nil
	}
	at, lastKM := "", ""
	var fixed []string
	for i := range cols {
		letter, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		at = fmt.Sprintf("%s%d", letter, first)
		var g guard
		switch head := cols[i].head; {
		case head == slip.HeadDone || head == slip.HeadInitials:
			continue // any text will do
		case head == slip.HeadFound:
			g = guardFound
		case head == slip.HeadDay:
			g = b.guardDay()
		case head == slip.HeadOdometer:
			g = guardKM(at, "$"+lastKM)
		case isValue(head):
			g = guardMeasured
		default:
			fixed = append(fixed, fmt.Sprintf("%s:%s%d", at, letter, last))
			if head == headLast {
				lastKM = at
			}
			continue
		}
		if err := b.guard(sheetResults, fmt.Sprintf("%s:%s%d", at, letter, last), g); err != nil {
			return err
		}
	}
	return b.guard(sheetResults, strings.Join(fixed, " "), guardFixed)
}

func isValue(head string) bool {
	_, ok := slip.ValueOf(head)
	return ok
}

// cardEntries sets the checks of the cards' cells and locks the rest, without
// a password: the tabulator key then goes from cell to cell.
func (b *book) cardEntries(c *cardWriter) error {
	for _, e := range []struct {
		cells []string
		g     guard
	}{{c.found, guardFound}, {c.measured, guardMeasured}, {c.days, b.guardDay()}} {
		if len(e.cells) == 0 {
			continue
		}
		if err := b.guard(sheetCards, strings.Join(e.cells, " "), e.g); err != nil {
			return err
		}
	}
	for i, cell := range c.odometers {
		if err := b.guard(sheetCards, cell, guardKM(cell, fmt.Sprintf("%.0f", c.lastKM[i]))); err != nil {
			return err
		}
	}
	return b.file.ProtectSheet(sheetCards, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, FormatCells: true, FormatColumns: true, FormatRows: true,
	})
}

package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
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
	title, message say.Text
	stop           bool
}

// The guards of the cells. A stop is only where nothing else can be meant: a
// cell that takes a unit or a mark of its own is let through and read.
var (
	guardFound = guard{kind: excelize.DataValidationTypeList, stop: true,
		title: say.F("What was found"), message: say.F("worn, sound, not opened or failed; empty where nobody has looked.")}
	guardMeasured = guard{kind: excelize.DataValidationTypeDecimal, first: fmt.Sprint(-mostMeasure), second: fmt.Sprint(mostMeasure),
		title: say.F("Measured value"), message: say.F("A number, in the unit of the measure.")}
	guardFixed = guard{kind: excelize.DataValidationTypeCustom, first: "FALSE", stop: true,
		title: say.F("Not to be filled in"), message: say.F("This cell tells which row is which. Fill in the framed cells.")}
)

var escaped = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

// guardFound offers the findings, in the workbook's language.
func (b *book) guardFound() guard {
	g := guardFound
	var words []string
	for _, f := range slip.Findings() {
		words = append(words, b.speaks.Say(f))
	}
	g.first = `"` + strings.Join(words, ",") + `"`
	return g
}

// guardDay asks for a day from the list's to today; guardKM for no less than
// the last reading, where the cell at has one.
func (b *book) guardDay() guard {
	list := b.doc.Run.Day.Time().Format("DATE(2006,1,2)")
	// A list may be made ahead of its day: that day at least can be typed.
	return guard{kind: excelize.DataValidationTypeDate, first: list, second: "MAX(TODAY()," + list + ")", stop: true,
		title: say.F("Day of the look or the repair"), message: say.F("From the day of the list to today, such as 2026-11-24.")}
}

func guardKM(cell, last string) guard {
	return guard{kind: excelize.DataValidationTypeCustom, first: fmt.Sprintf("OR(ISTEXT(%s),AND(%s>=%s,%s<=%d))", cell, cell, last, cell, mostKM),
		title: say.F("Odometer"), message: say.F("In km, as on the instrument, and no less than the last reading. Write mi after miles: 106,500 mi.")}
}

// guard sets a check on an area of a sheet. It must run before the stream
// begins.
func (b *book) guard(sheet say.Text, area string, g guard) error {
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
	title, message := b.speaks.Say(g.title), b.speaks.Say(g.message)
	dv.SetError(style, title, message)
	if g.kind != excelize.DataValidationTypeCustom || !g.stop {
		dv.SetInput(title, message)
	}
	return b.file.AddDataValidation(b.speaks.Say(sheet), dv)
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
		switch cols[i].takes {
		case slip.HeadDone, slip.HeadInitials:
			continue // any text will do
		case slip.HeadFound:
			g = b.guardFound()
		case slip.HeadDay:
			g = b.guardDay()
		case slip.HeadOdometer:
			g = guardKM(at, "$"+lastKM)
		case takesMeasured:
			g = guardMeasured
		default:
			fixed = append(fixed, fmt.Sprintf("%s:%s%d", at, letter, last))
			lastKM = at // that of the last reading stands right before the odometer
			continue
		}
		if err := b.guard(sheetResults, fmt.Sprintf("%s:%s%d", at, letter, last), g); err != nil {
			return err
		}
	}
	return b.guard(sheetResults, strings.Join(fixed, " "), guardFixed)
}

// cardEntries sets the checks of the cards' cells and locks the rest, without
// a password: the tabulator key then goes from cell to cell.
func (b *book) cardEntries(c *cardWriter) error {
	for _, e := range []struct {
		cells []string
		g     guard
	}{{c.found, b.guardFound()}, {c.measured, guardMeasured}, {c.days, b.guardDay()}} {
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
	return b.file.ProtectSheet(b.speaks.Say(sheetCards), &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, FormatCells: true, FormatColumns: true, FormatRows: true,
	})
}

package workbook_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score/say"
)

// What a screen of 1280 x 800 pixels shows of a sheet at 100 %: the row numbers
// take some 30 pixels, the bar 20, and a unit of a column's width 8 (the widest
// digit of the default font, 11 points at 96 dpi).
const (
	screenPixels = 1280 - 30 - 20
	pixelsAUnit  = 8
)

// TestNineColumnsBeforeTheFirstScroll: on every desk, in every language, the
// screen and the printed page show the same nine columns, and no tenth.
func TestNineColumnsBeforeTheFirstScroll(t *testing.T) {
	for desk, d := range desks() {
		for _, l := range say.Languages() {
			t.Run(desk+" "+l.Tag, func(t *testing.T) {
				d.Run.Language = l
				f := open(t, written(t, d, workbook.Options{}))
				sheet := f.GetSheetList()[0]
				assert.Equal(t, 9, columnsWithin(t, f, sheet, screenPixels))
				assert.Equal(t, "I", lastPrinted(t, f, sheet))
			})
		}
	}
}

// columnsWithin counts the columns that stand wholly on a screen.
func columnsWithin(t *testing.T, f *excelize.File, sheet string, pixels float64) int {
	t.Helper()
	for n := 1; ; n++ {
		letter, err := excelize.ColumnNumberToName(n)
		require.NoError(t, err)
		width, err := f.GetColWidth(sheet, letter)
		require.NoError(t, err)
		if pixels -= width * pixelsAUnit; pixels < 0 {
			return n - 1
		}
	}
}

// lastPrinted is the last column of a sheet's print area.
func lastPrinted(t *testing.T, f *excelize.File, sheet string) string {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if n.Scope == sheet && n.Name == "_xlnm.Print_Area" {
			_, area, _ := strings.Cut(n.RefersTo, ":$")
			col, _, _ := strings.Cut(area, "$")
			return col
		}
	}
	t.Errorf("%s has no print area", sheet)
	return ""
}

// TestPagesFitBothPapers: every sheet is fitted to the width of whatever paper
// is in the printer, or is narrow enough at its own size for an upright page of
// A4 (210 mm) as of Letter (215.9 mm) with margins of 0.4 inches; and what is
// fitted keeps letters of at least 5.5 points on Letter lying down (279.4 mm).
func TestPagesFitBothPapers(t *testing.T) {
	const a4, letter, lying, margins = 210 / 25.4, 215.9 / 25.4, 279.4 / 25.4, 0.8 // inches
	for desk, d := range desks() {
		f := open(t, written(t, d, workbook.Options{}))
		for _, sheet := range f.GetSheetList() {
			t.Run(desk+" "+sheet, func(t *testing.T) {
				wide := printedWidth(t, f, sheet)
				props, err := f.GetSheetProps(sheet)
				require.NoError(t, err)
				layout, err := f.GetPageLayout(sheet)
				require.NoError(t, err)
				if props.FitToPage == nil || !*props.FitToPage {
					assert.LessOrEqual(t, wide, min(a4, letter)-margins)
					return
				}
				assert.Equal(t, 1, *layout.FitToWidth)
				page := lying
				if *layout.Orientation == "portrait" {
					page = min(a4, letter)
				}
				assert.GreaterOrEqual(t, 10*min(1, (page-margins)/wide), 5.5, "letters of 10 points shrink")
			})
		}
	}
}

// printedWidth is the width of a sheet's print area, else of its extent, in
// inches.
func printedWidth(t *testing.T, f *excelize.File, sheet string) float64 {
	t.Helper()
	extent, err := f.GetSheetDimension(sheet)
	require.NoError(t, err)
	for _, n := range f.GetDefinedName() {
		if n.Scope == sheet && n.Name == "_xlnm.Print_Area" {
			_, extent, _ = strings.Cut(strings.ReplaceAll(n.RefersTo, "$", ""), "!")
		}
	}
	_, to, _ := strings.Cut(extent, ":")
	last, _, err := excelize.CellNameToCoordinates(to)
	require.NoError(t, err, extent)
	units := 0.0
	for n := 1; n <= last; n++ {
		name, err := excelize.ColumnNumberToName(n)
		require.NoError(t, err)
		width, err := f.GetColWidth(sheet, name)
		require.NoError(t, err)
		units += width
	}
	return units * pixelsAUnit / 96
}

// TestNoWordOfAChanceIsBroken: "excepcionalmente improbable" is wider than anything that English says there.
func TestNoWordOfAChanceIsBroken(t *testing.T) {
	for _, l := range say.Languages() {
		fleet, c := invented.Fleet(), invented.Catalogue()
		as := invented.Assessments(fleet, c)
		for i := range as {
			for j := range as[i].Findings {
				as[i].Findings[j].State.Worn = 1e-5
			}
		}
		d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
		d.Run.Language = l
		f := open(t, written(t, d, workbook.Options{}))
		width, err := f.GetColWidth(f.GetSheetList()[0], "F")
		require.NoError(t, err)
		longest := 0
		rows, err := f.GetRows(f.GetSheetList()[0])
		require.NoError(t, err)
		for _, r := range rows[headRow:] {
			if len(r) > 5 {
				for word := range strings.FieldsSeq(r[5]) {
					longest = max(longest, utf8.RuneCountInString(word))
				}
			}
		}
		require.Greater(t, longest, 12, "the words of a chance of nothing")
		assert.GreaterOrEqual(t, width, float64(longest)-1.5, l.Tag) // i and l are narrow
	}
}

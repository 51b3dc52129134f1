package workbook_test

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score"
	"pitlist/score/plan"
)

// headRow is the row of the list's column headings.
const headRow = 6

func written(t *testing.T, d *report.Document, opts workbook.Options) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, workbook.Write(context.Background(), &b, d, opts))
	return b.Bytes()
}

func open(t *testing.T, book []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(book))
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, f.Close()) })
	return f
}

// list returns the first sheet's rows as shown.
func list(t *testing.T, f *excelize.File) [][]string {
	t.Helper()
	rows, err := f.GetRows("Look first")
	require.NoError(t, err)
	return rows
}

// TestLook leaves the workbook for a person to look at where
// PITLIST_LOOK names a file.
func TestLook(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	assert.NotEmpty(t, book)
	if p := os.Getenv("PITLIST_LOOK"); p != "" {
		require.NoError(t, os.WriteFile(p, book, 0o644))
	}
}

func TestSheets(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	assert.Equal(t, []string{"Look first", "Cards", "Results", "Other checks", "Rows to mend", "Distances and VINs", "Findings", "Parts", "Charts", "Rows counted", "How to read this"}, f.GetSheetList())
	assert.Equal(t, 0, f.GetActiveSheetIndex(), "it opens on the list")
}

func TestFirstSheetReadsFromTheTop(t *testing.T) {
	rows := list(t, open(t, written(t, invented.Document(), workbook.Options{})))
	assert.Equal(t, "Look first: weekly-north, 23 Nov 2026", rows[0][0])
	assert.Contains(t, rows[1][0], "Take in 9 of")
	assert.Contains(t, rows[3][0], "Not ranked for a part that the catalogue speaks of")
	assert.Contains(t, rows[4][0], "The line falls where the bay-hours end")
	assert.Equal(t, []string{"No.", "Take in?", "Unit", "Vehicle, km, depot", "Look at", "How likely worn", "Why", "Waiting costs, EUR", "Hours in the bay"}, rows[headRow-1][:9])
	assert.Contains(t, rows[headRow][0], "LOOK TODAY")
	var order []string
	for _, r := range rows[headRow:] {
		switch {
		case len(r) > 1 && r[1] != "":
			if n := len(order); n == 0 || order[n-1] != r[1] {
				order = append(order, r[1])
			}
		case len(r) > 0 && r[0] == "THE LINE":
			order = append(order, "line")
		}
	}
	assert.Equal(t, []string{"today", "yes", "line", "wait"}, order, "words mark what stands above and below")
}

func TestFirstVehicleHasItsReasonOddsAndCost(t *testing.T) {
	for _, r := range list(t, open(t, written(t, invented.Document(), workbook.Options{}))) {
		if len(r) > 12 && r[2] == "H-001" && r[1] == "yes" {
			assert.Equal(t, []string{"3", "yes", "H-001", "Northfold Kestrel 2015, 171,400 km, North", "High-pressure pump follower", "93.0%, very likely"}, r[:6])
			assert.Contains(t, r[6], "P0087 came back 23 days")
			assert.Equal(t, "2.00", r[8], "hours")
			assert.Equal(t, []string{"North", "171,412", "93.0%"}, r[10:13], "once more as figures, to sort and filter by")
			return
		}
	}
	t.Fatal("H-001 is not on the list")
}

func TestFoundWornHasNoProbability(t *testing.T) {
	for _, r := range list(t, open(t, written(t, invented.Document(), workbook.Options{}))) {
		if len(r) > 12 && r[0] == "1" {
			assert.Equal(t, "found worn", r[5])
			assert.Empty(t, r[12])
			return
		}
	}
	t.Fatal("no first row")
}

func TestCellsHoldNoFormulaAndNoError(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	formulas := 0
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		for i, r := range rows {
			for j, v := range r {
				for _, bad := range []string{"NaN", "Inf", "#REF", "#NAME", "#DIV", "#VALUE", "#N/A", "%!"} {
					assert.NotContains(t, v, bad, "%s row %d column %d", sheet, i+1, j+1)
				}
				if cell, err := excelize.CoordinatesToCellName(j+1, i+1); assert.NoError(t, err) {
					formula, err := f.GetCellFormula(sheet, cell)
					require.NoError(t, err)
					if formula != "" {
						formulas++
					}
				}
			}
		}
	}
	assert.Zero(t, formulas)
	for _, r := range list(t, f) {
		if len(r) > 2 && r[2] == "=1+1" {
			return
		}
	}
	t.Error("the unit that looks like a formula is not shown as it is")
}

// part returns one part of the workbook's file.
func part(t *testing.T, book []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	require.NoError(t, err)
	r, err := z.Open(name)
	require.NoError(t, err)
	body, err := io.ReadAll(r)
	require.NoError(t, err)
	return string(body)
}

func TestListPrintsAndScrolls(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	sheet := part(t, book, "xl/worksheets/sheet1.xml")
	assert.Contains(t, sheet, `fitToPage="true"`, "fitToWidth does nothing without it")
	assert.Contains(t, sheet, `fitToWidth="1"`)
	assert.Contains(t, sheet, `fitToHeight="0"`)
	assert.Contains(t, sheet, `orientation="landscape"`)
	assert.Contains(t, sheet, `paperSize="9"`, "A4")
	assert.Contains(t, sheet, `state="frozen"`)
	assert.Contains(t, sheet, fmt.Sprintf(`ySplit="%d"`, headRow))
	assert.Contains(t, sheet, "page &amp;P of &amp;N")
	f := open(t, book)
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Scope+" "+n.Name] = n.RefersTo
	}
	assert.Equal(t, "'Look first'!$6:$6", names["Look first _xlnm.Print_Titles"])
	assert.Contains(t, names["Look first _xlnm.Print_Area"], "$A$1:$I$", "the further numbers do not shrink the page")
}

func TestSheetsSayTheirExtent(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	for i := 1; i <= 11; i++ {
		sheet := part(t, book, fmt.Sprintf("xl/worksheets/sheet%d.xml", i))
		if i == 9 {
			continue // the charts, written cell by cell
		}
		_, rest, _ := strings.Cut(sheet, `<dimension ref="`)
		extent, _, _ := strings.Cut(rest, `"`)
		last := sheet[strings.LastIndex(sheet, `<row r="`)+len(`<row r="`):]
		last, _, _ = strings.Cut(last, `"`)
		assert.True(t, strings.HasSuffix(strings.TrimLeft(extent[strings.Index(extent, ":")+1:], "ABCDEFGHIJKLMNOPQRSTUVWXYZ"), last),
			"sheet %d says %s and ends in row %s", i, extent, last)
	}
}

func TestColumnsAscendAndFit(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	for _, sheet := range f.GetSheetList() {
		for _, col := range []string{"A", "B", "C", "D"} {
			w, err := f.GetColWidth(sheet, col)
			require.NoError(t, err)
			assert.LessOrEqual(t, w, 88.0, "%s %s", sheet, col)
			assert.GreaterOrEqual(t, w, 5.0, "%s %s", sheet, col)
		}
	}
	sheet := part(t, written(t, invented.Document(), workbook.Options{}), "xl/worksheets/sheet1.xml")
	assert.Less(t, strings.Index(sheet, `<col min="1"`), strings.Index(sheet, `<col min="2"`), "columns out of order are a damaged file")
}

func TestRowsAreHighEnoughForTheirReason(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	for i, r := range list(t, f) {
		if len(r) > 9 && len(r[6]) > 150 && i >= headRow {
			h, err := f.GetRowHeight("Look first", i+1)
			require.NoError(t, err)
			assert.Greater(t, h, 35.0, "150 letters do not fit into 62 columns on two lines: %s", r[6])
		}
	}
}

func TestCardsHaveRoomToWrite(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	f := open(t, book)
	rows, err := f.GetRows("Cards")
	require.NoError(t, err)
	count := map[string]int{}
	for _, r := range rows {
		if len(r) > 0 {
			count[strings.Fields(r[0] + " .")[0]]++
		}
	}
	d := invented.Document()
	assert.Equal(t, len(d.Cards), count["No."])
	assert.Equal(t, len(d.Cards), count["Odometer,"], "each has room for odometer, day and initials")
	parts := 0
	for _, c := range d.Cards {
		parts += len(c.Parts)
	}
	assert.Equal(t, parts, count["Found:"], "each part has its boxes")
	assert.Equal(t, len(d.Cards)-1, strings.Count(part(t, book, "xl/worksheets/sheet2.xml"), "<brk "), "a page a card")
}

func TestChartsAreNativeAndShowTheLine(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	first := part(t, book, "xl/charts/chart1.xml")
	assert.Contains(t, first, "scatterChart")
	second := part(t, book, "xl/charts/chart2.xml")
	for _, sign := range []string{`symbol val="circle"`, `symbol val="triangle"`, `symbol val="square"`} {
		assert.Contains(t, second, sign, "a series is told by its sign, not by colour alone")
	}
	f := open(t, book)
	v, err := f.GetCellValue("Charts", "P2")
	require.NoError(t, err)
	assert.Equal(t, "13.25", v, "the hours at which this run's line stands")
}

// A value axis ends with how it crosses and its units (CT_ValAx, ECMA-376 part
// 1, 21.2.2.226): the placing of labels belongs to axes of categories.
func TestValueAxesHoldNothingOfCategories(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	r, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	require.NoError(t, err)
	axes := 0
	for _, part := range r.File {
		if !strings.HasPrefix(part.Name, "xl/charts/chart") {
			continue
		}
		f, err := part.Open()
		require.NoError(t, err)
		body, err := io.ReadAll(f)
		require.NoError(t, err)
		for _, axis := range strings.Split(string(body), "<valAx>")[1:] {
			axes++
			axis, _, _ = strings.Cut(axis, "</valAx>")
			for _, foreign := range []string{"<auto ", "<lblAlgn ", "<lblOffset ", "<noMultiLvlLbl "} {
				assert.NotContains(t, axis, foreign, part.Name)
			}
		}
	}
	assert.NotZero(t, axes)
}

func TestLongListIsCutAndSaysSo(t *testing.T) {
	rows := list(t, open(t, written(t, invented.Document(), workbook.Options{Below: 3})))
	waits := 0
	for _, r := range rows {
		if len(r) > 1 && r[1] == "wait" {
			waits++
		}
	}
	assert.Equal(t, 3, waits)
	d := invented.Document()
	assert.Equal(t, fmt.Sprintf("and %d more below, in worklist.csv", d.Length()-9-3), rows[len(rows)-1][0])
}

// TestLongSheetsAreCutAndSaySo: each sheet that grows with the fleet keeps to what
// people read, and names the file that holds the rest.
func TestLongSheetsAreCutAndSaySo(t *testing.T) {
	whole, cut := open(t, written(t, invented.Document(), workbook.Options{})), open(t, written(t, invented.Document(), workbook.Options{Findings: 1}))
	for sheet, file := range map[string]string{"Rows to mend": "rejected.csv", "Distances and VINs": "odometer.csv", "Findings": "findings.csv"} {
		all, err := whole.GetRows(sheet)
		require.NoError(t, err)
		few, err := cut.GetRows(sheet)
		require.NoError(t, err)
		assert.Greater(t, len(all), len(few), sheet)
		assert.Regexp(t, `\d+ more stands? in `+file, few[1][0])
		assert.NotContains(t, all[1][0], " more stand")
	}
}

func TestRowsCountedAddUp(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	rows, err := f.GetRows("Rows counted")
	require.NoError(t, err)
	last := rows[len(rows)-1]
	assert.Equal(t, []string{"All sheets", "", "156", "142", "6", "4", "2", "2", "1", "adds up"}, last)
}

func TestSameDocumentSameBytes(t *testing.T) {
	want := written(t, invented.Document(), workbook.Options{})
	for range 5 {
		require.True(t, bytes.Equal(want, written(t, invented.Document(), workbook.Options{})))
	}
}

func TestEmptyRunStillMakesABook(t *testing.T) {
	d := report.Compose(report.Run{Job: "a & b", Day: invented.Today}, &score.Fleet{}, nil, plan.List{}, invented.Catalogue())
	rows := list(t, open(t, written(t, d, workbook.Options{})))
	assert.Contains(t, rows[1][0], "No vehicle")
}

func TestControlCharactersDoNotBreakTheFile(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	fleet.Vehicles[0].Unit = "H\x00\x0b1\xff" + strings.Repeat("x", 40000)
	fleet.Issues[0].Value = "\x1b[31m"
	as := invented.Assessments(fleet, c)
	f := open(t, written(t, report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c), workbook.Options{}))
	found := false
	for _, r := range list(t, f) {
		found = found || len(r) > 2 && strings.HasPrefix(r[2], "H  1\uFFFDxxx")
	}
	assert.True(t, found)
}

func TestEndedContextStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, workbook.Write(ctx, io.Discard, invented.Document(), workbook.Options{}), context.Canceled)
}

var errFull = errors.New("no space left on device")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestFullDiskIsReported(t *testing.T) {
	assert.ErrorIs(t, workbook.Write(context.Background(), full{}, invented.Document(), workbook.Options{}), errFull)
}

func TestSpoolFilesAreGone(t *testing.T) {
	dir := t.TempDir()
	written(t, invented.Document(), workbook.Options{TmpDir: dir})
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}

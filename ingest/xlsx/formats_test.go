package xlsx

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// TestUnitShown: number formats as people make them, and what stands behind a figure under them. What says more than the unit of the figure is none.
func TestUnitShown(t *testing.T) {
	for code, want := range map[string]string{
		`#,##0" mi"`: " mi", `#,##0 "mi"`: " mi", `0\ \m\i`: " mi", `#,##0" miles"`: " mi", `General" km"`: " km", `#,##0" km";[Red]-#,##0" km"`: " km", `[$-409]#,##0" KM"`: " km", `_-* #,##0" km"_-;-* #,##0" km"_-;_-* "-"" km"_-;_-@_-`: " km",
		`# ##0\ "km"`: " km", `0" km"_)`: " km", `#,##0`: "", `0.00" km/h"`: "", `0" x1000 km"`: "", `0"k mi"`: "", `0" tkm"`: "", `0" l/100 km"`: "", `hh" h "mm" min"`: "", `d/m/yyyy`: "", `"km "0`: " km", `"mi" 0`: " mi", `@" km"`: "", `#,##0" EUR"`: "", `0" km or mi"`: "", "": "",
	} {
		assert.Equal(t, want, unitShown(code), code)
	}
}

// inMiles is a workbook whose second column shows miles by its number format.
func inMiles(t *testing.T) string {
	f, format := excelize.NewFile(), `#,##0" mi"`
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
	require.NoError(t, err)
	for i, v := range []any{"Odometer", 50000, 60000.5, "70000", true} {
		at, _ := excelize.CoordinatesToCellName(2, i+1)
		require.NoError(t, f.SetCellValue("Sheet1", at, v))
		require.NoError(t, f.SetCellValue("Sheet1", "A"+at[1:], v))
		require.NoError(t, f.SetCellStyle("Sheet1", at, at, id))
	}
	path := filepath.Join(t.TempDir(), "book.xlsx")
	require.NoError(t, f.SaveAs(path))
	return path
}

// TestUnitsBothWays: both ways of reading write the unit behind figures whose format shows it, and behind nothing else.
func TestUnitsBothWays(t *testing.T) {
	path := inMiles(t)
	for _, second := range []bool{false, true} {
		b, err := Open(context.Background(), path, Options{TmpDir: t.TempDir(), second: second})
		require.NoError(t, err)
		rows, err := b.Rows("Sheet1")
		require.NoError(t, err)
		for _, want := range [][]string{{"Odometer", "Odometer"}, {"50000", "50000 mi"}, {"60000.5", "60000.5 mi"}, {"70000", "70000"}, {"1", "1"}} {
			_, got, err := rows.Read()
			require.NoError(t, err)
			assert.Equal(t, want, got, second)
		}
		require.NoError(t, b.Close())
	}
}

// TestUnitsOfTooManyCells: where the second way reads, such cells are held, and no more than so many.
func TestUnitsOfTooManyCells(t *testing.T) {
	path := inMiles(t)
	defer func(most int) { mostBeside = most }(mostBeside)
	mostBeside = 1
	b, err := Open(context.Background(), path, Options{TmpDir: t.TempDir(), second: true})
	require.NoError(t, err)
	rows, err := b.Rows("Sheet1")
	if err == nil {
		_, _, err = rows.Read()
	}
	require.ErrorContains(t, err, "cells whose number format writes a unit are over 1")
	require.NoError(t, b.Close())
}

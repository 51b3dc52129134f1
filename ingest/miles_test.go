package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// formatted is a workbook of two vehicles whose odometers (of 50000 and 60000) have a number format.
func formatted(t *testing.T, format, heading string) string {
	return workbook(t, func(f *excelize.File) {
		id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Units", "C2", "C3", id))
	}, sheetOf("Units", row("Unit", "Model", heading), row("U1", "Heron", 50000), row("U2", "Teal", 60000)))
}

// TestUnitsByFormat: a number format is the sheet's own word on the unit of its figures. A mile is 1.609344 km.
func TestUnitsByFormat(t *testing.T) {
	for format, km := range map[string]float64{`#,##0" mi"`: 80467, `0\ \m\i\l\e\s`: 80467, `"mi" 0`: 80467, `#,##0" km"`: 50000, `0" min"`: 50000} {
		r := read(t, formatted(t, format, "Odometer"))
		assert.Equal(t, km, r.vehicle("U1").Readings[0].KM, format)
		assert.Empty(t, r.Fleet.Issues, format)
	}
	for _, format := range []string{`0"k mi"`, `[<1]"new";0" mi"`} {
		r := read(t, formatted(t, format, "Odometer"))
		require.Len(t, r.Fleet.Issues, 1, format)
		assert.Contains(t, r.Fleet.Issues[0].Suggestion.String(), "odometer_unit: mi", format)
	}
	assert.Empty(t, read(t, formatted(t, `0" mi/h"`, "Odometer")).Fleet.Issues)
	r := read(t, formatted(t, `#,##0" km"`, "Mileage"))
	assert.Empty(t, r.Fleet.Issues, "nothing is left to ask")
	r = read(t, formatted(t, `#,##0`, "Mileage"))
	assert.Len(t, r.Fleet.Issues, 1)
	r = read(t, formatted(t, `#,##0" mi"`, "Odometer (mi)"))
	assert.Equal(t, 80467.0, r.vehicle("U1").Readings[0].KM)
	assert.Empty(t, r.Fleet.Issues)
}

// TestUnitAgainstHeading: what the cells say goes before the heading, and is told of.
func TestUnitAgainstHeading(t *testing.T) {
	r := read(t, formatted(t, `#,##0" mi"`, "Odometer (km)"))
	assert.Equal(t, 80467.0, r.vehicle("U1").Readings[0].KM)
	require.Len(t, r.Fleet.Issues, 1)
	assert.Contains(t, r.Fleet.Issues[0].Reason.String(), "the heading says km, and cells of this column say mi; each was read by its own word")
}

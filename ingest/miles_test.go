package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// TestMilesByFormat: a number format can say miles where neither heading nor cell does; the figures are asked about. A format that says km, or one that no
// heading leaves open, asks nothing.
func TestMilesByFormat(t *testing.T) {
	for format, want := range map[string]bool{`#,##0" mi"`: true, `0\ \m\i\l\e\s`: true, `#,##0" km"`: false, `0" min"`: false, `"mi" 0`: true} {
		path := workbook(t, func(f *excelize.File) {
			id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("Units", "C2", "C3", id))
		}, sheetOf("Units", row("Unit", "Model", "Odometer"), row("U1", "Heron", 50000), row("U2", "Teal", 60000)))
		r := read(t, path)
		asked := false
		for _, i := range r.Fleet.Issues {
			asked = asked || containsAll(i.Suggestion.String(), "odometer_unit: mi")
		}
		assert.Equal(t, want, asked, format)
	}
	format := `#,##0" mi"`
	path := workbook(t, func(f *excelize.File) {
		id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle("Units", "C2", "C2", id))
	}, sheetOf("Units", row("Unit", "Model", "Odometer (mi)"), row("U1", "Heron", 50000)))
	assert.Empty(t, read(t, path).Fleet.Issues)
}

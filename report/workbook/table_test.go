package workbook_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score/plan"
)

// desks are the documents of all three.
func desks() map[string]*report.Document {
	return map[string]*report.Document{"fleet": invented.Document(), "trade-in": buying(plan.TradeIn), "auction": buying(plan.Auction)}
}

// TestSheetsOfRowsAreNativeTables: what is to be sorted and filtered is a table
// of the spreadsheet program's own. A heading that a table has twice, or one
// that is not what its cell says, or joined cells in it, make Excel repair the
// file (ECMA-376 part 1, 18.5.1.3).
func TestSheetsOfRowsAreNativeTables(t *testing.T) {
	tabled := map[string]bool{}
	for desk, d := range desks() {
		t.Run(desk, func(t *testing.T) {
			book := written(t, d, workbook.Options{})
			f := open(t, book)
			for i, sheet := range f.GetSheetList() {
				assert.False(t, strings.Contains(part(t, book, fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)), "<autoFilter"), "%s: the table has the filter", sheet)
				tables, err := f.GetTables(sheet)
				require.NoError(t, err)
				for _, table := range tables {
					tabled[sheet] = true
					tableIsSound(t, f, sheet, table.Range)
				}
			}
		})
	}
	for _, sheet := range []string{"Look first", "Lots", "Viewing plan", "Offers", "Results", "Other checks", "Rows to mend", "Distances and VINs", "Findings", "Parts", "Rows counted"} {
		assert.True(t, tabled[sheet], "%s is no table", sheet)
	}
}

// tableIsSound checks a table's headings, extent and cells.
func tableIsSound(t *testing.T, f *excelize.File, sheet, area string) {
	t.Helper()
	from, to, _ := strings.Cut(area, ":")
	left, top, err := excelize.CellNameToCoordinates(from)
	require.NoError(t, err)
	right, bottom, err := excelize.CellNameToCoordinates(to)
	require.NoError(t, err)
	rows, err := f.GetRows(sheet)
	require.NoError(t, err)
	assert.Len(t, rows, bottom, "%s ends with its table", sheet)
	assert.Greater(t, bottom, top)
	seen := map[string]bool{}
	for col := left; col <= right; col++ {
		head := rows[top-1][col-1]
		assert.NotEmpty(t, strings.TrimSpace(head), sheet)
		assert.False(t, seen[strings.ToLower(head)], "%s has two columns %q", sheet, head)
		seen[strings.ToLower(head)] = true
	}
	joined, err := f.GetMergeCells(sheet)
	require.NoError(t, err)
	for _, m := range joined {
		_, row, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		require.NoError(t, err)
		assert.Less(t, row, top, "%s %s is joined inside the table", sheet, m[0])
	}
}

// TestTableNamesItsHeadings holds the headings that the table names against
// its cells.
func TestTableNamesItsHeadings(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	rows := list(t, open(t, book))
	var names []string
	for _, column := range strings.Split(part(t, book, "xl/tables/table1.xml"), `<tableColumn `)[1:] {
		_, name, _ := strings.Cut(column, ` name="`)
		name, _, _ = strings.Cut(name, `"`)
		names = append(names, name)
	}
	assert.Equal(t, rows[headRow-1], names)
}

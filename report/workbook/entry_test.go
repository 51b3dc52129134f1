package workbook_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score/slip"
)

func TestEverySheetIsKnownWhenItComesBack(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	for _, name := range f.GetSheetList() {
		title, err := f.GetCellValue(name, "A1")
		require.NoError(t, err)
		if name != slip.SheetCards.Name.String() { // known by its slips
			assert.True(t, slip.IsListed(name, title, false), "%s %q", name, title)
		}
	}
}

// resultRows reads the sheet of results by heading, and the slips.
func resultRows(t *testing.T, f *excelize.File) (rows []map[string]string, slips []slip.Slip) {
	t.Helper()
	all, err := f.GetRows(slip.SheetResults.Name.String())
	require.NoError(t, err)
	heads := all[3]
	assert.Equal(t, slip.Heading, heads[len(heads)-1])
	for _, cells := range all[4:] {
		m := map[string]string{}
		for i, c := range cells {
			m[heads[i]] = c
		}
		s, err := slip.Parse(m[slip.Heading])
		require.NoError(t, err, "%v", cells)
		rows, slips = append(rows, m), append(slips, s)
	}
	return rows, slips
}

func TestResultsHaveARowForEachPartOfTheCards(t *testing.T) {
	d := invented.Document()
	rows, slips := resultRows(t, open(t, written(t, d, workbook.Options{})))
	parts := 0
	for i := range d.Cards {
		for k := range d.Cards[i].Parts {
			p := &d.Cards[i].Parts[k]
			row := p.Slip.Row
			require.Positive(t, row)
			parts++
			assert.Equal(t, fmt.Sprint(row), rows[row-1][slip.HeadRow], "the card's number is the row's")
			assert.Equal(t, p.Name, rows[row-1][slip.HeadPart])
			assert.Equal(t, d.Cards[i].Rank, slips[row-1].Card)
			assert.Equal(t, d.Cards[i].VIN, slips[row-1].VIN)
			for n, l := range p.Limits {
				assert.Equal(t, l.ID, slips[row-1].Measures[n])
				assert.Contains(t, rows[row-1]["Measure"], l.Measure)
			}
		}
	}
	assert.Len(t, rows, parts+1, "and one for the part that was found failed and waits for its repair")
	assert.Equal(t, "found failed", rows[parts]["So far"])
}

func TestCellsToFillInAreCheckedAndFramed(t *testing.T) {
	f := open(t, written(t, invented.Document(), workbook.Options{}))
	rows, _ := resultRows(t, f)
	last := len(rows) + 4
	for _, sheet := range []string{slip.SheetResults.Name.String(), slip.SheetCards.Name.String()} {
		kinds := map[string]string{}
		dvs, err := f.GetDataValidations(sheet)
		require.NoError(t, err)
		for _, dv := range dvs {
			kinds[dv.Type] += dv.Sqref + " "
			assert.NotEmpty(t, *dv.Error)
		}
		for _, kind := range []string{"list", "date", "decimal", "custom"} {
			assert.NotEmpty(t, kinds[kind], "%s %s", sheet, kind)
		}
		if sheet == slip.SheetResults.Name.String() {
			assert.Contains(t, kinds["list"], fmt.Sprintf("H5:H%d", last))
			assert.Contains(t, kinds["custom"], fmt.Sprintf("P5:P%d", last), "identifiers refuse typing")
		}
	}
	id, err := f.GetCellStyle(slip.SheetResults.Name.String(), "H5")
	require.NoError(t, err)
	style, err := f.GetStyle(id)
	require.NoError(t, err)
	assert.Len(t, style.Border, 4, "a frame tells where to type, not the colour alone")
}

func TestCardsAreLockedWithoutAPasswordAndResultsAreNot(t *testing.T) {
	book := written(t, invented.Document(), workbook.Options{})
	cards, results := part(t, book, "xl/worksheets/sheet2.xml"), part(t, book, "xl/worksheets/sheet3.xml")
	_, protection, ok := strings.Cut(cards, "<sheetProtection ")
	require.True(t, ok)
	protection, _, _ = strings.Cut(protection, ">")
	assert.NotContains(t, protection, "password")
	assert.NotContains(t, protection, "hashValue")
	assert.NotContains(t, results, "<sheetProtection", "a locked sheet cannot be sorted")
	assert.Contains(t, results, "<tablePart ")
	f := open(t, book)
	rows, err := f.GetRows(slip.SheetCards.Name.String())
	require.NoError(t, err)
	unlocked := 0
	for i, r := range rows {
		if len(r) <= slip.CardSlip {
			continue
		}
		s, err := slip.Parse(r[slip.CardSlip])
		require.NoError(t, err)
		col := map[slip.Fills]int{slip.Found: slip.CardFound, slip.Done: slip.CardDone, slip.Measure: slip.CardMeasured, slip.Visit: slip.CardOdometer}[s.Fills]
		at, err := excelize.CoordinatesToCellName(col+1, i+1)
		require.NoError(t, err)
		id, err := f.GetCellStyle(slip.SheetCards.Name.String(), at)
		require.NoError(t, err)
		style, err := f.GetStyle(id)
		require.NoError(t, err)
		assert.False(t, style.Protection.Locked, "%s of row %d", s.Fills, i+1)
		unlocked++
	}
	assert.Positive(t, unlocked)
}

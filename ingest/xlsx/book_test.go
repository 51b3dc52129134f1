package xlsx

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// save writes a workbook made by fill and returns its path.
func save(t testing.TB, fill func(f *excelize.File)) string {
	t.Helper()
	f := excelize.NewFile()
	fill(f)
	path := filepath.Join(t.TempDir(), "fleet.xlsx")
	require.NoError(t, f.SaveAs(path))
	require.NoError(t, f.Close())
	return path
}

// line is a row as Read gave it.
type line struct {
	row   int
	cells []string
}

// readSheet reads a sheet to its end.
func readSheet(b *Book, sheet string) ([]line, error) {
	rows, err := b.Rows(sheet)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []line
	for {
		n, cells, err := rows.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return out, err
		}
		out = append(out, line{n, append([]string(nil), cells...)})
	}
}

func TestReadsRowsWithTheirNumbers(t *testing.T) {
	path := save(t, func(f *excelize.File) {
		for ref, v := range map[string]any{"A1": "Fleet list", "A3": "unit", "B3": "odometer", "A4": "00123", "B4": 123456.7, "D9": true} {
			require.NoError(t, f.SetCellValue("Sheet1", ref, v))
		}
		require.NoError(t, f.SetCellFormula("Sheet1", "B10", "B4*2"))
		require.NoError(t, f.SetRowVisible("Sheet1", 4, false))
	})
	b, err := Open(context.Background(), path, Options{TmpDir: t.TempDir()})
	require.NoError(t, err)
	defer b.Close()
	got, err := readSheet(b, "sheet1")
	require.NoError(t, err)
	want := []line{{1, []string{"Fleet list"}}, {3, []string{"unit", "odometer"}}, {4, []string{"00123", "123456.7"}}, {9, []string{"", "", "", "1"}}, {10, []string{"", ""}}}
	require.Equal(t, want, got)
	s := b.Sheets()[0]
	require.Equal(t, "Sheet1 5 1 1", fmt.Sprint(s.Name, " ", s.Rows, s.HiddenRows, s.Formulas))
}

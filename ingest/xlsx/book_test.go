package xlsx

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

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

// TestBookAsTheLibraryWritesIt: unit numbers keep their zeros, raw values, hidden rows
// and formulas counted, a million rows not needed.
func TestBookAsTheLibraryWritesIt(t *testing.T) {
	data := saved(t, excelize.Options{}, func(f *excelize.File) {
		for ref, v := range map[string]any{"A1": "Fleet list", "A3": "unit", "B3": "odometer", "A4": "00123", "B4": 123456.7, "D9": true} {
			require.NoError(t, f.SetCellValue("Sheet1", ref, v))
		}
		require.NoError(t, f.SetCellFormula("Sheet1", "B10", "B4*2"))
		require.NoError(t, f.SetRowVisible("Sheet1", 4, false))
	})
	b, lines, err := readBytes(t, data, Options{})
	require.NoError(t, err)
	require.Equal(t, "1:Fleet list 3:unit|odometer 4:00123|123456.7 9:|||1 10:|", text(lines))
	s := b.Sheets()[0]
	require.Equal(t, []int{5, 1, 1}, []int{s.Rows, s.HiddenRows, s.Formulas})
	sum := sha256.Sum256(data)
	require.Equal(t, hex.EncodeToString(sum[:]), b.SHA256())
	require.False(t, b.Date1904())
}

func TestHiddenChartAndDatedSheets(t *testing.T) {
	data := saved(t, excelize.Options{}, func(f *excelize.File) {
		fill(t, 2)(f)
		for _, name := range []string{"Old", "Older"} {
			_, err := f.NewSheet(name)
			require.NoError(t, err)
		}
		require.NoError(t, f.SetSheetVisible("Old", false))
		require.NoError(t, f.SetSheetVisible("Older", false, true))
		require.NoError(t, f.AddChartSheet("Picture", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Values: "Sheet1!$B$1:$B$2"}}}))
		yes := true
		require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
	})
	b, _, err := readBytes(t, data, Options{})
	require.NoError(t, err)
	require.True(t, b.Date1904())
	var names []string
	for _, s := range b.Sheets() {
		names = append(names, s.Name+map[bool]string{true: " hidden"}[s.Hidden])
	}
	require.Equal(t, []string{"Sheet1", "Old hidden", "Older hidden"}, names)
	require.Len(t, b.Notes(), 1)
	require.Contains(t, b.Notes()[0].String(), `"Picture" is left out: it is a chartsheet`)
	lines, err := readSheet(b, "Old")
	require.NoError(t, err)
	require.Empty(t, lines)
	_, err = b.Rows("Picture")
	wantFault(t, err, NoSheet, "Picture")
}

// TestStrictForm: the namespaces of ECMA-376 part 1 in place of the transitional ones.
func TestStrictForm(t *testing.T) {
	parts := bookParts(sheetXML(`<row r="1"><c r="A1" t="s"><v>1</v></c></row>`))
	strict := strings.NewReplacer(mainNS, "http://purl.oclc.org/ooxml/spreadsheetml/main", relNS, "http://purl.oclc.org/ooxml/officeDocument/relationships")
	for i := range parts {
		parts[i].data = strict.Replace(parts[i].data)
	}
	_, lines, err := readBytes(t, zipOf(t, parts), Options{})
	require.NoError(t, err)
	require.Equal(t, "1:unit", text(lines))
}

func TestSpoolFilesGoWithTheBook(t *testing.T) {
	// Over 16 MiB of shared strings and of sheet, excelize spools both.
	var rows strings.Builder
	for i := 1; i <= 560; i++ {
		rows.WriteString(`<row r="` + itoa(i) + `"><c r="A` + itoa(i) + `" t="s"><v>` + itoa(i-1) + `</v></c><c r="B` + itoa(i) + `" t="str"><v>` + strings.Repeat("y", 31000) + `</v></c></row>`)
	}
	sst := header + `<sst xmlns="` + mainNS + `">` + strings.Repeat("<si><t>"+strings.Repeat("x", 31000)+"</t></si>", 560) + "</sst>"
	path := write(t, "fleet.xlsx", zipOf(t, replaced(bookParts(sheetXML(rows.String())), "xl/sharedStrings.xml", sst)))
	tmp := t.TempDir()
	b, err := Open(context.Background(), path, Options{TmpDir: tmp})
	require.NoError(t, err)
	entries, err := os.ReadDir(tmp)
	require.NoError(t, err)
	require.Len(t, entries, 1)
	info, err := entries[0].Info()
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		require.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	}
	r, err := b.Rows("Units")
	require.NoError(t, err)
	for range 560 {
		_, cells, err := r.Read()
		require.NoError(t, err)
		require.Len(t, cells[0], 31000)
	}
	require.NoError(t, b.Close(), "rows still open")
	entries, err = os.ReadDir(tmp)
	require.NoError(t, err)
	require.Empty(t, entries)
	_, _, err = r.Read()
	require.Error(t, err, "read after close")
	require.NotErrorIs(t, err, io.EOF)
	_, err = b.Rows("Units")
	require.Error(t, err, "rows after close")
	require.NoError(t, b.Close(), "close twice")
}

func TestEndIsRepeated(t *testing.T) {
	b, _, err := readBytes(t, saved(t, excelize.Options{}, fill(t, 2)), Options{})
	require.NoError(t, err)
	r, err := b.Rows("Sheet1")
	require.NoError(t, err)
	for range 2 {
		_, _, err = r.Read()
		require.NoError(t, err)
	}
	for range 3 {
		_, _, err = r.Read()
		require.ErrorIs(t, err, io.EOF)
	}
}

func TestSecondRowsEndsTheFirst(t *testing.T) {
	b, _, err := readBytes(t, saved(t, excelize.Options{}, fill(t, 2)), Options{})
	require.NoError(t, err)
	first, err := b.Rows("Sheet1")
	require.NoError(t, err)
	lines, err := readSheet(b, "Sheet1")
	require.NoError(t, err)
	require.Len(t, lines, 2)
	_, _, err = first.Read()
	require.ErrorContains(t, err, "closed")
}

// TestShortDeliveryIsAnError: should excelize deliver other than what the check
// counted, that is an error and not a shorter list.
func TestShortDeliveryIsAnError(t *testing.T) {
	for _, change := range []func(s *Sheet){
		func(s *Sheet) { s.Rows++ },
		func(s *Sheet) { s.cells++ },
		func(s *Sheet) { s.last++; s.Rows++ },
		func(s *Sheet) { s.last-- },
	} {
		b, _, err := readBytes(t, saved(t, excelize.Options{}, fill(t, 5)), Options{second: true})
		require.NoError(t, err)
		r, err := b.Rows("Sheet1")
		require.NoError(t, err)
		change(&r.way.(*libraryWay).check.sheet)
		for err == nil {
			_, _, err = r.Read()
		}
		wantFault(t, err, Damaged, `sheet "Sheet1"`, "but the file holds")
	}
}

func TestCancellation(t *testing.T) {
	path := write(t, "fleet.xlsx", saved(t, excelize.Options{}, fill(t, 50)))
	ctx, cancel := context.WithCancel(context.Background())
	b, err := Open(ctx, path, Options{})
	require.NoError(t, err)
	defer b.Close()
	r, err := b.Rows("Sheet1")
	require.NoError(t, err)
	_, _, err = r.Read()
	require.NoError(t, err)
	cancel()
	_, _, err = r.Read()
	require.ErrorIs(t, err, context.Canceled)
	_, err = Open(ctx, path, Options{})
	require.ErrorIs(t, err, context.Canceled)
	var f *Fault
	require.NotErrorAs(t, err, &f, "a cancellation is no fault of the file")
}

// TestFileIsNotHeld: the user may replace or remove the workbook while it is read.
func TestFileIsNotHeld(t *testing.T) {
	path := write(t, "fleet.xlsx", saved(t, excelize.Options{}, fill(t, 5)))
	b, err := Open(context.Background(), path, Options{})
	require.NoError(t, err)
	defer b.Close()
	require.NoError(t, os.WriteFile(path, []byte("other"), 0o600))
	require.NoError(t, os.Remove(path))
	lines, err := readSheet(b, "Sheet1")
	require.NoError(t, err)
	require.Len(t, lines, 5)
}

func TestSpoolFolderThatCannotBeMade(t *testing.T) {
	path := write(t, "fleet.xlsx", saved(t, excelize.Options{}, fill(t, 1)))
	_, err := Open(context.Background(), path, Options{TmpDir: path})
	require.ErrorContains(t, err, "spool folder")
}

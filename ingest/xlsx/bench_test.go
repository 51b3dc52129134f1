package xlsx

import (
	"archive/zip"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// fleetFile writes rows × 8 cells as a fleet export has them: texts, numbers, dates.
// With shared set, texts are shared strings as spreadsheet programs write them;
// else they are inline, as the stream writer does it.
func fleetFile(b *testing.B, rows int, shared bool) string {
	b.Helper()
	f := excelize.NewFile()
	put, done := rowWriter(b, f, shared)
	put(1, []any{"unit", "vin", "depot", "make", "model", "odometer", "date", "remarks"})
	for i := range rows {
		put(i+2, []any{fmt.Sprintf("N-%05d", i), fmt.Sprintf("Z9KTEAL%010d", i), "Harbour", "Northfold", "Teal", 100000 + i*7%90000, 45000 + i%900, "no remarks"})
	}
	done()
	path := filepath.Join(b.TempDir(), "fleet.xlsx")
	require.NoError(b, f.SaveAs(path))
	require.NoError(b, f.Close())
	return path
}

// rowWriter gives functions that write a row, by the stream or by cell, and end.
func rowWriter(b *testing.B, f *excelize.File, shared bool) (put func(int, []any), done func()) {
	if shared {
		return func(row int, cells []any) {
			require.NoError(b, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", row), &cells))
		}, func() {}
	}
	w, err := f.NewStreamWriter("Sheet1")
	require.NoError(b, err)
	return func(row int, cells []any) {
		require.NoError(b, w.SetRow(fmt.Sprintf("A%d", row), cells))
	}, func() { require.NoError(b, w.Flush()) }
}

// bare reads a workbook with excelize alone, raw values.
func bare(b *testing.B, path string) (rows int) {
	f, err := excelize.OpenFile(path, excelize.Options{RawCellValue: true})
	require.NoError(b, err)
	defer f.Close()
	r, err := f.Rows("Sheet1")
	require.NoError(b, err)
	for r.Next() {
		_, err := r.Columns()
		require.NoError(b, err)
		rows++
	}
	return rows
}

// plainCheck is the integrity pass as it would be without the scanner: every part to
// its end, the XML of sheets and strings through encoding/xml.
func plainCheck(b *testing.B, path string) {
	z, err := zip.OpenReader(path)
	require.NoError(b, err)
	defer z.Close()
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(b, err)
		if f.Name != "xl/worksheets/sheet1.xml" && f.Name != stringsPart {
			_, err = io.Copy(io.Discard, r)
			require.NoError(b, err)
			continue
		}
		d := xml.NewDecoder(r)
		for err == nil {
			_, err = d.Token()
		}
		require.Equal(b, io.EOF, err)
	}
}

// BenchmarkRead compares the ways of reading 20,000 rows: excelize alone, excelize
// after a plain integrity pass (what the speed goal is measured against), and ours.
func BenchmarkRead(b *testing.B) {
	for _, shared := range []bool{true, false} {
		path := fleetFile(b, 20000, shared)
		kind := map[bool]string{true: "shared", false: "inline"}[shared]
		b.Run(kind+"/excelize", func(b *testing.B) {
			for b.Loop() {
				require.Equal(b, 20001, bare(b, path))
			}
		})
		b.Run(kind+"/excelize+check", func(b *testing.B) {
			for b.Loop() {
				plainCheck(b, path)
				require.Equal(b, 20001, bare(b, path))
			}
		})
		b.Run(kind+"/ours", func(b *testing.B) {
			for b.Loop() {
				book, err := Open(context.Background(), path, Options{})
				require.NoError(b, err)
				rows, err := readCount(book)
				require.NoError(b, err)
				require.Equal(b, 20001, rows)
				require.NoError(b, book.Close())
			}
		})
		b.Run(kind+"/inflate", func(b *testing.B) {
			for b.Loop() {
				inflate(b, path)
			}
		})
	}
}

// inflate expands every part and compares its checksum: what no reading can do without.
func inflate(b *testing.B, path string) {
	z, err := zip.OpenReader(path)
	require.NoError(b, err)
	defer z.Close()
	for _, f := range z.File {
		r, err := f.Open()
		require.NoError(b, err)
		_, err = io.Copy(io.Discard, r)
		require.NoError(b, err)
		require.NoError(b, r.Close())
	}
}

// readCount reads the first sheet to its end.
func readCount(book *Book) (n int, err error) {
	rows, err := book.Rows(book.Sheets()[0].Name)
	if err != nil {
		return 0, err
	}
	for {
		if _, _, err = rows.Read(); errors.Is(err, io.EOF) {
			return n, rows.Close()
		} else if err != nil {
			return n, err
		}
		n++
	}
}

// BenchmarkOneFile reads the workbook that PITLIST_BENCH_FILE names, every sheet, for
// comparison with `unzip -p` of the same file.
func BenchmarkOneFile(b *testing.B) {
	path := os.Getenv("PITLIST_BENCH_FILE")
	if path == "" {
		b.Skip("PITLIST_BENCH_FILE names no workbook")
	}
	b.Run("inflate", func(b *testing.B) {
		for b.Loop() {
			inflate(b, path)
		}
	})
	b.Run("ours", func(b *testing.B) {
		for b.Loop() {
			book, err := Open(context.Background(), path, Options{})
			require.NoError(b, err)
			for _, s := range book.Sheets() {
				_, err := book.Count(s.Name)
				require.NoError(b, err)
			}
			require.NoError(b, book.Close())
		}
	})
}

package xlsx

import (
	"archive/zip"
	"io"
	"path/filepath"
	"testing"
)

// corpusSheets adds the small sheets of the messy corpus (testdata/intake) as
// seeds, those of damaged workbooks too as far as they unpack.
func corpusSheets(f *testing.F) {
	f.Helper()
	files, err := filepath.Glob("../../testdata/intake/files/*.xls[xm]")
	if err != nil || len(files) == 0 {
		f.Fatal("no corpus: ", err)
	}
	for _, path := range files {
		z, err := zip.OpenReader(path)
		if err != nil {
			continue // damaged, protected or no workbook
		}
		if r, err := z.Open("xl/worksheets/sheet1.xml"); err == nil {
			if text, err := io.ReadAll(io.LimitReader(r, 4001)); err == nil && len(text) <= 4000 {
				f.Add(string(text))
			}
			r.Close()
		}
		z.Close()
	}
}

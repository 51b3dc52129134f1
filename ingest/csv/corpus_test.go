package csv

import (
	"os"
	"path/filepath"
	"testing"
)

// corpusTexts adds the small text files of the messy corpus (testdata/intake)
// as seeds.
func corpusTexts(f *testing.F) {
	f.Helper()
	files, err := filepath.Glob("../../testdata/intake/files/*.csv")
	if err != nil || len(files) == 0 {
		f.Fatal("no corpus: ", err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		if len(data) <= 2000 {
			f.Add(string(data))
		}
	}
}

package vin

import (
	"os"
	"strings"
	"testing"
)

// corpusCells are the distinct cells of the messy corpus (testdata/intake), as
// seeds.
func corpusCells(t testing.TB) []string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/intake/cells.txt")
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
}

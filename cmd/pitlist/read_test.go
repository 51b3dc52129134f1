package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadSaysTheSameOnce: a column of 60 words that are no state is one line, and what else
// is wrong is not drowned by it.
func TestReadSaysTheSameOnce(t *testing.T) {
	dir := workshop(t)
	rows := []string{"unit,date,codes,state"}
	for i := range 60 {
		rows = append(rows, fmt.Sprintf("V1,2026-10-%02d,P0087,word %d", i%28+1, i))
	}
	rows = append(rows, "V1,2026-13-01,P0087,stored", "V1,2026-10-05,,", "V1,2026-10-06,,")
	put(t, filepath.Join(dir, "intake", "codes.csv"), []byte(strings.Join(rows, "\n")+"\n"))
	code, out, errOut := invoke(t, "read", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-23")
	require.Equal(t, exitRejected, code, errOut)
	assert.Equal(t, 1, strings.Count(out, "not known as a state of a code"), out)
	assert.Contains(t, out, `row 2, column "state": "word 0": not known as a state of a code; stored is taken (write stored, pending or permanent) — and 59 more rows alike, to row 61`)
	assert.Contains(t, out, `row 62, column "date": "2026-13-01"`)
	assert.Contains(t, out, "row 63: \"V1\": not scanned, and nothing else on the row that could be used — and row 64 alike")
	assert.NotContains(t, out, "a run writes them all")
}

package main

import (
	"encoding/json"
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

// TestExplainAtABuyingDesk decides as the desk does: a lot is taken, left or looked at first, and
// goes into no bay. Its lot names it.
func TestExplainAtABuyingDesk(t *testing.T) {
	for _, c := range []struct {
		run, name string
		says, not []string
	}{
		{"sale", "lot 5", []string{"lot 5 · ", "No. 1 of 8 in the order of the yard: take\n", "Stop at EUR 11,618"}, []string{"above the line", "in its depot"}},
		{"sale", "6", []string{"in the order of the yard, walked to: look first\n", "may be looked at: listen, 4 min in the yard"}, []string{"take in", "in its depot"}},
		{"counter", "SHORT", []string{"SHORT · ", "No. 1 of 7, through the workshop before it is sold on: take less\n", "Take it for EUR 300 less."}, []string{"take in", "in its depot"}},
		{"counter", "OTHER", []string{"take\n"}, []string{"Not on the list"}},
	} {
		t.Run(c.run+" "+c.name, func(t *testing.T) {
			code, out, errOut := invoke(t, "explain", filepath.Join("..", "..", "testdata", "runs", c.run, "job.yaml"), c.name, "--as-of", "2026-11-23")
			require.Equal(t, exitDone, code, errOut)
			for _, s := range c.says {
				assert.Contains(t, out, s)
			}
			for _, s := range c.not {
				assert.NotContains(t, out, s)
			}
			_, out, _ = invoke(t, "explain", filepath.Join("..", "..", "testdata", "runs", c.run, "job.yaml"), c.name, "--as-of", "2026-11-23", "--json")
			var told struct {
				Offer struct{ Verdict string }
			}
			require.NoError(t, json.Unmarshal([]byte(out), &told))
			assert.NotEmpty(t, told.Offer.Verdict)
		})
	}
}

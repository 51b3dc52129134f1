package bulletin

import (
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest"
)

const recalls = "../../testdata/recalls"

// readFile reads a file as the command does.
func readFile(t testing.TB, path string, o Options) *Result {
	t.Helper()
	var tables []*Table
	view, _ := ingest.ReadRaw(context.Background(), ingest.Input{Path: path, Shown: filepath.Base(path)}, ingest.Options{}, func(r *ingest.RawRow) error {
		if n := len(tables); n == 0 || tables[n-1].Sheet != r.Sheet {
			table, err := New(filepath.Base(path), r.Sheet, r.Date1904, o)
			require.NoError(t, err)
			tables = append(tables, table)
		}
		return tables[len(tables)-1].Add(r.Row, r.Cells, r.Fault)
	})
	require.NoError(t, view.Err)
	res, err := Read(tables, o)
	require.NoError(t, err)
	return res
}

// TestLabelledRows holds every row that was labelled by hand, before there was a
// program, against what is read: its outcome, its fit, its reason.
func TestLabelledRows(t *testing.T) {
	file, err := os.Open(filepath.Join(recalls, "labels.csv"))
	require.NoError(t, err)
	defer file.Close()
	labels, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(labels), 60)
	read := map[string]*Result{}
	for _, l := range labels[1:] {
		name, outcome, fit, reason := l[0], l[2], l[3], l[4]
		if read[name] == nil {
			read[name] = readFile(t, filepath.Join(recalls, name), Options{})
		}
		n, err := strconv.Atoi(l[1])
		require.NoError(t, err)
		var row *Row
		for i := range read[name].Rows {
			if read[name].Rows[i].Row == n {
				row = &read[name].Rows[i]
			}
		}
		require.NotNil(t, row, "%s row %d", name, n)
		got, gotFit, issues := string(row.Outcome), "", []string{}
		if row.Outcome == Merged {
			got = "drafted"
		}
		if row.Settle {
			got = "to settle"
		}
		if row.Fit != nil {
			gotFit = row.Fit.String()
		}
		for _, i := range row.Issues {
			issues = append(issues, i.String())
		}
		assert.Equal(t, outcome, got, "%s row %d: %v", name, n, issues)
		assert.Equal(t, fit, gotFit, "%s row %d: %v", name, n, issues)
		if reason == "" {
			assert.Empty(t, issues, "%s row %d", name, n)
		} else {
			assert.Contains(t, strings.Join(issues, "\n"), reason, "%s row %d", name, n)
		}
	}
}

package main

import (
	"encoding/csv"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite what whole runs are held against; read it afterwards")

// TestWholeRuns runs the jobs of testdata/runs as a user would and holds what
// they say and write against files that were reviewed by hand.
func TestWholeRuns(t *testing.T) {
	jobs, err := filepath.Glob("../../testdata/runs/*/job.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, jobs)
	for _, job := range jobs {
		t.Run(filepath.Base(filepath.Dir(job)), func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Dir(job))))
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "want")))
			code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-23")
			got := map[string]string{
				"said.txt":     "exit code " + strconv.Itoa(code) + "\n" + strings.ReplaceAll(out+errOut, dir+string(filepath.Separator), ""),
				"list.txt":     pick(t, filepath.Join(dir, "out", "2026-11-23", "worklist.csv"), "rank", "unit", "lead_part", "hours", "above_line", "why"),
				"findings.txt": pick(t, filepath.Join(dir, "out", "2026-11-23", "findings.csv"), "unit", "part", "membership", "membership_reason", "p_worn", "p_rectified"),
				"odometer.txt": pick(t, filepath.Join(dir, "out", "2026-11-23", "odometer.csv"), "unit", "distance_km", "finding", "detail"),
				"rejected.txt": pick(t, filepath.Join(dir, "out", "2026-11-23", "rejected.csv"), "file", "row", "column", "value", "severity", "reason", "suggestion"),
			}
			addDesk(t, filepath.Join(dir, "out", "2026-11-23"), got)
			for name, text := range got {
				path := filepath.Join(filepath.Dir(job), "want", name)
				if *update {
					put(t, path, []byte(text))
					continue
				}
				want, err := os.ReadFile(path)
				require.NoError(t, err)
				assert.Equal(t, string(want), text, name)
			}
		})
	}
}

// addDesk adds what only a buying desk writes, and the kits of all.
func addDesk(t *testing.T, out string, got map[string]string) {
	t.Helper()
	got["kits.txt"] = pick(t, filepath.Join(out, "kits.csv"), "part", "part_no", "expected", "hold", "pieces")
	if _, err := os.Stat(filepath.Join(out, "bills.csv")); err != nil {
		return
	}
	got["bills.txt"] = pick(t, filepath.Join(out, "bills.csv"), "unit", "vin", "amount", "probability")
	columns := []string{"rank", "unit", "vin", "above_line", "worth", "deduction", "bill_p90", "verdict", "checks", "swing", "minutes"}
	if strings.Contains(got["said.txt"], " lots: ") {
		columns = append(columns, "lot", "lane", "sale_order", "bid_limit")
	}
	got["desk.txt"] = pick(t, filepath.Join(out, "worklist.csv"), columns...)
	got["desk-parts.txt"] = pick(t, filepath.Join(out, "findings.csv"), "unit", "vin", "part", "p_sound", "p_worn", "fail_holding", "worth", "bill_mean", "bill_p90")
}

// pick writes some columns of a CSV file, a row a line, numbers to three
// figures: the last digits are another test's business.
func pick(t *testing.T, path string, columns ...string) string {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	var b strings.Builder
	for _, r := range rows {
		for i, c := range columns {
			require.Contains(t, at, c)
			v := r[at[c]]
			if n, err := strconv.ParseFloat(v, 64); err == nil && strings.Contains(v, ".") {
				v = strconv.FormatFloat(n, 'g', 3, 64)
			}
			if i > 0 {
				b.WriteString(" | ")
			}
			b.WriteString(v)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

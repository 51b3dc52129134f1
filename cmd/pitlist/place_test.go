package main

import (
	"context"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twoWeeks is a job with a record of one week, and the files of the next: a
// corrected row, a VIN that was not known, a remark that stands, a vehicle
// that is gone.
func twoWeeks(t *testing.T) string {
	t.Helper()
	dir, job := withHistory(t)
	week(t, dir, map[string]string{
		"units.csv": "unit,vin,make,model,model_year,odometer,odometer_date,engine_serial,remarks\n" +
			"V1,,Northfold,Heron,2017,210000,2026-11-13,HR730000,knocks when hot\nV2,Z8MHD4E28MA100002,Northfold,Heron,2018,90000,2026-11-13,HR790000,\n",
		"repairs.csv": "unit,date,odometer,text\nV1,2026-11-12,209900,oil service\nV1,2026-11-13,209950,wiper blades\n",
	})
	runOn(t, job, "2026-11-16")
	week(t, dir, map[string]string{
		"units.csv": "unit,vin,make,model,model_year,odometer,odometer_date,engine_serial,remarks\n" +
			unitOne + "210450,2026-11-20,HR730000,knocks when hot\n",
		"repairs.csv": "unit,date,odometer,text\nV1,2026-11-12,208900,oil service\nV1,2026-11-13,209950,wiper blades\nV1,2026-11-19,210400,rail pressure sensor replaced\n",
	})
	return dir
}

// quick leaves one part in the catalogue, which has no tables of unseen
// renewals to make: most of the time of a small run.
func quick(t *testing.T, dir string) {
	t.Helper()
	path := filepath.Join(dir, "parts.yaml")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	first, _, found := strings.Cut(string(text), "  - id: release-bearing")
	require.True(t, found)
	put(t, path, []byte(first))
}

// dump writes every table of a record, row by row.
func dump(t *testing.T, path string) string {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	defer db.Close()
	var b strings.Builder
	for _, table := range []string{"run", "word", "source", "run_source", "vehicle", "presence", "fact", "listed", "promised", "part", "depot", "segment"} {
		rows, err := db.Query("SELECT * FROM " + table + " ORDER BY 1, 2")
		require.NoError(t, err)
		cols, err := rows.Columns()
		require.NoError(t, err)
		for rows.Next() {
			cells := make([]any, len(cols))
			for i := range cells {
				cells[i] = new(any)
			}
			require.NoError(t, rows.Scan(cells...))
			b.WriteString(table)
			for _, c := range cells {
				fmt.Fprintf(&b, " | %v", *c.(*any))
			}
			b.WriteByte('\n')
		}
		require.NoError(t, rows.Close())
	}
	return b.String()
}

// outcomeOf is all that a job folder holds after its runs, timings aside.
func outcomeOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{"record": dump(t, filepath.Join(dir, "record.db"))}
	for path, text := range tree(t, filepath.Join(dir, "out")) {
		rel, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		if filepath.Base(path) != "timings.json" && !strings.HasPrefix(filepath.Base(path), lockName) {
			out[rel] = text
		}
	}
	return out
}

// TestCutOffAnywhere looks at the disk after each step of a run, as a kill
// would leave it, and runs again there. Before the folder's rename the second
// run comes to what an undisturbed one comes to; from then on, to what a second
// of the day comes to.
func TestCutOffAnywhere(t *testing.T) {
	const day = "2026-11-23"
	dir := twoWeeks(t)
	undisturbed := t.TempDir()
	require.NoError(t, os.CopyFS(undisturbed, os.DirFS(dir)))
	runOn(t, filepath.Join(undisturbed, "job.yaml"), day)
	once := outcomeOf(t, undisturbed)
	runOn(t, filepath.Join(undisturbed, "job.yaml"), day)
	twice := outcomeOf(t, undisturbed)

	at := map[string]string{} // the disk at each step
	d, err := parseDay(day)
	require.NoError(t, err)
	b, err := configure(filepath.Join(dir, "job.yaml"), d, nil)
	require.NoError(t, err)
	f, err := hold(b.job.OutputFolder())
	require.NoError(t, err)
	b.at = func(step string) {
		at[step] = t.TempDir()
		require.NoError(t, os.CopyFS(at[step], os.DirFS(dir)))
	}
	_, _, err = b.carryOut(context.Background(), f)
	require.NoError(t, err)
	f.release()
	assert.Equal(t, once, outcomeOf(t, dir))
	for step, want := range map[string]map[string]string{
		"filled": once, "announced": once, "committed": once, "renamed": twice, "named": twice, "finished": twice,
	} {
		t.Run(step, func(t *testing.T) {
			require.Contains(t, at, step)
			again := t.TempDir() // cut off once more, before anything but the clearing up
			require.NoError(t, os.CopyFS(again, os.DirFS(at[step])))
			clearUp(t, again)
			clearUp(t, again)
			for _, dir := range []string{at[step], again} {
				runOn(t, filepath.Join(dir, "job.yaml"), day)
				assert.Equal(t, want, outcomeOf(t, dir))
			}
		})
	}
}

// clearUp does what a run does before it reads anything.
func clearUp(t *testing.T, dir string) {
	t.Helper()
	d, err := parseDay("2026-11-23")
	require.NoError(t, err)
	b, err := configure(filepath.Join(dir, "job.yaml"), d, nil)
	require.NoError(t, err)
	f, err := hold(b.job.OutputFolder())
	require.NoError(t, err)
	defer f.release()
	m, err := remember(context.Background(), b, false)
	require.NoError(t, err)
	require.NoError(t, m.settle(context.Background(), f))
	require.NoError(t, m.record.Close())
}

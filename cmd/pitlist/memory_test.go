package main

import (
	"context"
	"database/sql"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// withHistory is the workshop with a record.
func withHistory(t *testing.T) (dir, job string) {
	t.Helper()
	dir = workshop(t)
	job = filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	put(t, job, append(text, []byte("history: record.db\n")...))
	quick(t, dir)
	return dir, job
}

// week puts this week's files into the intake, in the place of the last ones.
func week(t *testing.T, dir string, files map[string]string) {
	t.Helper()
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "intake")))
	for name, text := range files {
		put(t, filepath.Join(dir, "intake", name), []byte(text))
	}
}

// runOn makes a run that is to succeed.
func runOn(t *testing.T, job, day string) string {
	t.Helper()
	code, out, errOut := invoke(t, "run", job, "--as-of", day)
	require.Equal(t, exitDone, code, "%s%s", out, errOut)
	return out
}

// column is one column of a run's CSV file, by unit.
func column(t *testing.T, dir, run, file, name string) map[string]string {
	t.Helper()
	return columnBy(t, dir, run, file, "unit", name)
}

// columnBy is one column of a run's CSV file, by another.
func columnBy(t *testing.T, dir, run, file, by, name string) map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "out", run, file))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	out := map[string]string{}
	for _, r := range rows[1:] {
		require.Contains(t, at, name)
		out[r[at[by]]] += r[at[name]]
	}
	return out
}

// kept reads the facts of a vehicle from the record of the job in dir.
func kept(t *testing.T, dir, name string) (live, corrected []history.Entry) {
	t.Helper()
	r, err := history.Open(context.Background(), filepath.Join(dir, "record.db"))
	require.NoError(t, err)
	defer r.Close()
	facts, err := r.Facts(context.Background(), name)
	require.NoError(t, err)
	for _, f := range facts {
		if f.SupersededBy != 0 {
			corrected = append(corrected, f)
		} else {
			live = append(live, f)
		}
	}
	return live, corrected
}

const (
	unitsHead = "unit,vin,make,model,model_year,odometer,odometer_date,engine_serial\n"
	unitOne   = "V1,Z8LCA4E2XJB100001,Northfold,Heron,2017,"
)

// cameBackRule gives the first part of the catalogue a rule for codes that come
// back after the sensor was swapped.
func cameBackRule(t *testing.T, dir string) {
	t.Helper()
	path := filepath.Join(dir, "parts.yaml")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	const plain = "rules: [ { codes: { any: [P0087, P0191] }"
	require.Contains(t, string(text), plain)
	put(t, path, []byte(strings.Replace(string(text), plain, "rules: [ { came_back_after: [rail pressure sensor], codes: { any: [P0087, P0191] }, worn: 0.5, not_worn: 0.003 }, { codes: { any: [P0087, P0191] }", 1)))
}

// TestCodeComesBackAcrossWeeks: the sensor is swapped in one week's file and
// the code stands in the next week's; neither file alone shows that it came
// back.
func TestCodeComesBackAcrossWeeks(t *testing.T) {
	dir, job := withHistory(t)
	cameBackRule(t, dir)
	week(t, dir, map[string]string{
		"units.csv":   unitsHead + unitOne + "210000,2026-11-13,HR730000\n",
		"repairs.csv": "unit,date,odometer,text\nV1,2026-11-12,209900,rail pressure sensor replaced\n",
		"scans.csv":   "unit,date,odometer,codes\nV1,2026-11-11,209800,P0087\nV1,2026-11-12,209900,none\n",
	})
	runOn(t, job, "2026-11-16")
	second := map[string]string{
		"units.csv": unitsHead + unitOne + "210450,2026-11-20,HR730000\n",
		"scans.csv": "unit,date,odometer,codes\nV1,2026-11-20,210450,P0087\n",
	}
	week(t, dir, second)
	runOn(t, job, "2026-11-23")
	assert.Contains(t, column(t, dir, "2026-11-23", "findings.csv", "evidence")["V1"], "came back")

	_, forgetful := withHistory(t)
	cameBackRule(t, filepath.Dir(forgetful))
	week(t, filepath.Dir(forgetful), second)
	runOn(t, forgetful, "2026-11-23")
	assert.NotContains(t, column(t, filepath.Dir(forgetful), "2026-11-23", "findings.csv", "evidence")["V1"], "came back", "the second file alone does not show it")
}

// TestReadingAgainAddsNothing: the same files, moved and renamed, change
// neither the record nor the list.
func TestReadingAgainAddsNothing(t *testing.T) {
	dir, job := withHistory(t)
	files := map[string]string{
		"units.csv":   unitsHead + unitOne + "210000,2026-11-13,HR730000\n",
		"repairs.csv": "unit,date,odometer,text\nV1,2026-11-12,209900,oil service\nV1,2026-11-13,209950,brake pads renewed\n",
	}
	week(t, dir, files)
	runOn(t, job, "2026-11-16")
	first, _ := kept(t, dir, "V1")
	require.Len(t, first, 3)
	week(t, dir, map[string]string{
		"units (2).csv": files["units.csv"],
		"moved.csv":     "unit,date,odometer,text\nV1,2026-11-13,209950,brake pads renewed\n,,,\nV1,2026-11-12,209900,oil service\n",
	})
	runOn(t, job, "2026-11-23")
	again, corrected := kept(t, dir, "V1")
	assert.Equal(t, first, again)
	assert.Empty(t, corrected)
}

// TestRunRepeatsExactly: a run for an earlier day knows nothing of what was
// learned later, and is not kept.
func TestRunRepeatsExactly(t *testing.T) {
	dir, job := withHistory(t)
	one := map[string]string{
		"units.csv": unitsHead + unitOne + "210000,2026-11-13,HR730000\n",
		"scans.csv": "unit,date,odometer,codes\nV1,2026-11-12,209900,P0087\n",
	}
	week(t, dir, one)
	runOn(t, job, "2026-11-16")
	// What happened before the first run, and became known after it.
	week(t, dir, map[string]string{
		"units.csv":   unitsHead + unitOne + "210450,2026-11-20,HR730000\n",
		"repairs.csv": "unit,date,odometer,text\nV1,2026-11-14,209950,high-pressure pump follower replaced\n",
	})
	runOn(t, job, "2026-11-23")
	before, _ := kept(t, dir, "V1")
	week(t, dir, one)
	runOn(t, job, "2026-11-16")
	for _, name := range []string{"worklist.csv", "findings.csv", "odometer.csv"} {
		a, err := os.ReadFile(filepath.Join(dir, "out", "2026-11-16", name))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(dir, "out", "2026-11-16-2", name))
		require.NoError(t, err)
		assert.Equal(t, string(a), string(b), name)
	}
	after, _ := kept(t, dir, "V1")
	assert.Equal(t, before, after)
	said, err := os.ReadFile(filepath.Join(dir, "out", "2026-11-16-2", "run.json"))
	require.NoError(t, err)
	assert.Contains(t, string(said), "runs of later days")
}

// TestDamagedRecord is named and set aside; the run goes on without memory
// only where it is told to.
func TestDamagedRecord(t *testing.T) {
	for name, harm := range map[string]func([]byte) []byte{
		"a page in the middle is overwritten": func(b []byte) []byte { copy(b[16384*3:], strings.Repeat("\xff", 16384)); return b },
		"the file is cut":                     func(b []byte) []byte { return b[:len(b)/2] },
		"the file is rubbish":                 func([]byte) []byte { return []byte("\x00\x01\x02\xff\xfe rubbish") },
		"the file is empty":                   func([]byte) []byte { return nil },
	} {
		t.Run(name, func(t *testing.T) {
			dir, job := withHistory(t)
			runOn(t, job, "2026-11-25")
			path := filepath.Join(dir, "record.db")
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			put(t, path, harm(data))
			before := tree(t, filepath.Join(dir, "out"))
			for range 2 { // the second finds it set aside, and does not begin anew in silence
				code, _, errOut := invoke(t, "run", job, "--as-of", "2026-12-02")
				assert.Equal(t, exitFailed, code)
				assert.Contains(t, lineOf(errOut, "error: "), "damaged")
				assert.Contains(t, lineOf(errOut, "error: "), "record.db.damaged-2026-12-02")
				assert.Contains(t, lineOf(errOut, "hint: "), "--without-memory")
			}
			assert.Equal(t, before, tree(t, filepath.Join(dir, "out")))
			code, _, errOut := invoke(t, "run", job, "--as-of", "2026-12-02", "--without-memory")
			require.Equal(t, exitDone, code, errOut)
			runOn(t, job, "2026-12-09")
		})
	}
}

// TestWithoutMemory leaves a sound record as it is and says so.
func TestWithoutMemory(t *testing.T) {
	dir, job := withHistory(t)
	runOn(t, job, "2026-11-25")
	before, err := os.ReadFile(filepath.Join(dir, "record.db"))
	require.NoError(t, err)
	code, _, _ := invoke(t, "run", job, "--as-of", "2026-12-02", "--without-memory")
	require.Equal(t, exitDone, code)
	after, err := os.ReadFile(filepath.Join(dir, "record.db"))
	require.NoError(t, err)
	assert.Equal(t, before, after)
	said, err := os.ReadFile(filepath.Join(dir, "out", "2026-12-02", "run.json"))
	require.NoError(t, err)
	assert.Contains(t, string(said), "without memory")
}

// TestForeignAndNewerRecords are refused and not touched.
func TestForeignAndNewerRecords(t *testing.T) {
	dir, job := withHistory(t)
	path := filepath.Join(dir, "record.db")
	put(t, path, []byte("unit,vin\nV1,Z8LCA4E2XJB100001\n"))
	code, _, errOut := invoke(t, "run", job, "--as-of", "2026-11-25")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, lineOf(errOut, "error: "), "no record of pitlist")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "unit,vin\nV1,Z8LCA4E2XJB100001\n", string(data))

	require.NoError(t, os.Remove(path))
	runOn(t, job, "2026-11-25")
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec("PRAGMA user_version = 99")
	require.NoError(t, err)
	require.NoError(t, db.Close())
	code, _, errOut = invoke(t, "run", job, "--as-of", "2026-12-02")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, lineOf(errOut, "error: "), "version 99")
	assert.Contains(t, lineOf(errOut, "hint: "), "later version")
}

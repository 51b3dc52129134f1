package main

import (
	"bytes"
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
)

// changeRecord runs SQL on a record as another program would, and brings it
// into the one file.
func changeRecord(t *testing.T, path, query string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	for _, q := range []string{query, "PRAGMA wal_checkpoint(TRUNCATE)"} {
		_, err = db.Exec(q)
		require.NoError(t, err)
	}
	require.NoError(t, db.Close())
}

// spoilPages overwrites every page of a record but the first, under whoever has
// it open: what he has read of it he must read again, since it was changed.
func spoilPages(t *testing.T, path string) {
	t.Helper()
	changeRecord(t, path, "UPDATE run SET job = job || ' again'")
	const page = 16384
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Greater(t, len(data), 2*page)
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteAt(bytes.Repeat([]byte{0xff}, len(data)-page), page)
	require.NoError(t, err)
	require.NoError(t, f.Close())
}

// runToldOf makes a run on a day and calls at before each of its later steps.
func runToldOf(t *testing.T, job, day string, at func(step string)) error {
	t.Helper()
	d, err := parseDay(day)
	require.NoError(t, err)
	b, err := configure(job, d, nil)
	require.NoError(t, err)
	f, err := hold(b.job.OutputFolder())
	require.NoError(t, err)
	defer f.release()
	b.at = at
	_, _, err = b.carryOut(context.Background(), f)
	return err
}

// TestDamageFoundLate: a record whose pages are sound and whose content is not,
// and pages that go bad after they were checked, are treated as what is found
// at the start: named, set aside, and no run without memory unless told to.
func TestDamageFoundLate(t *testing.T) {
	nothing := func(string, string) {}
	for name, c := range map[string]struct {
		before string // SQL that spoils the record, its pages being sound
		during func(path, step string)
		wrote  bool // the run is in its place all the same
	}{
		"a run's facts cannot be read": {"UPDATE segment SET data = x'ffffffffffffffffffffff'", nothing, false},
		"a word gone bad":              {"UPDATE word SET text = text || 'x' WHERE id = 1", nothing, false},
		"words far apart":              {"INSERT INTO word VALUES (4611686018427387904, 'far')", nothing, false},
		"pages spoilt before the run is entered": {"", func(path, step string) {
			if step == "recalled" {
				spoilPages(t, path)
			}
		}, false},
		"pages spoilt after the run happened": {"", func(path, step string) {
			if step == "named" {
				spoilPages(t, path)
			}
		}, true},
	} {
		t.Run(name, func(t *testing.T) {
			dir, job := withHistory(t)
			runOn(t, job, "2026-11-25")
			path := filepath.Join(dir, "record.db")
			if c.before != "" {
				changeRecord(t, path, c.before)
			}
			out := tree(t, filepath.Join(dir, "out"))
			err := runToldOf(t, job, "2026-12-02", func(step string) { c.during(path, step) })
			text, hint := explain(err, say.English)
			assert.Contains(t, text, "damaged")
			assert.Contains(t, text, "set aside as "+path+".damaged-2026-12-02")
			assert.Contains(t, hint, "--without-memory")
			assert.Equal(t, exitFailed, codeOf(err))
			assert.NoFileExists(t, path)
			if c.wrote {
				assert.Contains(t, text, "the run is written")
				assert.FileExists(t, filepath.Join(dir, "out", "2026-12-02", runRecord))
			} else {
				assert.Equal(t, out, tree(t, filepath.Join(dir, "out")))
			}
			code, _, errOut := invoke(t, "run", job, "--as-of", "2026-12-09")
			assert.Equal(t, exitFailed, code, "nothing begins anew in silence")
			assert.Contains(t, errOut, "set aside")
			code, _, errOut = invoke(t, "run", job, "--as-of", "2026-12-09", "--without-memory")
			require.Equal(t, exitDone, code, errOut)
		})
	}
}

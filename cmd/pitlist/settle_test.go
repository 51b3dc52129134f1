package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
)

// TestSettle: files that move while a run waits, with a clock handed in that
// plays what the other side does meanwhile.
func TestSettle(t *testing.T) {
	begin := time.Date(2026, 11, 23, 4, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		rule   string
		during func(t *testing.T, dir string, since time.Duration) // after each wait
		waits  time.Duration
		aside  string // the file set aside, "" for none
		why    string
	}{
		{"files that keep still are looked at twice", func(*testing.T, string, time.Duration) {}, 10 * time.Second, "", ""},
		{"a growing file is waited for", func(t *testing.T, dir string, since time.Duration) {
			if since <= 60*time.Second {
				grow(t, filepath.Join(dir, "intake/a.csv"))
			}
		}, 70 * time.Second, "", ""},
		{"a file whose size stands while its time moves is being written", func(t *testing.T, dir string, since time.Duration) {
			if since <= 30*time.Second {
				require.NoError(t, os.Chtimes(filepath.Join(dir, "intake/a.csv"), begin, begin.Add(since)))
			}
		}, 40 * time.Second, "", ""},
		{"a file that never comes to rest is set aside", func(t *testing.T, dir string, _ time.Duration) {
			grow(t, filepath.Join(dir, "intake/a.csv"))
		}, 130 * time.Second, "intake/a.csv", "still being written after 2 minutes"},
		{"a lock beside a file is waited for", func(t *testing.T, dir string, since time.Duration) {
			beside := filepath.Join(dir, "intake/~$b.xlsx")
			if since <= 20*time.Second {
				put(t, beside, nil)
			} else {
				os.Remove(beside)
			}
		}, 30 * time.Second, "", ""},
		{"a lock that stays sets its file aside", func(t *testing.T, dir string, _ time.Duration) {
			put(t, filepath.Join(dir, "intake/.~lock.b.xlsx#"), nil)
		}, 130 * time.Second, "intake/b.xlsx", "open in another program (.~lock.b.xlsx#)"},
		{"a copy under another name is waited for", func(t *testing.T, dir string, since time.Duration) {
			part := filepath.Join(dir, "intake/c.csv.part")
			switch {
			case since <= 20*time.Second:
				put(t, part, []byte("unit\n"))
			case since == 30*time.Second:
				require.NoError(t, os.Rename(part, filepath.Join(dir, "intake/c.csv")))
			}
		}, 40 * time.Second, "", ""},
		{"a copy that is never finished is told of", func(t *testing.T, dir string, _ time.Duration) {
			put(t, filepath.Join(dir, "intake/c.csv.part"), []byte("unit\n"))
		}, 130 * time.Second, "intake/c.csv", "a copy of it was not finished (c.csv.part)"},
		{"a file that arrives late is seen to rest too", func(t *testing.T, dir string, since time.Duration) {
			if since == 10*time.Second {
				put(t, filepath.Join(dir, "intake/late.csv"), []byte("unit\n"))
			}
		}, 20 * time.Second, "", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			dir := t.TempDir()
			put(t, filepath.Join(dir, "intake/a.csv"), []byte("unit\nV1\n"))
			put(t, filepath.Join(dir, "intake/b.xlsx"), []byte("PK"))
			put(t, filepath.Join(dir, "job.yaml"), []byte(`{ inputs: ["intake/*"], catalogue: [p.yaml], schedule: { cron: "@daily", time_zone: UTC, wait_minutes: 2 } }`))
			job, faults, err := config.LoadJob(filepath.Join(dir, "job.yaml"))
			require.NoError(t, err)
			require.Empty(t, faults)
			now := begin
			moving, err := settle(context.Background(), clock{now: func() time.Time { return now }, wait: func(_ context.Context, d time.Duration) error {
				now = now.Add(d)
				c.during(t, dir, now.Sub(begin))
				return nil
			}}, job)
			require.NoError(t, err)
			assert.Equal(t, c.waits, now.Sub(begin))
			if c.aside == "" {
				assert.Empty(t, moving)
				return
			}
			require.Len(t, moving, 1)
			assert.Equal(t, c.aside, moving[0].shown)
			assert.Contains(t, moving[0].note().String(), c.why)
		})
	}
}

func grow(t *testing.T, path string) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString("V2\n")
	require.NoError(t, err)
	require.NoError(t, f.Close())
}

// TestSetAside: the run goes on without the file, says so, and ends with the
// code of a run that left something out; a file named in full is no exception.
func TestSetAside(t *testing.T) {
	dir := workshop(t)
	quick(t, dir)
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	put(t, job, append(text, []byte("schedule: { cron: \"@yearly\", time_zone: UTC, settle_seconds: 0.05, wait_minutes: 0 }\n")...))
	put(t, filepath.Join(dir, "intake", "b.csv"), []byte("unit,model,odometer,odometer_date\nV9,Heron,120000,2025-11-20\n"))
	put(t, filepath.Join(dir, "intake", "~$b.csv"), nil)
	code, _, errOut := invoke(t, "schedule", job, "--once")
	assert.Equal(t, exitRejected, code, errOut)
	assert.Contains(t, errOut, "set aside")
	assert.Contains(t, errOut, "files_unread=1")
	runs, err := runsIn(filepath.Join(dir, "out"))
	require.NoError(t, err)
	require.Len(t, runs, 1)
	record, err := os.ReadFile(filepath.Join(dir, "out", runs[0], runRecord))
	require.NoError(t, err)
	assert.Contains(t, string(record), "intake/b.csv was set aside: it was open in another program")
	assert.NotContains(t, string(record), `"path": "intake/b.csv"`)
	list, err := os.ReadFile(filepath.Join(dir, "out", runs[0], "worklist.csv"))
	require.NoError(t, err)
	assert.False(t, strings.Contains(string(list), "V9"))
}

// TestChangedWhileRead: a plain run looks at each file again once it is read.
func TestChangedWhileRead(t *testing.T) {
	dir := workshop(t)
	day, err := parseDay("2026-11-25")
	require.NoError(t, err)
	b, err := configure(filepath.Join(dir, "job.yaml"), day, nil)
	require.NoError(t, err)
	before := b.sizes()
	b.changedSince(before)
	assert.Empty(t, b.notes)
	grow(t, b.files[0].Path)
	b.changedSince(before)
	require.Len(t, b.notes, 1)
	assert.Contains(t, b.notes[0].String(), "intake/a.csv changed while it was read")
}

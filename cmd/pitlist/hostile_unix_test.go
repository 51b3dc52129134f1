//go:build unix

package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestModesOfFiles: results have what the user's umask leaves, temporary files
// are the owner's alone.
func TestModesOfFiles(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	dir := workshop(t)
	job := filepath.Join(dir, "job.yaml")
	put(t, filepath.Join(dir, "intake", "b.xlsx"), book(t, "", unitRows...))
	put(t, job, append(mustRead(t, job), []byte("history: memory.db\nmetrics: told.prom\n")...))
	old := syscall.Umask(0o027)
	code, _, errOut := invoke(t, "run", job, "--as-of", "2026-11-25")
	metrics := invokeSchedule(t, job)
	made, remove, err := spool()
	syscall.Umask(old)
	require.Equal(t, exitDone, code, errOut)
	require.NoError(t, err)
	look := func(path string, info fs.FileInfo) {
		want := fs.FileMode(0o640)
		if info.IsDir() {
			want = 0o750
		}
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
	require.NoError(t, filepath.WalkDir(filepath.Join(dir, "out"), func(path string, d fs.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := d.Info()
		require.NoError(t, err)
		look(path, info)
		return nil
	}))
	for _, path := range []string{filepath.Join(dir, "memory.db"), metrics} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		look(path, info)
	}
	for path, want := range map[string]fs.FileMode{made: 0o700, filepath.Join(made, spoolLock): 0o600} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
	require.NoError(t, remove())
}

// invokeSchedule lets a due run be made and names the metrics file.
func invokeSchedule(t *testing.T, job string) string {
	t.Helper()
	put(t, job, append(mustRead(t, job), []byte("schedule: { cron: \"@yearly\", time_zone: UTC, settle_seconds: 0 }\n")...))
	code, _, errOut := invoke(t, "schedule", job, "--once")
	require.Equal(t, exitDone, code, errOut)
	return filepath.Join(filepath.Dir(job), "told.prom")
}

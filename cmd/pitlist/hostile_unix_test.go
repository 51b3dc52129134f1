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
	old := syscall.Umask(0o027)
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	made, remove, err := spool()
	syscall.Umask(old)
	require.Equal(t, exitDone, code, errOut)
	require.NoError(t, err)
	require.NoError(t, filepath.WalkDir(filepath.Join(dir, "out"), func(path string, d fs.DirEntry, err error) error {
		require.NoError(t, err)
		info, err := d.Info()
		require.NoError(t, err)
		want := fs.FileMode(0o640)
		if d.IsDir() {
			want = 0o750
		}
		assert.LessOrEqual(t, info.Mode().Perm()&^want, fs.FileMode(0), "%s %v", path, info.Mode())
		if filepath.Base(path) == "worklist.csv" {
			assert.Equal(t, want, info.Mode().Perm(), path)
		}
		return nil
	}))
	for path, want := range map[string]fs.FileMode{made: 0o700, filepath.Join(made, spoolLock): 0o600} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), path)
	}
	require.NoError(t, remove())
}

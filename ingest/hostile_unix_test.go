//go:build unix

package ingest

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestNamedPipe: a pipe that nobody writes to does not make a run wait.
func TestNamedPipe(t *testing.T) {
	dir := t.TempDir()
	good := filepath.Join(dir, "good.csv")
	require.NoError(t, os.WriteFile(good, []byte("Unit;Model\nG1;Heron\n"), 0o600))
	for _, name := range []string{"pipe.csv", "pipe.xlsx"} {
		path := filepath.Join(dir, name)
		require.NoError(t, syscall.Mkfifo(path, 0o600))
		r := read(t, good, path)
		require.ErrorContains(t, r.Files[1].Err, "not a regular file")
		assert.NotEmpty(t, hint(r.Files[1].Err))
		assert.Equal(t, []string{"G1"}, r.names())
		_, err := tryRead(t, []Input{{Path: good}, {Path: path}}, Options{Strict: true})
		require.ErrorContains(t, err, name+": not a regular file", "a strict job stops")
	}
}

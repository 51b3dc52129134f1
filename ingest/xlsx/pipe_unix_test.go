//go:build unix

package xlsx

import (
	"context"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPipesAndDevicesAreRefused: opening a pipe would wait for ever.
func TestPipesAndDevicesAreRefused(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "fleet.xlsx")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	for _, path := range []string{pipe, "/dev/zero"} {
		_, err := Open(context.Background(), path, Options{})
		wantFault(t, err, NotRegular, "not a regular file")
	}
}

// TestFilePutInPlaceWhileOpened: between the look at a file and its opening, who may
// write into its folder can put a pipe or a link there.
func TestFilePutInPlaceWhileOpened(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "fleet")
	require.NoError(t, os.WriteFile(path, []byte("unit"), 0o600))
	info, err := regular(path)
	require.NoError(t, err)
	for _, put := range []func() error{
		func() error { return syscall.Mkfifo(path, 0o600) },
		func() error { return os.Symlink(os.DevNull, path) },
		func() error { return os.WriteFile(path, []byte("unit"), 0o600) },
	} {
		require.NoError(t, os.Rename(path, path+".old")) // so that the new one is another file
		require.NoError(t, put())
		f, err := opened(path, info)
		require.Nil(t, f)
		require.ErrorIs(t, err, Changed)
		require.ErrorContains(t, err, "another file was put in its place")
	}
}

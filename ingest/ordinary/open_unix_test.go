//go:build unix

package ordinary

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPipesAndDevices(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "fleet.csv")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	for _, path := range []string{pipe, "/dev/zero"} {
		_, _, refused := Open(path, "")
		require.NotNil(t, refused)
		assert.Equal(t, NotRegular, refused.Kind)
	}
}

// TestFilePutInPlaceWhileOpened: between the look at a file and its opening, who may
// write into its folder can put another file, a pipe or a link there.
func TestFilePutInPlaceWhileOpened(t *testing.T) {
	outside := put(t, filepath.Join(t.TempDir(), "secret"), "secret")
	for rule, c := range map[string]struct {
		put  func(path string) error
		want Kind
	}{
		"another file":             {func(path string) error { return os.WriteFile(path, []byte("unit"), 0o600) }, Changed},
		"a pipe":                   {func(path string) error { return syscall.Mkfifo(path, 0o600) }, Changed},
		"a link in the folder":     {func(path string) error { return os.Symlink("other", path) }, Changed},
		"a link out of the folder": {func(path string) error { return os.Symlink(outside, path) }, Unreadable},
		"a link to a device":       {func(path string) error { return os.Symlink(os.DevNull, path) }, Unreadable},
		"a link back to the same file, moved out": {func(path string) error {
			if err := os.Rename(path+".old", outside+".moved"); err != nil {
				return err
			}
			return os.Symlink(outside+".moved", path)
		}, Unreadable},
	} {
		t.Run(rule, func(t *testing.T) {
			dir := t.TempDir()
			path := put(t, filepath.Join(dir, "fleet"), "unit")
			put(t, filepath.Join(dir, "other"), "unit")
			s, refused := look(path, "")
			require.Nil(t, refused)
			defer s.root.Close()
			require.NoError(t, os.Rename(path, path+".old")) // so that the new one is another file
			require.NoError(t, c.put(path))
			done := make(chan *Refusal, 1)
			go func() {
				_, refused := s.open()
				done <- refused
			}()
			select {
			case refused := <-done:
				require.NotNil(t, refused, "it was opened")
				assert.Equal(t, c.want, refused.Kind)
			case <-time.After(20 * time.Second):
				t.Fatal("the pipe is waited for")
			}
		})
	}
}

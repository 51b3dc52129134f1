//go:build unix

package csv

import (
	"context"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPipesAndDevicesAreRefused: opening a pipe would wait for ever.
func TestPipesAndDevicesAreRefused(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "fleet.csv")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	for _, path := range []string{pipe, "/dev/zero"} {
		_, err := Open(context.Background(), path, Options{})
		wantFault(t, err, NotRegular, "not a regular file")
	}
}

//go:build unix

package csv

import (
	"context"
	"os"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestWhatDoesNotOpenIsClosed: a kept schedule would run out of files.
func TestWhatDoesNotOpenIsClosed(t *testing.T) {
	held := func() int {
		list, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Skip("nothing here tells of open files: ", err)
		}
		return len(list)
	}
	path := write(t, "fleet.csv", "PK\x03\x04xxxx")
	defer debug.SetGCPercent(debug.SetGCPercent(-1)) // it would close what is lost
	before := held()
	for range 20 {
		_, err := Open(context.Background(), path, Options{})
		require.ErrorIs(t, err, NotText)
	}
	require.Less(t, held(), before+10)
}

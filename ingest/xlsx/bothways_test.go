package xlsx

import (
	"context"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

// outcome is what reading every sheet of a workbook came to.
type outcome struct {
	lines  [][]line
	sheets []Sheet
	err    error
	own    bool // our own reader read all of it
}

// readAll reads every sheet of a file.
func readWhole(path string, o Options) (out outcome) {
	b, err := Open(context.Background(), path, o)
	if err != nil {
		return outcome{err: err}
	}
	defer b.Close()
	for _, s := range b.Sheets() {
		lines, err := readSheet(b, s.Name)
		if err != nil {
			return outcome{err: err}
		}
		out.lines = append(out.lines, lines)
	}
	out.sheets, out.own = b.Sheets(), b.library == nil
	return out
}

// agree reads a file in both ways, which must give the same cells, the same counts
// and the same refusals.
func agree(t testing.TB, path string, about ...any) outcome {
	t.Helper()
	own, second := readWhole(path, Options{heldStrings: 200}), readWhole(path, Options{second: true})
	if own.err != nil || second.err != nil {
		require.Error(t, own.err, about...)
		require.Error(t, second.err, about...)
		require.Equal(t, said(second.err), said(own.err), about...)
		return own
	}
	require.Equal(t, second.sheets, own.sheets, about...)
	require.Equal(t, second.lines, own.lines, about...)
	return own
}

// TestBothWaysAgreeOnMadeWorkbooks: cell by cell, on 10,000 workbooks (2,000 where
// the tests are to be short). Enough of them must be read by our reader alone, by the
// library, and by neither, or the comparison would say little.
func TestBothWaysAgreeOnMadeWorkbooks(t *testing.T) {
	n := 10_000
	if testing.Short() {
		n = 2_000
	}
	dir := t.TempDir()
	var own, library, refused, cells atomic.Int64
	var next atomic.Uint64
	var wg sync.WaitGroup
	for worker := range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			path := filepath.Join(dir, itoa(worker)+".xlsx")
			for seed := next.Add(1); seed <= uint64(n) && !t.Failed(); seed = next.Add(1) {
				if os.WriteFile(path, zipOf(t, madeBook(seed)), 0o600) != nil {
					t.Error("cannot write")
				}
				switch out := agree(t, path, "workbook %d", seed); {
				case out.err != nil:
					refused.Add(1)
				case out.own:
					own.Add(1)
					cells.Add(out.sheets[0].cells)
				default:
					library.Add(1)
				}
			}
		})
	}
	wg.Wait()
	t.Logf("%d read by our own reader with %d values, %d by the library, %d refused by both", own.Load(), cells.Load(), library.Load(), refused.Load())
	require.Greater(t, own.Load(), int64(n/2))
	require.Greater(t, cells.Load(), int64(n))
	require.Greater(t, library.Load(), int64(n/20))
	require.Greater(t, refused.Load(), int64(n/20))
}

// TestBothWaysAgreeOnRealWorkbooks: those of other programs and of publishers, as
// the SOURCE.md beside them says, and those that our own runs are tested with.
func TestBothWaysAgreeOnRealWorkbooks(t *testing.T) {
	var paths []string
	require.NoError(t, filepath.WalkDir("../../testdata", func(path string, d os.DirEntry, err error) error {
		if ext := filepath.Ext(path); err == nil && !d.IsDir() && (ext == ".xlsx" || ext == ".xlsm") {
			paths = append(paths, path)
		}
		return err
	}))
	require.Contains(t, paths, filepath.Join("..", "..", "testdata", "inspections", "fi_inspections_2022.xlsx"), "the open data that come as a workbook")
	corpus, err := filepath.Glob("../../testdata/intake/files/*.xls[xm]")
	require.NoError(t, err)
	require.NotEmpty(t, corpus)
	require.Subset(t, paths, corpus)
	own, refused := 0, 0
	for _, path := range paths {
		out := agree(t, path, path)
		switch {
		case out.err != nil:
			refused++
		case out.own:
			own++
		}
	}
	t.Logf("%d workbooks, %d of them read by our own reader alone, %d refused by both ways alike", len(paths), own, refused)
	require.Greater(t, own, len(paths)/2, "the others are made to be refused, see SOURCE.md beside them")
}

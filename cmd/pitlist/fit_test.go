package main

import (
	"crypto/sha256"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
)

// writtenDemo is the demo's folder before any run.
func writtenDemo(t *testing.T) (dir, job string) {
	t.Helper()
	_, dir = demoFolder(t, demo.Seed)
	return dir, filepath.Join(dir, demo.JobName)
}

// contents maps every file below dir to its digest.
func contents(t *testing.T, dir string) map[string][32]byte {
	t.Helper()
	out := map[string][32]byte{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || strings.HasPrefix(e.Name(), ".") { // the lock stays behind
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(name)] = sha256.Sum256(data)
		return err
	}))
	return out
}

func TestFitWritesItsFolderAndChangesNothingElse(t *testing.T) {
	t.Parallel()
	dir, job := writtenDemo(t)
	before := contents(t, dir)
	code, out, errOut := invoke(t, "fit", job, "--as-of", "2026-11-23")
	require.Equal(t, exitRejected, code, "the demo's files hold rows that are refused: %s", errOut)
	assert.Contains(t, out, "learned.yaml changes nothing until it is listed")

	after := contents(t, dir)
	var added []string
	for name, sum := range after {
		if old, had := before[name]; had {
			assert.Equal(t, old, sum, name)
		} else {
			added = append(added, name)
		}
	}
	assert.ElementsMatch(t, []string{"out/fit-2026-11-23/learned.yaml", "out/fit-2026-11-23/study.txt", "out/fit-2026-11-23/study.xlsx"}, added)
	assert.Len(t, after, len(before)+3, "nothing is gone")

	code, _, _ = invoke(t, "fit", job, "--as-of", "2026-11-23")
	require.Equal(t, exitRejected, code)
	again := contents(t, dir)
	for _, name := range []string{"learned.yaml", "study.txt", "study.xlsx"} {
		assert.Equal(t, after["out/fit-2026-11-23/"+name], again["out/fit-2026-11-23-2/"+name], "a second fit on the same data is identical: %s", name)
	}
}

func TestLearnedOverlayIsListedAndLeftOutOfTheNextFit(t *testing.T) {
	t.Parallel()
	dir, job := writtenDemo(t)
	code, _, errOut := invoke(t, "fit", job, "--as-of", "2026-11-23")
	require.Equal(t, exitRejected, code, errOut)
	learned, err := os.ReadFile(filepath.Join(dir, "out", "fit-2026-11-23", "learned.yaml"))
	require.NoError(t, err)
	assert.Contains(t, string(learned), "records of merrow-sound to 2026-11-23")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "learned.yaml"), learned, 0o644))
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	listed := strings.Replace(string(text), "catalogue: [parts/*.yaml]", "catalogue: [parts/*.yaml, learned.yaml]", 1)
	require.NotEqual(t, string(text), listed)
	require.NoError(t, os.WriteFile(job, []byte(listed), 0o644))

	code, _, errOut = invoke(t, "lint", job)
	assert.Equal(t, exitDone, code, errOut)
	code, _, errOut = invoke(t, "run", job, "--as-of", "2026-11-23")
	assert.Equal(t, exitRejected, code, errOut)

	code, out, errOut := invoke(t, "fit", job, "--as-of", "2026-11-23")
	require.Equal(t, exitRejected, code, errOut)
	assert.Contains(t, out, "Left out of the prior, since it was learned from the same records: learned.yaml")
	again, err := os.ReadFile(filepath.Join(dir, "out", "fit-2026-11-23-2", "learned.yaml"))
	require.NoError(t, err)
	assert.Equal(t, string(learned), string(again), "records are not counted twice")
}

// A fit knows nothing of what comes after its day.
func TestFitSeesNothingOfTheFuture(t *testing.T) {
	t.Parallel()
	dir, job := writtenDemo(t)
	code, _, errOut := invoke(t, "fit", job, "--as-of", "2025-06-30")
	require.Equal(t, exitRejected, code, errOut)
	inspections := filepath.Join(dir, "later.csv")
	require.NoError(t, os.WriteFile(inspections, []byte("unit,part,finding,date\nMQ-101,pump-follower,failed,2025-07-01\nMQ-102,pump-follower,worn,2026-01-01\n"), 0o644))
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	with := strings.Replace(string(text), "inputs:\n", "inputs:\n  - path: later.csv\n", 1)
	require.NotEqual(t, string(text), with)
	require.NoError(t, os.WriteFile(job, []byte(with), 0o644))
	code, _, errOut = invoke(t, "fit", job, "--as-of", "2025-06-30")
	require.Equal(t, exitRejected, code, errOut)
	now := contents(t, filepath.Join(dir, "out"))
	assert.Equal(t, now["fit-2025-06-30/learned.yaml"], now["fit-2025-06-30-2/learned.yaml"])
	assert.Equal(t, now["fit-2025-06-30/study.txt"], now["fit-2025-06-30-2/study.txt"])
}

// What a fit learned from the records, no past list could have known.
func TestBacktestLeavesLearnedCurvesOut(t *testing.T) {
	t.Parallel()
	dir, job := writtenDemo(t)
	code, before, errOut := invoke(t, "backtest", job, "--as-of", "2026-11-23", "--from", "2025-01-01")
	require.Equal(t, exitRejected, code, errOut)
	learnedJob(t, dir)
	code, after, errOut := invoke(t, "backtest", filepath.Join(dir, "with-"+learnedName), "--as-of", "2026-11-23", "--from", "2025-01-01")
	require.Equal(t, exitRejected, code, errOut)
	assert.Contains(t, after, "without learned.yaml")
	figures := func(s string) string { return s[strings.Index(s, "failures came of"):strings.Index(s, "\nopen ")] }
	assert.Equal(t, figures(before), figures(after))
}

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/gofrs/flock"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestUsage holds what a user mistypes against what the program says.
func TestUsage(t *testing.T) {
	for _, c := range []struct {
		name  string
		args  []string
		code  int
		error string
		hint  string
	}{
		{"a mistyped command names the nearest", []string{"rum"}, exitUsage, `no command "rum"`, "pitlist run"},
		{"a command far from any points to help", []string{"zzzzzz"}, exitUsage, "no command", "--help"},
		{"a mistyped flag names the nearest", []string{"run", "x.yaml", "--asof", "2026-01-01"}, exitUsage, "--asof", "--as-of"},
		{"a missing argument shows an example", []string{"run"}, exitUsage, "one job file", "pitlist run weekly.yaml"},
		{"a day that is none", []string{"run", "x.yaml", "--as-of", "yesterday"}, exitUsage, "yesterday", "2026-11-25"},
		{"a market that is none", []string{"vin", "1M8GDM9AXKP042788", "--market", "mars"}, exitUsage, "mars", "eu, us"},
		{"a draft of nothing", []string{"draft"}, exitUsage, "at least one table", "pitlist draft recalls.csv"},
		{"a field that is none", []string{"draft", "x.csv", "--column", "Our ref=nomber"}, exitUsage, "nomber", "the fields are number"},
		{"a column without a field", []string{"draft", "x.csv", "--column", "Our ref"}, exitUsage, "Our ref", "HEADING=FIELD"},
		{"a date order that is none", []string{"draft", "x.csv", "--date-order", "year"}, exitUsage, "year", "--date-order day"},
		{"a table that is not there", []string{"draft", "nowhere.csv"}, exitFailed, "nowhere.csv", "check"},
		{"a job that is not there", []string{"run", "nowhere.yaml"}, exitUsage, "nowhere.yaml", "job"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, _, errOut := invoke(t, c.args...)
			assert.Equal(t, c.code, code)
			assert.Contains(t, lineOf(errOut, "error: "), c.error)
			assert.Contains(t, errOut, c.hint)
			assert.Contains(t, errOut, "hint: ")
		})
	}
}

// TestHelp: every command has a short text and an example that begins with
// the program's name, and completion comes from the library.
func TestHelp(t *testing.T) {
	root := newRoot(&world{})
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
		assert.NotEmpty(t, c.Short, c.Name())
		assert.Contains(t, c.Example, "pitlist "+c.Name(), c.Name())
	}
	for _, want := range []string{"run", "demo", "read", "explain", "lint", "draft", "schedule", "vin", "code"} {
		assert.Contains(t, names, want)
		code, out, _ := invoke(t, want, "--help")
		assert.Equal(t, exitDone, code)
		assert.Contains(t, out, "Examples:")
	}
	code, out, _ := invoke(t, "completion", "bash")
	assert.Equal(t, exitDone, code)
	assert.Contains(t, out, "__start_pitlist")
	code, out, _ = invoke(t, cobra.ShellCompRequestCmd, "explain", "")
	assert.Equal(t, exitDone, code)
	assert.Contains(t, out, "yaml")
}

// TestRunTwice: the same inputs and day give the same bytes, timings aside,
// in a second folder of the day.
func TestRunTwice(t *testing.T) {
	dir := workshop(t)
	for range 2 {
		code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
		require.Equal(t, exitDone, code, "%s%s", out, errOut)
		assert.Contains(t, out, "rows read")
	}
	first, second := filepath.Join(dir, "out", "2026-11-25"), filepath.Join(dir, "out", "2026-11-25-2")
	names, err := os.ReadDir(first)
	require.NoError(t, err)
	for _, n := range names {
		if n.Name() == "timings.json" {
			continue
		}
		a, err := os.ReadFile(filepath.Join(first, n.Name()))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(second, n.Name()))
		require.NoError(t, err)
		if n.Name() == "run.json" || n.Name() == workbookName {
			continue // they name their own folder; see TestSameBytes in the writers
		}
		assert.Equal(t, string(a), string(b), n.Name())
	}
	latest, err := os.ReadFile(filepath.Join(dir, "out", latestName))
	require.NoError(t, err)
	assert.Equal(t, "2026-11-25-2\n", string(latest))
}

// TestHeld: a second run of a held output folder exits with its own code and
// says who holds it.
func TestHeld(t *testing.T) {
	dir := workshop(t)
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "out"), 0o777))
	lock := flock.New(filepath.Join(dir, "out", lockName))
	got, err := lock.TryLock()
	require.NoError(t, err)
	require.True(t, got)
	defer lock.Unlock()
	put(t, holderFile(filepath.Join(dir, "out")), []byte("process 7 on quay since noon\n"))
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"))
	assert.Equal(t, exitHeld, code)
	assert.Contains(t, errOut, "process 7 on quay")
}

// TestInterrupt: a run that is cancelled at any point exits 130 and leaves no
// half folder.
func TestInterrupt(t *testing.T) {
	dir := workshop(t)
	for _, after := range []time.Duration{0, time.Millisecond, 20 * time.Millisecond, 200 * time.Millisecond} {
		ctx, cancel := context.WithCancel(context.Background())
		if after == 0 {
			cancel()
		}
		timer := time.AfterFunc(after, cancel)
		var o, e bytes.Buffer
		code := run(ctx, []string{"run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25"}, strings.NewReader(""), &o, &e)
		timer.Stop()
		cancel()
		entries, err := os.ReadDir(filepath.Join(dir, "out"))
		if err != nil {
			require.True(t, os.IsNotExist(err))
		}
		for _, n := range entries {
			assert.False(t, strings.HasPrefix(n.Name(), beside), "after %v: %s is left", after, n.Name())
		}
		if code != exitDone {
			assert.Equal(t, exitInterrupted, code, "after %v: %s", after, e.String())
			assert.Contains(t, e.String(), "interrupted")
		}
	}
}

// TestFullDisk runs onto a file system that is too small: a clear message, no
// half folder, earlier results untouched. It needs root and a tmpfs.
func TestFullDisk(t *testing.T) {
	if runtime.GOOS != "linux" || os.Geteuid() != 0 {
		t.Skip("needs root on Linux to mount a small tmpfs")
	}
	dir := workshop(t)
	out := filepath.Join(dir, "out")
	require.NoError(t, os.MkdirAll(out, 0o777))
	if err := exec.Command("mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", out).Run(); err != nil {
		t.Skip("a tmpfs cannot be mounted here")
	}
	defer exec.Command("umount", out).Run()
	put(t, filepath.Join(out, "2026-11-01", "kept.txt"), []byte("kept"))
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, lineOf(errOut, "error: "), "no space")
	assert.Contains(t, lineOf(errOut, "hint: "), "space")
	left := tree(t, out)
	assert.Equal(t, map[string]string{filepath.Join(out, "2026-11-01", "kept.txt"): "kept"}, left)
}

// TestKeep: only runs beyond those to keep go, oldest first, and nothing that
// is not ours.
func TestKeep(t *testing.T) {
	dir := workshop(t)
	job, err := os.ReadFile(filepath.Join(dir, "job.yaml"))
	require.NoError(t, err)
	put(t, filepath.Join(dir, "job.yaml"), append(job, []byte("output: { folder: out, keep: 2 }\n")...))
	for _, name := range []string{"2026-11-01/run.json", "2026-11-02/run.json", "2026-11-02-2/run.json", "2026-11-02-10/run.json", "2020-01-01/mine.txt", "notes/run.json"} {
		put(t, filepath.Join(dir, "out", name), []byte("{}"))
	}
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	require.Equal(t, exitDone, code, errOut)
	var names []string
	entries, err := os.ReadDir(filepath.Join(dir, "out"))
	require.NoError(t, err)
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	assert.Equal(t, []string{"2020-01-01", "2026-11-02-10", "2026-11-25", "notes"}, names)
}

// TestJSON: what --json writes is JSON, and holds what the text says.
func TestJSON(t *testing.T) {
	dir := workshop(t)
	job := filepath.Join(dir, "job.yaml")
	for _, args := range [][]string{
		{"explain", job, "V1", "--json", "--as-of", "2026-11-25"},
		{"vin", "1M8GDM9AXKP042788", "--json"},
		{"code", "P0087", "SPN 636 FMI 2", "--json"},
		{"lint", job, "--json"},
	} {
		code, out, errOut := invoke(t, args...)
		assert.Equal(t, exitDone, code, "%v: %s", args, errOut)
		var v any
		assert.NoError(t, json.Unmarshal([]byte(out), &v), "%v: %s", args, out)
	}
	put(t, filepath.Join(dir, "bad.yaml"), []byte("inputs: []\ncatalog: [x]\n"))
	code, out, _ := invoke(t, "lint", filepath.Join(dir, "bad.yaml"), "--json")
	assert.Equal(t, exitUsage, code)
	var faults []map[string]any
	require.NoError(t, json.Unmarshal([]byte(out), &faults))
	require.NotEmpty(t, faults)
	assert.Contains(t, faults[0], "problem")
	assert.Contains(t, faults[0], "line")
}

// TestRejectedRows: a run that rejected rows ends with its own code.
func TestRejectedRows(t *testing.T) {
	dir := workshop(t)
	put(t, filepath.Join(dir, "intake", "repairs.csv"), []byte("unit,date,odometer,text\nV1,2026-01-05,200000,oil service\nV1,31.02.2026,201000,oil service\n"))
	code, out, _ := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2026-11-25")
	assert.Equal(t, exitRejected, code)
	assert.Contains(t, out, "1 rejected")
	rejected, err := os.ReadFile(filepath.Join(dir, "out", "2026-11-25", "rejected.csv"))
	require.NoError(t, err)
	assert.Contains(t, string(rejected), "repairs.csv,,3,date,31.02.2026,rejected,")
}

//go:build linux || darwin

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTwoTogether starts two real processes on one job, fifty times: one runs,
// the other ends with 4 and names the process that holds the folder. Whichever
// comes first is stopped until the other has ended, so that they meet however
// busy the machine is; where it was through before it could be stopped, they did
// not meet, and are started again.
func TestTwoTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred processes are started")
	}
	dir := fortyVehicles(t)
	missed := 0
	for met := 0; met < 50; {
		args := []string{"run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01"}
		if met%2 == 1 {
			args = []string{"schedule", filepath.Join(dir, "job.yaml"), "--once"}
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
			require.NoError(t, os.RemoveAll(filepath.Join(dir, "record.db")))
		}
		if twoTogether(t, dir, args) {
			met++
			continue
		}
		missed++
		require.Less(t, missed, 10, "they never meet")
	}
}

var holds = regexp.MustCompile(`process (\d+) on `)

// twoTogether tells whether the two met.
func twoTogether(t *testing.T, dir string, args []string) bool {
	t.Helper()
	type started struct {
		cmd  *exec.Cmd
		said *bytes.Buffer
	}
	var two [2]started
	for i := range two {
		two[i].cmd, two[i].said = process(t, dir, args...)
	}
	for i := range two {
		require.NoError(t, two[i].cmd.Start())
	}
	holder := 0
	require.Eventually(t, func() bool {
		m := holds.FindStringSubmatch(holderNote(filepath.Join(dir, "out")))
		if m == nil {
			return false
		}
		holder, _ = strconv.Atoi(m[1])
		return syscall.Kill(holder, syscall.SIGSTOP) == nil
	}, 30*time.Second, time.Millisecond)
	first, second := two[0], two[1]
	if second.cmd.Process.Pid == holder {
		first, second = second, first
	}
	require.Equal(t, holder, first.cmd.Process.Pid, "one of the two")
	if over(holder) {
		exitOf(first.cmd)
		exitOf(second.cmd)
		return false
	}
	assert.Equal(t, exitHeld, exitOf(second.cmd), second.said)
	require.NoError(t, syscall.Kill(holder, syscall.SIGCONT))
	assert.Equal(t, exitDone, exitOf(first.cmd), first.said)
	m := holds.FindStringSubmatch(second.said.String())
	require.NotNil(t, m, second.said)
	assert.Equal(t, strconv.Itoa(holder), m[1], "it names the holder")
	return true
}

// over tells of a process that had ended before it was to stop, where the
// system says so: it waits for its parent to ask (Z in /proc).
func over(pid int) bool {
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	return err == nil && bytes.Contains(stat, []byte(") Z "))
}

func exitOf(cmd *exec.Cmd) int {
	_ = cmd.Wait()
	return cmd.ProcessState.ExitCode()
}

// TestHolderDies: a lock does not outlive its holder.
func TestHolderDies(t *testing.T) {
	dir := fortyVehicles(t)
	cmd, _ := process(t, dir, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
	require.NoError(t, cmd.Start())
	require.Eventually(t, func() bool { return holds.MatchString(holderNote(filepath.Join(dir, "out"))) }, 20*time.Second, time.Millisecond)
	require.NoError(t, cmd.Process.Signal(syscall.SIGSTOP))
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
	assert.Equal(t, exitHeld, code)
	assert.Contains(t, errOut, fmt.Sprintf("process %d", cmd.Process.Pid))
	require.NoError(t, cmd.Process.Kill())
	_ = cmd.Wait()
	code, _, errOut = invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
	assert.Equal(t, exitDone, code, errOut)
}

// mounted puts a file system over the job's output folder and returns how to
// mount it anew.
func mounted(t *testing.T, out, options string) func(options string) {
	t.Helper()
	if runtime.GOOS != "linux" || os.Geteuid() != 0 {
		t.Skip("needs root on Linux to mount a tmpfs")
	}
	require.NoError(t, os.MkdirAll(out, 0o777))
	if err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", out).Run(); err != nil {
		t.Skip("a tmpfs cannot be mounted here")
	}
	t.Cleanup(func() { _ = exec.Command("umount", out).Run() })
	return func(options string) { require.NoError(t, exec.Command("mount", "-o", "remount,"+options, out).Run()) }
}

// TestReadOnly: an output that cannot be written is told of, changes nothing,
// and neither metrics nor record speak of a run that was not made.
func TestReadOnly(t *testing.T) {
	dir := fortyVehicles(t)
	out := filepath.Join(dir, "out")
	keep := t.TempDir()
	require.NoError(t, os.CopyFS(keep, os.DirFS(out)))
	remount := mounted(t, out, "size=16m")
	require.NoError(t, os.CopyFS(out, os.DirFS(keep)))
	before := state(t, dir)
	remount("ro")
	for _, args := range [][]string{{"run", "job.yaml", "--as-of", "2025-12-01"}, {"schedule", "job.yaml", "--once"}} {
		args[1] = filepath.Join(dir, args[1])
		code, _, errOut := invoke(t, args...)
		assert.Equal(t, exitFailed, code)
		assert.Contains(t, errOut, "read-only file system")
		assert.Contains(t, errOut, "earlier results are untouched")
		now := state(t, dir)
		now["metrics"], _, _ = strings.Cut(now["metrics"], "# HELP pitlist_last_run_success")
		was := before["metrics"]
		before["metrics"], _, _ = strings.Cut(was, "# HELP pitlist_last_run_success")
		assert.Empty(t, differing(before, now), "a failure only says that it failed")
		before["metrics"] = was
	}
	remount("rw")
	code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
	assert.Equal(t, exitDone, code, errOut)
}

// TestFullDiskEverywhere: folder, record and metrics stand on one file system
// that fills up at different points of the run; after each failure all are as
// before, and with room again the run comes to what an undisturbed one does.
func TestFullDiskEverywhere(t *testing.T) {
	base := fortyVehicles(t)
	undisturbed := t.TempDir()
	require.NoError(t, os.CopyFS(undisturbed, os.DirFS(base)))
	code, _, errOut := invoke(t, "run", filepath.Join(undisturbed, "job.yaml"), "--as-of", "2025-12-01")
	require.Equal(t, exitDone, code, errOut)
	before, want := state(t, base), state(t, undisturbed)
	dir := filepath.Join(t.TempDir(), "small")
	remount := mounted(t, dir, "size=64m")
	require.NoError(t, os.CopyFS(dir, os.DirFS(base)))
	failed, unsaid := 0, false
	for _, room := range []int{4, 16, 48, 96, 128, 160, 200, 240, 280, 320} { // KiB left
		ballast := filepath.Join(dir, "ballast")
		fill(t, dir, ballast, room)
		code, _, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
		require.NoError(t, os.Remove(ballast))
		if code == exitDone && !strings.Contains(errOut, "note:") {
			break // it fits
		}
		failed++
		if code == exitDone { // all but the metrics fitted, and the old ones stand
			want["metrics"] = before["metrics"]
			break
		}
		assert.Equal(t, exitFailed, code, errOut)
		if unsaid = strings.Contains(errOut, "the record does not say so yet"); unsaid {
			break // the run is in its place; the next one has the record's last word
		}
		assert.Empty(t, differing(before, state(t, dir)), "%d KiB left: %s", room, errOut)
	}
	assert.GreaterOrEqual(t, failed, 3, "the disk was full at several points")
	remount("size=65m")
	if _, err := os.Stat(filepath.Join(dir, "out", "2025-12-01")); err != nil {
		code, _, errOut = invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-12-01")
		require.Equal(t, exitDone, code, errOut)
	}
	if !unsaid {
		assert.Empty(t, differing(want, state(t, dir)))
	}
	for _, d := range []string{undisturbed, dir} {
		code, _, errOut = invoke(t, "run", filepath.Join(d, "job.yaml"), "--as-of", "2025-12-08")
		require.Equal(t, exitDone, code, errOut)
	}
	assert.Empty(t, differing(state(t, undisturbed), state(t, dir)), "a week later nothing is left of it")
}

// fill writes ballast until only so much room is left.
func fill(t *testing.T, dir, ballast string, kib int) {
	t.Helper()
	var fs syscall.Statfs_t
	require.NoError(t, syscall.Statfs(dir, &fs))
	size := int64(fs.Bavail)*int64(fs.Bsize) - int64(kib)<<10
	require.Positive(t, size)
	require.NoError(t, os.WriteFile(ballast, make([]byte, size), 0o600))
}

// TestTwentySixStay: the runs kept stay their number, and nothing that is not
// ours goes: not what looks like a run, nor what looks half done.
func TestTwentySixStay(t *testing.T) {
	dir := workshop(t)
	quick(t, dir)
	job := filepath.Join(dir, "job.yaml")
	put(t, job, append(mustRead(t, job), []byte("metrics: m.prom\nhistory: record.db\n")...))
	out := filepath.Join(dir, "out")
	theirs := []string{"2020-01-01/mine.txt", "notes/run.json", ".writing-plans/x", ".removing-2020-01-01.txt", "latest.new", "2026-99.txt", "archive/2026-01-01/run.json", ".writing-2026-11-25"}
	for _, name := range theirs {
		put(t, filepath.Join(out, name), []byte("not ours"))
	}
	put(t, filepath.Join(out, ".removing-2026-01-05", "run.json"), []byte("{}"))
	put(t, filepath.Join(out, ".writing-2026-01-06", "worklist.csv"), []byte("half"))
	for i := range 30 {
		day := time.Date(2026, 5, 4, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*i).Format(time.DateOnly)
		put(t, filepath.Join(dir, "intake", "a.csv"), []byte(unitsHead+unitOne+"210000,"+day+",HR730000\n"))
		if i < 28 { // older runs need not be real ones
			put(t, filepath.Join(out, day, runRecord), []byte("{}"))
			continue
		}
		code, _, errOut := invoke(t, "run", job, "--as-of", day)
		require.Equal(t, exitDone, code, errOut)
		runs, err := runsIn(out)
		require.NoError(t, err)
		assert.Len(t, runs, 26)
		assert.Equal(t, day, runs[25])
	}
	for _, name := range theirs {
		assert.Equal(t, "not ours", string(mustRead(t, filepath.Join(out, name))), name)
	}
	assert.NoDirExists(t, filepath.Join(out, ".removing-2026-01-05"))
	assert.NoDirExists(t, filepath.Join(out, ".writing-2026-01-06"))
}

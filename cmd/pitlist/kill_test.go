package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
)

// moment is when a process is killed: some time after its start, or when a
// file appears and a little later.
type moment struct {
	after time.Duration
	seen  string // path in the job's folder, * for any; "" where only time counts
}

// killed starts a command and kills it at a moment. It tells whether the
// process was still running then.
func killed(t *testing.T, dir string, m moment, args ...string) (hit bool) {
	cmd, _ := process(t, filepath.Join(dir, "scratch"), args...)
	require.NoError(t, cmd.Start())
	ended := make(chan struct{})
	go func() { _ = cmd.Wait(); close(ended) }()
	if m.seen != "" {
		appears(filepath.Join(dir, m.seen), ended)
	}
	select {
	case <-ended:
		return false
	case <-time.After(m.after):
	}
	killedNow := cmd.Process.Kill() == nil
	<-ended
	return killedNow && cmd.ProcessState.ExitCode() < 0
}

// appears waits until a file that matches is there or the process has ended.
func appears(pattern string, ended <-chan struct{}) {
	for {
		select {
		case <-ended:
			return
		default:
		}
		if !strings.Contains(pattern, "*") {
			if _, err := os.Lstat(pattern); err == nil {
				return
			}
			runtime.Gosched()
		} else if found, _ := filepath.Glob(pattern); len(found) > 0 {
			return
		}
		time.Sleep(20 * time.Microsecond)
	}
}

// state is all that a job's folder holds for its readers, times aside.
func state(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := outcomeOf(t, dir)
	text, err := os.ReadFile(filepath.Join(dir, "forty.prom"))
	require.NoError(t, err)
	out["metrics"] = steady(string(text))
	return out
}

// whole holds what a reader finds right after a kill: runs in place are whole,
// latest names one of them, and the metrics are those of the old or the new.
func whole(t *testing.T, dir string, old, once map[string]string) {
	t.Helper()
	now := tree(t, filepath.Join(dir, "out"))
	for path, text := range now {
		rel, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		if run := strings.Split(filepath.ToSlash(rel), "/")[1]; ours.MatchString(run) && filepath.Base(path) != timingsName {
			assert.True(t, once[rel] == text, "%s is not whole", rel)
		}
	}
	runs, err := runsIn(filepath.Join(dir, "out"))
	require.NoError(t, err)
	for _, run := range runs {
		for rel := range once {
			if strings.HasPrefix(rel, filepath.Join("out", run)+string(filepath.Separator)) {
				assert.FileExists(t, filepath.Join(dir, rel))
			}
		}
	}
	latest := now[filepath.Join(dir, "out", latestName)]
	assert.Contains(t, runs, strings.TrimSpace(latest))
	metrics, err := os.ReadFile(filepath.Join(dir, "forty.prom"))
	require.NoError(t, err)
	assert.Contains(t, []string{old["metrics"], once["metrics"]}, steady(string(metrics)))
	checkExposition(t, string(metrics))
}

// TestKilledAnywhere starts the real program on a job of forty vehicles with a
// record and metrics, kills it at 200 moments, a hundred of them spread over
// the run and a hundred while it writes one of its files, looks at what is left,
// runs it again and compares with an undisturbed run.
func TestKilledAnywhere(t *testing.T) {
	t.Parallel()
	if testing.Short() || runtime.GOOS == "windows" {
		t.Skip("400 processes are started")
	}
	theProgram(t)
	base := fortyVehicles(t)
	for _, way := range []killing{
		{"run", []string{"run", "job.yaml", "--as-of", "2025-12-01"}, "2025-12-01", false},
		{"schedule", []string{"schedule", "job.yaml", "--once"}, fmt.Sprintf("%d-01-01", time.Now().Year()), true},
	} {
		t.Run(way.name, func(t *testing.T) { way.test(t, base, 100) })
	}
}

// killing is one way of starting the run that is killed.
type killing struct {
	name      string
	args      []string
	run       string // folder that it writes
	knowsDone bool   // a second start after a run that happened makes none
}

func (k killing) test(t *testing.T, base string, moments int) {
	old := state(t, base)
	undisturbed, _ := k.copied(t, base)
	begin := time.Now()
	k.again(t, undisturbed)
	takes := time.Since(begin)
	once := state(t, undisturbed)
	k.again(t, undisturbed)
	twice := state(t, undisturbed)

	plan := k.moments(moments, takes)
	var count sync.Mutex
	hits, happened := map[string]int{}, 0
	work := make(chan moment)
	var workers sync.WaitGroup
	for range 3 {
		workers.Go(func() {
			for m := range work {
				dir, args := k.copied(t, base)
				hit := killed(t, dir, m, args...)
				whole(t, dir, old, once)
				_, err := os.Stat(filepath.Join(dir, "out", k.run))
				want := once
				if err == nil && !k.knowsDone {
					want = twice
				}
				k.again(t, dir)
				if !assert.Empty(t, differing(want, state(t, dir)), "killed %v after %q", m.after, m.seen) {
					t.Log(listing(dir))
				}
				count.Lock()
				if hit {
					hits[m.seen]++
				}
				if err == nil {
					happened++
				}
				count.Unlock()
				os.RemoveAll(dir)
			}
		})
	}
	for _, m := range plan {
		work <- m
	}
	close(work)
	workers.Wait()
	t.Logf("%d moments; killed while running: %v; the run had happened in %d", len(plan), hits, happened)
	assert.Positive(t, hits[""], "some kills must hit a running process")
	written := 0
	for seen, n := range hits {
		if seen != "" && n > 0 {
			written++
		}
	}
	assert.GreaterOrEqual(t, written, len(k.writes())*2/3, "most of the files are caught while they are written")
}

// copied makes a copy of the job to run in, and the command's arguments for it.
func (k killing) copied(t *testing.T, base string) (dir string, args []string) {
	dir, err := os.MkdirTemp(t.TempDir(), "job")
	require.NoError(t, err)
	require.NoError(t, os.CopyFS(dir, os.DirFS(base)))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "scratch"), 0o777))
	return dir, k.in(dir)
}

func (k killing) in(dir string) []string {
	out := append([]string{}, k.args...)
	out[1] = filepath.Join(dir, out[1])
	return out
}

// again runs without being disturbed.
func (k killing) again(t *testing.T, dir string) {
	t.Helper()
	cmd, said := process(t, filepath.Join(dir, "scratch"), k.in(dir)...)
	require.NoError(t, cmd.Run(), said.String())
}

// writes are the files that a run writes, as they are called while it does.
func (k killing) writes() []string {
	half := filepath.Join("out", beside+k.run)
	out := []string{
		filepath.Join(half, workbookName), filepath.Join(half, "worklist.csv"), filepath.Join(half, "findings.csv"), filepath.Join(half, "rejected.csv"),
		filepath.Join(half, "vins.csv"), filepath.Join(half, "odometer.csv"), filepath.Join(half, "other_checks.csv"), filepath.Join(half, runRecord), filepath.Join(half, timingsName),
		filepath.Join("out", nextName), "record.db-wal", filepath.Join("out", k.run), "forty.prom" + fresh,
	}
	if k.knowsDone {
		out = append(out, filepath.Join("out", noteName("forty")), filepath.Join("out", noteName("forty")+fresh))
	}
	return out
}

// moments are half spread over the time that a run takes and half over the
// files that it writes.
func (k killing) moments(n int, takes time.Duration) []moment {
	var out []moment
	for i := range n / 2 {
		out = append(out, moment{after: takes * time.Duration(i) / time.Duration(n/2)})
	}
	writes := k.writes()
	for i := range n - n/2 {
		delay := []time.Duration{0, 200 * time.Microsecond, time.Millisecond, 3 * time.Millisecond}[i/len(writes)%4]
		out = append(out, moment{delay, writes[i%len(writes)]})
	}
	return out
}

func listing(dir string) string {
	var b strings.Builder
	_ = filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if rel, e := filepath.Rel(dir, path); e == nil && err == nil {
			fmt.Fprintln(&b, rel)
		}
		return nil
	})
	return b.String()
}

// TestDemoKilled does the same to the demo, ten times.
func TestDemoKilled(t *testing.T) {
	t.Parallel()
	if testing.Short() || runtime.GOOS == "windows" {
		t.Skip("the demo is run a dozen times")
	}
	base := t.TempDir()
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	require.NoError(t, writeDemo(base, d))
	run := func(dir string) {
		cmd, said := process(t, t.TempDir(), "run", filepath.Join(dir, demo.JobName), "--as-of", demo.Day)
		if err := cmd.Run(); err != nil {
			require.Equal(t, exitRejected, cmd.ProcessState.ExitCode(), said.String())
		}
	}
	undisturbed := t.TempDir()
	require.NoError(t, os.CopyFS(undisturbed, os.DirFS(base)))
	begin := time.Now()
	run(undisturbed)
	takes := time.Since(begin)
	want := outputOf(t, undisturbed)
	hits := 0
	for i := range 10 {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, os.DirFS(base)))
		m := moment{after: takes * time.Duration(i) / 10}
		if i >= 7 {
			m = moment{after: time.Duration(i-7) * 30 * time.Millisecond, seen: filepath.Join("out", beside+demo.Day)}
		}
		require.NoError(t, os.MkdirAll(filepath.Join(dir, "scratch"), 0o777))
		begin := time.Now()
		if killed(t, dir, m, "run", filepath.Join(dir, demo.JobName), "--as-of", demo.Day) {
			hits++
		} else {
			takes = min(takes, time.Since(begin)) // the first run was slowed down by others
		}
		left := outputOf(t, dir)
		if _, err := os.Stat(filepath.Join(dir, "out", demo.Day)); err == nil {
			continue // it had happened; the next would be another
		}
		for rel := range left {
			assert.True(t, strings.HasPrefix(filepath.Base(filepath.Dir(rel)), beside) || strings.HasPrefix(filepath.Base(rel), "."), "left in sight: %s", rel)
		}
		run(dir)
		assert.Empty(t, differing(want, outputOf(t, dir)), "killed after %v", m.after)
	}
	assert.GreaterOrEqual(t, hits, 5, "some hit nothing where the first run was slowed down by others")
}

// outputOf is what an output folder holds, times and the lock aside.
func outputOf(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for path, text := range tree(t, filepath.Join(dir, "out")) {
		rel, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		out[rel] = text
	}
	maps.DeleteFunc(out, func(rel, _ string) bool {
		return filepath.Base(rel) == timingsName || strings.HasPrefix(filepath.Base(rel), lockName)
	})
	return out
}

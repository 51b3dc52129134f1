package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// program builds the real program once, for tests that kill it.
var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "pitlist-program-")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "pitlist.exe")
	out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if os.Getenv("PITLIST_TEST_PROGRAM") != "" { // only where a test has built it
		os.RemoveAll(filepath.Dir(os.Getenv("PITLIST_TEST_PROGRAM")))
	}
	os.Exit(code)
}

// theProgram is the path of the real program.
func theProgram(t *testing.T) string {
	t.Helper()
	path, err := program()
	require.NoError(t, err)
	os.Setenv("PITLIST_TEST_PROGRAM", path)
	return path
}

// process starts the real program in a folder of its own for scratch files.
func process(t *testing.T, scratch string, args ...string) (cmd *exec.Cmd, said *bytes.Buffer) {
	t.Helper()
	said = &bytes.Buffer{}
	cmd = exec.Command(theProgram(t), args...)
	cmd.Stdout, cmd.Stderr = said, said
	cmd.Env = append(os.Environ(), "TMPDIR="+scratch)
	return cmd, said
}

// fortyVehicles is a job of forty vehicles with a record, metrics and times,
// and one run of an earlier day. Half of the vehicles were found worn, half are
// as good as new, so that no draws are made and a run is quick.
func fortyVehicles(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	parts, err := os.ReadFile("../../testdata/fleet/parts.yaml")
	require.NoError(t, err)
	put(t, filepath.Join(dir, "parts.yaml"), parts)
	quick(t, dir)
	put(t, filepath.Join(dir, "job.yaml"), []byte(`job: forty
inputs: [ { path: intake/* } ]
catalogue: [parts.yaml]
usage: { next_run_days: 7 }
schedule: { cron: "0 0 1 1 *", time_zone: Europe/Oslo, settle_seconds: 0 }
metrics: forty.prom
history: record.db
`))
	week := func(km int) {
		units, looks := unitsHead, "unit,part,finding,date,odometer\n"
		for i := range 40 {
			at := 1000 + 10*i + km
			if i%2 == 0 {
				at = 120000 + 100*i + km
				looks += fmt.Sprintf("V%02d,pump-follower,worn,2025-11-%02d,%d\n", i, 10+km/100, at)
			}
			units += fmt.Sprintf("V%02d,,Northfold,Heron,2017,%d,2025-11-%02d,HR7%05d\n", i, at, 10+km/100, 30000+i)
		}
		put(t, filepath.Join(dir, "intake", "units.csv"), []byte(units))
		put(t, filepath.Join(dir, "intake", "looks.csv"), []byte(looks))
	}
	week(0)
	code, out, errOut := invoke(t, "run", filepath.Join(dir, "job.yaml"), "--as-of", "2025-11-24")
	require.Equal(t, exitDone, code, "%s%s", out, errOut)
	week(500)
	return dir
}

// steady is a metrics file without what differs when the same run is made
// again.
func steady(text string) string {
	var out []string
	for line := range strings.Lines(text) {
		if !strings.Contains(line, "_seconds{") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "")
}

// differing names what two states differ in; their contents are too long to
// show.
func differing(a, b map[string]string) []string {
	var out []string
	for name, text := range a {
		if other, ok := b[name]; !ok {
			out = append(out, "missing: "+name)
		} else if other != text {
			out = append(out, "differs: "+name)
		}
	}
	for name := range b {
		if _, ok := a[name]; !ok {
			out = append(out, "too many: "+name)
		}
	}
	slices.Sort(out)
	return out
}

package config

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// spent is what f allocates in all, MiB.
func spent(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return (after.TotalAlloc - before.TotalAlloc) >> 20
}

// TestHostileYAML: each file ends in a fault that says what is wrong, within
// its memory.
func TestHostileYAML(t *testing.T) {
	doubling := "inputs: [a.csv]\ncatalogue: [p.yaml]\nbay_hours:\n  a0: &a0 { x: 1 }\n"
	for i := 1; i < 40; i++ {
		doubling += fmt.Sprintf("  a%d: &a%d [*a%d, *a%d, *a%d, *a%d]\n", i, i, i-1, i-1, i-1, i-1)
	}
	deep := "inputs: " + strings.Repeat("[", 200_000) + strings.Repeat("]", 200_000)
	for _, c := range []struct {
		name, text, says string
		most             uint64 // MiB
	}{
		{"anchors that explode", doubling, "aliases counted each time", 300},
		{"an anchor within itself", "inputs: &a [*a]\ncatalogue: [p.yaml]\n", "stands inside what it names", 20},
		{"a key twice", "inputs: [a.csv]\ncatalogue: [p.yaml]\nstrict: true\nstrict: false\n", `job.yaml:4:1: the key "strict" is written twice; the first is in line 3`, 20},
		{"a scalar of 50 MB", "job: " + strings.Repeat("x", 50<<20) + "\n", "more than 8388608 bytes", 60},
		{"a value of a megabyte", "inputs: [a.csv]\ncatalogue: [p.yaml]\nmarket: " + strings.Repeat("x", 1<<20) + "\n", "market", 60},
		{"a scalar just within the size", "job: \"" + strings.Repeat("/", 8<<20-100) + "\"\n", "character that file names cannot have", 300},
		{"two hundred thousand brackets deep", deep, "max depth", 600},
		{"thirty brackets more than are read", "inputs: " + strings.Repeat("[", 70) + strings.Repeat("]", 70), "nested more than 40 deep", 20},
		{"NUL", "job: a\x00b\n", "control character", 20},
		{"a text that orders the screen about", "job: \"a\x1b[2J\"\n", "control character", 20},
		{"half a character", "job: a\xff\n", "not UTF-8", 20},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "job.yaml")
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o600))
			var faults Faults
			used := spent(func() {
				var err error
				_, faults, err = LoadJob(path)
				require.NoError(t, err)
			})
			require.NotEmpty(t, faults)
			assert.Contains(t, faults.Error(), c.says)
			assert.Less(t, len(faults.Error()), 20_000, "no fault repeats a huge value")
			for _, f := range faults {
				assert.Less(t, len(f.Value), 200, "nor keeps it")
			}
			assert.LessOrEqual(t, used, c.most, "MiB")
		})
	}
}

// TestCatalogueOfTenThousandEntries: in one file it says which limit stands in
// the way and what to do; split as it says, it is read, and a fault in the last
// entry is told of with its line.
func TestCatalogueOfTenThousandEntries(t *testing.T) {
	entry := func(i int) string {
		return fmt.Sprintf("- { id: part-%d, name: Follower %d, source: our workshop 2026, known_since: 2020-01-01, fits: [ { make: Northfold, model: Heron } ], share_if_unknown: 0.5, axis: km, weight: 5, replacement: same, "+
			"onset: { weibull: { shape: 3, scale: 200000 } }, delay: { exponential: { mean: 20000 } }, called: [pump follower %d], inspection: { visit: engine, hours: 1, detects: 0.9, false_alarm: 0.01, steps: [look], cautions: [hot parts] }, "+
			"costs: { planned_repair: 100, failure: 1000 }, consequence: money }\n", i, i, i)
	}
	dir := t.TempDir()
	var paths []string
	var whole strings.Builder
	whole.WriteString("parts:\n")
	for f := range 10 {
		var b strings.Builder
		b.WriteString("parts:\n")
		for i := range 1000 {
			b.WriteString(entry(1000*f + i))
			whole.WriteString(entry(1000*f + i))
		}
		paths = append(paths, filepath.Join(dir, fmt.Sprintf("parts-%d.yaml", f)))
		require.NoError(t, os.WriteFile(paths[f], []byte(b.String()), 0o600))
	}
	_, faults := ParseCatalogue("parts.yaml", []byte(whole.String()))
	require.Len(t, faults, 1)
	assert.Contains(t, faults.Error(), "stands for more than 500000 values")
	assert.Contains(t, faults[0].Hint, "split it into several files")

	var catalogue *score.Catalogue
	used := spent(func() {
		var err error
		catalogue, faults, err = LoadCatalogue(paths)
		require.NoError(t, err)
	})
	require.Empty(t, faults)
	assert.Len(t, catalogue.Parts, 10_000)
	assert.LessOrEqual(t, used, uint64(2500), "MiB allocated in all")

	last := paths[9]
	data, err := os.ReadFile(last)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(last, append(data, []byte(strings.Replace(entry(10_000), "axis: km", "axis: miles", 1))...), 0o600))
	_, faults, err = LoadCatalogue(paths)
	require.NoError(t, err)
	require.Len(t, faults, 1)
	assert.Equal(t, 1002, faults[0].Line)
}

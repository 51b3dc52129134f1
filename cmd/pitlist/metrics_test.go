package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
)

// The grammar of a line, from the published description of the Prometheus text
// exposition format 0.0.4: "metric_name{label=\"value\",…} value", names by
// [a-zA-Z_:][a-zA-Z0-9_:]*, labels by [a-zA-Z_][a-zA-Z0-9_]*, in a label's value
// backslash, quote and line feed escaped.
var (
	sampleLine = regexp.MustCompile(`^([a-zA-Z_:][a-zA-Z0-9_:]*)(?:\{((?:[a-zA-Z_][a-zA-Z0-9_]*="(?:[^"\\\n]|\\\\|\\"|\\n)*",?)*)\})? (\S+)$`)
	helpLine   = regexp.MustCompile(`^# HELP ([a-zA-Z_:][a-zA-Z0-9_:]*) (.+)$`)
	typeLine   = regexp.MustCompile(`^# TYPE ([a-zA-Z_:][a-zA-Z0-9_:]*) (counter|gauge|histogram|summary|untyped)$`)
)

// checkExposition holds a text against the format: the last line ends in a line
// feed, HELP and TYPE stand once and before their samples, samples of a metric
// stand together and differ in their labels, values are numbers.
func checkExposition(t *testing.T, text string) (samples map[string]float64) {
	t.Helper()
	samples = map[string]float64{}
	require.True(t, strings.HasSuffix(text, "\n"), "the last line ends in a line feed")
	typed, helped, closed, current := map[string]bool{}, map[string]bool{}, map[string]bool{}, ""
	enter := func(name string) {
		if name != current {
			assert.False(t, closed[name], "%s stands together", name)
			closed[current], current = true, name
		}
	}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		if m := helpLine.FindStringSubmatch(line); m != nil {
			enter(m[1])
			assert.False(t, helped[m[1]], line)
			helped[m[1]] = true
			continue
		}
		if m := typeLine.FindStringSubmatch(line); m != nil {
			enter(m[1])
			assert.False(t, typed[m[1]], line)
			typed[m[1]] = true
			continue
		}
		m := sampleLine.FindStringSubmatch(line)
		if !assert.NotNil(t, m, "no line of the format: %s", line) {
			continue
		}
		enter(m[1])
		assert.True(t, typed[m[1]] && helped[m[1]], "%s has HELP and TYPE before it", m[1])
		v, err := strconv.ParseFloat(m[3], 64)
		assert.NoError(t, err, line)
		key := m[1] + "{" + m[2] + "}"
		assert.NotContains(t, samples, key, "twice")
		samples[key] = v
	}
	return samples
}

// TestMetrics: what the file says is what run.json and the clock say.
func TestMetrics(t *testing.T) {
	dir := workshop(t)
	quick(t, dir)
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	put(t, job, append(text, []byte("job: 'quay side #1 {x}'\nmetrics: quay.prom\n")...))
	put(t, filepath.Join(dir, "intake", "repairs.csv"), []byte("unit,date,odometer,text\nV1,2026-01-05,200000,oil service\nV1,31.02.2026,201000,oil service\n"))
	began := time.Now().Add(-time.Second)
	code, out, errOut := invoke(t, "run", job, "--as-of", "2026-11-25")
	require.Equal(t, exitRejected, code, "%s%s", out, errOut)
	data, err := os.ReadFile(filepath.Join(dir, "quay.prom"))
	require.NoError(t, err)
	got := checkExposition(t, string(data))
	label := `job="quay side #1 {x}"`
	assert.EqualValues(t, 1, got["pitlist_rows{"+label+`,outcome="rejected"}`])
	assert.EqualValues(t, 3, got["pitlist_rows{"+label+`,outcome="used"}`])
	assert.EqualValues(t, 1, got["pitlist_vehicles{"+label+"}"], "the other lies outside the range")
	assert.EqualValues(t, 1, got["pitlist_last_run_success{"+label+"}"])
	assert.Contains(t, got, "pitlist_failures_expected{"+label+"}")
	assert.Contains(t, got, "pitlist_vehicles_above_line{"+label+"}")
	assert.Positive(t, got["pitlist_run_duration_seconds{"+label+"}"])
	ended := got["pitlist_last_success_timestamp_seconds{"+label+"}"]
	assert.True(t, ended >= unix(began) && ended <= unix(time.Now().Add(time.Second)), "%v", ended)
	assert.NoFileExists(t, filepath.Join(dir, "quay.prom"+fresh))

	t.Run("a failure keeps the figures of the last success", func(t *testing.T) {
		j, faults, err := config.LoadJob(job)
		require.NoError(t, err)
		require.Empty(t, faults)
		at := time.Date(2026, 11, 30, 5, 0, 0, 0, time.UTC)
		require.NoError(t, writeMetrics(j, j.OutputFolder(), &failed{at, 3}))
		data, err := os.ReadFile(filepath.Join(dir, "quay.prom"))
		require.NoError(t, err)
		after := checkExposition(t, string(data))
		assert.EqualValues(t, 0, after["pitlist_last_run_success{"+label+"}"])
		assert.EqualValues(t, 3, after["pitlist_run_failures{"+label+"}"])
		assert.Equal(t, unix(at), after["pitlist_last_run_timestamp_seconds{"+label+"}"])
		assert.Equal(t, ended, after["pitlist_last_success_timestamp_seconds{"+label+"}"])
	})
	t.Run("a file that cannot be written does not fail the run", func(t *testing.T) {
		put(t, job, append(text, []byte("metrics: nowhere/quay.prom\n")...))
		code, _, errOut := invoke(t, "run", job, "--as-of", "2026-11-25")
		assert.Equal(t, exitRejected, code)
		assert.Contains(t, errOut, "note: the metrics file nowhere/quay.prom cannot be written")
	})
}

// TestLabels: the three characters that have a meaning in a label's value.
func TestLabels(t *testing.T) {
	assert.Equal(t, `a\\b\"c\nd`, escapeLabel("a\\b\"c\nd"))
	text, err := metricsText("a\\b\"c\nd", t.TempDir(), &failed{time.Unix(0, 0), 1})
	require.NoError(t, err)
	assert.Contains(t, checkExposition(t, text), `pitlist_run_failures{job="a\\b\"c\nd"}`)
}

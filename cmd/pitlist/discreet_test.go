package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
)

// TestLogNamesNobody runs the demo under the schedule and looks for every VIN,
// unit, registration and initial of its spreadsheets in what is logged.
func TestLogNamesNobody(t *testing.T) {
	dir := t.TempDir()
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	require.NoError(t, writeDemo(dir, d))
	job := filepath.Join(dir, demo.JobName)
	put(t, job, append(mustRead(t, job), []byte("\nschedule: { cron: \"0 5 23 11 *\", time_zone: Europe/Oslo, settle_seconds: 0 }\nmetrics: m.prom\n")...))
	code, out, logged := invoke(t, "schedule", job, "--once", "--log", "json")
	require.Contains(t, []int{exitDone, exitRejected}, code, logged)
	assert.Empty(t, out, "what would name vehicles is not printed")
	assert.Equal(t, 1, strings.Count(logged, `"msg":"run done"`), "one line at the end")
	for _, want := range []string{`"rows":{"read":`, `"rejected":`, `"took":{"read":`, `"failures_expected":`, `"above_line":`} {
		assert.Contains(t, logged, want)
	}
	names := namesIn(t, filepath.Join(dir, "out"))
	require.Greater(t, len(names), 900)
	said := textsLogged(t, logged)
	words := map[string]bool{}
	for _, w := range strings.FieldsFunc(said, func(r rune) bool { return strings.ContainsRune(" \"{}:,=\n()", r) }) {
		words[w] = true
	}
	for name := range names {
		assert.False(t, words[name], "the log names %s", name)
		if len(name) >= 5 {
			assert.NotContains(t, said, name)
		}
	}
	assert.NotContains(t, string(mustRead(t, filepath.Join(dir, "m.prom"))), "MQ-")
}

// textsLogged gives every key and text of JSON lines, one a line. Numbers and
// the clock are left out: their digits may be any unit's ("seconds":3.005025).
func textsLogged(t *testing.T, lines string) string {
	t.Helper()
	var texts []string
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case string:
			texts = append(texts, v)
		case []any:
			for _, each := range v {
				walk(each)
			}
		case map[string]any:
			for key, each := range v {
				texts = append(texts, key)
				walk(each)
			}
		}
	}
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		var entry map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &entry), line)
		_, err := time.Parse(time.RFC3339Nano, entry[slog.TimeKey].(string))
		require.NoError(t, err)
		delete(entry, slog.TimeKey)
		walk(entry)
	}
	return strings.Join(texts, "\n")
}

// namesIn gathers units and VINs from a run's files.
func namesIn(t *testing.T, out string) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	files, err := filepath.Glob(filepath.Join(out, "*", "*.csv"))
	require.NoError(t, err)
	for _, path := range files {
		f, err := os.Open(path)
		require.NoError(t, err)
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		f.Close()
		for c, heading := range rows[0] {
			switch heading {
			case "unit", "vin", "vin_as_read", "registration", "by":
				for _, r := range rows[1:] {
					if strings.TrimSpace(r[c]) != "" {
						names[r[c]] = true
					}
				}
			}
		}
	}
	return names
}

// TestTextsLogged: a name in any text is seen, digits of numbers are not.
func TestTextsLogged(t *testing.T) {
	said := textsLogged(t, `{"time":"2026-11-28T17:57:34.388236123Z","msg":"unit 00502","x":[{"MQ-1":3.005025}],"n":1}`+"\n")
	for _, want := range []string{"unit 00502", "MQ-1", "msg"} {
		assert.Contains(t, said, want)
	}
	assert.NotContains(t, said, "5025")
	assert.NotContains(t, said, "388236")
}

// TestMasked: a VIN in a message does not get past the level of debug, nor does
// most of one; other words do.
func TestMasked(t *testing.T) {
	const vin = "1M8GDM9AXKP042788" // the example of the check digit in 49 CFR 565, published
	var b bytes.Buffer
	log, err := newLog(&b, "json", slog.LevelDebug)
	require.NoError(t, err)
	log = log.With("catalogue", "range "+vin)
	log.Info("fault at "+vin, "err", errors.New(vin+" is short"), slog.Group("g", "low", strings.ToLower(vin), "part", vin[:11]))
	assert.NotContains(t, strings.ToUpper(b.String()), vin[:11])
	assert.Equal(t, 5, strings.Count(b.String(), "(VIN left out)"))
	b.Reset()
	log.Debug("seen", "vin", vin)
	assert.Contains(t, b.String(), `"vin":"`+vin+`"`)
	for _, word := range []string{"2026-11-23", "weekly-north", "20261123", "temperature", "out/2026-11-23-2", "1234567890"} {
		assert.Equal(t, word, masked(word))
	}
	_, err = newLog(&b, "xml", slog.LevelInfo)
	assert.Equal(t, exitUsage, codeOf(err))
}

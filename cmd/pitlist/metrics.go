package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"pitlist/config"
)

// figures are what the metrics file needs of a run's record, run.json.
type figures struct {
	Rows   map[string]int `json:"rows"`
	Totals struct {
		Vehicles int     `json:"vehicles"`
		Above    int     `json:"above_line"`
		Hours    float64 `json:"hours"`
		FailNext struct {
			Mean float64 `json:"mean"`
		} `json:"failures_next_run"`
	} `json:"totals"`
}

// failed is a run that came to nothing.
type failed struct {
	at    time.Time
	tries int
}

// outcomes are the classes of rows, in the order in which they are shown.
var outcomes = []string{"used", "set_aside", "rejected", "merged", "blank"}

// writeMetrics writes a job's metrics file from the newest run in its output
// folder and, where the last run failed, from that. All figures of a run that
// succeeded come from its folder, so that a run that was killed before it got
// here is made good by the next. A job without a metrics file is no error.
func writeMetrics(job *config.Job, folder string, last *failed) error {
	path := job.MetricsPath()
	if path == "" {
		return nil
	}
	text, err := metricsText(job.Name, folder, last)
	if err != nil {
		return err
	}
	if old, err := os.ReadFile(path); err == nil && string(old) == text {
		return nil
	}
	return replace(path, text)
}

// metricsText is the metrics file in the Prometheus text exposition format,
// version 0.0.4: a HELP and a TYPE line, then the samples of each metric.
func metricsText(job, folder string, last *failed) (string, error) {
	label := `{job="` + escapeLabel(job) + `"`
	var b strings.Builder
	metric := func(name, help string) {
		fmt.Fprintf(&b, "# HELP %s %s\n# TYPE %s gauge\n", name, help, name)
	}
	gauge := func(name, help string, v float64) {
		metric(name, help)
		fmt.Fprintf(&b, "%s%s} %s\n", name, label, strconv.FormatFloat(v, 'g', -1, 64))
	}
	f, t, err := newestRun(folder, job)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if ran := err == nil; ran {
		metric("pitlist_rows", "Rows read by the last run that succeeded, by what became of them.")
		for _, o := range outcomes {
			fmt.Fprintf(&b, "pitlist_rows%s,outcome=\"%s\"} %d\n", label, o, f.Rows[o])
		}
		gauge("pitlist_vehicles", "Vehicles that the last run that succeeded has ranked.", float64(f.Totals.Vehicles))
		gauge("pitlist_vehicles_above_line", "Vehicles that its list takes in.", float64(f.Totals.Above))
		gauge("pitlist_bay_hours_above_line", "Bay-hours that they take.", f.Totals.Hours)
		gauge("pitlist_failures_expected", "Failures expected before the next run if nothing were looked at.", f.Totals.FailNext.Mean)
		gauge("pitlist_run_duration_seconds", "How long the last run that succeeded took.", t.Ended.Sub(t.Began).Seconds())
		gauge("pitlist_last_success_timestamp_seconds", "When the last run that succeeded ended, in Unix time.", unix(t.Ended))
		if last == nil {
			last = &failed{at: t.Ended}
		}
	}
	if last != nil {
		gauge("pitlist_last_run_timestamp_seconds", "When the last run ended, whether or not it succeeded.", unix(last.at))
		gauge("pitlist_last_run_success", "1 where the last run succeeded, 0 where it failed.", map[bool]float64{true: 1}[last.tries == 0])
		gauge("pitlist_run_failures", "Times in a row that the last run was tried and failed.", float64(last.tries))
	}
	return b.String(), nil
}

// newestRun reads the run of a job in its output folder that ended last;
// fs.ErrNotExist where there is none.
func newestRun(folder, job string) (f figures, t timings, err error) {
	runs, err := runsIn(folder)
	if err != nil {
		return f, t, err
	}
	newest := ""
	for _, run := range runs {
		if one, err := readTimings(folder, run); err == nil && one.Job == job && !one.Ended.Before(t.Ended) {
			newest, t = run, one
		}
	}
	if newest == "" {
		return f, t, fs.ErrNotExist
	}
	record, err := os.ReadFile(filepath.Join(folder, newest, runRecord))
	if err != nil {
		return f, t, err
	}
	if err := json.Unmarshal(record, &f); err != nil {
		return f, t, fmt.Errorf("read %s of run %s: %w", runRecord, newest, err)
	}
	return f, t, nil
}

func unix(t time.Time) float64 { return float64(t.UnixMilli()) / 1000 }

// escapeLabel writes a label's value: backslash, quote and line feed have a
// meaning of their own in it.
func escapeLabel(s string) string {
	return strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(s)
}

package main

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// note is what the schedule of a job must still know after a power cut. It
// stands in the output folder and is written by whoever holds that folder, so
// two processes that keep one job cannot both make its run.
type note struct {
	Job     string    `json:"job"`
	Settled time.Time `json:"settled"`         // latest scheduled time that asks for nothing more: done, given up or left out
	Begun   time.Time `json:"begun,omitzero"`  // scheduled time that is being tried
	Tried   time.Time `json:"tried,omitzero"`  // when it was tried last
	Tries   int       `json:"tries,omitempty"` // how often
}

// noteName is the note's file; a job's name is fit for file names.
func noteName(job string) string { return ".pitlist.schedule-" + job + ".json" }

// settle moves the note on; a scheduled time never becomes unsettled again.
func (n *note) settle(at time.Time) {
	if at.After(n.Settled) {
		n.Settled = at
	}
	if !n.Begun.After(n.Settled) {
		n.Begun, n.Tried, n.Tries = time.Time{}, time.Time{}, 0
	}
}

// try counts one more attempt at a scheduled time.
func (n *note) try(at, now time.Time) {
	if !n.Begun.Equal(at) {
		n.Begun, n.Tries = at, 0
	}
	n.Tried = now
	n.Tries++
}

// readNote reads a job's note in an output folder. A scheduled run that is in
// place counts as settled whether or not the note got as far as saying so. The
// zero note stands where there is none; a damaged one is an error, and then
// what the runs say still counts.
func readNote(folder, job string) (note, error) {
	n := note{Job: job}
	data, err := os.ReadFile(filepath.Join(folder, noteName(job)))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		err = nil
	case err == nil:
		if err = json.Unmarshal(data, &n); err != nil {
			n = note{Job: job}
		}
	}
	n.settle(lastScheduled(folder, job))
	return n, err
}

// write puts the note into the folder that is held.
func (f *folder) writeNote(n note) error {
	data, err := json.Marshal(n)
	if err != nil {
		return err
	}
	return replace(filepath.Join(f.path, noteName(n.Job)), string(data)+"\n")
}

// timings is timings.json: how long a run took and when it was made, the one
// file of a run that differs when the same run is made again.
type timings struct {
	Job       string    `json:"job"`
	Scheduled time.Time `json:"scheduled,omitzero"` // the time it was made for; absent where a person asked for it
	Began     time.Time `json:"began"`
	Ended     time.Time `json:"ended"`
	Stages    []took    `json:"stages"`
}

// readTimings reads the times of one run of an output folder.
func readTimings(folder, run string) (timings, error) {
	var t timings
	data, err := os.ReadFile(filepath.Join(folder, run, timingsName))
	if err == nil {
		err = json.Unmarshal(data, &t)
	}
	return t, err
}

// lastScheduled is the latest scheduled time that a run in the folder was made
// for.
func lastScheduled(folder, job string) time.Time {
	var latest time.Time
	runs, _ := runsIn(folder)
	for _, run := range runs {
		if t, err := readTimings(folder, run); err == nil && t.Job == job && t.Scheduled.After(latest) {
			latest = t.Scheduled
		}
	}
	return latest
}

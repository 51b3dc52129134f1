package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
)

// handClock is a clock that a test hands in: waiting moves it on.
type handClock struct {
	mu  sync.Mutex
	at  time.Time
	end time.Time // waiting beyond it ends with errEnd
}

var errEnd = errors.New("the simulated time is over")

func (h *handClock) clock() clock {
	return clock{now: h.now, wait: func(ctx context.Context, d time.Duration) error {
		h.mu.Lock()
		defer h.mu.Unlock()
		if h.at = h.at.Add(d); h.at.After(h.end) {
			return errEnd
		}
		return ctx.Err()
	}}
}

func (h *handClock) now() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.at
}

func (h *handClock) pass(d time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.at = h.at.Add(d)
}

// play is a schedule under test: its clock, what it logs, the runs it orders.
type play struct {
	t     *testing.T
	dir   string
	clock *handClock
	log   bytes.Buffer
	runs  []string // "day at-local-time", with what is odd about it
	told  []*notice
	run   func(o *order) error // what a run comes to; nil: it succeeds at once
	inner func(ctx context.Context, job *config.Job, o *order) (*made, error)
}

func newPlay(t *testing.T, schedule, from, until string) *play {
	t.Helper()
	p := &play{t: t, dir: t.TempDir(), clock: &handClock{}}
	p.write("schedule: " + schedule)
	p.at(from, until)
	return p
}

func (p *play) write(more string) {
	put(p.t, filepath.Join(p.dir, "job.yaml"), []byte("job: north\ninputs: [ intake/*.csv ]\ncatalogue: [parts.yaml]\n"+more+"\n"))
}

func (p *play) at(from, until string) {
	p.t.Helper()
	for text, to := range map[string]*time.Time{from: &p.clock.at, until: &p.clock.end} {
		at, err := time.Parse(time.RFC3339, text)
		require.NoError(p.t, err)
		*to = at
	}
}

// keeper is a new process, as after a restart.
func (p *play) keeper() *keeper {
	p.t.Helper()
	log, err := newLog(&p.log, "text", slog.LevelInfo)
	require.NoError(p.t, err)
	keepers, err := keepersOf([]string{filepath.Join(p.dir, "job.yaml")}, p.clock.clock(), log)
	require.NoError(p.t, err)
	k := keepers[0]
	k.run = func(ctx context.Context, job *config.Job, o *order) (*made, error) {
		said := o.moment.Day().Format("01-02") + " at " + o.moment.At.In(job.Schedule.Location).Format("15:04")
		if o.madeUp {
			said += fmt.Sprintf(" made up for %d", o.missed+1)
		}
		if o.tries > 1 {
			said += fmt.Sprintf(" try %d", o.tries)
		}
		p.runs = append(p.runs, said)
		if p.inner != nil {
			return p.inner(ctx, job, o)
		}
		if p.run != nil {
			return nil, p.run(o)
		}
		return nil, nil
	}
	k.tell = func(_ context.Context, _ *config.Job, n *notice) { p.told = append(p.told, n) }
	return k
}

func (p *play) keep() {
	p.t.Helper()
	require.ErrorIs(p.t, p.keeper().keep(context.Background()), errEnd)
}

const weekly = `{ cron: "0 5 * * MON", time_zone: Europe/Oslo, settle_seconds: 0`

// TestRunsAtItsTimes: each time once, also across both changes of the clock.
func TestRunsAtItsTimes(t *testing.T) {
	for _, c := range []struct{ rule, schedule, from, until, want string }{
		{"every Monday", weekly + " }", "2026-11-18T12:00:00Z", "2026-12-08T00:00:00Z", "11-23 at 05:00, 11-30 at 05:00, 12-07 at 05:00"},
		{"a night job when an hour is left out", `{ cron: "30 2 * * *", time_zone: Europe/Oslo, settle_seconds: 0 }`, "2026-03-27T12:00:00Z", "2026-03-30T12:00:00Z", "03-28 at 02:30, 03-29 at 03:00, 03-30 at 02:30"},
		{"a night job when an hour comes twice", `{ cron: "30 2 * * *", time_zone: Europe/Oslo, settle_seconds: 0 }`, "2026-10-23T12:00:00Z", "2026-10-26T12:00:00Z", "10-24 at 02:30, 10-25 at 02:30, 10-26 at 02:30"},
		{"the last of the month and leap day", `{ cron: "0 6 29,31 * *", time_zone: UTC, settle_seconds: 0 }`, "2028-01-30T00:00:00Z", "2028-04-01T00:00:00Z", "01-31 at 06:00, 02-29 at 06:00, 03-29 at 06:00, 03-31 at 06:00"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			p := newPlay(t, c.schedule, c.from, c.until)
			p.keep()
			assert.Equal(t, c.want, strings.Join(p.runs, ", "))
		})
	}
}

// TestMissedRuns: what a restart finds.
func TestMissedRuns(t *testing.T) {
	for _, c := range []struct {
		rule, schedule string
		back           string // when the machine is up again; it was down from 2026-11-04 on
		want, says     string
	}{
		{"one run for any number of misses, for the day of the latest", weekly + ", catch_up: true }", "2026-11-25T08:00:00Z", "11-23 at 05:00 made up for 3", "one run makes up for all"},
		{"not made up unless the job says so", weekly + " }", "2026-11-25T08:00:00Z", "", "not made up"},
		{"a few minutes late is on time", weekly + " }", "2026-11-09T04:05:00Z", "11-09 at 05:00", ""},
		{"on time for the latest, earlier ones are told of", weekly + " }", "2026-11-16T04:05:00Z", "11-16 at 05:00", "earlier times were missed"},
		{"nothing missed, nothing run", weekly + ", catch_up: true }", "2026-11-06T08:00:00Z", "", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			p := newPlay(t, c.schedule, "2026-11-01T12:00:00Z", "2026-11-04T12:00:00Z")
			p.keep()
			require.Equal(t, []string{"11-02 at 05:00"}, p.runs)
			p.runs = nil
			p.log.Reset()
			back, err := time.Parse(time.RFC3339, c.back)
			require.NoError(t, err)
			p.at(c.back, back.Add(30*time.Minute).Format(time.RFC3339))
			p.keep()
			assert.Equal(t, c.want, strings.Join(p.runs, ", "))
			assert.Contains(t, p.log.String(), c.says)
			if c.says == "" {
				assert.NotContains(t, p.log.String(), "missed")
			}
			p.runs = nil
			p.keep()
			assert.Empty(t, p.runs, "a second restart finds nothing to do")
		})
	}
	t.Run("the first start has missed nothing", func(t *testing.T) {
		p := newPlay(t, weekly+", catch_up: true }", "2026-11-25T08:00:00Z", "2026-11-26T08:00:00Z")
		p.keep()
		assert.Empty(t, p.runs)
	})
	t.Run("a note from the future is not believed", func(t *testing.T) {
		p := newPlay(t, weekly+", catch_up: true }", "2026-11-18T08:00:00Z", "2026-11-24T08:00:00Z")
		put(t, filepath.Join(p.dir, "out", noteName("north")), []byte(`{"job":"north","settled":"2036-01-01T00:00:00Z"}`))
		p.keep()
		assert.Equal(t, []string{"11-23 at 05:00"}, p.runs)
		assert.Contains(t, p.log.String(), "lies in the future")
	})
	t.Run("a damaged note is told of", func(t *testing.T) {
		p := newPlay(t, weekly+" }", "2026-11-22T08:00:00Z", "2026-11-24T08:00:00Z")
		put(t, filepath.Join(p.dir, "out", noteName("north")), []byte(`{"job":"no`))
		p.keep()
		assert.Equal(t, []string{"11-23 at 05:00"}, p.runs)
		assert.Contains(t, p.log.String(), "cannot be read")
	})
}

// TestLongRun: a run longer than its interval skips what falls due meanwhile.
func TestLongRun(t *testing.T) {
	p := newPlay(t, `{ cron: "0 * * * *", time_zone: UTC, settle_seconds: 0, catch_up: true }`, "2026-11-23T04:30:00Z", "2026-11-23T09:30:00Z")
	p.run = func(o *order) error {
		if o.moment.At.Hour() == 5 {
			p.clock.pass(130 * time.Minute)
		}
		return nil
	}
	p.keep()
	assert.Equal(t, []string{"11-23 at 05:00", "11-23 at 08:00", "11-23 at 09:00"}, p.runs)
	assert.Contains(t, p.log.String(), "longer than its interval")
	assert.Contains(t, p.log.String(), "skipped=2")
}

// TestFailedRun: tried again with growing pauses within its day, then reported.
func TestFailedRun(t *testing.T) {
	t.Run("it succeeds in the end", func(t *testing.T) {
		p := newPlay(t, weekly+" }", "2026-11-22T12:00:00Z", "2026-11-23T12:00:00Z")
		var at []string
		p.run = func(o *order) error {
			at = append(at, p.clock.now().Format("15:04"))
			if o.tries < 5 {
				return errors.New("the share is away")
			}
			return nil
		}
		p.keep()
		assert.Equal(t, []string{"04:00", "04:01", "04:03", "04:07", "04:15"}, at, "pauses of 1, 2, 4 and 8 minutes")
		assert.Empty(t, p.told)
	})
	t.Run("it fails to the end of its day", func(t *testing.T) {
		p := newPlay(t, weekly+" }\nnotify: { command: [./tell.sh], when: failure }\nmetrics: m.prom", "2026-11-22T12:00:00Z", "2026-11-25T12:00:00Z")
		var last time.Time
		p.run = func(o *order) error {
			last = p.clock.now()
			return &failure{exitFailed, errors.New("no space left"), "make room"}
		}
		p.keep()
		assert.Greater(t, len(p.runs), 15)
		assert.Equal(t, "2026-11-23", last.In(mustZone(t, "Europe/Oslo")).Format(time.DateOnly), "within its day")
		require.Len(t, p.told, 1)
		assert.Equal(t, outcomeFailed, p.told[0].Outcome)
		assert.Equal(t, "no space left", p.told[0].Error)
		assert.Equal(t, "make room", p.told[0].Hint)
		assert.Contains(t, p.log.String(), "given up")
		text, err := os.ReadFile(filepath.Join(p.dir, "m.prom"))
		require.NoError(t, err)
		assert.EqualValues(t, 0, checkExposition(t, string(text))[`pitlist_last_run_success{job="north"}`])
	})
	t.Run("the next time is not waited past", func(t *testing.T) {
		p := newPlay(t, `{ cron: "*/10 * * * *", time_zone: UTC, settle_seconds: 0 }`, "2026-11-23T04:55:00Z", "2026-11-23T05:10:30Z")
		p.run = func(o *order) error { return errors.New("away") }
		p.keep()
		assert.Equal(t, []string{"11-23 at 05:00", "11-23 at 05:00 try 2", "11-23 at 05:00 try 3", "11-23 at 05:00 try 4", "11-23 at 05:10"}, p.runs)
	})
	t.Run("a panic is a failure like others, and its words stay out of the log", func(t *testing.T) {
		p := newPlay(t, weekly+" }", "2026-11-22T12:00:00Z", "2026-11-23T12:00:00Z")
		p.run = func(o *order) error {
			if o.tries == 1 {
				panic("row of unit V-204")
			}
			return nil
		}
		p.keep()
		assert.Len(t, p.runs, 2)
		assert.Contains(t, p.log.String(), "internal fault")
		assert.NotContains(t, p.log.String(), "V-204")
	})
}

func mustZone(t *testing.T, name string) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation(name)
	require.NoError(t, err)
	return zone
}

// TestCutOff: a run that a killed process had begun is taken up again on its
// day, whatever the job says of misses, and its attempts go on counting.
func TestCutOff(t *testing.T) {
	p := newPlay(t, weekly+" }", "2026-11-23T04:20:00Z", "2026-11-23T12:00:00Z")
	put(t, filepath.Join(p.dir, "out", noteName("north")), []byte(`{"job":"north","settled":"2026-11-16T04:00:00Z","begun":"2026-11-23T04:00:00Z","tried":"2026-11-23T04:18:00Z","tries":3}`))
	var at time.Time
	p.run = func(o *order) error {
		at = p.clock.now()
		return nil
	}
	p.keep()
	assert.Equal(t, []string{"11-23 at 05:00 try 4"}, p.runs)
	assert.Equal(t, "04:22", at.Format("15:04"), "after the pause that is due")
	assert.Contains(t, p.log.String(), "taken up again")
}

// TestEditedJob: a changed file is taken if it is sound; else its faults are
// logged with their lines and the last sound one is kept.
func TestEditedJob(t *testing.T) {
	p := newPlay(t, weekly+" }", "2026-11-22T12:00:00Z", "2026-12-09T12:00:00Z")
	var days []string
	var problems []string
	p.inner = func(_ context.Context, job *config.Job, o *order) (*made, error) {
		days = append(days, fmt.Sprintf("%s %g", o.moment.Day().Format("01-02"), job.Money.BayHour))
		problems = append(problems, o.problem)
		switch len(days) {
		case 1:
			p.write("schedule: " + weekly + " }\nmoney: { bay_hour: 120 }")
		case 2:
			p.write("schedule: " + weekly + " }\nmoney: { bay_hour: dear }")
		case 3:
			p.write(`schedule: { cron: "0 6 * * TUE", time_zone: Europe/Oslo, settle_seconds: 0 }` + "\nmoney: { bay_hour: 130 }")
		}
		return nil, nil
	}
	p.keep()
	assert.Equal(t, []string{"11-23 95", "11-30 120", "12-07 120", "12-08 130"}, days)
	assert.Empty(t, problems[1])
	assert.Contains(t, problems[2], "job.yaml:5:20: bay_hour wants a number", "the run is told of it")
	assert.Contains(t, p.log.String(), "job.yaml:5:20: bay_hour wants a number")
	assert.Equal(t, 1, strings.Count(p.log.String(), "level=ERROR"), "a fault is logged once")
	assert.Equal(t, 1, strings.Count(p.log.String(), "the job file is sound again"))
}

// TestStopping: asked to stop, the program ends at once while it waits, and
// within ten seconds while it runs, however long the run would take.
func TestStopping(t *testing.T) {
	for _, c := range []struct {
		rule string
		run  func(ctx context.Context) error
		most time.Duration
		says string
	}{
		{"while it waits", nil, 0, "stopped"},
		{"a run that hears of it", func(ctx context.Context) error { <-ctx.Done(); return ctx.Err() }, 0, "stopped"},
		{"a run that does not hear of it", func(ctx context.Context) error { time.Sleep(5 * time.Minute); return nil }, leaveWithin, "abandoned"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			dir := t.TempDir()
			put(t, filepath.Join(dir, "job.yaml"), []byte("job: north\ninputs: [ a.csv ]\ncatalogue: [parts.yaml]\nschedule: { cron: \"0 5 * * *\", time_zone: UTC, settle_seconds: 0 }\n"))
			synctest.Test(t, func(t *testing.T) {
				var said bytes.Buffer
				log, err := newLog(&said, "text", slog.LevelInfo)
				require.NoError(t, err)
				keepers, err := keepersOf([]string{filepath.Join(dir, "job.yaml")}, wallClock(), log)
				require.NoError(t, err)
				keepers[0].run = func(ctx context.Context, _ *config.Job, _ *order) (*made, error) {
					return nil, c.run(ctx)
				}
				ctx, cancel := context.WithCancel(context.Background())
				stop := 4 * time.Hour
				if c.run != nil {
					stop = 5*time.Hour + 30*time.Second
				}
				time.AfterFunc(stop, cancel)
				begin := time.Now()
				require.NoError(t, keepAll(ctx, keepers, log), "a regular stop is no failure")
				assert.Equal(t, stop+c.most, time.Since(begin))
				assert.Contains(t, said.String(), c.says)
				time.Sleep(time.Hour) // what was abandoned comes to its end
			})
		})
	}
}

// TestTwoJobs are kept side by side, one run at a time.
func TestTwoJobs(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"north", "south"} {
		put(t, filepath.Join(dir, name+".yaml"), []byte("inputs: [ a.csv ]\ncatalogue: [parts.yaml]\noutput: { folder: out-"+name+" }\nschedule: { cron: \"0 5 * * *\", time_zone: UTC, settle_seconds: 0 }\n"))
	}
	synctest.Test(t, func(t *testing.T) {
		log, err := newLog(io.Discard, "json", slog.LevelInfo)
		require.NoError(t, err)
		keepers, err := keepersOf([]string{filepath.Join(dir, "north.yaml"), filepath.Join(dir, "south.yaml")}, wallClock(), log)
		require.NoError(t, err)
		var mu sync.Mutex
		runs, now, most := map[string]int{}, 0, 0
		for _, k := range keepers {
			k.run = func(_ context.Context, job *config.Job, _ *order) (*made, error) {
				mu.Lock()
				now++
				most = max(most, now)
				runs[job.Name]++
				mu.Unlock()
				time.Sleep(time.Minute)
				mu.Lock()
				now--
				mu.Unlock()
				return nil, nil
			}
		}
		ctx, cancel := context.WithTimeout(context.Background(), 72*time.Hour)
		defer cancel()
		require.NoError(t, keepAll(ctx, keepers, log))
		assert.Equal(t, map[string]int{"north": 3, "south": 3}, runs)
		assert.Equal(t, 1, most, "one at a time")
	})
}

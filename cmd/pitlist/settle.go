package main

import (
	"context"
	"os"
	"path/filepath"
	"time"

	"pitlist/config"
	"pitlist/score/say"
)

// clock is what the schedule tells the time by and waits with.
type clock struct {
	now  func() time.Time
	wait func(ctx context.Context, d time.Duration) error // nil once d has passed, else the context's error
}

// wallClock is the machine's own.
func wallClock() clock {
	return clock{now: time.Now, wait: func(ctx context.Context, d time.Duration) error {
		timer := time.NewTimer(d)
		defer timer.Stop()
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-timer.C:
			return nil
		}
	}}
}

// glance is one look at an input file.
type glance struct {
	size int64
	time time.Time
	sign string // file beside it that says that it is not ready; "" for none
}

// restless is an input that would not keep still.
type restless struct {
	shown string
	why   say.Text
}

func (r *restless) note() say.Text {
	return say.F("%s was set aside: %s; the next run reads it", r.shown, r.why)
}

// settle waits until every input of a job has kept still: its size and time
// the same on two looks that lie the job's settle_seconds apart, and no lock
// and no unfinished copy beside it. The age of a file's time is not asked:
// the clocks of shares differ, and many programs copy the time along. What
// still moves when wait_minutes are over is returned, in the inputs' order.
func settle(ctx context.Context, c clock, job *config.Job) ([]restless, error) {
	s := job.Schedule
	if s == nil || s.Settle <= 0 {
		return nil, nil
	}
	end := c.now().Add(s.Settle + s.Wait)
	before, _ := lookAt(job)
	for {
		if err := c.wait(ctx, s.Settle); err != nil {
			return nil, err
		}
		after, order := lookAt(job)
		moving := compare(before, after, order, s)
		if len(moving) == 0 || !c.now().Before(end) {
			return moving, nil
		}
		before = after
	}
}

// compare lists the inputs that are not ready by two looks.
func compare(before, after map[string]glance, order []string, s *config.Schedule) []restless {
	var out []restless
	waited := say.Figure(s.Wait.Minutes())
	for _, shown := range order {
		was, known := before[shown]
		is := after[shown]
		switch {
		case is.sign != "" && copying(is.sign):
			out = append(out, restless{shown, say.F("a copy of it was not finished (%s) after %s minutes of waiting", is.sign, waited)})
		case is.sign != "":
			out = append(out, restless{shown, say.F("it was open in another program (%s) after %s minutes of waiting; where nobody has it open, delete that file", is.sign, waited)})
		case !known || was.size != is.size || !was.time.Equal(is.time):
			out = append(out, restless{shown, say.F("it was still being written after %s minutes of waiting", waited)})
		}
	}
	return out
}

func copying(sign string) bool {
	s, _ := config.SignOf(sign)
	return s.Copying
}

// lookAt looks at every input of a job, and at what stands beside it. Files
// whose copy has begun under another name, and are not there themselves, are
// looked at too.
func lookAt(job *config.Job) (seen map[string]glance, order []string) {
	seen = map[string]glance{}
	signs := map[string]map[string]string{} // folder -> file -> its sign
	note := func(shown, path string) {
		dir, name := filepath.Split(path)
		if signs[dir] == nil {
			signs[dir] = signsIn(dir)
		}
		l := glance{sign: signs[dir][name]}
		if info, err := os.Stat(path); err == nil {
			l.size, l.time = info.Size(), info.ModTime()
		}
		if _, twice := seen[shown]; !twice {
			order = append(order, shown)
		}
		seen[shown] = l
	}
	files, _ := job.InputFiles() // what is missing is the run's to report
	for _, f := range files {
		note(f.Shown, f.Path)
	}
	for _, shown := range job.SkippedInputs() {
		sign, _ := config.SignOf(shown)
		of := filepath.ToSlash(filepath.Join(filepath.Dir(filepath.FromSlash(shown)), sign.Of))
		if _, known := seen[of]; sign.Copying && !known {
			path := filepath.FromSlash(of)
			if !filepath.IsAbs(path) {
				path = filepath.Join(job.Dir, path)
			}
			note(of, path)
		}
	}
	return seen, order
}

// signsIn lists the signs in a folder by the file that they speak of.
func signsIn(dir string) map[string]string {
	out := map[string]string{}
	entries, _ := os.ReadDir(filepath.Clean(dir + "."))
	for _, e := range entries {
		if s, ok := config.SignOf(e.Name()); ok && !e.IsDir() {
			out[s.Of] = e.Name()
		}
	}
	return out
}

// setAside takes inputs out of a batch and keeps the reasons for its report.
func (b *batch) setAside(moving []restless) {
	why := map[string]restless{}
	for _, r := range moving {
		why[r.shown] = r
		b.notes = append(b.notes, r.note())
		b.aside++
	}
	kept := b.files[:0:0]
	for _, f := range b.files {
		if _, moves := why[f.Shown]; !moves {
			kept = append(kept, f)
		}
	}
	b.files = kept
}

// sizes looks at the batch's files themselves, for a second look after they
// were read.
func (b *batch) sizes() []glance {
	out := make([]glance, len(b.files))
	for i, f := range b.files {
		if info, err := os.Stat(f.Path); err == nil {
			out[i] = glance{size: info.Size(), time: info.ModTime()}
		}
	}
	return out
}

// changedSince warns of files that were written to while they were read.
func (b *batch) changedSince(before []glance) {
	for i, is := range b.sizes() {
		if is.size != before[i].size || !is.time.Equal(before[i].time) {
			b.notes = append(b.notes, say.F("%s changed while it was read: what was read may be part of it; run again once it is copied", b.files[i].Shown))
		}
	}
}

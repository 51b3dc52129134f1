// Command pitlist reads fleet spreadsheets and writes a prioritised list of
// vehicles to inspect, each with its reason.
//
// It wires the packages together: configure, read, judge, plan, compose, write.
// Each command stands in a file of its own; what they share is the batch.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"runtime/metrics"
	"slices"
	"syscall"
	"time"
	_ "time/tzdata" // time zones of jobs, also where the system has none

	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

func main() {
	easeCollector()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go keepPace(ctx)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// plenty is what the program may take before it collects garbage as often as it
// must, bytes.
const plenty = 23 << 27

// easeCollector lets garbage grow to three times what is alive before it is
// collected, up to plenty in all: a large run spends a fifth of its time
// collecting otherwise.
func easeCollector() {
	debug.SetGCPercent(300)
	debug.SetMemoryLimit(plenty)
}

// keepPace raises the limit where much of plenty is alive, to a quarter over what is
// alive: at a limit that cannot be kept the collector would take half of the time.
func keepPace(ctx context.Context) {
	alive := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	limit := int64(plenty)
	tick := time.NewTicker(100 * time.Millisecond)
	defer tick.Stop()
	for ctx.Err() == nil {
		select {
		case <-ctx.Done():
		case <-tick.C:
			metrics.Read(alive)
			if want := int64(alive[0].Value.Uint64()) / 4 * 5; want > limit {
				limit = want
				debug.SetMemoryLimit(limit)
			}
		}
	}
}

// run is the whole program; it returns the exit code.
func run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	told := &checked{w: out}
	out = printable{told}
	root := newRoot(&world{out: out, errOut: errOut, today: today()})
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	cmd, err := root.ExecuteContextC(ctx)
	if (err == nil || errors.As(err, new(*ended))) && told.err != nil && onlyTells(cmd.Name()) {
		err = fmt.Errorf("write the answer: %w", told.err)
	}
	return conclude(err, printable{errOut})
}

// onlyTells names the commands whose result is what they print: where that is lost, all is.
func onlyTells(command string) bool {
	return slices.Contains([]string{"vin", "code", "read", "explain", "lint", "draft"}, command)
}

// checked remembers the first failure to write.
type checked struct {
	w   io.Writer
	err error
}

func (c *checked) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	if c.err == nil {
		c.err = err
	}
	return n, err
}

// today is the one place where the clock is read for the run's day.
func today() score.Day {
	now := time.Now()
	return odometer.DayOf(time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC))
}

// world is what every command may use.
type world struct {
	out, errOut io.Writer
	today       score.Day
	asOf        dayText // --as-of; "" is today
	json        bool
	without     bool          // --without-memory
	language    *say.Language // handed in by a test; nil: each job's
}

// day is the run's day: --as-of, else today.
func (w *world) day() (score.Day, error) {
	if w.asOf == "" {
		return w.today, nil
	}
	return parseDay(string(w.asOf))
}

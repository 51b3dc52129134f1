package main

import (
	"bufio"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"pitlist/report"
	"pitlist/report/table"
	"pitlist/report/workbook"
)

// Names in an output folder.
const (
	workbookName = "pitlist.xlsx"
	latestName   = "latest"
	nextName     = ".pitlist.latest" // will be latest once the run it names is in place
	lockName     = ".pitlist.lock"
	runRecord    = "run.json"
	timingsName  = "timings.json"
	beside       = ".writing-"  // a run's folder while it is being written
	going        = ".removing-" // and while it is being removed
	fresh        = ".new"       // a file that will replace the one without it
)

// folder is a job's output folder, held by this process.
type folder struct {
	path string
	lock *flock.Flock
}

// hold takes the output folder for this process, making it where it is
// missing, and sweeps away what a run that was killed left behind. Another
// holder is an error with an exit code of its own.
func hold(path string) (*folder, error) {
	if err := os.MkdirAll(path, 0o777); err != nil {
		return nil, cannotWrite(path, err)
	}
	lock := flock.New(filepath.Join(path, lockName), flock.SetPermissions(0o666)) // as the umask has it: others may write lists here too
	f := &folder{path: path, lock: lock}
	got, err := f.lock.TryLock()
	if err != nil {
		return nil, cannotWrite(path, err)
	}
	if !got {
		return nil, &failure{exitHeld, fmt.Errorf("another run holds %s: %s", path, holder(path)), "wait for it to end"}
	}
	host, _ := os.Hostname()
	note := fmt.Sprintf("process %d on %s since %s\n", os.Getpid(), host, time.Now().Format(time.DateTime))
	if err := os.WriteFile(holderFile(path), []byte(note), 0o666); err != nil {
		f.release()
		return nil, cannotWrite(path, err)
	}
	if err := f.sweep(); err != nil {
		f.release()
		return nil, err
	}
	return f, nil
}

// holderFile stands beside the lock: on Windows a locked file cannot be read
// by others.
func holderFile(path string) string { return filepath.Join(path, lockName+".holder") }

// holder says who holds a folder. One that has taken it this moment has not
// said so yet, so it looks until somebody has; a killed one's note may still be
// there then, so it looks again a little later. One that has ended meanwhile
// has taken its note away, and the first look counts.
func holder(path string) string {
	said := ""
	for range 100 {
		if said = holderNote(path); said != "" {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	time.Sleep(50 * time.Millisecond)
	return cmp.Or(holderNote(path), said, "it does not say who")
}

func holderNote(path string) string {
	note, _ := os.ReadFile(holderFile(path))
	return strings.TrimSpace(string(note))
}

func (f *folder) release() {
	os.Remove(holderFile(f.path))
	f.lock.Unlock()
}

func cannotWrite(path string, err error) error {
	return &failure{exitFailed, fmt.Errorf("the output folder %s cannot be written: %w", path, cause(err)), "check the folder's permissions and the space on its disk; earlier results are untouched"}
}

// cause drops the path that the error repeats.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// sweep puts right what a killed run left: a run that was whole is finished,
// anything else of it is removed.
func (f *folder) sweep() error {
	if err := f.finish(); err != nil {
		return cannotWrite(f.path, err)
	}
	entries, err := os.ReadDir(f.path)
	if err != nil {
		return cannotWrite(f.path, err)
	}
	for _, e := range entries {
		if !e.IsDir() || !halfDone(e.Name()) {
			continue
		}
		if err := os.RemoveAll(filepath.Join(f.path, e.Name())); err != nil {
			return cannotWrite(f.path, err)
		}
	}
	return nil
}

// halfDone tells a run's folder that was being written or removed.
func halfDone(name string) bool {
	for _, prefix := range []string{beside, going} {
		if rest, ok := strings.CutPrefix(name, prefix); ok && (ours.MatchString(rest) || studies.MatchString(rest)) {
			return true
		}
	}
	return false
}

// finish names as the newest a run whose folder is in place while the name was
// still to be put: the name is written beside before the folder appears.
func (f *folder) finish() error {
	next := filepath.Join(f.path, nextName)
	data, err := os.ReadFile(next)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	name, whole := strings.CutSuffix(string(data), "\n")
	if err == nil && whole && ours.MatchString(name) {
		if _, err := os.Stat(filepath.Join(f.path, name, runRecord)); err == nil {
			return errors.Join(os.Rename(next, filepath.Join(f.path, latestName)), syncDir(f.path))
		}
	}
	return os.Remove(next)
}

// write makes the run's folder beside the others and renames it into place,
// whole. Then latest names it, and runs beyond those to keep are removed.
func (f *folder) write(ctx context.Context, b *batch) (name string, doc *report.Document, err error) {
	if name, err = f.free(b.day.String()); err != nil {
		return "", nil, err
	}
	err = b.stage("compose", func() error {
		run := b.run(name)
		if run.Before, err = b.memory.before(ctx, b); err != nil {
			return err
		}
		doc = report.Compose(run, b.read.Fleet, b.assessed, b.list, b.catalogue)
		return nil
	})
	if err != nil {
		return "", nil, err
	}
	tmp := filepath.Join(f.path, beside+name)
	defer os.RemoveAll(tmp)
	if err := f.fillAndEnter(ctx, tmp, name, b, doc); err != nil {
		return "", nil, err
	}
	if err := f.publish(ctx, b, tmp, name); err != nil {
		return "", nil, err
	}
	return name, doc, f.prune(b.job.Output.Keep)
}

// fillAndEnter writes the run's folder, and side by side with it the record's
// transaction, which publish commits.
func (f *folder) fillAndEnter(ctx context.Context, dir, name string, b *batch, doc *report.Document) error {
	errs := both(
		func() error { return b.memory.enter(ctx, b, name) },
		func() error { return f.fill(ctx, dir, b, doc) },
	)
	switch entered, filled := errs[0], errs[1]; {
	case ctx.Err() != nil:
		b.memory.undo()
		return ctx.Err()
	case filled != nil:
		b.memory.undo()
		return cannotWrite(f.path, filled)
	default:
		return entered
	}
}

// fill writes every file of the run into a folder that nobody looks at yet.
func (f *folder) fill(ctx context.Context, dir string, b *batch, doc *report.Document) error {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return err
	}
	err := b.stage("write", func() error {
		return errors.Join(both(
			func() error { return table.Write(ctx, create(dir), doc) },
			func() error {
				return save(filepath.Join(dir, workbookName), func(w io.Writer) error {
					return workbook.Write(ctx, w, doc, workbook.Options{TmpDir: dir})
				})
			},
		)...)
	})
	if err != nil {
		return err
	}
	times, err := json.MarshalIndent(timings{b.job.Name, b.scheduled, b.began, b.now(), b.took}, "", "  ")
	if err != nil {
		return err
	}
	err = writeText(filepath.Join(dir, timingsName), string(times)+"\n")
	return errors.Join(err, syncDir(dir))
}

// both runs two writers side by side.
func both(a, b func() error) []error {
	done := make(chan error, 1)
	go func() { done <- a() }()
	second := b()
	return []error{<-done, second}
}

// create opens files in dir that are synced when they are closed.
func create(dir string) table.Create {
	return func(name string) (io.WriteCloser, error) {
		file, err := os.Create(filepath.Join(dir, name))
		if err != nil {
			return nil, err
		}
		return &synced{bufio.NewWriterSize(file, 1<<16), file}, nil
	}
}

// synced is a buffered file that reaches the disk before it is closed.
type synced struct {
	*bufio.Writer
	file *os.File
}

// Close flushes, syncs and closes; the first fault of the three is returned.
func (s *synced) Close() error {
	return errors.Join(s.Flush(), s.file.Sync(), s.file.Close())
}

// save writes one file and syncs it.
func save(path string, write func(io.Writer) error) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	s := &synced{bufio.NewWriterSize(file, 1<<16), file}
	return errors.Join(write(s), s.Close())
}

// replace puts text into a file at once: written beside, synced, renamed.
func replace(path, text string) error {
	tmp := path + fresh
	err := writeText(tmp, text)
	if err == nil {
		err = os.Rename(tmp, path)
	}
	if err != nil {
		os.Remove(tmp)
		return err
	}
	return syncDir(filepath.Dir(path))
}

// writeText writes one file and syncs it.
func writeText(path, text string) error {
	return save(path, func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	})
}

// syncDir makes a folder's entries reach the disk. Windows has no such call
// and needs none.
func syncDir(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// ours matches the names of runs: a day, and a number from the second on.
var ours = regexp.MustCompile(`^(\d{4}-\d{2}-\d{2})(?:-(\d+))?$`)

// free is the first name of the day that no run has: the day, the day-2, …
func (f *folder) free(day string) (string, error) {
	for n := 1; ; n++ {
		name := day
		if n > 1 {
			name += "-" + strconv.Itoa(n)
		}
		_, err := os.Lstat(filepath.Join(f.path, name))
		if errors.Is(err, fs.ErrNotExist) {
			return name, nil
		}
		if err != nil {
			return "", cannotWrite(f.path, err)
		}
	}
}

// prune removes the oldest runs beyond keep; nothing else is ours to remove.
func (f *folder) prune(keep int) error {
	runs, err := runsIn(f.path)
	if err != nil {
		return cannotWrite(f.path, err)
	}
	for _, name := range runs[:max(0, len(runs)-keep)] {
		if err := f.remove(name); err != nil {
			return &failure{exitFailed, fmt.Errorf("the run is written, but the old run %s cannot be removed: %w", name, cause(err)), "close its files in other programs"}
		}
	}
	return nil
}

// runsIn lists the runs in an output folder, oldest first: folders named as a
// run that hold a run's own record.
func runsIn(folder string) ([]string, error) {
	entries, err := os.ReadDir(folder)
	var runs []string
	for _, e := range entries {
		if !e.IsDir() || !ours.MatchString(e.Name()) {
			continue
		}
		if _, err := os.Stat(filepath.Join(folder, e.Name(), runRecord)); err == nil {
			runs = append(runs, e.Name())
		}
	}
	slices.SortFunc(runs, compareRuns)
	return runs, err
}

// remove takes an old run away at once: out of sight, then file by file.
func (f *folder) remove(name string) error {
	away := filepath.Join(f.path, going+name)
	if err := os.Rename(filepath.Join(f.path, name), away); err != nil {
		return err
	}
	return os.RemoveAll(away)
}

// compareRuns orders runs by day, then by number.
func compareRuns(a, b string) int {
	x, y := ours.FindStringSubmatch(a), ours.FindStringSubmatch(b)
	if c := strings.Compare(x[1], y[1]); c != 0 {
		return c
	}
	n, _ := strconv.Atoi(x[2])
	m, _ := strconv.Atoi(y[2])
	return n - m
}

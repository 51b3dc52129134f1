package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"

	"pitlist/config"
	"pitlist/ingest"
	"pitlist/ingest/csv"
	"pitlist/ingest/xlsx"
)

// spoolPrefix begins the names of folders for a reading's temporary files,
// which hold what the inputs hold. They are readable by their owner alone.
const spoolPrefix = "pitlist-spool-"

// spoolLock is the file in a spool folder that its process holds a lock on.
const spoolLock = "held"

// spool makes a folder for temporary files, and sweeps away those that runs
// left behind which were killed: nobody holds them any more.
func spool() (dir string, remove func() error, err error) {
	sweepSpools(os.TempDir())
	for range 5 { // another process may sweep a folder away before its lock is held
		if dir, err = os.MkdirTemp("", spoolPrefix); err != nil {
			return "", nil, err
		}
		lock := flock.New(filepath.Join(dir, spoolLock), flock.SetPermissions(0o600))
		got, locked := lock.TryLock()
		if locked == nil && got && exists(lock.Path()) {
			return dir, func() error { return clearSpool(dir, lock) }, nil
		}
		err = errors.Join(locked, lock.Close(), os.RemoveAll(dir))
	}
	return "", nil, fmt.Errorf("make a folder for temporary files: %w", errors.Join(errHeld, err))
}

var errHeld = errors.New("another process holds it")

// abandoned is the age from which a spool folder without a lock file is no
// longer taken for one that is just being made.
const abandoned = time.Hour

// sweepSpools removes the spool folders below dir that no process holds. What
// cannot be removed, such as another user's, stays.
func sweepSpools(dir string) {
	found, err := filepath.Glob(filepath.Join(dir, spoolPrefix+"*"))
	if err != nil {
		return
	}
	for _, d := range found {
		info, err := os.Lstat(d)
		if err != nil || !info.IsDir() {
			continue
		}
		held := filepath.Join(d, spoolLock)
		if _, err := os.Lstat(held); err != nil {
			if time.Since(info.ModTime()) > abandoned {
				os.RemoveAll(d)
			}
			continue
		}
		lock := flock.New(held, flock.SetFlag(os.O_RDONLY)) // never makes the file anew
		if got, err := lock.TryLock(); err == nil && got {
			clearSpool(d, lock)
		}
	}
}

// clearSpool removes a spool folder whose lock is held: before the lock is let go,
// so that nobody takes it over while it goes, and again after it, since
// Windows removes no file that is open.
func clearSpool(dir string, lock *flock.Flock) error {
	os.RemoveAll(dir)
	return errors.Join(lock.Unlock(), os.RemoveAll(dir))
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// readLimits hands the job's limits to the readers.
func readLimits(l config.Limits) ingest.Limits {
	return ingest.Limits{
		Text:     csv.Limits{Bytes: l.Bytes, Rows: l.Rows, RecordBytes: int(l.RecordBytes), RecordLines: int(l.RecordLines)},
		Workbook: xlsx.Limits{Bytes: l.Bytes, FileBytes: l.FileBytes, PartBytes: l.PartBytes, Rows: l.Rows, Parts: l.Parts, RecordBytes: l.RecordBytes},
		Cells:    l.Cells,
		Time:     time.Duration(l.Seconds * float64(time.Second)),
	}
}

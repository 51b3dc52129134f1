package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
)

// A run changes several places: its folder, latest, the record. It happens at
// one moment, the renaming of its folder; what comes before is taken back at
// the next start if that moment was not reached, what comes after is made up
// for.
//
//	1. the folder is filled beside, under another name, and synced; meanwhile
//	   the record's transaction is written, which nobody sees yet;
//	2. the name for latest is written beside;
//	3. the transaction is committed: the record has the run as pending;
//	4. the folder is renamed: the run has happened;
//	5. latest is put into place;
//	6. the record marks the run as done.
//
// Killed before 4, the next start finds no folder of that name: it removes what
// lies beside and takes the pending run out of the record, and the name is free
// again. Killed after 4, it finds the folder: it puts latest into place and
// marks the run as done. Doing so twice, or being killed meanwhile, changes
// nothing. See folder.sweep and memory.settle.

// publish makes the run happen.
func (f *folder) publish(ctx context.Context, b *batch, tmp, name string) error {
	b.reached("filled")
	next := filepath.Join(f.path, nextName)
	if err := writeText(next, name+"\n"); err != nil {
		os.Remove(next)
		b.memory.undo()
		return cannotWrite(f.path, err)
	}
	b.reached("announced")
	if err := b.memory.commit(); err != nil {
		os.Remove(next)
		return err
	}
	b.reached("committed")
	if err := os.Rename(tmp, filepath.Join(f.path, name)); err != nil {
		os.Remove(next)
		return errors.Join(cannotWrite(f.path, err), b.memory.settle(context.WithoutCancel(ctx), f))
	}
	b.reached("renamed")
	err := errors.Join(syncDir(f.path), os.Rename(next, filepath.Join(f.path, latestName)), syncDir(f.path))
	if err != nil {
		return cannotWrite(f.path, err)
	}
	b.reached("named")
	// The run has happened: nobody's haste keeps the record from saying so.
	if err := b.memory.finish(context.WithoutCancel(ctx)); err != nil {
		return err
	}
	b.reached("finished")
	return nil
}

package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"pitlist/ingest/header"
	"pitlist/ingest/history"
	"pitlist/ingest/recall"
	"pitlist/score"
	"pitlist/score/say"
)

// memory is the job's record as one run uses it. A nil one is of a run
// without: it recalls and commits nothing.
type memory struct {
	record *history.Record
	known  *history.Known
	joined recall.Joined
	run    *history.Entered // this run, from enter to commit or undo
}

// withoutFlag is the flag that lets a run go on without the record.
const withoutFlag = "without-memory"

// remember opens the job's record; its pages are checked while the inputs are
// read, and sound has the verdict. may is what a user has allowed: a damaged
// record stops the run otherwise, whenever the damage shows. The output folder
// is held, so nobody else writes it.
func remember(ctx context.Context, b *batch, may bool) (*memory, error) {
	path := b.job.HistoryPath()
	if path == "" {
		return nil, nil
	}
	if was := history.WasSetAside(path); was != "" && !may {
		return nil, setAsideError(fmt.Errorf("the record %s was damaged and stands set aside as %s", b.job.History, was))
	}
	open := history.Start
	if may {
		open = history.Open // what follows rests on the verdict
	}
	record, err := open(ctx, path)
	var damage *history.DamageError
	switch {
	case errors.As(err, &damage) && may:
		return beginAnew(ctx, b, path, damage)
	case errors.As(err, &damage):
		return nil, setAside(b, damage)
	case err != nil && may:
		return nil, b.note(say.F("made without memory, as --%s says: %s", withoutFlag, err))
	case err != nil:
		return nil, cannotRemember(err)
	case may && !record.New:
		return nil, errors.Join(record.Close(), b.note(say.F("made without memory, as --%s says; the record %s is as it was", withoutFlag, b.job.History)))
	}
	return &memory{record: record}, nil
}

// look lets the record join the fleet for a command that writes nothing. It
// does not hold the output folder, so it leaves everything as it is.
func (b *batch) look(ctx context.Context) (err error) {
	path := b.job.HistoryPath()
	if path == "" || b.without {
		return nil
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return nil // no run has made one yet
	}
	m := &memory{}
	if m.record, err = history.Open(ctx, path); err != nil {
		return cannotRemember(err)
	}
	defer m.close(&err)
	return m.recall(ctx, b)
}

// beginAnew sets a damaged record aside and begins another.
func beginAnew(ctx context.Context, b *batch, path string, damage *history.DamageError) (*memory, error) {
	to, err := history.SetAside(path, b.day.String())
	if err != nil {
		return nil, cannotSetAside(damage, err)
	}
	record, err := history.Open(ctx, path)
	if err != nil {
		return nil, cannotRemember(err)
	}
	b.note(say.F("%s; it was set aside as %s, and a new record begins: nothing of earlier runs is remembered", damage, filepath.Base(to)))
	return &memory{record: record}, nil
}

// setAside renames a damaged record, which nobody has open any more, and says
// so with what was found; found is or holds the *history.DamageError.
func setAside(b *batch, found error) error {
	to, err := history.SetAside(b.job.HistoryPath(), b.day.String())
	if err != nil {
		return cannotSetAside(found, err)
	}
	return setAsideError(fmt.Errorf("%w; it was set aside as %s", found, to))
}

func cannotSetAside(found, err error) error {
	return &failure{exitFailed, fmt.Errorf("%w; it cannot be set aside: %w", found, cause(err)), "move it away and put a copy of an earlier day in its place"}
}

func setAsideError(err error) error {
	return &failure{exitFailed, err, "put a copy of the record from an earlier day in its place, or make one run by hand, pitlist run JOB --" + withoutFlag + ": the list is made without memory and a new record begins"}
}

func cannotRemember(err error) error {
	f := &failure{exitFailed, err, "check the job's history: its folder's permissions and the space on its disk; or run with --" + withoutFlag}
	var newer *history.NewerError
	switch {
	case errors.As(err, &newer):
		f.hint = "run the later version of pitlist, or run with --" + withoutFlag + ", which leaves the record as it is"
	case errors.Is(err, history.ErrForeign):
		f.code, f.hint = exitUsage, "name another file under history: in the job; this one was not touched"
	}
	return f
}

// close lets the record go; a fault of it is told only where all else is well.
func (m *memory) close(err *error) {
	if m == nil {
		return
	}
	if e := m.record.Close(); e != nil && *err == nil {
		*err = cannotRemember(e)
	}
}

// leave closes the record at the end of a run. One that the run found damaged,
// however late, is set aside as one that was found so at its start.
func (m *memory) leave(b *batch, err *error) {
	m.close(err)
	var damage *history.DamageError
	if m == nil || !errors.As(*err, &damage) {
		return
	}
	found := *err
	var f *failure
	if errors.As(found, &f) {
		found = f.err
	}
	*err = setAside(b, found)
}

// sound waits for the verdict on the record's pages.
func (m *memory) sound() error {
	if m == nil {
		return nil
	}
	if err := m.record.Checked(); err != nil {
		return cannotRemember(err)
	}
	return nil
}

// unsound ends a context where the record turns out damaged, so that what goes
// on beside its check does not go on for nothing.
func (m *memory) unsound(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := context.WithCancel(ctx)
	if m != nil {
		go func() {
			if m.sound() != nil {
				stop()
			}
		}()
	}
	return ctx, stop
}

// settle ends a run that was cut off between its commit and its last word:
// it happened if its folder is in its place, else it is taken back.
func (m *memory) settle(ctx context.Context, f *folder) error {
	if m == nil {
		return nil
	}
	name, found, err := m.record.Pending(ctx)
	if err == nil && !found {
		return nil
	}
	if bad := m.sound(); bad != nil { // before any other reason why it cannot be read
		return bad
	}
	if err != nil {
		return cannotRemember(err)
	}
	if _, err := os.Stat(filepath.Join(f.path, name)); err == nil {
		return m.record.Finish(ctx)
	} else if !errors.Is(err, os.ErrNotExist) {
		return cannotWrite(f.path, err)
	}
	return m.record.TakeBack(ctx)
}

// recall lets what earlier runs know join the fleet.
func (m *memory) recall(ctx context.Context, b *batch) error {
	if m == nil {
		return nil
	}
	return b.stage("recall", func() error {
		var err error
		m.known, err = m.record.Recall(ctx, recall.Read(b.read.Fleet, b.day, b.sources()))
		if err := m.sound(); err != nil {
			return err
		}
		if err != nil {
			return cannotRemember(err)
		}
		if m.joined, err = recall.Join(b.read.Fleet, m.known); err != nil {
			return cannotRemember(err)
		}
		m.tell(b)
		b.reached("recalled")
		return nil
	})
}

// tell notes what the record changed of what was read.
func (m *memory) tell(b *batch) {
	if m.known.Past {
		b.note(say.F("the record holds runs of later days; it was read as it was on %s, and this run is not kept in it", say.ISODay(b.day)))
	}
	if n := m.joined.Stale; n > 0 {
		b.note(say.F("%s of the inputs were corrected by a later file, whose values are used", say.Count(n, "row", "rows")))
	}
}

// sources describes the fleet's sources for the record.
func (b *batch) sources() []history.Source {
	sha := map[string]string{}
	for _, f := range b.read.Files {
		sha[f.Path] = f.SHA256
	}
	snapshot := map[score.Source]bool{}
	for i := range b.read.Sheets {
		s := &b.read.Sheets[i]
		snapshot[s.Source] = s.Layout.Has(header.Vehicles)
	}
	out := make([]history.Source, len(b.read.Fleet.Sources))
	for i, s := range b.read.Fleet.Sources {
		out[i] = history.Source{File: s.File, Sheet: s.Sheet, SHA256: sha[s.File], Snapshot: snapshot[s]}
	}
	return out
}

// enter writes the run into the record's transaction.
func (m *memory) enter(ctx context.Context, b *batch, name string) error {
	if m == nil || m.known.Past {
		return nil
	}
	t := &b.list.Totals
	at := make(map[*score.Vehicle]int, len(b.read.Fleet.Vehicles))
	for i := range b.read.Fleet.Vehicles {
		at[&b.read.Fleet.Vehicles[i]] = i
	}
	run := &history.Run{
		Day: int32(b.day), Name: name, Job: b.job.Name, Version: version(), Catalogue: b.catalogue.Digest,
		Vehicles: len(b.read.Fleet.Vehicles), Above: t.Above, Hours: t.Hours, FailNext: t.FailNext.Mean, Rows: b.rows(at),
		Promises: b.promises(at), Parts: digests(b.catalogue), Depots: b.job.BayHours,
	}
	var err error
	if m.run, err = m.record.Enter(ctx, m.known, run); err != nil {
		return cannotRemember(err)
	}
	return nil
}

// commit makes the entered run stand in the record, as pending.
func (m *memory) commit() error {
	if m == nil || m.run == nil {
		return nil
	}
	if err := m.run.Commit(); err != nil {
		return cannotRemember(err)
	}
	return nil
}

// undo drops the entered run.
func (m *memory) undo() {
	if m != nil {
		m.run.Undo()
	}
}

// finish marks the run as done, its folder being in its place.
func (m *memory) finish(ctx context.Context) error {
	if m == nil || m.known.Past {
		return nil
	}
	if err := m.record.Finish(ctx); err != nil {
		return &failure{exitFailed, fmt.Errorf("the run is written, but the record does not say so yet: %w", err), "the next run puts that right"}
	}
	return nil
}

// rows are the list as the record keeps it.
func (b *batch) rows(at map[*score.Vehicle]int) []history.Row {
	out := make([]history.Row, len(b.list.Rows))
	for i := range b.list.Rows {
		r := &b.list.Rows[i]
		a := r.Assessment
		out[i] = history.Row{
			Vehicle: at[a.Vehicle], Rank: r.Rank, Above: r.Above, Group: string(r.Group),
			OdometerKM: history.Number{Value: a.Odometer.KM, Known: a.Odometer.Known}, FailNext: r.FailNext, FailHold: r.FailHold,
			Worth: r.Worth, Waiting: r.Waiting, Hours: r.Hours, Cumulative: r.Cumulative, Stays: history.Number{Value: r.Stays, Known: r.Stays >= 0},
		}
		if f := r.Lead.Finding; f != nil {
			out[i].Part, out[i].PWorn = f.Part.ID, f.State.Worn
		}
	}
	return out
}

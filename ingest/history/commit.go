package history

import (
	"context"
	"database/sql"
	"errors"
	"maps"
	"slices"
)

// Commit writes the run with all that it learned, as pending, in one
// transaction that is on the disk when Commit returns. The caller then puts
// the run's folder in its place and calls Finish; see the package comment.
func (r *Record) Commit(ctx context.Context, k *Known, run *Run) error {
	e, err := r.Enter(ctx, k, run)
	if err != nil {
		return err
	}
	return e.Commit()
}

// Entered is a run that stands in the record's transaction and in nobody's
// sight: Commit or Undo ends it, and until then the record does nothing else.
type Entered struct {
	record *Record
	tx     *sql.Tx
}

// Enter does the work of Commit up to its last step, so that it can go on
// beside the writing of the run's folder.
func (r *Record) Enter(ctx context.Context, k *Known, run *Run) (*Entered, error) {
	if k.Past {
		return nil, errors.New("a run for a day before the record's last is not committed")
	}
	tx, err := r.db.BeginTx(ctx, nil)
	if err != nil {
		return nil, r.judge(err)
	}
	c := &committer{ctx: ctx, tx: tx, known: k, state: k.state}
	if err := c.all(run); err != nil {
		tx.Rollback()
		return nil, r.judge(err)
	}
	return &Entered{r, tx}, nil
}

// Commit puts the run on the disk, as pending.
func (e *Entered) Commit() error { return e.record.judge(e.tx.Commit()) }

// Undo leaves the record as it was; nil needs none.
func (e *Entered) Undo() {
	if e != nil {
		e.tx.Rollback()
	}
}

// committer writes one run.
type committer struct {
	ctx      context.Context
	tx       *sql.Tx
	known    *Known
	state    *state
	sourceID []int64 // of Read.Sources
	vehicle  []int64 // of Read.Vehicles
	addWord  *sql.Stmt
	sumFacts uint32 // of the run's segment
}

func (c *committer) exec(query string, args ...any) error {
	_, err := c.tx.ExecContext(c.ctx, query, args...)
	return err
}

// all writes the run's rows.
func (c *committer) all(run *Run) error {
	if err := c.begin(run); err != nil {
		return err
	}
	for _, step := range []func(*Run) error{c.sources, c.vehicles, c.facts, c.answers, c.placed, c.standing, c.list, c.promises, c.basis, c.seal} {
		if err := step(run); err != nil {
			return err
		}
	}
	return nil
}

// begin makes the run's row; its id is one more than the last.
func (c *committer) begin(run *Run) error {
	var last int64
	if err := c.tx.QueryRowContext(c.ctx, "SELECT coalesce(max(id), 0) FROM run").Scan(&last); err != nil {
		return err
	}
	if last != c.state.last {
		return errMoved
	}
	run.ID = last + 1
	return c.exec("INSERT INTO run VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", run.ID, last, run.Day, run.Name, pending,
		run.Job, run.Version, run.Catalogue, run.Vehicles, run.Above, run.Hours, run.FailNext)
}

// next is the first free id of a table.
func (c *committer) next(table string) (id int64, err error) {
	err = c.tx.QueryRowContext(c.ctx, "SELECT coalesce(max(id), 0) + 1 FROM "+table).Scan(&id)
	return id, err
}

func (c *committer) sources(run *Run) error {
	id, err := c.next("source")
	if err != nil {
		return err
	}
	c.sourceID = append([]int64(nil), c.known.sourceIDs...)
	for i, s := range c.known.read.Sources {
		if c.sourceID[i] == 0 {
			c.sourceID[i] = id
			if err := c.exec("INSERT INTO source VALUES (?, ?, ?, ?, ?)", id, run.ID, s.File, s.Sheet, s.SHA256); err != nil {
				return err
			}
			id++
		}
		if err := c.exec("INSERT OR IGNORE INTO run_source VALUES (?, ?)", run.ID, c.sourceID[i]); err != nil {
			return err
		}
	}
	return nil
}

// vehicles writes new vehicles, VINs learned, and who was there.
func (c *committer) vehicles(run *Run) error {
	id, err := c.next("vehicle")
	if err != nil {
		return err
	}
	stays, err := c.tx.PrepareContext(c.ctx, "UPDATE presence SET last_run = ? WHERE id = ?")
	if err != nil {
		return err
	}
	defer stays.Close()
	c.vehicle = make([]int64, len(c.known.read.Vehicles))
	for i := range c.known.read.Vehicles {
		v, k := &c.known.read.Vehicles[i], c.known.vehicle[i]
		switch {
		case k == nil:
			c.vehicle[i] = id
			err = c.exec("INSERT INTO vehicle VALUES (?, ?, ?, ?)", id, run.ID, orNull(v.VIN), ifGiven(v.VIN, run.ID))
			id++
		case k.joined:
			c.vehicle[i] = k.id
			err = c.exec("UPDATE vehicle SET vin = ?, vin_run = ? WHERE id = ?", v.VIN, run.ID, k.id)
		default:
			c.vehicle[i] = k.id
		}
		if err == nil {
			if k != nil && k.sameNameAgain {
				_, err = stays.ExecContext(c.ctx, run.ID, k.presence)
			} else {
				err = c.exec("INSERT INTO presence (vehicle, unit, registration, first_run, last_run) VALUES (?, ?, ?, ?, ?)", c.vehicle[i], v.Unit, v.Registration, run.ID, run.ID)
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func ifGiven(s string, run int64) any {
	if s == "" {
		return nil
	}
	return run
}

func (n Number) orNull() any {
	if !n.Known {
		return nil
	}
	return n.Value
}

// word finds or adds the id of a text.
func (c *committer) word(s string) (int64, error) {
	if id, ok := c.state.wordID[s]; ok {
		return id, nil
	}
	if c.addWord == nil {
		var err error
		if c.addWord, err = c.tx.PrepareContext(c.ctx, "INSERT INTO word VALUES (?, ?)"); err != nil {
			return 0, err
		}
	}
	id := int64(len(c.state.words))
	if _, err := c.addWord.ExecContext(c.ctx, id, s); err != nil {
		return 0, err
	}
	c.state.words = append(c.state.words, s)
	c.state.wordID[s] = id
	return id, nil
}

// facts writes what was learned, and what it takes the place of.
func (c *committer) facts(run *Run) error {
	add, err := c.tx.PrepareContext(c.ctx, "INSERT INTO fact VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, NULL, NULL)")
	if err != nil {
		return err
	}
	defer add.Close()
	p := packer{first: c.state.nextFact}
	for i := range c.known.inserts {
		in := &c.known.inserts[i]
		f := &c.known.read.Vehicles[in.vehicle].Facts[in.fact]
		w, err := c.words(f)
		if err != nil {
			return err
		}
		p.add(c.vehicle[in.vehicle], f, w, c.sourceID[f.Source])
		var stands any
		if f.Undated {
			stands = run.ID
		}
		_, err = add.ExecContext(c.ctx, in.id, c.vehicle[in.vehicle], string(f.Kind), w.subject, f.Day, f.Undated, f.At.orNull(), f.Number.orNull(),
			w.text, w.detail, c.sourceID[f.Source], f.Row, run.ID, stands)
		if err != nil {
			return err
		}
	}
	c.sumFacts = sumFacts(p.data, p.first, p.n)
	return c.exec("INSERT INTO segment VALUES (?, ?, ?, ?)", run.ID, p.first, p.n, append([]byte{}, p.data...))
}

// words finds or adds the ids of a fact's texts.
func (c *committer) words(f *Fact) (w words, err error) {
	for _, t := range [...]struct {
		text string
		id   *int64
	}{{f.Key, &w.subject}, {f.Text, &w.text}, {f.Detail, &w.detail}} {
		if *t.id, err = c.word(t.text); err != nil {
			return w, err
		}
	}
	return w, nil
}

// placed writes which facts have taken whose place.
func (c *committer) placed(run *Run) error {
	for _, p := range c.known.places {
		if err := c.exec("UPDATE fact SET superseded_by = ?, superseded_run = ? WHERE id = ?", p.by, run.ID, p.old.id); err != nil {
			return err
		}
	}
	return nil
}

// standing moves on what this run found unchanged.
func (c *committer) standing(run *Run) error {
	stays, err := c.tx.PrepareContext(c.ctx, "UPDATE fact SET last_run = ? WHERE id = ?")
	if err != nil {
		return err
	}
	defer stays.Close()
	for _, s := range c.known.stands {
		if _, err := stays.ExecContext(c.ctx, run.ID, s.id); err != nil {
			return err
		}
	}
	return nil
}

// list writes the run's whole list.
func (c *committer) list(run *Run) error {
	add, err := c.tx.PrepareContext(c.ctx, "INSERT INTO listed VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
	if err != nil {
		return err
	}
	defer add.Close()
	for i := range run.Rows {
		w := &run.Rows[i]
		part, err := c.word(w.Part)
		if err != nil {
			return err
		}
		_, err = add.ExecContext(c.ctx, run.ID, w.Rank, c.vehicle[w.Vehicle], w.Above, part, w.Group, w.PWorn, w.OdometerKM.orNull(),
			w.FailNext, w.FailHold, w.Worth, w.Waiting, w.Hours, w.Cumulative, w.Stays.orNull())
		if err != nil {
			return err
		}
	}
	return nil
}

// promises writes what the list says of the parts above the line.
func (c *committer) promises(run *Run) error {
	for _, p := range run.Promises {
		part, err := c.word(p.Part)
		if err == nil {
			err = c.exec("INSERT OR REPLACE INTO promised VALUES (?, ?, ?, ?, ?)", run.ID, c.vehicle[p.Vehicle], part, p.PWorn, p.Chance)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// basis writes what the list rests on beside the facts.
func (c *committer) basis(run *Run) error {
	for _, id := range slices.Sorted(maps.Keys(run.Parts)) {
		part, err := c.word(id)
		if err == nil {
			err = c.exec("INSERT INTO part VALUES (?, ?, ?)", run.ID, part, run.Parts[id])
		}
		if err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(run.Depots)) {
		if err := c.exec("INSERT INTO depot VALUES (?, ?, ?)", run.ID, name, run.Depots[name]); err != nil {
			return err
		}
	}
	return nil
}

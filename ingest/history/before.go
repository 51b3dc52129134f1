package history

import (
	"cmp"
	"context"
	"database/sql"
	"slices"
)

// Before is the last run of an earlier day, which today's is held against. A
// run for the same day is passed over: one that is made again after a row was
// put right is to say what moved since last week, as the first did.
type Before struct {
	Run
	Listed  map[int]Row // by index into Read.Vehicles: where today's vehicles stood
	Left    []Left      // vehicles that it read and today's sheets do not hold
	Results Tally       // returned by its day, since the run before it
}

// Left is a vehicle that is no longer in the sheets.
type Left struct {
	VIN, Unit, Registration string
	Listed                  bool
	Row                     Row // where it stood, if it was listed
}

// Tally counts results of inspections: parts that were opened, and those among
// them that were found worn or failed.
type Tally struct{ Opened, Hits int }

// Before reads the last run of an earlier day; nil where there is none.
func (r *Record) Before(ctx context.Context, k *Known) (*Before, error) {
	if k.state.earlier == 0 {
		return nil, nil
	}
	b := &Before{Listed: map[int]Row{}}
	err := r.readRun(ctx, k, &b.Run)
	if err != nil {
		return nil, r.judge(err)
	}
	rows := map[int64]Row{}
	for _, w := range b.Rows {
		rows[int64(w.Vehicle)] = w
	}
	today := map[int64]bool{}
	for i, v := range k.vehicle {
		if v == nil {
			continue
		}
		today[v.id] = true
		if w, ok := rows[v.id]; ok {
			b.Listed[i] = w
		}
	}
	for _, v := range k.state.inOrder() {
		if today[v.id] || v.first > k.state.earlier || v.last < k.state.earlier {
			continue
		}
		l := Left{VIN: v.vin, Unit: v.unit, Registration: v.plate}
		l.Row, l.Listed = rows[v.id]
		b.Left = append(b.Left, l)
	}
	slices.SortStableFunc(b.Left, func(x, y Left) int {
		return cmp.Or(cmp.Compare(x.Unit, y.Unit), cmp.Compare(x.VIN, y.VIN), cmp.Compare(x.Registration, y.Registration))
	})
	b.Results, err = r.returned(ctx, k)
	return b, r.judge(err)
}

// readRun reads the earlier run with its list and what it rested on.
func (r *Record) readRun(ctx context.Context, k *Known, n *Run) error {
	id := k.state.earlier
	err := r.db.QueryRowContext(ctx, "SELECT id, day, name, job, version, catalogue, vehicles, above, hours, fail_next FROM run WHERE id = ?", id).
		Scan(&n.ID, &n.Day, &n.Name, &n.Job, &n.Version, &n.Catalogue, &n.Vehicles, &n.Above, &n.Hours, &n.FailNext)
	if err != nil {
		return err
	}
	err = r.each(ctx, "SELECT rank, vehicle, above, part, standing, p_worn, odometer, fail_next, fail_hold, worth, waiting, hours, cumulative, stays FROM listed WHERE run = ? ORDER BY rank",
		func(rows *sql.Rows) error {
			var w Row
			var part int64
			var odometer, stays sql.NullFloat64
			err := rows.Scan(&w.Rank, &w.Vehicle, &w.Above, &part, &w.Group, &w.PWorn, &odometer, &w.FailNext, &w.FailHold, &w.Worth, &w.Waiting, &w.Hours, &w.Cumulative, &stays)
			w.Part, w.OdometerKM, w.Stays = k.state.word(part), Number{odometer.Float64, odometer.Valid}, Number{stays.Float64, stays.Valid}
			n.Rows = append(n.Rows, w)
			return err
		}, id)
	if err != nil {
		return err
	}
	n.Parts, n.Depots = map[string]string{}, map[string]float64{}
	err = r.each(ctx, "SELECT part, digest FROM part WHERE run = ?", func(rows *sql.Rows) error {
		var part int64
		var digest string
		err := rows.Scan(&part, &digest)
		n.Parts[k.state.word(part)] = digest
		return err
	}, id)
	if err != nil {
		return err
	}
	return r.each(ctx, "SELECT name, hours FROM depot WHERE run = ?", func(rows *sql.Rows) error {
		var name string
		var hours float64
		err := rows.Scan(&name, &hours)
		n.Depots[name] = hours
		return err
	}, id)
}

// opened tells whether a result says that the part was seen, and whether it
// was found worn or failed.
func opened(f *Fact) (seen, hit bool) {
	if f.Kind != Inspection {
		return false, false
	}
	switch f.Text {
	case "worn", "failed":
		return true, true
	case "sound":
		return true, false
	}
	return false, false
}

func (t *Tally) add(f *Fact) {
	if seen, hit := opened(f); seen {
		t.Opened++
		if hit {
			t.Hits++
		}
	}
}

// returned counts the results that came with the runs of the earlier run's
// day.
func (r *Record) returned(ctx context.Context, k *Known) (t Tally, err error) {
	var since int64
	const query = "SELECT coalesce(max(id), 0) FROM run WHERE state = 'done' AND day < (SELECT day FROM run WHERE id = ?)"
	if err := r.db.QueryRowContext(ctx, query, k.state.earlier).Scan(&since); err != nil {
		return t, err
	}
	for _, list := range k.state.facts {
		for _, s := range list.of(Inspection) {
			if s.run > since && s.run <= k.state.earlier && (s.gone == 0 || s.gone > k.state.earlier) && k.brought(k.state.vehicles[s.vehicle], &s.Fact, s.run) {
				t.add(&s.Fact)
			}
		}
	}
	return t, nil
}

// brought tells whether a fact came back from a list: it was learned after the
// run that first read its vehicle, and is of that run's day or later. What a
// vehicle brings along of earlier years, no list has asked for.
func (k *Known) brought(v *known, f *Fact, learned int64) bool {
	return v != nil && learned > v.since && f.Day >= k.days[v.since]
}

// came counts a result of today's vehicle i that has come since the last run
// of an earlier day.
func (k *Known) came(i int, f *Fact, learned int64) {
	if k.brought(k.vehicle[i], f, learned) {
		k.returned.add(f)
	}
}

// Returned counts the results that have come since the last run of an earlier
// day, of looks that were made since the record knows their vehicle.
func (k *Known) Returned() Tally { return k.returned }

// Kept is how a list's promises fared: of the parts that stood above the line
// and were opened, the chance that each was given and whether wear was found.
type Kept struct {
	Chances []float64
	Hits    int
}

// Promises holds what earlier lists promised against the results that have
// come since. part gives the catalogue's id for an inspection's Key. A result
// answers to the latest list on or before its day that had the part above the
// line and did not know the result yet; each promise counts once, however often
// the part was opened, and is a hit if wear was found at any place of it.
func (r *Record) Promises(ctx context.Context, k *Known, part func(key string) string) (Kept, error) {
	type promise struct {
		vehicle int64
		part    string
	}
	type given struct {
		run    int64
		chance float64
		opened bool
		hit    bool
	}
	made := map[promise][]*given{}
	var order []*given
	days, err := r.days(ctx)
	if err == nil {
		err = r.each(ctx, "SELECT run, vehicle, part, chance FROM promised WHERE run <= ? ORDER BY run, vehicle, part", func(rows *sql.Rows) error {
			var p promise
			var word int64
			g := &given{}
			err := rows.Scan(&g.run, &p.vehicle, &word, &g.chance)
			p.part = k.state.word(word)
			made[p] = append(made[p], g)
			order = append(order, g)
			return err
		}, k.state.upTo)
	}
	if err != nil {
		return Kept{}, r.judge(err)
	}
	k.results(func(vehicle int64, f *Fact, learned int64) {
		seen, hit := opened(f)
		if !seen {
			return
		}
		list := made[promise{vehicle, part(f.Key)}]
		for i := len(list) - 1; i >= 0; i-- {
			if g := list[i]; g.run < learned && days[g.run] <= f.Day {
				g.opened, g.hit = true, g.hit || hit
				return
			}
		}
	})
	var out Kept
	for _, g := range order {
		if g.opened {
			out.Chances = append(out.Chances, g.chance)
			if g.hit {
				out.Hits++
			}
		}
	}
	return out, nil
}

// results hands over every result that holds, of vehicles that are gone too,
// with the run that learned it; today's run comes after all others.
func (k *Known) results(use func(vehicle int64, f *Fact, learned int64)) {
	for _, v := range k.state.inOrder() {
		for _, s := range k.state.facts[v.id].of(Inspection) {
			if s.live() && s.Day <= k.read.Day {
				use(v.id, &s.Fact, s.run)
			}
		}
	}
	for i := range k.inserts {
		in := &k.inserts[i]
		if v := k.vehicle[in.vehicle]; v != nil { // nothing was promised of a vehicle that is new
			use(v.id, &k.read.Vehicles[in.vehicle].Facts[in.fact], k.state.last+1)
		}
	}
}

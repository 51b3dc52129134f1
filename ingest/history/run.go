package history

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// Run is what the record keeps of one run beside its facts.
type Run struct {
	ID        int64 // given by Commit
	Day       int32
	Name      string // of its folder
	Job       string
	Version   string // of the program
	Catalogue string // SHA-256
	Vehicles  int    // read
	Above     int    // above the line
	Hours     float64
	FailNext  float64 // failures expected before the next run
	Rows      []Row
	Promises  []Promise
	Parts     map[string]string  // id -> digest of what the list takes from the part's entry
	Depots    map[string]float64 // bay-hours given; without a limit a depot is not there
}

// Promise is what a run says of one part above the line.
type Promise struct {
	Vehicle int // as in Row
	Part    string
	PWorn   float64
	Chance  float64 // that opening it finds wear, false alarms too
}

// Row is one vehicle of a run's list. Money is in the job's currency.
type Row struct {
	Vehicle    int // index into Read.Vehicles; of a row read back: the record's id
	Rank       int
	Above      bool
	Part       string // id of the lead part
	Group      string
	PWorn      float64
	OdometerKM Number
	FailNext   float64
	FailHold   float64
	Worth      float64
	Waiting    float64
	Hours      float64
	Cumulative float64
	Stays      Number
}

// The states of a run.
const (
	pending = "pending" // its folder may not be there yet
	done    = "done"
)

// errMoved says that another process wrote a run since this one recalled.
var errMoved = errors.New("another run was written to the record meanwhile")

// days gives the day of every run.
func (r *Record) days(ctx context.Context) (map[int64]int32, error) {
	out := map[int64]int32{}
	err := r.each(ctx, "SELECT id, day FROM run", func(rows *sql.Rows) error {
		var id int64
		var day int32
		err := rows.Scan(&id, &day)
		out[id] = day
		return err
	})
	return out, err
}

// Pending is the name of a run that was cut off before it was finished.
func (r *Record) Pending(ctx context.Context) (name string, found bool, err error) {
	err = r.db.QueryRowContext(ctx, "SELECT name FROM run WHERE state = ?", pending).Scan(&name)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	return name, err == nil, r.judge(err)
}

// Finish marks the pending run as done: its folder is in its place.
func (r *Record) Finish(ctx context.Context) error {
	_, err := r.db.ExecContext(ctx, "UPDATE run SET state = ? WHERE state = ?", done, pending)
	return r.judge(err)
}

// takeBack undoes what one run wrote, in this order: what it changed of
// earlier rows, then its own. ?1 is the run, ?2 the one before it.
var takeBack = []string{
	"UPDATE fact SET superseded_by = NULL, superseded_run = NULL WHERE superseded_run = ?1",
	"UPDATE fact SET last_run = ?2 WHERE last_run = ?1 AND run < ?1",
	"UPDATE presence SET last_run = ?2 WHERE last_run = ?1 AND first_run < ?1",
	"UPDATE vehicle SET vin = NULL, vin_run = NULL WHERE vin_run = ?1 AND run < ?1",
	"DELETE FROM answer WHERE run = ?1",
	"DELETE FROM seal WHERE run = ?1",
	"DELETE FROM fact WHERE run = ?1",
	"DELETE FROM presence WHERE first_run = ?1",
	"DELETE FROM vehicle WHERE run = ?1",
	"DELETE FROM source WHERE run = ?1",
	"DELETE FROM run_source WHERE run = ?1",
	"DELETE FROM listed WHERE run = ?1",
	"DELETE FROM segment WHERE run = ?1",
	"DELETE FROM promised WHERE run = ?1",
	"DELETE FROM part WHERE run = ?1",
	"DELETE FROM depot WHERE run = ?1",
	"DELETE FROM run WHERE id = ?1",
}

// TakeBack removes the pending run and all that it wrote.
func (r *Record) TakeBack(ctx context.Context) error {
	return r.judge(inTx(ctx, r.db, func(tx *sql.Tx) error {
		var id, previous int64
		err := tx.QueryRowContext(ctx, "SELECT id, previous FROM run WHERE state = ?", pending).Scan(&id, &previous)
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		for _, q := range takeBack {
			if err == nil {
				_, err = tx.ExecContext(ctx, q, id, previous)
			}
		}
		return err
	}))
}

// Runs lists the runs that are done, in order of time, without their rows.
func (r *Record) Runs(ctx context.Context) ([]Run, error) {
	var out []Run
	err := r.each(ctx, "SELECT id, day, name, job, version, catalogue, vehicles, above, hours, fail_next FROM run WHERE state = 'done' ORDER BY id", func(rows *sql.Rows) error {
		var n Run
		err := rows.Scan(&n.ID, &n.Day, &n.Name, &n.Job, &n.Version, &n.Catalogue, &n.Vehicles, &n.Above, &n.Hours, &n.FailNext)
		out = append(out, n)
		return err
	})
	return out, r.judge(err)
}

// Size counts the stored facts and the bytes of the file.
func (r *Record) Size(ctx context.Context) (facts, bytes int64, err error) {
	var pages, page int64
	err = errors.Join(
		r.db.QueryRowContext(ctx, "SELECT count(*) FROM fact").Scan(&facts),
		r.db.QueryRowContext(ctx, "PRAGMA page_count").Scan(&pages),
		r.db.QueryRowContext(ctx, "PRAGMA page_size").Scan(&page),
	)
	return facts, pages * page, r.judge(err)
}

// Facts reads every fact of the vehicles that ever bore the VIN or the unit,
// corrected ones too, oldest first, for people and tests.
func (r *Record) Facts(ctx context.Context, name string) ([]Entry, error) {
	const query = `SELECT f.vehicle, f.kind, k.text, f.day, f.undated, f.at, f.number, t.text, d.text, s.file, s.sheet, s.sha256, f.row, r.day, coalesce(f.superseded_by, 0), f.id
		FROM fact f JOIN word k ON k.id = f.subject JOIN word t ON t.id = f.text JOIN word d ON d.id = f.detail
		JOIN source s ON s.id = f.source JOIN run r ON r.id = f.run JOIN vehicle v ON v.id = f.vehicle
		WHERE v.vin = ?1 OR v.id IN (SELECT vehicle FROM presence WHERE unit = ?1) ORDER BY f.day, f.id`
	var out []Entry
	err := r.each(ctx, query, func(rows *sql.Rows) error {
		var k Entry
		var at, number sql.NullFloat64
		err := rows.Scan(&k.Vehicle, &k.Kind, &k.Key, &k.Day, &k.Undated, &at, &number, &k.Text, &k.Detail,
			&k.Where.File, &k.Where.Sheet, &k.Where.SHA256, &k.Row, &k.Learned, &k.SupersededBy, &k.ID)
		k.At, k.Number = Number{at.Float64, at.Valid}, Number{number.Float64, number.Valid}
		out = append(out, k)
		return err
	}, name)
	return out, r.judge(err)
}

// Entry is a fact as it stands in the record.
type Entry struct {
	Fact
	ID, Vehicle  int64
	Where        Source
	Learned      int32 // day of the run that learned it
	SupersededBy int64 // id of the fact that took its place; 0: it holds
}

func (k Entry) String() string {
	return fmt.Sprintf("%s %s %s %d at %v/%v: %s %s", k.Kind, k.Key, k.Where.File, k.Day, k.At, k.Number, k.Text, k.Detail)
}

package history

import (
	"context"
	"database/sql"
	"fmt"

	"pitlist/score/say"
)

// applicationID marks an SQLite file as a record of this program ("pitl").
const applicationID = 0x7069746c

// migrations bring a record from one version of the schema to the next: the
// first makes version 1 of an empty file. What is released is never changed;
// a new version is a new entry.
var migrations = []string{version1, version2, version3, version4}

// version1 holds facts, runs and lists. Strings that come again and again
// stand once, in word. A run's id grows with time and its day never falls, so
// the record as it was on any day is what the runs up to some id wrote.
//
// No table is indexed twice: a run reads all of it, and each index would add a
// third to the file.
const version1 = `
CREATE TABLE run (
	id INTEGER PRIMARY KEY,
	previous INTEGER NOT NULL,     -- the run before; 0: none
	day INTEGER NOT NULL,          -- days since 1970-01-01
	name TEXT NOT NULL,            -- of its folder
	state TEXT NOT NULL CHECK (state IN ('pending', 'done')),
	job TEXT NOT NULL,
	version TEXT NOT NULL,         -- of the program
	catalogue TEXT NOT NULL,       -- SHA-256
	vehicles INTEGER NOT NULL,     -- read
	above INTEGER NOT NULL,
	hours REAL NOT NULL,
	fail_next REAL NOT NULL        -- failures expected before the next run
);
CREATE TABLE word (id INTEGER PRIMARY KEY, text TEXT NOT NULL);
CREATE TABLE source (
	id INTEGER PRIMARY KEY,
	run INTEGER NOT NULL,          -- that first read it
	file TEXT NOT NULL,
	sheet TEXT NOT NULL,
	sha256 TEXT NOT NULL
);
CREATE TABLE run_source (run INTEGER NOT NULL, source INTEGER NOT NULL, PRIMARY KEY (run, source)) WITHOUT ROWID;
CREATE TABLE vehicle (
	id INTEGER PRIMARY KEY,
	run INTEGER NOT NULL,          -- that first read it
	vin TEXT,
	vin_run INTEGER                -- that learned the VIN
);
CREATE TABLE presence (            -- a vehicle in the sheets under one name, from run to run without a gap
	id INTEGER PRIMARY KEY,
	vehicle INTEGER NOT NULL,
	unit TEXT NOT NULL,
	registration TEXT NOT NULL,
	first_run INTEGER NOT NULL,
	last_run INTEGER NOT NULL
);
CREATE TABLE fact (
	id INTEGER PRIMARY KEY,
	vehicle INTEGER NOT NULL,
	kind TEXT NOT NULL,
	subject INTEGER NOT NULL,      -- word
	day INTEGER NOT NULL,
	undated INTEGER NOT NULL,
	at REAL,
	number REAL,
	text INTEGER NOT NULL,         -- word
	detail INTEGER NOT NULL,       -- word
	source INTEGER NOT NULL,
	row INTEGER NOT NULL,
	run INTEGER NOT NULL,          -- that learned it
	last_run INTEGER,              -- of an undated fact: the last that found it standing
	superseded_by INTEGER,         -- the fact that took its place
	superseded_run INTEGER
);
CREATE TABLE listed (
	run INTEGER NOT NULL,
	rank INTEGER NOT NULL,
	vehicle INTEGER NOT NULL,
	above INTEGER NOT NULL,
	part INTEGER NOT NULL,         -- word: the lead part
	standing TEXT NOT NULL,        -- its group on the list
	p_worn REAL, odometer REAL, fail_next REAL, fail_hold REAL, worth REAL, waiting REAL, hours REAL, cumulative REAL, stays REAL,
	PRIMARY KEY (run, rank)
) WITHOUT ROWID;
CREATE VIEW facts AS SELECT f.id, f.vehicle, v.vin, f.kind, k.text AS subject, date(f.day * 86400, 'unixepoch') AS day, f.undated,
	f.at, f.number, t.text, d.text AS detail, s.file, s.sheet, f.row, s.sha256, f.run AS learned, f.superseded_by, f.superseded_run
	FROM fact f JOIN vehicle v ON v.id = f.vehicle JOIN word k ON k.id = f.subject JOIN word t ON t.id = f.text
	JOIN word d ON d.id = f.detail JOIN source s ON s.id = f.source;
`

// version2 keeps what a run promised and what its list rested on, so that the
// next can say what moved and whether the promises hold. Runs of version 1
// promised nothing that anybody can be held to.
const version2 = `
CREATE TABLE promised (            -- a part above the line
	run INTEGER NOT NULL,
	vehicle INTEGER NOT NULL,
	part INTEGER NOT NULL,         -- word
	p_worn REAL NOT NULL,
	chance REAL NOT NULL,          -- that opening it finds wear
	PRIMARY KEY (run, vehicle, part)
) WITHOUT ROWID;
CREATE TABLE part (run INTEGER NOT NULL, part INTEGER NOT NULL, digest TEXT NOT NULL, PRIMARY KEY (run, part)) WITHOUT ROWID;
CREATE TABLE depot (run INTEGER NOT NULL, name TEXT NOT NULL, hours REAL NOT NULL, PRIMARY KEY (run, name)) WITHOUT ROWID;
CREATE TABLE segment (             -- what a run learned, once more and packed: see segment.go
	run INTEGER PRIMARY KEY,
	first INTEGER NOT NULL,        -- id of its first fact
	facts INTEGER NOT NULL,
	data BLOB NOT NULL
);
CREATE INDEX fact_changed ON fact (id) WHERE ` + changedLater + `;
`

// version3 keeps which part of which list a fact answers, so that a list that is
// typed in once more, later and otherwise, corrects what it said before.
const version3 = `
CREATE TABLE answer (              -- of facts that a list brought back
	fact INTEGER PRIMARY KEY,
	run INTEGER NOT NULL,          -- that wrote this row
	part INTEGER NOT NULL          -- word: which part of which list
);
`

// version4 keeps sums of what is read of every run: see seal.go.
const version4 = `
CREATE TABLE seal (
	run INTEGER PRIMARY KEY,
	word INTEGER NOT NULL,         -- the last that there was
	words INTEGER NOT NULL,        -- sum of all up to that
	facts INTEGER NOT NULL         -- sum of the run's segment
);
`

// changedLater picks the facts that a later run may have written on: few.
const changedLater = "superseded_run IS NOT NULL OR last_run IS NOT NULL"

// SchemaVersion is the version that this program writes.
func SchemaVersion() int { return len(migrations) }

// migrate brings the schema up to date, a version a transaction.
func migrate(ctx context.Context, db *sql.DB) error {
	var have int
	if err := db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&have); err != nil {
		return err
	}
	if have > len(migrations) {
		return &NewerError{Have: have, Know: len(migrations)}
	}
	for v := have; v < len(migrations); v++ {
		err := inTx(ctx, db, func(tx *sql.Tx) error {
			if _, err := tx.ExecContext(ctx, migrations[v]); err != nil {
				return err
			}
			_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, v+1))
			return err
		})
		if err != nil {
			return say.NewError("bring the schema from version %d to %d: %s", v, v+1, err)
		}
	}
	return nil
}

// inTx runs f in a transaction, which is rolled back where f fails.
func inTx(ctx context.Context, db *sql.DB, f func(*sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if err := f(tx); err != nil {
		tx.Rollback()
		return err
	}
	return tx.Commit()
}

-- A record as version 1 of the schema wrote it, for the test of migrations:
-- two runs, a vehicle, a corrected repair. Not to be changed any more.

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

INSERT INTO run VALUES (1, 0, 20410, '2025-11-18', 'done', 'weekly', '(devel)', 'ab', 1, 1, 2.0, 0.01);
INSERT INTO run VALUES (2, 1, 20417, '2025-11-25', 'done', 'weekly', '(devel)', 'ab', 1, 1, 2.0, 0.02);
INSERT INTO word VALUES (1, ''), (2, 'P0087'), (3, 'oil service'), (4, 'rail pressure sensor replaced'), (5, 'pump-follower');
INSERT INTO source VALUES (1, 1, 'w46.csv', '', 'aa'), (2, 2, 'w47.csv', '', 'bb');
INSERT INTO run_source VALUES (1, 1), (2, 2);
INSERT INTO vehicle VALUES (1, 1, NULL, NULL);
INSERT INTO presence VALUES (1, 1, 'V1', '', 1, 2);
INSERT INTO fact VALUES (1, 1, 'scan', 1, 20410, 0, 209900.0, NULL, 2, 1, 1, 2, 1, NULL, NULL, NULL);
INSERT INTO fact VALUES (2, 1, 'repair', 1, 20411, 0, 120000.0, NULL, 3, 1, 1, 3, 1, NULL, 4, 2);
INSERT INTO fact VALUES (3, 1, 'repair', 1, 20411, 0, 209950.0, NULL, 4, 1, 2, 2, 2, NULL, NULL, NULL);
INSERT INTO fact VALUES (4, 1, 'repair', 1, 20411, 0, 210000.0, NULL, 3, 1, 2, 3, 2, NULL, NULL, NULL);
INSERT INTO listed VALUES (1, 1, 1, 1, 5, 'chosen', 0.4, 209900.0, 0.01, 0.2, 500.0, 12.0, 1.25, 1.25, 0.9);
INSERT INTO listed VALUES (2, 1, 1, 1, 5, 'chosen', 0.5, 210100.0, 0.02, 0.3, 600.0, 15.0, 1.25, 1.25, 0.9);
PRAGMA application_id = 1885959276;
PRAGMA user_version = 1;

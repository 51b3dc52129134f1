package history

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"modernc.org/sqlite"

	"pitlist/score/say"
)

// Record is an open record. It is for one goroutine at a time.
type Record struct {
	db    *sql.DB
	path  string
	New   bool // Open made it
	check *check
}

// check is the look at every page of a record, which may go on beside its use.
type check struct {
	over chan struct{} // closed when it has ended
	stop context.CancelFunc
	err  error // what it came to; to be read once it is over
}

// DamageError says that the file cannot be trusted any more.
type DamageError struct {
	Path string
	What say.Text // as the check words it, or ours
}

func (e *DamageError) Error() string { return e.Text().String() }

// Text is the error in words.
func (e *DamageError) Text() say.Text { return say.F("the record %s is damaged: %s", e.Path, e.What) }

// NewerError says that a later version of the program wrote the record.
type NewerError struct{ Have, Know int }

func (e *NewerError) Error() string { return e.Text().String() }

// Text is the error in words.
func (e *NewerError) Text() say.Text {
	return say.F("its schema has version %d and this program knows up to %d: a later version of pitlist wrote it", e.Have, e.Know)
}

// ErrForeign says that the file is something else than a record.
var ErrForeign = say.NewError("it is no record of pitlist")

// Open opens the record, making it where there is none. Its pages are checked
// before anything is believed: a *DamageError names what is wrong, and nothing
// has been changed then. A *NewerError or ErrForeign (wrapped) leaves the file
// as it is too.
func Open(ctx context.Context, path string) (*Record, error) {
	r, err := Start(ctx, path)
	if err != nil {
		return nil, err
	}
	if err := r.Checked(); err != nil {
		r.Close()
		return nil, err
	}
	return r, nil
}

// Start opens the record as Open does, but has its pages checked beside what
// the caller does meanwhile: Checked gives the verdict. Until then the record
// may be read, but nothing may be decided by it and nothing written into it.
func Start(ctx context.Context, path string) (*Record, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	r := &Record{path: path}
	switch err := sniff(path); {
	case errors.Is(err, fs.ErrNotExist):
		if err := create(ctx, path); err != nil {
			return nil, say.NewError("make the record %s: %s", path, err)
		}
		r.New = true
	case err != nil:
		return nil, err
	}
	if r.db, err = connect(path); err != nil {
		return nil, err
	}
	if err := r.startCheck(ctx); err != nil {
		r.db.Close()
		return nil, err
	}
	return r, nil
}

// startCheck has the pages checked on a connection of its own. A schema that
// must be brought up to date waits for the verdict: nothing is written before.
func (r *Record) startCheck(ctx context.Context) error {
	var version int
	if err := r.db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return r.judge(err)
	}
	db, err := connect(r.path)
	if err != nil {
		return err
	}
	c := &check{over: make(chan struct{})}
	ctx, c.stop = context.WithCancel(ctx)
	go func() {
		defer close(c.over)
		c.err = r.checkPages(ctx, db)
		if err := db.Close(); c.err == nil {
			c.err = r.judge(err)
		}
	}()
	r.check = c
	if version != len(migrations) {
		return r.Checked()
	}
	return nil
}

// Checked waits until every page was looked at. A *DamageError says that
// nothing that was read can be believed.
func (r *Record) Checked() error {
	<-r.check.over
	return r.check.err
}

// Close brings everything into the one file and closes it.
func (r *Record) Close() error {
	r.check.stop()
	<-r.check.over
	return r.db.Close()
}

// connect opens a file of SQLite with one connection. Commits reach the disk
// before they return (synchronous FULL), since a folder is renamed after them.
// Pages of 16 kB, of a new file, are checked faster than the usual 4; the
// driver sets a _journal_mode after every _pragma, which pages must precede.
func connect(path string) (*sql.DB, error) {
	slashed := filepath.ToSlash(path)
	if !strings.HasPrefix(slashed, "/") {
		slashed = "/" + slashed // a drive's letter
	}
	u := url.URL{Scheme: "file", OmitHost: true, Path: slashed,
		RawQuery: "_pragma=busy_timeout(5000)&_pragma=page_size(16384)&_journal_mode=wal&_pragma=synchronous(full)&_txlock=immediate"}
	db, err := sql.Open("sqlite", u.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	return db, nil
}

// create makes an empty record beside and renames it into place, so that none
// is ever there in part.
func create(ctx context.Context, path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	tmp := path + ".new"
	for _, suffix := range parts {
		if err := os.Remove(tmp + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	db, err := connect(tmp)
	if err != nil {
		return err
	}
	if err := errors.Join(migrate(ctx, db), db.Close()); err != nil {
		return err
	}
	return os.Rename(tmp, path)
}

// parts are the files of a record: itself, its log, and the log's index.
var parts = []string{"", "-wal", "-shm"}

// The first bytes of every SQLite file, and where the application's mark
// stands (SQLite file format, section 1.3).
const (
	magic  = "SQLite format 3\x00"
	markAt = 68
)

// sniff looks at the head of the file before SQLite may change it.
func sniff(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	head := make([]byte, 512)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return err
	}
	head = head[:n]
	foreign := say.NewError("%s cannot be the job's record: %s", path, ErrForeign)
	switch {
	case bytes.HasPrefix(head, []byte(magic)) && n > markAt+4:
		if binary.BigEndian.Uint32(head[markAt:]) != applicationID {
			return foreign
		}
		return nil
	case n > 0 && looksMade(head):
		return foreign
	case n == 0:
		return &DamageError{path, say.F("it is empty")}
	}
	return &DamageError{path, say.F("its first bytes are not those of a record")}
}

// looksMade tells a document that somebody put there from bytes that nothing
// can be made of.
func looksMade(head []byte) bool {
	return bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.HasPrefix(head, []byte(magic)) ||
		utf8.Valid(bytes.TrimRightFunc(head, func(r rune) bool { return r == utf8.RuneError })) && bytes.IndexByte(head, 0) < 0
}

// checkPages looks at every page, and brings the schema up to date.
func (r *Record) checkPages(ctx context.Context, db *sql.DB) error {
	var said string
	err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&said)
	if err == nil && said != "ok" {
		return &DamageError{r.path, say.Plain(strings.ReplaceAll(said, "\n", " "))}
	}
	if err == nil {
		if err = migrate(ctx, db); codeOf(err) == sqliteError {
			return &DamageError{r.path, say.F("its tables are not those of the version that it states")}
		}
	}
	if err == nil {
		err = r.complete(ctx, db)
	}
	var newer *NewerError
	if errors.As(err, &newer) {
		return say.NewError("open the record %s: %s", r.path, err)
	}
	return r.judge(err)
}

// Codes of SQLite (sqlite.org/rescode.html).
const (
	sqliteError = 1 // a statement does not fit the tables
	corrupt     = 11
	notADB      = 26
)

// codeOf is an error's code of SQLite; 0: it has none.
func codeOf(err error) int {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0
	}
	return e.Code() & 0xff
}

// judge tells damage from other errors.
func (r *Record) judge(err error) error {
	var damaged *DamageError
	if errors.As(err, &damaged) {
		return damaged
	}
	if code := codeOf(err); code == corrupt || code == notADB || errors.Is(err, errSegment) || errors.Is(err, errSeal) {
		return &DamageError{r.path, say.OfError(err)}
	}
	if err != nil {
		return say.NewError("record %s: %s", r.path, err)
	}
	return nil
}

// complete looks for every table, index and view, and that each is as this
// program makes it: a letter that goes bad in the name of a column spoils no
// page. What others have added is theirs.
func (r *Record) complete(ctx context.Context, db *sql.DB) error {
	ours, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return err
	}
	defer ours.Close()
	ours.SetMaxOpenConns(1) // a second one would have a memory of its own
	if err := migrate(ctx, ours); err != nil {
		return err
	}
	want, err := schemaOf(ctx, ours)
	if err != nil {
		return err
	}
	have, err := schemaOf(ctx, db)
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(want)) {
		switch made, there := have[name]; {
		case !there:
			return &DamageError{r.path, say.F("its table %s is missing", name)}
		case made != want[name]:
			return &DamageError{r.path, say.F("its table %s is not as it was made", name)}
		}
	}
	return nil
}

// schemaOf reads how tables, indices and views were made, by name.
func schemaOf(ctx context.Context, db *sql.DB) (map[string]string, error) {
	out := map[string]string{}
	rows, err := db.QueryContext(ctx, "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var name, made string
		if err := rows.Scan(&name, &made); err != nil {
			return nil, err
		}
		out[name] = made
	}
	return out, rows.Err()
}

// aside is what a damaged record is called: its own name, this, and the day.
const aside = ".damaged-"

// SetAside renames a damaged record, which nobody must have open, and returns
// its new path.
func SetAside(path, day string) (string, error) {
	for n := 1; ; n++ {
		to := path + aside + day
		if n > 1 {
			to += "-" + strconv.Itoa(n)
		}
		if _, err := os.Lstat(to); err == nil {
			continue
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
		for _, suffix := range parts {
			err := os.Rename(path+suffix, to+suffix)
			if err != nil && (suffix == "" || !errors.Is(err, fs.ErrNotExist)) {
				return "", err
			}
		}
		return to, nil
	}
}

// WasSetAside finds what a damaged record was renamed to, where no new one
// has been begun since; "" where there is none.
func WasSetAside(path string) string {
	if _, err := os.Lstat(path); err == nil {
		return ""
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return ""
	}
	found := ""
	for _, e := range entries {
		if rest, ok := strings.CutPrefix(e.Name(), filepath.Base(path)+aside); ok && !strings.HasSuffix(rest, "-wal") && !strings.HasSuffix(rest, "-shm") {
			found = filepath.Join(filepath.Dir(path), e.Name())
		}
	}
	return found
}

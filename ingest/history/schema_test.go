package history_test

import (
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// version1 makes a record as the first version of the schema wrote it, from
// its own text: testdata/version1.sql is not to be changed any more.
func version1(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("testdata/version1.sql")
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "record.db")
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec(string(text))
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return path
}

// TestVersion1IsMigrated: nothing of an old record is lost, and weeks go on in
// it as in a new one.
func TestVersion1IsMigrated(t *testing.T) {
	path := version1(t)
	b := openBook(t, t, path)
	live := []string{"20410 scan 209900 P0087", "20411 repair 209950 rail pressure sensor replaced", "20411 repair 210000 oil service"}
	assert.Equal(t, live, b.live("V1"))
	assert.Equal(t, []string{"20411 repair 120000 oil service"}, b.corrected("V1"))
	k := b.play(20424, export{name: "w48.csv", rows: []row{{unit: "V1"}}})
	var more []string
	for _, o := range k.Vehicles[0].More {
		more = append(more, say(*o.Fact))
	}
	assert.Equal(t, []string{live[0], live[1], live[2]}, more)
	was, err := b.Before(t.Context(), k)
	require.NoError(t, err)
	require.NotNil(t, was)
	assert.Equal(t, int32(20417), was.Day)
	assert.Equal(t, 1, was.Listed[0].Rank)
	kept, err := b.Promises(t.Context(), k, func(s string) string { return s })
	require.NoError(t, err)
	assert.Empty(t, kept.Chances, "version 1 kept no promises")

	var version int
	require.NoError(t, b.Close())
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	defer db.Close()
	require.NoError(t, db.QueryRow("PRAGMA user_version").Scan(&version))
	assert.Equal(t, history.SchemaVersion(), version)
	assert.Equal(t, b.segmentsAgree(t, db), 1, "the run after the migration")
}

// segmentsAgree counts the segments, whose facts must be those of the rows.
func (b *book) segmentsAgree(t *testing.T, db *sql.DB) int {
	t.Helper()
	var n, off int
	require.NoError(t, db.QueryRow("SELECT count(*) FROM segment").Scan(&n))
	require.NoError(t, db.QueryRow("SELECT count(*) FROM segment s WHERE s.facts <> (SELECT count(*) FROM fact f WHERE f.run = s.run)").Scan(&off))
	assert.Zero(t, off)
	return n
}

// TestRefused: what is no sound record is named for what it is, and left alone.
func TestRefused(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		return path
	}
	var damage *history.DamageError
	var newer *history.NewerError
	for _, c := range []struct {
		name, path string
		is         func(error) bool
	}{
		{"a text", put("a.db", "unit,vin\n"), func(err error) bool { return errors.Is(err, history.ErrForeign) }},
		{"a workbook", put("b.db", "PK\x03\x04\x00\x00"), func(err error) bool { return errors.Is(err, history.ErrForeign) }},
		{"rubbish", put("c.db", "\x00\xff\xfe\x00"), func(err error) bool { return errors.As(err, &damage) }},
		{"an empty file", put("d.db", ""), func(err error) bool { return errors.As(err, &damage) }},
		{"a later version", later(t), func(err error) bool { return errors.As(err, &newer) && newer.Have == 99 }},
		{"a table is missing", spoiled(t, "DROP TABLE listed"), func(err error) bool { return errors.As(err, &damage) }},
		{"its version has gone bad", spoiled(t, "PRAGMA user_version = 3"), func(err error) bool {
			return errors.As(err, &damage) && strings.Contains(err.Error(), "not those of the version that it states")
		}},
		{"a letter of a column's name has gone bad", spoiled(t, `PRAGMA writable_schema = ON;
			UPDATE sqlite_schema SET sql = replace(sql, 'fail_next REAL', 'fail_nexu REAL') WHERE name = 'run'; PRAGMA user_version = 4`),
			func(err error) bool {
				return errors.As(err, &damage) && strings.Contains(err.Error(), "its table run is not as it was made")
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			before, err := os.ReadFile(c.path)
			require.NoError(t, err)
			_, err = history.Open(t.Context(), c.path)
			require.Error(t, err)
			assert.True(t, c.is(err), "%v", err)
			after, err := os.ReadFile(c.path)
			require.NoError(t, err)
			assert.Equal(t, before, after)
		})
	}
}

func later(t *testing.T) string { return spoiled(t, "PRAGMA user_version = 99") }

// spoiled is a new record on which a statement was run.
func spoiled(t *testing.T, statement string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "record.db")
	r, err := history.Open(t.Context(), path)
	require.NoError(t, err)
	require.NoError(t, r.Close())
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec(statement)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return path
}

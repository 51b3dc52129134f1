package history_test

import (
	"bytes"
	"database/sql"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/history"
)

// sealed is the closed record of two weeks.
func sealed(t *testing.T) (path string) {
	t.Helper()
	b := newBook(t)
	b.play(47, export{name: "w47.csv", rows: []row{repair("V1", 10, 200123, "oil service"), inspection("V1", 11, 200124, "pump", "worn")}})
	b.play(54, export{name: "w48.csv", rows: []row{repair("V1", 50, 201234, "tyres changed"), inspection("V1", 51, 201235, "pump", "sound")}})
	require.NoError(t, b.Close())
	return b.path
}

// TestSealed: what goes bad inside a value, where every page is sound, is found
// when it is read.
func TestSealed(t *testing.T) {
	for name, spoil := range map[string]string{
		"a word":              "UPDATE word SET text = 'worm' WHERE text = 'worn'",
		"a word of last week": "UPDATE word SET text = 'tires changed' WHERE text = 'tyres changed'",
		"the last word gone":  "DELETE FROM word WHERE id = (SELECT max(id) FROM word)",
		"a word gone":         "DELETE FROM word WHERE text = 'worn'",
		"a run's facts":       "UPDATE segment SET data = substr(data, 1, 3) || x'00' || substr(data, 5) WHERE run = 1",
		"their number":        "UPDATE segment SET first = first + 1 WHERE run = 2",
		"the sum itself":      "UPDATE seal SET facts = facts + 1",
		"a sum out of range":  "UPDATE seal SET words = -1",
	} {
		t.Run(name, func(t *testing.T) {
			path := sealed(t)
			changeIt(t, path, spoil)
			r, err := history.Open(t.Context(), path)
			require.NoError(t, err)
			defer r.Close()
			_, err = r.Recall(t.Context(), readOf(61, export{name: "w49.csv", rows: []row{{unit: "V1"}}}))
			var damage *history.DamageError
			assert.ErrorAs(t, err, &damage)
		})
	}
	t.Run("none yet", func(t *testing.T) {
		path := sealed(t)
		changeIt(t, path, "DELETE FROM seal")
		b := openBook(t, t, path)
		k := b.play(61, export{name: "w49.csv", rows: []row{{unit: "V1"}}})
		assert.Len(t, k.Vehicles[0].More, 4)
		k = b.play(68, export{name: "w50.csv", rows: []row{{unit: "V1"}}})
		assert.Len(t, k.Vehicles[0].More, 4)
	})
}

// TestOddBytes: of a record with one bit changed, at 400 places, what is told
// of the vehicle is as it was, or the damage is found. Bits of what only people
// read (the rows of facts, the list) may stay unseen.
func TestOddBytes(t *testing.T) {
	path := sealed(t)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	told := func() (out []string, err error) {
		r, err := history.Open(t.Context(), path)
		if err != nil {
			return nil, err
		}
		defer r.Close()
		k, err := r.Recall(t.Context(), readOf(61, export{name: "w49.csv", rows: []row{{unit: "V1"}}}))
		if err != nil {
			return nil, err
		}
		for _, o := range k.Vehicles[0].More {
			out = append(out, say(*o.Fact)+" "+o.Detail)
		}
		return out, nil
	}
	want, err := told()
	require.NoError(t, err)
	require.Len(t, want, 4)
	var used []int // where there is anything to spoil: free space is nought
	for i, b := range whole {
		if b != 0 {
			used = append(used, i)
		}
	}
	found := 0
	for i := range 400 {
		at := used[i*len(used)/400]
		bad := bytes.Clone(whole)
		bad[at] ^= 1 << (i % 8)
		for _, rest := range []string{"-wal", "-shm"} {
			os.Remove(path + rest)
		}
		require.NoError(t, os.WriteFile(path, bad, 0o600))
		got, err := told()
		if err != nil {
			found++
			continue
		}
		assert.Equal(t, want, got, "bit %d of byte %d", i%8, at)
	}
	t.Logf("%d of 400 were found, the others changed nothing", found)
	assert.Positive(t, found)
}

func changeIt(t *testing.T, path, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec(statement)
	require.NoError(t, err)
	require.NoError(t, db.Close())
}

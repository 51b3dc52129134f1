package history

import (
	"context"
	"database/sql"
	"encoding/binary"
	"hash/crc32"

	"pitlist/score/say"
)

// SQLite keeps no sums of its pages: a byte that goes bad inside a number or a
// word spoils nothing that its own check looks at, and would change the list in
// silence. So each run seals what it learned and all words so far. Runs of
// versions before 4 have no seals; their words are sealed by the next run. What
// later runs write on earlier rows (names of vehicles, what took whose place) is
// not sealed.

// castagnoli is the polynomial of CRC-32C (RFC 3720, 12.1).
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// errSeal says that something is not what a run has sealed.
var errSeal = say.NewError("what a run wrote is no longer as it was sealed")

// seals are the sums by which a record is held to what was written.
type seals struct {
	words map[int64]uint32 // of all words up to one, by that one's id
	facts map[int64]uint32 // of segments, by run
}

func (r *Record) loadSeals(ctx context.Context) (seals, error) {
	s := seals{map[int64]uint32{}, map[int64]uint32{}}
	err := r.each(ctx, "SELECT run, word, words, facts FROM seal", func(rows *sql.Rows) error {
		var run, word int64
		var words, facts uint32
		if err := rows.Scan(&run, &word, &words, &facts); err != nil {
			return errSeal // a sum out of its range
		}
		s.words[word], s.facts[run] = words, facts
		return nil
	})
	return s, err
}

// sumWord goes on from the sum of the words before.
func sumWord(sum uint32, text string) uint32 {
	return crc32.Update(crc32.Update(sum, castagnoli, []byte(text)), castagnoli, []byte{0})
}

// checkWords holds the words, the first of which stands at 1, against the seals.
func (s seals) checkWords(words []string) error {
	sum, left := uint32(0), len(s.words)
	for id := 0; id < len(words); id++ {
		if id > 0 {
			sum = sumWord(sum, words[id])
		}
		if want, sealed := s.words[int64(id)]; sealed {
			if left--; want != sum {
				return errSeal
			}
		}
	}
	if left > 0 {
		return errSeal // words are missing
	}
	return nil
}

// sumFacts is a segment's sum.
func sumFacts(data []byte, first, n int64) uint32 {
	var head [16]byte
	binary.BigEndian.PutUint64(head[:], uint64(first))
	binary.BigEndian.PutUint64(head[8:], uint64(n))
	return crc32.Update(crc32.Checksum(head[:], castagnoli), castagnoli, data)
}

// checkFacts holds a run's segment against its seal.
func (s seals) checkFacts(run int64, data []byte, first, n int64) error {
	if want, sealed := s.facts[run]; sealed && want != sumFacts(data, first, n) {
		return errSeal
	}
	return nil
}

// seal ends what a run writes.
func (c *committer) seal(run *Run) error {
	sum, words := uint32(0), c.state.words
	for _, text := range words[1:] {
		sum = sumWord(sum, text)
	}
	return c.exec("INSERT INTO seal VALUES (?, ?, ?, ?)", run.ID, len(words)-1, sum, c.sumFacts)
}

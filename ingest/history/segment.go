package history

import (
	"context"
	"database/sql"
	"encoding/binary"
	"math"
	"math/bits"

	"pitlist/score/say"
)

// A segment is all that one run learned, packed into one value: what every run
// has to read is read 20 times as fast from it as from the rows. The rows are
// what counts, and what anybody can look at; a run without a segment (of
// version 1) is read from its rows. What changes on a fact later stands on the
// rows alone.

// kinds are the kinds of facts by their number in a segment and in a vehicle's
// lists.
var kinds = [...]Kind{Reading, Hours, Scan, Repair, Inspection, Remark}

// index is the kind's number; -1 for no kind.
func (k Kind) index() int {
	for i := range kinds {
		if kinds[i] == k {
			return i
		}
	}
	return -1
}

// packer writes facts one after the other.
type packer struct {
	data  []byte
	first int64 // id of the first fact; those after it follow on
	n     int64
}

// words are the ids of a fact's three texts.
type words struct{ subject, text, detail int64 }

func (p *packer) add(vehicle int64, f *Fact, w words, source int64) {
	p.n++
	flags := uint64(f.Kind.index()) << 3
	for i, set := range [...]bool{f.Undated, f.At.Known, f.Number.Known} {
		if set {
			flags |= 1 << i
		}
	}
	p.data = binary.AppendUvarint(p.data, flags)
	for _, n := range [...]int64{vehicle, int64(f.Day), w.subject, w.text, w.detail, source, int64(f.Row)} {
		p.data = binary.AppendVarint(p.data, n)
	}
	for _, n := range [...]Number{f.At, f.Number} {
		if n.Known {
			p.data = binary.AppendUvarint(p.data, reversed(n.Value))
		}
	}
}

// reversed turns a number's bytes round, so that round figures, which end in
// noughts, become short.
func reversed(x float64) uint64 {
	return bits.ReverseBytes64(math.Float64bits(x))
}

func restored(b uint64) float64 {
	return math.Float64frombits(bits.ReverseBytes64(b))
}

// errSegment says that a segment does not hold what it says.
var errSegment = say.NewError("a run's segment cannot be read")

// unpacker reads what packer wrote.
type unpacker struct {
	data []byte
	bad  bool // the data ended early, or a number does
}

func (u *unpacker) signed() int64 {
	if len(u.data) > 0 && u.data[0] < 0x80 { // most are short
		v := u.data[0]
		u.data = u.data[1:]
		return int64(v>>1) ^ -int64(v&1)
	}
	v, size := binary.Varint(u.data)
	return take(u, v, size)
}

func (u *unpacker) unsigned() uint64 {
	v, size := binary.Uvarint(u.data)
	return take(u, v, size)
}

func take[T int64 | uint64](u *unpacker, v T, size int) T {
	if size <= 0 {
		u.bad = true
		return 0
	}
	u.data = u.data[size:]
	return v
}

func (u *unpacker) fact(s *stored, word func(int64) string) {
	flags := u.unsigned()
	if kind := flags >> 3; kind < uint64(len(kinds)) {
		s.Kind = kinds[kind]
	} else {
		u.bad = true
	}
	s.Undated = flags&1 != 0
	s.vehicle, s.Day = u.signed(), int32(u.signed())
	s.Key, s.Text, s.Detail = word(u.signed()), word(u.signed()), word(u.signed())
	s.Source, s.Row = int32(u.signed()), int32(u.signed())
	if flags&2 != 0 {
		s.At = Number{restored(u.unsigned()), true}
	}
	if flags&4 != 0 {
		s.Number = Number{restored(u.unsigned()), true}
	}
}

// unpack reads the n facts of a segment back, and hands each over.
func unpack(data []byte, first, n int64, word func(int64) string, use func(*stored)) error {
	pile := make([]stored, n)
	u := unpacker{data: data}
	for i := range pile {
		s := &pile[i]
		s.id = first + int64(i)
		if u.fact(s, word); u.bad {
			return errSegment
		}
		use(s)
	}
	if len(u.data) > 0 {
		return errSegment
	}
	return nil
}

// loadFacts reads the facts of every run up to the day.
func (r *Record) loadFacts(ctx context.Context, s *state) error {
	if err := r.db.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) + 1 FROM fact").Scan(&s.nextFact); err != nil {
		return err
	}
	s.expect(s.nextFact - 1)
	changed, err := r.changes(ctx, s.upTo)
	if err != nil {
		return err
	}
	keep := func(f *stored) {
		if c, ok := changed[f.id]; ok {
			f.last, f.gone = c.last, c.gone
		}
		s.add(f)
	}
	packed := map[int64]bool{}
	err = r.each(ctx, "SELECT run, first, facts, data FROM segment WHERE run <= ? ORDER BY run", func(rows *sql.Rows) error {
		var run, first, n int64
		var data sql.RawBytes
		if err := rows.Scan(&run, &first, &n, &data); err != nil {
			return err
		}
		if n < 0 || n > int64(len(data)) {
			return errSegment
		}
		if err := s.seals.checkFacts(run, data, first, n); err != nil {
			return err
		}
		packed[run] = true
		return unpack(data, first, n, s.word, func(f *stored) {
			f.run = run
			keep(f)
		})
	}, s.upTo)
	for run := int64(1); err == nil && run <= s.upTo; run++ {
		if !packed[run] {
			err = r.loadRows(ctx, s, run, keep)
		}
	}
	return err
}

// change is what a later run wrote on a fact: see stored.
type change struct{ last, gone int64 }

// changes reads what stands on facts of runs up to one, by their ids.
func (r *Record) changes(ctx context.Context, upTo int64) (map[int64]change, error) {
	out := map[int64]change{}
	err := r.each(ctx, "SELECT id, coalesce(last_run, 0), coalesce(superseded_run, 0) FROM fact WHERE "+changedLater, func(rows *sql.Rows) error {
		var id int64
		var c change
		err := rows.Scan(&id, &c.last, &c.gone)
		c.last = min(c.last, upTo)
		if c.gone > upTo {
			c.gone = 0
		}
		out[id] = c
		return err
	})
	return out, err
}

// loadRows reads the facts of a run that has no segment.
func (r *Record) loadRows(ctx context.Context, s *state, run int64, keep func(*stored)) error {
	const query = "SELECT id, vehicle, kind, subject, day, undated, at, number, text, detail, source, row, run FROM fact WHERE run = ? ORDER BY id"
	return r.each(ctx, query, func(rows *sql.Rows) error {
		f := &stored{}
		var w words
		var at, number sql.NullFloat64
		err := rows.Scan(&f.id, &f.vehicle, &f.Kind, &w.subject, &f.Day, &f.Undated, &at, &number, &w.text, &w.detail, &f.Source, &f.Row, &f.run)
		f.Key, f.Text, f.Detail = s.word(w.subject), s.word(w.text), s.word(w.detail)
		f.At, f.Number = Number{at.Float64, at.Valid}, Number{number.Float64, number.Valid}
		if err == nil {
			if err = f.Kind.Validate(); err == nil {
				keep(f)
			}
		}
		return err
	}, run)
}

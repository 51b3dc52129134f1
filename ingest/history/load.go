package history

import (
	"cmp"
	"context"
	"database/sql"
	"slices"
	"strings"

	"pitlist/score/say"
)

// stored is a fact as the record holds it.
type stored struct {
	Fact
	id      int64
	vehicle int64
	run     int64 // that learned it
	last    int64 // of an undated fact: the last run that found it standing
	gone    int64 // the run that put another in its place; 0: none

	restated bool  // a file that is new in this run says it too
	read     int32 // 1-based index of today's fact that says the same; 0: none does
	disputed bool  // copies of what it answers contradict each other today
	byNew    int64 // superseded in this run, by the fact of this id
}

// live tells whether the fact holds.
func (s *stored) live() bool { return s.gone == 0 && s.byNew == 0 && !s.disputed }

// state is the record as it was at the end of some run: the runs up to it and
// all that they wrote.
type state struct {
	upTo     int64    // id of the last run on or before the day; 0: none
	last     int64    // id of the last run of all
	earlier  int64    // id of the last run before the day; 0: none
	words    []string // by id
	wordID   map[string]int64
	sources  []Source
	sourceID []int64         // of sources
	sourceAt map[int64]int32 // index into sources, by id
	vehicles map[int64]*known
	facts    map[int64]*facts // by vehicle
	answers  map[int64]string // by fact
	seals    seals
	nextFact int64
	room     int // for a vehicle's facts of one kind, to begin with
}

// known is a vehicle of the record, under the name it last had.
type known struct {
	id            int64
	vin           string
	since         int64  // the run that first read it
	unit, plate   string // as last read
	presence      int64  // id of the row that says so
	first, last   int64  // runs of that presence
	claimed       bool   // by a vehicle of today's
	joined        bool   // its VIN is learned today
	sameNameAgain bool   // today's unit and registration are those of the presence
}

// load reads the record as it was on a day. What pending runs wrote is not
// there: Settle has been called.
func (r *Record) load(ctx context.Context, day int32) (*state, error) {
	s := &state{wordID: map[string]int64{}, sourceAt: map[int64]int32{}, vehicles: map[int64]*known{}, answers: map[int64]string{}, facts: map[int64]*facts{}}
	for _, f := range []func(context.Context, *state) error{
		func(ctx context.Context, s *state) error { return r.loadRuns(ctx, s, day) },
		r.loadWords, r.loadSources, r.loadVehicles, r.loadAnswers, r.loadFacts,
	} {
		if err := f(ctx, s); err != nil {
			return nil, r.judge(err)
		}
	}
	for _, list := range s.facts {
		list.sort()
	}
	return s, nil
}

// each runs a query and hands over its rows.
func (r *Record) each(ctx context.Context, query string, row func(*sql.Rows) error, args ...any) error {
	rows, err := r.db.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := row(rows); err != nil {
			return err
		}
	}
	return rows.Err()
}

func (r *Record) loadRuns(ctx context.Context, s *state, day int32) error {
	return r.each(ctx, "SELECT id, day FROM run WHERE state = 'done' ORDER BY id", func(rows *sql.Rows) error {
		var id int64
		var of int32
		err := rows.Scan(&id, &of)
		if of <= day {
			s.upTo = id
		}
		if of < day {
			s.earlier = id
		}
		s.last = id
		return err
	})
}

func (r *Record) loadWords(ctx context.Context, s *state) error {
	var err error
	if s.seals, err = r.loadSeals(ctx); err != nil {
		return err
	}
	s.words = append(s.words, "") // ids begin at 1
	err = r.each(ctx, "SELECT id, text FROM word ORDER BY id", func(rows *sql.Rows) error {
		var id int64
		var text string
		if err := rows.Scan(&id, &text); err != nil {
			return err
		}
		if id < int64(len(s.words)) || id > int64(len(s.words))+mostGap {
			return &DamageError{r.path, say.F("the numbers of its words do not follow each other")}
		}
		for int64(len(s.words)) < id {
			s.words = append(s.words, "")
		}
		s.words = append(s.words, text)
		s.wordID[text] = id
		return nil
	})
	if err != nil {
		return err
	}
	return s.seals.checkWords(s.words)
}

// mostGap bounds what a damaged number can make of the list of words. Words are
// numbered one by one.
const mostGap = 1 << 16

func (s *state) word(id int64) string {
	if id < 0 || id >= int64(len(s.words)) {
		return ""
	}
	return s.words[id]
}

func (r *Record) loadSources(ctx context.Context, s *state) error {
	return r.each(ctx, "SELECT id, file, sheet, sha256 FROM source WHERE run <= ? ORDER BY id", func(rows *sql.Rows) error {
		var id int64
		var src Source
		err := rows.Scan(&id, &src.File, &src.Sheet, &src.SHA256)
		s.sourceAt[id] = int32(len(s.sources))
		s.sources, s.sourceID = append(s.sources, src), append(s.sourceID, id)
		return err
	}, s.upTo)
}

// loadVehicles reads the vehicles under the names of their latest presence.
func (r *Record) loadVehicles(ctx context.Context, s *state) error {
	err := r.each(ctx, "SELECT id, run, coalesce(vin, ''), coalesce(vin_run, 0) FROM vehicle WHERE run <= ?", func(rows *sql.Rows) error {
		k := &known{}
		var vinRun int64
		err := rows.Scan(&k.id, &k.since, &k.vin, &vinRun)
		if vinRun > s.upTo {
			k.vin = ""
		}
		s.vehicles[k.id] = k
		return err
	}, s.upTo)
	if err != nil {
		return err
	}
	return r.each(ctx, "SELECT id, vehicle, unit, registration, first_run, min(last_run, ?) FROM presence WHERE first_run <= ? ORDER BY id", func(rows *sql.Rows) error {
		var id, vehicle, first, last int64
		var unit, plate string
		if err := rows.Scan(&id, &vehicle, &unit, &plate, &first, &last); err != nil {
			return err
		}
		if k := s.vehicles[vehicle]; k != nil && last >= k.last {
			k.presence, k.unit, k.plate, k.first, k.last = id, unit, plate, first, last
		}
		return nil
	}, s.upTo, s.upTo)
}

// loadAnswers reads which part of which list facts answer: few.
func (r *Record) loadAnswers(ctx context.Context, s *state) error {
	return r.each(ctx, "SELECT fact, part FROM answer WHERE run <= ?", func(rows *sql.Rows) error {
		var fact, part int64
		err := rows.Scan(&fact, &part)
		s.answers[fact] = s.word(part)
		return err
	}, s.upTo)
}

// add files a fact under its vehicle, its source by number from now on.
func (s *state) add(f *stored) {
	if len(s.answers) > 0 {
		f.Answers = s.answers[f.id]
	}
	f.Source = s.sourceAt[int64(f.Source)]
	list := s.facts[f.vehicle]
	if list == nil {
		list = &facts{}
		s.facts[f.vehicle] = list
	}
	k := f.Kind.index()
	if list[k] == nil {
		list[k] = make([]*stored, 0, s.room)
	}
	list[k] = append(list[k], f)
}

// mostRoom is for the facts of one kind and a year of weeks.
const mostRoom = 64

// expect prepares for n facts: each vehicle has its share of most kinds, at a guess.
func (s *state) expect(n int64) {
	const most = 2 // kinds that most facts are of: readings and scans, week by week
	s.room = int(min(max(1, n/int64(max(1, len(s.vehicles)))/most), mostRoom))
}

// facts are those of one vehicle by kind, in order of day and then of content,
// so that the order of learning decides nothing.
type facts [len(kinds)][]*stored

func (f *facts) sort() {
	for _, list := range f {
		slices.SortFunc(list, compareStored)
	}
}

func compareStored(a, b *stored) int {
	if a.Day != b.Day {
		return int(a.Day) - int(b.Day)
	}
	return cmp.Or(cmp.Compare(a.At.Value, b.At.Value), strings.Compare(a.Text, b.Text), strings.Compare(a.Key, b.Key),
		strings.Compare(a.Detail, b.Detail), cmp.Compare(a.id, b.id))
}

// of lists the facts of a kind; none of a vehicle that the record does not know.
func (f *facts) of(k Kind) []*stored {
	if f == nil {
		return nil
	}
	return f[k.index()]
}

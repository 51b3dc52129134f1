package history

import (
	"context"
	"slices"
	"sort"
)

// Known is what the record knows on the day of a run, matched with what the
// run has read. It is what Commit writes from.
type Known struct {
	Vehicles []Recalled // one for each of Read.Vehicles
	Sources  []Source   // what the Source of remembered facts indexes
	Learned  []string   // SHA-256 of files that no earlier run had read
	// Past: the record holds runs of later days. It is read as it was on the
	// day, and this run is not to be committed.
	Past      bool
	Corrected int // facts of earlier runs that this run's new files correct

	read      *Read
	state     *state
	vehicle   []*known
	inserts   []insert
	stands    []*stored // undated facts that this run found unchanged
	learned   []learned // what facts of earlier runs answer, where the record did not say
	returned  Tally     // see Returned
	days      map[int64]int32
	places    []place
	sourceIDs []int64 // of Read.Sources; 0: not in the record yet
}

// Recalled is what the record adds to one of today's vehicles.
type Recalled struct {
	New    bool  // never read before
	More   []Old // facts of earlier runs that today's sheets do not give
	Drop   []int // indices into the vehicle's Facts: said by a file that a later one has corrected
	Redate []Redated
	Less   []int // indices into the vehicle's Facts: they answer a list, and say no more than an earlier answer does
	Since  []int // indices into the vehicle's Facts that no run of an earlier day knew
}

// Old is a fact of an earlier run. The fact is shared, and not to be changed.
type Old struct {
	*Fact
	Learned int32 // day of the run that learned it
	Since   bool  // no run of an earlier day knew it
}

// Redated is one of today's facts that its row does not date and that stands
// as it stood when it was first read: it is as old as that.
type Redated struct {
	Index int
	Day   int32
}

// learned is what a fact of an earlier run answers.
type learned struct {
	fact    int64
	answers string
}

// insert is one of today's facts on its way into the record.
type insert struct {
	vehicle, fact int // indices into Read
	id            int64
}

// place is taken in this run: the fact by stands for old from now on.
type place struct {
	old *stored
	by  int64
}

// Recall matches what was read with what the record knows on that day.
func (r *Record) Recall(ctx context.Context, read *Read) (*Known, error) {
	s, err := r.load(ctx, read.Day)
	if err != nil {
		return nil, err
	}
	k := &Known{Vehicles: make([]Recalled, len(read.Vehicles)), Past: s.last > s.upTo, read: read, state: s}
	if k.days, err = r.days(ctx); err != nil {
		return nil, r.judge(err)
	}
	s.dispute(read.Disputed)
	k.sources()
	k.vehicle = s.follower(read.Vehicles).follow(read.Vehicles)
	m := newMatcher(k)
	for i := range read.Vehicles {
		m.vehicle(i)
	}
	m.correct()
	for i := range read.Vehicles {
		m.more(i)
	}
	for i := range k.Vehicles {
		for j := range k.Vehicles[i].More {
			o := &k.Vehicles[i].More[j]
			o.Learned = k.days[int64(o.Learned)]
		}
	}
	return k, nil
}

// sources finds today's sources among the record's: a sheet of a file with the
// same bytes is the same, whatever its name.
func (k *Known) sources() {
	type sheet struct{ sha, sheet string }
	bySheet, byFile := map[sheet]int64{}, map[string]bool{}
	k.Sources = k.state.sources
	for i := range k.Sources {
		s := &k.Sources[i]
		bySheet[sheet{s.SHA256, s.Sheet}], byFile[s.SHA256] = k.state.sourceID[i], true
	}
	k.sourceIDs = make([]int64, len(k.read.Sources))
	for i, s := range k.read.Sources {
		k.sourceIDs[i] = bySheet[sheet{s.SHA256, s.Sheet}]
		if !byFile[s.SHA256] && !slices.Contains(k.Learned, s.SHA256) {
			k.Learned = append(k.Learned, s.SHA256)
		}
	}
}

// matcher holds today's facts against the record's.
type matcher struct {
	*Known
	newFile  []bool // by today's source: no earlier run has read the file
	fresh    []int  // indices into inserts of dated facts from new files
	oldPlace []int32
}

func newMatcher(k *Known) *matcher {
	m := &matcher{Known: k, newFile: make([]bool, len(k.read.Sources)), oldPlace: make([]int32, len(k.read.Sources))}
	for i, s := range k.read.Sources {
		m.newFile[i] = slices.Contains(k.Learned, s.SHA256)
		m.oldPlace[i] = -1
		for j := range k.Sources {
			if !m.newFile[i] && k.Sources[j].SHA256 == s.SHA256 && k.Sources[j].Sheet == s.Sheet {
				m.oldPlace[i] = int32(j)
			}
		}
	}
	return m
}

// old are the facts that the record holds of today's vehicle i.
func (m *matcher) old(i int) *facts {
	if m.Known.vehicle[i] == nil {
		return nil
	}
	return m.state.facts[m.Known.vehicle[i].id]
}

// vehicle sorts today's facts of one vehicle into known, stale, standing and
// new ones.
func (m *matcher) vehicle(i int) {
	v, out, old := &m.read.Vehicles[i], &m.Vehicles[i], m.old(i)
	out.New = m.Known.vehicle[i] == nil
	for j := range v.Facts {
		f := &v.Facts[j]
		s, stale := m.find(old, f)
		less := false
		if s == nil && !stale && f.Answers != "" {
			s, less = m.answered(old.of(f.Kind), f)
		}
		switch {
		case s != nil:
			s.read = int32(j) + 1
			s.restated = s.restated || m.newFile[f.Source]
			if s.run > m.state.earlier {
				out.Since = append(out.Since, j)
				m.came(i, f, s.run)
			}
			if s.Answers == "" && f.Answers != "" && m.samePlace(s, f) { // and not another sheet that says the same
				m.learned = append(m.learned, learned{s.id, f.Answers})
			}
			if s.Day != f.Day {
				out.Redate = append(out.Redate, Redated{j, s.Day})
			}
			if s.Undated && s.last == m.state.upTo {
				m.stands = append(m.stands, s)
			}
		case stale:
			out.Drop = append(out.Drop, j)
		case less:
			out.Less = append(out.Less, j)
		default:
			m.insert(i, j)
		}
	}
}

// insert files a fact that the record does not know.
func (m *matcher) insert(i, j int) {
	f := &m.read.Vehicles[i].Facts[j]
	m.Vehicles[i].Since = append(m.Vehicles[i].Since, j)
	m.came(i, f, m.state.last+1)
	if !f.Undated && m.newFile[f.Source] {
		m.fresh = append(m.fresh, len(m.inserts))
	}
	m.inserts = append(m.inserts, insert{vehicle: i, fact: j, id: m.state.nextFact + int64(len(m.inserts))})
}

// find looks for the record's fact that today's says again. stale tells that
// it was corrected since the file was read first.
func (m *matcher) find(old *facts, f *Fact) (s *stored, stale bool) {
	kind := old.of(f.Kind)
	for _, o := range ofDay(kind, f.Day) {
		switch {
		case !o.same(f):
		case o.gone == 0:
			return o, false
		case !m.newFile[f.Source]:
			stale = true
		}
	}
	if stale || !f.Undated {
		return nil, stale
	}
	for _, o := range kind {
		if o.live() && o.Undated && o.read == 0 && o.sameSave(f) && !otherAnswer(&o.Fact, f) && (m.samePlace(o, f) || o.Kind != Scan && o.last == m.state.upTo) {
			return o, false
		}
	}
	return nil, false
}

// samePlace tells that the fact stands where it stood in a file that an
// earlier run has read: the file says nothing new, whatever day it is.
func (m *matcher) samePlace(o *stored, f *Fact) bool {
	return o.Row == f.Row && o.Source == m.oldPlace[f.Source]
}

// ofDay cuts those of a day out of the facts of a kind.
func ofDay(list []*stored, day int32) []*stored {
	list = from(list, day)
	return list[:sort.Search(len(list), func(i int) bool { return list[i].Day > day })]
}

// more gathers what today's sheets do not give, and drops what they give and
// a later file has corrected.
func (m *matcher) more(i int) {
	old, out := m.old(i), &m.Vehicles[i]
	if old == nil {
		return
	}
	n := 0
	for _, list := range old {
		n += len(list)
	}
	out.More = make([]Old, 0, n)
	for _, list := range old {
		for _, s := range list {
			switch {
			case s.byNew != 0 && s.read > 0:
				out.Drop = append(out.Drop, int(s.read)-1)
			case s.live() && s.read == 0 && s.Day <= m.read.Day:
				out.More = append(out.More, Old{&s.Fact, int32(s.run), s.run > m.state.earlier})
				if s.run > m.state.earlier {
					m.came(i, &s.Fact, s.run)
				}
			}
		}
	}
	slices.Sort(out.Drop)
}

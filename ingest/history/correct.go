package history

import (
	"math"
	"path/filepath"
	"slices"
	"sort"
	"strings"
)

// A correction is told from a further fact by three things: the old row is
// gone from a newer version of the export that it stood in, though that
// version reaches back to its day; a row of the newer version is not known;
// and the two resemble each other as one row does before and after somebody
// has put it right.
//
// A version of an export is a file of the same name and sheet, numbers in the
// names aside (workshop-2026-W47.xlsx and workshop-2026-W48.xlsx). Where no
// file of an old row's export is read any more, any new file may correct it,
// since people rename files; then only the day itself must be the same.
//
// What is merely missing is kept: exports hold the last 30 days, or one depot.
// A version that ends before one that was read earlier is an old one that came
// late: it corrects nothing.

// stream is the export that a sheet is a version of.
func stream(s *Source) string { return masked(filepath.Base(s.File)) + "|" + masked(s.Sheet) }

// masked writes # for each run of digits.
func masked(s string) string {
	var b strings.Builder
	digits := false
	for _, r := range strings.ToLower(s) {
		if r >= '0' && r <= '9' {
			if !digits {
				b.WriteByte('#')
			}
			digits = true
			continue
		}
		digits = false
		b.WriteRune(r)
	}
	return b.String()
}

// window is the span of days that an export's new version reaches over with one
// kind of facts. The zero value is of an export that has no new version.
type window struct {
	is       bool
	from, to int32
	late     bool // the version is an old one that came late
}

// corrector looks for corrections.
type corrector struct {
	*matcher
	oldStream, newStream []int // by source: the export's number
	present              map[int]bool
	windows              []window // by export and kind, see window
	first, last          int32    // earliest begin and earliest end of any
}

// correct finds which of the new facts take an old one's place.
func (m *matcher) correct() {
	replaces := map[int64]bool{}
	m.answers(replaces)
	if len(m.Learned) == 0 || len(m.state.facts) == 0 {
		return
	}
	c := corrector{matcher: m, present: map[int]bool{}}
	numbers := map[string]int{}
	number := func(s *Source) int {
		name := stream(s)
		if _, ok := numbers[name]; !ok {
			numbers[name] = len(numbers)
		}
		return numbers[name]
	}
	for i := range m.Sources {
		c.oldStream = append(c.oldStream, number(&m.Sources[i]))
	}
	for i := range m.read.Sources {
		c.newStream = append(c.newStream, number(&m.read.Sources[i]))
		c.present[c.newStream[i]] = true
	}
	c.windows = make([]window, len(numbers)*len(kinds))
	c.span()
	c.lateVersions()
	for _, n := range m.fresh {
		in := &m.inserts[n]
		if replaces[in.id] {
			continue
		}
		if o := c.predecessor(m.old(in.vehicle), in); o != nil {
			c.replace(o, in.id)
			replaces[in.id] = true
		}
	}
	c.known()
	c.moved(replaces)
}

// known finds rows whose day was put right in a version that did not reach
// back to the old day; this one does, and has the row under its new day only.
func (c *corrector) known() {
	for i := range c.read.Vehicles {
		for _, kind := range [...]Kind{Scan, Repair, Inspection} { // a vehicle that stands shows one reading on many days
			list := c.old(i).of(kind)
			for _, o := range from(list, c.first) {
				if o.At.Known && c.open(o) && c.covered(o, c.oldStream[o.Source]) {
					c.laterDay(o, list)
				}
			}
		}
	}
}

// laterDay finds the row under its new day among facts that the record knows.
func (c *corrector) laterDay(o *stored, list []*stored) {
	for _, s := range list {
		if s.run > o.run && s.restated && s.sameSave(&o.Fact) && !otherAnswer(&o.Fact, &s.Fact) && c.oldStream[s.Source] == c.oldStream[o.Source] {
			c.replace(o, s.id)
			return
		}
	}
}

// window is that of one kind of facts of an export.
func (c *corrector) window(stream int, k Kind) *window {
	return &c.windows[stream*len(kinds)+k.index()]
}

// covered tells whether the export's new version reaches over the day of o.
func (c *corrector) covered(o *stored, stream int) bool {
	w := c.window(stream, o.Kind)
	return w.is && !w.late && o.Day >= w.from && o.Day <= w.to
}

// span finds over which days each export's new version reaches.
func (c *corrector) span() {
	for i := range c.read.Vehicles {
		for j := range c.read.Vehicles[i].Facts {
			f := &c.read.Vehicles[i].Facts[j]
			if f.Undated || !c.newFile[f.Source] {
				continue
			}
			w := c.window(c.newStream[f.Source], f.Kind)
			if !w.is {
				*w = window{is: true, from: f.Day, to: f.Day}
			}
			w.from, w.to = min(w.from, f.Day), max(w.to, f.Day)
		}
	}
	c.first, c.last = math.MaxInt32, math.MaxInt32
	for i := range c.windows {
		if w := &c.windows[i]; w.is {
			c.first, c.last = min(c.first, w.from), min(c.last, w.to)
		}
	}
}

// lateVersions finds exports of which the record knows a later day than their
// new version reaches.
func (c *corrector) lateVersions() {
	for _, v := range c.state.facts {
		for _, list := range v {
			for _, o := range from(list, c.last) {
				if w := c.window(c.oldStream[o.Source], o.Kind); w.is && !o.Undated && o.Day > w.to {
					w.late = true
				}
			}
		}
	}
}

// from cuts off what lies before a day.
func from(list []*stored, day int32) []*stored {
	return list[sort.Search(len(list), func(i int) bool { return list[i].Day >= day }):]
}

func (m *matcher) replace(o *stored, by int64) {
	o.byNew = by
	m.places = append(m.places, place{o, by})
	m.Corrected++
}

// open tells whether a new version of the export could still correct o.
func (c *corrector) open(o *stored) bool {
	return o.live() && !o.Undated && !o.restated && o.Day <= c.read.Day
}

// predecessor picks the old fact of the same vehicle that the new one takes
// the place of: of the same day before one of another.
func (c *corrector) predecessor(old *facts, in *insert) *stored {
	f := &c.read.Vehicles[in.vehicle].Facts[in.fact]
	if c.window(c.newStream[f.Source], f.Kind).late {
		return nil
	}
	kind := old.of(f.Kind)
	for _, o := range ofDay(kind, f.Day) {
		if c.open(o) && c.sameExport(o, f) && resembles(&o.Fact, f, c.sameRow(o, f)) {
			return o
		}
	}
	if c.read.Sources[f.Source].Snapshot {
		return nil
	}
	for _, o := range kind {
		if o.Day != f.Day && c.open(o) && o.sameSave(f) && !otherAnswer(&o.Fact, f) && c.oldStream[o.Source] == c.newStream[f.Source] && c.redated(o, f) {
			return o
		}
	}
	return nil
}

// sameExport tells whether the file of f is a version of the one o stood in.
func (c *corrector) sameExport(o *stored, f *Fact) bool {
	if otherAnswer(&o.Fact, f) {
		return false
	}
	was := c.oldStream[o.Source]
	return was == c.newStream[f.Source] || !c.present[was]
}

func (c *corrector) sameRow(o *stored, f *Fact) bool {
	return o.Row == f.Row && c.oldStream[o.Source] == c.newStream[f.Source]
}

// resembles tells whether two facts of one day are one row before and after
// it was put right. place: they stand on the same row of the same export.
func resembles(o, f *Fact, place bool) bool {
	sameAt := o.At == f.At || !o.At.Known || !f.At.Known
	switch f.Kind {
	case Reading, Hours, Inspection:
		return o.Key == f.Key
	case Scan:
		return o.Text == f.Text || sameAt
	case Repair:
		return o.Text == f.Text || place && sameAt || alike(o.Text, f.Text)
	}
	return false
}

// redated tells whether two facts that differ only in their day are one row
// whose day was put right: the new version reaches back to the old day and
// has no such row there any more. Where an odometer does not tell the two
// apart from a thing done twice, the row must be the same.
func (c *corrector) redated(o *stored, f *Fact) bool {
	covered := c.covered(o, c.newStream[f.Source])
	if f.Kind == Reading || f.Kind == Hours { // a vehicle that stands shows one reading on many days
		return covered && c.sameRow(o, f)
	}
	if f.At.Known {
		return covered || c.sameRow(o, f)
	}
	return covered && c.sameRow(o, f)
}

// moved finds rows that stood on the wrong vehicle: the same day, distance
// and words, and the export no longer has them on the other.
func (c *corrector) moved(replaces map[int64]bool) {
	type content struct {
		kind             Kind
		day              int32
		at               float64
		key, text, extra string
	}
	of := func(f *Fact) content { return content{f.Kind, f.Day, f.At.Value, f.Key, f.Text, f.Detail} }
	looked := map[content][]*insert{}
	for _, n := range c.fresh {
		in := &c.inserts[n]
		f := &c.read.Vehicles[in.vehicle].Facts[in.fact]
		told := f.Kind == Repair || f.Kind == Inspection || f.Kind == Scan && f.Text != ""
		if told && f.At.Known && !replaces[in.id] && !c.window(c.newStream[f.Source], f.Kind).late {
			looked[of(f)] = append(looked[of(f)], in)
		}
	}
	if len(looked) == 0 {
		return
	}
	for i := range c.read.Vehicles {
		for _, kind := range [...]Kind{Scan, Repair, Inspection} {
			for _, o := range from(c.old(i).of(kind), c.first) {
				if !o.At.Known || !c.open(o) || !c.covered(o, c.oldStream[o.Source]) {
					continue
				}
				for _, in := range looked[of(&o.Fact)] {
					f := &c.read.Vehicles[in.vehicle].Facts[in.fact]
					if in.vehicle != i && !replaces[in.id] && c.oldStream[o.Source] == c.newStream[f.Source] {
						c.replace(o, in.id)
						replaces[in.id] = true
						break
					}
				}
			}
		}
	}
}

// alike tells whether two lines of the workshop share at least half of their
// words (own judgement).
func alike(a, b string) bool {
	x, y := strings.Fields(strings.ToLower(a)), strings.Fields(strings.ToLower(b))
	both := 0
	for _, w := range x {
		if slices.Contains(y, w) {
			both++
		}
	}
	return 2*both >= max(len(x), len(y))
}

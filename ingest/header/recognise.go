package header

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// headingWithin is how many rows a heading is looked for in.
const headingWithin = 30

// sampled is how many rows below the heading are looked at for values.
const sampled = 200

// Recognise finds the heading among the first 30 of the rows and says which column holds what. Rows below the heading, as far as they are
// given, are looked at for what headings leave open (up to 200): give some.
//
// The error is a *NotRecognised if no row names a vehicle and one thing more; the Layout then still holds what was made of the row that
// comes nearest.
func Recognise(rows [][]string, o Options) (Layout, error) {
	m := newMatcher(o)
	best, ok := m.bestRow(rows, o.First)
	if !ok {
		return Layout{Row: -1}, &NotRecognised{Row: -1, Reason: say.F("none of the first rows holds a known heading")}
	}
	best = m.continued(best, rows)
	s := newSheet(rows, best, m, o)
	s.settle()
	l := s.layout()
	if l.ByName = s.byName(&l); l.ByName {
		return l, nil
	}
	if reason := s.unusable(l); !reason.Empty() {
		e := notRecognised(l, reason)
		e.sideways, e.nameless = m.sideways(rows), s.nameless(l)
		return l, e
	}
	return l, nil
}

// sideways reports a table that lies on its side: three headings or more below each other in the first column, one of what names vehicles.
func (m *matcher) sideways(rows [][]string) bool {
	known, named := 0, false
	for _, r := range rows[:min(len(rows), headingWithin)] {
		if h := cell(r, 0); h != "" && len(r) > 2 {
			got := m.match(h)
			if got.best() >= strong {
				known++
			}
			named = named || names(got)
		}
	}
	return known >= 3 && named
}

func notRecognised(l Layout, reason say.Text) *NotRecognised {
	e := &NotRecognised{Row: l.Row, Reason: reason}
	for _, c := range l.Columns {
		switch {
		case c.Field != Ignore:
			e.Known = append(e.Known, c)
		case c.Heading != "":
			e.Unknown = append(e.Unknown, c)
		}
	}
	return e
}

// dataCell sees a cell that holds a value and is no heading.
func dataCell(s string) bool {
	return isFigure(s) || anyDay(s) || looksVIN(s)
}

// dataLike sees a row of values: a third of its cells or more.
func dataLike(cells []string) bool {
	filled, data := 0, 0
	for _, c := range cells {
		if foldSpace(c) == "" {
			continue
		}
		filled++
		if dataCell(c) {
			data++
		}
	}
	return filled == 0 || data*3 >= filled
}

// sheet is the recognition under way: what each heading's words say, and what was settled.
type sheet struct {
	place
	m       *matcher
	o       Options
	above   []string   // titles
	below   [][]string // sampled values
	matches []match    // by column
	cols    []Column
	live    [][]claim // by column: the claims that stand
	kinds   []Kind
	desc    bool
	found   []Problem
	heads   [][]string
	long    *Long

	onlyAsked bool          // the only day of a list of work is that on which it was asked for
	readings  []int         // columns headed by the odometer and a day
	undated   []datedPeriod // columns headed by months, quarters or weeks without a year
}

func newSheet(rows [][]string, p place, m *matcher, o Options) *sheet {
	s := &sheet{place: p, m: m, o: o}
	for _, r := range rows[p.row : p.row+p.rows] {
		head := make([]string, len(r))
		for i, c := range r {
			head[i] = value.Fold(c)
		}
		s.heads = append(s.heads, head)
	}
	s.above = append(slices.Clone(o.Above), texts(rows[:p.row])...)
	from := p.row + p.rows
	s.below = rows[from:min(len(rows), from+sampled)]
	width := len(p.headings)
	for _, r := range s.below {
		width = max(width, len(r))
	}
	for i := 0; i < width; i++ {
		got := m.match(cell(p.headings, i))
		if f, ok := toldByLetter(o, i); ok {
			got = got.fixed(f)
		}
		s.matches = append(s.matches, got)
		s.live = append(s.live, slices.Clone(got.claims))
		s.cols = append(s.cols, newColumn(i, cell(p.headings, i), got))
	}
	s.days()
	return s
}

// texts are the cells with something in them.
func texts(rows [][]string) (out []string) {
	for _, r := range rows {
		for _, c := range r {
			if foldSpace(c) != "" {
				out = append(out, c)
			}
		}
	}
	return out
}

func newColumn(i int, raw string, got match) Column {
	c := Column{Index: i, Heading: raw, Unit: got.unit, Scale: got.scale, DateOrder: got.order, Why: got.why, Sure: !got.unsure, Measure: got.measure}
	if got.mixed {
		c.Unit, c.Sure = value.NoUnit, false
	}
	return c
}

// toldByLetter sees "column C" in the job: the one way to tell two headings of one wording apart.
func toldByLetter(o Options, i int) (Field, bool) {
	for _, k := range sortedKeys(o.Told) {
		if value.Fold(k) == "column "+value.Fold(Letter(i)) {
			field := toldField(o.Told[k])
			return field, field.Valid() || field == Ignore
		}
	}
	return Ignore, false
}

// Letter names a column as spreadsheets do: 0 is A, 26 is AA.
func Letter(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}

// layout writes down what was settled.
func (s *sheet) layout() Layout {
	l := Layout{Row: s.row, Rows: s.rows, Columns: s.cols, Holds: s.kinds, Describes: s.desc, Ambiguous: s.found, heads: s.heads}
	l.Ambiguous = append(l.Ambiguous, s.toldFaults()...)
	if s.long != nil && s.cols[s.long.Value].Field == Odometer && s.cols[s.long.Metric].Field == MetricField {
		l.Long = s.long
	}
	l.Planned = s.plannedBy()
	l.Missing = missing(l)
	if s.namedWithVIN() {
		l.Missing = slices.DeleteFunc(l.Missing, func(p Problem) bool { return slices.Contains(p.Fields, VIN) && l.Has(Vehicles) && !p.Required })
	}
	return l
}

// unusable says why a sheet cannot be used; empty if it can.
func (s *sheet) unusable(l Layout) say.Text {
	ids, rest := 0, 0
	for _, c := range l.Columns {
		switch {
		case c.Field == Ignore:
		case slices.Contains(identifiers, c.Field) || c.Field == Lot: // a sale's list often has nothing else
			ids++
		default:
			rest++
		}
	}
	switch {
	case ids == 0 && !s.undecided().Empty():
		return s.undecided()
	case ids == 0:
		return say.F("no column says which vehicle a row speaks of (unit, vin or registration)")
	case ids+rest < 2:
		return say.F("nothing but that column is known")
	}
	return say.Text{}
}

// byName reports a list of events that names no vehicle, below a form that names one, or on a sheet that may be called after one.
func (s *sheet) byName(l *Layout) bool {
	if !s.nameless(*l) {
		return false
	}
	if l.NamedBy, l.Vehicle = s.vehicleAbove(); l.NamedBy == Ignore {
		l.Vehicle = s.o.Vehicle
	}
	return l.Vehicle != ""
}

// vehicleAbove finds the one vehicle that a form above the table names: "Fleet no.: U1", in one cell or two.
func (s *sheet) vehicleAbove() (by Field, name string) {
	for i, t := range s.above {
		front, back, colon := strings.Cut(foldSpace(t), ":")
		got := s.m.match(strings.TrimRight(front, " #"))
		if !names(got) || got.best() < strong && !colon {
			continue
		}
		if back = foldSpace(back); back == "" && i+1 < len(s.above) {
			back = foldSpace(s.above[i+1])
		}
		switch {
		case back == "" || strings.HasSuffix(back, ":") || names(s.m.match(back)):
		case by == Ignore:
			by, name = got.claims[0].field, back
		case by == got.claims[0].field && name != back:
			return Ignore, "" // several
		}
	}
	return by, name
}

// nameless reports a list of events that lacks nothing but what names its vehicles.
func (s *sheet) nameless(l Layout) bool {
	rest := 0
	for _, c := range l.Columns {
		if c.Field == Ignore {
			continue
		}
		if rest++; slices.Contains(identifiers, c.Field) {
			return false
		}
	}
	return rest >= 2 && !l.Has(Vehicles) && s.has(Date) && s.undecided().Empty()
}

// undecided gives the open question about the column that identifies the vehicles, if there is one.
func (s *sheet) undecided() say.Text {
	for _, p := range s.found {
		if slices.ContainsFunc(p.Fields, func(f Field) bool { return slices.Contains(identifiers, f) }) {
			return p.Text
		}
	}
	return say.Text{}
}

// toldFaults names what the job says of headings that the sheet does not have, or of fields that there are not.
func (s *sheet) toldFaults() []Problem {
	var out []Problem
	for _, h := range sortedKeys(s.o.Told) {
		f := toldField(s.o.Told[h])
		if f != Ignore && !f.Valid() {
			out = append(out, Problem{Text: say.F("the job's columns: %s is to be %s, which is no field", strconv.Quote(h), strconv.Quote(s.o.Told[h])), Hint: say.F("write one of the names in the job's documentation")})
			continue
		}
		if !s.present(h) {
			out = append(out, Problem{Fields: []Field{f}, Text: say.F("the job's columns: no heading %s in row %d", strconv.Quote(h), s.row+1), Hint: say.F("compare the spelling with the sheet")})
		}
	}
	return out
}

func (s *sheet) present(h string) bool {
	for i := range s.cols {
		if s.isNamed(i, h) {
			return true
		}
	}
	return false
}

// isNamed reports that the job's word h for a column means column i.
func (s *sheet) isNamed(i int, h string) bool {
	c := &s.cols[i]
	return foldSpace(h) == c.Heading || key(rawWords(h)) == key(rawWords(c.Heading)) || value.Fold(h) == "column "+value.Fold(Letter(i))
}

func sortedKeys(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

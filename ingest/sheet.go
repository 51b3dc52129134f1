package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// sheet is one sheet on its way into the fleet: its rows as facts that know
// their vehicle only by name.
type sheet struct {
	file     *file
	told     *Told
	order    value.Order // the job's word for columns that cannot decide
	unit     value.Unit  // the job's word for an odometer that states none
	date1904 bool
	text     bool // of a text file
	commas   bool // whose cells are parted by commas
	view     SheetView
	blank    int          // rows that the reader passed over
	hidden   int          // rows that the spreadsheet does not show
	first    int          // number of the first row
	from     int          // row that the table begins on; 0: the sheet's first
	next     int          // row that the next table of the sheet begins on; 0: none
	left     int          // index of the table's first column
	right    int          // and of the first beyond it; 0: the sheet's end
	beside   int          // index of the column that a table to the right begins on; 0: none
	whole    bool         // further headings are not looked for
	controls int          // cells that held control characters
	twice    mendedCells  // cells that were encoded twice
	long     int          // rows with more cells than headings
	figured  bool         // vehicles are named with figures
	above    []string     // titles above the row that the job names as the heading's
	dittos   int          // cells with ditto marks
	besides  int          // cells that hold a VIN beside the unit
	more     string       // a unit with more than the unit in its cell, where all are such
	topLeft  string       // first cell that holds something
	reach    int          // merged cells whose values were filled in on every row
	form     *filledSheet // of a sheet that people filled in; nil
	open     []question
	source   int32 // index into Fleet.Sources, from 1; known when sheets are joined

	columns []*column
	at      map[header.Field][]*column
	classes []rowClass // a row each, in reading order; a row's place here is its slot
	issues  []problem
	latest  score.Day // of the sheet's own days, none later than the run
	bare    bareMatch
	longer  bareMatch    // rows joined by the front of a unit
	carried []carriedRow // rows whose text was added to that of the row above
	spoken  spokenUnits

	blocks   blocks
	unread   map[string]someRows // rows whose figure is none that is read, by what it is
	planned  someRows            // repairs of a list of offers or plans
	oneWord  bool                // vehicles are named with one word
	coded    someRows            // rows whose words name trouble codes that no column gives
	unclosed someRows            // repairs whose day of closing is blank
	doubted  map[string]someRows // readings that are said not to be the true distance, by what says so

	named       pile[namedRow]
	vehicles    pile[vehicleRow]
	vins        pile[score.VINRow]
	scans       pile[fact[score.Scan]]
	repairs     pile[fact[score.Repair]]
	inspections pile[fact[score.Inspection]]
	readings    pile[fact[score.Reading]]
	hours       pile[fact[score.Reading]]
	remarks     pile[fact[score.Remark]]
}

// key is how a row names its vehicle.
type key struct {
	unit string
	names
}

// names are what a vehicle may be called beside its unit.
type names struct {
	registration string
	vin          vin.VIN // well-formed, or ""
	prefix       string  // the first characters of a VIN
}

// unitAlone are the names of all rows that give nothing but a unit: most rows
// of a large history. Nobody changes it.
var unitAlone names

// nameless tells a row that names no vehicle.
func (k *key) nameless() bool { return *k == key{} }

// describe names a row's vehicle for a message.
func (k *key) describe() say.Text {
	switch {
	case k.unit != "":
		return say.F("unit %s", k.unit)
	case k.vin != "":
		return say.F("VIN %s", string(k.vin))
	case k.registration != "":
		return say.F("registration %s", k.registration)
	}
	return say.F("VIN beginning %s", k.prefix)
}

// namedRow is a row that names a vehicle and brings facts.
type namedRow struct {
	unit      string
	*names          // shared by the rows that give the unit alone; not to be changed
	slot, num int32 // place among the sheet's rows, and number as people see it
	owner     int32 // the vehicle, once found; nobody until then
	vehicle   bool  // a row of a vehicle sheet
}

// newRow makes a row that names its vehicle by k.
func newRow(k *key, slot, num int32) namedRow {
	r := namedRow{unit: k.unit, names: &unitAlone, slot: slot, num: num, owner: nobody}
	if k.names != unitAlone {
		more := k.names
		r.names = &more
	}
	return r
}

// key is all that the row calls its vehicle.
func (r *namedRow) key() *key { return &key{r.unit, *r.names} }

// nobody is the owner of a row whose vehicle is not known.
const nobody = -1

// fact is one thing that a row says of its vehicle.
type fact[T any] struct {
	row  int32 // index into sheet.named
	what T
}

// problem is an issue on its way into the fleet.
type problem struct {
	score.Issue
	slot int32 // of its row; sheetWide for the whole sheet
}

const sheetWide = -1

// rowClass is a row's class while it is being settled: facts of one row may
// end differently, and the highest class counts.
type rowClass uint8

const (
	pending rowClass = iota // no fact of it has been settled
	isBlank
	isMerged
	isSetAside
	isRejected
	isUsed
)

var classOf = [...]score.Class{score.ClassSetAside, score.ClassBlank, score.ClassMerged, score.ClassSetAside, score.ClassRejected, score.ClassUsed}

// raise settles a row's class unless it has a higher one.
func (s *sheet) raise(slot int32, c rowClass) {
	if c > s.classes[slot] {
		s.classes[slot] = c
	}
}

// counts adds up the rows by class.
func (s *sheet) counts() score.Counts {
	c := score.Counts{Source: s.view.Source, Hidden: s.hidden}
	c.Read, c.Blank = s.blank, s.blank
	for _, class := range s.classes {
		c.Add(classOf[class])
	}
	return c
}

func (s *sheet) note(t say.Text) { s.view.Notes = append(s.view.Notes, t) }

// skip sets all n rows of the sheet aside.
func (s *sheet) skip(n int, why say.Text) {
	s.view.Skipped = why
	s.classes = make([]rowClass, n)
	for i := range s.classes {
		s.classes[i] = isSetAside
	}
	s.tell(score.Issue{Severity: score.SetAside, Reason: notRead(why), Value: s.view.Source.Sheet})
}

func notRead(why say.Text) say.Text { return say.F("sheet not read: %s", why) }

// tell files an issue of the whole sheet; it points to the first row where
// it has none of its own.
func (s *sheet) tell(i score.Issue) {
	if i.Ref.Row == 0 {
		i.Ref.Row = int32(max(1, s.first))
	}
	s.issues = append(s.issues, problem{i, sheetWide})
}

// rowIssue files an issue of a row that names a vehicle. The row's class is
// the caller's business.
func (s *sheet) rowIssue(r *namedRow, sev score.Severity, value string, reason, remedy say.Text) {
	i := score.Issue{Ref: score.Ref{Row: r.num}, Value: clip(value), Severity: sev, Reason: reason, Suggestion: remedy}
	s.issues = append(s.issues, problem{i, r.slot})
}

// spokenUnits counts the rows whose odometer is in either unit.
type spokenUnits struct {
	km, miles int
	unstated  int   // of those in km, by nothing but custom
	last      int32 // row counted last: several facts of a row read its odometer
}

func (u *spokenUnits) add(row int32, unit value.Unit) {
	switch {
	case row == u.last:
	case unit == value.Mile:
		u.miles++
	default:
		u.km++
		if unit == value.NoUnit {
			u.unstated++
		}
	}
	u.last = row
}

// someRows counts rows that are told of together, and remembers the first.
type someRows struct {
	n           int
	first, last int32
}

func (r *someRows) add(row int32) {
	switch {
	case r.n == 0:
		r.first = row
	case r.last == row:
		return
	}
	r.n++
	r.last = row
}

// columnViews shows the columns as they were understood in the end.
func (s *sheet) columnViews() []ColumnView {
	out := make([]ColumnView, len(s.columns))
	for i, c := range s.columns {
		out[i] = c.view
	}
	return out
}

// clip shortens a value for a message, and lets go of the line it stood in.
func clip(s string) string {
	const most = 120
	if len(s) <= most {
		return strings.Clone(s)
	}
	cut := most
	for cut > 0 && s[cut]&0xC0 == 0x80 {
		cut--
	}
	return s[:cut] + "…"
}

package history

import "fmt"

// Kind says what a fact is of.
type Kind string

// The kinds of facts, as they are stored.
const (
	Reading    Kind = "km"     // odometer; At is the reading
	Hours      Kind = "h"      // engine hours; At is the reading
	Scan       Kind = "scan"   // fault memory; Text lists the codes, "" for none found
	Repair     Kind = "repair" // a line of the workshop's
	Inspection Kind = "look"   // a look at a part; Key says which, Text what was found
	Remark     Kind = "remark" // free text on a vehicle sheet, or beside the work
)

// Validate refuses what is no kind.
func (k Kind) Validate() error {
	switch k {
	case Reading, Hours, Scan, Repair, Inspection, Remark:
		return nil
	}
	return fmt.Errorf("%q is no kind of fact", string(k))
}

// Number is one that a row may or may not give.
type Number struct {
	Value float64
	Known bool
}

// Fact is one dated thing that a row says of a vehicle. Two facts with the
// same content (all but Source, Row, Undated and Answers) are the same.
type Fact struct {
	Kind    Kind
	Key     string // what it speaks of: a reading's source, an inspection's part
	Day     int32  // days since 1970-01-01
	Undated bool   // the row gave no day: Day is its sheet's, else the run's
	At      Number // km; engine hours of an hours reading
	Number  Number // the kind's own: km since erasing of a scan, cost of a repair
	Text    string
	Detail  string // all that is left of the row, in a form that equal rows share
	Source  int32  // index into the Sources that came with it
	Row     int32  // as the spreadsheet shows it
	Answers string // of a list that came back: which part of which list; "" else
}

// Source is one sheet of one file.
type Source struct {
	File   string // as the job finds it
	Sheet  string // "" for a text file
	SHA256 string // of the file, hexadecimal
	// Snapshot: a sheet of vehicles, which says how things stand. It tells a
	// new state, and corrects no day, when its rows change.
	Snapshot bool
}

// Vehicle is one vehicle as the sheets of a run name it, with its facts.
type Vehicle struct {
	VIN, Unit, Registration string
	Facts                   []Fact
}

// Read is what one run has read.
type Read struct {
	Day      int32
	Sources  []Source
	Vehicles []Vehicle
	Disputed []string // answers of which nothing holds today: their copies contradict each other
}

// same tells whether two facts have the same content.
func (f *Fact) same(g *Fact) bool {
	return f.Day == g.Day && f.sameSave(g)
}

// sameSave tells whether two facts differ in nothing but their day.
func (f *Fact) sameSave(g *Fact) bool {
	return f.Kind == g.Kind && f.At == g.At && f.Number == g.Number && f.Key == g.Key && f.Text == g.Text && f.Detail == g.Detail
}

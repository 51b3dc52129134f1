// Package header finds a sheet's heading row and says which column holds what: in any order, on any of the first rows, over one row to
// three, in the languages of synonyms.txt, with units in the headings.
//
// A column is taken only on good grounds: a canonical name, a known wording, a known wording with a harmless word beside it, one typing slip in
// a long word, or values underneath that can be nothing else. All other headings are left alone and offered as candidates; two
// columns with an equal claim are both shown and neither is taken, unless their values tell them apart (two readings of one odometer, a day
// of asking and a day of closing). Cells are not read here (package value does), and what the job says of a
// column goes before anything found.
//
// Usual steps:
//
//  1. Recognise the first rows of a sheet: the headings, and below them some rows of values;
//  2. show Ambiguous and Missing to the planner;
//  3. for the rows below, ask IsHeading (pages glued together) and IsTotal before reading them as vehicles.
package header

import (
	"strconv"
	"time"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// Column is one column as understood.
type Column struct {
	Index      int         // from 0
	Heading    string      // as it stands in the sheet, white space folded; two heading rows are joined
	Field      Field       // Ignore if not taken
	Measure    string      // the measure's name, with Field Measured
	Unit       value.Unit  // from the heading: km, mi, h, EUR…; "" if it states none
	Scale      float64     // what figures are to be multiplied with; 1, or 1000 for "x1000 km", or 10 for Scandinavian "mil"
	DateOrder  value.Order // from the heading: "Date (dd/mm/yyyy)"
	Day        time.Time   // the day that the heading is, or the last of its month, quarter or week; zero if it is none
	DayTold    bool        // told by the job
	MakeFirst  bool        // a model behind its make: "Make/Model"
	Closing    bool        // days on which work was closed: where it is blank, the work is not done
	Else       []int       // a column whose value counts where this one is blank
	With       []int       // further columns that hold the rest of its values: a VIN in pieces
	Sure       bool        // false: taken on the values underneath, the context or a typing slip; worth a look
	Candidates []Field     // what else it could be, or what it could be if not taken; best first
	Fixed      bool        // told by the job
	Why        string      // on what grounds, in words
}

// Options are what the job says of a sheet. The zero value leaves all to the headings.
type Options struct {
	Told     map[string]string // heading (or "column C") -> field, or "ignore"
	Holds    []Kind            // the kinds the sheet holds; empty: inferred
	Measures []string          // the measures that the catalogue speaks of
	First    bool              // the job names the row of the headings: it is the first one given
	Date1904 bool              // the workbook counts its days from 1904, those that head columns too
	Named    []string          // names of the sheet and of its file
	Vehicle  string            // what the sheet is called, where it may be the name of a vehicle that all its rows speak of
	Above    []string          // titles above the rows given
	Today    time.Time         // the day of the run, for guesses at a year that nothing states; may be zero
}

// Layout is a sheet's heading as understood.
type Layout struct {
	Row       int      // of the heading, in the rows given, from 0
	Rows      int      // heading rows: 1 to 3
	Columns   []Column // one for each column with a heading or values
	Holds     []Kind
	ByName    bool      // no column names the vehicle: what stands above the table does, or the sheet's name
	NamedBy   Field     // what stands above the table, and names the vehicle; Ignore: the sheet's name does
	Vehicle   string    // and the name
	Planned   string    // what says that the work of a list of repairs was offered or planned, and not done; else ""
	Long      *Long     // a table with one figure a row; else nil
	Describes bool      // an event sheet that carries vehicles' columns (make, model…) too
	Ambiguous []Problem // columns with several readings, or several columns for one field
	Missing   []Problem // fields without a column that the kinds held would want

	heads [][]string // the heading rows, folded, for IsHeading
}

// Problem is something that the job should settle or the planner should know.
type Problem struct {
	Fields   []Field
	Columns  []int    // indices
	Text     say.Text // what is open
	Hint     say.Text // what to write in the job, or to do in the sheet
	Required bool     // Missing only: without it nothing of the sheet can be used
	Choices  []Choice // an answer that the job could give, for a person to correct
}

// Choice is one line of the job's columns.
type Choice struct {
	Heading string // as the job names the column: its heading, or "column C"
	Field   Field  // Ignore: leave it alone
	Day     string // of odometer_by_month where the heading does not give it: 2026-01 or 2026-01-31; else ""
}

// Words is what is open with what to do about it.
func (p Problem) Words() say.Text { return say.Join("; ", p.Text, p.Hint) }

func (p Problem) String() string { return p.Words().String() }

// Column returns the column taken for a field, the first where several may be (codes, remarks).
func (l Layout) Column(f Field) (Column, bool) {
	for _, c := range l.Columns {
		if c.Field == f {
			return c, true
		}
	}
	return Column{Index: -1}, false
}

// Has reports whether the sheet holds a kind.
func (l Layout) Has(k Kind) bool {
	for _, h := range l.Holds {
		if h == k {
			return true
		}
	}
	return false
}

// IsHeading reports a row that repeats the heading, as where pages were glued together: every cell of the row that is not blank stands in the
// heading, and at least two do.
func (l Layout) IsHeading(cells []string) bool {
	for _, head := range l.heads {
		if sameHeading(head, cells) {
			return true
		}
	}
	return false
}

func sameHeading(head, cells []string) bool {
	same := 0
	for i, c := range cells {
		if c == "" {
			continue
		}
		if i >= len(head) || len(c) > 4*len(head[i])+8 {
			return false
		}
		switch f := value.Fold(c); {
		case f == "":
		case f == head[i]:
			same++
		default:
			return false
		}
	}
	return same >= 2
}

// NotRecognised is the error of a sheet without a heading row that could be used. Nearest helps to see why.
type NotRecognised struct {
	Row     int      // the row that came nearest, from 0; -1 if none had a known heading
	Known   []Column // its known headings
	Unknown []Column // its other headings, with candidates
	Reason  say.Text

	nameless bool // a list of events that only lacks what names its vehicles
	sideways bool // the headings stand one below the other
}

// Error is what Words says, in English.
func (e *NotRecognised) Error() string { return e.Words().String() }

// Words says why no row could be used.
func (e *NotRecognised) Words() say.Text {
	if e.sideways {
		return say.F("no heading row: the headings stand one below the other in the first column")
	}
	if e.Row < 0 {
		return say.F("no heading row: %s", e.Reason)
	}
	return say.F("no heading row: row %d comes nearest (%s), but %s", e.Row+1, e.list(), e.Reason)
}

// Hint says what to do about it.
func (e *NotRecognised) Hint() say.Text {
	if e.sideways {
		return say.F("turn the table in the spreadsheet (copy, then paste special with transpose), so that each vehicle has a row")
	}
	if e.nameless {
		return say.F("name the columns in the job, for example columns: { \"Fleet ref\": unit }; where the sheet is of one vehicle alone, add a column unit and fill it in on every row")
	}
	return say.F("name the columns in the job, for example columns: { \"Fleet ref\": unit }")
}

func (e *NotRecognised) list() say.Text {
	var parts []say.Text
	for _, c := range e.Known {
		parts = append(parts, say.F("%s is %s", strconv.Quote(c.Heading), string(c.Field)))
	}
	for i, c := range e.Unknown {
		if i == 6 {
			parts = append(parts, say.F("and %d more", len(e.Unknown)-i))
			break
		}
		part := say.F("%s is not known", strconv.Quote(c.Heading))
		if len(c.Candidates) > 0 {
			part = say.F("%s may be %s", strconv.Quote(c.Heading), orList(c.Candidates))
		}
		parts = append(parts, part)
	}
	return say.Join(", ", parts...)
}

// orList names fields as the job does, any of which is meant.
func orList(fields []Field) say.Text {
	var all say.Text
	for _, f := range fields {
		if all.Empty() {
			all = say.Plainly(f)
		} else {
			all = say.F("%s or %s", all, string(f))
		}
	}
	return all
}

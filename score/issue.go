package score

import "pitlist/score/say"

// Source is one sheet of one input file.
type Source struct {
	File  string // as the job's path found it
	Sheet string // "" for a text file
	Read  Day    // when an earlier run read it, of what is remembered; 0: this run
}

// Ref points to the row that a fact came from: an index into Fleet.Sources
// and the row's number as the spreadsheet shows it. The zero value points
// nowhere.
type Ref struct {
	Source int32 // 1-based index into Fleet.Sources; 0: no row
	Row    int32 // 1-based; 0: the whole sheet or file
}

// Severity says what became of what an Issue speaks of.
type Severity string

// The three severities, as rejected.csv names them.
const (
	Rejected Severity = "rejected"  // the row was not read into the fleet
	SetAside Severity = "set aside" // kept, but no judgement can rest on it
	Noted    Severity = "noted"     // used, with something to know about it
)

// Issue is one thing that a person should know of the input: where it
// stands, what was found there, and what to do about it.
type Issue struct {
	Ref        Ref
	Column     string // heading as written; "" where the whole row is meant
	Value      string // as read, shortened by the writers if long
	Severity   Severity
	Reason     say.Text // plain sentence
	Suggestion say.Text // what to do; may be empty for a note
}

// Class says what became of one row; every row has exactly one.
type Class string

// The five classes of rows: read = the sum of them, a sheet and in all.
const (
	ClassUsed     Class = "used"
	ClassSetAside Class = "set aside"
	ClassRejected Class = "rejected"
	ClassMerged   Class = "merged"
	ClassBlank    Class = "blank"
)

// Counts keeps account of the rows of one sheet.
type Counts struct {
	Source                                        Source
	Read, Used, SetAside, Rejected, Merged, Blank int
	Hidden                                        int // of Read, rows that the sheet hides
}

// Add counts one row of class c.
func (c *Counts) Add(class Class) {
	c.Read++
	switch class {
	case ClassUsed:
		c.Used++
	case ClassSetAside:
		c.SetAside++
	case ClassRejected:
		c.Rejected++
	case ClassMerged:
		c.Merged++
	case ClassBlank:
		c.Blank++
	}
}

// Balanced tells whether every row read has a class.
func (c Counts) Balanced() bool {
	return c.Read == c.Used+c.SetAside+c.Rejected+c.Merged+c.Blank
}

// Sum adds up the counts of all sheets.
func Sum(all []Counts) Counts {
	var t Counts
	for _, c := range all {
		t.Read += c.Read
		t.Used += c.Used
		t.SetAside += c.SetAside
		t.Rejected += c.Rejected
		t.Merged += c.Merged
		t.Blank += c.Blank
		t.Hidden += c.Hidden
	}
	return t
}

// Where writes a ref for people: file, sheet, row.
func (f *Fleet) Where(r Ref) say.Text {
	s, ok := f.SourceOf(r)
	if !ok {
		return say.Text{}
	}
	file := say.Plain(s.File)
	if s.Read != 0 {
		file = say.F("%s (read %s)", s.File, say.ISODay(s.Read))
	}
	switch {
	case r.Row == 0 && s.Sheet != "":
		return say.F("%s, sheet %s", file, s.Sheet)
	case r.Row == 0:
		return file
	case s.Sheet != "":
		return say.F("%s, sheet %s, row %d", file, s.Sheet, r.Row)
	}
	return say.F("%s, row %d", file, r.Row)
}

// SourceOf finds the sheet of a ref; false for one that points nowhere.
func (f *Fleet) SourceOf(r Ref) (Source, bool) {
	if r.Source < 1 || int(r.Source) > len(f.Sources) {
		return Source{}, false
	}
	return f.Sources[r.Source-1], true
}

package bulletin

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"pitlist/ingest/value"
)

// Options are what the user says of the tables. The zero value leaves all to
// them.
type Options struct {
	Makes     []string          // no rows of other makes than these; empty: all. A row that names none is read, and one that names one of them among others
	DateOrder value.Order       // where no date of a table shows it
	Columns   map[string]string // heading -> name of a field, or "ignore"
}

// told reads Columns.
func (o *Options) told() (map[string]Field, error) {
	out := map[string]Field{}
	for _, heading := range slices.Sorted(maps.Keys(o.Columns)) {
		name, key := o.Columns[heading], normal(heading)
		f := Field(strings.ReplaceAll(normal(name), " ", "_"))
		switch {
		case f == ignored:
			f = Ignore
		case !slices.Contains(Fields(), f):
			return nil, fmt.Errorf("%q is no name of a column", name)
		}
		if was, ok := out[key]; ok && was != f {
			return nil, fmt.Errorf("the heading %q is given two fields", heading)
		}
		out[key] = f
	}
	return out, nil
}

// Absent lists the headings of Columns that no table has, in the order of the
// alphabet: a slip in one would leave its column alone.
func (o *Options) Absent(tables []*Table) []string {
	var out []string
	for _, heading := range slices.Sorted(maps.Keys(o.Columns)) {
		has := func(c Column) bool { return normal(c.Heading) == normal(heading) }
		if !slices.ContainsFunc(tables, func(t *Table) bool { return slices.ContainsFunc(t.Columns, has) }) {
			out = append(out, heading)
		}
	}
	return out
}

// What the rows of one table may take: a national register has some 20,000, and a
// catalogue could not hold more than this.
const (
	mostRows  = 200_000
	mostBytes = 256 << 20
)

// Table is one sheet on its way: its headings once found, and the rows below.
type Table struct {
	File, Sheet string
	Columns     []Column
	Heading     int    // number of the row of headings; 0: none was found
	Blank       int    // rows without a word below the headings, and headings that are repeated
	Passed      int    // rows of other makes
	Dates       string // what shows whether days or months come first, where any date hangs on it; set by Read
	Rows        int    // with anything in them, below the headings; those of other makes too

	date1904 bool
	makes    []string // in their plain form
	told     map[string]Field
	numbers  []int      // of the first rows
	first    [][]string // until the headings are found
	faults   []string
	found    bool
	heads    []string // the headings' row as it stands
	counts   bool     // the column of numbers says 1, 2, 3… so far
	rows     []row
	bytes    int
}

// row is what is kept of one: the cells of the columns that were understood.
type row struct {
	number int
	cells  map[Field]string
	fault  string
}

// New makes a table of the sheet of a file ("" for a text file).
func New(file, sheet string, date1904 bool, o Options) (*Table, error) {
	told, err := o.told()
	if err != nil {
		return nil, err
	}
	t := &Table{File: file, Sheet: sheet, date1904: date1904, told: told}
	for _, m := range o.Makes {
		t.makes = append(t.makes, bare(m))
	}
	return t, nil
}

// bare keeps the letters and digits of a word, for comparing names and numbers.
func bare(s string) string { return strings.ReplaceAll(normal(s), " ", "") }

// Add takes the next row. Its cells may be used again afterwards. A fault says
// why the row cannot be trusted. The error tells a table that is too large.
func (t *Table) Add(number int, cells []string, fault string) error {
	if !t.found {
		t.first = append(t.first, slices.Clone(cells))
		t.numbers = append(t.numbers, number)
		t.faults = append(t.faults, fault)
		if len(t.first) < headRows+1 {
			return nil
		}
		return t.find()
	}
	return t.add(number, cells, fault)
}

// find looks for the headings among the first rows, and takes those below.
func (t *Table) find() error {
	t.found = true
	at, height, cols := findHeading(t.first[:min(len(t.first), headRows)], t.told)
	t.Columns = cols
	if at < 0 {
		t.Rows = len(t.first)
		t.first, t.faults = nil, nil
		return nil
	}
	t.Heading, t.heads, t.counts = t.numbers[at], t.first[at], true
	for i := at + height; i < len(t.first); i++ {
		if err := t.add(t.numbers[i], t.first[i], t.faults[i]); err != nil {
			return err
		}
	}
	t.first, t.faults = nil, nil
	return nil
}

func (t *Table) add(number int, cells []string, fault string) error {
	switch {
	case t.Heading == 0:
		t.Rows++
		return nil
	case fault == "" && (t.isBlank(cells) || t.isHeading(cells)):
		t.Blank++
		return nil
	}
	t.Rows++
	r := row{number: number, cells: map[Field]string{}, fault: fault}
	for i := range t.Columns {
		c := &t.Columns[i]
		if text := oneLineOr(c.Field, printing(cell(cells, c.Index))); text != "" && c.Field != Ignore {
			r.cells[c.Field] = strings.Clone(text)
			t.bytes += len(text)
		}
	}
	t.counts = t.counts && strings.TrimSuffix(r.cells[Number], ".") == strconv.Itoa(t.Rows)
	if !t.asked(r.cells[Make]) {
		t.Passed++
		return nil
	}
	if t.rows = append(t.rows, r); len(t.rows) > mostRows || t.bytes > mostBytes {
		return fmt.Errorf("%s has more than %d rows, or their text more than %d MB: more than a catalogue can hold", t.File, mostRows, mostBytes>>20)
	}
	return nil
}

// asked tells whether a row of these makes was asked for.
func (t *Table) asked(makes string) bool {
	names := makesIn(makes)
	return len(t.makes) == 0 || len(names) == 0 ||
		slices.ContainsFunc(append(names, makes), func(name string) bool { return slices.Contains(t.makes, bare(name)) })
}

// printing drops what no reader sees: a name with a zero-width space in it is the
// name without.
func printing(s string) string {
	if !strings.ContainsFunc(s, unseen) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if unseen(r) {
			return -1
		}
		return r
	}, s)
}

func unseen(r rune) bool {
	return r == unicode.ReplacementChar || !unicode.IsPrint(r) && !unicode.IsSpace(r)
}

// oneLineOr folds a cell's white space, but in ranges and lists, where the end of a line
// and a wide gap part what they stand between.
func oneLineOr(f Field, s string) string {
	switch Field(strings.TrimSuffix(strings.TrimSuffix(string(f), from), to)) {
	case VIN, VINSerial, EngineSerial, Serial, BuildDate, ModelYear, Model, Models, PartNo:
		return strings.TrimSpace(s)
	}
	return oneLine(s)
}

func (t *Table) isBlank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}

// isHeading sees the headings once more, as where pages were glued together.
func (t *Table) isHeading(cells []string) bool {
	n := 0
	for i, c := range cells {
		if c = oneLine(c); c == "" {
			continue
		}
		if c != oneLine(cell(t.heads, i)) {
			return false
		}
		n++
	}
	return n > 1
}

// end settles a table that was shorter than the rows that are looked through, and a
// mere "No." that numbers the rows.
func (t *Table) end() error {
	if !t.found {
		if err := t.find(); err != nil {
			return err
		}
	}
	const enough = 3 // rows below which counting is chance
	i := slices.IndexFunc(t.Columns, func(c Column) bool { return c.Field == Number })
	if i < 0 || !t.counts || t.Rows < enough || !t.Columns[i].claim.weak {
		return nil
	}
	t.Columns[i].Field, t.Columns[i].Why = Ignore, "numbers the rows"
	standIn(t.Columns)
	for _, r := range t.rows {
		if delete(r.cells, Number); r.cells[Reference] != "" {
			r.cells[Number] = r.cells[Reference]
			delete(r.cells, Reference)
		}
	}
	return nil
}

// IsTable tells whether it is a table of campaigns at all.
func (t *Table) IsTable() bool { return t.Heading != 0 }

package ingest

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/vin"
)

// key is how a row names its vehicle.
type key struct {
	unit, registration string
	vin                vin.VIN // well-formed, or ""
	vinText            string  // as cleaned, for messages
	prefix             string
}

// eventRow is one fact whose vehicle is known only by name yet.
type eventRow[T any] struct {
	key  key
	slot int32 // the row's place in sheet.classes
	row  int32
	fact T
}

// vehicleRow is one row of a vehicle sheet.
type vehicleRow struct {
	slot, row int32
	vehicle   score.Vehicle // attributes only
	report    *vin.Report   // nil where the row gives no VIN
	prefix    bool
	reading   *score.Reading
	hours     *score.Reading
	scan      *score.Scan
	remarks   []score.Remark
}

// converter turns the rows of one sheet into facts.
type converter struct {
	*sheet
	skipping bool
	slot     int32
	num      int32
	cells    []string
	errors   map[*column]int // spreadsheet error values, by column
	bareMark map[string]int
}

// title files a row above the headings, or the heading itself: read, and
// nothing to use in it, save a day that says what the sheet is "as of".
func (c *converter) title(h *held, heading bool) {
	c.classes = append(c.classes, isBlank)
	if heading {
		return
	}
	for _, cell := range h.cells {
		if d, ok := asOf(cell); ok && d <= c.file.opts.Day {
			c.latest = max(c.latest, d)
		}
	}
}

// row turns one row into facts, and gives it its class as far as it can be
// told before the sheets are joined.
func (c *converter) row(num int, cells []string) {
	c.slot, c.num, c.cells = int32(len(c.classes)), int32(num), cells
	c.classes = append(c.classes, pending)
	if c.skipping {
		c.classes[c.slot] = isSetAside
		return
	}
	if blank(cells) || c.view.Layout.IsHeading(cells) {
		c.classes[c.slot] = isBlank
		return
	}
	for _, col := range c.columns {
		if s := col.cell(cells); s != "" {
			col.sample(s)
			col.look(s)
		}
	}
	k, report := c.key()
	if k.vin == "" && header.IsTotal(cells) {
		c.setAside("a row of totals or a foot note, not a vehicle", "")
		return
	}
	if k == (key{}) {
		c.reject(nil, firstCell(cells), "the row names no vehicle: no unit, VIN or registration", "fill in one of them")
		return
	}
	c.facts(k, report)
}

func blank(cells []string) bool {
	for _, s := range cells {
		if s != "" && strings.TrimSpace(s) != "" {
			return false
		}
	}
	return true
}

func firstCell(cells []string) string {
	for _, s := range cells {
		if s != "" {
			return s
		}
	}
	return ""
}

// facts makes what the kinds held by the sheet make of a row.
func (c *converter) facts(k key, report *vin.Report) {
	for _, kind := range c.view.Layout.Holds {
		switch kind {
		case header.Vehicles:
			c.vehicle(k, report)
		case header.CodesSheet:
			if !c.view.Layout.Has(header.Vehicles) {
				c.scan(k)
			}
		case header.Repairs:
			c.repair(k)
		case header.Inspections:
			c.inspection(k)
		case header.Readings:
			c.readingRow(k)
		}
	}
}

// key reads the columns that name the vehicle. The VIN's whole judgement is
// made for vehicle sheets only.
func (c *converter) key() (key, *vin.Report) {
	k := key{unit: c.name(header.Unit), registration: c.name(header.Registration)}
	var report *vin.Report
	if raw := c.text(header.VIN); raw != "" {
		if c.view.Layout.Has(header.Vehicles) {
			r := vin.Judge(raw, c.vinContext())
			report, k.vin, k.vinText = &r, r.VIN, r.Text
		} else {
			k.vinText, _ = vin.Clean(raw)
			k.vin, _ = vin.Parse(k.vinText)
		}
	}
	if raw := c.text(header.VINPrefix); raw != "" && k.vinText == "" {
		if text, ok, _ := vin.CleanPrefix(raw); ok {
			k.prefix = text
		}
	}
	return k, report
}

func (c *converter) vinContext() vin.Context {
	year, _ := c.year()
	return vin.Context{Market: c.file.opts.Market, StatedYear: year, Year: c.file.opts.Day.Time().Year()}
}

// text is the cell of the field's column; "" where missing.
func (c *converter) text(f header.Field) string {
	cols := c.at[f]
	if len(cols) == 0 {
		return ""
	}
	return c.present(cols[0])
}

// present is the column's cell unless it says nothing.
func (c *converter) present(col *column) string {
	s := col.cell(c.cells)
	if s == "" {
		return ""
	}
	missing, fault := value.IsMissing(s)
	if fault {
		if c.errors == nil {
			c.errors = map[*column]int{}
		}
		c.errors[col]++
	}
	if missing {
		return ""
	}
	return s
}

// name is a text that many rows share, kept once.
func (c *converter) name(f header.Field) string { return c.intern(c.text(f)) }

// day reads a date column; ok is false where it is missing, bad where it could
// not be read (and has been told of).
func (c *converter) day(f header.Field, sev score.Severity) (d score.Day, ok, bad bool) {
	cols := c.at[f]
	if len(cols) == 0 {
		return 0, false, false
	}
	col := cols[0]
	s := c.present(col)
	if s == "" {
		return 0, false, false
	}
	t, _, err := value.ParseDate(s, col.date)
	if err != nil {
		c.refuse(col, s, err, sev)
		return 0, false, true
	}
	d = odometer.DayOf(t)
	if y := t.Year(); y < oldest || y > c.file.opts.Day.Time().Year()+farAhead {
		c.issue(col, s, sev, fmt.Sprintf("the day %s cannot be meant", d), "correct the date")
		return 0, false, true
	}
	return d, true, false
}

// No vehicle fact is older than oldest, nor farther ahead than farAhead years.
const (
	oldest   = 1950
	farAhead = 40
)

// fact reads the day of an event: the day, whether the row gave none, and
// whether the row is lost for it.
func (c *converter) eventDay(f header.Field) (d score.Day, undated, lost bool) {
	d, ok, bad := c.day(f, score.Rejected)
	switch {
	case bad:
		return 0, false, true
	case !ok:
		return 0, true, false
	case d > c.file.opts.Day:
		c.setAside(fmt.Sprintf("dated %s, after the day of the run", d), "correct the date, or run the list for a later day")
		return 0, false, true
	}
	c.latest = max(c.latest, d)
	return d, false, false
}

// number reads a number column, with the unit that stands behind the figure.
func (c *converter) number(col *column, sev score.Severity) (v float64, unit string, ok bool) {
	s := c.present(col)
	if s == "" {
		return 0, "", false
	}
	v, unit, err := value.ParseNumber(s, col.number)
	if err != nil {
		c.refuse(col, s, err, sev)
		return 0, "", false
	}
	return v, unit, true
}

// amount reads a plain number at or above zero.
func (c *converter) amount(f header.Field) score.Stated {
	cols := c.at[f]
	if len(cols) == 0 {
		return score.Stated{}
	}
	v, _, ok := c.number(cols[0], score.Noted)
	if ok && v < 0 {
		c.issue(cols[0], c.present(cols[0]), score.Noted, "the figure is below zero; it is not used", "correct it")
		return score.Stated{}
	}
	return score.Stated{Value: v, Known: ok}
}

// distance reads a distance in km, from km or miles, and the unit that states
// it ("" where nothing does and km are taken).
func (c *converter) distance(f header.Field, sev score.Severity) (km score.Stated, unit string) {
	cols := c.at[f]
	if len(cols) == 0 {
		return score.Stated{}, ""
	}
	col := cols[0]
	v, unit, ok := c.number(col, sev)
	if !ok {
		return score.Stated{}, ""
	}
	if unit == "" {
		unit = c.unitOf(f, col)
	}
	switch {
	case unit == value.Mile:
		v = math.Round(v * value.KmPerMile)
	case unit != "" && unit != value.Km:
		c.issue(col, c.present(col), score.Noted, "a distance cannot be in "+unit+"; it is not used", "correct the unit")
		return score.Stated{}, ""
	}
	if v < 0 || v > farthest {
		c.issue(col, c.present(col), score.Noted, fmt.Sprintf("%.0f km cannot be meant; it is not used", v), "correct the figure or its unit")
		return score.Stated{}, ""
	}
	return score.Is(math.Round(v*10) / 10), unit
}

// farthest is the largest odometer reading that is believed, km (ours; no
// road vehicle on record went much farther, from memory).
const farthest = 5_000_000

// unitOf is the unit that a distance column has where the cell states none:
// the row's own unit column, the heading, the job's word.
func (c *converter) unitOf(f header.Field, col *column) string {
	if f == header.Odometer {
		if s := c.text(header.OdometerUnit); s != "" {
			if u, ok := mileOrKm(s); ok {
				return u
			}
			c.issue(c.at[header.OdometerUnit][0], s, score.Noted, "neither km nor miles; km are taken", "write km or mi")
		}
	}
	if col.Unit != "" {
		return col.Unit
	}
	if f == header.Odometer || f == header.HistoryFromKm || f == header.DisposalKm {
		return c.told.OdometerUnit
	}
	return ""
}

// year reads the model year: 2017, or "2016/17" by its first figures.
func (c *converter) year() (int, bool) {
	cols := c.at[header.ModelYear]
	if len(cols) == 0 {
		return 0, false
	}
	s := c.present(cols[0])
	if len(s) < 4 {
		return 0, false
	}
	y := 0
	for i := range 4 {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		y = y*10 + int(s[i]-'0')
	}
	if len(s) > 4 && s[4] != '.' && s[4] != '/' && s[4] != '-' && s[4] != ' ' {
		return 0, false
	}
	return y, y >= oldest && y <= c.file.opts.Day.Time().Year()+2
}

// refuse tells of a cell that could not be read.
func (c *converter) refuse(col *column, cell string, err error, sev score.Severity) {
	reason, todo := err.Error(), ""
	var p *value.Problem
	if errors.As(err, &p) {
		reason, todo = p.Reason, p.Suggestion
		for i, r := range p.Readings {
			if i == 0 {
				reason += "; it could mean "
			} else {
				reason += " or "
			}
			reason += r
		}
	}
	if col.undecided != "" && col.kind == asDate {
		reason, todo = col.undecided+": "+reason, "say date_order: day or date_order: month in the job"
	}
	c.issue(col, cell, sev, reason, todo)
}

// issue files what is wrong with one cell of the row.
func (c *converter) issue(col *column, cell string, sev score.Severity, reason, todo string) {
	i := score.Issue{Ref: score.Ref{Row: c.num}, Value: clip(cell), Severity: sev, Reason: reason, Suggestion: todo}
	if col != nil {
		i.Column = col.Heading
		col.view.Refused++
	}
	c.issues = append(c.issues, i)
	if sev == score.Rejected {
		c.raise(c.slot, isRejected)
	}
}

func (c *converter) reject(col *column, cell, reason, todo string) {
	c.issue(col, cell, score.Rejected, reason, todo)
}

func (c *converter) setAside(reason, todo string) {
	c.issue(nil, firstCell(c.cells), score.SetAside, reason, todo)
	c.raise(c.slot, isSetAside)
}

// end dates what gave no day of its own: the sheet's latest day, else the
// run's.
func (c *converter) end() {
	day := c.latest
	if day == 0 {
		day = c.file.opts.Day
	}
	for i := range c.scans {
		if f := &c.scans[i].fact; f.Undated {
			f.Day = day
		}
	}
	for i := range c.repairs {
		if f := &c.repairs[i].fact; f.Undated {
			f.Day = day
		}
	}
	for i := range c.inspections {
		if f := &c.inspections[i].fact; f.Undated {
			f.Day = day
		}
	}
	for i := range c.vehicles {
		c.vehicles[i].date(day)
	}
	for _, col := range c.columns {
		if n := c.errors[col]; n > 0 {
			c.note("%d cells of %q hold a spreadsheet error such as #N/A; they count as missing", n, col.Heading)
		}
	}
}

// date gives the day to a vehicle row's facts that have none.
func (v *vehicleRow) date(day score.Day) {
	for _, r := range []*score.Reading{v.reading, v.hours} {
		if r != nil && r.Day == 0 {
			r.Day = day
		}
	}
	if v.scan != nil && v.scan.Day == 0 {
		v.scan.Day = day
	}
	for i := range v.remarks {
		v.remarks[i].Day = day
	}
}

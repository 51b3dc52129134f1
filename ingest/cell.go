package ingest

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

// No vehicle fact is older than oldest, nor farther ahead than farAhead years.
const (
	oldest   = 1950
	farAhead = 40
)

// farthest is the largest odometer reading that is believed, km (ours; no
// road vehicle on record went much farther, from memory).
const farthest = 5_000_000

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
		c.issue(col, s, sev, say.F("the day %s cannot be meant", say.ISODay(d)), say.F("correct the date"))
		return 0, false, true
	}
	return d, true, false
}

// eventDay reads the day of an event: the day, whether the row gave none, and
// whether the row is lost for it.
func (c *converter) eventDay() (d score.Day, undated, lost bool) {
	f := header.Date
	if len(c.at[f]) == 0 {
		f = header.Closed
	}
	d, ok, bad := c.day(f, score.Rejected)
	switch {
	case bad:
		return 0, false, true
	case !ok:
		return 0, true, false
	case d > c.file.opts.Day:
		c.setAside(say.F("dated %s, after the day of the run", say.ISODay(d)), say.F("correct the date, or run the list for a later day"))
		return 0, false, true
	}
	c.latest = max(c.latest, d)
	return d, false, false
}

// number reads a number column, with the unit that stands behind the figure.
func (c *converter) number(col *column, sev score.Severity) (v float64, unit value.Unit, ok bool) {
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

// numberOfDay is number; a cell of the odometer may hold the day of its reading too,
// which is kept in readOn.
func (c *converter) numberOfDay(col *column, sev score.Severity) (v float64, unit value.Unit, ok bool) {
	if col.Field != header.Odometer {
		return c.number(col, sev)
	}
	c.readOn = 0
	s := col.cell(c.cells)
	if len(s) < 8 || !strings.ContainsAny(s, "/.-") {
		return c.number(col, sev)
	}
	s = c.present(col)
	if _, _, err := value.ParseNumber(s, col.number); err == nil {
		return c.number(col, sev)
	}
	order := value.DateOptions{Order: c.order}
	if dated := c.at[header.OdometerDate]; len(dated) > 0 && dated[0].date.Order != "" {
		order.Order = dated[0].date.Order
	}
	figure, day, problem, is := value.FigureWithDay(s, order)
	switch {
	case !is:
		return c.number(col, sev)
	case problem != nil:
		c.refuse(col, s, problem, sev)
		return 0, "", false
	}
	c.readOn = odometer.DayOf(day)
	if c.readOn > c.file.opts.Day {
		c.issue(col, s, graver(sev, score.SetAside), say.F("dated %s, after the day of the run; it is not used", say.ISODay(c.readOn)), say.F("correct the date, or run the list for a later day"))
		return 0, "", false
	}
	v, unit, err := value.ParseNumber(figure, col.number)
	return v, unit, err == nil
}

// ofDay gives up the odometer of an event where its cell says that it was read on
// another day.
func (c *converter) ofDay(day score.Day, km score.Stated) score.Stated {
	if !km.Known || c.readOn == 0 || c.readOn == day {
		return km
	}
	col := c.at[header.Odometer][0]
	c.mention(col, c.present(col), score.Noted, say.F("was read on another day than that of the row; it is not used"), say.F("give readings a sheet of their own, with unit, date and odometer"))
	return score.Stated{}
}

// amount reads a plain number at or above zero.
func (c *converter) amount(f header.Field) score.Stated {
	cols := c.at[f]
	if f == header.EngineHours && c.metricOf == f {
		cols = c.at[header.Odometer]
	}
	if len(cols) == 0 {
		return score.Stated{}
	}
	v, _, ok := c.number(cols[0], score.Noted)
	if ok && v < 0 {
		c.issue(cols[0], c.present(cols[0]), score.Noted, say.F("the figure is below zero; it is not used"), say.F("correct it"))
		return score.Stated{}
	}
	return score.Stated{Value: math.Round(v*1e6) / 1e6, Known: ok} // 0.30000000000000004 is what a spreadsheet makes of 0.3
}

// distance reads a distance in km, from km or miles, and the unit that states
// it ("" where nothing does and km are taken).
func (c *converter) distance(f header.Field, sev score.Severity) (km score.Stated, unit value.Unit) {
	cols := c.at[f]
	if len(cols) == 0 || f == header.Odometer && c.view.Layout.Long != nil && c.metricOf != f {
		return score.Stated{}, ""
	}
	return c.distanceIn(cols[0], sev)
}

// distanceIn is distance for one of several columns of a field.
func (c *converter) distanceIn(col *column, sev score.Severity) (km score.Stated, unit value.Unit) {
	f := col.Field
	c.readHours = score.Stated{}
	v, unit, ok := c.numberOfDay(col, sev)
	if !ok {
		return score.Stated{}, ""
	}
	if unit == "" {
		unit = c.unitOf(f, col)
	}
	var reason, remedy say.Text
	switch {
	case f == header.Odometer && (v == 999_999 || v == 9_999_999):
		reason = say.F("is what a clock shows at its end, or what is filled in where nothing is known; it is not used")
		remedy = say.F("enter the reading, or leave the cell empty")
	case f == header.Odometer && unit == value.Hour && col.Unit == "":
		c.readHours = score.Is(v)
		return score.Stated{}, ""
	case unit == value.Mile:
		v = math.Round(v * value.KmPerMile)
	case unit == "" && col.miles:
		reason = say.F("the cell states no unit, and others of the column state miles; it is not used")
		remedy = say.F("write the unit, or odometer_unit in the job")
	case unit != "" && unit != value.Km:
		reason = say.F("a distance cannot be in %s; it is not used", value.UnitWords(unit))
	}
	if reason.Empty() && (v < 0 || v > farthest) {
		reason = say.F("%s km cannot be meant; it is not used", figure(v))
	}
	if !reason.Empty() {
		remedy = say.Or(remedy, say.F("correct the figure or its unit"))
		c.issue(col, c.present(col), graver(sev, score.SetAside), reason, remedy)
		return score.Stated{}, ""
	}
	if f == header.Odometer {
		c.spoken.add(c.num, unit)
	}
	return score.Is(math.Round(v*10) / 10), unit
}

// figure writes a figure out as a cell would, without marks.
func figure(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }

// unitOf is the unit that a distance column has where the cell states none:
// the row's own unit column, the heading, the job's word.
func (c *converter) unitOf(f header.Field, col *column) value.Unit {
	if f == header.Odometer {
		if s := c.text(header.OdometerUnit); s != "" {
			if u, ok := value.ParseDistanceUnit(s); ok {
				return u
			}
			if u, _, ok := value.ParseUnit(s); ok && u != value.NoUnit {
				return u // no distance: told of with the figure
			}
			c.mention(c.at[header.OdometerUnit][0], s, score.Noted,
				say.F("neither km nor miles; what the heading or the job says is taken, else km"), say.F("write km or mi"))
		}
	}
	if f == header.OdometerByMonth && col.Unit == "" && len(c.at[header.Odometer]) > 0 {
		col = c.at[header.Odometer][0]
	}
	if f == header.Odometer && c.metricUnit != "" {
		return c.metricUnit
	}
	if col.Unit != "" {
		return col.Unit
	}
	if f == header.Odometer || f == header.OdometerByMonth || f == header.HistoryFromKm || f == header.DisposalKm {
		return c.unit
	}
	return ""
}

// year reads the model year.
func (c *converter) year() (int, bool) {
	return c.modelYear(c.text(header.ModelYear))
}

func (c *converter) modelYear(s string) (int, bool) {
	y, ok := value.ParseModelYear(s, c.file.opts.Day.Time().Year()+2)
	return y, ok && y >= oldest
}

// refuse tells of a cell that could not be read.
func (c *converter) refuse(col *column, cell string, err error, sev score.Severity) {
	reason, remedy := say.Plain(err.Error()), say.Text{}
	var p *value.Problem
	if errors.As(err, &p) {
		reason, remedy = p.Why(), p.Suggestion
		if !col.undecided.Empty() && len(p.Readings) > 1 {
			reason, remedy = say.F("%s: %s", col.undecided, reason), dateHint()
		}
	}
	c.issue(col, cell, sev, reason, remedy)
}

// asOf finds a day in a title above the headings: "Stand 25.11.2026", "as of
// 25 November 2026".
func asOf(cell string) (score.Day, bool) {
	if !hasDigit(cell) || len(cell) > 200 {
		return 0, false
	}
	words := strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(" ,:()\u00a0", r) })
	for i := range words {
		for n := min(3, len(words)-i); n > 0; n-- {
			text := strings.Join(words[i:i+n], " ")
			if len(text) < 8 || n == 1 && strings.Count(text, ".")+strings.Count(text, "-")+strings.Count(text, "/") != 2 {
				continue
			}
			if t, how, err := value.ParseDate(text, value.DateOptions{}); err == nil && how != value.Serial && t.Year() >= oldest {
				return odometer.DayOf(t), true
			}
		}
	}
	return 0, false
}

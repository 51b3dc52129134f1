package ingest

import (
	"strings"
	"time"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/phrase"
	"pitlist/score/say"
)

// What a row of a list of work says: what was done, asked for or advised, and on which day.

// repairIntent reads the status of a repair; false where the sheet holds none.
func (c *converter) repairIntent(s string) (phrase.Intent, bool) {
	if !c.view.Layout.Has(header.Repairs) {
		return "", false
	}
	return c.memory.repairStatus(s)
}

// repair reads a row of workshop text. Without a text it may still bring a
// reading.
func (c *converter) repair() {
	day, undated, lost := c.eventDay()
	if lost {
		return
	}
	closed, open := c.closedOn()
	if closed != 0 {
		day, undated = closed, false
		c.latest = max(c.latest, day)
	}
	if on := c.doneOn(); on != 0 {
		day, undated = on, false
		c.latest = max(c.latest, on)
	}
	km, unit := c.distance(header.Odometer, score.Noted)
	km = c.ofDay(day, km)
	text := c.text(header.Text)
	reported := c.reported(day, &text)
	if c.advised(day, km) {
		reported = true
	}
	none := text != "" && c.noneDelivered()
	if text == "" || none {
		switch {
		case c.view.Layout.Has(header.Vehicles): // the row says something of the vehicle all the same
		case km.Known && !undated:
			c.reading(day, km, unit, odometer.FromRepair)
		case reported:
		case none:
			c.raise(c.slot, isSetAside) // told of
		default:
			c.nothing(say.F("the row holds no text of what was done"), say.Text{})
		}
		return
	}
	status := c.repairStatus()
	switch {
	case status != "":
	case open:
		status = phrase.Recommended
		c.unclosed.add(c.num)
	case c.view.Layout.Planned != "":
		status = phrase.Recommended
		c.planned.add(c.num)
	}
	c.repairs.add(fact[score.Repair]{c.rowAt(), score.Repair{
		Day: day, KM: km, Text: c.words(text), Status: status, PartNo: c.word(header.PartNo),
		Cost: c.amount(header.Cost), Undated: undated, Ref: c.ref(),
	}})
}

// reported reads what stands beside the event of the row, as a complaint beside
// the work: remarks of the event's day. Without a day they go in front of the
// text, which is placed by its odometer.
func (c *converter) reported(day score.Day, text *string) bool {
	if c.view.Layout.Has(header.Vehicles) {
		return false // today reads them
	}
	any := false
	for _, col := range c.at[header.Remarks] {
		s := c.present(col)
		switch {
		case s == "":
		case day != 0:
			any = true
			c.remarks.add(fact[score.Remark]{c.rowAt(), score.Remark{Day: day, Dated: true, Text: c.words(s), Ref: c.ref()}})
		case *text != "":
			*text = s + "\n" + *text
		}
	}
	return any
}

// advised reads what was recommended beside the work of the row: work that was not
// done.
func (c *converter) advised(day score.Day, km score.Stated) bool {
	any := false
	for _, col := range c.at[header.Recommended] {
		if s := c.present(col); s != "" && !value.SaysNothing(s) {
			any = true
			c.repairs.add(fact[score.Repair]{c.rowAt(), score.Repair{Day: day, KM: km, Text: c.words(s), Status: phrase.Recommended, Undated: day == 0, Ref: c.ref()}})
		}
	}
	return any
}

// noneDelivered tells of a line whose quantity is 0 or less and that nobody worked
// on: whether its work was done is not said.
func (c *converter) noneDelivered() bool {
	s := c.text(header.Quantity)
	if s == "" || !value.NoneOf(s) || c.worked() {
		return false
	}
	col, sev := c.at[header.Quantity][0], score.SetAside // the work, not the row
	if strings.ContainsAny(s, "-\u2212\u2013(") {
		c.mention(col, s, sev, say.F("a quantity below zero takes a line back; the row counts as no work done"), say.F("where the line that it takes back stands above as done, take both out"))
	} else {
		c.mention(col, s, sev, say.F("a quantity of 0: the row counts as no work done"), say.F("where it was done all the same, say %s in the job's columns", Quoted(col.Heading)+": ignore"))
	}
	return true
}

// worked reports hours of work on the row.
func (c *converter) worked() bool {
	for _, col := range c.columns {
		if col.Field == header.Ignore && header.CountsWork(&col.Column) {
			if s := col.cell(c.cells); s != "" && !value.NoneOf(s) {
				return true
			}
		}
	}
	return false
}

// closedOn reads the day on which the work of the row was done, where the sheet
// has a column for it; open tells that it was not done by the day of the run.
func (c *converter) closedOn() (day score.Day, open bool) {
	col := c.closing()
	switch {
	case col == nil:
		return 0, false
	case col.Field == header.Status && c.crossed():
		return 0, false
	case c.present(col) == "":
		return 0, true
	case col.Field != header.Closed || len(c.at[header.Date]) == 0:
		return 0, false // read by eventDay, or with the status
	}
	day, ok, bad := c.day(header.Closed, score.Noted)
	switch {
	case bad:
		return 0, false
	case !ok || day > c.file.opts.Day:
		return 0, true
	}
	return day, false
}

// doneOn reads a day that stands where the sheet asks whether the work was done; 0
// where there is none, or it can be read two ways.
func (c *converter) doneOn() score.Day {
	cols := c.at[header.Status]
	if len(cols) == 0 || !cols[0].Closing {
		return 0
	}
	o := value.DateOptions{Order: c.order, Date1904: c.date1904}
	if dated := c.at[header.Date]; len(dated) > 0 && dated[0].date.Order != "" {
		o.Order = dated[0].date.Order
	}
	if t, _, err := value.ParseDate(c.text(header.Status), o); err == nil && odometer.DayOf(t) <= c.file.opts.Day {
		return odometer.DayOf(t)
	}
	return 0
}

// crossed tells that a cross stands where the sheet asks how the work stands; in other
// columns a cross says that nothing is known.
func (c *converter) crossed() bool {
	cols := c.at[header.Status]
	if len(cols) == 0 || !value.IsCross(cols[0].cell(c.cells)) {
		return false
	}
	h := cols[0].Heading
	return header.AsksDone(h) || header.AsksApproved(h) || header.AsksVoid(h) || header.AsksAdvised(h)
}

// closing is the column of the days on which work was done; nil where there is none.
func (c *converter) closing() *column {
	for _, f := range [...]header.Field{header.Closed, header.Date, header.Status} {
		if cols := c.at[f]; len(cols) > 0 && cols[0].Closing {
			return cols[0]
		}
	}
	return nil
}

// repairStatus reads the repair's status column. Beside a vehicle the column
// may be the vehicle's, which has been read.
func (c *converter) repairStatus() phrase.Intent {
	s := c.text(header.Status)
	if s == "" && !c.crossed() {
		return ""
	}
	if c.view.Layout.Has(header.Vehicles) {
		if _, err := value.ParseStatus(s); err == nil {
			return ""
		}
	}
	if day := c.dayInStatus(s); !day.IsZero() {
		if odometer.DayOf(day) > c.file.opts.Day {
			return phrase.Recommended
		}
		return phrase.Done
	}
	intent, ok := c.repairIntent(s)
	if c.at[header.Status][0].percent {
		if v, _, err := value.ParseNumber(strings.TrimRight(s, " %"), value.NumberOptions{}); err == nil && (v == 1 && !c.sheet.text || v >= 100) { // a workbook keeps 100 % as 1
			return phrase.Done
		}
		return phrase.Recommended
	}
	if answer, ok := c.answer(s); ok {
		return answer
	}
	if !ok && !header.SaysType(c.at[header.Status][0].Heading) {
		c.mention(c.at[header.Status][0], s, score.Noted, say.F("not known as a status of a repair; the text decides"), say.F("write done, declined or recommended"))
	}
	return intent
}

// dayInStatus is the day that stands where the sheet asks whether the work was done,
// in either order; the zero time where there is none.
func (c *converter) dayInStatus(s string) time.Time {
	if !c.at[header.Status][0].Closing {
		return time.Time{}
	}
	for _, order := range [...]value.Order{value.DayFirst, value.MonthFirst} {
		if t, _, err := value.ParseDate(s, value.DateOptions{Order: order, Date1904: c.date1904}); err == nil {
			return t
		}
	}
	return time.Time{}
}

// answer reads yes, no or a cross under a heading that asks how the work stands.
func (c *converter) answer(s string) (phrase.Intent, bool) {
	yes, err := value.ParseYesNo(s)
	if c.crossed() {
		yes, err = true, nil
	}
	if err != nil {
		return "", false
	}
	switch h := c.at[header.Status][0].Heading; {
	case header.AsksDone(h) && yes:
		return phrase.Done, true
	case header.AsksApproved(h) && yes, header.AsksVoid(h) && !yes, header.AsksAdvised(h) && !yes:
		return "", true // it may be done or not: the text decides
	case header.AsksAdvised(h):
		return phrase.Recommended, true
	case header.AsksDone(h), header.AsksApproved(h), header.AsksVoid(h):
		return phrase.Declined, true
	}
	return "", false
}

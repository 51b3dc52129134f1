package ingest

import (
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/odometer"
	"pitlist/score/phrase"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// facts makes of the row at hand what the kinds held by the sheet make of it.
func (c *converter) facts(report *vin.Report) {
	if !c.metric() {
		return
	}
	before := c.brought()
	c.idle = c.idle[:0]
	for _, kind := range c.view.Layout.Holds {
		switch kind {
		case header.Vehicles:
			c.vehicle(report)
		case header.CodesSheet:
			if !c.view.Layout.Has(header.Vehicles) { // else they are read with the vehicle
				c.scan()
			}
		case header.Repairs:
			c.repair()
		case header.Inspections:
			c.inspection()
		case header.Readings:
			if len(c.view.Layout.Holds) == 1 { // the other kinds read their own odometer
				c.readingRow()
			}
		}
	}
	if c.brought() > before {
		return // what one kind does not find on the row, another did
	}
	for _, n := range c.idle {
		c.setAside(n.reason, n.remedy)
	}
}

// brought counts the facts of the sheet so far.
func (c *converter) brought() int {
	return c.scans.len() + c.repairs.len() + c.inspections.len() + c.readings.len() + c.hours.len() + c.remarks.len()
}

// nothing notes why a kind of sheet found nothing to use on the row.
func (c *converter) nothing(reason, remedy say.Text) {
	c.idle = append(c.idle, idle{reason, remedy})
}

type idle struct{ reason, remedy say.Text }

// byMonth reads a history with one column a month or day, and tells whether
// the row holds any of it. The month of the run has not ended: its figure is
// as of the run's day.
func (c *converter) byMonth() bool {
	any := false
	for _, col := range c.at[header.OdometerByMonth] {
		if c.present(col) == "" {
			continue
		}
		any = true
		day, run := odometer.DayOf(col.Day), c.file.opts.Day
		if t := run.Time(); day > run && t.Year() == col.Day.Year() && t.Month() == col.Day.Month() {
			day = run
		}
		switch {
		case col.Day.IsZero():
			c.issue(col, c.present(col), score.Noted, say.F("the heading names no month or day; the reading is not used"), say.F("head the column with a month, such as 2026-03"))
		case day > run:
			c.issue(col, c.present(col), score.Noted, say.F("dated %s, after the day of the run; it is not used", say.ISODay(day)), say.F("correct the heading, or run the list for a later day"))
		default:
			if km, unit := c.distanceIn(col, score.Noted); km.Known {
				c.reading(day, km, unit, odometer.FromMonth)
				c.latest = max(c.latest, day)
			}
		}
	}
	return any
}

func (c *converter) reading(day score.Day, km score.Stated, unit value.Unit, source string) {
	c.readings.add(fact[score.Reading]{c.rowAt(), score.Reading{Day: day, KM: km.Value, Unit: unit, Source: source, Undated: day == 0, Ref: c.ref()}})
}

func (c *converter) hoursReading(day score.Day, h score.Stated, source string) {
	c.hours.add(fact[score.Reading]{c.rowAt(), score.Reading{Day: day, KM: h.Value, Unit: value.Hour, Source: source, Undated: day == 0, Ref: c.ref()}})
}

// state reads the row's column that says how far its codes have got.
func (c *converter) state() dtc.State {
	s := c.text(header.State)
	if s == "" {
		return ""
	}
	state, known := dtc.ParseState(s)
	if !known {
		c.mention(c.at[header.State][0], s, score.Noted, say.F("not known as a state of a code; stored is taken"), say.F("write stored, pending or permanent"))
	}
	return state
}

// codes reads all columns of codes of the row. scanned is false where nothing
// says that a scan was made; faulty tells that a cell could not be read. A
// fault in a cell that says nothing else has the severity sev.
func (c *converter) codes(sev score.Severity) (codes []dtc.Reading, scanned, faulty bool) {
	state := c.state()
	columns := c.at[header.Codes]
	for _, col := range columns {
		s := c.present(col)
		if s == "" {
			continue
		}
		cell := c.memory.parseCodes(s, col.heavy)
		scanned = scanned || cell.Scanned
		if len(columns) == 1 && state == "" {
			codes = cell.Codes // shared: nobody changes it
		} else {
			codes = addCodes(codes, cell.Codes, state)
		}
		for _, f := range cell.Faults {
			faulty = true
			c.codeFault(col, &f, cell.Scanned, sev)
		}
	}
	return codes, scanned, faulty
}

// addCodes joins the codes of two cells; state is the row's, for codes whose
// cell gives none. A code that stands in two cells counts once.
func addCodes(codes, more []dtc.Reading, state dtc.State) []dtc.Reading {
	for _, r := range more {
		if r.State == "" {
			r.State = state
		}
		if !slices.Contains(codes, r) {
			codes = append(codes, r)
		}
	}
	return codes
}

func (c *converter) codeFault(col *column, f *dtc.Fault, scanned bool, sev score.Severity) {
	if scanned {
		sev = score.Noted
	}
	var remedy say.Text
	if f.Suggestion.Valid() {
		remedy = say.F("write %s if that is meant", f.Suggestion.String())
	}
	c.issue(col, f.Text, sev, f.Reason, remedy)
}

// addScan files a reading of the fault memory.
func (c *converter) addScan(day score.Day, km score.Stated, codes []dtc.Reading) {
	since, _ := c.distance(header.KmSinceClear, score.Noted)
	c.scans.add(fact[score.Scan]{c.rowAt(), score.Scan{
		Day: day, KM: km, Codes: codes, SinceClear: since, Undated: day == 0,
		WarmUps: c.amount(header.WarmupsSince), Incomplete: c.amount(header.Monitors), MIL: c.lamp(), Ref: c.ref(),
	}})
}

// lamp reads whether the malfunction indicator is lit.
func (c *converter) lamp() string {
	s := c.text(header.MIL)
	if s == "" {
		return ""
	}
	on, err := value.ParseYesNo(s)
	switch {
	case err != nil:
		c.refuse(c.at[header.MIL][0], s, err, score.Noted)
		return ""
	case on:
		return "on"
	}
	return "off"
}

// scan reads a row of a sheet of codes. A row that was not scanned is used as
// far as it brings a reading.
func (c *converter) scan() {
	day, undated, lost := c.eventDay()
	if lost {
		return
	}
	codes, scanned, faulty := c.codes(score.Rejected)
	km, unit := c.distance(header.Odometer, score.Noted)
	km = c.ofDay(day, km)
	switch {
	case scanned && len(codes) == 0 && c.scanFailed():
		c.setAside(say.F("the scan is said to have failed: that it found nothing says nothing"), say.F("scan the vehicle again"))
	case scanned:
		c.addScan(day, km, codes)
	case faulty: // rejected
	case km.Known && !undated:
		c.reading(day, km, unit, odometer.FromScanSheet)
	default:
		c.nothing(say.F("not scanned, and nothing else on the row that could be used"), say.Text{})
	}
}

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
			c.repairs.add(fact[score.Repair]{c.rowAt(), score.Repair{Day: day, KM: km, Text: c.memory.intern(s), Status: phrase.Recommended, Undated: day == 0, Ref: c.ref()}})
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
	col, sev := c.at[header.Quantity][0], score.SetAside // the work is
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
	return len(cols) > 0 && value.IsCross(cols[0].cell(c.cells))
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
	if c.at[header.Status][0].Closing {
		if t, _, err := value.ParseDate(s, value.DateOptions{Order: value.DayFirst, Date1904: c.date1904}); err == nil {
			if odometer.DayOf(t) > c.file.opts.Day {
				return phrase.Recommended
			}
			return phrase.Done
		}
	}
	intent, ok := c.repairIntent(s)
	if c.at[header.Status][0].percent {
		if v, _, err := value.ParseNumber(strings.TrimRight(s, " %"), value.NumberOptions{}); err == nil && (v == 1 && !c.sheet.text || v >= 100) { // a workbook keeps 100 % as 1
			return phrase.Done
		}
		return phrase.Recommended
	}
	yes, err := value.ParseYesNo(s)
	if c.crossed() {
		yes, err = true, nil
	}
	if err == nil {
		switch h := c.at[header.Status][0].Heading; {
		case header.AsksDone(h) && yes:
			return phrase.Done
		case header.AsksApproved(h) && yes, header.AsksVoid(h) && !yes, header.AsksAdvised(h) && !yes:
			return "" // it may be done or not: the text decides
		case header.AsksAdvised(h):
			return phrase.Recommended
		case header.AsksDone(h), header.AsksApproved(h), header.AsksVoid(h):
			return phrase.Declined
		}
	}
	if !ok && !header.SaysType(c.at[header.Status][0].Heading) {
		c.mention(c.at[header.Status][0], s, score.Noted, say.F("not known as a status of a repair; the text decides"), say.F("write done, declined or recommended"))
	}
	return intent
}

// inspection reads a row of findings.
func (c *converter) inspection() {
	day, undated, lost := c.eventDay()
	if lost {
		return
	}
	s := c.text(header.FindingField)
	measures := c.measures()
	if s == "" && len(measures) == 0 {
		if !c.view.Layout.Has(header.Vehicles) {
			c.nothing(say.F("the row holds no finding"), say.F("write worn, sound, not opened or failed"))
		}
		return
	}
	var found value.Finding
	if s != "" {
		var err error
		if found, err = value.ParseFinding(s); err != nil {
			c.refuse(c.at[header.FindingField][0], s, err, score.Rejected)
			return
		}
	}
	km, _ := c.distance(header.Odometer, score.Noted)
	km = c.ofDay(day, km)
	c.inspections.add(fact[score.Inspection]{c.rowAt(), score.Inspection{
		Day: day, KM: km, Part: c.word(header.Part), Position: c.word(header.Position), Result: score.Result(found),
		By: c.word(header.By), Measures: measures, Undated: undated, Ref: c.ref(),
	}})
}

// measures reads the columns of measured values.
func (c *converter) measures() []score.Measure {
	var out []score.Measure
	for _, col := range c.at[header.Measured] {
		if v, _, ok := c.number(col, score.Noted); ok {
			out = append(out, score.Measure{Name: col.Measure, Value: v})
		}
	}
	return out
}

// readingRow reads a row of odometer or hour readings.
func (c *converter) readingRow() {
	monthly := c.byMonth()
	day, undated, lost := c.eventDay()
	if lost || undated && monthly {
		return
	}
	source := c.word(header.Source)
	if source == "" {
		source = odometer.FromReadings
	}
	km, unit := c.distance(header.Odometer, score.Rejected)
	if km.Known && c.readOn != 0 {
		day, undated = c.readOn, false
		c.latest = max(c.latest, day)
	}
	if undated {
		c.reject(nil, firstCell(c.cells), say.F("a reading without a day cannot be used"), say.F("fill in the date"))
		return
	}
	if km.Known && km.Value == 0 { // what a fuel pump asks for and nobody enters
		c.issue(c.at[header.Odometer][0], "0", score.Noted, say.F("an odometer of 0 counts as not known"), say.F("enter the reading, or leave the cell empty"))
		km = score.Stated{}
	}
	doubted := km.Known && !c.vouched()
	if km.Known && !doubted {
		c.reading(day, km, unit, source)
	}
	hours := c.readHours
	if own := c.amount(header.EngineHours); own.Known {
		hours = own
	}
	if hours.Known {
		c.hoursReading(day, hours, source)
	}
	if (!km.Known || doubted) && !hours.Known && c.classes[c.slot] == pending {
		c.setAside(say.F("the row holds no reading"), say.Text{})
	}
}

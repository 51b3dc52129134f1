package ingest

import (
	"slices"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/odometer"
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

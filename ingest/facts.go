package ingest

import (
	"fmt"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
	"pitlist/score/vin"
)

// ref points to the row at hand; the source is filled in when the sheets are
// joined.
func (c *converter) ref() score.Ref { return score.Ref{Row: c.num} }

// vehicle reads a row of a vehicle sheet.
func (c *converter) vehicle(k key, report *vin.Report) {
	v := vehicleRow{slot: c.slot, row: c.num, report: report, prefix: k.prefix != ""}
	year, ok := c.year()
	if s := c.text(header.ModelYear); s != "" && !ok {
		c.issue(c.at[header.ModelYear][0], s, score.Noted, "no model year; it is not used", "write four figures, such as 2017")
		year = 0
	}
	v.vehicle = score.Vehicle{
		Unit: k.unit, VIN: k.vin, VINPrefix: k.prefix, Registration: k.registration, Ref: c.ref(),
		Depot: c.name(header.Depot), Make: c.name(header.Make), Model: c.name(header.Model), ModelYear: year,
		EngineFamily: c.name(header.EngineFamily), EngineSerial: strings.Clone(c.text(header.EngineSerial)),
		HistoryFromHours: c.amount(header.HistoryFromHours),
		Stated:           score.StatedUse{KMPerWeek: c.amount(header.KmPerWeek), HoursPerWeek: c.amount(header.HoursPerWeek)},
	}
	v.vehicle.HistoryFromKM, _ = c.distance(header.HistoryFromKm, score.Noted)
	v.vehicle.DisposalKM, _ = c.distance(header.DisposalKm, score.Noted)
	v.vehicle.BuildDate, _, _ = c.day(header.BuildDate, score.Noted)
	v.vehicle.InService, _, _ = c.day(header.InServiceDate, score.Noted)
	v.vehicle.NextService, _, _ = c.day(header.NextService, score.Noted)
	v.vehicle.DisposalDate, _, _ = c.day(header.DisposalDate, score.Noted)
	c.years(&v)
	c.status(&v)
	c.desk(&v)
	c.sheetFacts(&v)
	c.vehicles = append(c.vehicles, v)
}

// years holds the stated model year against the VIN's.
func (c *converter) years(v *vehicleRow) {
	if v.report == nil {
		return
	}
	v.vehicle.VINYear = v.report.ModelYear
	v.vehicle.YearConflict = v.report.Has(vin.ModelYear)
	if !v.report.YearBinding && !v.vehicle.YearConflict && v.vehicle.ModelYear != 0 {
		v.vehicle.VINYear = v.vehicle.ModelYear // a habit of the maker's says no more than the sheet
	}
}

func (c *converter) status(v *vehicleRow) {
	if s := c.text(header.Status); s != "" {
		st, err := value.ParseStatus(s)
		if err != nil {
			c.refuse(c.at[header.Status][0], s, err, score.Noted)
		}
		v.vehicle.Status = score.Status(st)
	}
	if s := c.text(header.Runs); s != "" {
		runs, err := value.ParseYesNo(s)
		if err != nil {
			c.refuse(c.at[header.Runs][0], s, err, score.Noted)
			return
		}
		v.vehicle.NotRunning = !runs
	}
}

// desk reads the columns of the buying desks.
func (c *converter) desk(v *vehicleRow) {
	d := &v.vehicle.Desk
	d.Lot, d.SaleOrder = c.text(header.Lot), c.text(header.SaleOrder)
	d.GuidePrice, d.Price = c.amount(header.GuidePrice), c.amount(header.Price)
	d.WarrantyKM, _ = c.distance(header.WarrantyKm, score.Noted)
	d.WarrantyMonths = c.amount(header.WarrantyMonths)
	if s := c.text(header.CanOpen); s != "" {
		can, err := value.ParseYesNo(s)
		if err != nil {
			c.refuse(c.at[header.CanOpen][0], s, err, score.Noted)
			return
		}
		d.CannotOpen = !can
	}
}

// sheetFacts reads the odometer, hours, codes and remarks that stand on a
// vehicle's row, dated by its odometer date, else by the sheet.
func (c *converter) sheetFacts(v *vehicleRow) {
	day, _, _ := c.day(header.OdometerDate, score.Noted)
	if day == 0 {
		day, _, _ = c.day(header.Date, score.Noted)
	}
	if day > c.file.opts.Day {
		c.issue(nil, day.String(), score.Noted, "the odometer is dated after the day of the run; the day of the run is taken", "correct the date")
		day = c.file.opts.Day
	}
	c.latest = max(c.latest, day)
	km, unit := c.distance(header.Odometer, score.Noted)
	if km.Known && !(km.Value == 0 && v.vehicle.ModelYear < c.file.opts.Day.Time().Year()) {
		v.reading = &score.Reading{Day: day, KM: km.Value, Unit: unit, Source: "vehicle sheet", Ref: c.ref()}
	} else if km.Known {
		c.issue(c.at[header.Odometer][0], "0", score.Noted, "an odometer of 0 counts as not known", "enter the reading, or leave the cell empty")
	}
	if h := c.amount(header.EngineHours); h.Known {
		v.hours = &score.Reading{Day: day, KM: h.Value, Unit: value.Hour, Source: "vehicle sheet", Ref: c.ref()}
	}
	if codes, scanned, ok := c.codes(""); ok && scanned {
		v.scan = &score.Scan{Day: day, KM: km, Codes: codes, SinceClear: c.sinceClear(), Undated: day == 0, Ref: c.ref()}
	}
	for _, col := range c.at[header.Remarks] {
		if s := c.present(col); s != "" {
			v.remarks = append(v.remarks, score.Remark{Text: c.intern(s), Ref: c.ref()})
		}
	}
}

// sinceClear reads the distance since codes were erased.
func (c *converter) sinceClear() score.Stated {
	km, _ := c.distance(header.KmSinceClear, score.Noted)
	return km
}

// codes reads all columns of codes of the row. scanned is false where nothing
// says that a scan was made; ok is false where a cell could not be read and
// nothing else was there.
func (c *converter) codes(state dtc.State) (codes []dtc.Reading, scanned, ok bool) {
	ok = true
	for _, col := range c.at[header.Codes] {
		s := col.cell(c.cells)
		if s == "" {
			continue
		}
		cell := dtc.ParseCell(s, dtc.Options{J1939: isHeavy(col.Heading)})
		for _, r := range cell.Codes {
			if r.State == "" {
				r.State = state
			}
			codes = append(codes, r)
		}
		scanned = scanned || cell.Scanned
		for _, f := range cell.Faults {
			sev := score.Noted
			if !cell.Scanned {
				ok = false
				sev = score.Rejected
			}
			if c.view.Layout.Has(header.Vehicles) {
				sev = score.Noted
			}
			todo := ""
			if f.Suggestion.Valid() {
				todo = "write " + f.Suggestion.String() + " if that is meant"
			}
			c.issue(col, f.Text, sev, f.Reason, todo)
		}
	}
	return codes, scanned, ok
}

// isHeavy tells a column of heavy-duty codes by its heading.
func isHeavy(heading string) bool {
	h := strings.ToUpper(heading)
	return strings.Contains(h, "SPN") || strings.Contains(h, "J1939") || strings.Contains(h, "FMI") || strings.Contains(h, "DM1")
}

// scan reads a row of a sheet of codes. A row that was not scanned is used as
// far as it brings a reading.
func (c *converter) scan(k key) {
	day, undated, lost := c.eventDay(header.Date)
	if lost {
		return
	}
	state, known := dtc.State(""), true
	if s := c.text(header.State); s != "" {
		if state, known = dtc.ParseState(s); !known {
			c.issue(c.at[header.State][0], s, score.Noted, "not known as a state of a code; stored is taken", "write stored, pending or permanent")
		}
	}
	codes, scanned, ok := c.codes(state)
	km, unit := c.distance(header.Odometer, score.Noted)
	if !ok && !scanned {
		return
	}
	if !scanned {
		c.unscanned(k, day, km, unit)
		return
	}
	f := score.Scan{Day: day, KM: km, Codes: codes, SinceClear: c.sinceClear(), Undated: undated,
		WarmUps: c.amount(header.WarmupsSince), Incomplete: c.amount(header.Monitors), MIL: c.name(header.MIL), Ref: c.ref()}
	c.scans = append(c.scans, eventRow[score.Scan]{k, c.slot, c.num, f})
}

// unscanned files a row of a codes sheet on which nothing was scanned.
func (c *converter) unscanned(k key, day score.Day, km score.Stated, unit string) {
	if !km.Known || day == 0 {
		c.issue(nil, k.unit, score.SetAside, "not scanned, and nothing else on the row", "")
		c.raise(c.slot, isSetAside)
		return
	}
	c.readings = append(c.readings, eventRow[score.Reading]{k, c.slot, c.num, score.Reading{Day: day, KM: km.Value, Unit: unit, Source: "scan sheet", Ref: c.ref()}})
}

// repair reads a row of workshop text.
func (c *converter) repair(k key) {
	day, undated, lost := c.eventDay(header.Date)
	if lost {
		return
	}
	km, unit := c.distance(header.Odometer, score.Noted)
	_ = unit
	text := c.text(header.Text)
	if text == "" {
		if km.Known && day != 0 {
			c.readings = append(c.readings, eventRow[score.Reading]{k, c.slot, c.num, score.Reading{Day: day, KM: km.Value, Unit: unit, Source: "repair", Ref: c.ref()}})
			return
		}
		c.setAside("the row holds no text of what was done", "")
		return
	}
	f := score.Repair{Day: day, KM: km, Text: c.intern(text), PartNo: c.name(header.PartNo), Cost: c.amount(header.Cost), Undated: undated, Ref: c.ref()}
	if s := c.text(header.Status); s != "" && !c.view.Layout.Has(header.Vehicles) {
		intent, ok := phrase.ParseStatus(s)
		if !ok {
			c.issue(c.at[header.Status][0], s, score.Noted, "not known as a status of a repair; the text decides", "write done, declined or recommended")
		}
		f.Status = intent
	}
	c.repairs = append(c.repairs, eventRow[score.Repair]{k, c.slot, c.num, f})
}

// inspection reads a row of findings.
func (c *converter) inspection(k key) {
	day, undated, lost := c.eventDay(header.Date)
	if lost {
		return
	}
	s := c.text(header.FindingField)
	if s == "" {
		c.setAside("the row holds no finding", "write worn, sound, not opened or failed")
		return
	}
	found, err := value.ParseFinding(s)
	if err != nil {
		c.refuse(c.at[header.FindingField][0], s, err, score.Rejected)
		return
	}
	km, _ := c.distance(header.Odometer, score.Noted)
	f := score.Inspection{Day: day, KM: km, Part: c.name(header.Part), Position: c.name(header.Position), Result: score.Result(found),
		By: c.name(header.By), Undated: undated, Ref: c.ref()}
	for _, col := range c.at[header.Measured] {
		if v, _, ok := c.number(col, score.Noted); ok {
			f.Measures = append(f.Measures, score.Measure{Name: col.Measure, Value: v})
		}
	}
	c.inspections = append(c.inspections, eventRow[score.Inspection]{k, c.slot, c.num, f})
}

// readingRow reads a row of odometer or hour readings.
func (c *converter) readingRow(k key) {
	if len(c.view.Layout.Holds) > 1 {
		return // the other kinds carry their own odometer
	}
	day, undated, lost := c.eventDay(header.Date)
	if lost {
		return
	}
	if undated {
		c.reject(nil, k.unit, "a reading without a day cannot be used", "fill in the date")
		return
	}
	km, unit := c.distance(header.Odometer, score.Rejected)
	hours := c.amount(header.EngineHours)
	source := c.name(header.Source)
	if source == "" {
		source = "readings"
	}
	if km.Known {
		c.readings = append(c.readings, eventRow[score.Reading]{k, c.slot, c.num, score.Reading{Day: day, KM: km.Value, Unit: unit, Source: source, Ref: c.ref()}})
	}
	if hours.Known {
		c.hours = append(c.hours, eventRow[score.Reading]{k, c.slot, c.num, score.Reading{Day: day, KM: hours.Value, Unit: value.Hour, Source: source, Ref: c.ref()}})
	}
	if !km.Known && !hours.Known && c.classes[c.slot] == pending {
		c.setAside("the row holds no reading", "")
	}
}

// asOf finds a day in a title above the headings: "Stand 25.11.2026", "as of
// 2026-11-25".
func asOf(cell string) (score.Day, bool) {
	for _, word := range strings.FieldsFunc(cell, func(r rune) bool { return r == ' ' || r == ',' || r == ':' || r == '(' || r == ')' }) {
		if len(word) < 8 || strings.Count(word, ".")+strings.Count(word, "-") != 2 {
			continue
		}
		if t, _, err := value.ParseDate(word, value.DateOptions{}); err == nil && t.Year() >= oldest {
			return dayOf(t), true
		}
	}
	return 0, false
}

// describe names a row's vehicle for a message.
func (k *key) describe() string {
	switch {
	case k.unit != "":
		return "unit " + k.unit
	case k.vinText != "":
		return "VIN " + k.vinText
	case k.registration != "":
		return "registration " + k.registration
	}
	return fmt.Sprintf("VIN beginning %s", k.prefix)
}

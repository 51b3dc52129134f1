package ingest

import (
	"cmp"
	"regexp"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// vehicleRow is one row of a vehicle sheet.
type vehicleRow struct {
	row     int32         // index into sheet.named
	vehicle score.Vehicle // what the row says of it, without facts that have a day
}

// vehicle reads a row of a vehicle sheet.
func (c *converter) vehicle(report *vin.Report) {
	r := c.named.at(c.rowAt())
	year, ok := c.year()
	if s := c.text(header.ModelYear); s != "" && !ok {
		c.issue(c.at[header.ModelYear][0], s, score.Noted, say.F("no model year; it is not used"), say.F("write four figures, such as 2017"))
		year = 0
	}
	v := score.Vehicle{
		Unit: r.unit, VIN: r.vin, VINPrefix: r.prefix, Registration: r.registration, Ref: c.ref(),
		Depot: c.word(header.Depot), Make: c.word(header.Make), Model: c.name(header.Model), ModelYear: year,
		EngineFamily: c.name(header.EngineFamily), EngineSerial: c.keep(c.text(header.EngineSerial)),
	}
	c.wholeName(&v)
	v.SetUse(c.use())
	v.BuildDate, _, _ = c.day(header.BuildDate, score.Noted)
	v.InService, _, _ = c.day(header.InServiceDate, score.Noted)
	v.NextService, _, _ = c.day(header.NextService, score.Noted)
	years(&v, report)
	c.status(&v)
	v.SetDesk(c.desk())
	c.vehicles.add(vehicleRow{c.rowAt(), v})
	c.byMonth()
	c.today(&v)
}

// betweenNames are what people write between make and model in one cell.
var betweenNames = regexp.MustCompile(`\s*[/|,;]\s*|\s+[-\x{2013}]\s+`)

// wholeName parts a cell that holds make and model, and a year before them maybe.
// Where nothing stands between the two, score reads the make's words off it.
func (c *converter) wholeName(v *score.Vehicle) {
	cols := c.at[header.Model]
	if len(cols) == 0 || !cols[0].MakeFirst || v.Model == "" {
		return
	}
	front, rest, _ := strings.Cut(v.Model, " ")
	if year, ok := c.modelYear(front); ok {
		v.Model = c.memory.intern(rest)
		v.ModelYear = cmp.Or(v.ModelYear, year)
	}
	if v.Make != "" {
		return // in a column of its own
	}
	if at := betweenNames.FindStringIndex(v.Model); at != nil && at[0] > 0 && at[1] < len(v.Model) {
		v.Make, v.Model = c.memory.intern(v.Model[:at[0]]), c.memory.intern(v.Model[at[1]:])
		return
	}
	v.MakeFirst = true
}

// use reads the columns that few sheets have.
func (c *converter) use() score.UseFacts {
	u := score.UseFacts{HoursPerWeek: c.amount(header.HoursPerWeek), HistoryFromHours: c.amount(header.HistoryFromHours)}
	u.KMPerWeek, _ = c.distance(header.KmPerWeek, score.Noted)
	u.HistoryFromKM, _ = c.distance(header.HistoryFromKm, score.Noted)
	u.DisposalKM, _ = c.distance(header.DisposalKm, score.Noted)
	u.DisposalDate, _, _ = c.day(header.DisposalDate, score.Noted)
	return u
}

// name is a word that names a kind of vehicle or engine; "" where a spreadsheet
// program seems to have turned it into a day, for then it would name none.
func (c *converter) name(f header.Field) string {
	s := c.text(f)
	if value.TurnedToPower(s) {
		c.issue(c.at[f][0], s, score.Noted, say.F("a power of ten stands here, as where a spreadsheet program turns a name such as 3E5 into one; it counts as not known"),
			say.F("format the column as text, and write the name again"))
		return ""
	}
	if !c.memory.isDay(s, !c.sheet.text, c.date1904) {
		return c.memory.intern(value.WholeName(s))
	}
	c.issue(c.at[f][0], s, score.Noted, say.F("a day stands here, as where a spreadsheet program turns a name such as 9-5 or 3-10 into one; it counts as not known"),
		say.F("format the column as text, and write the name again"))
	return ""
}

// years holds the stated model year against the VIN's.
func years(v *score.Vehicle, report *vin.Report) {
	if report == nil {
		return
	}
	v.VINYear = report.ModelYear
	v.YearConflict = report.Has(vin.ModelYear)
	if !report.YearBinding && !v.YearConflict && v.ModelYear != 0 {
		v.VINYear = v.ModelYear // a habit of the maker's says no more than the sheet
	}
}

// status reads whether the vehicle is in use and runs. On a sheet that holds
// repairs too, a word that only a repair can bear is left to it.
func (c *converter) status(v *score.Vehicle) {
	if s := c.text(header.Status); s != "" {
		st, err := value.ParseStatus(s)
		if yes, not := value.ParseYesNo(s); not == nil && header.AsksActive(c.at[header.Status][0].Heading) {
			if st, err = value.InUse, nil; !yes {
				st = value.OffRoad
			}
		}
		_, repair := c.repairIntent(s)
		if err != nil && !repair {
			c.refuse(c.at[header.Status][0], s, err, score.Noted)
		}
		v.Status = score.Status(st)
	}
	v.NotRunning = c.denied(header.Runs)
}

// denied tells that a column of yes and no says no.
func (c *converter) denied(f header.Field) bool {
	s := c.text(f)
	if s == "" {
		return false
	}
	yes, err := value.ParseYesNo(s)
	if err != nil {
		c.refuse(c.at[f][0], s, err, score.Noted)
		return false
	}
	return !yes
}

// desk reads the columns of the buying desks.
func (c *converter) desk() (d score.DeskFacts) {
	d.Lot, d.Lane, d.SaleOrder = c.keep(c.text(header.Lot)), c.keep(c.text(header.Lane)), c.keep(c.text(header.SaleOrder))
	d.GuidePrice, d.Price = c.amount(header.GuidePrice), c.amount(header.Price)
	d.WarrantyKM, _ = c.distance(header.WarrantyKm, score.Noted)
	d.WarrantyMonths = c.amount(header.WarrantyMonths)
	d.CannotOpen = c.denied(header.CanOpen)
	return d
}

// today reads the odometer, hours, codes and remarks that stand on a
// vehicle's row, dated by its odometer date, else by the sheet.
func (c *converter) today(v *score.Vehicle) {
	for _, col := range c.at[header.Remarks] {
		if s := c.present(col); s != "" {
			c.remarks.add(fact[score.Remark]{c.rowAt(), score.Remark{Text: c.words(s), Ref: c.ref()}})
		}
	}
	day, ok := c.todayIs()
	if !ok {
		return
	}
	if !c.view.Layout.Has(header.Repairs) {
		c.advised(day, score.Stated{})
	}
	km, unit := c.distance(header.Odometer, score.Noted)
	if km.Known && km.Value == 0 && v.ModelYear < c.file.opts.Day.Time().Year() {
		c.issue(c.at[header.Odometer][0], "0", score.Noted, say.F("an odometer of 0 counts as not known"), say.F("enter the reading, or leave the cell empty"))
		km = score.Stated{}
	}
	if km.Known && c.vouched() {
		on := day
		if c.readOn != 0 {
			on = c.readOn
			c.latest = max(c.latest, on)
		}
		c.reading(on, km, unit, odometer.FromVehicles)
	} else {
		km = score.Stated{}
	}
	h := c.readHours
	if own := c.amount(header.EngineHours); own.Known {
		h = own
	}
	if h.Known {
		c.hoursReading(day, h, odometer.FromVehicles)
	}
	if c.readOn != 0 && c.readOn != day {
		km = score.Stated{} // of another day than the codes
	}
	if codes, scanned, _ := c.codes(score.Noted); scanned {
		c.addScan(day, km, codes)
	}
}

// todayIs is the day of what a vehicle row says of today; 0 where the sheet
// gives it. What is dated after the run is not used, for a run for an earlier
// day must not know it; nor is what has a date that cannot be read.
func (c *converter) todayIs() (day score.Day, ok bool) {
	f := header.OdometerDate
	day, given, bad := c.day(f, score.SetAside)
	if !given && !bad {
		f = header.Date
		day, _, bad = c.day(f, score.SetAside)
	}
	if bad {
		return 0, false
	}
	if day > c.file.opts.Day {
		reason := say.F("dated %s, after the day of the run; the reading of this row is not used", say.ISODay(day))
		c.issue(c.at[f][0], c.text(f), score.SetAside, reason, say.F("correct the date, or run the list for a later day"))
		return 0, false
	}
	c.latest = max(c.latest, day)
	return day, true
}

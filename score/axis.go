package score

import (
	"math"

	"pitlist/score/odometer"
	"pitlist/score/say"
)

// daysPerMonth is the mean month of the Gregorian calendar (365.2425 / 12).
const daysPerMonth = 30.436875

// track places days on the three axes for one vehicle: odometer km, engine
// hours, months of age.
type track struct {
	today    Day
	odometer odometer.Estimate
	hours    odometer.Estimate
	born     Day // in service, built, or the middle of its model year; 0 unknown
}

// at returns the axis position on a day, and whether it is known. A position
// stated on the row (km) is taken where the axis is km and the reading agrees
// with the others: one that is odd, in miles, or of a counter since changed
// gives way to the day.
func (t *track) at(axis Axis, day Day, km Stated) (float64, bool) {
	if day == 0 || day > t.today {
		day = t.today
	}
	switch axis {
	case ByHours:
		return t.hours.KMAt(day), t.hours.Known
	case ByMonths:
		return math.Max(0, float64(day-t.born)/daysPerMonth), t.born != 0
	}
	if !t.odometer.Known {
		return km.Value, km.Known
	}
	at := t.odometer.KMAt(day)
	if km.Known && agrees(km.Value, at) {
		return km.Value, true
	}
	return at, true
}

// agrees tells that a row's own odometer may be that of a day on which the readings say at.
func agrees(km, at float64) bool {
	return math.Abs(km-at) <= math.Max(nearKM, nearShare*at)
}

// A row's own odometer agrees with the other readings within nearKM or
// nearShare of the distance, whichever is more (ours: below any mix of units,
// above what a fortnight's use adds).
const (
	nearKM    = 2000
	nearShare = 0.1
)

// now returns the position today.
func (t *track) now(axis Axis) (float64, bool) { return t.at(axis, t.today, Stated{}) }

// unreckoned says why nothing is judged of a part on the axis.
func (a Axis) unreckoned() say.Text {
	switch a {
	case ByHours:
		return say.F("no credible hours reading: nothing can be reckoned")
	case ByMonths:
		return say.F("no credible months reading: nothing can be reckoned")
	}
	return say.F("no credible km reading: nothing can be reckoned")
}

// perDay returns the use a day on the axis.
func (t *track) perDay(axis Axis) float64 {
	switch axis {
	case ByHours:
		return t.hours.PerWeek / 7
	case ByMonths:
		return 1 / daysPerMonth
	}
	return t.odometer.PerWeek / 7
}

// Born finds the day that the vehicle's age counts from: in service, built, or
// the middle of its model year. It is 0 where nothing tells.
func (v *Vehicle) Born() Day {
	switch {
	case v.InService != 0:
		return v.InService
	case v.BuildDate != 0:
		return v.BuildDate
	}
	year := v.ModelYear
	if year == 0 {
		year = v.VINYear
	}
	if year == 0 {
		return 0
	}
	return midYear(year)
}

// gather collects the readings of scans, repairs, inspections and sheets; of the rows
// without a day only one that tells how far the vehicle has gone since (undatedLast).
func gather(v *Vehicle, buf []odometer.Reading) []odometer.Reading {
	buf = buf[:0]
	add := func(day Day, km float64, unit, source string) {
		if day != 0 {
			buf = append(buf, odometer.Reading{Day: day, KM: km, Unit: unit, Source: source, Ref: len(buf)})
		}
	}
	last := undatedLast(v)
	event := func(day Day, undated bool, km Stated, source string) {
		if km.Known && (!undated || km.Value == last) {
			add(day, km.Value, "", source)
		}
	}
	for i := range v.Readings {
		r := &v.Readings[i]
		add(r.Day, r.KM, r.Unit, r.Source)
	}
	for i := range v.Scans {
		s := &v.Scans[i]
		event(s.Day, s.Undated, s.KM, odometer.FromScan)
	}
	for i := range v.Repairs {
		r := &v.Repairs[i]
		event(r.Day, r.Undated, r.KM, odometer.FromRepair)
	}
	for i := range v.Inspections {
		n := &v.Inspections[i]
		event(n.Day, n.Undated, n.KM, odometer.FromInspection)
	}
	return buf
}

package score

import (
	"math"

	"pitlist/score/odometer"
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
	bornFrom string
}

// at returns the axis position on a day, and whether it is known. A position
// stated on the row (km) is taken where the axis is km.
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
	if km.Known && km.Value >= 0 {
		return km.Value, true
	}
	return t.odometer.KMAt(day), t.odometer.Known
}

// now returns the position today.
func (t *track) now(axis Axis) (float64, bool) { return t.at(axis, t.today, Stated{}) }

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

// birth finds the day that the vehicle's age counts from, with the words that
// say whence.
func birth(v *Vehicle) (Day, string) {
	switch {
	case v.InService != 0:
		return v.InService, "in service"
	case v.BuildDate != 0:
		return v.BuildDate, "built"
	}
	year := v.ModelYear
	if year == 0 {
		year = v.VINYear
	}
	if year == 0 {
		return 0, ""
	}
	return midYear(year), "middle of its model year"
}

// gathered is the odometer readings of a vehicle from every sheet.
type gathered struct {
	readings []odometer.Reading
	place    []*Stated // the row's own km that the reading came from; nil for reading rows
}

// gather collects the readings of scans, repairs, inspections and sheets.
func gather(v *Vehicle, g *gathered) {
	g.readings, g.place = g.readings[:0], g.place[:0]
	add := func(day Day, km float64, unit, source string, place *Stated) {
		if day == 0 {
			return
		}
		g.readings = append(g.readings, odometer.Reading{Day: day, KM: km, Unit: unit, Source: source, Ref: len(g.place)})
		g.place = append(g.place, place)
	}
	for i := range v.Readings {
		r := &v.Readings[i]
		add(r.Day, r.KM, r.Unit, r.Source, nil)
	}
	for i := range v.Scans {
		if s := &v.Scans[i]; s.KM.Known {
			add(s.Day, s.KM.Value, "", "scan", &s.KM)
		}
	}
	for i := range v.Repairs {
		if r := &v.Repairs[i]; r.KM.Known {
			add(r.Day, r.KM.Value, "", "repair", &r.KM)
		}
	}
	for i := range v.Inspections {
		if n := &v.Inspections[i]; n.KM.Known {
			add(n.Day, n.KM.Value, "", "inspection", &n.KM)
		}
	}
}

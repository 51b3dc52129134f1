package odometer

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// shown names a reading as a person finds it: "62,137 km on 2026-11-01 (vehicle sheet)".
func (a *assessment) shown(i int) string {
	r := &a.readings[i]
	return kilometres(r.KM) + " on " + r.Day.String() + bracketed(r.Source)
}

// at names a point, whose distance may have been put right.
func (a *assessment) at(p point) string {
	return kilometres(p.km) + " on " + p.day.String() + bracketed(a.readings[p.index].Source)
}

func bracketed(source string) string {
	if source == "" {
		return ""
	}
	return " (" + source + ")"
}

// kilometres writes a distance in whole kilometres with marks for thousands.
func kilometres(km float64) string {
	if math.IsNaN(km) || math.IsInf(km, 0) || math.Abs(km) > maxNumber {
		return strconv.FormatFloat(km, 'g', 6, 64) + " km"
	}
	return thousands(km) + " km"
}

// thousands writes a rounded number with a mark every three digits.
func thousands(v float64) string {
	const group = 3
	s := strconv.FormatFloat(math.Abs(math.Round(v)), 'f', 0, 64)
	var b strings.Builder
	if v <= -0.5 {
		b.WriteByte('-')
	}
	for i := range len(s) {
		if i > 0 && (len(s)-i)%group == 0 {
			b.WriteByte(',')
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// unitWords says that a reading seems to be in miles (or in kilometres though taken for miles).
func (a *assessment) unitWords(i int, miles bool) string {
	v := a.readings[i].KM
	if miles {
		return a.shown(i) + " fits the other readings if it is in miles: " + kilometres(v*KMPerMile) +
			" was used; ask in which unit it was read."
	}
	return a.shown(i) + " fits the other readings if it was in kilometres and taken for miles: " + kilometres(v/KMPerMile) +
		" was used; ask in which unit it was read."
}

// slipWords says what a reading may be a slip of, and whether that was used.
func (a *assessment) slipWords(i int, v float64, used bool) string {
	s := a.shown(i) + " may have a slip of a digit: about " + kilometres(v) + " would fit; "
	if used {
		return s + "that was used; read the odometer again."
	}
	return s + "it was left out; read the odometer again."
}

// rolloverWords shows the two readings at a rollover; whether the counter has so few digits only the vehicle tells.
func (a *assessment) rolloverWords(f *fallOf, counter float64) string {
	return a.shown(f.first.index) + " after " + a.at(f.last) + " fits a counter that passed " + thousands(counter-1) +
		"; " + thousands(counter) + " was added; ask how many digits the counter has."
}

// counterWords shows the two readings at a change of the counter, of which there should be a record.
func (a *assessment) counterWords(f *fallOf) string {
	return a.shown(f.first.index) + " after " + a.at(f.last) +
		" may be a new counter; the distances were added; ask for the record of the change."
}

// blameRollback names the innocent reasons too: a sheet's reading is often older than the day it is given.
func (a *assessment) blameRollback(last, first point) {
	a.blame(SuspectedRollback, a.shown(first.index)+" after "+a.at(last)+
		" may have been wound back; or it is older than its date, or of another vehicle; the higher reading was carried on; ask for the papers behind both.")
}

// tooFast warns of stretches driven faster than the yearly limit; the readings stay in use.
func (a *assessment) tooFast(knots []knot) {
	for i := 1; i < len(knots); i++ {
		if !a.fast(point{day: knots[i-1].day, km: knots[i-1].km}, point{day: knots[i].day, km: knots[i].km}) {
			continue
		}
		a.blame(Implausible, kilometres(knots[i].km-knots[i-1].km)+" between "+knots[i-1].day.String()+" and "+knots[i].day.String()+
			" is more than "+kilometres(a.limits.WarnPerYear)+" a year; check both readings.")
		return
	}
}

// gravest returns the gravest finding and its sentence, with a count of the others of any kind.
func (a *assessment) gravest() (Finding, string) {
	if len(a.causes) == 0 {
		return None, ""
	}
	worst := a.causes[0]
	for _, c := range a.causes[1:] {
		if c.finding.gravity() > worst.finding.gravity() {
			worst = c
		}
	}
	switch n := len(a.causes) - 1; n {
	case 0:
		return worst.finding, worst.words
	case 1:
		return worst.finding, worst.words + " One more reading is in doubt."
	default:
		return worst.finding, worst.words + " " + strconv.Itoa(n) + " more readings are in doubt."
	}
}

// basis says in words what the estimate rests on.
func (a *assessment) basis(e *Estimate, last Day, slopeOf int) string {
	b := make([]byte, 0, 96)
	b = append(b, "reading of "...)
	b = last.Time().AppendFormat(b, time.DateOnly)
	days := int64(e.today) - int64(last)
	if days == 0 {
		return string(b)
	}
	b = append(b, " carried "...)
	b = strconv.AppendInt(b, days, 10)
	b = append(b, " day"...)
	if days > 1 {
		b = append(b, 's')
	}
	b = append(b, " at "...)
	b = strconv.AppendFloat(b, math.Round(e.PerWeek), 'f', 0, 64)
	b = append(b, " km a week ("...)
	return string(append(a.why(b, slopeOf), ')'))
}

// why adds what the usage rests on.
func (a *assessment) why(b []byte, slopeOf int) []byte {
	switch {
	case a.usage.Stated > 0:
		return append(b, "as stated"...)
	case slopeOf > 0:
		b = append(b, "slope of "...)
		b = strconv.AppendInt(b, int64(slopeOf), 10)
		return append(b, " readings"...)
	case a.usage.Default == 0:
		return append(b, "no use known"...)
	}
	return append(b, "default of the job"...)
}

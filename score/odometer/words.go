package odometer

import (
	"math"
	"strconv"

	"pitlist/score/say"
)

// shown names a reading as a person finds it: "62,137 km on 2026-11-01 (vehicle sheet)".
func (a *assessment) shown(i int) say.Text {
	r := &a.readings[i]
	return a.placed(r.KM, r.Day, r.Source)
}

// at names a point, whose distance may have been put right.
func (a *assessment) at(p point) say.Text {
	return a.placed(p.km, p.day, a.readings[p.index].Source)
}

func (a *assessment) placed(km float64, day Day, source string) say.Text {
	if source == "" {
		return say.F("%s on %s", a.distance(km), say.ISODay(day))
	}
	return say.F("%s on %s (%s)", a.distance(km), say.ISODay(day), from(source))
}

// from words where a reading was found; a source of somebody's own stays as it is.
func from(source string) say.Text {
	switch source {
	case FromScan:
		return say.F("scan")
	case FromScanSheet:
		return say.F("scan sheet")
	case FromRepair:
		return say.F("repair")
	case FromInspection:
		return say.F("inspection")
	case FromVehicles:
		return say.F("vehicle sheet")
	case FromReadings:
		return say.F("readings")
	case FromMonth:
		return say.F("month's column")
	case FromReturned:
		return say.F("returned list")
	}
	return say.Plain(source)
}

// distance writes a distance in whole kilometres, or hours, with marks for thousands.
func (a *assessment) distance(km float64) say.Text {
	if math.IsNaN(km) || math.IsInf(km, 0) || math.Abs(km) > maxNumber {
		return a.usage.Unit.of(say.Plain(strconv.FormatFloat(km, 'g', 6, 64)))
	}
	return a.usage.Unit.of(say.Whole(km))
}

// of puts the unit behind a number.
func (u Unit) of(number say.Value) say.Text {
	if u == Hours {
		return say.F("%s h", number)
	}
	return say.F("%s km", number)
}

// unitWords says that a reading seems to be in miles (or in kilometres though taken for miles).
func (a *assessment) unitWords(i int, miles bool) say.Text {
	v := a.readings[i].KM
	if miles {
		return say.F("%s fits the other readings if it is in miles: %s was used; ask in which unit it was read.",
			a.shown(i), a.distance(v*KMPerMile))
	}
	return say.F("%s fits the other readings if it was in kilometres and taken for miles: %s was used; ask in which unit it was read.",
		a.shown(i), a.distance(v/KMPerMile))
}

// slipWords says what a reading may be a slip of, and whether that was used.
func (a *assessment) slipWords(i int, v float64, used bool) say.Text {
	if used {
		return say.F("%s may have a slip of a digit: about %s would fit; that was used; read the odometer again.", a.shown(i), a.distance(v))
	}
	return say.F("%s may have a slip of a digit: about %s would fit; it was left out; read the odometer again.", a.shown(i), a.distance(v))
}

// rolloverWords shows the two readings at a rollover; whether the counter has so few digits only the vehicle tells.
func (a *assessment) rolloverWords(f *fallOf, counter float64) say.Text {
	return say.F("%s after %s fits a counter that passed %s; %s was added; ask how many digits the counter has.",
		a.shown(f.first.index), a.at(f.last), say.Whole(counter-1), say.Whole(counter))
}

// counterWords shows the two readings at a change of the counter, of which there should be a record.
func (a *assessment) counterWords(f *fallOf) say.Text {
	return say.F("%s after %s may be a new counter; the distances were added; ask for the record of the change.",
		a.shown(f.first.index), a.at(f.last))
}

// blameRollback names the innocent reasons too: a sheet's reading is often older than the day it is given.
func (a *assessment) blameRollback(last, first point) {
	a.blame(SuspectedRollback, say.F("%s after %s may have been wound back; or it is older than its date, or of another vehicle; "+
		"the higher reading was carried on; ask for the papers behind both.", a.shown(first.index), a.at(last)))
}

// tooFast warns of stretches driven faster than the yearly limit; the readings stay in use.
func (a *assessment) tooFast(knots []knot) {
	for i := 1; i < len(knots); i++ {
		if !a.fast(point{day: knots[i-1].day, km: knots[i-1].km}, point{day: knots[i].day, km: knots[i].km}) {
			continue
		}
		a.blame(Implausible, say.F("%s between %s and %s is more than %s a year; check both readings.",
			a.distance(knots[i].km-knots[i-1].km), say.ISODay(knots[i-1].day), say.ISODay(knots[i].day), a.distance(a.limits.WarnPerYear)))
		return
	}
}

// gravest returns the gravest finding and its sentence, with a count of the others of any kind.
func (a *assessment) gravest() (Finding, say.Text) {
	if len(a.causes) == 0 {
		return None, say.Text{}
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
		return worst.finding, say.Join(" ", worst.words, say.F("One more reading is in doubt."))
	default:
		return worst.finding, say.Join(" ", worst.words, say.F("%d more readings are in doubt.", n))
	}
}

// Say words the finding: "suspected rollback"; nothing for None.
func (f Finding) Say() say.Text {
	switch f {
	case Implausible:
		return say.F("implausible")
	case DigitSlip:
		return say.F("digit slip")
	case UnitMixUp:
		return say.F("unit mix-up")
	case Rollover:
		return say.F("rollover")
	case CounterChange:
		return say.F("counter change")
	case SuspectedRollback:
		return say.F("suspected rollback")
	}
	return say.Text{}
}

// pace is what an estimate rests on.
type pace uint8

const (
	unasked    pace = iota // nothing was assessed
	unread                 // no reading
	incredible             // none that is credible
	asStated               // carried at the use stated for the vehicle
	bySlope                // at that of its readings
	byDefault              // at the job's
	still                  // at none: no use is known
)

// paceOf tells what the use rests on.
func (a *assessment) paceOf(slopeOf int) pace {
	switch {
	case a.usage.Stated > 0:
		return asStated
	case slopeOf > 0:
		return bySlope
	case a.usage.Default == 0:
		return still
	}
	return byDefault
}

// Basis says what the estimate rests on: "reading of 2026-11-20 carried 5 days at 430 km a week (slope of 6 readings)".
// It is worded where it is written: a large fleet has as many as vehicles, and few are looked at.
func (b *Brief) Basis() say.Text {
	switch _, _, known := b.Last(); {
	case b.pace == incredible:
		return say.F("no credible reading")
	case b.pace == unread:
		return say.F("no reading")
	case !known:
		return say.Text{}
	}
	return say.Of((*basis)(b))
}

// The words of an estimate: what it rests on, the use that carries it, and whence that.
type (
	basis Brief
	use   Brief
	why   Brief
)

func (b *basis) AppendIn(to []byte, l *say.Language) []byte {
	last := say.ISODay(b.last.day)
	switch days := int(b.today) - int(b.last.day); days {
	case 0:
		return l.AppendF(to, "reading of %s", last)
	case 1:
		return l.AppendF(to, "reading of %s carried 1 day at %s a week (%s)", last, (*use)(b), (*why)(b))
	default:
		return l.AppendF(to, "reading of %s carried %d days at %s a week (%s)", last, days, (*use)(b), (*why)(b))
	}
}

func (b *use) AppendIn(to []byte, l *say.Language) []byte {
	return b.unit.of(say.Number(math.Round(b.PerWeek))).AppendIn(to, l)
}

func (b *why) AppendIn(to []byte, l *say.Language) []byte {
	switch b.pace {
	case asStated:
		return l.AppendF(to, "as stated")
	case bySlope:
		return l.AppendF(to, "slope of %d readings", int(b.slopeOf))
	case still:
		return l.AppendF(to, "no use known")
	}
	return l.AppendF(to, "default of the job")
}

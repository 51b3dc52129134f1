package odometer

import (
	"math"
	"time"

	"pitlist/score/say"
)

// Day is a calendar day, counted from 1970-01-01.
type Day int32

const secondsADay = 24 * 60 * 60

// DayOf returns the calendar day that t shows in its own zone: a reading belongs to the day on the
// clock of whoever took it.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / secondsADay)
}

// Time returns the start of the day in UTC.
func (d Day) Time() time.Time { return time.Unix(int64(d)*secondsADay, 0).UTC() }

// String returns the day as 2006-01-02.
func (d Day) String() string { return d.Time().Format(time.DateOnly) }

// KMPerMile is exact by definition of the international mile (1959).
const KMPerMile = 1.609344

// Reading is one dated odometer reading.
type Reading struct {
	Day    Day
	KM     float64 // already converted by its stated unit
	Unit   string  // "km" or "mi" as stated; "" not stated
	Source string  // one of the sources below, or a name of the fleet's own
	Ref    int     // the caller's key; only orders readings that are otherwise equal
}

// The sources of readings that are worded in every language.
const (
	FromScan       = "scan"
	FromScanSheet  = "scan sheet"
	FromRepair     = "repair"
	FromInspection = "inspection"
	FromVehicles   = "vehicle sheet"
	FromReadings   = "readings" // a list of readings that names no source
	FromMonth      = "month's column"
	FromReturned   = "returned list"
)

// Usage is what is known of the distance a vehicle covers.
type Usage struct {
	Stated  float64 // km a week as given for the vehicle, taken as given; 0 none
	Default float64 // km a week of the job, where the readings tell no slope
	Unit    Unit    // what is read: only the words differ
}

// Unit is what a counter counts.
type Unit uint8

// The units; all that is said of kilometres here holds of engine hours too.
const (
	Kilometres Unit = iota
	Hours
)

// Limits say what is credible. The zero value is for a light vehicle.
type Limits struct {
	Heavy          bool    // over 4,536 kg: other defaults below
	Highest        float64 // km; default 2,000,000 (ours). A reading above it, or below 0, is set aside
	WarnPerYear    float64 // km a year; default 60,000 miles, heavy 200,000 miles (ours). Above it: implausible, but kept
	MostPerYear    float64 // km a year; default twice WarnPerYear (ours). Above it two readings cannot both be right
	FallShare      float64 // share of a reading; default 0.01 (ours). A smaller fall is rounding
	SlopeDays      int     // days; default 730 (ours): the recent past that tells the usage
	SlopeLeastDays int     // days; default 28 (ours): readings closer together tell no slope
}

// Slacks that do not deserve a knob; all ours.
const (
	fallKM    = 20   // km: a fall that is within reading error whatever the distance
	burstKM   = 1500 // km: what a day or two on the road can add beyond the yearly limit
	unusualKM = 5e5  // km: more than this on a light vehicle may be a digit too many
	heavierBy = 3    // the same for a heavy vehicle, as a multiple
)

// withDefaults fills in what is zero.
func (l Limits) withDefaults() Limits {
	warn := 60000 * KMPerMile
	if l.Heavy {
		warn = 200000 * KMPerMile
	}
	l.Highest = positive(l.Highest, 2e6)
	l.WarnPerYear = positive(l.WarnPerYear, warn)
	l.MostPerYear = positive(l.MostPerYear, 2*l.WarnPerYear)
	l.FallShare = positive(l.FallShare, 0.01)
	if l.SlopeDays <= 0 {
		l.SlopeDays = 730
	}
	if l.SlopeLeastDays <= 0 {
		l.SlopeLeastDays = 28
	}
	return l
}

// positive returns v, or otherwise where v is no positive number.
func positive(v, otherwise float64) float64 {
	if v > 0 && v <= maxNumber {
		return v
	}
	return otherwise
}

const (
	maxNumber   = 1e12
	daysPerYear = 365.25
	daysPerWeek = 7
)

// mostPerDay is MostPerYear by the day.
func (l *Limits) mostPerDay() float64 { return l.MostPerYear / daysPerYear }

// slack is the fall from km that is still rounding.
func (l *Limits) slack(km float64) float64 { return max(l.FallShare*km, fallKM) }

// unusual is the distance above which a digit too many is thought of first.
func (l *Limits) unusual() float64 {
	if l.Heavy {
		return heavierBy * unusualKM
	}
	return unusualKM
}

// Finding is the likely cause of readings that do not agree.
type Finding string

// The findings. Of several, an Estimate names the gravest, which is the last in this list.
const (
	None              Finding = "none"
	Implausible       Finding = "implausible"
	DigitSlip         Finding = "digit slip"
	UnitMixUp         Finding = "unit mix-up"
	Rollover          Finding = "rollover"
	CounterChange     Finding = "counter change"
	SuspectedRollback Finding = "suspected rollback"
)

// gravity orders the findings.
func (f Finding) gravity() int {
	for i, g := range [...]Finding{None, Implausible, DigitSlip, UnitMixUp, Rollover, CounterChange, SuspectedRollback} {
		if f == g {
			return i
		}
	}
	return 0
}

// Estimate is the distance driven by the day asked for, and what was thought of the readings.
type Estimate struct {
	Brief
	Used []int // indices of readings kept, some of them as put right, in order of day
	Odd  []int // indices of readings left out, in order of day; those after the day asked for are in neither

	knots []knot // kept readings, one a day, never falling
}

// Brief is an estimate without the way there: of its readings the last alone, which
// is what lists and slips speak of. A large fleet's estimates are kept so.
type Brief struct {
	KM      float64 // distance on the day asked for; 0 where not Known
	PerWeek float64 // km a week used to carry
	Finding Finding
	Detail  say.Text // the readings that show the finding, and what to ask for; nothing for None
	Known   bool     // false: no credible reading

	pace    pace
	unit    Unit
	seen    bool // last is a reading
	today   Day
	slopeOf int32 // readings behind the slope
	last    knot
}

// knot is a day at which the distance is known.
type knot struct {
	day Day
	km  float64
}

// Last returns the day and the distance of the last kept reading; false where there is none.
func (b *Brief) Last() (Day, float64, bool) { return b.last.day, b.last.km, b.seen }

// KMAt carries the estimate to another day: between kept readings by a straight line, before the
// first and after the last at PerWeek. It never decreases with the day, is never negative, and on a
// day up to the one asked for never exceeds KM. Without a credible reading it is 0.
func (e *Estimate) KMAt(d Day) float64 {
	n := len(e.knots)
	if n == 0 {
		return 0
	}
	first, last := e.knots[0], e.knots[n-1]
	switch {
	case d < first.day:
		return max(0, first.km-e.carry(first.day, d))
	case d >= last.day:
		return last.km + e.carry(d, last.day)
	}
	lo, hi := 0, n-1 // knots[lo].day <= d < knots[hi].day
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; e.knots[mid].day <= d {
			lo = mid
		} else {
			hi = mid
		}
	}
	return between(e.knots[lo], e.knots[hi], d)
}

// DayAt is the day on which the distance reaches km: KMAt the other way round, cut down to a
// whole day. Where the vehicle does not move it is the first day with that distance, and of a
// distance that no day has, that of the nearest reading.
func (e *Estimate) DayAt(km float64) Day {
	n := len(e.knots)
	if n == 0 {
		return 0
	}
	i := 0
	for i < n && e.knots[i].km < km {
		i++
	}
	at := func(k knot, perDay float64) Day {
		if perDay <= 0 {
			return k.day
		}
		const century = 36525 // days: no vehicle's story is longer
		return k.day + Day(max(-century, min(math.Floor((km-k.km)/perDay), century)))
	}
	switch {
	case i == 0:
		return at(e.knots[0], e.PerWeek/daysPerWeek)
	case i == n:
		return at(e.knots[n-1], e.PerWeek/daysPerWeek)
	}
	a, b := e.knots[i-1], e.knots[i]
	return at(a, (b.km-a.km)/(float64(b.day)-float64(a.day)))
}

// carry is the distance at PerWeek from one day to a later one.
func (e *Estimate) carry(later, earlier Day) float64 {
	return (float64(later) - float64(earlier)) / daysPerWeek * e.PerWeek
}

// between interpolates; the cut keeps rounding from passing b.
func between(a, b knot, d Day) float64 {
	share := (float64(d) - float64(a.day)) / (float64(b.day) - float64(a.day))
	return min(b.km, a.km+share*(b.km-a.km))
}

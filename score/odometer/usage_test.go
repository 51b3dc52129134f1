package odometer

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// TestUsage: which usage carries the last reading, and how the basis says it.
func TestUsage(t *testing.T) {
	const last = 20000 + 5*91
	steady := series(20000, 91, 50000, 55850, 61700, 67550, 73400, 79250) // 450 km a week
	tests := []struct {
		name     string
		readings []Reading
		days     Day // from the last reading to the day asked for
		usage    Usage
		perWeek  float64
		basis    string
	}{
		{"slope of the readings", steady, 14, Usage{Default: 100}, 450, "reading of 2026-01-02 carried 14 days at 450 km a week (slope of 6 readings)"},
		{"stated use beats the slope", steady, 1, Usage{Stated: 700, Default: 100}, 700, "reading of 2026-01-02 carried 1 day at 700 km a week (as stated)"},
		{"a reading of the day itself is not carried", steady, 0, Usage{Default: 100}, 450, "reading of 2026-01-02"},
		{"one reading tells no slope", series(last, 1, 50000), 7, Usage{Default: 430}, 430, "reading of 2026-01-02 carried 7 days at 430 km a week (default of the job)"},
		{"readings of 20 days tell no slope", series(last-20, 20, 50000, 52000), 7, Usage{Default: 430}, 430, "reading of 2026-01-02 carried 7 days at 430 km a week (default of the job)"},
		{"readings of 28 days do", series(last-28, 28, 50000, 52000), 7, Usage{Default: 430}, 500, "reading of 2026-01-02 carried 7 days at 500 km a week (slope of 2 readings)"},
		{"no reading", nil, 7, Usage{Default: 430}, 430, "no reading"},
		{"only a reading of 0, which sheets write for not known", series(last, 1, 0), 7, Usage{Default: 430}, 430, "no credible reading"},
		{"no usage at all carries nothing", series(last, 1, 50000), 7, Usage{}, 0, "reading of 2026-01-02 carried 7 days at 0 km a week (no use known)"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e := Assess(tt.readings, last+tt.days, tt.usage, Limits{})
			assert.InDelta(t, tt.perWeek, e.PerWeek, 1e-9)
			assert.Equal(t, tt.basis, e.Basis().String())
			assert.Equal(t, None, e.Finding)
		})
	}
}

// TestRecentPastWeighs: a vehicle that changed from 1,000 to 200 km a week two years ago is carried at 200.
func TestRecentPastWeighs(t *testing.T) {
	readings := series(18000, 70, 0, 10000, 20000, 30000, 40000, 50000, 60000, 70000, 80000, 90000, 100000, 110000)
	readings = append(readings, series(19000, 140, 114000, 118000, 122000, 126000, 130000, 134000)...)
	e := Assess(readings, 19700+7, Usage{Default: 450}, Limits{})
	assert.InDelta(t, 200, e.PerWeek, 1e-9)
	assert.InDelta(t, 134200, e.KM, 1e-6)
}

// TestTheilSen is the median of pairwise slopes, by hand: points (0,0) (1,1) (2,2) (3,9) give slopes
// 1, 1, 3, 1, 4, 7, median (1+3)/2 = 2.
func TestTheilSen(t *testing.T) {
	assert.InDelta(t, 2.0, theilSen([]knot{{0, 0}, {1, 1}, {2, 2}, {3, 9}}), 1e-12)
	assert.InDelta(t, 1.0, theilSen([]knot{{0, 0}, {1, 1}, {2, 2}}), 1e-12)
	assert.InDelta(t, 1.0, theilSen([]knot{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 40}}), 1e-12, "one wild reading of five moves nothing")
}

// TestManyReadingsAreThinned: 1,000 readings on a line give its slope, and both ends stay.
func TestManyReadingsAreThinned(t *testing.T) {
	var knots []knot
	for i := range 1000 {
		knots = append(knots, knot{Day(i), 60 * float64(i)})
	}
	few := thin(knots)
	assert.Len(t, few, mostKnots)
	assert.Equal(t, knots[0], few[0])
	assert.Equal(t, knots[999], few[mostKnots-1])
	assert.InDelta(t, 60, theilSen(few), 1e-9)
}

// TestKMAt: between readings a straight line, outside at the usage.
func TestKMAt(t *testing.T) {
	e := Assess(series(20000, 70, 10000, 15000, 19000), 20140, Usage{Stated: 700}, Limits{})
	tests := []struct {
		name string
		day  Day
		want float64
	}{
		{"on a reading", 20070, 15000},
		{"halfway between two", 20035, 12500},
		{"before the first, at the usage", 19993, 9300},
		{"long before, never negative", 15000, 0},
		{"on the last", 20140, 19000},
		{"after the last, at the usage", 20154, 20400},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.InDelta(t, tt.want, e.KMAt(tt.day), 1e-9) })
	}
	assert.Zero(t, (&Estimate{}).KMAt(20000), "no reading, no distance")
}

// TestSameDay: readings of one day that differ a little are one reading, the higher.
func TestSameDay(t *testing.T) {
	readings := append(series(20000, 90, 50000, 55000), Reading{Day: 20090, KM: 55120})
	e := Assess(readings, 20090, Usage{Default: 450}, Limits{})
	assert.Equal(t, None, e.Finding)
	assert.InDelta(t, 55120, e.KM, 1e-9)
	assert.ElementsMatch(t, []int{0, 1, 2}, e.Used)
}

// TestSameDayInMilesAndKilometres: the same odometer on two sheets, one of them in miles.
func TestSameDayInMilesAndKilometres(t *testing.T) {
	e := Assess([]Reading{{Day: 20000, KM: 100000}, {Day: 20000, KM: 62137}}, 20000, Usage{Default: 450}, Limits{})
	assert.Equal(t, UnitMixUp, e.Finding)
	assert.InDelta(t, 100000, e.KM, 1)
}

// TestHeavyLimit: 150,000 km a year is doubted on a light vehicle and usual on a heavy one.
func TestHeavyLimit(t *testing.T) {
	readings := series(20000, 90, 100000, 137000, 174000)
	assert.Equal(t, Implausible, Assess(readings, 20180, Usage{}, Limits{}).Finding)
	assert.Equal(t, None, Assess(readings, 20180, Usage{}, Limits{Heavy: true}).Finding)
}

// TestDay: a day is the one on the clock of whoever read, in any zone and before 1970 too.
func TestDay(t *testing.T) {
	east := time.FixedZone("east", 10*60*60)
	assert.Equal(t, Day(0), DayOf(time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)))
	assert.Equal(t, Day(20782), DayOf(time.Date(2026, 11, 25, 3, 0, 0, 0, east)))
	assert.Equal(t, Day(-1), DayOf(time.Date(1969, 12, 31, 23, 0, 0, 0, time.UTC)))
	assert.Equal(t, "2026-11-25", Day(20782).String())
	assert.Equal(t, Day(20782), DayOf(Day(20782).Time()))
}

// mess is what a wrong join makes: thousands of readings of many vehicles under one number.
func mess(n int) []Reading {
	var readings []Reading
	for i := range n {
		readings = append(readings, Reading{Day: Day(18000 + i/9), KM: float64(i * 7919 % 1000000), Ref: i})
	}
	return readings
}

// TestMessIsBounded: every reading of a wrong join is kept or left out, and something is found.
func TestMessIsBounded(t *testing.T) {
	readings := mess(3000)
	e := Assess(readings, today, Usage{Default: 450}, Limits{})
	assert.Len(t, append(e.Used, e.Odd...), len(readings))
	assert.NotEqual(t, None, e.Finding)
	assert.Contains(t, e.Detail.String(), "more readings are in doubt")
}

// TestBriefKeepsWhatListsSpeakOf: the last of the readings that were kept, and what rests on it.
func TestBriefKeepsWhatListsSpeakOf(t *testing.T) {
	readings := []Reading{{Day: 100, KM: 10_000}, {Day: 200, KM: 22_000}, {Day: 300, KM: 31_000}, {Day: 310, KM: 3_200}}
	e := Assess(readings, 320, Usage{Default: 400}, Limits{})
	day, km, known := e.Last()
	assert.True(t, known)
	assert.Equal(t, []any{Day(300), 31_000.0}, []any{day, km})
	assert.Contains(t, e.Basis().String(), "reading of 1970-10-28 carried 20 days", "310 is left out, 300 is the last")
	_, _, known = (&Brief{}).Last()
	assert.False(t, known)
}

// TestDayAt is KMAt the other way round.
func TestDayAt(t *testing.T) {
	e := Assess(series(20000, 70, 10000, 15000, 19000), 20140, Usage{Stated: 700}, Limits{})
	for _, tt := range []struct {
		name string
		km   float64
		want Day
	}{
		{"on a reading", 15000, 20070},
		{"halfway between two", 12500, 20035},
		{"within a day, the day's beginning", 12549, 20035},
		{"before the first, at the usage", 9300, 19993},
		{"after the last, at the usage", 20400, 20154},
	} {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, e.DayAt(tt.km)) })
	}
	assert.Zero(t, (&Estimate{}).DayAt(20000), "no reading, no day")
	stands := Assess([]Reading{{Day: 20000, KM: 500}, {Day: 20100, KM: 500}}, 20140, Usage{}, Limits{})
	assert.Equal(t, Day(20000), stands.DayAt(500))
	assert.Equal(t, Day(20000), stands.DayAt(100), "one that does not move was there always")
}

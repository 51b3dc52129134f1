package timetable

import (
	"time"

	"github.com/robfig/cron/v3"
)

// Times are the times of one cron line on the clock of one time zone. The zero
// value is unusable; see Parse.
type Times struct {
	line cron.Schedule
	zone *time.Location
}

// Moment is one scheduled time. Its zero value means that there is none.
type Moment struct {
	At    time.Time // the instant, in the zone of the timetable
	Clock time.Time // what the cron line says, as a reading of the clock: in UTC, whatever the zone
}

// IsZero tells that there is no such time.
func (m Moment) IsZero() bool { return m.At.IsZero() }

// Day is the local date of the scheduled time, at midnight UTC. It is the date
// that the cron line means, also where the clock jumps over that time.
func (m Moment) Day() time.Time {
	y, month, d := m.Clock.Date()
	return time.Date(y, month, d, 0, 0, 0, 0, time.UTC)
}

// Parse reads a cron line of five fields, or @daily and the like. The zone is
// not nil. A line that carries a zone of its own or counts from the program's
// start (@every) is the caller's to refuse.
func Parse(line string, zone *time.Location) (*Times, error) {
	schedule, err := cron.ParseStandard(line)
	if err != nil {
		return nil, err
	}
	return &Times{schedule, zone}, nil
}

// Next is the first scheduled time after an instant, the zero Moment where
// there is none within fifteen years. Times of the line that fall on one
// instant, because the clock jumps over them, are one Moment: the latest.
func (t *Times) Next(after time.Time) Moment {
	// At any reading up to that of the clock now, the time has come already:
	// later readings never come earlier. So the search begins at the reading;
	// while an hour is shown for the second time, it passes over that hour.
	reading := onWall(after.In(t.zone))
	for {
		reading = t.nextReading(reading)
		if reading.IsZero() {
			return Moment{}
		}
		if at := instant(reading, t.zone); at.After(after) {
			return t.latestAt(Moment{at, reading})
		}
	}
}

// latestAt goes on to the last reading that falls on the same instant.
func (t *Times) latestAt(m Moment) Moment {
	for {
		reading := t.nextReading(m.Clock)
		if reading.IsZero() || !instant(reading, t.zone).Equal(m.At) {
			return m
		}
		m.Clock = reading
	}
}

// nextReading asks cron, which looks five years ahead: between 2096 and 2104
// there are eight without a 29 February.
func (t *Times) nextReading(after time.Time) time.Time {
	for range 3 {
		if next := t.line.Next(after); !next.IsZero() {
			return next
		}
		after = after.AddDate(5, 0, 0)
	}
	return time.Time{}
}

// mostCounted is as far as missed times are counted one by one; a cron line of
// every minute misses half a million in a year, and nobody reads that figure.
const mostCounted = 1000

// Since gives the latest scheduled time in (after, until] and how many there
// are in all, counted up to a thousand; the zero Moment and 0 where there is
// none.
func (t *Times) Since(after, until time.Time) (latest Moment, count int) {
	for m := t.Next(after); !m.IsZero() && !m.At.After(until); m = t.Next(m.At) {
		latest = m
		if count++; count == mostCounted {
			return t.Last(until), count
		}
	}
	return latest, count
}

// windows are how far back Last looks, the nearest first: a line seldom holds
// many times in the first window that holds any.
var windows = []time.Duration{time.Hour, 25 * time.Hour, 32 * 24 * time.Hour, 367 * 24 * time.Hour, 15 * 366 * 24 * time.Hour}

// Last is the latest scheduled time that is not after an instant, the zero
// Moment where there is none in the fifteen years before.
func (t *Times) Last(until time.Time) Moment {
	for _, back := range windows {
		var latest Moment
		for m := t.Next(until.Add(-back)); !m.IsZero() && !m.At.After(until); m = t.Next(m.At) {
			latest = m
		}
		if !latest.IsZero() {
			return latest
		}
	}
	return Moment{}
}

// onWall is what the clock shows, as a time in UTC.
func onWall(t time.Time) time.Time {
	y, month, d := t.Date()
	return time.Date(y, month, d, t.Hour(), t.Minute(), t.Second(), t.Nanosecond(), time.UTC)
}

// instant is when the clock of a zone first shows a reading, or when it jumps
// over it. time.Date promises neither.
func instant(reading time.Time, zone *time.Location) time.Time {
	y, month, d := reading.Date()
	near := time.Date(y, month, d, reading.Hour(), reading.Minute(), reading.Second(), reading.Nanosecond(), zone)
	start, end := near.ZoneBounds()
	// The clock is right with one of three offsets: that of the time found, or
	// those before and after it. The earliest that shows the reading counts.
	var first time.Time
	for _, inside := range []time.Time{before(start), near, end} {
		if inside.IsZero() {
			continue
		}
		if at := with(reading, inside); onWall(at).Equal(reading) && (first.IsZero() || at.Before(first)) {
			first = at
		}
	}
	if !first.IsZero() {
		return first
	}
	// None shows it: it lies in a jump, at one end of the time found.
	if jump := start; !jump.IsZero() && jumpsOver(reading, jump) {
		return jump.In(zone)
	}
	return end.In(zone)
}

// before is the last moment before a change of the clock; none for none.
func before(change time.Time) time.Time {
	if change.IsZero() {
		return change
	}
	return change.Add(-time.Nanosecond)
}

// with is the instant at which a clock with the offset of another instant shows
// the reading.
func with(reading, inside time.Time) time.Time {
	_, offset := inside.Zone()
	return reading.Add(-time.Duration(offset) * time.Second).In(inside.Location())
}

// jumpsOver tells whether a change of the clock leaves out the reading.
func jumpsOver(reading, change time.Time) bool {
	_, old := before(change).Zone()
	from := change.UTC().Add(time.Duration(old) * time.Second)
	return !reading.Before(from) && reading.Before(onWall(change))
}

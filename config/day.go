package config

import (
	"regexp"
	"time"

	"pitlist/score"
)

const secondsADay = 24 * 60 * 60

func dayOf(t time.Time) score.Day { return score.Day(t.Unix() / secondsADay) }

// day reads one date; 0 where none is written or it is at fault.
func day(f field) score.Day {
	if !f.scalar("a date") {
		return 0
	}
	from, _, ok := parseDay(f.node.Value)
	if !ok || !fullDate.MatchString(f.node.Value) {
		f.faultf("write year-month-day: 2019-05-01", "%s is %q, which is no date", f.name(), shorten(f.node.Value))
		return 0
	}
	return from
}

var fullDate = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)

// parseDay reads a day, or a month as its first and last day. Years lie within
// what a vehicle can have, which also keeps day 0 (1970-01-01) out.
func parseDay(text string) (first, last score.Day, ok bool) {
	t, err := time.Parse(time.DateOnly, text)
	end := t
	if err != nil {
		if t, err = time.Parse("2006-01", text); err != nil {
			return 0, 0, false
		}
		end = t.AddDate(0, 1, -1)
	}
	if t.Year() < 1971 || t.Year() > 2100 {
		return 0, 0, false
	}
	return dayOf(t), dayOf(end), true
}

// dateRange is one date or two; a missing end with dots is open.
var dateRange = regexp.MustCompile(`^(\d{4}-\d{2}(?:-\d{2})?)?(?:(\s*(?:\.\.|–|-|/)\s*|\s+to\s+)(\d{4}-\d{2}(?:-\d{2})?)?)?$`)

// buildDate reads 2015-03-01..2016-02-28, 2015-03 - 2016-02, 2015-03-01.. and
// ..2016-02-28; months count whole.
func buildDate(f field, text string) (score.DayRange, bool) {
	bad := func(problem string) (score.DayRange, bool) {
		f.fault("build_date "+shorten(text)+" "+problem, "write 2015-03-01..2016-02-28; an open end is left out: 2015-03-01..")
		return score.DayRange{}, false
	}
	m := dateRange.FindStringSubmatch(text)
	if m == nil || (m[1] == "" && m[3] == "") {
		return bad("is no date and no range of dates")
	}
	var r score.DayRange
	from, last, ok1 := parseDay(m[1])
	_, to, ok2 := parseDay(m[3])
	switch {
	case (m[1] != "" && !ok1) || (m[3] != "" && !ok2):
		return bad("holds a day that the calendar does not have, or that no vehicle was built on")
	case m[2] == "":
		r = score.DayRange{From: from, To: last}
	default:
		r = score.DayRange{From: from, To: to}
	}
	if r.From != 0 && r.To != 0 && r.To < r.From {
		return bad("ends before it begins")
	}
	return r, true
}

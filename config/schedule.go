package config

import (
	"strings"
	"time"

	"pitlist/config/timetable"
)

// Schedule says when the job runs by itself.
type Schedule struct {
	Cron     string         // five fields, or @daily and the like
	TimeZone string         // IANA name: Europe/Oslo
	Location *time.Location // of TimeZone
	CatchUp  bool           // a run missed while nothing was running is made up; default false
	Settle   time.Duration  // how long an input file must have kept still before it is read; default 10 s, 0: not looked at
	Wait     time.Duration  // how long a file that moves is waited for; default 15 min
	Times    *timetable.Times
}

var scheduleKeys = []string{"cron", "time_zone", "catch_up", "settle_seconds", "wait_minutes"}

// schedule reads the times of a job; nil where none are written.
func schedule(f field) *Schedule {
	g, ok := f.group(scheduleKeys...)
	if !ok {
		return nil
	}
	out := &Schedule{CatchUp: g.get("catch_up").yes(false)}
	out.Cron = cronTimes(g.need("cron", `say when: cron: "0 5 * * MON" (minute, hour, day, month, weekday)`))
	out.TimeZone, out.Location = timeZone(g.need("time_zone", "say whose clock: time_zone: Europe/Oslo"))
	out.Settle = g.get("settle_seconds").duration(10, time.Second, span{low: 0, high: 3600, say: "it lies between 0 (not looked at) and 3600 seconds"})
	out.Wait = g.get("wait_minutes").duration(15, time.Minute, span{low: 0, high: 1440, say: "it lies between 0 and 1440 minutes: a day"})
	if out.Cron != "" && out.Location != nil {
		out.Times, _ = timetable.Parse(out.Cron, out.Location) // cronTimes has read it once
	}
	return out
}

// cronTimes checks the five fields and that the times ever come.
func cronTimes(f field) string {
	text := f.text()
	if text == "" {
		return ""
	}
	low := strings.ToUpper(text)
	switch {
	case strings.HasPrefix(low, "TZ=") || strings.HasPrefix(low, "CRON_TZ="):
		f.fault("cron holds a time zone", "put it into time_zone")
		return ""
	case strings.HasPrefix(low, "@EVERY"):
		f.fault("@every counts from the program's start, which is no time of day", `write the times: "0 */6 * * *"`)
		return ""
	}
	times, err := timetable.Parse(text, time.UTC)
	if err != nil {
		f.faultf(`five fields: minute, hour, day of month, month, weekday, as in "0 5 * * MON"`, "cron is %q: %s", shorten(text), err)
		return ""
	}
	if times.Next(time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC)).IsZero() { // any day will do to ask whether a time ever comes
		f.faultf("check day and month", "cron is %q: that day never comes", shorten(text))
		return ""
	}
	return text
}

// timeZone looks a zone up by its IANA name.
func timeZone(f field) (string, *time.Location) {
	name := f.text()
	if name == "" {
		return "", nil
	}
	loc, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		f.faultf("write an IANA name such as Europe/Oslo or UTC", "time_zone %q is not known", shorten(name))
		return "", nil
	}
	return name, loc
}

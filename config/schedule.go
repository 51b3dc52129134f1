package config

import (
	"strings"
	"time"

	"github.com/robfig/cron/v3"
)

var scheduleKeys = []string{"cron", "time_zone", "catch_up"}

// schedule reads the times of a job; nil where none are written.
func schedule(f field) *Schedule {
	g, ok := f.group(scheduleKeys...)
	if !ok {
		return nil
	}
	out := &Schedule{CatchUp: g.get("catch_up").yes(false)}
	out.Cron = cronTimes(g.need("cron", `say when: cron: "0 5 * * MON" (minute, hour, day, month, weekday)`))
	out.TimeZone, out.Location = timeZone(g.need("time_zone", "say whose clock: time_zone: Europe/Oslo"))
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
	times, err := cron.ParseStandard(text)
	if err != nil {
		f.faultf(`five fields: minute, hour, day of month, month, weekday, as in "0 5 * * MON"`, "cron is %q: %s", shorten(text), err)
		return ""
	}
	// Any fixed day will do to ask whether a time ever comes; this one has a
	// 29 February within the five years that cron looks ahead.
	if times.Next(time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC)).IsZero() {
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

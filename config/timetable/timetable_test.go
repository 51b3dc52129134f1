package timetable

import (
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func times(t *testing.T, line, zone string) *Times {
	t.Helper()
	loc, err := time.LoadLocation(zone)
	require.NoError(t, err)
	out, err := Parse(line, loc)
	require.NoError(t, err)
	return out
}

func at(t *testing.T, s string) time.Time {
	t.Helper()
	out, err := time.Parse(time.RFC3339, s)
	require.NoError(t, err)
	return out
}

// TestClockChanges: the changes are those of the IANA time zone database, 2025b
// as embedded by Go; instants are given in UTC and were worked out by hand from
// the offsets on both sides of each change.
func TestClockChanges(t *testing.T) {
	for _, c := range []struct {
		rule, line, zone string
		after            string // search begins here
		want             string // scheduled times as "instant=day", in order
	}{
		{"Oslo, 29 Mar 2026, 02:00 +01 becomes 03:00 +02: 02:30 comes at the jump", "30 2 * * *", "Europe/Oslo", "2026-03-28T00:00:00Z",
			"2026-03-28T01:30Z=28 2026-03-29T01:00Z=29 2026-03-30T00:30Z=30"},
		{"Oslo: an hourly job has one run for 02:00 and 03:00", "0 * * * *", "Europe/Oslo", "2026-03-28T23:30:00Z",
			"2026-03-29T00:00Z=29 2026-03-29T01:00Z=29 2026-03-29T02:00Z=29"},
		{"Oslo: quarters within the jump are one run", "*/15 2-3 * * *", "Europe/Oslo", "2026-03-28T12:00:00Z",
			"2026-03-29T01:00Z=29 2026-03-29T01:15Z=29 2026-03-29T01:30Z=29"},
		{"Oslo, 25 Oct 2026, 03:00 +02 becomes 02:00 +01: 02:30 comes when shown first", "30 2 * * *", "Europe/Oslo", "2026-10-24T12:00:00Z",
			"2026-10-25T00:30Z=25 2026-10-26T01:30Z=26"},
		{"Oslo: 02:00 is shown at +02 and +01, and comes once", "0 2 * * *", "Europe/Oslo", "2026-10-24T12:00:00Z",
			"2026-10-25T00:00Z=25 2026-10-26T01:00Z=26"},
		{"Oslo: an hourly job rests while the hour is repeated", "0 * * * *", "Europe/Oslo", "2026-10-24T23:30:00Z",
			"2026-10-25T00:00Z=25 2026-10-25T02:00Z=25 2026-10-25T03:00Z=25"},
		{"Oslo: asked while 02:40 is shown for the second time", "30 2 * * *", "Europe/Oslo", "2026-10-25T01:40:00Z", "2026-10-26T01:30Z=26"},
		{"Oslo: asked while 02:10 is shown for the second time, 02:30 has been", "30 2 * * *", "Europe/Oslo", "2026-10-25T01:10:00Z", "2026-10-26T01:30Z=26"},
		{"New York, 8 Mar 2026, 02:00 -05 becomes 03:00 -04", "15 2 * * SUN", "America/New_York", "2026-03-07T00:00:00Z",
			"2026-03-08T07:00Z=8 2026-03-15T06:15Z=15"},
		{"New York, 1 Nov 2026, 02:00 -04 becomes 01:00 -05", "59 1 * * *", "America/New_York", "2026-10-31T12:00:00Z",
			"2026-11-01T05:59Z=1 2026-11-02T06:59Z=2"},
		{"Lord Howe, 4 Oct 2026, 02:00 +10:30 becomes 02:30 +11: half an hour", "10 2 * * *", "Australia/Lord_Howe", "2026-10-03T00:00:00Z",
			"2026-10-03T15:30Z=4 2026-10-04T15:10Z=5"},
		{"Lord Howe, 5 Apr 2026, 02:00 +11 becomes 01:30 +10:30", "45 1 * * *", "Australia/Lord_Howe", "2026-04-04T00:00:00Z",
			"2026-04-04T14:45Z=5 2026-04-05T15:15Z=6"},
		{"Lord Howe: 02:30 is not within the half hour", "30 2 * * *", "Australia/Lord_Howe", "2026-10-03T00:00:00Z", "2026-10-03T15:30Z=4"},
		{"Casablanca, 15 Feb 2026, 03:00 +01 becomes 02:00 +00 for Ramadan", "30 2 * * *", "Africa/Casablanca", "2026-02-14T12:00:00Z",
			"2026-02-15T01:30Z=15 2026-02-16T02:30Z=16"},
		{"Casablanca, 22 Mar 2026, 02:00 +00 becomes 03:00 +01 after Ramadan", "30 2 * * *", "Africa/Casablanca", "2026-03-21T12:00:00Z",
			"2026-03-22T02:00Z=22 2026-03-23T01:30Z=23"},
		{"São Paulo, 4 Nov 2018: midnight is jumped over, and the day is still the 4th", "0 0 * * *", "America/Sao_Paulo", "2018-11-03T12:00:00Z",
			"2018-11-04T03:00Z=4 2018-11-05T02:00Z=5"},
		{"São Paulo, 17 Feb 2018: 23:30 is shown twice on the 17th", "30 23 * * *", "America/Sao_Paulo", "2018-02-17T12:00:00Z",
			"2018-02-18T01:30Z=17 2018-02-19T02:30Z=18"},
		{"Apia leaves out 30 Dec 2011: its run comes when the 31st begins", "0 5 * * *", "Pacific/Apia", "2011-12-29T12:00:00Z",
			"2011-12-29T15:00Z=29 2011-12-30T10:00Z=30 2011-12-30T15:00Z=31"},
		{"Dublin's winter is its offset below", "30 1 * * *", "Europe/Dublin", "2026-10-24T12:00:00Z", "2026-10-25T00:30Z=25 2026-10-26T01:30Z=26"},
		{"Kathmandu has no changes and an odd offset", "0 5 * * *", "Asia/Kathmandu", "2026-03-28T23:00:00Z", "2026-03-28T23:15Z=29 2026-03-29T23:15Z=30"},
		{"UTC", "0 5 * * MON", "UTC", "2026-11-23T05:00:00Z", "2026-11-30T05:00Z=30"},
		{"the end of the month: a 31st only where there is one", "0 6 31 * *", "Europe/Oslo", "2026-01-31T06:00:00Z",
			"2026-03-31T04:00Z=31 2026-05-31T04:00Z=31 2026-07-31T04:00Z=31"},
		{"29 February only in leap years", "0 6 29 2 *", "Europe/Oslo", "2025-01-01T00:00:00Z", "2028-02-29T05:00Z=29 2032-02-29T05:00Z=29"},
		{"2100 is no leap year", "0 6 29 2 *", "UTC", "2096-03-01T00:00:00Z", "2104-02-29T06:00Z=29"},
		{"the turn of the year", "0 0 1 1 *", "America/New_York", "2026-06-01T00:00:00Z", "2027-01-01T05:00Z=1"},
		{"@daily is midnight", "@daily", "Europe/Oslo", "2026-11-23T12:00:00Z", "2026-11-23T23:00Z=24"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			tt := times(t, c.line, c.zone)
			after := at(t, c.after)
			var got []string
			for range strings.Fields(c.want) {
				m := tt.Next(after)
				got = append(got, m.At.UTC().Format("2006-01-02T15:04Z")+"="+strconv.Itoa(m.Day().Day()))
				after = m.At
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// TestOnceEachThroughTheYears: over many zones and years, every reading of the
// clock comes exactly once, in order, and is the clock's own except in jumps.
func TestOnceEachThroughTheYears(t *testing.T) {
	zones := []string{"Europe/Oslo", "Europe/London", "Europe/Dublin", "Europe/Chisinau", "America/New_York", "America/St_Johns", "America/Havana", "America/Santiago",
		"America/Sao_Paulo", "America/Asuncion", "America/Scoresbysund", "Africa/Casablanca", "Africa/Cairo", "Asia/Tehran", "Asia/Beirut", "Asia/Gaza", "Asia/Amman",
		"Australia/Lord_Howe", "Australia/Adelaide", "Pacific/Auckland", "Pacific/Chatham", "Pacific/Easter", "Antarctica/Troll", "UTC"}
	for _, zone := range zones {
		for _, line := range []string{"30 2 * * *", "0 0 * * *", "45 23 * * *", "15 1 * * *"} {
			tt := times(t, line, zone)
			m := tt.Next(at(t, "2014-12-31T12:00:00Z"))
			shown := 0
			for range 365 * 12 {
				next := tt.Next(m.At)
				require.Equal(t, m.Clock.AddDate(0, 0, 1), next.Clock, "%s %s: every day once", zone, line)
				require.True(t, next.At.After(m.At))
				if onWall(next.At).Equal(next.Clock) {
					shown++
				} else {
					require.True(t, onWall(next.At).After(next.Clock), "%s %s: a time that is jumped over comes at the jump, not before", zone, line)
				}
				// Nothing earlier shows the same reading.
				require.False(t, onWall(next.At.Add(-30*time.Minute)).Equal(next.Clock), "%s %s", zone, line)
				require.False(t, onWall(next.At.Add(-time.Hour)).Equal(next.Clock), "%s %s", zone, line)
				m = next
			}
			require.Greater(t, shown, 365*12-40, "%s %s: only days of a change may differ", zone, line)
		}
	}
}

// TestSince: what was missed while nothing was running.
func TestSince(t *testing.T) {
	monday := times(t, "0 5 * * MON", "Europe/Oslo")
	for _, c := range []struct {
		rule, after, until, latest string
		count                      int
	}{
		{"nothing between two times", "2026-11-23T04:00:00Z", "2026-11-30T03:59:59Z", "", 0},
		{"the time itself is due, not later", "2026-11-23T04:00:00Z", "2026-11-30T04:00:00Z", "2026-11-30T04:00:00Z", 1},
		{"three weeks, the latest counts", "2026-11-02T04:00:00Z", "2026-11-24T12:00:00Z", "2026-11-23T04:00:00Z", 3},
		{"a clock that went back", "2026-11-23T04:00:00Z", "2026-11-16T04:00:00Z", "", 0},
	} {
		t.Run(c.rule, func(t *testing.T) {
			m, n := monday.Since(at(t, c.after), at(t, c.until))
			assert.Equal(t, c.count, n)
			if c.latest == "" {
				assert.True(t, m.IsZero())
			} else {
				assert.Equal(t, c.latest, m.At.UTC().Format(time.RFC3339))
			}
		})
	}
	t.Run("a year of minutes is not counted to the end", func(t *testing.T) {
		m, n := times(t, "* * * * *", "Europe/Oslo").Since(at(t, "2025-11-23T04:00:00Z"), at(t, "2026-11-23T04:00:30Z"))
		assert.Equal(t, mostCounted, n)
		assert.Equal(t, "2026-11-23T04:00:00Z", m.At.UTC().Format(time.RFC3339))
	})
}

// TestLast goes back as far as a line needs.
func TestLast(t *testing.T) {
	for _, c := range []struct{ line, until, want string }{
		{"* * * * *", "2026-11-23T04:00:30Z", "2026-11-23T04:00:00Z"},
		{"0 5 * * *", "2026-11-23T03:59:00Z", "2026-11-22T04:00:00Z"},
		{"0 5 * * MON", "2026-11-29T12:00:00Z", "2026-11-23T04:00:00Z"},
		{"0 5 1 * *", "2026-11-29T12:00:00Z", "2026-11-01T04:00:00Z"},
		{"0 5 1 12 *", "2026-11-29T12:00:00Z", "2025-12-01T04:00:00Z"},
		{"0 5 29 2 *", "2027-11-29T12:00:00Z", "2024-02-29T04:00:00Z"},
	} {
		assert.Equal(t, c.want, times(t, c.line, "Europe/Oslo").Last(at(t, c.until)).At.UTC().Format(time.RFC3339), c.line)
	}
}

func TestParse(t *testing.T) {
	_, err := Parse("0 5 * *", time.UTC)
	assert.Error(t, err)
}

// FuzzNext: whatever the line and the instant, the next time lies ahead, shows
// what the line says or lies in a jump, and the latest before it is not it.
func FuzzNext(f *testing.F) {
	f.Add("0 5 * * MON", "Europe/Oslo", int64(1774746000))
	f.Add("*/7 2 29 2 *", "Australia/Lord_Howe", int64(1790000000))
	f.Add("@hourly", "Pacific/Apia", int64(1325200000))
	f.Fuzz(func(t *testing.T, line, zone string, unix int64) {
		loc, err := time.LoadLocation(zone)
		if err != nil || unix < 0 || unix > 4e9 || strings.Contains(strings.ToUpper(line), "TZ=") || strings.HasPrefix(strings.TrimSpace(line), "@every") {
			return
		}
		tt, err := Parse(line, loc)
		if err != nil {
			return
		}
		after := time.Unix(unix, 0)
		m := tt.Next(after)
		if m.IsZero() {
			return
		}
		require.True(t, m.At.After(after))
		require.False(t, onWall(m.At).Before(m.Clock), "not before its reading")
		require.True(t, tt.Next(m.At.Add(-time.Nanosecond)).At.Equal(m.At), "asked just before, it is the next")
	})
}

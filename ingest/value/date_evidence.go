package value

import (
	"errors"
	"strconv"
	"strings"

	"pitlist/score/say"
)

// DateEvidence counts what a column's dates show of their order. The zero value is ready; it keeps counts and a few examples, never the values.
type DateEvidence struct {
	Values  int // cells with something in them
	Missing int
	Serials int
	Plain   int // read alike in either order: ISO, points, month in words, 03/03/2024
	Either  int // 03/04/2024
	ByDay   int // 25/03/2024
	ByMonth int // 03/25/2024
	Bad     int // no dates

	lowSerials                int // serials whose day of the month is 12 or less
	byDay, byMonth, firstOpen string
}

// Add counts one cell. The date system of 1904 does not matter here.
func (e *DateEvidence) Add(s string) {
	if missing, _ := IsMissing(s); missing {
		e.Missing++
		return
	}
	e.Values++
	day, how, err := ParseDate(s, DateOptions{MonthOnly: true})
	switch {
	case err != nil && len(problem(err).Readings) > 1:
		e.Either++
		if e.firstOpen == "" {
			e.firstOpen = s
		}
	case err != nil:
		e.Bad++
	case how == Serial:
		e.Serials++
		if day.Day() <= 12 {
			e.lowSerials++
		}
	case how == OnlyReading && day.Day() > 12:
		e.side(s)
	default:
		e.Plain++
	}
}

func problem(err error) *Problem {
	p := &Problem{}
	errors.As(err, &p)
	return p
}

// side counts a date with one reading: its first number is the day if, and only if, it is over 12.
func (e *DateEvidence) side(s string) {
	first, _ := takeDateApart(trim(s))
	if first.num[0] > 12 {
		e.ByDay++
		if e.byDay == "" {
			e.byDay = s
		}
		return
	}
	e.ByMonth++
	if e.byMonth == "" {
		e.byMonth = s
	}
}

// DateVerdict is what a column shows, with the reason for the planner.
type DateVerdict struct {
	Order    Order    // Undecided where nothing shows it or values conflict
	Needed   bool     // there are values which only the order can read: without one they are rejected
	Conflict bool     // some values show the day first, some the month
	Why      say.Text // "25/03/2024 has the day first"
	Warning  say.Text // a sign that a program swapped day and month on import; empty if there is none
}

// swappedFrom is the number of real dates from which days of 12 or less only are no chance: 12 of 30.4 days, eight times over, is 6 in 10,000.
const swappedFrom = 8

// Decide says what the values so far show. One value over 12 settles the order; conflicting ones leave it open.
func (e *DateEvidence) Decide() DateVerdict {
	v := DateVerdict{Needed: e.Either > 0, Conflict: e.ByDay > 0 && e.ByMonth > 0}
	switch {
	case v.Conflict:
		v.Why = say.F("%s has the day first, %s the month", strconv.Quote(e.byDay), strconv.Quote(e.byMonth))
	case e.ByDay > 0:
		v.Order, v.Why = DayFirst, say.F("%s has the day first", strconv.Quote(e.byDay))
	case e.ByMonth > 0:
		v.Order, v.Why = MonthFirst, say.F("%s has the month first", strconv.Quote(e.byMonth))
	case e.Either > 0:
		v.Why = say.F("nothing shows whether %s has the day or the month first", strconv.Quote(e.firstOpen))
	default:
		v.Why = say.F("no date hangs on the order of day and month")
	}
	v.Warning = e.swapped()
	return v
}

// swapped looks for the trace of a text file opened with the wrong country's settings: what could be read the wrong way round became a
// date, the rest stayed text. (Common practice, no source.)
func (e *DateEvidence) swapped() say.Text {
	texts := e.ByDay + e.ByMonth
	if e.Serials < swappedFrom || e.lowSerials < e.Serials || texts < swappedFrom || e.Either > 0 {
		return say.Text{}
	}
	example := strings.TrimSpace(e.byDay + " " + e.byMonth)
	return say.F("all %d real dates fall on the 1st to 12th while %d dates like %s stayed text: day and month were probably swapped when the file was opened; import it again with the dates as text",
		e.Serials, texts, strconv.Quote(example))
}

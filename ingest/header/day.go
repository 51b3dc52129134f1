package header

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"pitlist/ingest/value"
)

// dayOf reads a heading that is a day or a month: "Jan 2026", "03/2026", "2026-01-31", the serial of a first of the month. A month stands
// for its last day: a history with one column a month holds what the clock showed at its end (common practice, no source).
func dayOf(heading string, date1904 bool) (day time.Time, ok bool) {
	if len(heading) < 5 || len(heading) > 24 {
		return time.Time{}, false
	}
	day, how, err := value.ParseDate(heading, value.DateOptions{MonthOnly: true, Date1904: date1904})
	switch {
	case err != nil, how == value.Compact, how == value.Serial && day.Day() != 1:
		return time.Time{}, false
	case how == value.FirstOfMonth, how == value.Serial:
		return day.AddDate(0, 1, -1), true
	}
	return day, true
}

// isSerial sees a day of this century as a workbook stores it, without a time.
func isSerial(s string) bool {
	n, err := strconv.Atoi(s)
	return err == nil && n >= 36526-days1904 && n <= 54789 // 2000 to 2049, in either date system
}

// days1904 is the distance between the two date systems (ISO/IEC 29500).
const days1904 = 1462

// days finds the days that head columns, or that the job gives them.
func (s *sheet) days() {
	s.daysByHeading()
	s.toldDays()
	s.periods()
}

// daysByHeading finds the days that stand in headings. A number alone may be any; several that go up or down along the row are serials of days,
// each of which is meant where not all are firsts of a month.
func (s *sheet) daysByHeading() {
	var serials []int
	for i := range s.cols {
		c := &s.cols[i]
		if isSerial(c.Heading) {
			serials = append(serials, i)
			continue
		}
		c.Day, _ = dayOf(c.Heading, s.o.Date1904)
		if c.Day.IsZero() && (rankOf(s.live[i]) < weak || topField(s.live[i]) == OdometerByMonth) {
			s.dayBeside(c)
		}
	}
	number := func(i, j int) int { // one width: compared as text
		return cmp.Compare(s.cols[i].Heading, s.cols[j].Heading)
	}
	up := slices.IsSortedFunc(serials, number)
	down := slices.IsSortedFunc(serials, func(i, j int) int { return number(j, i) })
	if len(serials) < 2 || !up && !down {
		return
	}
	firsts := true
	for _, i := range serials {
		d, _, _ := value.ParseDate(s.cols[i].Heading, value.DateOptions{Date1904: s.o.Date1904})
		s.cols[i].Day, firsts = d, firsts && d.Day() == 1
	}
	for _, i := range serials {
		if firsts {
			s.cols[i].Day = s.cols[i].Day.AddDate(0, 1, -1)
		}
	}
}

// toldDays takes the days that the job gives to columns: "odometer_by_month 2026-01".
func (s *sheet) toldDays() {
	for _, h := range sortedKeys(s.o.Told) {
		_, text, _ := strings.Cut(strings.TrimSpace(s.o.Told[h]), " ")
		day, err := time.Parse(time.DateOnly, text)
		if month, errMonth := time.Parse("2006-01", text); errMonth == nil {
			day, err = month.AddDate(0, 1, -1), nil
		}
		for i := range s.cols {
			if err == nil && toldField(s.o.Told[h]) == OdometerByMonth && s.isNamed(i, h) {
				s.cols[i].Day, s.cols[i].DayTold = day, true
			}
		}
	}
}

// milesInFront sees "(mi) 31/10/26", where what looks like a German Wednesday is the unit.
func milesInFront(day string, d time.Time) bool {
	front, _, _ := strings.Cut(strings.TrimSpace(day), " ")
	return strings.HasPrefix(front, "(") || value.Fold(strings.Trim(front, ".,")) == "mi" && d.Weekday() != time.Wednesday
}

// withoutAsOf takes the small words off the end that stand between a reading and its day: "Mileage as at", "km-Stand vom".
func withoutAsOf(about string) string {
	words := strings.Fields(about)
	for len(words) > 1 && asOfWords[value.Fold(words[len(words)-1])] {
		words = words[:len(words)-1]
	}
	return strings.Join(words, " ")
}

var asOfWords = toSet("as at of on per to vom am zum per pr au le al a el den dnia na")

// dayBeside reads "Jan 2026 km" and "Odometer 01/2026": a day with the odometer's wording before or behind it.
func (s *sheet) dayBeside(c *Column) {
	unit := s.matches[c.Index].unit
	words := strings.Fields(c.Heading)
	if n := len(words); n > 2 && unit != value.NoUnit && unitCell(words[n-1]) { // "Mileage 30/09/2026 (km)"
		words = words[:n-1]
	}
	for _, two := range besides(words) {
		d, ok := dayOf(two.when, s.o.Date1904)
		if milesInFront(two.when, d) {
			continue
		}
		about := withoutAsOf(two.about)
		if got := s.m.match(about); ok && topOf(got) == Odometer {
			if c.Day, c.Unit = d, got.unit; c.Unit == value.NoUnit {
				c.Unit = unit
			}
			s.above, s.readings = append(s.above, about), append(s.readings, c.Index)
			return
		}
	}
}

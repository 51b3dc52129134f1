package header

import (
	"slices"
	"strconv"
	"time"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// dayOf reads a heading that is a day or a month: "Jan 2026", "03/2026", "2026-01-31", the serial of a first of the month. A month stands
// for its last day: a history with one column a month holds what the clock showed at its end (common practice, no source).
func dayOf(heading string) (day time.Time, ok bool) {
	if len(heading) < 5 || len(heading) > 24 {
		return time.Time{}, false
	}
	day, how, err := value.ParseDate(heading, value.DateOptions{MonthOnly: true})
	switch {
	case err != nil, how == value.Compact, how == value.Serial && day.Day() != 1:
		return time.Time{}, false
	case how == value.FirstOfMonth, how == value.Serial:
		return day.AddDate(0, 1, -1), true
	}
	return day, true
}

// Below usualMonth a figure may be what one month's driving comes to, km (common practice, no source).
const usualMonth = 5000

// months finds a history turned on its side, one column a month: two columns or more headed by days. They are readings of the odometer if
// the figures rise along the rows and are too large for a month's driving; else the job is asked.
func (s *sheet) months() {
	var cols []int
	for i := range s.cols {
		if !s.cols[i].Day.IsZero() && rankOf(s.live[i]) < weak {
			cols = append(cols, i)
		}
	}
	if len(cols) < 2 {
		return
	}
	slices.SortStableFunc(cols, func(a, b int) int { return s.cols[a].Day.Compare(s.cols[b].Day) })
	if s.rising(cols) {
		for _, i := range cols {
			s.take(i, OdometerByMonth, strong, "one column a month, and its figures rise")
		}
		return
	}
	if !slices.ContainsFunc(cols, func(i int) bool { return share(s.values(i), isNumber) >= nearly }) {
		return
	}
	first, last := s.cols[cols[0]].Heading, s.cols[cols[len(cols)-1]].Heading
	p := Problem{Fields: []Field{OdometerByMonth, Ignore}, Columns: cols, Text: say.F("%s to %s hold a figure a month: readings of the odometer, or what was driven, cannot be told", strconv.Quote(first), strconv.Quote(last)),
		Hint: say.F("say odometer_by_month or ignore in the job's columns")}
	for _, i := range cols {
		p.Choices = append(p.Choices, s.choice(i, Ignore))
	}
	s.found = append(s.found, p)
}

func isNumber(v string) bool {
	_, _, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return err == nil
}

// rising reports that nine rows of ten rise from month to month, to figures that no month's driving comes to. Beside a column of odometers
// the last figure is near it.
func (s *sheet) rising(cols []int) bool {
	rows, rise, large := 0, 0, 0
	for _, r := range s.below {
		var figures []float64
		for _, i := range cols {
			if i < len(r) {
				if v, _, err := value.ParseNumber(r[i], value.NumberOptions{Whole: true}); err == nil {
					figures = append(figures, v)
				}
			}
		}
		if len(figures) < 2 {
			continue
		}
		rows++
		last := figures[len(figures)-1]
		if slices.IsSorted(figures) && last > figures[0] {
			rise++
		}
		if last >= s.expected(r) {
			large++
		}
	}
	return rows > 0 && rise*10 >= rows*9 && large*2 > rows
}

// expected is the least that the last reading of a row would be: half the row's odometer, else more than a month's driving.
func (s *sheet) expected(row []string) float64 {
	for i := range s.live {
		if topField(s.live[i]) == Odometer && i < len(row) {
			if v, _, err := value.ParseNumber(row[i], value.NumberOptions{Whole: true}); err == nil {
				return v / 2
			}
		}
	}
	return usualMonth
}

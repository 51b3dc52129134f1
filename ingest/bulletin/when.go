package bulletin

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

// The years that a catalogue takes (config): before the first lie the dates that
// programs write for none, such as 1 January 1900.
const (
	firstYear = 1971
	lastYear  = 2100
)

// dates reads the days of one table.
type dates struct {
	order    value.Order
	date1904 bool
}

// orderOf decides which number is the day, by all dates of the table together:
// they come from one program. What the user says counts where they show nothing.
func (t *Table) orderOf(said value.Order) dates {
	var e value.DateEvidence
	for i := range t.rows {
		for _, f := range []Field{LaunchDate, BuildDate, BuildDate + from, BuildDate + to} {
			if c := t.rows[i].cells[f]; c != "" && !listOfDates.MatchString(c) {
				for _, end := range dateEnds(c) {
					e.Add(end)
				}
			}
		}
	}
	v := e.Decide()
	if v.Needed || v.Conflict || !v.Warning.Empty() {
		t.Dates = say.Join("; ", v.Why, v.Warning).String()
	}
	return dates{order: cmp.Or(v.Order, said), date1904: t.date1904}
}

var (
	// betweenDates parts the two ends of a range: never at the hyphens within a day.
	betweenDates = regexp.MustCompile(`(?i)\s+(?:to|until|bis|hasta|thru|through)\s+|\s+[-–—]\s+|\s*–\s*|\s*—\s*|\.\.+`)
	betweenAnd   = regexp.MustCompile(`(?i)^(?:between|zwischen|entre)\s+(.+)\s+(?:and|und|et|y)\s+(.+)$`)
	twoYears     = regexp.MustCompile(`^(\d{4})-(\d{4})$`)
	listOfDates  = regexp.MustCompile(`(?i)\n|;|\s&\s|\s(?:and|und|et|y)\s`)
)

// dateEnds parts a cell into the ends of its range.
func dateEnds(cell string) []string {
	cell = strings.TrimSpace(cell)
	for _, form := range []*regexp.Regexp{betweenAnd, twoYears} {
		if m := form.FindStringSubmatch(cell); m != nil {
			return m[1:]
		}
	}
	var out []string
	for _, s := range betweenDates.Split(cell, -1) {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	if len(out) == 2 { // alone it is an open end, and no date
		out[0] = leadingFrom.ReplaceAllString(out[0], "")
	}
	return out
}

var yearAlone = regexp.MustCompile(`^\d{4}$`)

// day reads one date: first and last day of what it says, a day, a month or a
// year. It is 0, 0 where the cell says that there is none.
func (d dates) day(cell string) (first, last score.Day, err error) {
	if given(cell) == "" {
		return 0, 0, nil
	}
	if yearAlone.MatchString(cell) {
		y, _ := strconv.Atoi(cell)
		if y < firstYear || y > lastYear {
			return 0, 0, fmt.Errorf("%s is no year that a catalogue takes (%d to %d)", cell, firstYear, lastYear)
		}
		return dayOf(y, 1, 1), dayOf(y, 12, 31), nil
	}
	t, how, err := value.ParseDate(cell, value.DateOptions{Order: d.order, Date1904: d.date1904, MonthOnly: true})
	if err != nil {
		var p *value.Problem
		if errors.As(err, &p) {
			return 0, 0, errors.New(p.Why().String())
		}
		return 0, 0, err
	}
	if t.Year() < firstYear || t.Year() > lastYear {
		return 0, 0, fmt.Errorf("%s is no day that a catalogue takes (%d to %d): programs write such days where there is no date", t.Format(time.DateOnly), firstYear, lastYear)
	}
	first = odometer.DayOf(t)
	last = first
	if how == value.FirstOfMonth {
		last = odometer.DayOf(t.AddDate(0, 1, -1))
	}
	return first, last, nil
}

func dayOf(y, m, d int) score.Day {
	return odometer.DayOf(time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC))
}

// readBuild reads the cells of a range of build dates. One end may be missing; the
// caller says whether that will do.
func (d dates) readBuild(first, last string, two bool) (score.DayRange, error) {
	a, b := dateEnds(first), dateEnds(last)
	switch {
	case len(a) == 0 && len(b) == 0:
		return score.DayRange{}, &errNoRange{}
	case slices.ContainsFunc(slices.Concat(a, b), listOfDates.MatchString):
		return score.DayRange{}, errors.New("several dates stand there, and nothing says that they are the ends of one range")
	case len(b) == 0 && len(a) == 2:
		a, b = a[:1], a[1:]
	case len(b) == 0 && len(a) == 1 && !two && otherEnd.MatchString(first):
		return score.DayRange{}, fmt.Errorf("open ended: %q gives only one end of a range", first)
	case len(b) == 0 && len(a) == 1 && !two:
		b = a // one day, month or year
	case len(a) > 1 || len(b) > 1:
		return score.DayRange{}, errors.New("more than one range of dates stands there")
	}
	var r score.DayRange
	var err error
	if len(a) == 1 {
		if r.From, _, err = d.day(a[0]); err != nil {
			return r, err
		}
	}
	if len(b) == 1 {
		if _, r.To, err = d.day(b[0]); err != nil {
			return r, err
		}
	}
	switch {
	case r == score.DayRange{}:
		return r, &errNoRange{}
	case r.From != 0 && r.To != 0 && r.To < r.From:
		return r, fmt.Errorf("%s to %s ends before it begins", r.From, r.To)
	}
	return r, nil
}

var (
	betweenYears = regexp.MustCompile(`[\n,;&]|\s+(?:and|und|et|y)\s+`)
	yearSpan     = regexp.MustCompile(`(?i)^(\d{4})(?:\.0)?(?:\s*(?:-|–|to|bis|\.\.|thru|through)\s*(\d{4})(?:\.0)?)?$`)
	aYear        = regexp.MustCompile(`^\d{4}(?:\.0)?$`)
)

// readYears reads the cells of model years. 9999 and 0 are how registers write
// that the year is not known. In a column of first years one year is no range, as
// its end is not given.
func readYears(first, last string, two bool) ([]score.YearRange, error) {
	first, last = notYear(first), notYear(last)
	switch {
	case first == "" && last == "":
		return nil, &errNoRange{}
	case first == "":
		return nil, errors.New("only the last model year is given")
	case last != "" && !(aYear.MatchString(first) && aYear.MatchString(last)):
		return nil, errors.New("no single year stands in each of the two cells: which belong together cannot be told")
	case last != "":
		first += "-" + last
	case two && aYear.MatchString(first):
		return nil, errors.New("open ended: only the first model year is given")
	}
	var out []score.YearRange
	for _, item := range betweenYears.Split(first, -1) {
		if item = strings.TrimSpace(item); item == "" {
			continue
		}
		m := yearSpan.FindStringSubmatch(item)
		if m == nil {
			return nil, fmt.Errorf("%q is no model year of four digits and no range of them", item)
		}
		r := score.YearRange{}
		r.From, _ = strconv.Atoi(m[1])
		if r.To = r.From; m[2] != "" {
			r.To, _ = strconv.Atoi(m[2])
		}
		switch {
		case r.To < r.From:
			return nil, fmt.Errorf("%s ends before it begins", item)
		case r.From < firstYear || r.To > lastYear:
			return nil, fmt.Errorf("%s is no model year", item)
		}
		out = append(out, r)
	}
	return out, nil
}

func notYear(cell string) string {
	switch cell = strings.TrimSpace(given(cell)); cell {
	case "9999", "0", "0000":
		return ""
	}
	return cell
}

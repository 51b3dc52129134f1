package header

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"pitlist/ingest/value"
)

// period is a quarter, week, month or day that heads a column: its kind, its number, and its year, 0 where none is stated.
type period struct {
	kind string // "quarter", "week", "month" or "day"; "" for none
	n    int    // of a day: 100 for each month
	year int
}

// last is the period's last day in a year; weeks as ISO 8601 counts them.
func (p period) last(year int) time.Time {
	switch p.kind {
	case "day":
		return time.Date(year, time.Month(p.n/100), p.n%100, 0, 0, 0, 0, time.UTC)
	case "week":
		fourth := time.Date(year, 1, 4, 0, 0, 0, 0, time.UTC) // is in week 1
		monday := fourth.AddDate(0, 0, -int(fourth.Weekday()+6)%7)
		return monday.AddDate(0, 0, 7*p.n-1)
	case "quarter":
		return time.Date(year, time.Month(3*p.n+1), 0, 0, 0, 0, 0, time.UTC)
	}
	return time.Date(year, time.Month(p.n+1), 0, 0, 0, 0, 0, time.UTC)
}

// job writes the period's end as a job's columns do.
func (p period) job(year int) string {
	if p.kind == "month" {
		return p.last(year).Format("2006-01")
	}
	return p.last(year).Format(time.DateOnly)
}

// Words for quarters and weeks (common practice, no source), folded.
var (
	quarterWords = toSet("q qtr quarter quartal qu trimestre trim trimester kwartal kwartaal kwart kvartal kv kvartti neljannes т кв квартал t")
	weekWords    = toSet("w wk week weeks kw kalenderwoche woche sem semaine semana settimana sett vecka v uke viikko vko tydzien tydz tyg uge нед неделя")
)

// weeksOfYear and quartersOfYear bound the numbers.
const (
	weeksOfYear    = 53
	quartersOfYear = 4
)

// dottedDay is a day without a year, "30.09.": points put the day first.
var dottedDay = regexp.MustCompile(`^\s*(\d{1,2})\.(\d{1,2})\.\s*$`)

// periodOf reads "Q1 2026", "2026-W35", "KW 35", "3. Quartal", "Week 35/26", and a month's name or a day without a year.
func periodOf(s string) period {
	if len(s) > 30 {
		return period{}
	}
	if m := dottedDay.FindStringSubmatch(s); m != nil {
		day, _ := strconv.Atoi(m[1])
		month, _ := strconv.Atoi(m[2])
		return dayIn(month, day)
	}
	p, figures, ok := periodWords(s)
	switch {
	case !ok || p.kind == "":
		return period{}
	case p.kind == "month":
		return monthOr(p, figures)
	case len(figures) == 2 && p.year == 0: // "Q1/26"
		p.year, figures = 2000+figures[1], figures[:1]
	}
	most := weeksOfYear
	if p.kind == "quarter" {
		most = quartersOfYear
	}
	if len(figures) != 1 || figures[0] < 1 || figures[0] > most {
		return period{}
	}
	p.n = figures[0]
	return p
}

// IsPeriod reports a month, quarter or week with its year, all four figures of it, as sheets are called by: "2026-W35", "Q1-2026". Without the year
// "V12" may be a van.
func IsPeriod(name string) bool {
	p := periodOf(name)
	return p.kind != "" && p.year != 0 && strings.Contains(name, strconv.Itoa(p.year))
}

// dayIn is a day of a month, without its year.
func dayIn(month, day int) period {
	if month < 1 || month > 12 || day < 1 || day > 31 {
		return period{}
	}
	return period{kind: "day", n: 100*month + day}
}

// monthOr is a month alone, or the day in it that a figure gives: "30 Sep". With a year it is a day, which dayOf reads.
func monthOr(p period, figures []int) period {
	switch {
	case p.year != 0 || len(figures) > 1:
		return period{}
	case len(figures) == 1:
		return dayIn(p.n, figures[0])
	}
	return p
}

// periodWords takes a text apart: its kind of period with a month's number and a year, and its other figures. Another word is none of a period.
func periodWords(s string) (p period, figures []int, ok bool) {
	for _, w := range tokens(value.Fold(s)) {
		n, err := strconv.Atoi(w)
		switch {
		case err == nil && len(w) == 4 && n >= 2000 && n < 2050 && p.year == 0:
			p.year = n
		case err == nil && len(w) <= 2:
			figures = append(figures, n)
		case p.kind == "" && quarterWords[w]:
			p.kind = "quarter"
		case p.kind == "" && weekWords[w]:
			p.kind = "week"
		case p.kind == "" && value.MonthNumber(w) != 0:
			p.kind, p.n = "month", value.MonthNumber(w)
		default:
			return period{}, nil, false
		}
	}
	return p, figures, true
}

// tokens parts a text into runs of letters and of digits.
func tokens(s string) (out []string) {
	var b strings.Builder
	was := 0
	for _, r := range s + " " {
		is := 0
		switch {
		case unicode.IsLetter(r):
			is = 1
		case unicode.IsDigit(r):
			is = 2
		}
		if is != was && b.Len() > 0 {
			out = append(out, b.String())
			b.Reset()
		}
		if was = is; is != 0 {
			b.WriteRune(r)
		}
	}
	return out
}

// periods dates the columns that quarters and weeks head, and months, quarters and weeks without a year where a title above them states one. What
// no title dates is kept, to be asked for.
func (s *sheet) periods() {
	s.undated = nil
	var found []datedPeriod
	for i := range s.cols {
		c := &s.cols[i]
		if !c.Day.IsZero() || s.isTold(i) && topField(s.live[i]) != OdometerByMonth {
			continue
		}
		free := rankOf(s.live[i]) < weak || topField(s.live[i]) == OdometerByMonth
		p := periodOf(c.Heading)
		if p.kind == "" && free {
			p = s.periodBeside(c)
		}
		switch {
		case p.kind == "" || !free:
		case p.year != 0:
			c.Day = p.last(p.year)
		default:
			found = append(found, datedPeriod{i, p})
		}
	}
	year := onlyYear(s.above)
	for _, group := range s.byGroup(found) {
		rises := slices.IsSortedFunc(group, func(a, b datedPeriod) int { return a.n - b.n }) && group[0].kind == group[len(group)-1].kind
		for _, f := range group {
			switch {
			case len(group) < 2:
			case year != 0 && rises:
				s.cols[f.column].Day = f.last(year)
			default:
				s.undated = append(s.undated, f)
			}
		}
	}
}

// byGroup parts columns by what stands above them in a heading of several rows.
func (s *sheet) byGroup(all []datedPeriod) (out [][]datedPeriod) {
	of := map[string]int{}
	for _, p := range all {
		g := cell(s.groups, p.column)
		if isDay(g) || periodOf(g).kind != "" {
			g = "" // the day itself, over its unit
		}
		if _, ok := of[g]; !ok {
			of[g] = len(out)
			out = append(out, nil)
		}
		out[of[g]] = append(out[of[g]], p)
	}
	return out
}

// datedPeriod is a period with the index of the column that it heads.
type datedPeriod struct {
	column int
	period
}

// periodBeside reads "Odo Q1" and "km Jan": a period with the odometer's wording before or behind it.
func (s *sheet) periodBeside(c *Column) period {
	for _, two := range besides(strings.Fields(c.Heading)) {
		if p := periodOf(two.when); p.kind != "" {
			if got := s.m.match(two.about); topOf(got) == Odometer {
				c.Unit = got.unit
				s.above = append(s.above, two.about)
				return p
			}
		}
	}
	return period{}
}

// beside is a heading in two parts: a day or a period, and what is said of it.
type beside struct{ when, about string }

// besides parts words in two in every way: up to three words about a day, before or behind it.
func besides(words []string) (out []beside) {
	for n := 1; n < len(words) && n <= 3; n++ {
		out = append(out, beside{strings.Join(words[n:], " "), strings.Join(words[:n], " ")},
			beside{strings.Join(words[:len(words)-n], " "), strings.Join(words[len(words)-n:], " ")})
	}
	return out
}

// financial are words of years that do not begin in January.
var financial = toSet("fy fiscal financial gj geschaftsjahr wirtschaftsjahr exercice ejercicio esercizio")

// onlyYear is the one year of this century that the texts name; 0 where they name none, or several.
func onlyYear(texts []string) (year int) {
	for _, text := range texts {
		for _, w := range tokens(value.Fold(text)) {
			n, err := strconv.Atoi(w)
			if financial[w] {
				return 0 // its months are of two years
			}
			if err != nil || len(w) != 4 || n < 2000 || n >= 2050 || n == year {
				continue
			}
			if year != 0 {
				return 0
			}
			year = n
		}
	}
	return year
}

// guessYears gives each undated column a year: that of the sheet's or file's name, else the one that lets the last of them be over on the day
// of the run; columns before a turn of the year have the year before.
func (s *sheet) guessYears(f []datedPeriod) []int {
	last := f[len(f)-1]
	year := onlyYear(s.o.Named)
	if year == 0 {
		if year = s.o.Today.Year(); last.last(year).AddDate(0, -1, 0).After(s.o.Today) {
			year--
		}
	}
	years := make([]int, len(f))
	for i := len(f) - 1; i >= 0; i-- {
		if i < len(f)-1 && f[i].n > f[i+1].n {
			year--
		}
		years[i] = year
	}
	return years
}

package header

import (
	"slices"
	"strconv"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// What histories with one column a month leave open, or are not.

// leaveUnits says that figures by the month in another unit are none of an odometer.
func (s *sheet) leaveUnits(cols []int) {
	if !slices.ContainsFunc(cols, func(i int) bool { return share(s.values(i), isAmount) >= nearly }) {
		return
	}
	s.found = append(s.found, Problem{Fields: []Field{OdometerByMonth}, Columns: cols,
		Text: say.F("%s to %s are left alone: their figures have a unit that is no distance", s.headed(cols[0]), s.headed(cols[len(cols)-1])),
		Hint: say.F("if they are readings of the odometer, say odometer_by_month in the job's columns")})
}

// isAmount sees a number of any unit.
func isAmount(v string) bool {
	_, unit, err := value.ParseNumber(v, value.NumberOptions{Whole: true})
	return err == nil && unit != value.NoUnit
}

// askYears asks for the years of months, quarters and weeks that name none.
func (s *sheet) askYears(undated []datedPeriod) {
	cols := columnsOfPeriods(undated)
	if len(cols) < 2 || !s.figures(cols) {
		return
	}
	said, shape := s.saidOf(cols), s.shapeOf(cols)
	switch {
	case said.word != "" && !said.odometer && !said.byName:
		s.leaveMonths(cols, said.word)
		return
	case shape.rise*10 < shape.rows*9 || s.summed(cols):
		s.askMonths(cols, Ignore, say.F("%s to %s hold figures: readings of the odometer, or what was driven, cannot be told, nor of which year", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
		return
	}
	p := Problem{Fields: []Field{OdometerByMonth, Ignore}, Columns: cols, Hint: say.F("say odometer_by_month with its day, or ignore, in the job's columns"),
		Text: say.F("%s to %s name no year: they are left alone; their figures rise, as readings of the odometer do", s.headed(cols[0]), s.headed(cols[len(cols)-1]))}
	for k, year := range s.guessYears(undated) {
		c := s.choice(undated[k].column, OdometerByMonth)
		c.Day = undated[k].job(year)
		p.Choices = append(p.Choices, c)
	}
	s.found = append(s.found, p)
}

// headed is a column's heading for a message; a serial with the day that it is.
func (s *sheet) headed(i int) say.Text {
	c := &s.cols[i]
	if isSerial(c.Heading) && !c.Day.IsZero() {
		return say.F("%s (%s)", strconv.Quote(c.Heading), say.ISODay(c.Day.Unix()/86400))
	}
	return say.Plain(strconv.Quote(c.Heading))
}

// leaveMonths says that a history is one of something else.
func (s *sheet) leaveMonths(cols []int, word string) {
	s.found = append(s.found, Problem{Fields: []Field{OdometerByMonth}, Columns: cols,
		Text: say.F("%s to %s are left alone, as %s stands above them", s.headed(cols[0]), s.headed(cols[len(cols)-1]), strconv.Quote(word)),
		Hint: say.F("if they are readings of the odometer, say odometer_by_month in the job's columns")})
}

// askMonths asks what a history holds, with a first guess.
func (s *sheet) askMonths(cols []int, guess Field, text say.Text) {
	p := Problem{Fields: []Field{OdometerByMonth, Ignore}, Columns: cols, Text: text, Hint: say.F("say odometer_by_month or ignore in the job's columns")}
	for _, i := range cols {
		p.Choices = append(p.Choices, s.choice(i, guess))
	}
	s.found = append(s.found, p)
}

// financialYears asks about columns of financial years: when these begin is stated nowhere.
func (s *sheet) financialYears() {
	var cols []int
	for i := range s.cols {
		c := &s.cols[i]
		if c.Day.IsZero() && s.isUnknown(i) && anyOf(tokens(value.Fold(c.Heading)), financial) && share(s.values(i), isDistance) >= nearly {
			cols = append(cols, i)
		}
	}
	if len(cols) > 1 {
		s.askMonths(cols, Ignore, say.F("%s to %s are of financial years, and nothing says when these begin; they are left alone", s.headed(cols[0]), s.headed(cols[len(cols)-1])))
	}
}

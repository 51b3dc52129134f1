package header

import (
	"slices"
	"strconv"

	"pitlist/ingest/value"
	"pitlist/score/say"
)

// secondHeading takes the row below the heading for one more, if it says the same in other words: the heading in another language. The cells of
// known columns, two at least, must be wordings of what these are, or two of three where
// one of them stands in place of a figure or a day. No cell may be a value.
func (s *sheet) secondHeading() {
	if len(s.below) == 0 {
		return
	}
	row, same, known, figures := s.below[0], 0, 0, false
	for i, c := range row {
		if foldSpace(c) == "" {
			continue
		}
		if dataCell(c) || i >= len(s.cols) {
			return
		}
		if f := s.cols[i].Field; f != Ignore {
			known++
			for _, claim := range s.m.match(c).claims {
				if claim.field == f && claim.rank >= weak {
					same++
					figures = figures || slices.Contains(figureFields, f)
					break
				}
			}
		}
	}
	if same < 2 || same < known && (!figures || same*3 < known*2) {
		return
	}
	head := make([]string, len(row))
	for i, c := range row {
		head[i] = value.Fold(c)
	}
	s.heads = append(s.heads, head)
}

// figureFields hold figures or days on the row of a vehicle.
var figureFields = []Field{Odometer, OdometerDate, EngineHours, ModelYear, Date, BuildDate, InServiceDate, NextService, Cost, Price, GuidePrice}

// otherOdometer asks where a second column may be the odometer and shows more than the one taken: an instrument may have been replaced, and a total
// be kept beside it.
func (s *sheet) otherOdometer() {
	taken := -1
	for i := range s.cols {
		if s.cols[i].Field == Odometer {
			taken = i
		}
	}
	if taken < 0 || s.cols[taken].Fixed {
		return
	}
	for j := range s.cols {
		sameUnit := s.cols[j].Unit == s.cols[taken].Unit || s.cols[j].Unit == value.Km
		if j == taken || s.cols[j].Field != Ignore || s.isTold(j) || !sameUnit || !hasClaim(s.live[j], Odometer) {
			continue
		}
		more, _, rows := s.compared(taken, j)
		if more == 0 {
			continue
		}
		s.found = append(s.found, Problem{Fields: []Field{Odometer}, Columns: []int{taken}, Hint: say.F("say odometer or ignore in the job's columns"),
			Text:    say.F("%s is read as the odometer; %s may be it too, and shows more on %d of %d rows", strconv.Quote(s.cols[taken].Heading), strconv.Quote(s.cols[j].Heading), more, rows),
			Choices: []Choice{s.choice(taken, Odometer), s.choice(j, Ignore)}})
		return
	}
}

// undatedOdometer asks where a list of vehicles has an odometer, nothing that is known as its day, and one column of days under a heading that is not
// known.
func (s *sheet) undatedOdometer() {
	s.renewedDays()
	odometer, days := false, []int{}
	for i := range s.cols {
		switch f := s.cols[i].Field; {
		case f == OdometerDate || f == Date || f == OdometerByMonth:
			return
		case f == Odometer:
			odometer = true
		case f == Ignore && (s.isUnknown(i) || s.matches[i].useless && s.has(Recommended)) && !anyOf(s.matches[i].all, renewedWords) && !anyOf(s.matches[i].all, advisedWords) && s.cols[i].Day.IsZero() && share(s.values(i), isWrittenDay) >= nearly:
			days = append(days, i)
		}
	}
	if !odometer || len(days) == 0 || len(days) > 2 || !slices.Contains(s.kinds, Vehicles) {
		return
	}
	if len(days) == 2 { // "From" and "To": as a guess the later
		s.found = append(s.found, Problem{Fields: []Field{OdometerDate, Ignore}, Columns: days, Hint: say.F("say odometer_date for one of them in the job's columns"), Choices: []Choice{s.choice(days[1], OdometerDate)},
			Text: say.F("%s hold days, and nothing says on which of them the odometer was read; without it the readings count as of the sheet's latest day, else of the day of the run", s.named(days))})
		return
	}
	s.found = append(s.found, Problem{Fields: []Field{OdometerDate, Ignore}, Columns: days, Hint: say.F("say odometer_date or ignore in the job's columns"), Choices: []Choice{s.choice(days[0], OdometerDate)},
		Text: say.F("%s holds days, and nothing says on which day the odometer was read; without it the readings count as of the sheet's latest day, else of the day of the run", strconv.Quote(s.cols[days[0]].Heading))})
}

// renewedWords say in a heading that something was put in anew (common practice, no source), folded.
var renewedWords = toSet("replaced replacement renewed renewal changed fitted exchanged ersetzt erneuert gewechselt getauscht wechsel tausch remplace remplacee remplacement change changement sustituido sustituida sustitucion cambiado cambiada cambio sostituito sostituita sostituzione " +
	"substituido substituida troca trocado vervangen vervanging bytt bytte byte skiftet utskiftet vaihdettu vaihto wymieniono wymiana заменен заменена замена")

// renewedDays tells of days of repairs on a list of vehicles, a part a column: work is read from a row each.
func (s *sheet) renewedDays() {
	if !slices.Contains(s.kinds, Vehicles) {
		return
	}
	var cols []int
	for i := range s.cols {
		if s.cols[i].Field == Ignore && s.isUnknown(i) && anyOf(s.matches[i].all, renewedWords) && s.cols[i].Unit == value.NoUnit && share(s.values(i), anyDay) >= nearly {
			cols = append(cols, i)
		}
	}
	if len(cols) > 0 {
		s.found = append(s.found, Problem{Fields: []Field{Text}, Columns: cols, Text: say.F("%s says when something was renewed, and work beside a vehicle cannot be read; it is left alone", s.named(cols)),
			Hint: say.F("give each repair a row of its own in a sheet with unit, date and text")})
	}
}

// isWrittenDay sees a day that is no mere number.
func isWrittenDay(v string) bool {
	how, err := dayAnyOrder(v)
	return err == nil && how != value.Serial && how != value.Compact
}

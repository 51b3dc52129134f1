package vin

import (
	"strconv"

	"pitlist/score/say"
)

// YearCodes are the 30 characters of position 10 in the order of their model years, from 1980 on and again from 2010 (49 CFR 565.15,
// Table VII): no I, O, Q, U, Z and no 0.
const YearCodes = "ABCDEFGHJKLMNPRSTVWXY123456789"

const (
	firstYear = 1980
	cycle     = 30 // years until a code comes again
)

// firstYears holds for each byte its year in 1980 to 2009, 0 for what is no code.
var firstYears = buildFirstYears()

func buildFirstYears() (t [256]int16) {
	for i := range len(YearCodes) {
		t[YearCodes[i]] = int16(firstYear + i)
	}
	return t
}

// yearsOf returns the years that a code can mean, none later than limit unless limit is 0.
func yearsOf(code byte, limit int) []int {
	first := int(firstYears[code])
	if first == 0 {
		return nil
	}
	second := first + cycle
	switch {
	case limit == 0 || second <= limit:
		return []int{first, second}
	case first <= limit:
		return []int{first}
	}
	return nil
}

// modelYear reads position 10 and compares it with the stated year.
func (j *judgement) modelYear() {
	// A model year is on sale at most in the calendar year before its number.
	limit := 0
	if j.context.Year > 0 {
		limit = j.context.Year + 1
	}
	code := j.Text[9]
	j.ModelYears = yearsOf(code, limit)
	j.YearBinding = j.northAmerican() || j.Country == "China" // China: GB 16735, from memory
	j.ModelYear = j.judgeYear()
	switch {
	case j.northAmerican() && firstYears[code] == 0:
		j.find(ModelYear, say.F("Position 10 is %s, which is never a model year; compare the VIN with the vehicle.", string(code)))
	case j.disagrees(code):
		j.find(ModelYear, j.disagreement(code))
	}
}

// judgeYear picks among the candidates: the one that agrees with the stated year; else, for light
// North American vehicles, by position 7 (note to Table VII: a digit is 1980-2009, a letter
// 2010-2039); else the one nearest the stated year, or the latest one. Position 7 stands behind an
// agreeing stated year because it does not work for heavy trucks, and a row seldom says that it is one.
func (j *judgement) judgeYear() int {
	years, stated := j.ModelYears, j.stated()
	switch {
	case len(years) == 0:
		return 0
	case len(years) == 1:
		return years[0]
	case stated != 0 && near(years[0], stated):
		return years[0]
	case stated != 0 && near(years[1], stated):
		return years[1]
	case j.demandsCheck() && !j.context.Heavy:
		if digits(j.Text[6:7]) {
			return years[0]
		}
		return years[1]
	case stated != 0 && stated-years[0] < years[1]-stated:
		return years[0]
	case stated != 0 || j.context.Year > 0:
		return years[1]
	}
	return 0 // neither a stated year nor a day of the run: 30 years apart, nothing decides
}

// stated returns the row's model year, 0 where it cannot be one.
func (j *judgement) stated() int {
	const earliest, latest = 1900, 2100
	if y := j.context.StatedYear; y >= earliest && y <= latest {
		return y
	}
	return 0
}

// near reports whether a candidate agrees with a stated year. One year either way, as production of
// a model year may span 24 months (49 CFR 565.12) and sheets often give the year of build.
func near(candidate, stated int) bool { return candidate-stated <= 1 && stated-candidate <= 1 }

// disagrees reports whether the stated year contradicts position 10. Where position 10 need not be a
// year only a letter counts: digits, above all 0, stand there for other things (common practice, no source).
func (j *judgement) disagrees(code byte) bool {
	stated := j.stated()
	if stated == 0 || len(j.ModelYears) == 0 || !j.YearBinding && code <= '9' {
		return false
	}
	for _, y := range j.ModelYears {
		if near(y, stated) {
			return false
		}
	}
	return true
}

// disagreement words a mismatch as something to check, as either side may be wrong.
func (j *judgement) disagreement(code byte) say.Text {
	years := make([]say.Text, len(j.ModelYears))
	for i, y := range j.ModelYears {
		years[i] = say.Plain(strconv.Itoa(y))
	}
	if !j.YearBinding {
		return say.F("Position 10 (%s) would be model year %s, but the row says %d; not every maker puts the year there; check which is right.",
			string(code), say.Alternatives(years...), j.context.StatedYear)
	}
	return say.F("Position 10 (%s) would be model year %s, but the row says %d; check which is right.",
		string(code), say.Alternatives(years...), j.context.StatedYear)
}

package say

import (
	"math"
	"strconv"
	"time"
)

// Percent is a probability as people are shown it: "78%", "4.2%", "under
// 0.1%". It is rounded by Rounded.
type Percent float64

// Rounded is a probability as people are shown it: whole percents from 10 to
// 90 %, tenths of a percent outside. What is no number counts as 0.
func Rounded(p float64) float64 {
	switch {
	case !(p > 0):
		return 0
	case p >= 1:
		return 1
	case p >= 0.0995 && p <= 0.9005:
		return math.Round(p*100) / 100
	}
	return math.Round(p*1000) / 1000
}

// AppendIn appends the probability.
func (p Percent) AppendIn(to []byte, l *Language) []byte {
	x := float64(p)
	r := Rounded(x)
	switch {
	case r == 0 && x > 0:
		return l.AppendF(to, "under %s", finePercent{0.001, 1})
	case r == 1 && x < 1:
		return l.AppendF(to, "over %s", finePercent{0.999, 1})
	case r >= 0.1 && r <= 0.9 || r == 0 || r == 1:
		return l.percent(to, r*100, 0)
	}
	return l.percent(to, r*100, 1)
}

// Over is a probability above a limit, and the limit, as people are shown
// them: as Percent writes both, or with one decimal more where both would read
// alike ("2.04%" and "2.00%"); where that does not part them either, "over 2%"
// and "2%". Both lie in [0, 1].
func Over(p, limit float64) (shown, bound Value) {
	english := func(v Value) string { return Of(v).In(English) }
	if !(p > limit) || english(Percent(p)) != english(Percent(limit)) {
		return Percent(p), Percent(limit)
	}
	decimals := 2
	if r := Rounded(limit); r >= 0.1 && r <= 0.9 {
		decimals = 1
	}
	fine, fineLimit := finePercent{p, decimals}, finePercent{limit, decimals}
	if s, l := english(fine), english(fineLimit); s != l && (p == 1 || s != "100.00%") && (limit == 0 || l != "0.00%") {
		return fine, fineLimit
	}
	exact := Digits{limit * 100, 6}
	return F("over %s", percents{exact}), percents{exact}
}

// finePercent is a probability with so many decimals of a percent.
type finePercent struct {
	x        float64
	decimals int
}

func (p finePercent) AppendIn(to []byte, l *Language) []byte {
	return l.percent(to, p.x*100, p.decimals)
}

// percents is a number of percents.
type percents struct{ n Value }

func (p percents) AppendIn(to []byte, l *Language) []byte { return l.percentSign(p.n.AppendIn(to, l)) }

// Amount is a number on an axis with its unit: "171,400 km", "6,230 h", "41
// months". Large ones are rounded to three or four figures, since a distance
// carried to today is no better known. Unit is "km", "h" or "months".
type Amount struct {
	X    float64
	Unit string
}

// KM is an amount of kilometres.
func KM(x float64) Amount { return Amount{x, "km"} }

// AppendIn appends the amount.
func (a Amount) AppendIn(to []byte, l *Language) []byte {
	to = append(l.AppendWhole(to, roundAmount(a.X)), ' ')
	return append(to, a.unit(l)...)
}

func (a Amount) unit(l *Language) string {
	switch a.Unit {
	case "h":
		return l.form("h")
	case "months":
		return l.form("months")
	}
	return l.form("km")
}

// roundAmount rounds to hundreds from 10,000, to tens from 1,000, else to one.
func roundAmount(x float64) float64 {
	switch a := math.Abs(x); {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return 0
	case a >= 10000:
		return math.Round(x/100) * 100
	case a >= 1000:
		return math.Round(x/10) * 10
	}
	return math.Round(x)
}

// Money is an amount with its currency, without decimals: "EUR 1,240".
type Money struct {
	X        float64
	Currency string // "" where none is stated
}

// AppendIn appends the amount.
func (m Money) AppendIn(to []byte, l *Language) []byte {
	switch {
	case m.Currency == "":
		return l.AppendWhole(to, m.X)
	case l.moneyAfter:
		to = append(l.AppendWhole(to, m.X), ' ')
		return append(to, m.Currency...)
	}
	to = append(append(to, m.Currency...), ' ')
	return l.AppendWhole(to, m.X)
}

// Hours are bay-hours with as many decimals as quarters need: "12.25 h".
type Hours float64

// AppendIn appends the hours.
func (h Hours) AppendIn(to []byte, l *Language) []byte {
	return append(append(l.AppendNumber(to, float64(h), 2), ' '), l.form("h")...)
}

// Number is a number with at most two decimals, none where it is whole, and
// no marks between thousands.
type Number float64

// AppendIn appends the number.
func (n Number) AppendIn(to []byte, l *Language) []byte { return l.AppendNumber(to, float64(n), 2) }

// Tenth is an expected number: one decimal below 100, none where it is whole.
type Tenth float64

// AppendIn appends the number.
func (n Tenth) AppendIn(to []byte, l *Language) []byte {
	x := float64(n)
	if math.Abs(x) >= 100 {
		return l.AppendWhole(to, x)
	}
	return l.AppendNumber(to, x, 1)
}

// Figure is a measured value with up to six significant digits.
type Figure float64

// AppendIn appends the value.
func (f Figure) AppendIn(to []byte, l *Language) []byte {
	x := float64(f)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return append(to, l.form("no number")...)
	}
	return l.pointed(to, x, 'g', 6)
}

// Digits is a number with at most N significant digits; with as many as it has
// where N is below 0.
type Digits struct {
	X float64
	N int
}

// AppendIn appends the number.
func (d Digits) AppendIn(to []byte, l *Language) []byte { return l.pointed(to, d.X, 'g', d.N) }

// Whole is a whole number with marks between its thousands.
type Whole float64

// AppendIn appends the number.
func (n Whole) AppendIn(to []byte, l *Language) []byte { return l.AppendWhole(to, float64(n)) }

// Day counts days from 1 January 1970; 0 is no day and says nothing.
type Day int32

// AppendIn appends the day: "12 Oct 2026".
func (d Day) AppendIn(to []byte, l *Language) []byte {
	return appendDay(to, int32(d), &l.months, " ")
}

// appendDay appends the day, its month and its year; nothing for 0.
func appendDay(to []byte, day int32, months *[12]string, between string) []byte {
	if day == 0 {
		return to
	}
	y, m, d := time.Unix(int64(day)*86400, 0).UTC().Date()
	to = append(strconv.AppendInt(to, int64(d), 10), between...)
	to = append(append(to, months[m-1]...), between...)
	return strconv.AppendInt(to, int64(y), 10)
}

// ISODay is a day as English notes of this program have it, "2026-10-12"; the
// other languages write it as Day does.
type ISODay int32

// AppendIn appends the day.
func (d ISODay) AppendIn(to []byte, l *Language) []byte {
	if !l.isoDays {
		return Day(d).AppendIn(to, l)
	}
	return time.Unix(int64(d)*86400, 0).UTC().AppendFormat(to, time.DateOnly)
}

// LongDay is a day with its month in full, for what a person is to compare
// with a cell: "3 April 2024", "3 de abril de 2024". 0 says nothing.
type LongDay int32

// AppendIn appends the day.
func (d LongDay) AppendIn(to []byte, l *Language) []byte {
	return appendDay(to, int32(d), &l.fullMonths, l.ofMonth)
}

// count is a number with its noun: "1 vehicle", "3 vehicles".
type count struct {
	n    Value
	noun string
}

// Count says how many of something there are: say.Count(n, "vehicle",
// "vehicles"). The two nouns stand in the list by themselves.
func Count(n int, one, many string) Text { return Of(count{Whole(n), One(n, one, many)}) }

// One is what is said of one thing where n is 1, else what is said of many:
// for sentences that more changes in than a noun. n is not put into either.
func One[T any](n int, one, many T) T {
	if n == 1 {
		return one
	}
	return many
}

// CountTenth says how many are expected: "9.2 parts", "1 part".
func CountTenth(x float64, one, many string) Text {
	noun := many
	if n := Tenth(x); Of(n).In(English) == "1" {
		noun = one
	}
	return Of(count{Tenth(x), noun})
}

func (c count) AppendIn(to []byte, l *Language) []byte {
	return append(append(c.n.AppendIn(to, l), ' '), l.form(c.noun)...)
}

package say

import (
	"math"
	"strconv"
	"strings"
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

// In writes the probability. Its sign is never parted from it by a line's end.
func (p Percent) In(l *Language) string {
	x := float64(p)
	r := Rounded(x)
	switch {
	case r == 0 && x > 0:
		return l.sprint("under %s", l.percent(0.1, 1))
	case r == 1 && x < 1:
		return l.sprint("over %s", l.percent(99.9, 1))
	case r >= 0.1 && r <= 0.9 || r == 0 || r == 1:
		return l.percent(r*100, 0)
	}
	return l.percent(r*100, 1)
}

// Over is a probability above a limit, and the limit, as people are shown
// them: as Percent writes both, or with one decimal more where both would read
// alike ("2.04%" and "2.00%"); where that does not part them either, "over 2%"
// and "2%". Both lie in [0, 1].
func Over(p, limit float64) (shown, bound Value) {
	own := func(x float64) string { return Percent(x).In(English) }
	if !(p > limit) || own(p) != own(limit) {
		return Percent(p), Percent(limit)
	}
	decimals := 2
	if r := Rounded(limit); r >= 0.1 && r <= 0.9 {
		decimals = 1
	}
	fine, fineLimit := finePercent{p, decimals}, finePercent{limit, decimals}
	if s, l := fine.In(English), fineLimit.In(English); s != l && (p == 1 || s != "100.00%") && (limit == 0 || l != "0.00%") {
		return fine, fineLimit
	}
	exact := Digits{limit * 100, 6}
	return F("over %s", percentSign{exact}), percentSign{exact}
}

// finePercent is a probability with so many decimals of a percent.
type finePercent struct {
	x        float64
	decimals int
}

func (p finePercent) In(l *Language) string { return l.percent(p.x*100, p.decimals) }

// percentSign is a number of percents.
type percentSign struct{ n Value }

func (p percentSign) In(l *Language) string { return p.n.In(l) + l.beforePercent + "%" }

// Amount is a number on an axis with its unit: "171,400 km", "6,230 h", "41
// months". Large ones are rounded to three or four figures, since a distance
// carried to today is no better known. Unit is "km", "h" or "months".
type Amount struct {
	X    float64
	Unit string
}

// KM is an amount of kilometres.
func KM(x float64) Amount { return Amount{x, "km"} }

// In writes the amount.
func (a Amount) In(l *Language) string {
	return l.Whole(roundAmount(a.X)) + " " + a.unit(l)
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

// In writes the amount.
func (m Money) In(l *Language) string {
	x := m.X
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	if l.moneyAfter {
		return strings.TrimSpace(l.Whole(x) + " " + m.Currency)
	}
	return strings.TrimSpace(m.Currency + " " + l.Whole(x))
}

// Hours are bay-hours with as many decimals as quarters need: "12.25 h".
type Hours float64

// In writes the hours.
func (h Hours) In(l *Language) string { return l.Number(float64(h), 2) + " " + l.form("h") }

// Number is a number with at most two decimals, none where it is whole, and
// no marks between thousands.
type Number float64

// In writes the number.
func (n Number) In(l *Language) string { return l.Number(float64(n), 2) }

// Tenth is an expected number: one decimal below 100, none where it is whole.
type Tenth float64

// In writes the number.
func (n Tenth) In(l *Language) string {
	x := float64(n)
	if math.Abs(x) >= 100 {
		return l.Whole(x)
	}
	return l.Number(x, 1)
}

// Figure is a measured value with up to six significant digits.
type Figure float64

// In writes the value.
func (f Figure) In(l *Language) string {
	x := float64(f)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return l.form("no number")
	}
	return l.pointed(strconv.FormatFloat(x, 'g', 6, 64))
}

// Digits is a number with at most N significant digits; with as many as it has
// where N is below 0.
type Digits struct {
	X float64
	N int
}

// In writes the number.
func (d Digits) In(l *Language) string {
	return l.pointed(strconv.FormatFloat(d.X, 'g', d.N, 64))
}

// Whole is a whole number with marks between its thousands.
type Whole float64

// In writes the number.
func (n Whole) In(l *Language) string { return l.Whole(float64(n)) }

// Day counts days from 1 January 1970; 0 is no day and says nothing.
type Day int32

// In writes the day: "12 Oct 2026".
func (d Day) In(l *Language) string {
	if d == 0 {
		return ""
	}
	t := time.Unix(int64(d)*86400, 0).UTC()
	return strconv.Itoa(t.Day()) + " " + l.months[t.Month()-1] + " " + strconv.Itoa(t.Year())
}

// ISODay is a day as English notes of this program have it, "2026-10-12"; the
// other languages write it as Day does.
type ISODay int32

// In writes the day.
func (d ISODay) In(l *Language) string {
	if !l.isoDays {
		return Day(d).In(l)
	}
	return time.Unix(int64(d)*86400, 0).UTC().Format(time.DateOnly)
}

// LongDay is a day with its month in full, for what a person is to compare
// with a cell: "3 April 2024", "3 de abril de 2024". 0 says nothing.
type LongDay int32

// In writes the day.
func (d LongDay) In(l *Language) string {
	if d == 0 {
		return ""
	}
	t := time.Unix(int64(d)*86400, 0).UTC()
	return strconv.Itoa(t.Day()) + l.ofMonth + l.fullMonths[t.Month()-1] + l.ofMonth + strconv.Itoa(t.Year())
}

// count is a number with its noun: "1 vehicle", "3 vehicles".
type count struct {
	n           Value
	one         bool
	single, all string
}

// Count says how many of something there are: say.Count(n, "vehicle",
// "vehicles"). The two nouns stand in the list by themselves.
func Count(n int, one, many string) Text {
	return Of(count{Whole(n), n == 1, one, many})
}

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
	return Of(count{Tenth(x), English.Number(x, 1) == "1", one, many})
}

func (c count) In(l *Language) string {
	noun := c.all
	if c.one {
		noun = c.single
	}
	return c.n.In(l) + " " + l.form(noun)
}

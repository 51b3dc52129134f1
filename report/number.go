package report

import (
	"math"
	"strings"
	"time"

	"pitlist/score"
	"pitlist/score/say"
)

// Rounded is a probability as people are shown it: whole percents from 10 to
// 90 %, tenths of a percent outside. Words are chosen by the rounded number,
// so that the two never disagree on paper. What is no number counts as 0.
func Rounded(p float64) float64 { return say.Rounded(p) }

// odds is a band of the table of words; From is its lower end.
type odds struct {
	From float64
	Word say.Text
}

// oddsTable are the words for probabilities of the IPCC's guidance note on
// uncertainty (Mastrandrea et al. 2010, table 1; from memory): virtually
// certain 99-100 %, very likely 90-100, likely 66-100, about as likely as not
// 33-66, unlikely 0-33, very unlikely 0-10, exceptionally unlikely 0-1. Its
// bands overlap; read here without overlap, the narrowest that holds. The
// Spanish words are those of the IPCC's Spanish reports (from memory).
var oddsTable = [...]odds{
	{0.99, say.F("virtually certain")},
	{0.90, say.F("very likely")},
	{0.66, say.F("likely")},
	{0.33, say.F("about as likely as not")},
	{0.10, say.F("unlikely")},
	{0.01, say.F("very unlikely")},
	{0, say.F("exceptionally unlikely")},
}

// Odds puts a probability in words, by the number as say.Percent shows it.
func Odds(p float64) say.Text {
	r := Rounded(p)
	for _, band := range oddsTable {
		if r >= band.From {
			return band.Word
		}
	}
	return oddsTable[len(oddsTable)-1].Word
}

// amount is a number on a part's axis.
func amount(x float64, axis score.Axis) say.Value {
	return say.Amount{X: x, Unit: axis.Unit()}
}

// unit is the unit of a part's axis by itself.
func unit(axis score.Axis) say.Text {
	switch axis.Unit() {
	case "h":
		return say.F("h")
	case "months":
		return say.F("months")
	}
	return say.F("km")
}

// money is an amount in a currency; "" where none is stated.
func money(x float64, currency string) say.Value { return say.Money{X: x, Currency: currency} }

// ratio is a factor with two significant digits below 100.
type ratio float64

// AppendIn appends the factor.
func (x ratio) AppendIn(to []byte, l *say.Language) []byte {
	if x >= 10 {
		return l.AppendWhole(to, float64(x))
	}
	return l.AppendFixed(to, float64(x), 1)
}

// isoDate writes a day for programs: "2026-10-12"; "" for a day not stated.
func isoDate(d score.Day) string {
	if d == 0 {
		return ""
	}
	return time.Unix(int64(d)*86400, 0).UTC().Format("2006-01-02")
}

// fits shortens a text to at most n characters, at a word where one ends.
func fits(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	cut := n - 1
	for i := cut; i > cut-20 && i > 0; i-- {
		if r[i] == ' ' {
			cut = i
			break
		}
	}
	return strings.TrimRight(string(r[:cut]), " ,;") + "…"
}

// finite is x, or 0 where it is no number: no cell ever shows NaN.
func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

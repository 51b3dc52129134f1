package report

import (
	"math"
	"strconv"
	"strings"
	"time"

	"pitlist/score"
)

// Rounded is a probability as people are shown it: whole percents from 10 to
// 90 %, tenths of a percent outside. Words are chosen by the rounded number,
// so that the two never disagree on paper. What is no number counts as 0.
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

// Percent writes a probability: "78%", "4.2%", "under 0.1%". No space stands
// before the sign, lest a line break there.
func Percent(p float64) string {
	r := Rounded(p)
	switch {
	case r == 0 && p > 0:
		return "under 0.1%"
	case r == 1 && p < 1:
		return "over 99.9%"
	case r >= 0.1 && r <= 0.9 || r == 0 || r == 1:
		return strconv.FormatFloat(math.Round(r*100), 'f', 0, 64) + "%"
	}
	return strconv.FormatFloat(math.Round(r*1000)/10, 'f', 1, 64) + "%"
}

// odds is a band of the table of words; From is its lower end.
type odds struct {
	From float64
	Word string
}

// oddsTable are the words for probabilities of the IPCC's guidance note on
// uncertainty (Mastrandrea et al. 2010, table 1; from memory): virtually
// certain 99-100 %, very likely 90-100, likely 66-100, about as likely as not
// 33-66, unlikely 0-33, very unlikely 0-10, exceptionally unlikely 0-1. Its
// bands overlap; read here without overlap, the narrowest that holds.
var oddsTable = [...]odds{
	{0.99, "virtually certain"},
	{0.90, "very likely"},
	{0.66, "likely"},
	{0.33, "about as likely as not"},
	{0.10, "unlikely"},
	{0.01, "very unlikely"},
	{0, "exceptionally unlikely"},
}

// Odds puts a probability in words, by the number as Percent shows it.
func Odds(p float64) string {
	r := Rounded(p)
	for _, band := range oddsTable {
		if r >= band.From {
			return band.Word
		}
	}
	return oddsTable[len(oddsTable)-1].Word
}

// Amount writes a number on an axis with its unit: "171,400 km", "6,230 h",
// "41 months". Large ones are rounded to three or four figures, since a
// distance carried to today is no better known.
func Amount(x float64, axis score.Axis) string {
	return grouped(roundAmount(x)) + " " + axis.Unit()
}

// KM writes kilometres, rounded as Amount does.
func KM(x float64) string { return Amount(x, score.ByKM) }

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

// grouped writes a whole number with commas between its thousands.
func grouped(x float64) string {
	s := strconv.FormatFloat(math.Abs(math.Round(x)), 'f', 0, 64)
	var b strings.Builder
	if math.Round(x) < 0 {
		b.WriteByte('-')
	}
	for i := range len(s) {
		if i > 0 && (len(s)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// Money writes an amount with its currency, without decimals: "EUR 1,240".
func Money(x float64, currency string) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	return strings.TrimSpace(currency + " " + grouped(x))
}

// hours writes bay-hours with as many decimals as quarters need: "12.25 h".
func hours(h float64) string { return trimmed(h) + " h" }

// trimmed writes a number with at most two decimals.
func trimmed(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

// date writes a day for people: "12 Oct 2026"; "" for a day not stated.
func date(d score.Day) string {
	if d == 0 {
		return ""
	}
	return day(d).Format("2 Jan 2006")
}

// isoDate writes a day for programs: "2026-10-12"; "" for a day not stated.
// Date writes a day as people do: 23 Nov 2026.
func Date(d score.Day) string { return date(d) }

func isoDate(d score.Day) string {
	if d == 0 {
		return ""
	}
	return day(d).Format("2006-01-02")
}

// day counts from the epoch of score.Day.
func day(d score.Day) time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// counted writes "1 vehicle", "3 vehicles".
func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(float64(n)) + " " + one + "s"
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

// joined puts items in a sentence: "a", "a and b", "a, b and c".
func joined(items []string) string {
	if len(items) < 2 {
		return strings.Join(items, "")
	}
	last := len(items) - 1
	return strings.Join(items[:last], ", ") + " and " + items[last]
}

package value

import (
	"strconv"
	"strings"
)

// The serials of days that a spreadsheet program makes of what somebody types: of this century, 2000 to 2049 in the usual date system.
const (
	firstTurned = 36526
	lastTurned  = 54789
)

// TurnedToDate reports a day where a name should stand: spreadsheet programs turn "9-5", "3-10" and "MAR1" into one. It sees days written out,
// a day and a month ("3-May", "10. Mrz"), a month and a year ("May-03"), and in a workbook the serials of days.
func TurnedToDate(s string, workbook, date1904 bool) bool {
	if len(s) < 4 || len(s) > 24 || s[0] == '#' || !strings.ContainsAny(s, "0123456789") {
		return false
	}
	if n, err := strconv.Atoi(s); err == nil {
		shift := 0
		if date1904 {
			shift = days1904
		}
		return workbook && n >= firstTurned-shift && n <= lastTurned-shift
	}
	if dayAndMonth(s) {
		return true
	}
	day, how, err := ParseDate(s, DateOptions{Order: DayFirst})
	return err == nil && how != Serial && how != Compact && day.Year() >= 1950 && day.Year() < 2050
}

// dayAndMonth sees a number and a month's name, with a dash, dot, slash or blank between them.
func dayAndMonth(s string) bool {
	words := strings.FieldsFunc(Fold(s), func(r rune) bool { return strings.ContainsRune("-./ ", r) })
	if len(words) != 2 {
		return false
	}
	for i, w := range words {
		figure := words[1-i]
		n, err := strconv.Atoi(figure)
		if monthNames[w] != 0 && err == nil && len(figure) <= 2 && (i == 0 || n >= 1 && n <= 31) {
			return true
		}
	}
	return false
}

// TurnedToPower reports a name such as "3E5" that a spreadsheet program took for a number and wrote as one: "3.00E+05".
func TurnedToPower(s string) bool {
	front, back, ok := strings.Cut(strings.ToUpper(s), "E+")
	if !ok || len(s) > 24 || len(front) == 0 || len(back) < 2 {
		return false
	}
	return strings.Trim(front, "0123456789.,") == "" && strings.Trim(back, "0123456789") == ""
}

// WholeName is a name of digits without the ".0" that a program added which took it for a number: "5008.0".
func WholeName(s string) string {
	if t, ok := strings.CutSuffix(s, ".0"); ok && len(t) > 1 && strings.Trim(t, "0123456789") == "" {
		return t
	}
	return s
}

// ParseModelYear reads a model year: 2017, "2016/17" by its first figures, "MY17", "MY 2017", "2017MY". Two figures alone are refused: they may be an
// age. latest is the last year that can be meant.
func ParseModelYear(s string, latest int) (year int, ok bool) {
	text := strings.Trim(Fold(s), " .'")
	marked := false
	for _, mark := range [...]string{"model year", "my", "mj", "modelljahr"} {
		if t, cut := strings.CutPrefix(text, mark); cut {
			text, marked = t, true
			break
		}
		if t, cut := strings.CutSuffix(text, mark); cut {
			text, marked = t, true
			break
		}
	}
	text = strings.Trim(text, " .'-:’")
	digits := len(text) - len(strings.TrimLeft(text, "0123456789"))
	if digits < len(text) && !strings.ContainsRune("./- ", rune(text[digits])) {
		return 0, false
	}
	year, err := strconv.Atoi(text[:digits])
	switch {
	case err != nil:
		return 0, false
	case digits == 2 && marked:
		if year += 2000; year > latest {
			year -= 100
		}
	case digits != 4:
		return 0, false
	}
	return year, year <= latest
}

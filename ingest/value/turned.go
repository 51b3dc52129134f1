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

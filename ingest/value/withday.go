package value

import (
	"regexp"
	"strings"
	"time"

	"pitlist/score/say"
)

// A reading with its day in one cell: "80000 (31/10/2026)", "92.400 km am 31.10.2026", "2026-10-31: 80000".
var (
	aDayWritten = `\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./-]\d{1,2}(?:[./-](?:\d{4}|\d{2})|\.)?`
	dayBehind   = regexp.MustCompile(`(?i)^(.*?[\dmskh.])\s*(?:[(\[@,;:\x{2013}]|\s-|\s)\s*(?:(?:on|at|as of|as at|am|vom|per|zum|stand|au|le|el|del|il|em|den)\s+)?(` + aDayWritten + `)\s*[)\]]?$`)
	dayInFront  = regexp.MustCompile(`(?i)^(` + aDayWritten + `)\s*(?:[:=\x{2013}]|-\s)\s*(.+)$`)
)

// FigureWithDay parts a cell that holds a reading and the day on which it was taken. ok is false where it is no such cell. The day is the zero time, and the
// problem says why, where the day has no year or can be read two ways.
func FigureWithDay(s string, o DateOptions) (figure string, day time.Time, problem error, ok bool) {
	text := trim(s)
	if len(text) < 8 || len(text) > 60 {
		return "", time.Time{}, nil, false
	}
	written := ""
	if m := dayBehind.FindStringSubmatch(text); m != nil {
		figure, written = m[1], m[2]
	} else if m := dayInFront.FindStringSubmatch(text); m != nil {
		written, figure = m[1], m[2]
	} else {
		return "", time.Time{}, nil, false
	}
	v, _, err := ParseNumber(figure, NumberOptions{Whole: true})
	if err != nil || v < 100 { // "12 31.10.2026" is none
		return "", time.Time{}, nil, false
	}
	if strings.Count(strings.TrimRight(written, "."), ".")+strings.Count(written, "/")+strings.Count(written, "-") < 2 {
		return figure, time.Time{}, &Problem{Value: s, Reason: say.F("holds a figure and a day that names no year"), Suggestion: say.F("write the day into a column of its own, with its year")}, true
	}
	day, _, problem = ParseDate(written, o)
	return figure, day, problem, true
}

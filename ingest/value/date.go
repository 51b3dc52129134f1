package value

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"pitlist/score/say"
)

// Order says which of two small numbers in a date is the day.
type Order string

// The orders. Undecided leaves 03/04/2024 open; 25/03/2024 is read all the same, as there is no month 25.
const (
	Undecided  Order = ""
	DayFirst   Order = "day"
	MonthFirst Order = "month"
)

// Validate refuses anything but the orders above.
func (o Order) Validate() error {
	switch o {
	case Undecided, DayFirst, MonthFirst:
		return nil
	}
	return fmt.Errorf("date order %q: write day or month", string(o))
}

// DateOptions say what is known of the column and its workbook. The zero value knows nothing.
type DateOptions struct {
	Order     Order
	Date1904  bool // the workbook counts its days from 1904: serials are 1,462 lower
	Pivot     int  // two-digit years up to this are 20xx, above it 19xx; 0 is 68, as POSIX strptime has it
	MonthOnly bool // take "03/2019" and "Mar 2019" as the first of the month (build dates); else they are refused
}

// How says by which rule a date was read.
type How string

// The ways in which a date is read.
const (
	Serial       How = "serial"              // days counted by the spreadsheet
	ISO          How = "year first"          // 2024-03-15, 2024/03/15
	Dotted       How = "dotted, day first"   // 15.03.2024: points are never month first
	Compact      How = "eight digits"        // 20240315
	MonthName    How = "month in words"      // 15 March 2024
	ByOrder      How = "order of the column" // 03/04/2024
	OnlyReading  How = "one reading"         // 25/03/2024, 03/03/2024
	FirstOfMonth How = "first of the month"  // 03/2024, with MonthOnly
)

// The serials that a date column takes: 3 October 1954 to 11 January 2119 (1900 system). Below it a number is a distance, a year or a slip.
const (
	FirstSerial = 20000
	LastSerial  = 80000
)

// days1904 is the distance between the two date systems of ISO/IEC 29500 (serial 0 of 1904 is serial 1462 of 1900).
const days1904 = 1462

// ParseDate reads one day; a time of day behind it is dropped (the day is the wall clock's, whatever the time zone). The result is midnight
// UTC of a day from 1900 on; whether it is too old or too far ahead is the caller's to judge. The error is a *Problem with the readings.
//
// Serials, with or without a fraction, take a few nanoseconds.
func ParseDate(s string, o DateOptions) (day time.Time, how How, err error) {
	if n, ok := plainWhole(s); ok && len(s) == 5 {
		return serialDay(s, n, o)
	}
	if y, m, d, ok := plainISO(s); ok {
		return one(s, ISO, y, m, d)
	}
	if n, ok := plainFraction(s); ok && n >= FirstSerial {
		return serialDay(s, n, o)
	}
	return parseDate(s, o)
}

// plainClock reports a time of day as programs write it behind an ISO date: 10:30:00.000+02:00.
func plainClock(s string) bool {
	n := clock(s)
	if n == 0 {
		return false
	}
	rest := s[n:]
	return rest == "" || rest == "Z" || zone(rest) == len(rest)
}

// plainISO reads 2024-03-15, perhaps with a time of day: the form that programs write, and so the most frequent text.
func plainISO(s string) (y, m, d int, ok bool) {
	if len(s) < 10 || s[4] != '-' || s[7] != '-' {
		return 0, 0, 0, false
	}
	if len(s) > 10 && (s[10] != 'T' && s[10] != ' ' || !plainClock(s[11:])) {
		return 0, 0, 0, false
	}
	year, okY := plainWhole(s[:4])
	month, okM := plainWhole(s[5:7])
	day, okD := plainWhole(s[8:10])
	return int(year), int(month), int(day), okY && okM && okD
}

func parseDate(s string, o DateOptions) (time.Time, How, error) {
	text := trim(s)
	if missing, excel := IsMissing(text); missing || IsNone(text) {
		return time.Time{}, "", missingDate(s, excel)
	}
	if v, ok := plainFloat(text); ok {
		return numberDay(s, text, v, o)
	}
	day, how, err := apart(s, text, o)
	if err != nil && isRange(text) {
		err = &Problem{Value: s, Reason: say.F("names two days, and one is asked for"), Suggestion: say.F("write one day: of work, that on which it was done")}
	}
	return day, how, err
}

func apart(s, text string, o DateOptions) (time.Time, How, error) {
	parts, fault := takeDateApart(text)
	if !fault.Empty() {
		return time.Time{}, "", noDate(s, fault)
	}
	return parts.day(s, o)
}

// plainFloat reads a raw number of a workbook: digits, a point, an exponent. "15.03" is one too; numberDay refuses it by its size.
func plainFloat(text string) (float64, bool) {
	points, exps := 0, 0
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case '0' <= c && c <= '9':
		case c == '.' && exps == 0:
			points++
		case (c == 'E' || c == 'e') && i > 0:
			exps++
		case (c == '-' || c == '+') && (i == 0 || text[i-1] == 'E' || text[i-1] == 'e'):
		default:
			return 0, false
		}
	}
	if points > 1 || exps > 1 {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil && !math.IsInf(v, 0)
}

// numberDay reads a cell that is a plain number: eight digits as year, month, day, else a serial.
func numberDay(s, text string, v float64, o DateOptions) (time.Time, How, error) {
	if len(text) == 8 && v == math.Trunc(v) && v >= 19000101 {
		n := int(v)
		t, ok := civil(n/10000, n/100%100, n%100)
		if !ok {
			return time.Time{}, "", noDate(s, say.F("has eight digits, but as year, month, day there is no such day"))
		}
		return t, Compact, nil
	}
	return serialDay(s, v, o)
}

// serialDay turns a serial into its day; a fraction is the time of day.
func serialDay(s string, v float64, o DateOptions) (time.Time, How, error) {
	n := v
	if o.Date1904 {
		n += days1904
	}
	if n < FirstSerial || n >= LastSerial+1 {
		return time.Time{}, "", badSerial(s, v, o)
	}
	return unixDay(int64(n) - serialOfUnix), Serial, nil
}

// serialOfUnix is the serial of 1 January 1970 in the 1900 system.
const serialOfUnix = 25569

func unixDay(days int64) time.Time { return time.Unix(days*86400, 0).UTC() }

// badSerial says why a number is no day. The 1900 system has a day 60 that never was (29 February 1900), kept from the first spreadsheets.
func badSerial(s string, v float64, o DateOptions) error {
	p := &Problem{Value: s, Suggestion: writeISO()}
	switch {
	case v < 0:
		p.Reason = say.F("is a negative number, not a day")
	case v < 1:
		p.Reason = say.F("is a time of day without a day")
	case v == 60 && !o.Date1904:
		p.Reason = say.F("is serial 60, the 29 February 1900 that never was")
	case v >= 1950 && v <= 2100 && v == math.Trunc(v):
		p.Reason = say.F("is a year without a day")
	case v < FirstSerial:
		p.Reason = say.F("is a number too low for a day (serials of vehicles lie between 20000 and 80000)")
	case v >= 1e8:
		p.Reason = say.F("is a number far too high for a day; seconds since 1970 are not read")
	case v >= 1e5 && v < 1e6 && v == math.Trunc(v):
		p.Reason = say.F("has six digits: the order of year, month and day is not known")
	default:
		p.Reason = say.F("is a number too high for a day (serials of vehicles lie between 20000 and 80000)")
	}
	return p
}

// civil makes a day; ok is false for a day that the calendar does not have.
func civil(y, m, d int) (time.Time, bool) {
	if y < 1900 || y > 2199 || m < 1 || m > 12 || d < 1 || d > 31 {
		return time.Time{}, false
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	return t, t.Day() == d
}

func missingDate(s string, excel bool) error {
	if excel {
		return &Problem{Value: s, Reason: say.F("is an error value of the spreadsheet"), Suggestion: say.F("mend the formula, or clear the cell")}
	}
	return &Problem{Value: s, Reason: say.F("holds no date"), Suggestion: say.F("fill it in if it is known")}
}

func noDate(s string, reason say.Text) error {
	return &Problem{Value: s, Reason: reason, Suggestion: writeISO()}
}

func writeISO() say.Text { return say.F("write the day as 2024-03-15") }

package value

import (
	"strings"
	"time"
	"unicode"

	"pitlist/score/say"
)

// dateParts is a date taken apart: two or three numbers, or one or two beside a month in words.
type dateParts struct {
	num    [3]int
	digits [3]int // how many digits each was written with
	n      int
	month  int  // 1..12 if in words
	at     int  // how many numbers stand before the month's word
	mark   rune // between the first two numbers: '.', '/', '-' or ' '; 0 for eight digits run together
}

// takeDateApart reads numbers, the month's name and the time of day. A fault is the reason why the text is no date.
func takeDateApart(text string) (p dateParts, fault say.Text) {
	if len(text) > 60 {
		return p, noDateAtAll()
	}
	f := Fold(text)
	for f != "" {
		switch c := rune(f[0]); {
		case isDigit(f[0]):
			if p.n >= 2 && timeOfDay(f) || p.n >= 1 && p.month > 0 && timeOfDay(f) {
				return p, say.Text{}
			}
			if f, fault = p.number(f); !fault.Empty() {
				return p, fault
			}
		case c == '.' || c == '/' || c == '-' || c == ' ' || c == ',' || c == '\'' || c == '\\' || c == '(' || c == ')':
			f = p.separator(f, c)
		default:
			if f, fault = p.word(f); !fault.Empty() {
				return p, fault
			}
		}
	}
	return p, say.Text{}
}

func allDigits(s string) bool {
	for i := 0; i < len(s); i++ {
		if !isDigit(s[i]) {
			return false
		}
	}
	return true
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// separator notes the first mark behind the first number; blanks around it don't count.
func (p *dateParts) separator(f string, c rune) string {
	if p.n == 1 && (p.mark == 0 || p.mark == ' ') {
		p.mark = c
		if c == '\\' {
			p.mark = '/'
		}
	}
	return f[1:]
}

func (p *dateParts) number(f string) (rest string, fault say.Text) {
	i, v := 0, 0
	for i < len(f) && isDigit(f[i]) {
		v = v*10 + int(f[i]-'0')
		if i++; i > 8 {
			return "", noDateAtAll()
		}
	}
	if p.n == 0 && i == 8 && (i == len(f) || f[i] == ' ' || f[i] == 't') {
		p.num, p.digits, p.n = [3]int{v / 10000, v / 100 % 100, v % 100}, [3]int{4, 2, 2}, 3
		return dropTime(f[i:])
	}
	if p.n == 3 || i > 4 || i == 3 {
		return "", say.F("has numbers that make no date")
	}
	p.num[p.n], p.digits[p.n] = v, i
	p.n++
	rest = ordinal(f[i:])
	if p.n == 3 || p.n == 2 && p.month > 0 {
		return dropTime(rest)
	}
	return rest, say.Text{}
}

// ordinal drops what may stick to a day's number: 3rd, 1er, 3:e, 2º, and German or Nordic points.
func ordinal(f string) string {
	for _, end := range [...]string{"st", "nd", "rd", "th", "er", "eme", ":a", ":e", "º"} {
		if rest, ok := strings.CutPrefix(f, end); ok && (rest == "" || !isLetter(rest[0])) {
			return rest
		}
	}
	return f
}

func isLetter(c byte) bool { return 'a' <= c && c <= 'z' }

// word takes a month's name, or passes over a weekday and the small words between.
func (p *dateParts) word(f string) (rest string, fault say.Text) {
	end := strings.IndexFunc(f, func(r rune) bool { return !unicode.IsLetter(r) })
	if end < 0 {
		end = len(f)
	}
	w := f[:end]
	if m, ok := monthNames[w]; ok && p.month == 0 {
		p.month, p.at = m, p.n
		return strings.TrimPrefix(f[end:], "."), say.Text{}
	}
	if end == 0 || !dateFillers[w] {
		return "", noDateAtAll()
	}
	return f[end:], say.Text{}
}

// timeOfDay reports whether a clock stands next ("10:30", "10.30 uhr", "10h30") and not another number of the date.
func timeOfDay(f string) bool {
	i := 0
	for i < len(f) && isDigit(f[i]) {
		i++
	}
	return i <= 2 && i+1 < len(f) && (f[i] == ':' || f[i] == 'h') && isDigit(f[i+1])
}

// dropTime passes over a clock behind the day and refuses anything else there, so that "12/03/2024 and 4/2025" is not read by half.
func dropTime(f string) (rest string, fault say.Text) {
	if len(f) > 4 && strings.IndexByte("./-", f[0]) >= 0 && allDigits(f[1:5]) { // a range: 02-05.03.2026
		return "", say.F("has something behind the date")
	}
	f = skipFillers(f)
	if n := clock(f); n > 0 {
		f = skipFillers(f[n:])
	}
	if n := zone(f); n > 0 {
		f = skipFillers(f[n:])
	}
	if f != "" {
		return "", say.F("has something behind the date")
	}
	return "", say.Text{}
}

// skipFillers passes over marks and small words: "kl.", "uhr", "pm", a weekday in brackets.
func skipFillers(f string) string {
	for {
		f = strings.TrimLeft(f, " ,.()")
		w := leadingWord(f)
		if w == "" || !dateFillers[w] {
			return f
		}
		f = f[len(w):]
	}
}

func leadingWord(f string) string {
	if end := strings.IndexFunc(f, func(r rune) bool { return !unicode.IsLetter(r) }); end >= 0 {
		return f[:end]
	}
	return f
}

// clock gives the length of a time of day: 10:30, 10.30, 10h30, 103000, 10:30:15.123. Zero if there is none.
func clock(f string) int {
	i := digitRun(f, 6)
	if i == 6 || i == 4 {
		return i
	}
	if i == 0 || i > 2 || i+2 >= len(f) || !strings.ContainsRune(":.h", rune(f[i])) || digitRun(f[i+1:], 3) != 2 {
		return 0
	}
	i += 3
	for i < len(f) && (f[i] == ':' || f[i] == '.' || f[i] == ',') && digitRun(f[i+1:], 9) > 0 {
		i += 1 + digitRun(f[i+1:], 9)
	}
	return i
}

// zone gives the length of a time zone's offset: +02:00, -0500, +01.
func zone(f string) int {
	if f == "" || f[0] != '+' && f[0] != '-' || digitRun(f[1:], 4) < 2 {
		return 0
	}
	i := 1 + digitRun(f[1:], 4)
	if i == 3 && i < len(f) && f[i] == ':' && digitRun(f[i+1:], 2) == 2 {
		i += 3
	}
	return i
}

// digitRun counts the digits at the beginning, up to most.
func digitRun(f string, most int) int {
	i := 0
	for i < len(f) && i < most && isDigit(f[i]) {
		i++
	}
	return i
}

// day puts the parts together.
func (p dateParts) day(s string, o DateOptions) (time.Time, How, error) {
	switch {
	case p.month > 0:
		return p.named(s, o)
	case p.n == 2:
		return p.monthAndYear(s, o)
	case p.n < 3:
		return time.Time{}, "", noDate(s, noDateAtAll())
	case p.digits[0] == 4 && p.mark == 0:
		return one(s, Compact, p.num[0], p.num[1], p.num[2])
	case p.digits[0] == 4:
		return one(s, ISO, p.num[0], p.num[1], p.num[2])
	case p.digits[2] == 4 || p.digits[2] == 2 && p.num[0] <= 31:
		return p.numbers(s, o)
	case p.digits[0] == 2 && p.num[0] > 31:
		return one(s, ISO, o.year(p.num[0], 2), p.num[1], p.num[2])
	}
	return time.Time{}, "", noDate(s, noYear())
}

// named reads a date whose month stands in words.
func (p dateParts) named(s string, o DateOptions) (time.Time, How, error) {
	switch {
	case p.n == 1 && (p.digits[0] == 4 || p.at == 0 && p.digits[0] == 2):
		return p.firstOfMonth(s, o, p.month, o.year(p.num[0], p.digits[0]))
	case p.n != 2:
		return time.Time{}, "", noDate(s, say.F("names a month without a day and a year"))
	case p.digits[0] == 4:
		return one(s, MonthName, p.num[0], p.month, p.num[1])
	case p.digits[1] == 4 || p.digits[1] == 2:
		return one(s, MonthName, o.year(p.num[1], p.digits[1]), p.month, p.num[0])
	}
	return time.Time{}, "", noDate(s, noYear())
}

// monthAndYear reads 03/2024 and 2024-03.
func (p dateParts) monthAndYear(s string, o DateOptions) (time.Time, How, error) {
	switch {
	case p.digits[1] == 4 && p.digits[0] <= 2:
		return p.firstOfMonth(s, o, p.num[0], p.num[1])
	case p.digits[0] == 4 && p.digits[1] <= 2:
		return p.firstOfMonth(s, o, p.num[1], p.num[0])
	}
	return time.Time{}, "", noDate(s, say.F("has a day and a month, but no year"))
}

func (p dateParts) firstOfMonth(s string, o DateOptions, month, year int) (time.Time, How, error) {
	if !o.MonthOnly {
		return time.Time{}, "", noDate(s, say.F("is a month without a day"))
	}
	return one(s, FirstOfMonth, year, month, 1)
}

// numbers reads day, month and year in figures, the year last.
func (p dateParts) numbers(s string, o DateOptions) (time.Time, How, error) {
	year := o.year(p.num[2], p.digits[2])
	byDay, okDay := civil(year, p.num[1], p.num[0])
	byMonth, okMonth := civil(year, p.num[0], p.num[1])
	switch {
	case p.mark == '.':
		return one(s, Dotted, year, p.num[1], p.num[0])
	case !okDay && !okMonth:
		return time.Time{}, "", noDate(s, noSuchDay())
	case byDay.Equal(byMonth) && okDay && okMonth:
		return byDay, OnlyReading, nil
	case okDay && okMonth:
		return p.byOrder(s, o, byDay, byMonth)
	case okDay && o.Order != MonthFirst:
		return byDay, onlyOr(o), nil
	case okMonth && o.Order != DayFirst:
		return byMonth, onlyOr(o), nil
	}
	return time.Time{}, "", p.against(s, o, byDay, okDay, byMonth)
}

func onlyOr(o DateOptions) How {
	if o.Order == Undecided {
		return OnlyReading
	}
	return ByOrder
}

func (p dateParts) byOrder(s string, o DateOptions, byDay, byMonth time.Time) (time.Time, How, error) {
	switch o.Order {
	case DayFirst:
		return byDay, ByOrder, nil
	case MonthFirst:
		return byMonth, ByOrder, nil
	}
	return time.Time{}, "", &Problem{Value: s, Reason: say.F("can be read day first or month first, and the column does not show which"),
		Readings:   []say.Text{dayFirst(byDay), monthFirst(byMonth)},
		whole:      say.F("can be read day first or month first, and the column does not show which; it could mean day first: %s or month first: %s", spell(byDay), spell(byMonth)),
		Suggestion: say.F("set date_order: day or date_order: month in the job")}
}

// against is the fault of a date that has only the reading which the column's order excludes.
func (p dateParts) against(s string, o DateOptions, byDay time.Time, okDay bool, byMonth time.Time) error {
	other := monthFirst(byMonth)
	if okDay {
		other = dayFirst(byDay)
	}
	reason := say.F("goes against its column, which has the day first")
	if o.Order == MonthFirst {
		reason = say.F("goes against its column, which has the month first")
	}
	return &Problem{Value: s, Reason: reason, Readings: []say.Text{other}, Suggestion: writeISO()}
}

func dayFirst(t time.Time) say.Text   { return say.F("day first: %s", spell(t)) }
func monthFirst(t time.Time) say.Text { return say.F("month first: %s", spell(t)) }

func spell(t time.Time) say.LongDay { return say.LongDay(t.Unix() / 86400) }

// What more than one place finds wrong with a date.
func noDateAtAll() say.Text { return say.F("is no date") }
func noSuchDay() say.Text   { return say.F("is a day that the calendar does not have") }
func noYear() say.Text      { return say.F("has no year that can be told") }

func one(s string, how How, y, m, d int) (time.Time, How, error) {
	t, ok := civil(y, m, d)
	if !ok {
		return time.Time{}, "", noDate(s, noSuchDay())
	}
	return t, how, nil
}

// year completes a two-digit year.
func (o DateOptions) year(y, digits int) int {
	if digits > 2 {
		return y
	}
	pivot := o.Pivot
	if pivot == 0 {
		pivot = 68
	}
	if y <= pivot {
		return 2000 + y
	}
	return 1900 + y
}

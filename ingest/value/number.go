package value

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/score/say"
)

// Mark is the decimal mark of a column.
type Mark string

// The decimal marks. AnyMark leaves a figure such as 1,234 open.
const (
	AnyMark Mark = ""
	Point   Mark = "."
	Comma   Mark = ","
)

// NumberOptions say what is known of the column. The zero value knows nothing.
type NumberOptions struct {
	Decimal Mark    // as the column's evidence shows it
	Whole   bool    // no figure of the column has three decimals (odometers, prices of vehicles): one mark before three digits parts the thousands
	Scale   float64 // of the heading: 1000 for "x1000 km"; 0 is 1. A cell that states a scale of its own goes by that
	Mil     float64 // what "mil" in a cell counts, in km: 10 in Scandinavia; 0: refuse it, as some write it for miles
}

// ParseNumber reads a figure and its unit ("" if it states none). The value has the scale applied: "12.5 tkm" is 12500 km. What is not a plain
// figure ("ca. 90000", "120000+", a range) is refused: a reading must not be guessed. The error is a *Problem; if one mark before
// three digits leaves two readings, both are named.
//
// A whole figure in the column's unit takes no more than a few nanoseconds; raw cells of a workbook are mostly that.
func ParseNumber(s string, o NumberOptions) (v float64, unit Unit, err error) {
	if n, ok := plainWhole(s); ok {
		if o.Scale > 1 {
			n *= o.Scale
		}
		return n, NoUnit, nil
	}
	if n, ok := plainFraction(s); ok && o.Scale <= 1 {
		return n, NoUnit, nil
	}
	return parseNumber(s, o)
}

// plainFraction reads what workbooks hold raw: digits, a point, and more digits than could be thousands.
func plainFraction(s string) (float64, bool) {
	at := strings.IndexByte(s, '.')
	if at < 1 || len(s)-at == 4 || len(s)-at < 2 || len(s) > 24 {
		return 0, false
	}
	for i := 0; i < len(s); i++ {
		if c := s[i] - '0'; c > 9 && i != at {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// plainWhole reads up to 15 digits: what a float64 holds exactly.
func plainWhole(s string) (float64, bool) {
	if len(s) == 0 || len(s) > 15 {
		return 0, false
	}
	n := 0
	for i := 0; i < len(s); i++ {
		c := s[i] - '0'
		if c > 9 {
			return 0, false
		}
		n = n*10 + int(c)
	}
	return float64(n), true
}

func parseNumber(s string, o NumberOptions) (float64, Unit, error) {
	text := trim(s)
	if missing, excel := IsMissing(text); missing {
		return 0, NoUnit, missingNumber(s, excel)
	}
	f, fault := split(withoutVouching(text))
	if !fault.Empty() {
		return 0, NoUnit, noFigure(s, text, func() error { return notANumber(s, fault) })
	}
	m, ok := f.measure(o)
	if !ok {
		return 0, NoUnit, noFigure(s, text, func() error { return unknownUnit(s, f.unit) })
	}
	mark, ok := f.decimal(o, m.scale)
	if !ok {
		return 0, NoUnit, f.ambiguous(s)
	}
	v, err := strconv.ParseFloat(f.plain(mark), 64)
	if err != nil {
		return 0, NoUnit, notANumber(s, say.F("is no number"))
	}
	return v * m.scale, m.unit, nil
}

// figure is a number taken apart: the digits with their marks, and what stands around them.
type figure struct {
	digits string // ASCII digits, '.' and ',', perhaps a sign in front and an exponent; blanks and apostrophes between thousands are gone
	unit   string
	spaced bool // thousands were parted by blanks or apostrophes: any other mark is a decimal one
	exp    bool
}

// split takes sign, digits and unit apart. A fault is the reason why the text is no figure.
func split(text string) (f figure, fault say.Text) {
	front, rest := currencyInFront(text)
	sign := ""
	if r, n := utf8.DecodeRuneInString(rest); r == '-' || isDash(r) {
		sign, rest = "-", strings.TrimSpace(rest[n:])
	} else if r == '+' {
		rest = rest[1:]
	}
	if front == "" {
		front, rest = currencyInFront(rest)
	}
	end, exp := bodyEnd(rest)
	if end == 0 {
		return f, say.F("is no number")
	}
	body, ok := closeThousands(rest[:end])
	if !ok {
		return f, say.F("has blanks between digits that do not part thousands")
	}
	f = figure{digits: sign + body.digits, spaced: body.spaced, exp: exp, unit: strings.TrimSpace(rest[end:])}
	if f.unit == "" {
		f.unit = front
	}
	return f, marksFault(f)
}

// currencyInFront takes a sign of money, or "km", from the beginning.
func currencyInFront(s string) (unit, rest string) {
	for _, c := range [...]string{"€", "£", "$", "US$", "EUR", "GBP", "USD", "CHF", "SEK", "NOK", "DKK", "PLN", "kr"} {
		if len(s) > len(c) && strings.EqualFold(s[:len(c)], c) {
			return c, strings.TrimLeft(strings.TrimPrefix(s[len(c):], "."), " \u00a0")
		}
	}
	for _, km := range [...]string{"km", "kms"} {
		if n := len(km); len(s) > n && strings.EqualFold(s[:n], km) && (s[n] == ' ' || isDigit(s[n])) {
			return Km, strings.TrimLeft(s[n:], " \u00a0")
		}
	}
	return "", s
}

// bodyEnd finds where digits and their marks end; exp tells that an exponent follows the digits ("1.5E5").
func bodyEnd(s string) (end int, exp bool) {
	for i, r := range s {
		switch {
		case digit(r) >= 0:
			end = i + utf8.RuneLen(r)
		case r == '.' || r == ',' || r == '٫' || isGap(r):
		case (r == 'e' || r == 'E') && end == i && exponent(s[i+1:]) > 0 && !exp:
			return i + 1 + exponent(s[i+1:]), true
		default:
			return markEnd(s, end), false
		}
	}
	return markEnd(s, end), false
}

// markEnd takes in a decimal mark that ends the figure: "1234,", "1234.".
func markEnd(s string, end int) int {
	if end > 0 && end+1 == len(s) && (s[end] == '.' || s[end] == ',') {
		return end + 1
	}
	return end
}

// exponent gives the length of a signed exponent of one to three digits at the beginning, 0 if there is none.
func exponent(s string) int {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	from := i
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	if i == from || i > from+3 {
		return 0
	}
	return i
}

// digit gives the value of an ASCII or full-width digit, else -1. Other scripts' digits are not met in these lists and stay refused.
func digit(r rune) int {
	switch {
	case '0' <= r && r <= '9':
		return int(r - '0')
	case '０' <= r && r <= '９':
		return int(r - '０')
	}
	return -1
}

// isGap reports what may part thousands besides points and commas: blanks of any width, apostrophes.
func isGap(r rune) bool {
	return r == '\'' || r == '’' || r == '‘' || r == '´' || r == '`' || unicode.IsSpace(r)
}

// closeThousands drops blanks and apostrophes between groups of three digits; any other place for them is a fault.
func closeThousands(s string) (f figure, ok bool) {
	var b strings.Builder
	b.Grow(len(s))
	run, gaps := 0, 0
	before := utf8.RuneError
	for _, r := range s {
		d := digit(r)
		switch {
		case isGap(r):
			if digit(before) < 0 || run > 3 || gaps > 0 && run != 3 {
				return f, false
			}
			gaps, run = gaps+1, 0
		case d >= 0:
			b.WriteByte(byte('0' + d))
			run++
		default:
			if gaps > 0 && run != 3 {
				return f, false
			}
			if gaps > 0 {
				f.spaced = true
			}
			gaps, run = 0, 0
			b.WriteRune(r)
		}
		before = r
	}
	if gaps > 0 && run != 3 {
		return f, false
	}
	f.spaced = f.spaced || gaps > 0
	f.digits = b.String()
	return f, !isGap(before)
}

// marksFault refuses marks that fit neither thousands nor one decimal mark: "1.23.4", "1,2,3", "12.34,56".
func marksFault(f figure) say.Text {
	last := lastMark(f.digits)
	if last < 0 {
		return say.Text{}
	}
	points, commas := strings.Count(f.digits, "."), strings.Count(f.digits, ",")
	decimals := points == 0 || commas == 0
	switch {
	case decimals && points+commas == 1:
		return say.Text{}
	case f.spaced || f.exp:
		return say.F("has too many marks for a number")
	case decimals && grouped(f.digits, len(f.digits)):
		return say.Text{}
	case !decimals && strings.Count(f.digits, f.digits[last:last+1]) == 1 && grouped(f.digits, last):
		return say.Text{}
	}
	return say.F("has marks that part neither thousands nor decimals")
}

func lastMark(s string) int { return strings.LastIndexAny(s, ".,") }

// grouped reports that up to end one kind of mark parts groups of three digits, the first of one to three.
func grouped(s string, end int) bool {
	s = strings.TrimPrefix(s[:end], "-")
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == '.' || r == ',' })
	if strings.Contains(s, ".") && strings.Contains(s, ",") || len(parts) == 0 || len(parts[0]) > 3 || s[0] < '0' {
		return false
	}
	for _, p := range parts[1:] {
		if len(p) != 3 {
			return false
		}
	}
	return strings.Count(s, ".")+strings.Count(s, ",") == len(parts)-1
}

// measure finds the unit behind the figure and the scale that goes with it.
func (f figure) measure(o NumberOptions) (measure, bool) {
	heading := max(o.Scale, 0)
	if heading == 0 {
		heading = 1
	}
	if f.unit == "" {
		return measure{NoUnit, heading}, true
	}
	if o.Mil > 0 && strings.EqualFold(strings.TrimSuffix(f.unit, "."), "mil") {
		return measure{Km, o.Mil}, true
	}
	return lookUnit(f.unit)
}

// decimal says which mark is the decimal one; ok is false if the figure has two readings.
func (f figure) decimal(o NumberOptions, scale float64) (mark Mark, ok bool) {
	last := lastMark(f.digits)
	if last < 0 {
		return AnyMark, true
	}
	here := Mark(f.digits[last : last+1])
	other := Point
	if here == Point {
		other = Comma
	}
	switch shape := f.shape(); {
	case shape == oneDecimal:
		return here, true
	case shape == manyThousands:
		return other, true
	case scale >= 1000: // 123.456 tkm are 123456 km; parted thousands would be more than any vehicle runs
		return here, true
	case o.Whole:
		return other, true
	case o.Decimal != AnyMark:
		return o.Decimal, true
	}
	return AnyMark, false
}

// shape is what the marks alone show.
type shape int

const (
	noMark        shape = iota
	oneDecimal          // the last mark can only be a decimal one
	manyThousands       // every mark can only part thousands
	eitherMark          // one mark, one to three digits before and three after it
)

func (f figure) shape() shape {
	last := lastMark(f.digits)
	if last < 0 {
		return noMark
	}
	whole := strings.TrimPrefix(f.digits[:last], "-")
	switch {
	case f.exp || f.spaced:
		return oneDecimal
	case strings.ContainsAny(whole, ".,"):
		if strings.Contains(whole, f.digits[last:last+1]) {
			return manyThousands
		}
		return oneDecimal
	case len(f.digits)-last-1 != 3, len(whole) == 0, len(whole) > 3, whole[0] == '0' && len(whole) < 3: // 082,000 is padded
		return oneDecimal
	}
	return eitherMark
}

// plain writes the figure for strconv, with the marks that are not decimal ones left out.
func (f figure) plain(decimal Mark) string {
	if !strings.ContainsAny(f.digits, ",.") {
		return f.digits
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r != '.' && r != ',':
			return r
		case string(r) == string(decimal):
			return '.'
		}
		return -1
	}, f.digits)
}

func (f figure) ambiguous(s string) error {
	thousands, decimals := f.plain(AnyMark), f.plain(Mark(f.digits[lastMark(f.digits):][:1]))
	return &Problem{Value: s, Reason: say.F("one mark before three digits can part thousands or decimals, and the column does not show which"),
		Readings:   []say.Text{say.Plain(thousands), say.Plain(decimals)},
		whole:      say.F("one mark before three digits can part thousands or decimals, and the column does not show which; it could mean %s or %s", thousands, decimals),
		Suggestion: say.F("write the figure without thousands marks")}
}

func missingNumber(s string, excel bool) error {
	if excel {
		return &Problem{Value: s, Reason: say.F("is an error value of the spreadsheet"), Suggestion: say.F("mend the formula, or clear the cell")}
	}
	return &Problem{Value: s, Reason: say.F("holds no figure"), Suggestion: say.F("fill it in if it is known")}
}

// noFigure says why a text is no plain figure: what stands beside the figure may tell.
func noFigure(s, text string, otherwise func() error) error {
	switch {
	case len(text) > 80:
	case estimated(text):
		return anEstimate(s)
	case DoubtedReading(text) != "", nobodyVouches(text), strings.Contains(Fold(text), "exempt"):
		return doubted(s)
	}
	return otherwise()
}

func notANumber(s string, reason say.Text) error {
	return &Problem{Value: s, Reason: reason, Suggestion: say.F("write the figure alone, its unit in the heading")}
}

func unknownUnit(s, unit string) error {
	if strings.EqualFold(strings.TrimSuffix(unit, "."), "mil") {
		return &Problem{Value: s, Reason: say.F("mil can be the Scandinavian 10 km or short for miles"), Readings: []say.Text{say.F("10 km each"), say.F("miles")},
			Suggestion: say.F("write km or mi, or (mil) in the heading where it is 10 km")}
	}
	if unit == "m" {
		return &Problem{Value: s, Reason: say.F("m can be metres or miles"), Readings: []say.Text{say.F("metres"), say.F("miles")}, Suggestion: say.F("write km or mi")}
	}
	return &Problem{Value: s, Reason: say.F("has %s behind the figure, which is no unit known here", strconv.Quote(shorten(unit, 30))),
		Suggestion: say.F("write the figure alone, its unit in the heading")}
}

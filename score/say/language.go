package say

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Language words texts, numbers and days. It is immutable.
type Language struct {
	Tag  string // BCP 47: "en", "es"
	Name string // in itself

	forms          map[string]string // English form -> this language; nil: as it is
	decimal, group string
	groupFrom      float64 // least number with marks between its thousands (CLDR, minimum grouping digits)
	beforePercent  string
	moneyAfter     bool
	isoDays        bool       // ISODay is written as ISO 8601 has it
	months         [12]string // as days are written (CLDR, abbreviated)
	fullMonths     [12]string // as long days are written (CLDR, wide)
	ofMonth        string     // between the day, a month in full, and the year
	wrap           func(string) string
	joined         func(form, next string) string // the form before the last item of a list, by how that sounds; nil: as it is
}

// The languages. Numbers and days follow CLDR; a test compares them with
// golang.org/x/text.
var (
	English = &Language{
		Tag: "en", Name: "English", decimal: ".", group: ",", groupFrom: 1000, isoDays: true,
		months:     [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
		fullMonths: [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"},
		ofMonth:    " ",
	}
	Spanish = &Language{
		Tag: "es", Name: "español", decimal: ",", group: ".", groupFrom: 10000, beforePercent: "\u00a0", moneyAfter: true,
		months:     [12]string{"ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"},
		fullMonths: [12]string{"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"},
		ofMonth:    " de ",
		forms:      spanish, joined: spanishJoined,
	}
)

// spanishJoined writes "e" for "y" before the sound i, and "u" for "o" before o:
// "sensor e inyector", "7 u 8", "10 u 11".
func spanishJoined(form, next string) string {
	next = strings.ToLower(strings.TrimLeft(next, "“\"«'("))
	sound, silent := strings.CutPrefix(next, "h")
	switch number := leadingNumber(next); {
	case strings.HasPrefix(sound, "í"), strings.HasPrefix(sound, "i") && !(silent && (strings.HasPrefix(sound, "ia") || strings.HasPrefix(sound, "ie"))):
		return strings.Replace(form, " y ", " e ", 1)
	case strings.HasPrefix(sound, "o"), strings.HasPrefix(sound, "ó"), strings.HasPrefix(next, "8"),
		number == "11", strings.HasPrefix(number, "11.") && len(number) == len("11.000"):
		return strings.Replace(form, " o ", " u ", 1)
	}
	return form
}

// leadingNumber is the number that a text begins with, its thousands marked by points.
func leadingNumber(s string) string {
	return s[:len(s)-len(strings.TrimLeft(s, ".0123456789"))]
}

// Languages lists them all, English first.
func Languages() []*Language { return []*Language{English, Spanish} }

// Tags are the languages as a job names them, English first.
func Tags() []string {
	var tags []string
	for _, l := range Languages() {
		tags = append(tags, l.Tag)
	}
	return tags
}

// ByTag finds a language; "" is English.
func ByTag(tag string) (*Language, bool) {
	if tag == "" {
		return English, true
	}
	all := Languages()
	i := slices.IndexFunc(all, func(l *Language) bool { return l.Tag == tag })
	if i < 0 {
		return nil, false
	}
	return all[i], true
}

// Marked is English with the words of every form and the months between marks,
// and values and what is the same in every language outside them; its decimal
// point is "·" and between thousands stands "˙". Tests use it to find words,
// days and numbers that were written past this package.
func Marked(open, end string) *Language {
	l := *English
	l.Tag, l.wrap = "en-x-marked", func(form string) string { return marked(form, open, end) }
	l.decimal, l.group = "·", "˙"
	for i, m := range l.months {
		l.months[i] = open + m + end
	}
	return &l
}

// marked puts the words of a form between marks, and leaves its verbs out.
func marked(form, open, end string) string {
	var b strings.Builder
	for form != "" {
		i, j := nextVerb(form)
		if words := form[:i]; hasLetter(words) {
			b.WriteString(open + words + end)
		} else {
			b.WriteString(words)
		}
		b.WriteString(form[i:j])
		form = form[j:]
	}
	return b.String()
}

// nextVerb is where the next verb of a form begins and ends; its end where
// there is none.
func nextVerb(form string) (begin, end int) {
	begin = strings.IndexByte(form, '%')
	if begin < 0 {
		return len(form), len(form)
	}
	end = begin + 1
	for end < len(form) && strings.IndexByte("[]0123456789", form[end]) >= 0 {
		end++
	}
	return begin, min(end+1, len(form))
}

// Say is the text in this language.
func (l *Language) Say(t Text) string { return t.In(l) }

// F words a form at once, for those who write and do not keep.
func (l *Language) F(form string, values ...any) string {
	return string(l.AppendF(nil, form, values...))
}

// AppendF words a form at once: a value that is a clause of its own appends it so.
func (l *Language) AppendF(to []byte, form string, values ...any) []byte {
	return l.put(to, l.form(form), values...)
}

// form is the wording of an English form. One that the list lacks stays
// English; the list's test does not let that happen.
func (l *Language) form(english string) string {
	s := english
	if l.forms != nil {
		if here, ok := l.forms[english]; ok {
			s = here
		}
	}
	if l.wrap != nil {
		return l.wrap(s)
	}
	return s
}

// put appends a form of this language with the values in their places. A verb
// that has no value stays as it is.
func (l *Language) put(to []byte, form string, values ...any) []byte {
	next := 0
	for form != "" {
		i, j := nextVerb(form)
		verb := form[i:j]
		to = append(to, form[:i]...)
		form = form[j:]
		if n := place(verb); n > 0 {
			next = n - 1
		}
		switch {
		case verb == "%%":
			to = append(to, '%')
		case verb != "" && next < len(values):
			to = l.value(to, verb, values[next])
			next++
		default:
			to = append(to, verb...)
		}
	}
	return to
}

// place is the place that a verb names, as 2 in %[2]s; 0 where it names none.
func place(verb string) (n int) {
	for i := range len(verb) {
		if c := verb[i]; c >= '0' && c <= '9' {
			n = n*10 + int(c-'0')
		}
	}
	return n
}

// value appends what stands for a verb.
func (l *Language) value(to []byte, verb string, value any) []byte {
	switch v := value.(type) {
	case Value:
		return v.AppendIn(to, l)
	case string:
		return append(to, v...)
	case int:
		return strconv.AppendInt(to, int64(v), 10)
	case error:
		return OfError(v).AppendIn(to, l)
	}
	return fmt.Appendf(to, "%"+verb[len(verb)-1:], value)
}

// hasLetter tells a form that has words from one of verbs and punctuation.
func hasLetter(form string) bool {
	for form != "" {
		i, j := nextVerb(form)
		if strings.ContainsFunc(form[:i], unicode.IsLetter) {
			return true
		}
		form = form[j:]
	}
	return false
}

// AppendWhole appends a whole number with marks between its thousands.
func (l *Language) AppendWhole(to []byte, x float64) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	x = math.Round(x)
	var room [24]byte
	digits := strconv.AppendFloat(room[:0], math.Abs(x), 'f', 0, 64)
	if x < 0 {
		to = append(to, '-')
	}
	marks := math.Abs(x) >= l.groupFrom
	for i, c := range digits {
		if marks && i > 0 && (len(digits)-i)%3 == 0 {
			to = append(to, l.group...)
		}
		to = append(to, c)
	}
	return to
}

// AppendNumber appends a number with at most so many decimals, none where it is
// whole, and no marks between thousands.
func (l *Language) AppendNumber(to []byte, x float64, decimals int) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return append(to, '0')
	}
	scale := math.Pow10(decimals)
	return l.pointed(to, math.Round(x*scale)/scale+0, 'f', -1)
}

// AppendFixed appends a number with just so many decimals.
func (l *Language) AppendFixed(to []byte, x float64, decimals int) []byte {
	return l.pointed(to, x, 'f', decimals)
}

// pointed appends a number as strconv writes it, with this language's decimal mark.
func (l *Language) pointed(to []byte, x float64, form byte, digits int) []byte {
	from := len(to)
	to = strconv.AppendFloat(to, x, form, digits, 64)
	if i := bytes.IndexByte(to[from:], '.'); i >= 0 && l.decimal != "." {
		return slices.Replace(to, from+i, from+i+1, []byte(l.decimal)...)
	}
	return to
}

// percent appends a number of percents.
func (l *Language) percent(to []byte, x float64, decimals int) []byte {
	return l.percentSign(l.AppendFixed(to, x, decimals))
}

// percentSign is never parted from its number by a line's end.
func (l *Language) percentSign(to []byte) []byte { return append(append(to, l.beforePercent...), '%') }

package say

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
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
	months         [12]string // as days are written (CLDR, abbreviated)
	wrap           func(string) string
}

// The languages. Numbers and days follow CLDR; a test compares them with
// golang.org/x/text.
var (
	English = &Language{
		Tag: "en", Name: "English", decimal: ".", group: ",", groupFrom: 1000,
		months: [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
	}
	Spanish = &Language{
		Tag: "es", Name: "español", decimal: ",", group: ".", groupFrom: 10000, beforePercent: "\u00a0", moneyAfter: true,
		months: [12]string{"ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sept", "oct", "nov", "dic"},
		forms:  spanishForms(),
	}
)

// Languages lists them all, English first.
func Languages() []*Language { return []*Language{English, Spanish} }

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

// Marked is English with every form between marks, and what is the same in
// every language outside them. Tests use it to find words that do not stand
// in the list.
func Marked(open, end string) *Language {
	l := *English
	l.Tag, l.wrap = "en-x-marked", func(s string) string { return open + s + end }
	return &l
}

// Say is the text in this language.
func (l *Language) Say(t Text) string { return t.In(l) }

// F words a form at once, for those who write and do not keep.
func (l *Language) F(form string, values ...any) string { return F(form, values...).In(l) }

// form is the wording of an English form. One that the list lacks stays
// English; the list's test does not let that happen.
func (l *Language) form(english string) string {
	s := english
	if l.forms != nil {
		if here, ok := l.forms[english]; ok {
			s = here
		}
	}
	if l.wrap != nil && hasLetter(english) {
		return l.wrap(s)
	}
	return s
}

func (l *Language) sprint(form string, values ...any) string {
	return fmt.Sprintf(l.form(form), values...)
}

// render puts the values into the form.
func (l *Language) render(s *saying) string {
	form := l.form(s.form)
	if len(s.values) == 0 {
		return strings.ReplaceAll(form, "%%", "%")
	}
	if form == "%s" && len(s.values) == 1 {
		if v, ok := s.values[0].(Value); ok {
			return v.In(l)
		}
	}
	words := make([]any, len(s.values))
	for i, v := range s.values {
		if t, ok := v.(Value); ok {
			v = t.In(l)
		}
		words[i] = v
	}
	return fmt.Sprintf(form, words...)
}

// hasLetter tells a form that has words from one of verbs and punctuation.
func hasLetter(form string) bool {
	verb := false
	for _, r := range form {
		switch {
		case verb:
			verb = r == '[' || r == ']' || r >= '0' && r <= '9'
		case r == '%':
			verb = true
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r > 127 && strings.ToUpper(string(r)) != strings.ToLower(string(r)):
			return true
		}
	}
	return false
}

// Whole writes a whole number with marks between its thousands.
func (l *Language) Whole(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		x = 0
	}
	x = math.Round(x)
	s := strconv.FormatFloat(math.Abs(x), 'f', 0, 64)
	var b strings.Builder
	if x < 0 {
		b.WriteByte('-')
	}
	marks := math.Abs(x) >= l.groupFrom
	for i := range len(s) {
		if marks && i > 0 && (len(s)-i)%3 == 0 {
			b.WriteString(l.group)
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// Number writes a number with at most so many decimals, none where it is
// whole, and no marks between thousands.
func (l *Language) Number(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	scale := math.Pow10(decimals)
	return l.pointed(strconv.FormatFloat(math.Round(x*scale)/scale+0, 'f', -1, 64))
}

// Fixed writes a number with just so many decimals.
func (l *Language) Fixed(x float64, decimals int) string {
	return l.pointed(strconv.FormatFloat(x, 'f', decimals, 64))
}

// pointed puts this language's decimal mark into a number as Go writes it.
func (l *Language) pointed(s string) string {
	if l.decimal == "." {
		return s
	}
	return strings.Replace(s, ".", l.decimal, 1)
}

func (l *Language) percent(x float64, decimals int) string {
	return l.Fixed(x, decimals) + l.beforePercent + "%"
}

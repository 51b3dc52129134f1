package say

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text is something to say in any language. The zero value says nothing.
type Text struct{ said *saying }

// saying is what a text says. A large run makes dozens for each vehicle.
type saying struct {
	kind   kind
	words  string // a form, or what the kind says
	values []any  // of a form; the texts of the other kinds
}

// kind is what a saying's words and values are.
type kind uint8

const (
	formed      kind = iota // a form with its values
	plain                   // words that are the same in every language
	joined                  // texts with the words between them
	enumerated              // texts with commas between them; words is the form of the last two
	sentence                // clauses
	capitalised             // one text
)

// Value is something whose wording depends on the language. To be worded it
// appends itself to what is there: a table's rows are made in one room.
type Value interface {
	AppendIn(to []byte, l *Language) []byte
}

// F makes a text of a form and its values. The form is an English one that
// stands in the list (words/*.txt), with the verbs %s and %d, or %[1]s where a translation
// turns the order around. A value is a Value, a string that is the same in
// every language (a name, an identifier, somebody's own words), or an integer.
// A number with a fraction, a distance, an amount, a share or a day is a Value
// of this package.
func F(form string, values ...any) Text {
	if len(values) == 0 {
		if t, ok := withoutValues[form]; ok {
			return t
		}
	}
	return Text{&saying{words: form, values: values}}
}

// Listed makes a text of a form out of a table of the program's own, such as
// the meanings of trouble codes; it takes no values. The list's test knows the
// tables.
func Listed(form string) Text {
	if form == "" {
		return Text{}
	}
	return Text{&saying{words: form}}
}

// Plain is a text that is the same in every language: a name, an identifier,
// somebody's own words.
func Plain(s string) Text {
	if s == "" {
		return Text{}
	}
	return Text{&saying{kind: plain, words: s}}
}

// Plainly is a text of a string kind, such as a unit number or a path.
func Plainly[S ~string](s S) Text { return Plain(string(s)) }

// Empty tells that the text says nothing.
func (t Text) Empty() bool { return t.said == nil }

// In is the text in a language.
func (t Text) In(l *Language) string {
	switch {
	case t.Empty():
		return ""
	case t.said.kind == plain:
		return t.said.words
	}
	return string(t.AppendIn(make([]byte, 0, len(t.said.words)+roomOfValue*len(t.said.values)), l))
}

// roomOfValue is what most values find room in, bytes.
const roomOfValue = 16

// AppendIn appends the text in a language.
func (t Text) AppendIn(to []byte, l *Language) []byte {
	if t.Empty() {
		return to
	}
	from := len(to)
	switch s := t.said; s.kind {
	case plain:
		return append(to, s.words...)
	case joined:
		return l.join(to, s.words, s.values)
	case enumerated:
		return l.enumerate(to, s.words, s.values)
	case sentence:
		return append(capital(l.join(to, "; ", s.values), from), '.')
	case capitalised:
		return capital(l.join(to, "", s.values), from)
	default:
		return l.put(to, l.form(s.words), s.values...)
	}
}

// String is the text in English, for tests, logs and errors.
func (t Text) String() string { return t.In(English) }

// Or is the first text that says something.
func Or(texts ...Text) Text {
	for _, t := range texts {
		if !t.Empty() {
			return t
		}
	}
	return Text{}
}

// Join puts punctuation or a space between texts; those that say nothing are
// left out.
func Join(sep string, texts ...Text) Text { return list(joined, sep, texts) }

// And lists texts as a sentence does: "a", "a and b", "a, b and c".
func And(texts ...Text) Text { return list(enumerated, "%s and %s", texts) }

// Alternatives lists texts of which one is meant: "a, b or c".
func Alternatives(texts ...Text) Text { return list(enumerated, "%s or %s", texts) }

// list is a text of those texts that say something.
func list(k kind, words string, texts []Text) Text {
	if n := countSaid(texts); n > 1 {
		return Text{&saying{k, words, said(texts, n)}}
	}
	return Or(texts...)
}

// countSaid counts the texts that say something.
func countSaid(texts []Text) (n int) {
	for _, t := range texts {
		if !t.Empty() {
			n++
		}
	}
	return n
}

// said are the texts that say something, n of them.
func said(texts []Text, n int) []any {
	out := make([]any, 0, n)
	for _, t := range texts {
		if !t.Empty() {
			out = append(out, t)
		}
	}
	return out
}

// Of is the text of one value.
func Of(v Value) Text { return Text{&saying{words: "%s", values: []any{v}}} }

// join appends texts with a separator between them.
func (l *Language) join(to []byte, sep string, texts []any) []byte {
	for i, t := range texts {
		if i > 0 {
			to = append(to, sep...)
		}
		to = t.(Text).AppendIn(to, l)
	}
	return to
}

// enumerate appends texts with commas between them; before the last stands what
// the form of two has there, in some languages by how the last begins.
func (l *Language) enumerate(to []byte, form string, texts []any) []byte {
	last := len(texts) - 1
	to = l.join(to, ", ", texts[:last])
	from := len(to)
	to = texts[last].(Text).AppendIn(to, l)
	form = l.form(form)
	if l.joined != nil {
		form = l.joined(form, string(to[from:min(len(to), from+enoughToHear)]))
	}
	between := strings.TrimSuffix(strings.TrimPrefix(form, "%s"), "%s")
	return slices.Insert(to, from, []byte(between)...)
}

// enoughToHear is how much of a text tells how it begins, bytes.
const enoughToHear = 32

// Sentence joins clauses by semicolons; the first letter is a capital and a
// stop ends it.
func Sentence(clauses ...Text) Text {
	n := countSaid(clauses)
	if n == 0 {
		return Text{}
	}
	return Text{&saying{sentence, "", said(clauses, n)}}
}

// capital writes the letter that stands at a place large.
func capital(text []byte, at int) []byte {
	r, n := utf8.DecodeRune(text[at:])
	large := unicode.ToUpper(r)
	if large == r {
		return text
	}
	var room [utf8.UTFMax]byte
	return slices.Replace(text, at, at+n, utf8.AppendRune(room[:0], large)...)
}

// Capitalised is a text whose first letter is large, to begin a sentence.
func Capitalised(t Text) Text {
	if t.Empty() {
		return t
	}
	return Text{&saying{capitalised, "", []any{t}}}
}

// OfError is an error in words: what NewError made, or any error that has a
// Text of its own; one of the system or of a library is quoted as it is.
func OfError(err error) Text {
	if err == nil {
		return Text{}
	}
	if t, ok := err.(interface{ Text() Text }); ok {
		return t.Text()
	}
	return Plain(err.Error())
}

// NewError makes an error of a form and its values, for one that people read
// in an output as well as on a terminal. Its own Error is English. A value may
// be an error, which it wraps.
func NewError(form string, values ...any) error {
	e := &spoken{text: F(form, values...)}
	for _, v := range values {
		if err, ok := v.(error); ok {
			e.wraps = append(e.wraps, err)
		}
	}
	return e
}

type spoken struct {
	text  Text
	wraps []error
}

func (e *spoken) Error() string   { return e.text.String() }
func (e *spoken) Text() Text      { return e.text }
func (e *spoken) Unwrap() []error { return e.wraps }

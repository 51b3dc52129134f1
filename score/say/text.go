package say

import (
	"fmt"
	"strings"
)

// Text is something to say in any language. The zero value says nothing.
type Text struct{ said *saying }

// saying is a form with its values, or, where form is "", a plain string that
// is the same in every language.
type saying struct {
	form   string
	plain  string
	values []any
}

// Value is something whose wording depends on the language.
type Value interface {
	In(l *Language) string
}

// F makes a text of a form and its values. The form is an English one that
// stands in the list (words/*.txt), with the verbs %s and %d, or %[1]s where a translation
// turns the order around. A value is a Value, a string that is the same in
// every language (a name, an identifier, somebody's own words), or an integer.
// A number with a fraction, a distance, an amount, a share or a day is a Value
// of this package.
func F(form string, values ...any) Text {
	if t, ok := withoutValues[form]; ok && len(values) == 0 {
		return t
	}
	return Text{&saying{form: form, values: values}}
}

// Listed makes a text of a form out of a table of the program's own, such as
// the meanings of trouble codes; it takes no values. The list's test knows the
// tables.
func Listed(form string) Text {
	if form == "" {
		return Text{}
	}
	return Text{&saying{form: form}}
}

// Plain is a text that is the same in every language: a name, an identifier,
// somebody's own words.
func Plain(s string) Text {
	if s == "" {
		return Text{}
	}
	return Text{&saying{plain: s}}
}

// Plainly is a text of a string kind, such as a unit number or a path.
func Plainly[S ~string](s S) Text { return Plain(string(s)) }

// Empty tells that the text says nothing.
func (t Text) Empty() bool { return t.said == nil }

// In is the text in a language.
func (t Text) In(l *Language) string {
	if t.said == nil {
		return ""
	}
	if t.said.form == "" {
		return t.said.plain
	}
	return l.render(t.said)
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

// listed are texts one after another.
type listed struct {
	items []Text
	sep   string
	last  string // before the last item, a form; "" as sep
}

// Join puts punctuation or a space between texts; those that say nothing are
// left out.
func Join(sep string, texts ...Text) Text {
	return list(listed{items: said(texts), sep: sep})
}

// And lists texts as a sentence does: "a", "a and b", "a, b and c".
func And(texts ...Text) Text {
	return list(listed{items: said(texts), sep: ", ", last: "%s and %s"})
}

// Alternatives lists texts of which one is meant: "a, b or c".
func Alternatives(texts ...Text) Text {
	return list(listed{items: said(texts), sep: ", ", last: "%s or %s"})
}

func said(texts []Text) []Text {
	out := make([]Text, 0, len(texts))
	for _, t := range texts {
		if !t.Empty() {
			out = append(out, t)
		}
	}
	return out
}

func list(l listed) Text {
	switch len(l.items) {
	case 0:
		return Text{}
	case 1:
		return l.items[0]
	}
	return Of(l)
}

// Of is the text of one value.
func Of(v Value) Text { return Text{&saying{form: "%s", values: []any{v}}} }

func (t listed) In(l *Language) string {
	words := make([]string, len(t.items))
	for i, item := range t.items {
		words[i] = item.In(l)
	}
	if t.last == "" {
		return strings.Join(words, t.sep)
	}
	n := len(words) - 1
	form := l.form(t.last)
	if l.joined != nil {
		form = l.joined(form, words[n])
	}
	return fmt.Sprintf(form, strings.Join(words[:n], t.sep), words[n])
}

// Sentence joins clauses by semicolons; the first letter is a capital and a
// stop ends it.
func Sentence(clauses ...Text) Text {
	clauses = said(clauses)
	if len(clauses) == 0 {
		return Text{}
	}
	return Of(sentence(clauses))
}

type sentence []Text

func (s sentence) In(l *Language) string {
	return Capital(Join("; ", s...).In(l)) + "."
}

// Capital writes a text's first letter large.
func Capital(s string) string {
	for _, r := range s {
		return strings.ToUpper(string(r)) + s[len(string(r)):]
	}
	return s
}

// Capitalised is a text whose first letter is large, to begin a sentence.
func Capitalised(t Text) Text {
	if t.Empty() {
		return t
	}
	return Of(capitalised{t})
}

type capitalised struct{ text Text }

func (c capitalised) In(l *Language) string { return Capital(c.text.In(l)) }

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

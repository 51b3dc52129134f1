package phrase

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Breaks between words, by strength. A statement may cross a pause, a noun may not; what a clause says may refer back
// across any of them.
const (
	noBreak  = 0
	joined   = 1 // "and" between two pieces of work
	pause    = 2 // colon, dash, bracket
	comma    = 3
	sentence = 4 // full stop, semicolon, question mark, line end
)

// longest is the greatest length in bytes of a folded word that is looked up; longer ones are content nobody knows.
const longest = 48

// reader cuts a text into folded words without allocating.
type reader struct {
	text string
	pos  int

	buf, stem  [longest + 8]byte
	word       []byte // folded; empty for a word too long to be looked up
	start, end int    // offsets in text
	gap        uint8  // the break before the word
	stop       bool   // that break is a lone full stop, which may end a short form only
	initial    bool   // the word is one letter and a slash: "F/pump"
	number     bool   // the word holds a digit
	depth      int    // of brackets
}

// next moves to the next word and tells whether there is one.
func (r *reader) next() bool {
	r.skip()
	if r.pos >= len(r.text) {
		return false
	}
	r.start, r.initial, r.number = r.pos, false, false
	if c := r.text[r.pos]; c == '&' || c == '+' || c == '/' {
		r.pos++
		r.word, r.end = append(r.buf[:0], "and"...), r.pos
		return true
	}
	if r.compound() {
		return true
	}
	r.letters()
	r.end = r.pos
	if len(r.word) == 1 && !r.number && r.pos+1 < len(r.text) && r.text[r.pos] == '/' && r.startsWord(r.pos+1) {
		r.initial = true
		r.pos++
	}
	return true
}

// skip passes everything that is no word, and notes the strongest break in it.
func (r *reader) skip() {
	r.gap, r.stop = noBreak, false
	for r.pos < len(r.text) {
		c, n := utf8.DecodeRuneInString(r.text[r.pos:])
		if wordRune(c) || c == '&' || c == '+' || c == '/' && r.joins(r.pos) {
			return
		}
		b := breakOf(c)
		if c == '-' && (!r.spaced(r.pos) || r.suspended(r.pos)) {
			b = noBreak
		}
		r.bracket(c, b)
		r.stop = c == '.' && r.gap == noBreak || r.stop && b == noBreak
		r.gap = max(r.gap, b)
		r.pos += n
	}
}

// spaced tells whether the mark at i has a blank on either side.
func (r *reader) spaced(i int) bool {
	return i == 0 || i+1 >= len(r.text) || r.text[i-1] == ' ' || r.text[i+1] == ' '
}

func (r *reader) startsWord(i int) bool {
	c, _ := utf8.DecodeRuneInString(r.text[i:])
	return unicode.IsLetter(c)
}

// suspended tells whether the hyphen at i leaves a word's end to the next one: "aus- und eingebaut".
func (r *reader) suspended(i int) bool {
	rest := r.text[i+1:]
	return i > 0 && r.text[i-1] != ' ' && len(rest) > 5 && rest[0] == ' ' && strings.EqualFold(strings.TrimLeft(rest, " ")[:min(4, len(strings.TrimLeft(rest, " ")))], "und ")
}

// bracket keeps count of open brackets. A sentence ends them all, for not every one is closed.
func (r *reader) bracket(c rune, b uint8) {
	switch {
	case c == '(' || c == '[':
		r.depth++
	case b == sentence:
		r.depth = 0
	case (c == ')' || c == ']') && r.depth > 0:
		r.depth--
	}
}

// joins tells whether the slash at i stands between words of some length, and so means "and".
func (r *reader) joins(i int) bool {
	next := strings.TrimLeft(r.text[i+1:], " ")
	return i > 0 && len(next) > 1 && lower(next[0]) >= 'a' && lower(next[1]) >= 'a'
}

// breakOf gives the strength of the break that a mark makes.
func breakOf(c rune) uint8 {
	switch c {
	case ':', '-', '(', ')', '[', ']', '–', '—', '>', '=':
		return pause
	case ',', '、':
		return comma
	case '.', ';', '?', '!', '\n', '\r', '|', '…', '•', '*':
		return sentence
	}
	return noBreak
}

// compound reads a short form with marks inside it, such as "R&R" or "i.O.".
func (r *reader) compound() bool {
	if r.pos+2 >= len(r.text) || !strings.ContainsRune("/&.+- ", rune(r.text[r.pos+1])) {
		return false
	}
	for i := range compounds {
		c := &compounds[i]
		if n := r.matches(c.form); n > 0 {
			r.word = append(r.buf[:0], c.word...)
			r.pos += n
			r.end = r.pos
			return true
		}
	}
	return false
}

// matches gives the length in bytes of an ASCII form at the position, in any case and with any number of blanks where
// it has one; 0 where it does not stand there as a whole word.
func (r *reader) matches(form string) int {
	p := r.pos
	for i := 0; i < len(form); i++ {
		if p >= len(r.text) || lower(r.text[p]) != form[i] {
			return 0
		}
		p++
		for form[i] == ' ' && p < len(r.text) && r.text[p] == ' ' {
			p++
		}
	}
	if p < len(r.text) {
		if c, _ := utf8.DecodeRuneInString(r.text[p:]); wordRune(c) {
			return 0
		}
	}
	return p - r.pos
}

func lower(b byte) byte {
	if 'A' <= b && b <= 'Z' {
		return b + 'a' - 'A'
	}
	return b
}

// letters reads one plain word. An apostrophe inside it is dropped ("repl'd", "doesn't"), but ends the short first
// word of French ("l'huile"); a comma or a full stop between digits belongs to the number.
func (r *reader) letters() {
	r.word = r.buf[:0]
	long, count := false, 0
	for r.pos < len(r.text) {
		c, n := utf8.DecodeRuneInString(r.text[r.pos:])
		if !wordRune(c) && !r.inside(c, n, count) {
			if elides(c) && count == 1 && !r.number {
				r.pos += n
			}
			break
		}
		if wordRune(c) {
			r.number = r.number || unicode.IsDigit(c)
			count++
			if len(r.word) > longest {
				long = true
			} else {
				r.word = appendFolded(r.word, c)
			}
		}
		r.pos += n
		if string(r.word) == "re" && r.pos < len(r.text) && r.text[r.pos] == '-' && r.pos+1 < len(r.text) && r.startsWord(r.pos+1) {
			r.pos++ // "re-fitted"
		}
	}
	switch {
	case long:
		r.word = r.word[:0]
	case len(r.word) >= 5 && len(r.word) <= 6 && r.word[0] == 'g' && r.endsClause():
		r.wornInPortuguese()
	}
}

// endsClause tells whether a mark or the end of the text follows.
func (r *reader) endsClause() bool {
	rest := strings.TrimLeft(r.text[r.pos:], " ")
	return rest == "" || strings.IndexByte(".,;:)\n", rest[0]) >= 0
}

// wornInPortuguese reads "gasta" at the end of a clause as worn. Before other words it may be Spanish: an engine that burns oil.
func (r *reader) wornInPortuguese() {
	switch string(r.word) {
	case "gasta", "gastas":
		r.word = append(r.buf[:0], "desgastada"...)
	}
}

// inside tells whether the mark c, which ends at pos+n, stands within a word.
func (r *reader) inside(c rune, n, count int) bool {
	if r.pos+n >= len(r.text) {
		return false
	}
	next, _ := utf8.DecodeRuneInString(r.text[r.pos+n:])
	switch {
	case elides(c):
		after, _ := utf8.DecodeRuneInString(r.text[min(len(r.text), r.pos+n+utf8.RuneLen(next)):])
		return unicode.IsLetter(next) && (count > 1 || !unicode.IsLetter(after))
	case c == '.' || c == ',':
		return r.number && unicode.IsDigit(next)
	}
	return false
}

func elides(c rune) bool { return c == '\'' || c == '’' || c == '´' || c == '`' }

// wordRune tells whether the rune is part of words. Marks that only dress or part letters (combining accents, soft
// hyphens, zero-width blanks) are.
func wordRune(c rune) bool {
	if c < utf8.RuneSelf {
		return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9'
	}
	return c != utf8.RuneError && (unicode.IsLetter(c) || unicode.IsDigit(c) || dropped(c))
}

func dropped(c rune) bool {
	return unicode.Is(unicode.Mn, c) || c == 0xAD || c == 0x200B || c == 0xFEFF
}

// latinBase gives the plain letter under a dressed one, for U+00C0 to U+024F; 0 where there is none.
var latinBase = func() (t [0x250 - 0xC0]byte) {
	for c := range t {
		d := norm.NFD.String(strings.ToLower(string(rune(c + 0xC0))))
		if 'a' <= d[0] && d[0] <= 'z' {
			t[c] = d[0]
		}
	}
	for _, p := range []string{"øo", "Øo", "łl", "Łl", "đd", "Đd", "ıi", "ħh", "Ħh", "ŧt", "Ŧt", "ſs"} {
		c, n := utf8.DecodeRuneInString(p)
		t[c-0xC0] = p[n]
	}
	return t
}()

// appendFolded appends the rune in lower case and without its diacritics, so that "geprüft" and "GEPRUFT" are one word.
func appendFolded(b []byte, c rune) []byte {
	switch {
	case c < utf8.RuneSelf:
		return append(b, lower(byte(c)))
	case dropped(c):
		return b
	case c == 'ß' || c == 'ẞ':
		return append(b, "ss"...)
	case c == 'æ' || c == 'Æ' || c == 'œ' || c == 'Œ':
		return append(b, "ae"...)
	case c == 'þ' || c == 'Þ':
		return append(b, "th"...)
	case 0xFF21 <= c && c <= 0xFF5A: // full-width letters
		return append(b, lower(byte(c-0xFEE0)))
	}
	if 0xC0 <= c && c < 0x250 && latinBase[c-0xC0] != 0 {
		return append(b, latinBase[c-0xC0])
	}
	return utf8.AppendRune(b, unicode.ToLower(unicode.ToUpper(c)))
}

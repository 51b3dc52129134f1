package dtc

import (
	"strings"

	"pitlist/score/say"
)

// isDigitLike reports whether b is a digit or a letter commonly typed for one.
func isDigitLike(b byte) bool { return isDigit(b) || b == 'O' || b == 'I' || b == 'L' }

var digitFor = strings.NewReplacer("O", "0", "I", "1", "L", "1")

// diagnose looks at a word that begins like a J2012 code and isn't one. It
// becomes a fault if it was probably meant as one; other words (a connector, a
// sensor's place, a part) are text.
func (s *scanner) diagnose(token string) int {
	body := token[1:]
	digits := digitCount(body)
	alone := s.leads()
	if len(body) < 3 || len(body) > 8 || !isDigitLike(body[0]) || digits < 2 || digits < 3 && !alone {
		return 0
	}
	reason, suggestion := s.reason(token)
	if reason.Empty() || !alone && !suggestion.Valid() && len(body) != 4 {
		return 0
	}
	s.fault(s.text[s.pos:s.pos+len(token)], reason, suggestion)
	return len(token)
}

// reason says why a word is no code and what to do.
func (s *scanner) reason(token string) (say.Text, Code) {
	body := token[1:]
	if c, ok := lookAlikeCode(token); ok {
		return say.F("a letter O or I stands where a digit belongs: write %s if that is the code", c.String()), c
	}
	switch {
	case len(body) == 3 && allHex(body):
		return say.F("four characters, a code has five: %s0%s, or %s0?", token[:1], body, token), Code{}
	case len(body) == 4 && body[0] > '3':
		return say.F("the second character of a code is 0, 1, 2 or 3: check how it was typed"), Code{}
	case len(body) == 4:
		return say.F("the last three characters of a code are hexadecimal, 0-9 and A-F: check how it was typed"), Code{}
	case !allHex(body):
		return say.Text{}, Code{}
	case len(body) == 6:
		return say.F("seven characters run together: write %s-%s if that is a code with failure type", token[:5], token[5:]), Code{}
	}
	return say.F("%d characters: a code has five, or seven with its failure type", len(token)), Code{}
}

// lookAlikeCode reads a word with O for 0 and I for 1.
func lookAlikeCode(token string) (Code, bool) {
	if !strings.ContainsAny(token[1:], "OIL") {
		return Code{}, false
	}
	plain := token[:1] + digitFor.Replace(token[1:])
	c, n := leadingCode(plain[:min(len(plain), 5)])
	switch {
	case n == 0:
		return Code{}, false
	case len(plain) == 7 && allHex(plain[5:]):
		return c.WithFailureType(hexValue(plain[5])<<4 | hexValue(plain[6])), true
	}
	return c, len(plain) == 5
}

func allHex(s string) bool {
	for i := range len(s) {
		if hexValue(s[i]) > 15 {
			return false
		}
	}
	return true
}

// takeIncomplete reports words that fill a piece of their own and lack a part:
// "0301" (no letter), "X0301" (no such letter), "3.01E+02" (a spreadsheet made
// a number of it), and in a J1939 column a number alone.
func (s *scanner) takeIncomplete() int {
	n := s.chainLength()
	if s.pos+n < len(s.up) && s.up[s.pos+n] == '+' { // 3.01E+02
		n += 1 + s.runLength(s.pos+n+1)
	}
	word := s.up[s.pos : s.pos+n]
	if !s.endsPiece(s.pos+n) || !s.leads() {
		return 0
	}
	switch {
	case isScientific(word):
		return s.incomplete(n, say.F("a spreadsheet turned this into a number: format the column as text and enter the code again"))
	case s.o.J1939 && digitCount(word) == n:
		return s.incomplete(n, say.F("a number alone: write SPN and FMI, as SPN 636 FMI 2"))
	case n <= 2 && digitCount(word) == n && s.followsJ1939():
		return s.incomplete(n, say.F("a number alone behind an SPN and FMI: write SPN and FMI again, or OC before a count"))
	case n == 4 && digitCount(word) == 4 && word[0] == '0':
		return s.incomplete(n, say.F("the first letter is missing: P%s, C%s, B%s or U%s?", word, word, word, word))
	case n == 5 && !isDigit(word[0]) && word[1] <= '3' && digitCount(word) >= 3 && allHex(word[1:]) && letterValue(word[0]) > 3:
		return s.incomplete(n, say.F("the first letter of a code is P, C, B or U: check how it was typed"))
	}
	return 0
}

// followsJ1939 reports whether the piece before was a J1939 code: "SPN 636
// FMI 2/5" may mean a second FMI, and must not be passed over.
func (s *scanner) followsJ1939() bool {
	n := len(s.spans)
	if n == 0 || !s.spans[n-1].code.IsJ1939() {
		return false
	}
	between := s.up[min(s.spans[n-1].end, s.pos):s.pos]
	return strings.Trim(between, " ,/&+") == ""
}

func (s *scanner) incomplete(n int, reason say.Text) int {
	s.fault(s.text[s.pos:s.pos+n], reason, Code{})
	return n
}

// isScientific reports whether w is a number such as 3.01E+02.
func isScientific(w string) bool {
	whole, exponent, ok := strings.Cut(w, "E+")
	return ok && whole != "" && exponent != "" && digitCount(exponent) == len(exponent) &&
		strings.Trim(whole, "0123456789.") == ""
}

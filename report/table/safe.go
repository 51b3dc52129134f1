package table

import (
	"strings"
	"unicode/utf8"
)

// risky are the first characters by which a spreadsheet takes a cell for a
// formula, or drops it and looks at the next (OWASP, CSV Injection; their
// full-width forms from memory).
const risky = "=+-@\t\r\n＝＋－＠"

// Safe makes a text cell harmless when the file is opened in a spreadsheet: a
// cell that begins like a formula gets a leading apostrophe. Real numbers
// ("-12.5", "+47") are left alone. What is not UTF-8 becomes U+FFFD.
func Safe(text string) string {
	if text == "" {
		return ""
	}
	text = strings.ToValidUTF8(text, "\uFFFD")
	first, _ := utf8.DecodeRuneInString(text)
	if strings.ContainsRune(risky, first) && !isNumber(text) {
		text = "'" + text
	}
	return safeInside(text)
}

// parts are the characters at which a spreadsheet begins another cell when it takes
// the file for one of other separators, as it does where the list separator of its
// country is a semicolon. Quotation marks then protect nothing.
const parts = ";\t\n\r"

// safeInside sets an apostrophe where a cell would begin like a formula, blanks and
// quotation marks aside, if the text were parted. A mark with a blank behind it is a dash or a bullet.
func safeInside(text string) string {
	if text[0] != ' ' && text[0] != '"' && !strings.ContainsAny(text, parts) {
		return text
	}
	var b strings.Builder // what stands before an apostrophe, and it
	for i := 0; ; {
		for ; i < len(text) && strings.IndexByte(" \"", text[i]) >= 0; i++ {
		}
		if beginsFormula(text[i:]) {
			b.WriteString(text[:i])
			b.WriteByte('\'')
			text, i = text[i:], 0
		}
		next := strings.IndexAny(text[i:], parts)
		if next < 0 {
			break
		}
		i += next + 1
	}
	if b.Len() == 0 {
		return text // the ordinary case
	}
	b.WriteString(text)
	return b.String()
}

// longestNumber is how long a figure may be.
const longestNumber = 64

func beginsFormula(text string) bool {
	first, n := utf8.DecodeRuneInString(text)
	if !strings.ContainsRune(risky, first) || strings.ContainsRune(parts, first) || n >= len(text) || text[n] == ' ' {
		return false
	}
	piece, _, _ := strings.Cut(text[:min(len(text), longestNumber+1)], ";")
	return len(piece) > longestNumber || !isNumber(strings.TrimSpace(piece))
}

// isNumber accepts an optional sign, digits, and at most one decimal point or
// comma between digits; nothing a spreadsheet could calculate.
func isNumber(s string) bool {
	if s[0] == '+' || s[0] == '-' {
		s = s[1:]
	}
	digits, points := 0, 0
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			digits++
		case (c == '.' || c == ',') && i > 0 && i < len(s)-1:
			points++
		default:
			return false
		}
	}
	return digits > 0 && points <= 1
}

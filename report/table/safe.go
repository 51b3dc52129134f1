package table

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// risky are the first characters by which a spreadsheet takes a cell for a
// formula, or drops it and looks at the next (OWASP, CSV Injection; their
// full-width forms from memory).
const risky = "=+-@\t\r\n＝＋－＠"

// Safe makes a text cell harmless when the file is opened in a spreadsheet: a
// cell that begins like a formula gets a leading apostrophe. Real numbers
// ("-12.5", "+47") are left alone. What is not UTF-8 becomes U+FFFD. A cell that
// is harmless is returned itself.
func Safe(cell []byte) []byte {
	if len(cell) == 0 {
		return cell
	}
	if !utf8.Valid(cell) {
		cell = bytes.ToValidUTF8(cell, []byte("\uFFFD"))
	}
	first, _ := utf8.DecodeRune(cell)
	if strings.ContainsRune(risky, first) && !isNumber(cell) {
		cell = append([]byte{'\''}, cell...)
	}
	return safeInside(cell)
}

// parts are the characters at which a spreadsheet begins another cell when it takes
// the file for one of other separators, as it does where the list separator of its
// country is a semicolon. Quotation marks then protect nothing.
const parts = ";\t\n\r"

// safeInside sets an apostrophe where a cell would begin like a formula, blanks and
// quotation marks aside, if the text were parted. A mark with a blank behind it is a dash or a bullet.
func safeInside(cell []byte) []byte {
	if cell[0] != ' ' && cell[0] != '"' && !bytes.ContainsAny(cell, parts) {
		return cell
	}
	var safe []byte // what stands before an apostrophe, and it
	for i := 0; ; {
		for ; i < len(cell) && (cell[i] == ' ' || cell[i] == '"'); i++ {
		}
		if beginsFormula(cell[i:]) {
			safe = append(append(safe, cell[:i]...), '\'')
			cell, i = cell[i:], 0
		}
		next := bytes.IndexAny(cell[i:], parts)
		if next < 0 {
			break
		}
		i += next + 1
	}
	if safe == nil {
		return cell // the ordinary case
	}
	return append(safe, cell...)
}

// longestNumber is how long a figure may be.
const longestNumber = 64

func beginsFormula(text []byte) bool {
	first, n := utf8.DecodeRune(text)
	if !strings.ContainsRune(risky, first) || strings.ContainsRune(parts, first) || n >= len(text) || text[n] == ' ' {
		return false
	}
	piece, _, _ := bytes.Cut(text[:min(len(text), longestNumber+1)], []byte(";"))
	return len(piece) > longestNumber || !isNumber(bytes.TrimSpace(piece))
}

// isNumber accepts an optional sign, digits, and at most one decimal point or
// comma between digits; nothing a spreadsheet could calculate.
func isNumber(s []byte) bool {
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

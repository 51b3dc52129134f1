package main

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// printable hands text to a terminal without the control characters that a
// file's name or a cell may hold: an escape sequence could hide a line or
// write another over it. Line feeds and tabs pass.
type printable struct{ w io.Writer }

// Write writes p with a question mark for each control character; the count is
// that of p.
func (t printable) Write(p []byte) (int, error) {
	if !strings.ContainsFunc(string(p), unprintable) {
		return t.w.Write(p)
	}
	if _, err := io.WriteString(t.w, printing(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// unprintable sees controls (ISO/IEC 6429) and the marks that turn the
// direction of writing (Unicode 16, 23.2).
func unprintable(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}

func printing(s string) string {
	var b strings.Builder
	for len(s) > 0 {
		r, n := utf8.DecodeRuneInString(s)
		if unprintable(r) {
			b.WriteByte('?')
		} else {
			b.WriteString(s[:n]) // a byte that is no character passes as it is
		}
		s = s[n:]
	}
	return b.String()
}

package value

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// firsts are the letters that the first byte of a letter becomes where UTF-8 was read as Latin-1: of U+0080 to U+017F, of Cyrillic, and of the signs
// from U+2000 on.
const firsts = "ÂÃÄÅÐÑâ"

// MendTwice takes back that a text was encoded twice: its UTF-8 was read as Latin-1 (or windows-1252) and saved as UTF-8 again, "MotÃ¶r" for "Motör". ok is
// false where the text is not sure to be such: every sign of it beyond ASCII must be part of a letter so taken apart.
func MendTwice(s string) (mended string, ok bool) {
	if rest, mark := strings.CutPrefix(s, "ï»¿"); mark { // the mark at the beginning of a file
		mended, _ = MendTwice(rest)
		return mended, true
	}
	if !strings.ContainsAny(s, firsts) {
		return s, false
	}
	out := make([]byte, 0, len(s))
	sure, before := false, ' '
	for i, r := range s {
		b, known := asByte(r)
		if !known {
			return s, false
		}
		out = append(out, b)
		if r >= utf8.RuneSelf && strings.ContainsRune(firsts, r) {
			next, n := utf8.DecodeRuneInString(s[i+utf8.RuneLen(r):])
			after, _ := utf8.DecodeRuneInString(s[i+utf8.RuneLen(r)+n:])
			// "MAÇÃ…" and "IRMÃ”" may be meant: a capital, and a sign that ends a word
			sure = sure || !unicode.IsUpper(before) || !unicode.IsPunct(next) || unicode.IsLetter(after)
		}
		before = r
	}
	if !sure || !utf8.Valid(out) {
		return s, false
	}
	return string(out), true
}

// asByte is the byte of windows-1252 that a sign stands for; its undefined bytes become the control characters of the same number.
func asByte(r rune) (byte, bool) {
	if r < utf8.RuneSelf || r >= 0x80 && r <= 0x9F {
		return byte(r), true
	}
	return charmap.Windows1252.EncodeRune(r)
}

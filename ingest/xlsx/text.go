package xlsx

import (
	"bytes"
	"unicode/utf8"
)

// Classes of bytes in XML 1.0, for the fast walk.
var (
	isSpace   = [256]bool{' ': true, '\t': true, '\n': true, '\r': true}
	isName    = nameTable()
	isSpecial = specialTable()
)

// nameTable marks the ASCII bytes of names.
func nameTable() (t [256]bool) {
	for c := range t {
		t[c] = 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || '0' <= c && c <= '9' || c == '_' || c == '-' || c == '.' || c == ':'
	}
	return t
}

// specialTable marks the bytes of text that need a closer look.
func specialTable() (t [256]bool) {
	for c := range t {
		t[c] = c < 0x20 && c != '\t' && c != '\n' || c >= 0x7F || c == '&' || c == '<' || c == '>'
	}
	return t
}

// nameLength counts the bytes of a name at the front of b.
func nameLength(b []byte) int {
	for i, c := range b {
		if !isName[c] {
			return i
		}
	}
	return len(b)
}

// localName cuts the prefix off a name; nil if it is not a plain name.
func localName(name []byte) []byte {
	if !beginsName(name) {
		return nil
	}
	i := bytes.IndexByte(name, ':')
	if i < 0 {
		return name
	}
	local := name[i+1:]
	if !beginsName(local) || bytes.IndexByte(local, ':') >= 0 {
		return nil
	}
	return local
}

// beginsName tells whether a name may begin like this.
func beginsName(b []byte) bool {
	if len(b) == 0 {
		return false
	}
	c := b[0]
	return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '_'
}

// validText checks character data, or an attribute's value, for what XML 1.0 allows
// (2.2 Char, 2.4 "]]>", 4.1 references). plain tells that it stands for itself:
// nothing in it has to be decoded.
func validText(b []byte, quoted bool) (plain, ok bool) {
	plain = true
	for i := 0; i < len(b); {
		c := b[i]
		if !isSpecial[c] {
			i++
			continue
		}
		n := 0
		switch {
		case c == '&':
			_, n = reference(b[i:])
			plain = false
		case c == '\r':
			n, plain = 1, false
		case c == '>':
			if quoted || !bytes.HasSuffix(b[:i], []byte("]]")) {
				n = 1
			}
		case c >= 0x7F:
			n = runeLength(b[i:])
		}
		if n == 0 {
			return false, false
		}
		i += n
	}
	return plain, true
}

// decodeText appends valid character data to dst as XML means it: references become
// characters (4.1), and every end of a line is a line feed (2.11).
func decodeText(dst, b []byte) []byte {
	for i := 0; i < len(b); {
		switch c := b[i]; c {
		case '&':
			r, n := reference(b[i:])
			dst = utf8.AppendRune(dst, r)
			i += n
		case '\r':
			dst = append(dst, '\n')
			if i++; i < len(b) && b[i] == '\n' {
				i++
			}
		default:
			dst = append(dst, c)
			i++
		}
	}
	return dst
}

// runeLength is the length of a character that XML allows, 0 otherwise.
func runeLength(b []byte) int {
	r, n := utf8.DecodeRune(b)
	if r == utf8.RuneError && n == 1 || !isChar(r) {
		return 0
	}
	return n
}

// isChar is the production Char of XML 1.0, 2.2.
func isChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || 0x20 <= r && r <= 0xD7FF || 0xE000 <= r && r <= 0xFFFD || 0x10000 <= r && r <= 0x10FFFF
}

var entities = []struct {
	text  []byte
	means rune
}{{[]byte("&amp;"), '&'}, {[]byte("&lt;"), '<'}, {[]byte("&gt;"), '>'}, {[]byte("&quot;"), '"'}, {[]byte("&apos;"), '\''}}

// reference reads an entity or character reference at the front of b; n is its
// length, 0 if it is not one.
func reference(b []byte) (r rune, n int) {
	for i := range entities {
		if e := &entities[i]; bytes.HasPrefix(b, e.text) {
			return e.means, len(e.text)
		}
	}
	if len(b) < 4 || b[1] != '#' {
		return 0, 0
	}
	i, base := 2, rune(10)
	if b[2] == 'x' {
		i, base = 3, 16
	}
	from := i
	for ; i < len(b) && i < from+7; i++ {
		d := digit(b[i])
		if d < 0 || d >= base {
			break
		}
		r = r*base + d
	}
	if i == from || i == len(b) || b[i] != ';' || !isChar(r) {
		return 0, 0
	}
	return r, i + 1
}

// digit is the value of a hexadecimal digit, -1 for anything else.
func digit(c byte) rune {
	switch {
	case '0' <= c && c <= '9':
		return rune(c - '0')
	case 'a' <= c && c <= 'f':
		return rune(c-'a') + 10
	case 'A' <= c && c <= 'F':
		return rune(c-'A') + 10
	}
	return -1
}

package xlsx

import (
	"bytes"
	"unicode/utf8"
)

var escapeMark = []byte("_x")

// unescape undoes, in the text from the place on, how workbooks write characters that
// XML may not hold (ECMA-376 part 1, 22.9.2.19 ST_Xstring): _x000D_ is a carriage
// return, _x005F_ the underscore in front of what only looks like an escape. Half of
// a surrogate pair is no character: it is left out, as the library does.
func unescape(text []byte, from int) []byte {
	if !bytes.Contains(text[from:], escapeMark) {
		return text
	}
	out := from
	for i := from; i < len(text); {
		r, ok := escape(text[i:])
		if !ok {
			text[out] = text[i]
			out, i = out+1, i+1
			continue
		}
		if r < 0xD800 || r > 0xDFFF {
			out += utf8.EncodeRune(text[out:out+utf8.UTFMax], r) // an escape is longer than any character
		}
		i += escapeLength
	}
	return text[:out]
}

const escapeLength = len("_x000D_")

// escape reads an escape at the front of b.
func escape(b []byte) (r rune, ok bool) {
	if len(b) < escapeLength || b[0] != '_' || b[1] != 'x' || b[escapeLength-1] != '_' {
		return 0, false
	}
	for _, c := range b[2 : escapeLength-1] {
		d := digit(c)
		if d < 0 {
			return 0, false
		}
		r = r<<4 | d
	}
	return r, true
}

package value

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Fold brings a word to the form in which words are compared: lower case, without accents, without blanks at the ends, white space and
// invisible characters inside made one blank. Letters that Unicode does not take apart are spelled: ß is ss, ø is o, æ is ae, ł is l.
func Fold(s string) string {
	if folded(s) {
		return s
	}
	if plainASCII(s) {
		return strings.ToLower(s)
	}
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range norm.NFKD.String(s) {
		foldRune(&b, r)
	}
	return strings.TrimSuffix(b.String(), " ")
}

// plainASCII reports a text that only wants its capitals folded: most cells.
func plainASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c < ' ' || c >= 0x7f:
			return false
		case c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' '):
			return false
		}
	}
	return true
}

// folded reports whether a text is in its folded form already: the ordinary case, and worth leaving without an allocation.
func folded(s string) bool {
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= utf8.RuneSelf, 'A' <= c && c <= 'Z', c < ' ', c == 0x7f:
			return false
		case c == ' ' && (i == 0 || i == len(s)-1 || s[i-1] == ' '):
			return false
		}
	}
	return true
}

func foldRune(b *strings.Builder, r rune) {
	switch {
	case unicode.Is(unicode.Mn, r), isInvisible(r):
		return
	case unicode.IsSpace(r) || unicode.IsControl(r):
		if s := b.String(); s != "" && s[len(s)-1] != ' ' {
			b.WriteByte(' ')
		}
	case r == 'ß':
		b.WriteString("ss")
	case r == 'ø' || r == 'Ø':
		b.WriteByte('o')
	case r == 'æ' || r == 'Æ':
		b.WriteString("ae")
	case r == 'ł' || r == 'Ł':
		b.WriteByte('l')
	case r == '’' || r == '‘' || r == '´':
		b.WriteByte('\'')
	case isDash(r):
		b.WriteByte('-')
	default:
		b.WriteRune(unicode.ToLower(r))
	}
}

// isInvisible reports the characters that take no room on screen and that strings.TrimSpace leaves: zero-width space and joiners, the
// byte order mark, the soft hyphen, direction marks.
func isInvisible(r rune) bool {
	return r == 0x200b || r == 0x200c || r == 0x200d || r == 0x200e || r == 0x200f || r == 0x2060 || r == 0xfeff || r == 0xad
}

// isDash reports the hyphens, dashes and minus signs that people and programs write for one another.
func isDash(r rune) bool {
	return r >= 0x2010 && r <= 0x2015 || r == 0x2212 || r == 0xfe58 || r == 0xfe63 || r == 0xff0d
}

// trim drops white space (also no-break kinds), invisible characters and the apostrophe with which spreadsheets mark text.
func trim(s string) string {
	if s == "" || plainEnds(s) {
		return s
	}
	s = strings.TrimFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.IsControl(r) || isInvisible(r) })
	if rest, ok := strings.CutPrefix(s, "'"); ok {
		return strings.TrimSpace(rest)
	}
	return s
}

// plainEnds reports that the first and last byte are letters, digits or marks that trim never touches.
func plainEnds(s string) bool {
	a, z := s[0], s[len(s)-1]
	return a > ' ' && a < 0x7f && a != '\'' && z > ' ' && z < 0x7f
}

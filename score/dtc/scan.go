package dtc

import (
	"strconv"
	"strings"

	"pitlist/score/say"
)

// scanner walks over one cell from left to right. At each word it asks the
// readers of single forms, each of which returns the number of bytes it took.
type scanner struct {
	text    string // cleaned, letters as written
	up      string // the same in upper case (ASCII only, so offsets agree)
	o       Options
	pos     int
	spans   []span // what was taken, in order
	noFault Code   // P0000 or SPN 0 FMI 0 was there
	words   bool   // words stand beside the codes
	cell    Cell
}

// span is a stretch of the cell that was read: a code, or a fault (zero code).
type span struct {
	start, end int
	code       Code
}

// scanText reads a cell that is not a clean list. The text must have gone
// through cleanText.
func scanText(text string, o Options) *scanner {
	s := &scanner{text: text, up: upperASCII(text), o: o}
	if looksLikeWire(text) {
		s.takeWire()
	} else {
		s.walk()
	}
	s.assignStates()
	s.cell.Scanned = len(s.cell.Codes) > 0 || s.noFault.Valid() && len(s.cell.Faults) == 0
	if len(s.spans) == 0 && text != "" {
		s.fault(text, s.nothingFound(), Code{})
	}
	return s
}

func (s *scanner) walk() {
	for s.pos < len(s.up) {
		if !isAlnum(s.up[s.pos]) {
			s.pos++
			continue
		}
		if n := s.take(); n > 0 {
			s.pos += n
			continue
		}
		n := s.runLength(s.pos)
		s.words = s.words || !labels[s.up[s.pos:s.pos+n]]
		s.pos += n
	}
}

// take tries the forms at the current word, the ones that could be mistaken
// for another first.
func (s *scanner) take() int {
	if n := s.dateLength(); n > 0 {
		s.words = true
		return n
	}
	for _, read := range [...]func(*scanner) int{
		(*scanner).takeJ1587, (*scanner).takeSPN, (*scanner).takeFMIFirst, (*scanner).takePair,
		(*scanner).takeJ2012, (*scanner).takeIncomplete,
	} {
		if n := read(s); n > 0 {
			return n
		}
	}
	return 0
}

// add notes a code that was read from the given text at the current place.
func (s *scanner) add(c Code, text string) {
	switch {
	case c.NoFault():
		s.noFault = c
		s.spans = append(s.spans, span{start: s.pos, end: s.pos + len(text)})
	case c.Filler():
		s.fault(text, say.F("stands for \"not available\" in a reply, not for a fault: read the codes again"), Code{})
	default:
		s.spans = append(s.spans, span{start: s.pos, end: s.pos + len(text), code: c})
	}
}

// fault notes a piece that is no code. With Options.Correct the suggestion
// counts as a code as well.
func (s *scanner) fault(text string, reason say.Text, suggestion Code) {
	s.cell.Faults = append(s.cell.Faults, Fault{Text: text, Reason: reason, Suggestion: suggestion})
	taken := span{start: s.pos, end: min(s.pos+len(text), len(s.text))}
	if s.o.Correct && suggestion.Valid() {
		taken.code = suggestion
	}
	s.spans = append(s.spans, taken)
}

// nothingFound words the reason for a cell without code and without "none".
func (s *scanner) nothingFound() say.Text {
	shown := s.text
	if len(shown) > 60 {
		shown = strings.ToValidUTF8(shown[:60], "") + "…"
	}
	return say.F("no code found in %s: write the codes, \"none\" after a scan without any, or leave the cell empty", strconv.Quote(shown))
}

// window bounds how far the scanner looks back or along a chain, so that the
// time for a cell grows with its length only.
const window = 100

// pieceStart gives the start of the piece that holds pos: after the last
// separator or the last thing read.
func (s *scanner) pieceStart(pos int) int {
	start := max(0, pos-window)
	if n := len(s.spans); n > 0 {
		start = max(start, min(s.spans[n-1].end, pos))
	}
	return start + strings.LastIndexAny(s.up[start:pos], ",;|\n/&+(") + 1
}

// leads reports whether the word at the current place is the first of its
// piece, labels such as "DTC" aside.
func (s *scanner) leads() bool {
	before := strings.TrimSpace(s.up[s.pieceStart(s.pos):s.pos])
	if before == "" || strings.HasSuffix(before, ":") || strings.HasSuffix(before, "=") {
		return true
	}
	for _, w := range strings.FieldsFunc(before, func(r rune) bool { return !isLetter(r) }) {
		if !labels[w] {
			return false
		}
	}
	return true
}

// endsPiece reports whether nothing but blanks follows end in its piece.
func (s *scanner) endsPiece(end int) bool {
	rest := strings.TrimLeft(s.up[end:], " \t")
	return rest == "" || strings.IndexByte(",;|\n/&+)", rest[0]) >= 0
}

// runLength counts the letters and digits from pos on.
func (s *scanner) runLength(pos int) int {
	n := 0
	for pos+n < len(s.up) && isAlnum(s.up[pos+n]) {
		n++
	}
	return n
}

// dateLength measures a date, 12/05/2024, 2024-05-12 or 12.5.24, at the
// current place; 0 if there is none.
func (s *scanner) dateLength() int {
	c := cursor{s.up, s.pos}
	first := c.i
	if _, ok := c.number(); !ok || c.i-first > 4 || c.i >= len(c.s) {
		return 0
	}
	mark := c.s[c.i]
	if mark != '/' && mark != '-' && mark != '.' {
		return 0
	}
	for range 2 {
		if c.i >= len(c.s) || c.s[c.i] != mark {
			return 0
		}
		c.i++
		from := c.i
		if _, ok := c.number(); !ok || c.i-from > 4 {
			return 0
		}
	}
	if c.i < len(c.s) && isAlnum(c.s[c.i]) && c.s[c.i] != 'T' {
		return 0
	}
	return c.i - s.pos
}

// labels are words that say no more than that a code follows.
var labels = set("DTC|DTCS|CODE|CODES|FAULT|FAULTS|ERROR|ERR|AND|UND|OG|OCH|ET|Y|I|JA|FEHLER|FEHLERCODE|FEHLERCODES|FELKOD|FEILKODE|VIKAKOODI|KOD|DEFAUT|CODIGO|OBD")

// cursor reads small parts of a form. Its methods leave it in place when the
// part isn't there.
type cursor struct {
	s string
	i int
}

// skip passes over any of the given bytes.
func (c *cursor) skip(any string) {
	for c.i < len(c.s) && strings.IndexByte(any, c.s[c.i]) >= 0 {
		c.i++
	}
}

// word reads w where no further letter follows (a digit may: "FMI2").
func (c *cursor) word(w string) bool {
	end := c.i + len(w)
	if !strings.HasPrefix(c.s[c.i:], w) || end < len(c.s) && isAlnum(c.s[end]) && !isDigit(c.s[end]) {
		return false
	}
	c.i = end
	return true
}

// number reads up to nine decimal digits; more are no number of a code.
func (c *cursor) number() (uint32, bool) {
	end, n := c.i, uint32(0)
	for end < len(c.s) && isDigit(c.s[end]) {
		n = n*10 + uint32(c.s[end]-'0')
		end++
	}
	if end == c.i || end-c.i > 9 {
		return 0, false
	}
	c.i = end
	return n, true
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// isAlnum counts bytes beyond ASCII as letters, so that a code never begins
// or ends inside a foreign word.
func isAlnum(b byte) bool {
	return isDigit(b) || b|0x20 >= 'a' && b|0x20 <= 'z' || b >= 0x80
}

func isLetter(r rune) bool { return r >= 'A' && r <= 'Z' || r >= 0x80 }

// upperASCII changes ASCII letters only, which keeps every offset.
func upperASCII(s string) string {
	b := []byte(s)
	for i, x := range b {
		if x >= 'a' && x <= 'z' {
			b[i] = x - 'a' + 'A'
		}
	}
	return string(b)
}

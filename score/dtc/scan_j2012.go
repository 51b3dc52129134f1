package dtc

import (
	"strings"

	"pitlist/score/say"
)

// takeJ2012 reads a five-character code at the current place, with what may
// be joined to it. A word that only looks like one becomes a fault.
func (s *scanner) takeJ2012() int {
	n := s.runLength(s.pos)
	token := s.up[s.pos : s.pos+n]
	switch {
	case letterValue(token[0]) > 3, n > 1 && !isDigitLike(token[1]):
		return 0
	case n == 1:
		return s.takeSpaced()
	case s.partNumber():
		return 0
	}
	c, size := leadingCode(token[:min(n, 5)])
	switch {
	case size == 0:
		return s.diagnose(token)
	case n == 5:
		return s.suffix(c, n)
	case n == 7 && hexValue(token[5])|hexValue(token[6]) <= 15 && s.leads() && !s.joined(s.pos+n):
		// Seven characters run together are a code with its failure type only
		// where nothing else suggests a part number.
		c = c.WithFailureType(hexValue(token[5])<<4 | hexValue(token[6]))
		s.add(c, s.text[s.pos:s.pos+n])
		return n
	case token[5] == 'X' && digitCount(token[6:]) == n-6 && n > 6:
		s.add(c, s.text[s.pos:s.pos+n]) // "P0301x3": a count
		return n
	}
	return s.diagnose(token)
}

// takeSpaced reads "P 0301", "P-0301", "P - 0301". "B 1200 km" is no code.
func (s *scanner) takeSpaced() int {
	c := cursor{s.up, s.pos + 1}
	c.skip(" ")
	if c.i < len(c.s) && c.s[c.i] == '-' {
		c.i++
	}
	c.skip(" ")
	n := s.runLength(c.i)
	if c.i == s.pos+1 || c.i-s.pos > 4 || n != 4 && n != 6 || !s.leads() {
		return 0
	}
	code, size := leadingCode(s.up[s.pos:s.pos+1] + s.up[c.i:c.i+4])
	if size == 0 || s.unitFollows(c.i+n) || s.partNumber() {
		return 0
	}
	end := c.i + n - s.pos
	if n == 4 {
		return s.suffix(code, end)
	}
	hi, lo := hexValue(s.up[c.i+4]), hexValue(s.up[c.i+5])
	if hi|lo > 15 {
		return 0
	}
	s.add(code.WithFailureType(hi<<4|lo), s.text[s.pos:s.pos+end])
	return end
}

// unitFollows reports whether a unit of measure stands next: then the number
// before it is a quantity.
func (s *scanner) unitFollows(pos int) bool {
	c := cursor{s.up, pos}
	c.skip(" ")
	for _, unit := range [...]string{"KM", "MI", "MILES", "RPM", "KG", "H", "HRS", "EUR", "NM", "BAR", "MM"} {
		if c.word(unit) {
			return true
		}
	}
	return false
}

// suffix looks at what is joined to a code that takes the first n bytes, and
// adds the code with or without a failure type, or a fault.
func (s *scanner) suffix(c Code, n int) int {
	end := s.pos + n
	if end >= len(s.up) || strings.IndexByte("-_:.", s.up[end]) < 0 {
		s.add(c, s.text[s.pos:end])
		return n
	}
	mark, length := s.up[end], s.runLength(end+1)
	tail := s.up[end+1 : end+1+length]
	switch {
	case length == 0 && mark == '-' && s.endsPiece(end+1):
		return s.badSuffix(c, n+1, say.F("the dash leads nowhere"))
	case length == 0, isWord(tail), s.startsCode(end + 1), length == 2 && s.abbreviation(mark, tail, end+3):
		s.add(c, s.text[s.pos:end]) // text, or the next code
		return n
	case length == 2 && hexValue(tail[0])|hexValue(tail[1]) <= 15 && mark != '.':
		c = c.WithFailureType(hexValue(tail[0])<<4 | hexValue(tail[1]))
		if s.joined(end + 3) {
			return s.badSuffix(c, s.chainLength(), say.F("more is joined to it, as in a part number"))
		}
		s.add(c, s.text[s.pos:end+3])
		return n + 3
	}
	return s.badSuffix(c, s.chainLength(), say.F("a failure type has two hexadecimal digits"))
}

func (s *scanner) badSuffix(c Code, n int, why say.Text) int {
	text := strings.TrimRight(s.text[s.pos:s.pos+n], " ")
	s.fault(text, say.F("%s: write %s if that is the code", why, c.String()), c)
	return n
}

// abbreviation reports whether two letters after a code are rather words than
// a failure type: "P0530:AC pressure", "P0530-AC sensor".
func (s *scanner) abbreviation(mark byte, tail string, end int) bool {
	if digitCount(tail) > 0 || hexValue(tail[0])|hexValue(tail[1]) > 15 {
		return false
	}
	c := cursor{s.up, end}
	c.skip(" ")
	next := s.runLength(c.i)
	return mark != '-' || c.i > end && isWord(s.up[c.i:c.i+next]) && !labels[s.up[c.i:c.i+next]] && !c.spnFollows()
}

// startsCode reports whether a clean code starts at pos. Two codes joined by
// a dash may be a range, of which the middle would be lost: it is reported.
func (s *scanner) startsCode(pos int) bool {
	n := s.runLength(pos)
	c, size := leadingCode(s.up[pos : pos+min(n, 5)])
	if n != 5 || size != 5 {
		return false
	}
	if s.up[pos-1] == '-' {
		s.cell.Faults = append(s.cell.Faults, Fault{
			Text:   s.text[max(pos-6, s.pos) : pos+5],
			Reason: say.F("may be a range up to %s: only its two ends are taken, write out each code", c.String()),
		})
	}
	return true
}

// joined reports whether a dash and more follow without a blank.
func (s *scanner) joined(pos int) bool {
	return pos+1 < len(s.up) && (s.up[pos] == '-' || s.up[pos] == '_') && isAlnum(s.up[pos+1])
}

// chainLength measures words joined by marks from the current place on.
func (s *scanner) chainLength() int {
	n := s.runLength(s.pos)
	for n < window && s.pos+n+1 < len(s.up) && strings.IndexByte("-_:.", s.up[s.pos+n]) >= 0 && isAlnum(s.up[s.pos+n+1]) {
		n += 1 + s.runLength(s.pos+n+1)
	}
	return n
}

// partNumber reports whether the word at the current place belongs to a part
// number: digits joined before it, or a word for parts in front.
func (s *scanner) partNumber() bool {
	before := s.up[max(0, s.pos-window):s.pos]
	if n := len(s.spans); n > 0 && s.spans[n-1].end >= s.pos-1 {
		return false // joined to a code, not to a number
	}
	for len(before) > 1 && strings.IndexByte("-_.", before[len(before)-1]) >= 0 && isAlnum(before[len(before)-2]) {
		before = before[:len(before)-1]
		cut := len(before)
		for cut > 0 && isAlnum(before[cut-1]) {
			cut--
		}
		if digitCount(before[cut:]) > 0 {
			return true
		}
		before = before[:cut]
	}
	words := strings.FieldsFunc(s.up[s.pieceStart(s.pos):s.pos], func(r rune) bool { return !isLetter(r) && r != '/' })
	for len(words) > 0 && numberWords[words[len(words)-1]] {
		words = words[:len(words)-1]
	}
	return len(words) > 0 && partWords[words[len(words)-1]] || strings.HasSuffix(strings.TrimRight(before, " .:#"), "P/N")
}

var (
	numberWords = set("NO|NR|NUMBER|NUM|NUMMER|NUMERO")
	partWords   = set("PN|P/N|PART|PARTS|TEILENR|TEILENUMMER|ARTIKEL|ARTIKELNR|REFERENCE|SKU|OE|OEM|SERIAL")
)

// isWord reports whether w is text: letters only, three or more.
func isWord(w string) bool { return len(w) >= 3 && digitCount(w) == 0 }

func digitCount(s string) int {
	n := 0
	for i := range len(s) {
		if isDigit(s[i]) {
			n++
		}
	}
	return n
}

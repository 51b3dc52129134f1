package dtc

import (
	"strings"

	"pitlist/score/say"
)

const (
	labelMarks = " \t:=#.-_"       // between a label and its number
	partMarks  = " \t\n,;:=/-._|(" // between the SPN and the FMI
)

// takeSPN reads "SPN 636 FMI 2" in its spellings ("SPN636 FMI02",
// "SPN:636, FMI:2", "SPN=636;FMI=2", "SPN 636/2", "s636 f02"), with a source
// address before or after and an occurrence count after.
func (s *scanner) takeSPN() int {
	c := cursor{s.up, s.pos}
	addr, hasAddr := c.address()
	if hasAddr {
		c.skip(partMarks)
	}
	short := false
	if !c.word("SPN") {
		if short = c.i < len(c.s) && c.s[c.i] == 'S'; !short {
			return 0
		}
		c.i++
	}
	c.skip(labelMarks)
	spn, ok := c.number()
	if !ok {
		return 0
	}
	fmi, ok := c.fmi(short)
	switch {
	case !ok && short:
		return 0 // a word that begins with S
	case !ok:
		return s.incomplete(c.i-s.pos, say.F("the FMI is missing: write SPN %d FMI and its number", spn))
	}
	return s.addJ1939(&c, spn, fmi, addr, hasAddr)
}

// fmi reads the failure mode after an SPN: with its label, or (unless only
// the label will do) as a number behind a slash, dash or point.
func (c *cursor) fmi(needLabel bool) (uint32, bool) {
	save := c.i
	c.skip(partMarks)
	if c.word("FMI") || c.word("F") {
		c.skip(labelMarks)
		if n, ok := c.number(); ok {
			return n, true
		}
	}
	c.i = save
	if needLabel {
		return 0, false
	}
	return c.pairEnd()
}

// pairEnd reads "/2", " - 02", ".2": the second half of a pair.
func (c *cursor) pairEnd() (uint32, bool) {
	save := c.i
	c.skip(" ")
	if c.i < len(c.s) && strings.IndexByte("/-.", c.s[c.i]) >= 0 {
		c.i++
		c.skip(" ")
		from := c.i
		if n, ok := c.number(); ok && c.i-from <= 2 && (c.i == len(c.s) || !isAlnum(c.s[c.i])) {
			return n, true
		}
	}
	c.i = save
	return 0, false
}

// address reads "SA 0" or "SA 0x31".
func (c *cursor) address() (uint8, bool) {
	save := c.i
	if c.word("SA") || c.word("SRC") || c.word("SOURCE ADDRESS") {
		c.skip(labelMarks)
		if n, ok := c.hexNumber(); ok && n <= 255 {
			return uint8(n), true
		}
		if n, ok := c.number(); ok && n <= 255 {
			return uint8(n), true
		}
	}
	c.i = save
	return 0, false
}

// hexNumber reads "0x31", up to four digits.
func (c *cursor) hexNumber() (uint32, bool) {
	rest, ok := strings.CutPrefix(c.s[c.i:], "0X")
	if !ok {
		return 0, false
	}
	n, size := uint32(0), 0
	for size < len(rest) && size < 4 && hexValue(rest[size]) <= 15 {
		n = n<<4 | uint32(hexValue(rest[size]))
		size++
	}
	if size == 0 {
		return 0, false
	}
	c.i += 2 + size
	return n, true
}

// addJ1939 checks the ranges, passes over the count and adds the code or a
// fault. It returns the bytes taken.
func (s *scanner) addJ1939(c *cursor, spn, fmi uint32, addr uint8, hasAddr bool) int {
	after, found := c.extras(hasAddr)
	if found {
		addr, hasAddr = after, true
	}
	n := c.i - s.pos
	text := s.text[s.pos:c.i]
	switch {
	case spn > maxSPN:
		s.fault(text, say.F("an SPN is 0 to %d: check how it was typed", maxSPN), Code{})
		return n
	case fmi > maxFMI:
		s.fault(text, say.F("an FMI is 0 to %d: check how it was typed", maxFMI), Code{})
		return n
	}
	code, _ := J1939(spn, uint8(fmi)) // both were checked just above
	if hasAddr {
		code = code.WithSource(addr)
	}
	s.add(code, text)
	return n
}

// extras passes over what may follow an FMI: "OC 14", "(14)", "x3", "CM 0",
// "SA 0". The source address is returned, unless it belongs to a further SPN;
// hadAddress says that this code had one in front, as the next will then too.
func (c *cursor) extras(hadAddress bool) (addr uint8, found bool) {
	for {
		save := c.i
		c.skip(" \t,;/-")
		if c.count() {
			continue
		}
		divided := strings.ContainsAny(c.s[save:c.i], ",;")
		if a, ok := c.address(); ok && !(c.spnFollows() && (divided || hadAddress)) {
			addr, found = a, true
			continue
		}
		c.i = save
		return addr, found
	}
}

// count reads an occurrence count or conversion method, whose values no rule
// asks for.
func (c *cursor) count() bool {
	save := c.i
	bracket := c.i < len(c.s) && c.s[c.i] == '('
	if bracket {
		c.i++
	}
	labelled := c.word("OC") || c.word("COUNT") || c.word("CNT") || c.word("CM") || c.word("X")
	c.skip(labelMarks)
	_, ok := c.number()
	if bracket {
		c.skip(" X")
		ok = ok && c.i < len(c.s) && c.s[c.i] == ')'
		c.i++
	}
	if !ok || !labelled && !bracket {
		c.i = save
		return false
	}
	return true
}

// spnFollows looks ahead for an SPN with no separator in between.
func (c *cursor) spnFollows() bool {
	ahead := *c
	ahead.skip(" \t:-")
	return ahead.word("SPN")
}

// takeFMIFirst reads "FMI 2 SPN 636"; an FMI that has no SPN is a fault.
func (s *scanner) takeFMIFirst() int {
	c := cursor{s.up, s.pos}
	if !c.word("FMI") {
		return 0
	}
	c.skip(labelMarks)
	fmi, ok := c.number()
	if !ok {
		return 0
	}
	end := c.i
	c.skip(partMarks)
	if c.word("SPN") {
		c.skip(labelMarks)
		spn, ok := c.number()
		ahead := c
		if _, more := ahead.fmi(true); ok && !more {
			return s.addJ1939(&c, spn, fmi, 0, false)
		}
	}
	return s.incomplete(end-s.pos, say.F("the SPN is missing: write SPN, its number, and FMI %d", fmi))
}

// takePair reads "636/2", "636-2", "636.2" where the column is known to hold
// J1939 codes. Pairs that may be a day and month, a year and month, or a
// decimal are faults.
func (s *scanner) takePair() int {
	if !s.o.J1939 || !s.leads() {
		return 0
	}
	c := cursor{s.up, s.pos}
	spn, ok := c.number()
	digits := c.i - s.pos
	if !ok {
		return 0
	}
	mark := c.i
	fmi, ok := c.pairEnd()
	if !ok || c.i < len(c.s)-1 && strings.IndexByte("/-.", c.s[c.i]) >= 0 && isAlnum(c.s[c.i+1]) {
		return 0
	}
	pair := s.up[mark:c.i]
	if why := doubtfulPair(spn, fmi, digits, pair); !why.Empty() {
		code, err := J1939(spn, uint8(min(fmi, 255)))
		reason := say.F("%s: write SPN and FMI with their labels", why)
		if err == nil {
			reason = say.F("%s: write %s if that is the code", why, code.String())
		}
		s.fault(s.text[s.pos:c.i], reason, code)
		return c.i - s.pos
	}
	return s.addJ1939(&c, spn, fmi, 0, false)
}

// doubtfulPair says what else a bare pair may be, if anything. Low SPNs
// pass if they are among those worth rules (27 and 20 exist; 12 does not).
func doubtfulPair(spn, fmi uint32, digits int, pair string) say.Text {
	_, known := loaded().spn[spn]
	switch {
	case strings.Contains(pair, ".") && digits < 3:
		return say.F("may be a decimal number, too short to trust")
	case spn <= 31 && fmi <= 12 && !known:
		return say.F("may be a day and month")
	case digits == 4 && spn >= 1990 && spn < 2050 && fmi >= 1 && fmi <= 12 && digitCount(pair) == 2:
		return say.F("may be a year and month")
	}
	return say.Text{}
}

// takeJ1587 refuses the older numbering: "MID 128 PSID 21 FMI 12" and the
// short "128/s21/12". Its numbers are not SPNs and must not be mapped.
func (s *scanner) takeJ1587() int {
	n := s.j1587Labels()
	if n == 0 {
		n = s.j1587Short()
	}
	if n == 0 {
		return 0
	}
	return s.incomplete(n, say.F("an SAE J1587 code (MID, PID, SID): its numbers differ from J1939, read the SPN and FMI with a newer reader"))
}

// j1587Labels measures labelled numbers that begin with MID, PSID or PPID, at
// least two of them ("mid 2024" alone is a date).
func (s *scanner) j1587Labels() int {
	c, parts := cursor{s.up, s.pos}, 0
	end := c.i
	for {
		labelled := c.word("MID") || c.word("PSID") || c.word("PPID")
		if parts > 0 {
			labelled = labelled || c.word("PID") || c.word("SID") || c.word("FMI")
		}
		c.skip(labelMarks)
		_, ok := c.number()
		if !labelled || !ok {
			break
		}
		parts, end = parts+1, c.i
		c.skip(" \t,/;-")
	}
	if parts < 2 {
		return 0
	}
	return end - s.pos
}

// j1587Short measures "128/s21/12": a module, a component marked s or p, a
// failure mode.
func (s *scanner) j1587Short() int {
	c := cursor{s.up, s.pos}
	if _, ok := c.number(); !ok || !strings.HasPrefix(c.s[c.i:], "/") {
		return 0
	}
	c.i++
	c.skip("P")
	if c.i >= len(c.s) || c.s[c.i] != 'S' && c.s[c.i-1] != 'P' {
		return 0
	}
	c.skip("S")
	if _, ok := c.number(); !ok || !strings.HasPrefix(c.s[c.i:], "/") {
		return 0
	}
	c.i++
	if _, ok := c.number(); !ok {
		return 0
	}
	return c.i - s.pos
}

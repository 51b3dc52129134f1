package dtc

import (
	"encoding/hex"
	"fmt"
	"strings"

	"pitlist/score/say"
)

// FromBytes reads a code from the bytes of a reply: two for J2012, three with
// the failure type, four for J1939 (low and middle byte of the SPN, its three
// top bits before the FMI, conversion method and occurrence count; byte order
// from memory, it agrees with public test frames).
//
// Padding (all zero) and filler (all set) come back as codes: see NoFault and
// Filler. Four bytes in one of the older conversion methods are an error, as
// they cannot be read without knowing the controller.
func FromBytes(b []byte) (Code, error) {
	switch len(b) {
	case 2:
		return J2012(uint16(b[0])<<8 | uint16(b[1])), nil
	case 3:
		return J2012(uint16(b[0])<<8 | uint16(b[1])).WithFailureType(b[2]), nil
	case 4:
		if b[3]&0x80 != 0 {
			return Code{}, fmt.Errorf("read bytes % X: %w: an older conversion method, ask for SPN and FMI", b, ErrNoCode)
		}
		return J1939(uint32(b[0])|uint32(b[1])<<8|uint32(b[2]>>5)<<16, b[2]&maxFMI)
	}
	return Code{}, fmt.Errorf("read bytes % X: %w: %d bytes, a code has 2, 3 or 4", b, ErrNoCode, len(b))
}

// ParseWire reads the bytes of one code written in hexadecimal: "01 33",
// "0133", "0x0133", "$01 $33", "7C 02 02 01". Use it only where a column is
// known to hold bytes; "0133" alone could be anything.
func ParseWire(s string) (Code, error) {
	compact := strings.NewReplacer(" ", "", "0x", "", "0X", "", "$", "").Replace(s)
	b, err := hex.DecodeString(compact)
	if err != nil {
		return Code{}, fmt.Errorf("read bytes %q: %w: not whole bytes in hexadecimal", s, ErrNoCode)
	}
	return FromBytes(b)
}

// Hex gives the bytes of c as they stand on the wire, without blanks; for
// J1939 the occurrence count is 127, "not available".
func (c Code) Hex() string {
	switch c.kind {
	case j2012:
		return fmt.Sprintf("%04X", c.number)
	case j2012FT:
		return fmt.Sprintf("%04X%02X", c.number, c.sub)
	case j1939, j1939Addr:
		n := c.number
		return fmt.Sprintf("%02X%02X%02X7F", n&0xFF, n>>8&0xFF, n>>16<<5|uint32(c.sub))
	}
	return ""
}

// looksLikeWire reports whether s consists of bytes with blanks between
// ("01 33"), or of one number marked as hexadecimal ("0x0133"). At least one
// decimal digit is asked for, as "BE AD" may be words.
func looksLikeWire(s string) bool {
	if hexMarked(s) {
		return true
	}
	if len(s) < 5 || !strings.ContainsAny(s, "0123456789") {
		return false
	}
	for i := range len(s) {
		blank := i%3 == 2
		if blank != (s[i] == ' ') || !blank && hexValue(s[i]) > 15 {
			return false
		}
	}
	return len(s)%3 == 2
}

// hexMarked reports whether s is one hexadecimal number written "0x…".
func hexMarked(s string) bool {
	if len(s) < 6 || s[0] != '0' || s[1]|0x20 != 'x' {
		return false
	}
	_, err := hex.DecodeString(s[2:])
	return err == nil
}

// parseWireText reads s as bytes if it looks like them.
func parseWireText(s string) (Code, error) {
	if !looksLikeWire(s) {
		return Code{}, ErrNoCode
	}
	return ParseWire(s)
}

// takeWire reads a whole cell of bytes. Three pairs of decimal digits may be
// a date ("12 05 24") and are left for the reader of the list to settle;
// four bytes are one J1939 code in such a column, else two J2012 codes.
func (s *scanner) takeWire() {
	text := s.text
	groups := []string{text}
	if len(text) == 11 && !s.o.J1939 {
		groups = []string{text[:5], text[6:]}
	}
	for _, g := range groups {
		c, err := ParseWire(g)
		switch {
		case err != nil:
			s.fault(g, say.F("bytes of no known length: write the code itself, as P0133 or SPN 636 FMI 2"), Code{})
		case len(g) == 8 && !hexMarked(g) && strings.Trim(g, "0123456789 ") == "":
			s.fault(g, say.F("may be a date or the bytes of %s: write the code itself", c.String()), c)
		default:
			s.add(c, g)
		}
	}
}

package dtc

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
)

// kind says which numbering a Code uses; the zero kind makes the zero Code
// invalid.
type kind uint8

const (
	none      kind = iota
	j2012          // five characters
	j2012FT        // five characters and a failure type byte
	j1939          // SPN and FMI
	j1939Addr      // SPN, FMI and the source address of the controller
)

// Code is one trouble code. It is comparable and can be a map key; the zero
// value is no code (Valid reports false). The failure type and the source
// address belong to the identity: compare Base values to leave them out.
type Code struct {
	number uint32 // J2012: the two bytes on the wire; J1939: the SPN, 19 bits
	kind   kind
	sub    uint8 // J2012: failure type byte; J1939: FMI, 0-31
	addr   uint8 // J1939: source address
}

// Limits of SAE J1939-73: the SPN has 19 bits and the FMI 5. The block from
// makerSPN up is the maker's to assign (limits from memory).
const (
	maxSPN   = 1<<19 - 1
	maxFMI   = 1<<5 - 1
	makerSPN = 520192
)

// ErrNoCode is wrapped by every error that says a text is not one code.
var ErrNoCode = errors.New("not a trouble code")

// J2012 makes a code from the two bytes it has on the wire, without failure
// type (SAE J2012, ISO 15031-6).
func J2012(number uint16) Code { return Code{number: uint32(number), kind: j2012} }

// WithFailureType returns a J2012 code with the failure type byte ft; a J1939
// code comes back unchanged.
func (c Code) WithFailureType(ft byte) Code {
	if c.Valid() && !c.IsJ1939() {
		c.kind, c.sub = j2012FT, ft
	}
	return c
}

// J1939 makes a code from a suspect parameter number (0 to 524287) and a
// failure mode identifier (0 to 31); beyond those it is an error.
func J1939(spn uint32, fmi uint8) (Code, error) {
	switch {
	case spn > maxSPN:
		return Code{}, fmt.Errorf("SPN %d: %w: an SPN is 0 to %d", spn, ErrNoCode, maxSPN)
	case fmi > maxFMI:
		return Code{}, fmt.Errorf("FMI %d: %w: an FMI is 0 to %d", fmi, ErrNoCode, maxFMI)
	}
	return Code{number: spn, kind: j1939, sub: fmi}, nil
}

// WithSource returns a J1939 code with the source address of the controller
// that sent it; the same SPN from two controllers is two faults. A J2012 code
// comes back unchanged.
func (c Code) WithSource(addr uint8) Code {
	if c.IsJ1939() {
		c.kind, c.addr = j1939Addr, addr
	}
	return c
}

// Valid reports whether c is a code, that is, not the zero value.
func (c Code) Valid() bool { return c.kind != none }

// IsJ1939 reports whether c is an SPN and FMI.
func (c Code) IsJ1939() bool { return c.kind == j1939 || c.kind == j1939Addr }

// Base returns c without its failure type or source address.
func (c Code) Base() Code {
	switch c.kind {
	case j2012FT:
		c.kind, c.sub = j2012, 0
	case j1939Addr:
		c.kind, c.addr = j1939, 0
	}
	return c
}

// FailureType returns the failure type byte, and whether c has one.
func (c Code) FailureType() (byte, bool) { return c.sub, c.kind == j2012FT }

// SPN returns the suspect parameter number and failure mode identifier; ok is
// false for a J2012 code.
func (c Code) SPN() (spn uint32, fmi uint8, ok bool) {
	if !c.IsJ1939() {
		return 0, 0, false
	}
	return c.number, c.sub, true
}

// Source returns the source address, and whether c has one.
func (c Code) Source() (addr uint8, ok bool) { return c.addr, c.kind == j1939Addr }

// NoFault reports whether c is a number that tools write where there is no
// fault: P0000 (reserved by ISO/SAE) and SPN 0 FMI 0 (an empty DM1 message).
func (c Code) NoFault() bool { return c.Valid() && c.number == 0 && (c.sub == 0 || !c.IsJ1939()) }

// Filler reports whether c consists of set bits only, as unused slots of a
// reply do: U3FFF, SPN 524287 FMI 31. Never a fault (from memory).
func (c Code) Filler() bool {
	if c.IsJ1939() {
		return c.number == maxSPN && c.sub == maxFMI
	}
	return c.kind != none && c.number == 0xFFFF
}

const (
	hexDigits = "0123456789ABCDEF"
	letters   = "PCBU" // the two top bits of a J2012 code, 00 to 11
)

// String gives the form that Parse reads back: "P0087", "P0087-1A",
// "SPN 636 FMI 2", "SPN 636 FMI 2 SA 0"; "" for the zero value.
func (c Code) String() string {
	switch c.kind {
	case j2012:
		return c.five()
	case j2012FT:
		return c.five() + "-" + string([]byte{hexDigits[c.sub>>4], hexDigits[c.sub&15]})
	case j1939:
		return fmt.Sprintf("SPN %d FMI %d", c.number, c.sub)
	case j1939Addr:
		return fmt.Sprintf("SPN %d FMI %d SA %d", c.number, c.sub, c.addr)
	}
	return ""
}

// five gives the letter, the digit 0-3 and the three hexadecimal digits.
func (c Code) five() string {
	n := c.number
	return string([]byte{letters[n>>14&3], '0' + byte(n>>12&3),
		hexDigits[n>>8&15], hexDigits[n>>4&15], hexDigits[n&15]})
}

// MarshalText gives String; it makes codes readable in JSON and YAML.
func (c Code) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what Parse reads; an empty text gives the zero value.
func (c *Code) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*c = Code{}
		return nil
	}
	parsed, err := Parse(string(text))
	if err == nil {
		*c = parsed
	}
	return err
}

// Compare orders codes: J2012 in the order of the wire bytes, then J1939 by
// SPN and FMI. The order is total, so that no output depends on chance.
func Compare(a, b Code) int {
	return cmp.Or(
		compareBool(a.IsJ1939(), b.IsJ1939()), cmp.Compare(a.number, b.number),
		cmp.Compare(a.sub, b.sub), cmp.Compare(a.kind, b.kind), cmp.Compare(a.addr, b.addr))
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// Parse reads exactly one code and nothing else but blanks and the label
// "DTC": the text forms of both standards, and bytes as they stand on the wire
// ("01 33", "01 27 00", "7C 02 02 01", "0x0133"). A bare pair "636/2" is
// refused, as dates and decimals look the same: see ParseCell with
// Options.J1939. The error wraps ErrNoCode and says what to write instead.
func Parse(s string) (Code, error) {
	if c, n := leadingCode(s); n > 0 && n == len(s) {
		return c, nil
	}
	text := strings.TrimSpace(cleanText(s))
	if c, err := parseWireText(text); err == nil {
		return c, nil
	} else if looksLikeWire(text) {
		return Code{}, err
	}
	scan := scanText(text, Options{})
	switch {
	case len(scan.cell.Faults) > 0:
		return Code{}, fmt.Errorf("read code %q: %w: %s", s, ErrNoCode, scan.cell.Faults[0].Reason)
	case scan.words:
		return Code{}, fmt.Errorf("read code %q: %w: write the code alone, without text", s, ErrNoCode)
	case scan.noFault.Valid() && len(scan.cell.Codes) == 0:
		return scan.noFault, nil
	case len(scan.cell.Codes) != 1:
		return Code{}, fmt.Errorf("read code %q: %w: it holds %d codes, write one", s, ErrNoCode, len(scan.cell.Codes))
	}
	return scan.cell.Codes[0].Code, nil
}

// leadingCode reads a clean J2012 code at the start of s ("P0087", "p0087",
// "P0087-1A") and returns the bytes it took, 0 if there is none. What follows
// must not be a letter, a digit or a joining mark: those need the slow path.
func leadingCode(s string) (Code, int) {
	if len(s) < 5 {
		return Code{}, 0
	}
	letter := letterValue(s[0])
	second := s[1] - '0'
	d3, d4, d5 := hexValue(s[2]), hexValue(s[3]), hexValue(s[4])
	if letter > 3 || second > 3 || d3|d4|d5 > 15 {
		return Code{}, 0
	}
	c := J2012(uint16(letter)<<14 | uint16(second)<<12 | uint16(d3)<<8 | uint16(d4)<<4 | uint16(d5))
	n := 5
	if len(s) >= 8 && s[5] == '-' {
		hi, lo := hexValue(s[6]), hexValue(s[7])
		if hi|lo > 15 {
			return Code{}, 0
		}
		c, n = c.WithFailureType(hi<<4|lo), 8
	}
	if n < len(s) && !isSeparator(s[n]) {
		return Code{}, 0
	}
	return c, n
}

// letterValue gives the two bits of P, C, B, U in either case, else 255.
func letterValue(b byte) byte {
	switch b | 0x20 {
	case 'p':
		return 0
	case 'c':
		return 1
	case 'b':
		return 2
	case 'u':
		return 3
	}
	return 255
}

// hexValue gives the value of a hexadecimal digit, else 255.
func hexValue(b byte) byte {
	switch {
	case b >= '0' && b <= '9':
		return b - '0'
	case b >= 'A' && b <= 'F':
		return b - 'A' + 10
	case b >= 'a' && b <= 'f':
		return b - 'a' + 10
	}
	return 255
}

package dtc

import (
	"fmt"
	"strconv"
	"strings"
)

// Pattern is what a catalogue writes where it means codes: "P0087" (whatever
// the failure type), "P0087-1A" (only that failure type), "SPN 636 FMI 2"
// (from any controller) and "SPN 636" (whatever the FMI). The zero value
// matches nothing.
type Pattern struct {
	code   Code
	anyFMI bool
}

// ParsePattern reads a pattern. Numbers that never are a fault, such as
// P0000, are errors, as a rule on them could never speak.
func ParsePattern(s string) (Pattern, error) {
	if spn, ok := bareSPN(s); ok {
		c, err := J1939(spn, 0)
		if err != nil {
			return Pattern{}, fmt.Errorf("read pattern %q: %w", s, err)
		}
		return Pattern{code: c, anyFMI: true}, nil
	}
	c, err := Parse(s)
	switch {
	case err != nil:
		return Pattern{}, fmt.Errorf("read pattern: %w", err)
	case c.NoFault() || c.Filler():
		return Pattern{}, fmt.Errorf("read pattern %q: %w: the number stands for no fault", s, ErrNoCode)
	}
	return Pattern{code: c}, nil
}

// bareSPN reads "SPN 636", "spn:636", "SPN636".
func bareSPN(s string) (uint32, bool) {
	s = strings.ToUpper(strings.TrimSpace(s))
	rest, ok := strings.CutPrefix(s, "SPN")
	if !ok {
		return 0, false
	}
	n, err := strconv.ParseUint(strings.TrimLeft(rest, " :=#-"), 10, 32)
	return uint32(n), err == nil
}

// Matches reports whether c is one of the codes meant.
func (p Pattern) Matches(c Code) bool {
	if !p.code.Valid() || !c.Valid() {
		return false
	}
	switch p.code.kind {
	case j2012, j1939:
		if p.anyFMI {
			return c.IsJ1939() && c.number == p.code.number
		}
		return c.Base() == p.code
	}
	return c == p.code
}

// Code returns the code of the pattern without its failure type or source
// address, for looking rules up by code; ok is false where any FMI is meant.
func (p Pattern) Code() (c Code, ok bool) { return p.code.Base(), p.code.Valid() && !p.anyFMI }

// String gives the form that ParsePattern reads back.
func (p Pattern) String() string {
	if p.anyFMI {
		return "SPN " + strconv.FormatUint(uint64(p.code.number), 10)
	}
	return p.code.String()
}

// MarshalText gives String.
func (p Pattern) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads what ParsePattern reads.
func (p *Pattern) UnmarshalText(text []byte) error {
	parsed, err := ParsePattern(string(text))
	if err == nil {
		*p = parsed
	}
	return err
}

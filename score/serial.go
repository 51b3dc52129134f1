package score

import (
	"fmt"
	"strconv"
	"strings"
)

// Serial is a number with the letters before it: KD4110000 is prefix "KD",
// number 4110000, width 7. Serials are compared only within one prefix and
// one form; a text without digits at its end is no serial.
type Serial struct {
	Prefix string
	Number uint64
	Width  int
}

// ParseSerial reads a serial as written, whatever its blanks, hyphens and
// case. It errs where no number of at most 18 digits stands at the end.
func ParseSerial(s string) (Serial, error) {
	t := fold(s)
	i := len(t)
	for i > 0 && t[i-1] >= '0' && t[i-1] <= '9' {
		i--
	}
	width := len(t) - i
	if width == 0 || width > 18 {
		return Serial{}, fmt.Errorf("%q does not end in a number", s)
	}
	n, err := strconv.ParseUint(t[i:], 10, 64)
	if err != nil {
		return Serial{}, fmt.Errorf("%q does not end in a number", s)
	}
	return Serial{Prefix: t[:i], Number: n, Width: width}, nil
}

// fold drops what people put between the characters of a serial, a model or
// a make, and upper-cases the rest.
func fold(s string) string {
	clean := true
	for i := 0; i < len(s); i++ {
		c := s[i]
		if (c < 'A' || c > 'Z') && (c < '0' || c > '9') {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(marks, r) || strings.ContainsRune(wideMarks, r) {
			return -1
		}
		return r
	}, strings.ToUpper(s))
}

// What people put between characters: blanks, hyphens, dots; and the same as
// word processors write them (no-break space and hyphen, dash).
const (
	marks     = " -./_\t"
	wideMarks = "\u00a0\u2011\u2013"
)

// String writes the serial with its leading zeros.
func (s Serial) String() string {
	digits := strconv.FormatUint(s.Number, 10)
	return s.Prefix + strings.Repeat("0", max(0, s.Width-len(digits))) + digits
}

// padded tells a serial written with leading zeros.
func (s Serial) padded() bool {
	digits := 1
	for n := s.Number; n >= 10; n /= 10 {
		digits++
	}
	return s.Width > digits
}

// SerialRange is closed at both ends. Its stated form decides how numbers
// compare: ends of one width demand that width; ends of different widths
// (KD98000-KD104000) are numbers without leading zeros, whose width grows.
type SerialRange struct{ From, To Serial }

// ParseSerialRange reads "KD4110000-KD4168000"; a hyphen inside a serial is
// understood where only one split gives two serials of one prefix.
func ParseSerialRange(s string) (SerialRange, error) {
	mixed := false // two serials, of different prefix
	for _, sep := range []string{" to ", "..", "–", " - ", "-"} {
		parts := strings.Split(s, sep)
		for i := 1; i < len(parts); i++ {
			from, err1 := ParseSerial(strings.Join(parts[:i], sep))
			to, err2 := ParseSerial(strings.Join(parts[i:], sep))
			if err1 != nil || err2 != nil {
				continue
			}
			if from.Prefix == to.Prefix || to.Prefix == "" {
				to.Prefix = from.Prefix
				return SerialRange{from, to}, nil
			}
			mixed = true
		}
	}
	one, err := ParseSerial(s)
	if err != nil || mixed {
		return SerialRange{}, fmt.Errorf("%q is no range of serials; write it like KD4110000-KD4168000, one prefix on both ends", s)
	}
	return SerialRange{one, one}, nil
}

// Validate reports a range that ends before it begins or that mixes forms.
func (r SerialRange) Validate() error {
	switch {
	case r.From.Prefix != r.To.Prefix:
		return fmt.Errorf("range %s begins with %q and ends with %q; both ends need one prefix", r, r.From.Prefix, r.To.Prefix)
	case r.To.Number < r.From.Number:
		return fmt.Errorf("range %s ends before it begins", r)
	case r.From.Width != r.To.Width && (r.From.padded() || r.To.padded()):
		return fmt.Errorf("range %s mixes widths and leading zeros; write both ends alike", r)
	}
	return nil
}

// String writes the range as a catalogue does.
func (r SerialRange) String() string {
	if r.From == r.To {
		return r.From.String()
	}
	return r.From.String() + "-" + r.To.String()
}

// Overlaps tells whether a serial could lie in both ranges.
func (r SerialRange) Overlaps(o SerialRange) bool {
	return r.From.Prefix == o.From.Prefix && r.sameForm(o.From) &&
		r.From.Number <= o.To.Number && o.From.Number <= r.To.Number
}

// sameForm tells whether s is written in the range's form.
func (r SerialRange) sameForm(s Serial) bool {
	if r.From.Width == r.To.Width {
		return s.Width == r.From.Width
	}
	return s.Width >= r.From.Width && s.Width <= r.To.Width && !s.padded()
}

// holds compares a serial with the range: unknown where the form differs or
// the prefix is another.
func (r SerialRange) holds(s Serial) truth {
	if s.Prefix != r.From.Prefix || !r.sameForm(s) {
		return unknown
	}
	if s.Number >= r.From.Number && s.Number <= r.To.Number {
		return yes
	}
	return no
}

package slip

import (
	"errors"
	"fmt"
	"hash/crc32"
	"strconv"
	"strings"
	"time"
)

// Fills says what the cells beside a slip take.
type Fills string

// What a row takes. On the sheet of results one row takes all of it.
const (
	All     Fills = "row"
	Found   Fills = "found"
	Measure Fills = "measured"
	Done    Fills = "done"
	Visit   Fills = "visit" // odometer, day and initials, once a card
)

// Slip names one row of one list. The zero value names nothing.
type Slip struct {
	Fills    Fills
	Job, Run string // Run begins with the list's day: 2026-11-23, 2026-11-23-2
	Row      int    // number on the sheet of results, from 1; 0 for a whole card
	Card     int    // number on the list; 0: none

	Unit, VIN, Prefix, Plate string // of the vehicle, as far as they are known

	Part, Name string   // the catalogue's id, and the name as shown
	LastKM     float64  // last credible reading that the list knew, km rounded down; 0: none
	Measures   []string // what is measured on the part, in the order of the cells
}

// Key is what two slips have in common that speak of the same part of the
// same vehicle on the same list. It is comparable.
type Key struct{ Job, Run, Unit, VIN, Prefix, Plate, Part string }

// Key returns the slip's.
func (s *Slip) Key() Key {
	return Key{s.Job, s.Run, s.Unit, s.VIN, s.Prefix, s.Plate, s.Part}
}

// Vehicle is the shortest way to speak of the vehicle, as the list shows it.
func (s *Slip) Vehicle() string {
	for _, name := range [...]string{s.Unit, s.VIN, s.Prefix, s.Plate} {
		if name != "" {
			return name
		}
	}
	return ""
}

// Day is the day of the list; false where the run's name does not begin with
// one.
func (s *Slip) Day() (time.Time, bool) {
	if len(s.Run) < len(time.DateOnly) {
		return time.Time{}, false
	}
	t, err := time.Parse(time.DateOnly, s.Run[:len(time.DateOnly)])
	return t, err == nil
}

// What can be wrong with the text of a slip.
var (
	ErrNone    = errors.New("no identifier of a list's row")
	ErrChanged = errors.New("the identifier of the row has been changed")
)

const prefix = "pitlist "

// IsMarked tells cheaply whether a cell can be a slip or the heading of the
// column of slips.
func IsMarked(cell string) bool {
	cell = strings.TrimSpace(cell)
	return len(cell) > len(prefix) && strings.EqualFold(cell[:len(prefix)], prefix)
}

// String writes the slip into one cell: "pitlist row 17: job=…&check=…". The
// check finds an accident, such as a part typed over; it is no seal.
func (s *Slip) String() string {
	body := s.body()
	return prefix + string(s.Fills) + " " + strconv.Itoa(s.Row) + ": " + body + "&check=" + check(string(s.Fills)+body)
}

// body is all but the check. Keys without a value are left out.
func (s *Slip) body() string {
	var b strings.Builder
	add := func(key, value string) {
		if value == "" {
			return
		}
		if b.Len() > 0 {
			b.WriteByte('&')
		}
		b.WriteString(key + "=" + escape(value))
	}
	add("job", s.Job)
	add("run", s.Run)
	add("row", number(s.Row))
	add("card", number(s.Card))
	add("unit", s.Unit)
	add("vin", s.VIN)
	add("vin_prefix", s.Prefix)
	add("plate", s.Plate)
	add("part", s.Part)
	add("name", s.Name)
	if s.LastKM > 0 {
		add("km", strconv.FormatFloat(s.LastKM, 'f', -1, 64))
	}
	for _, m := range s.Measures {
		add("measure", m)
	}
	return b.String()
}

func number(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func check(s string) string { return fmt.Sprintf("%08x", crc32.ChecksumIEEE([]byte(s))) }

// Parse reads a cell. It errs with ErrNone for a cell that holds no slip, and
// with ErrChanged for one that is no longer as it was written.
func Parse(cell string) (Slip, error) {
	cell = strings.TrimSpace(cell)
	head, body, ok := strings.Cut(cell, ":")
	if !ok || !strings.HasPrefix(head, prefix) {
		return Slip{}, ErrNone
	}
	fills, _, numbered := strings.Cut(strings.TrimPrefix(head, prefix), " ")
	if !numbered {
		return Slip{}, ErrNone // the heading
	}
	s := Slip{Fills: Fills(fills)}
	switch s.Fills {
	case All, Found, Measure, Done, Visit:
	default:
		return Slip{}, ErrNone
	}
	for pair := range strings.SplitSeq(strings.TrimSpace(body), "&") {
		key, value, _ := strings.Cut(pair, "=")
		s.set(key, unescape(value))
	}
	if _, dated := s.Day(); !dated || s.String() != cell {
		return Slip{}, ErrChanged
	}
	return s, nil
}

// set takes one value. What is no number, and a key that is not known, shows
// in the comparison that follows.
func (s *Slip) set(key, value string) {
	switch key {
	case "job":
		s.Job = value
	case "run":
		s.Run = value
	case "row":
		s.Row, _ = strconv.Atoi(value)
	case "card":
		s.Card, _ = strconv.Atoi(value)
	case "unit":
		s.Unit = value
	case "vin":
		s.VIN = value
	case "vin_prefix":
		s.Prefix = value
	case "plate":
		s.Plate = value
	case "part":
		s.Part = value
	case "name":
		s.Name = value
	case "km":
		s.LastKM, _ = strconv.ParseFloat(value, 64)
	case "measure":
		s.Measures = append(s.Measures, value)
	}
}

// escape writes a value in letters that no program changes and that part no
// pairs; a blank becomes an underscore.
func escape(s string) string {
	var b strings.Builder
	for i := range len(s) {
		switch c := s[i]; {
		case c == ' ':
			b.WriteByte('_')
		case c < ' ' || c > '~' || strings.IndexByte("%&=_", c) >= 0:
			fmt.Fprintf(&b, "%%%02X", c)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

// unescape is the inverse of escape; what escape never writes stays as it is.
func unescape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '%' && i+2 < len(s) {
			if c, err := strconv.ParseUint(s[i+1:i+3], 16, 8); err == nil {
				b.WriteByte(byte(c))
				i += 2
				continue
			}
		}
		if s[i] == '_' {
			b.WriteByte(' ')
		} else {
			b.WriteByte(s[i])
		}
	}
	return b.String()
}

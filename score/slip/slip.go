package slip

import (
	"errors"
	"fmt"
	"hash/crc32"
	"net/url"
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
		b.WriteString(key + "=" + url.QueryEscape(value))
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
	head, body, ok := strings.Cut(cell, ": ")
	if !ok || !strings.HasPrefix(head, prefix) {
		return Slip{}, ErrNone
	}
	fills, _, _ := strings.Cut(strings.TrimPrefix(head, prefix), " ")
	s := Slip{Fills: Fills(fills)}
	switch s.Fills {
	case All, Found, Measure, Done, Visit:
	default:
		return Slip{}, ErrNone
	}
	v, err := url.ParseQuery(body)
	if err != nil || !v.Has("check") {
		if strings.Contains(body, "=") {
			return Slip{}, ErrChanged
		}
		return Slip{}, ErrNone // a heading
	}
	if !s.fill(v) || s.String() != cell {
		return Slip{}, ErrChanged
	}
	return s, nil
}

// fill takes the values apart; false where a number is none.
func (s *Slip) fill(v url.Values) bool {
	s.Job, s.Run, s.Unit, s.VIN = v.Get("job"), v.Get("run"), v.Get("unit"), v.Get("vin")
	s.Prefix, s.Plate, s.Part, s.Name = v.Get("vin_prefix"), v.Get("plate"), v.Get("part"), v.Get("name")
	s.Measures = v["measure"]
	var errs [3]error
	s.Row, errs[0] = whole(v.Get("row"))
	s.Card, errs[1] = whole(v.Get("card"))
	if km := v.Get("km"); km != "" {
		s.LastKM, errs[2] = strconv.ParseFloat(km, 64)
	}
	return errors.Join(errs[:]...) == nil
}

func whole(s string) (int, error) {
	if s == "" {
		return 0, nil
	}
	return strconv.Atoi(s)
}

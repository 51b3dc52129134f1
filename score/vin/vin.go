package vin

import (
	"fmt"

	"pitlist/score/say"
)

// size is the number of characters of a VIN (ISO 3779; 49 CFR 565.13(b)).
const size = 17

// VIN is a 17-character number whose structure holds: letters without I, O and Q, digits, the last
// four of them digits. It is comparable and usable as a map key; the zero value is invalid.
type VIN string

// Parse returns text as a VIN if its structure holds. Text must be clean already (see Clean); the
// check digit is not looked at, as not every market has one.
func Parse(text string) (VIN, error) {
	switch {
	case len(text) != size:
		return "", fmt.Errorf("vin of %d characters, want %d", len(text), size)
	case !legal(text):
		return "", fmt.Errorf("vin with a character that no VIN has")
	case !digits(text[13:]):
		return "", fmt.Errorf("vin whose last four characters are not all digits")
	}
	return VIN(text), nil
}

// WMI returns the world manufacturer identifier, positions 1 to 3; "" for the zero VIN.
func (v VIN) WMI() string { return v.part(0, 3) }

// VDS returns the vehicle descriptor section, positions 4 to 9; "" for the zero VIN.
func (v VIN) VDS() string { return v.part(3, 9) }

// VIS returns the vehicle indicator section, positions 10 to 17; "" for the zero VIN.
func (v VIN) VIS() string { return v.part(9, size) }

// LowVolume reports whether the maker builds few vehicles: a 9 in position 3 always means that
// positions 12 to 14 belong to the maker's identifier (ISO 3780; 49 CFR 565.15(a)).
func (v VIN) LowVolume() bool { return len(v) == size && v[2] == '9' }

// Maker returns what identifies the maker: positions 1 to 3, with 12 to 14 for a low-volume maker.
func (v VIN) Maker() string {
	if v.LowVolume() {
		return v.WMI() + v.part(11, 14)
	}
	return v.WMI()
}

// Serial returns the production number: positions 12 to 17, or 15 to 17 for a low-volume maker.
func (v VIN) Serial() string {
	if v.LowVolume() {
		return v.part(14, size)
	}
	return v.part(11, size)
}

func (v VIN) part(from, to int) string {
	if len(v) != size {
		return ""
	}
	return string(v[from:to])
}

// Market is where the vehicles are registered: it decides what a failed check digit means.
type Market string

// The markets told apart. An empty Market is read as Other.
const (
	EU    Market = "eu"
	US    Market = "us"
	CA    Market = "ca"
	CN    Market = "cn"
	Other Market = "other"
)

// Validate returns an error that lists the markets if m is none of them.
func (m Market) Validate() error {
	switch m {
	case "", EU, US, CA, CN, Other:
		return nil
	}
	return fmt.Errorf("unknown market %q: want eu, us, ca, cn or other", string(m))
}

// Finding is one thing said about a VIN.
type Finding string

// The findings, in the order in which a report lists them.
const (
	Good          Finding = "good"        // nothing wrong
	Length        Finding = "length"      // not 17 characters
	Characters    Finding = "characters"  // a character that no VIN has, or a look-alike of another alphabet
	Form          Finding = "form"        // 17 legal characters that cannot be a VIN
	BadCheckDigit Finding = "check digit" // position 9 does not fit where it should
	ModelYear     Finding = "model year"  // position 10 is no year where it must be, or disagrees with the stated one
)

// Check tells what the arithmetic of position 9 gave, whether or not the market asks for it.
type Check string

// The outcomes of the check-digit arithmetic.
const (
	Passes    Check = "passes"
	Fails     Check = "fails"
	NotJudged Check = "not judged" // structure broken, or position 9 is a letter other than X
)

// Context is what surrounds a VIN in its row and job. The zero value is usable.
type Context struct {
	Market     Market // default Other
	StatedYear int    // model year of the row; 0 unknown
	Year       int    // year of the run's day; 0 unknown: no candidate year is then too late
	Heavy      bool   // over 4,536 kg (10,000 lb): position 7 tells nothing, four digits at the end suffice
}

// Suggestion is a VIN that may have been meant, and why.
type Suggestion struct {
	VIN VIN
	Why say.Text
}

// Report is the judgement on one cell.
type Report struct {
	Raw, Text   string       // as read; after cleaning
	VIN         VIN          // "" where SetAside
	Findings    []Finding    // [Good] alone, or all that apply
	SetAside    bool         // not to be used as an identifier: structure, or a failed check digit of a US or Canadian WMI
	Reason      say.Text     // for a planner: what is wrong and what to do; nothing when good
	Country     string       // where the WMI was issued; "" unassigned or unknown. A hint, never a ground for refusal
	Region      string       // likewise
	Check       Check        // the arithmetic of position 9
	ModelYears  []int        // candidates from position 10, none later than the year after Context.Year
	ModelYear   int          // the judged one; 0 if position 10 tells nothing
	YearBinding bool         // position 10 is a year by law here; elsewhere only by a maker's habit
	LowVolume   bool         // see VIN.LowVolume
	Suggestions []Suggestion // at most three, likeliest first
	Notes       []say.Text   // what cleaning did
}

// Has reports whether f is among the findings.
func (r *Report) Has(f Finding) bool {
	for _, g := range r.Findings {
		if g == f {
			return true
		}
	}
	return false
}

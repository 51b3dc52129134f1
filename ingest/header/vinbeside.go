package header

import (
	"slices"
	"strings"

	"pitlist/ingest/value"
)

// besideVIN are words that introduce a VIN behind a unit's number, folded.
var besideVIN = toSet("vin fin chassis chassisnummer fahrgestellnr fahrgestellnummer bastidor chasis telaio nip")

// VINBeside parts a cell that names a vehicle twice, by its number and its VIN: "T-214 / Z9K…", "Z9K… (T-214)"; rest is "" where
// only a word stands before the VIN, as in "VIN: Z9K…". A cell that holds two is left as it stands.
func VINBeside(cell string) (rest, vin string, ok bool) {
	if len(cell) < 19 || len(cell) > 80 {
		return "", "", false
	}
	isSeparator := func(r rune) bool { return strings.ContainsRune(" \t\n\u00a0/,;|:()[]{}=", r) }
	var others []string
	for _, t := range strings.FieldsFunc(cell, isSeparator) {
		switch {
		case looksLikeVIN(t, 17, 17) && len(t) == 17:
			if vin != "" {
				return "", "", false
			}
			vin = t
		case besideVIN[strings.TrimRight(value.Fold(t), ".")] || strings.Trim(t, "-\u2013\u2014.") == "":
		default:
			others = append(others, t)
		}
	}
	if vin == "" {
		return "", "", false
	}
	return strings.Join(others, " "), vin, true
}

// namedWithVIN reports that the cells which name the vehicles hold their VINs too.
func (s *sheet) namedWithVIN() bool {
	return slices.ContainsFunc(s.cols, func(c Column) bool {
		return (c.Field == Unit || c.Field == Registration) && share(s.values(c.Index), func(v string) bool { rest, _, ok := VINBeside(v); return ok && rest != "" }) >= 0.5
	})
}

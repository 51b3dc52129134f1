package vin

import "strings"

// lostDigits reports whether text is what a spreadsheet leaves of an all-digit VIN in a numeric cell.
// A double holds 15 significant digits (Excel specification; IEEE 754 gives 15 for certain), so the
// last two of 17 are gone: "1.2345678901234501E16", "1,23457E+16", "12345678901234500",
// "12.345.678.901.234.500". An all-digit VIN that truly ends in 00 is given up with them: it cannot
// be told apart, and few makers have numbers without any letter.
func lostDigits(text string) bool {
	if scientific(text) {
		return true
	}
	if !strings.ContainsAny(text, ".,") {
		return len(text) == size && strings.HasSuffix(text, "00") && digits(text)
	}
	whole := strings.TrimSuffix(strings.TrimSuffix(text, ".0"), ",0")
	whole = thousandsMarks.Replace(whole)
	return len(whole) == size && digits(whole)
}

// thousandsMarks takes out both kinds, as the sheet's language is not known here.
var thousandsMarks = strings.NewReplacer(".", "", ",", "")

// scientific reports whether text has the form d.ddE16, with a point or a comma, with or without a
// plus sign. The point, the comma, the plus or a mantissa of one digit tell it from a VIN with an E.
func scientific(text string) bool {
	mantissa, exponent, found := strings.Cut(text, "E")
	if !found || mantissa == "" {
		return false
	}
	exponent = strings.TrimPrefix(exponent, "+")
	if len(exponent) < 1 || len(exponent) > 2 || !digits(exponent) || !digits(mantissa[:1]) {
		return false
	}
	rest := mantissa[1:]
	return rest == "" || (rest[0] == '.' || rest[0] == ',') && digits(rest[1:])
}

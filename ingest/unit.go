package ingest

import (
	"strings"

	"pitlist/score"
	"pitlist/score/vin"
)

// unitKey is a unit number as compared: case and blanks do not count.
func unitKey(u string) string {
	for i := 0; i < len(u); i++ {
		if c := u[i]; c <= ' ' || c >= 'a' && c <= 'z' || c >= 0x80 {
			return strings.ToUpper(strings.Join(strings.Fields(u), ""))
		}
	}
	return u
}

// bare is a unit number without leading zeros and without ".0": spreadsheets
// drop the one and add the other.
func bare(u string) string {
	k := strings.TrimSuffix(unitKey(u), ".0")
	if t := strings.TrimLeft(k, "0"); t != "" {
		return t
	}
	return k
}

// plate is a registration as compared: letters and digits only.
func plate(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" -.\u00a0\u2010\u2011\u2013", r) {
			return -1
		}
		return r
	}, strings.ToUpper(s))
}

// units knows how unit numbers are to be compared: without leading zeros,
// save where one sheet of vehicles lists two units that differ in nothing
// else.
type units struct {
	split map[string]bool // bare forms of such units
}

// id is what a unit is found by.
func (u *units) id(unit string) string {
	b := bare(unit)
	if u.split[b] {
		return unitKey(unit)
	}
	return b
}

// learn looks through the sheets of vehicles for units that only their zeros
// tell apart.
func (u *units) learn(sheets []*sheet) {
	padded := map[string]bool{} // bare forms that some sheet writes longer
	for _, s := range sheets {
		for v := range s.vehicles.all() {
			if unit := v.vehicle.Unit; unit != "" && bare(unit) != unitKey(unit) {
				padded[bare(unit)] = true
			}
		}
	}
	if len(padded) == 0 {
		return
	}
	u.split = map[string]bool{}
	for _, s := range sheets {
		written := map[string]string{} // in this sheet
		for v := range s.vehicles.all() {
			unit := v.vehicle.Unit
			b := bare(unit)
			if !padded[b] {
				continue
			}
			if have, ok := written[b]; ok && have != unitKey(unit) {
				u.split[b] = true
			}
			written[b] = unitKey(unit)
		}
	}
}

// bareMatch counts the rows of a sheet whose unit was found under another
// number of zeros.
type bareMatch struct {
	rows        int
	wrote, have string // the first of them
}

func (b *bareMatch) add(wrote, have string) {
	if have == "" || wrote == "" || unitKey(wrote) == unitKey(have) {
		return
	}
	if b.rows == 0 {
		b.wrote, b.have = wrote, have
	}
	b.rows++
}

// Names tells whether a person's word for a vehicle means this one: its unit,
// with or without leading zeros, its VIN, its registration, or its lot at a sale.
func Names(v *score.Vehicle, word string) bool {
	word = strings.TrimSpace(word)
	switch {
	case word == "":
		return false
	case v.Unit != "" && bare(v.Unit) == bare(word):
		return true
	case v.Registration != "" && plate(v.Registration) == plate(word):
		return true
	case v.Desk().Lot != "" && bare(v.Desk().Lot) == bare(strings.TrimPrefix(strings.ToLower(word), "lot ")):
		return true
	}
	text, _ := vin.Clean(word)
	return v.VIN != "" && string(v.VIN) == text
}

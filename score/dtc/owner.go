package dtc

import "pitlist/score/say"

// Who decides what a number means. The words are those of the test cases.
const (
	OwnerStandard     = "iso_sae"      // one meaning for all makes
	OwnerManufacturer = "manufacturer" // the meaning depends on the make
	OwnerReserved     = "reserved"     // kept free by the standard
)

// Owner says who controls the range a code lies in: OwnerStandard,
// OwnerManufacturer or OwnerReserved; "" for the zero value. A number in a
// standard range need not be defined.
//
// P0, P2, P34-P3F, C0, B0, U0 are the standard's, P1, P30-P33, C1, C2, B1, B2,
// U1, U2 the maker's, C3 and B3 reserved (SAE J2012 DEC2007 contents list;
// articles on ISO 14229 for the P3 split). SPN 520192 and up are the maker's.
func Owner(c Code) string {
	switch {
	case !c.Valid():
		return ""
	case c.IsJ1939() && c.number >= makerSPN:
		return OwnerManufacturer
	case c.IsJ1939():
		return OwnerStandard
	}
	powertrain, network := c.number>>14 == 0, c.number>>14 == 3
	switch c.number >> 12 & 3 {
	case 0:
		return OwnerStandard
	case 1:
		return OwnerManufacturer
	case 2:
		if powertrain {
			return OwnerStandard
		}
		return OwnerManufacturer
	}
	switch {
	case powertrain && c.number < 0x3400:
		return OwnerManufacturer
	case powertrain, network:
		return OwnerStandard
	}
	return OwnerReserved
}

// Caution says what to bear in mind about the range of c, "" for nothing:
// reserved numbers, and U3, of which the sources disagree (recent ones say
// standard, tables of about 2007 say reserved).
func Caution(c Code) say.Text {
	switch {
	case Owner(c) == OwnerReserved:
		return say.F("%s lies in a range that SAE J2012 reserves: check how it was typed", c.Base().String())
	case c.Valid() && !c.IsJ1939() && c.number>>12 == 0xF:
		return say.F("U3 codes are counted as standard; older tables leave them to the maker")
	case c.IsJ1939() && c.number >= makerSPN:
		return say.F("the SPN is the maker's own: its meaning depends on the make")
	}
	return say.Text{}
}

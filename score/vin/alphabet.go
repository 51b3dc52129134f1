package vin

// order is the alphabet of ISO 3780 in the order in which country ranges count: letters without I, O
// and Q, then 1 to 9, then 0. Comparing by ASCII would put digits before letters and 0 before 1.
const order = "ABCDEFGHJKLMNPRSTUVWXYZ1234567890"

// weights are those of positions 1 to 17 (49 CFR 565.15(c), Table IV).
var weights = [size]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}

// character says what one byte is worth: its place in order and its transliterated value.
type character struct {
	legal bool
	index uint8 // place in order
	value uint8 // 49 CFR 565.15(c), Table III
}

// characters holds every byte; built once from the two strings below.
var characters = buildCharacters()

// buildCharacters reads the values off Table III of 49 CFR 565.15(c): A1 to H8, J1 to R9 with gaps at
// O and Q, S2 to Z9, digits their own. S is 2, not 1; P is 7 and R is 9.
func buildCharacters() (t [256]character) {
	const values = "12345678" + "12345" + "7" + "9" + "23456789" + "1234567890"
	for i := range len(order) {
		t[order[i]] = character{legal: true, index: uint8(i), value: values[i] - '0'}
	}
	return t
}

// legal reports whether every byte of text may stand in a VIN.
func legal(text string) bool {
	for i := range len(text) {
		if !characters[text[i]].legal {
			return false
		}
	}
	return true
}

// digits reports whether text holds digits only.
func digits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return true
}

// remainder returns the weighted sum of the 17 characters modulo 11. Position 9 has weight 0.
func remainder(text string) int {
	sum := 0
	for i := range size {
		sum += weights[i] * int(characters[text[i]].value)
	}
	return sum % 11
}

// digitOf returns the check character for a remainder: 10 is written X (49 CFR 565.15(c)).
func digitOf(remainder int) byte { return "0123456789X"[remainder] }

// CheckDigit returns the character that belongs in position 9 of text, '0' to '9' or 'X'. It is false
// where text is not 17 legal characters. Whether the market asks for it is another matter: see Judge.
func CheckDigit(text string) (byte, bool) {
	if len(text) != size || !legal(text) {
		return 0, false
	}
	return digitOf(remainder(text)), true
}

// checkable reports whether c can be a check digit at all.
func checkable(c byte) bool { return c >= '0' && c <= '9' || c == 'X' }

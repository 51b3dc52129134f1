package score

import (
	"fmt"
	"strings"
)

// anyCharacter stands in a range of VINs where the range leaves a character
// open: recall lists write Z9K******G1200000 where only the maker, the model
// year, the plant and the number count.
const anyCharacter = '*'

// vinLength is that of every VIN (ISO 3779).
const vinLength = 17

// VINForm tells whether the text, in capitals, can be an end of a range of VINs:
// 17 characters without I, O and Q, * where any may stand.
func VINForm(text string) bool {
	if len(text) != vinLength {
		return false
	}
	for i := range len(text) {
		c := text[i]
		if c != anyCharacter && (c < '0' || c > '9') && (c < 'A' || c > 'Z' || c == 'I' || c == 'O' || c == 'Q') {
			return false
		}
	}
	return true
}

// VINRange makes a range of whole VINs from its two ends, each of VINForm. VINs
// are ordered by the number at their end alone, and that never reaches back to
// the check digit (position 9): all before it must be the same in both ends,
// but for the check digit, of which the second end takes the first's.
func VINRange(from, to string) (SerialRange, error) {
	if len(from) != vinLength || len(to) != vinLength {
		return SerialRange{}, fmt.Errorf("%s-%s is no range of VINs, which have %d characters", from, to, vinLength)
	}
	to = to[:checkDigit] + from[checkDigit:checkDigit+1] + to[checkDigit+1:]
	head := len(strings.TrimRight(from, "0123456789"))
	if head == vinLength || to[vinLength-1] < '0' || to[vinLength-1] > '9' {
		return SerialRange{}, fmt.Errorf("%s-%s does not end in a number", from, to)
	}
	head = max(head, checkDigit+1)
	if i := firstDifference(from, to); i < head {
		return SerialRange{}, fmt.Errorf("%s and %s differ at position %d, before the number: such VINs have no order; write a range for each beginning", from, to, i+1)
	}
	r := SerialRange{}
	var err error
	if r.From, err = ParseSerial(from); err == nil {
		r.To, err = ParseSerial(to)
	}
	if err == nil {
		err = r.Validate()
	}
	return r, err
}

// firstDifference is the index of the first byte in which two texts of one
// length differ; their length where none does.
func firstDifference(a, b string) int {
	for i := range len(a) {
		if a[i] != b[i] {
			return i
		}
	}
	return len(a)
}

package header

import (
	"slices"
	"strings"

	"pitlist/score/say"
)

// vinLength is how many characters a VIN has (ISO 3779).
const vinLength = 17

// mostPieces is in how many columns a VIN is looked for.
const mostPieces = 4

// vinPieces finds a VIN that stands in several columns side by side: the maker's code, the description and the serial of ISO 3779, or a cell cut
// in two. The values show it: put together they are VINs, and by themselves none is. The first column must be one that speaks of a VIN.
func (s *sheet) vinPieces() {
	for i := range s.cols {
		if !s.speaksOfVIN(i) || share(s.values(i), looksVIN) > 0 {
			continue
		}
		for n := min(mostPieces, len(s.cols)-i); n >= 2; n-- {
			if s.joinVIN(i, n) {
				return
			}
		}
	}
}

// joinVIN takes n columns from the one at i on for a VIN, if they hold one.
func (s *sheet) joinVIN(i, n int) bool {
	for j := i + 1; j < i+n; j++ {
		if !s.speaksOfVIN(j) && topField(s.live[j]) != Ignore { // it holds something else
			return false
		}
	}
	rows, whole, padded := s.vinsFrom(i, n)
	if whole == 0 || float64(whole+padded) < nearly*float64(rows) {
		return false
	}
	if !s.isTold(i) {
		s.take(i, VIN, strong, "17-character VINs, in pieces")
		s.matches[i].useless = false
	}
	if padded > 0 {
		s.found = append(s.found, Problem{Fields: []Field{VIN}, Columns: []int{i + n - 1}, Text: say.F("%s has lost zeros at its front: they are put back where the VIN is too short", s.headed(i+n-1)), Hint: say.F("format the column as text, and write it again")})
	}
	for j := i + 1; j < i+n; j++ {
		s.cols[i].With = append(s.cols[i].With, j)
		if !s.isTold(j) {
			s.live[j], s.cols[j].Why = nil, "a piece of a VIN"
		}
		s.matches[j].useless = true
	}
	return true
}

// vinsFrom counts the rows in which the n columns from i on make a VIN, and those in which they do with zeros put back.
func (s *sheet) vinsFrom(i, n int) (rows, whole, padded int) {
	for _, r := range s.below {
		if cell(r, i) == "" {
			continue
		}
		rows++
		filled := true
		for j := i; j < i+n; j++ {
			filled = filled && cell(r, j) != ""
		}
		switch joined := joinCells(r, i, n); {
		case !filled:
		case len(joined) == vinLength && looksVIN(joined):
			whole++
		case looksVIN(PadVIN(joined, cell(r, i+n-1))):
			padded++
		}
	}
	return rows, whole, padded
}

// longestSerial is how many figures at the end of a VIN are nothing but a number (ISO 3780 leaves the maker four, most use six).
const longestSerial = 6

// PadVIN gives the serial at the end of a VIN in pieces the zeros back that a spreadsheet took off its front; joined is all of it, last its last piece.
// What is no number, or does not come out right, stays as it is.
func PadVIN(joined, last string) string {
	missing := vinLength - len(joined)
	if missing <= 0 || len(last) == 0 || len(last)+missing > longestSerial || strings.Trim(last, "0123456789") != "" {
		return joined
	}
	return joined[:len(joined)-len(last)] + strings.Repeat("0", missing) + last
}

func joinCells(row []string, i, n int) string {
	var b strings.Builder
	for j := i; j < i+n; j++ {
		b.WriteString(strings.TrimSpace(cell(row, j)))
	}
	return b.String()
}

// speaksOfVIN sees a heading of a VIN or of a part of one, whether or not it is known what it means.
func (s *sheet) speaksOfVIN(i int) bool {
	if s.isTold(i) {
		return topField(s.live[i]) == VIN
	}
	m := &s.matches[i]
	if rankOf(s.live[i]) >= weak {
		return hasClaim(s.live[i], VIN) || hasClaim(s.live[i], VINPrefix)
	}
	return isVINPart(m.all) != "" || slices.ContainsFunc(m.claims, func(c claim) bool { return c.field == VIN || c.field == VINPrefix }) ||
		anyOf(m.all, pieceWords)
}

// pieceWords are the names of a VIN's sections (ISO 3779) and of the whole.
var pieceWords = toSet("wmi vds vis vin fin chassis fahrgestell")

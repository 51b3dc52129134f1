package vin

import (
	"slices"
	"strings"

	"pitlist/score/say"
)

// most is how many suggestions a planner is asked to weigh. Any single-character repair that passes
// would be some 27 candidates for a US VIN; the confusable pairs and swaps below give 2 to 3.
const most = 3

// confusable lists pairs of characters taken for one another, likeliest first. The first twelve are
// visual confusions known from hand-copied VINs, the rest our own from the shapes. Pairs of equal
// value (1 and J, 2 and S, C and L ...) are left out: the check digit cannot tell them apart.
var confusable = [...]string{
	"5S", "8B", "2Z", "0D", "6G", "1L", "17", "4A", "UV", "MN", "VY", "PR",
	"38", "56", "68", "3B", "EF", "CG", "7T", "49", "35", "KX", "XY", "VW", "FP", "HN", "BR", "27", "0C", "PB",
}

// Ranks of swaps among the confusions: two swapped digits come right after the visual confusions.
const (
	rankDigitSwap = 12
	rankSwap      = len(confusable) + 1
	rankOffYear   = 100 // added where position 10 then contradicts the stated year
)

// illegalReadings is what the three letters that no VIN has are read as; they cost nothing to try.
var illegalReadings = strings.NewReplacer("I", "1", "O", "0", "Q", "0")

// tailReadings is what letters among the last four digits are read as.
var tailReadings = strings.NewReplacer("S", "5", "B", "8", "Z", "2", "D", "0", "G", "6", "L", "1", "A", "4", "T", "7")

// fits ends the reason of every suggestion that the arithmetic confirms.
func fits() say.Text { return say.F("the check digit then fits") }

// candidate is a repair before ranking.
type candidate struct {
	Suggestion
	rank, position int
}

// confirms reports whether the check digit of text means enough to confirm a guess.
func (j *judgement) confirms(text string) bool {
	country, _ := Country(text)
	return demandsCheck(country) || country == "China" || j.context.Market == US || j.context.Market == CA || j.context.Market == CN
}

// passes reports whether text is a VIN whose check digit holds.
func passes(text string) bool {
	_, err := Parse(text)
	return err == nil && text[8] == digitOf(remainder(text))
}

// one returns text as the only suggestion if it is a VIN, and passes where that means anything.
func (j *judgement) one(text string, why say.Text) []Suggestion {
	if _, err := Parse(text); err != nil {
		return nil
	}
	if j.confirms(text) {
		if !passes(text) {
			return nil
		}
		why = say.Join("; ", why, fits())
	}
	return []Suggestion{{VIN: VIN(text), Why: why}}
}

// suggestCharacters repairs 17 characters some of which are illegal: I, O and Q first, then the gap
// at position 9, which can be computed.
func (j *judgement) suggestCharacters() []Suggestion {
	text := j.Text
	if len(text) != size {
		return nil
	}
	if gap := text[8]; !characters[gap].legal && !strings.ContainsRune("IOQ", rune(gap)) && legal(text[:8]+text[9:]) {
		filled := text[:8] + string(digitOf(remainder(text))) + text[9:]
		if !j.confirms(filled) {
			return nil
		}
		return j.one(filled, say.F("position 9 computed from the rest"))
	}
	fixed := illegalReadings.Replace(text)
	why := illegalWhy(text)
	if !legal(fixed) {
		return nil
	}
	if found := j.one(fixed, why); found != nil {
		return found
	}
	if !j.confirms(fixed) {
		return nil
	}
	return j.suggestRepairs(fixed, why)
}

// illegalWhy names what illegalReadings changed in text.
func illegalWhy(text string) say.Text {
	var changes []say.Text
	for _, r := range [...][2]string{{"I", "1"}, {"O", "0"}, {"Q", "0"}} {
		if strings.Contains(text, r[0]) {
			changes = append(changes, say.F("%s read as %s", r[0], r[1]))
		}
	}
	return say.F("%s, as no VIN has I, O or Q", say.And(changes...))
}

// suggestTail repairs letters among the last four characters.
func (j *judgement) suggestTail() []Suggestion {
	fixed := j.Text[:13] + tailReadings.Replace(j.Text[13:])
	return j.one(fixed, say.F("letters among the last four read as digits"))
}

// suggestLength finds a VIN inside a text that is too long: behind a label, behind the I that some
// bar codes carry in front, or with one character doubled.
func (j *judgement) suggestLength() []Suggestion {
	text := j.Text
	if found := tokens(text); len(found) == 1 {
		return j.one(found[0], say.F("the text around it left out"))
	}
	for _, label := range [...]string{"VIN", "FIN", "NIV"} {
		if rest, ok := strings.CutPrefix(text, label); ok && len(rest) == size {
			return j.one(rest, say.F("the label in front left out"))
		}
	}
	if len(text) != size+1 {
		return nil
	}
	if text[0] == 'I' && passes(text[1:]) {
		return []Suggestion{{VIN(text[1:]), say.Join("; ", say.F("the I that some bar codes carry in front left out"), fits())}}
	}
	return j.suggestDoubled()
}

// suggestDoubled leaves out one of two equal neighbours where the check digit confirms it.
func (j *judgement) suggestDoubled() []Suggestion {
	var found []Suggestion
	for i := 1; i < len(j.Text) && len(found) < most; i++ {
		rest := j.Text[:i] + j.Text[i+1:]
		if j.Text[i] != j.Text[i-1] || !j.confirms(rest) || !passes(rest) {
			continue
		}
		if len(found) == 0 || found[len(found)-1].VIN != VIN(rest) {
			found = append(found, Suggestion{VIN(rest), say.Join("; ", say.F("%s taken once instead of twice", j.Text[i:i+1]), fits())})
		}
	}
	return found
}

// tokens returns the VINs that stand in text between other characters, or back to back.
func tokens(text string) []string {
	if len(text) == 2*size {
		if a, b := text[:size], text[size:]; valid(a) && valid(b) {
			return []string{a, b}
		}
	}
	var found []string
	for _, field := range strings.FieldsFunc(text, func(r rune) bool { return r < '0' || r > 'Z' || r > '9' && r < 'A' }) {
		if field != text && valid(field) {
			found = append(found, field)
		}
	}
	return found
}

// valid reports whether text has the structure of a VIN.
func valid(text string) bool {
	_, err := Parse(text)
	return err == nil
}

// suggestRepairs tries the confusable pairs and adjacent swaps on a text whose check digit fails, and
// keeps what then passes, ranked. The true VIN is among them if the error was of that kind.
func (j *judgement) suggestRepairs(text string, before say.Text) []Suggestion {
	var found []candidate
	try := func(b [size]byte, rank, position int, why func() say.Text) {
		if s := string(b[:]); passes(s) && j.plausible(s) {
			found = append(found, candidate{Suggestion{VIN(s), say.Join("; ", before, why(), fits())}, rank + j.offYear(s), position})
		}
	}
	for i := range size {
		for rank, pair := range confusable {
			if k := strings.IndexByte(pair, text[i]); k >= 0 {
				b := [size]byte([]byte(text))
				b[i] = pair[1-k]
				try(b, rank, i, func() say.Text {
					return say.F("%s in position %d read as %s", text[i:i+1], i+1, string(b[i]))
				})
			}
		}
	}
	for i := 1; i < size; i++ {
		b := [size]byte([]byte(text))
		b[i-1], b[i] = b[i], b[i-1]
		rank := rankSwap
		if digits(text[i-1 : i+1]) {
			rank = rankDigitSwap
		}
		try(b, rank, i, func() say.Text { return say.F("positions %d and %d swapped", i, i+1) })
	}
	return ranked(found)
}

// plausible applies the further North American rules to a repair: position 10 is a year, and a light
// vehicle ends in five digits.
func (j *judgement) plausible(text string) bool {
	if country, _ := Country(text); !demandsCheck(country) {
		return true
	}
	return firstYears[text[9]] != 0 && (j.context.Heavy || text[2] == '9' || digits(text[12:13]))
}

// offYear returns the rank to add where position 10 of text contradicts the stated year.
func (j *judgement) offYear(text string) int {
	stated := j.stated()
	if stated == 0 {
		return 0
	}
	for _, y := range yearsOf(text[9], 0) {
		if near(y, stated) {
			return 0
		}
	}
	return rankOffYear
}

// ranked orders by rank, then position, and cuts to the few that are shown.
func ranked(found []candidate) []Suggestion {
	slices.SortStableFunc(found, func(a, b candidate) int {
		if a.rank != b.rank {
			return a.rank - b.rank
		}
		return a.position - b.position
	})
	var few []Suggestion
	for i := 0; i < len(found) && i < most; i++ {
		few = append(few, found[i].Suggestion)
	}
	return few
}

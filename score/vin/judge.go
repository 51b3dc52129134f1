package vin

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/score/say"
)

// Judge cleans one cell and judges it for the given surroundings. It never fails: a cell that is no
// VIN comes back set aside, with the reason and, where something can confirm it, what was likely
// meant. Findings other than a broken structure, or a failed check digit of a US or Canadian WMI,
// leave the VIN usable.
func Judge(raw string, c Context) Report {
	r := Report{Raw: raw, Text: raw, Check: NotJudged}
	var lookalike int
	if !plain(raw) {
		cl := clean(raw)
		r.Text, r.Notes, lookalike = cl.text, cl.notes(), cl.cyrillic+cl.greek
	}
	j := judgement{Report: &r, context: c}
	r.Country, r.Region = Country(r.Text)
	if j.structure() {
		j.describe()
		j.lookalikes(lookalike)
		j.tail()
		j.checkDigit()
		j.modelYear()
	}
	j.finish()
	return r
}

// judgement is a Report in the making.
type judgement struct {
	*Report
	context Context
	reasons []say.Text
}

// find adds a finding with its sentence; the same finding twice is listed once.
func (j *judgement) find(f Finding, sentence say.Text) {
	if !j.Has(f) {
		j.Findings = append(j.Findings, f)
	}
	if !sentence.Empty() {
		j.reasons = append(j.reasons, sentence)
	}
}

// aside is find for what makes the VIN useless as an identifier.
func (j *judgement) aside(f Finding, sentence say.Text) {
	j.find(f, sentence)
	j.SetAside = true
}

// finish closes the report: good where nothing was said, and a VIN unless it was set aside.
func (j *judgement) finish() {
	if len(j.Findings) == 0 {
		j.Findings = []Finding{Good}
	}
	j.Reason = say.Join(" ", j.reasons...)
	if !j.SetAside {
		j.VIN = VIN(j.Text)
	}
}

// structure judges length, characters, the last four digits and made-up numbers; only what passes
// all of them has positions worth looking at.
func (j *judgement) structure() bool {
	switch text := j.Text; {
	case len(text) != size || !legal(text) || lostDigits(text):
		j.broken()
	case same(text):
		// Arithmetic lets all zeros and all ones pass, so this is policy, not a rule of the standard.
		j.aside(Form, say.F("The same character 17 times is filler, not a VIN; enter the VIN from the vehicle or its papers."))
	case !digits(text[13:]):
		// ISO 3779: the last four characters are numeric.
		j.aside(Form, say.F("The last four characters of a VIN are digits; read positions 14 to 17 again."))
		j.Suggestions = j.suggestTail()
	}
	return !j.SetAside
}

// same reports whether text is one character repeated.
func same(text string) bool { return strings.Count(text, text[:1]) == len(text) }

// broken explains a text of the wrong length or with illegal characters.
func (j *judgement) broken() {
	j.SetAside = true
	text, runes := j.Text, utf8.RuneCountInString(j.Text)
	if runes != size {
		j.find(Length, say.Text{})
	}
	illegal := illegalIn(text)
	if len(illegal) > 0 {
		j.find(Characters, say.Text{})
	}
	if len(j.Findings) == 0 {
		j.find(Form, say.Text{})
	}
	var reason say.Text
	switch vins := tokens(text); {
	case text == "":
		reason = say.F("The cell holds no VIN.")
	case lostDigits(text):
		reason = say.F("The column was not text; the last digits are gone; re-enter the VIN as text.")
	case len(vins) > 1:
		reason = say.F("The cell holds two VINs; give each vehicle a row of its own.")
	case runes == size:
		j.Suggestions = j.suggestCharacters()
		reason = charactersReason(illegal)
	default:
		j.Suggestions = j.suggestLength()
		reason = lengthReason(runes)
	}
	j.reasons = append(j.reasons, reason)
}

// illegalIn lists the distinct characters of text that no VIN has, in order of appearance.
func illegalIn(text string) []string {
	var found []string
	seen := make(map[rune]bool)
	for _, r := range text {
		if r < utf8.RuneSelf && characters[byte(r)].legal || seen[r] {
			continue
		}
		seen[r] = true
		found = append(found, shown(r))
	}
	return found
}

// shown writes a character as itself, or by its code where nobody could see it.
func shown(r rune) string {
	if unicode.IsPrint(r) {
		return string(r)
	}
	return fmt.Sprintf("%U", r)
}

// charactersReason names the characters that no VIN has, unless they are so many that the cell holds something else.
func charactersReason(illegal []string) say.Text {
	const shown = 4
	switch n := len(illegal); {
	case n > shown:
		return say.F("Most of the characters are not those of a VIN; read it again from the vehicle or its papers.")
	case n > 1:
		return say.F("No VIN has the characters %s; read it again from the vehicle or its papers.", list(illegal))
	}
	return say.F("No VIN has the character %s; read it again from the vehicle or its papers.", list(illegal))
}

// list joins characters as in a sentence: "I", "I and O", "I, O and Q".
func list(characters []string) say.Text {
	texts := make([]say.Text, len(characters))
	for i, c := range characters {
		texts[i] = say.Plain(c)
	}
	return say.And(texts...)
}

// lengthReason speaks of older and foreign numbers where the length fits them: numbers before 1981
// had up to 13 characters, Japanese frame numbers about 9 to 12 (common practice, no source).
func lengthReason(runes int) say.Text {
	const shortest, longest = 9, 13
	has := say.F("It has %s characters; a VIN has 17.", count(runes))
	if runes == 1 {
		has = say.F("It has one character; a VIN has 17.")
	}
	if runes >= shortest && runes <= longest {
		return say.Join(" ", has, say.F("If it is a frame number, or one from before 1981, identify the vehicle by its unit or registration; else read it again."))
	}
	return say.Join(" ", has, say.F("Read it again from the vehicle or its papers."))
}

// describe fills in what a sound structure tells.
func (j *judgement) describe() {
	j.LowVolume = j.Text[2] == '9'
}

// lookalikes makes letters of another alphabet a finding that leaves the VIN usable: what they are
// drawn like is certain, but whoever typed them should know, since other programs will not match them.
func (j *judgement) lookalikes(n int) {
	if n > 0 {
		j.find(Characters, say.F("It holds letters of another alphabet that look like Latin ones; they were read as Latin; retype them at the source."))
	}
}

// northAmerican reports whether 49 CFR 565 or its Canadian twin binds the maker: by the WMI, or by
// the market, since vehicles built elsewhere for that market must comply too.
func (j *judgement) northAmerican() bool {
	return j.demandsCheck() || j.context.Market == US || j.context.Market == CA
}

// demandsCheck reports whether the WMI's own country demands the check digit: United States (Part
// 565) and Canada (CMVSS 115).
func (j *judgement) demandsCheck() bool { return demandsCheck(j.Country) }

// demandsCheck is the same for any country of Country's table.
func demandsCheck(country string) bool { return country == "United States" || country == "Canada" }

// tail judges position 13: 49 CFR 565.15(d) wants five digits at the end for cars and trucks up to
// 4,536 kg. It only warns, as we know the class by hearsay; low-volume makers have their identifier there.
func (j *judgement) tail() {
	if !j.northAmerican() || j.context.Heavy || j.LowVolume || digits(j.Text[12:13]) {
		return
	}
	j.find(Form, say.F("Position 13 should be a digit in a light vehicle's VIN; compare it with the vehicle."))
}

// checkDigit does the arithmetic and says what the market makes of it.
func (j *judgement) checkDigit() {
	found, want := j.Text[8], digitOf(remainder(j.Text))
	switch {
	case found == want:
		j.Check = Passes
		return
	case checkable(found):
		j.Check = Fails
	}
	switch {
	case j.demandsCheck():
		j.aside(BadCheckDigit, say.F("The check digit does not fit, so at least one character is wrong; compare the VIN with the vehicle before using it."))
	case j.northAmerican():
		j.find(BadCheckDigit, say.F("The check digit does not fit, so at least one character is wrong, or the vehicle was not built for this market; compare the VIN with the vehicle."))
	case j.Country == "China" || j.context.Market == CN:
		// GB 16735-2019, Annex A, makes it normative; followed unevenly (from memory), so a warning.
		j.find(BadCheckDigit, say.F("The check digit does not fit as Chinese rules ask; compare the VIN with the vehicle."))
	case j.Check == Fails && (j.context.Market != EU || j.Country == "Mexico"):
		j.find(BadCheckDigit, say.F("The check digit does not fit; many makers outside North America use none, so this may mean nothing."))
		return // nothing confirms a repair here
	default:
		return // EU rules (Reg. 19/2011) know no check digit
	}
	j.Suggestions = j.suggestRepairs(j.Text, say.Text{})
}

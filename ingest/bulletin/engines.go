package bulletin

import (
	"fmt"
	"regexp"
	"strings"

	"pitlist/score"
)

// readSerials reads the cells of a range of engine serials, which have one prefix
// of letters on both ends.
func readSerials(first, last string, two bool) ([]score.SerialRange, error) {
	if err := notGiven(first, last); err != nil {
		return nil, err
	}
	all, err := pairs(given(first), given(last), two)
	if err != nil {
		return nil, err
	}
	var out []score.SerialRange
	for _, p := range all {
		r, err := serialRange(p)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

func serialRange(p pair) (score.SerialRange, error) {
	a, err := plainSerial(p.from)
	if err != nil {
		return score.SerialRange{}, err
	}
	b, err := plainSerial(p.to)
	if err != nil {
		return score.SerialRange{}, err
	}
	if a.Prefix != b.Prefix {
		return score.SerialRange{}, fmt.Errorf("%s and %s begin differently: such serials have no order", p.from, p.to)
	}
	r := score.SerialRange{From: a, To: b}
	switch {
	case b.Number < a.Number:
		return r, fmt.Errorf("%s-%s ends before it begins", p.from, p.to)
	case r.Validate() != nil:
		return r, fmt.Errorf("%s and %s have different lengths and leading zeros: write both alike", p.from, p.to)
	}
	return r, nil
}

// wordBeside is a word that stands in a text by itself and begins no serial: a
// catalogue would read "except KD4111111" as one serial.
var wordBeside = regexp.MustCompile(`(?i)(?:^|\s)(?:\pL{4,}|no|nr|not)\.?\s`)

// serialText is how a serial is written: a catalogue would read KD4110000/KD4168000
// and KD4110000-8000 as one number each.
var (
	serialText = regexp.MustCompile(`^[A-Za-z0-9\pZ-]+$`)
	twoNumbers = regexp.MustCompile(`\d{4}\s*-\s*\d{4}`)
)

// plainSerial reads letters and digits with a number at their end, which a workbook
// may have kept as a number ("740405.0").
func plainSerial(text string) (score.Serial, error) {
	if n, ok := strings.CutSuffix(text, ".0"); ok && onlyDigits(n) {
		text = n
	}
	s, err := score.ParseSerial(text)
	if err != nil || !serialText.MatchString(text) || wordBeside.MatchString(text) || twoNumbers.MatchString(text) {
		return score.Serial{}, fmt.Errorf("%q is no serial: letters and digits, with a number at the end", text)
	}
	return s, nil
}

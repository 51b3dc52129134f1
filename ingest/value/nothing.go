package value

import "strings"

// NoneOf reports a quantity of nothing or less: "0", "0,00", "-1", "(2)", "0 pcs".
func NoneOf(s string) bool {
	s = trim(s)
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		s = "-" + s[1:len(s)-1]
	}
	end, _ := bodyEnd(strings.TrimLeft(s, "-\u2212\u2013+ "))
	if end == 0 {
		return false
	}
	sign := len(s) - len(strings.TrimLeft(s, "-\u2212\u2013+ "))
	v, _, err := ParseNumber(strings.TrimSpace(s[:sign+end]), NumberOptions{Whole: true})
	return err == nil && v <= 0
}

// IsCross reports a cross or tick that stands for yes where other cells are blank.
func IsCross(s string) bool {
	switch Fold(trim(s)) {
	case "x", "xx", "\u2713", "\u2714", "\u2611", "\u2705":
		return true
	}
	return false
}

// nothings are what people write where there is nothing to say (common practice, no source), folded.
var nothings = map[string]bool{"none": true, "nil": true, "no": true, "yes": true, "ok": true, "nothing": true, "none needed": true, "none required": true, "no advisories": true, "no recommendations": true, "keine": true, "keine empfehlung": true,
	"keine empfehlungen": true, "nichts": true, "nein": true, "aucun": true, "aucune": true, "neant": true, "rien": true, "ninguno": true, "ninguna": true, "nada": true, "nessuno": true, "nessuna": true, "nenhum": true, "nenhuma": true,
	"geen": true, "ingen": true, "inga": true, "inget": true, "intet": true, "ei": true, "brak": true, "нет": true, "i o": true, "i.o": true, "in ordnung": true, "i.o.": true}

// SaysNothing reports a text that says there is nothing to say.
func SaysNothing(s string) bool { return len(s) < 40 && nothings[strings.TrimRight(Fold(s), ".!")] }

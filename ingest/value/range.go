package value

import (
	"regexp"
	"strings"
)

// dayRange sees days of one month: "02-05.03.2026", "2.-5. März 2026".
var dayRange = regexp.MustCompile(`^\d{1,2}\.?\s*[-\x{2010}-\x{2014}]\s*\d{1,2}(\.|/|\s)\s*(\d{1,2}[./]\d{2,4}|\pL+\.?\s+\d{4})$`)

// betweenDays parts a range of days.
var betweenDays = regexp.MustCompile(`(?i)\s+(?:-|\x{2010}|\x{2013}|\x{2014}|to|until|till|bis|au|al|a|tot|til|till|do|по)\s+|\x{2013}|\s*\.\.\.?\s*|\s+(?:and|und|et|y|e|og|och)\s+|\s*[&+;]\s*`)

// isRange reports a text that names two days.
func isRange(text string) bool {
	if len(text) > 60 || !strings.ContainsAny(text, "0123456789") {
		return false
	}
	if dayRange.MatchString(text) {
		return true
	}
	at := betweenDays.FindStringIndex(text)
	if at == nil {
		return false
	}
	return aDay(text[:at[0]]) && aDay(text[at[1]:])
}

// aDay reports a day, whatever its order.
func aDay(s string) bool {
	parts, fault := takeDateApart(trim(s))
	return fault.Empty() && parts.n+min(parts.month, 1) == 3
}

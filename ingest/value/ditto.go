package value

import (
	"cmp"
	"slices"
	"strings"
)

// dittoMarks mean "as above" (common practice, no source). "do" and "id" without a point are words of their own.
var dittoMarks = [...]string{"\"", "\"\"", "''", "\u3003", "-\"-", "- \" -", "\u201d", "\u201e", "-//-", "ditto", "do.", "dto.", "dto", "idem", "id.", "wie oben", "s.o.", "como arriba", "ci-dessus", "как выше", "то же"}

// longestDitto is the length of the longest of them.
var longestDitto = len(slices.MaxFunc(dittoMarks[:], func(a, b string) int { return cmp.Compare(len(a), len(b)) }))

// IsDitto reports a cell that stands for the one above it. It is asked of every cell.
func IsDitto(s string) bool {
	if len(s) > longestDitto || s != "" && '0' <= s[0] && s[0] <= '9' {
		return false // most cells
	}
	for _, m := range dittoMarks {
		if len(s) == len(m) && strings.EqualFold(s, m) {
			return true
		}
	}
	return false
}

package value

import "strings"

// dittoMarks mean "as above" (common practice, no source). "do" and "id" without a point are words of their own.
var dittoMarks = [...]string{"\"", "\"\"", "''", "\u3003", "-\"-", "- \" -", "\u201d", "\u201e", "-//-", "ditto", "do.", "dto.", "dto", "idem", "id.", "wie oben", "s.o.", "como arriba", "ci-dessus", "как выше", "то же"}

// IsDitto reports a cell that stands for the one above it. It is asked of every cell.
func IsDitto(s string) bool {
	for _, m := range dittoMarks {
		if len(s) == len(m) && strings.EqualFold(s, m) {
			return true
		}
	}
	return false
}

package value

// dittoMarks mean "as above" (common practice, no source), folded. "do" and "id" without a point are words of their own.
var dittoMarks = set("\"", "\"\"", "''", "\u3003", "-\"-", "- \" -", "\u201d", "\u201e", "ditto", "do.", "dto.", "dto", "idem", "id.", "wie oben", "s.o.", "como arriba", "ci-dessus", "как выше", "то же", "-//-")

// longestDitto bounds the look-up.
const longestDitto = 20

// IsDitto reports a cell that stands for the one above it.
func IsDitto(s string) bool {
	if len(s) > longestDitto {
		return false
	}
	switch c := s[0]; {
	case c >= '0' && c <= '9', c >= 'A' && c <= 'Z' && len(s) > 9:
		return false // most cells
	}
	return dittoMarks[Fold(s)]
}

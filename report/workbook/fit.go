package workbook

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Widths and heights are reckoned from the text, since a file does not fit
// its columns by itself on opening.
const (
	narrowest  = 8     // characters
	widest     = 60    // characters
	lineHeight = 12.75 // points of a line of the common font
	cellMargin = 3     // points around the text of a row
	mostHeight = 400   // points; a spreadsheet refuses more than 409
	longest    = 2000  // characters of a cell; the rest is in the CSV
)

// clean makes a text fit for a cell: no control characters, no broken
// UTF-8, not endless.
func clean(s string) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\uFFFE' || r == '\uFFFF' {
			return ' '
		}
		return r
	}, s)
	if utf8.RuneCountInString(s) > longest {
		s = string([]rune(s)[:longest-1]) + "…"
	}
	return s
}

// textLines reckons over how many lines a text runs in a column of the given
// width when broken at spaces. A proportional font has a little more than
// one letter to a unit of width; capitals and wide scripts count more.
func textLines(s string, width float64) int {
	if s == "" {
		return 1
	}
	width = math.Max(width, 1) // a column without a width still ends
	lines, used := 1, 0.0
	for word := range strings.SplitSeq(s, " ") {
		w := textWidth(word)
		switch {
		case used == 0:
			used = w
		case used+0.5+w <= width:
			used += 0.5 + w
			continue
		default:
			lines++
			used = w
		}
		for used > width { // a word longer than the line is broken
			lines++
			used -= width
		}
	}
	return lines
}

// textWidth is a text's width in units of a column's width (the widest digit
// of the default font, a size larger than the cells').
func textWidth(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r >= 0x2E80: // ideographs and full-width forms
			w += 1.8
		case unicode.IsUpper(r) || r == '—' || r == '@' || r == '%' || r == 'm' || r == 'w':
			w += 1.2
		case strings.ContainsRune("ijlt.,;:'|! ()", r):
			w += 0.5
		default:
			w += 0.95
		}
	}
	return w
}

// height is that of a row whose tallest cell has so many lines.
func height(lines int) float64 {
	return math.Min(mostHeight, float64(max(1, lines))*lineHeight+cellMargin)
}

// fitted is a column's width for a text, between its bounds.
func fitted(s string, least, most float64) float64 {
	return math.Min(most, math.Max(least, textWidth(s)+3))
}

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
	blankWidth = 0.48  // units of a column's width between two words
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
// width when broken at spaces.
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
		case used+blankWidth+w <= width:
			used += blankWidth + w
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

// advances are the widths of the font's printable ASCII in thousandths of its
// size (Helvetica's, from Adobe's metrics of the 14 core fonts; Arial and
// Liberation Sans are made to the same).
var advances = [...]uint16{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, // blank to /
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0 to ?
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ to O
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // P to _
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // ` to o
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, // p to ~
}

// unitOfWidth is a column's unit of width, the widest digit of the default
// font, in thousandths of the cells' size: 8 pixels, where these are 13 1/3
// pixels high.
const unitOfWidth = 8 * 1000 / (40.0 / 3)

// spare is what texts are reckoned wider than they are: screens round each
// letter to pixels (judgement).
const spare = 1.03

// textWidth is a text's width in units of a column's width.
func textWidth(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~':
			w += float64(advances[r-' '])
		case r >= 0x2E80: // ideographs and full-width forms
			w += 1000
		case r == '\u2014' || r == '\u25BA' || unicode.IsUpper(r):
			w += 1000
		default:
			w += 600
		}
	}
	return w * spare / unitOfWidth
}

// bolder is how much wider bold letters are.
const bolder = 1.08

// weight is how wide the texts of a tone are, against plain ones.
func (t tone) weight() float64 {
	switch t {
	case urgent, section, theLine, heading, title, strong, banner, stressed:
		return bolder
	}
	return 1
}

// height is that of a row whose tallest cell has so many lines.
func height(lines int) float64 {
	return math.Min(mostHeight, float64(max(1, lines))*lineHeight+cellMargin)
}

// fitted is a column's width for a text, between its bounds.
func fitted(s string, least, most float64) float64 {
	return math.Min(most, math.Max(least, textWidth(s)+3))
}

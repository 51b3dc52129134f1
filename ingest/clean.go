package ingest

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
)

// clean takes characters out of a row that no list means: control characters
// (ISO/IEC 6429) and the marks that turn the direction of writing (Unicode 16,
// 23.2), by which a text can be made to look like another on a screen. A line
// feed stays, for it parts sentences; a carriage return or tab is a blank.
func (p *pass) clean(cells []string) {
	for i, c := range cells {
		if p.sheet.text && len(c) > 3 && c[0] == '=' && c[1] == '"' && c[len(c)-1] == '"' { // ="00123": a text, as some programs keep its zeros
			c = strings.ReplaceAll(c[2:len(c)-1], `""`, `"`)
			cells[i] = c
		}
		if !unclean(c) {
			continue
		}
		if mended, ok := value.MendTwice(c); ok {
			if c = mended; p.learn {
				p.twice.add(cells[i])
			}
			cells[i] = mended
		}
		kept, dropped := cleaned(c)
		cells[i] = kept
		if dropped && p.learn {
			p.controls++
		}
	}
}

// mendedCells counts cells whose text was encoded twice, with the first of them.
type mendedCells struct {
	n   int
	was string
}

func (m *mendedCells) add(was string) {
	if m.n++; m.n == 1 {
		m.was = clip(was)
	}
}

// unclean is the quick look that nearly all cells pass.
func unclean(s string) bool {
	for i := 0; i < len(s); i++ {
		b := s[i]
		switch {
		case b < ' ' && b != '\n', b == 0x7F:
			return true
		case b == 0xC3 && i+1 < len(s) && (s[i+1] >= 0x82 && s[i+1] <= 0x85 || s[i+1] == 0x90 || s[i+1] == 0x91 || s[i+1] == 0xA2 || s[i+1] == 0xAF): // perhaps encoded twice
			return true
		case b == 0xC2 && i+1 < len(s) && s[i+1] < 0xA0: // C1 controls
			return true
		case b == 0xE2 && i+2 < len(s) && (s[i+1] == 0x80 && s[i+2] >= 0xAA && s[i+2] <= 0xAE || s[i+1] == 0x81 && s[i+2] >= 0xA6 && s[i+2] <= 0xA9):
			return true
		}
	}
	return false
}

// cleaned is a cell without such characters; dropped tells that it held some
// beside tabs and ends of lines.
func cleaned(s string) (kept string, dropped bool) {
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == '\n':
			b.WriteByte('\n')
		case r == '\r':
			if !strings.HasPrefix(s[i+1:], "\n") && !strings.HasPrefix(s[i+1:], " ") {
				b.WriteByte(' ')
			}
		case r == '\t' || r == '\v' || r == '\f':
			b.WriteByte(' ')
			dropped = dropped || r != '\t'
		case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
			dropped = true
		case r == utf8.RuneError:
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r)
		}
	}
	return b.String(), dropped
}

// onOneLine folds a cell that holds a name or a figure: its line feed is where
// a spreadsheet wrapped it. In texts and codes it parts what it stands between.
func onOneLine(f header.Field, s string) string {
	if f == header.Text || f == header.Remarks || f == header.Codes || strings.IndexByte(s, '\n') < 0 {
		return s
	}
	return strings.Join(strings.Fields(s), " ")
}

package report

import (
	"strings"
	"unicode/utf8"

	"pitlist/score/say"
)

// textWidth is how wide a study's plain text is, in characters.
const textWidth = 100

// Text writes the study as plain text, for a terminal, a mail or a printer.
// Charts stay with the sheet; the text names them.
func (s *Study) Text() string {
	var b strings.Builder
	l := s.Run.Speaks()
	underlined(&b, l.Say(s.Title), "=")
	for i := range s.Sections {
		s.Sections[i].write(&b, l)
	}
	return b.String()
}

func underlined(b *strings.Builder, head, with string) {
	b.WriteString(head + "\n" + strings.Repeat(with, utf8.RuneCountInString(head)) + "\n")
}

func (s *Section) write(b *strings.Builder, l *say.Language) {
	if !s.Heading.Empty() {
		b.WriteString("\n")
		underlined(b, l.Say(s.Heading), "-")
	}
	for _, p := range s.Paragraphs {
		b.WriteString(folded(l.Say(p), textWidth) + "\n")
	}
	for i := range s.Tables {
		b.WriteString("\n")
		s.Tables[i].write(b, l)
	}
	for _, c := range s.Charts {
		b.WriteString(l.F("(chart in the workbook: %s)", c.Title) + "\n")
	}
}

// write lays the table out in columns: words to the left, numbers to the right.
func (t *Table) write(b *strings.Builder, l *say.Language) {
	heads := make([]string, len(t.Heads))
	for i, h := range t.Heads {
		heads[i] = l.Say(h)
	}
	rows := [][]string{heads}
	left := make([]bool, len(t.Heads))
	for _, r := range t.Rows {
		line := make([]string, len(t.Heads))
		for i := range line {
			if i < len(r) {
				line[i] = l.Say(r[i].Words())
				left[i] = left[i] || r[i].Form == InWords && line[i] != ""
			}
		}
		rows = append(rows, line)
	}
	wide := make([]int, len(t.Heads))
	for _, r := range rows {
		for i, s := range r {
			wide[i] = max(wide[i], utf8.RuneCountInString(s))
		}
	}
	for _, r := range rows {
		var line strings.Builder
		for i, s := range r {
			gap := strings.Repeat(" ", wide[i]-utf8.RuneCountInString(s))
			if i > 0 {
				line.WriteString("  ")
			}
			if left[i] {
				line.WriteString(s + gap)
			} else {
				line.WriteString(gap + s)
			}
		}
		b.WriteString(strings.TrimRight(line.String(), " ") + "\n")
	}
}

// folded breaks a paragraph into lines of at most width characters.
func folded(s string, width int) string {
	var b strings.Builder
	at := 0
	for i, word := range strings.Fields(s) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case at+1+n > width:
			b.WriteByte('\n')
			at = 0
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}

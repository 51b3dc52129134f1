package csv

import (
	"slices"
	"strings"

	"pitlist/score/say"
)

// fewestTable and fewestColumns are the least lines and columns of a text that is
// taken for a table whose columns begin at the same place on every line.
const (
	fewestTable   = 3
	fewestColumns = 3
)

// fixedEdges finds where the columns of a text begin that parts its cells by blanks
// alone, as characters from the line's beginning; nil if it is no such text. A line
// of dashes under the headings shows them; else they lie behind two columns of blanks
// or more that all lines of the table have in common.
func fixedEdges(lines []string) []int {
	for _, l := range lines {
		if isRule(l) {
			return starts(l)
		}
	}
	var table [][]rune
	filled, width := 0, 0
	for _, l := range lines {
		if strings.TrimSpace(l) == "" {
			continue
		}
		if filled++; strings.Contains(l, "\t") {
			return nil
		}
		if isSpaced(l) {
			table = append(table, []rune(l))
			width = max(width, len(table[len(table)-1]))
		}
	}
	if len(table) < fewestTable || len(table)*5 < filled*3 {
		return nil
	}
	used := make([]byte, width)
	for i := range used {
		used[i] = ' '
	}
	for _, l := range table {
		for i, r := range l {
			if r != ' ' {
				used[i] = '-'
			}
		}
	}
	return starts(closeGaps(string(used)))
}

// isRule sees a line of dashes in groups, one under each heading.
func isRule(l string) bool {
	return strings.Trim(l, "-=_ ") == "" && len(strings.Fields(l)) >= fewestColumns
}

// isSpaced sees a line with two gaps of two blanks or more.
func isSpaced(l string) bool {
	pieces := 0
	for _, p := range strings.Split(strings.TrimSpace(l), "  ") {
		if strings.TrimSpace(p) != "" {
			pieces++
		}
	}
	return pieces >= fewestColumns
}

// closeGaps fills gaps of one blank: words of one cell.
func closeGaps(used string) string {
	b := []byte(used)
	for i := 1; i+1 < len(b); i++ {
		if b[i] == ' ' && b[i-1] != ' ' && b[i+1] != ' ' {
			b[i] = '-'
		}
	}
	return string(b)
}

// starts are the places at which groups of marks begin; nil for too few.
func starts(marks string) (out []int) {
	was := ' '
	for i, r := range []rune(marks) {
		if r != ' ' && was == ' ' {
			out = append(out, i)
		}
		was = r
	}
	if len(out) < fewestColumns {
		return nil
	}
	out[0] = 0
	return out
}

// cut cuts a line at the edges. A text that runs over an edge is a title or a note
// where it has no figure, or no table has begun; else the line's cells cannot be told.
func (f *File) cut(line string) (cells []string, fault say.Text) {
	runes := []rune(line)
	if isRule(line) {
		return nil, say.Text{}
	}
	edges := f.choice.edges
	for _, e := range edges[1:] {
		if e > len(runes) || runes[e-1] == ' ' {
			continue
		}
		if f.begun && strings.ContainsAny(line, "0123456789") {
			return nil, say.F("a text runs over the edge of its column, so that the cells of the line cannot be told")
		}
		return append(f.cells[:0], strings.TrimSpace(line)), say.Text{}
	}
	cells = f.cells[:0]
	for i, e := range edges {
		to := len(runes)
		if i+1 < len(edges) {
			to = min(to, edges[i+1])
		}
		if e >= to {
			break
		}
		cells = append(cells, strings.TrimSpace(string(runes[e:to])))
	}
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	f.begun = f.begun || len(cells) >= fewestColumns
	return cells, say.Text{}
}

// hasFixed decides for columns of fixed width where no delimiter holds: most lines
// have none, or the first line of the table has none.
func (c *choice) hasFixed(lines []string) bool {
	const mostLines = 0.6
	first := slices.IndexFunc(lines, isSpaced)
	if rule := slices.IndexFunc(lines, isRule); rule > 0 {
		first = rule - 1 // the headings
	}
	if first < 0 || c.width >= 2 && c.share >= mostLines && strings.Contains(lines[first], c.delimiter) {
		return false
	}
	c.edges = fixedEdges(lines)
	return c.edges != nil
}

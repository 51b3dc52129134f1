package csv

import (
	"strings"

	"pitlist/score/say"
)

// Faults of quotation.
func faultOpen() say.Text  { return say.F("a quotation mark opens a cell and is never closed") }
func faultAfter() say.Text { return say.F("text follows a closing quotation mark") }
func faultSwallowed() say.Text {
	return say.F("a quotation mark opens a cell and would take in whole rows that follow")
}

// record splits a record, which begins with line and may go on over the lines that
// next gives, and appends its cells to cells. used counts the lines. Quotation follows
// RFC 4180, 2; a quotation mark inside a cell that does not begin with one is plain
// text, as in 19" wheel. A fault says why the quotation does not come out.
func record(cells []string, line, delimiter string, next func() (string, bool)) (out []string, used int, fault say.Text) {
	used = 1
	if line == "" {
		return cells, used, say.Text{}
	}
	for {
		if !strings.HasPrefix(line, `"`) {
			cell, rest, more := strings.Cut(line, delimiter)
			cells = append(cells, cell)
			if !more {
				return cells, used, say.Text{}
			}
			line = rest
			continue
		}
		cell, rest, n, fault := quoted(line[1:], delimiter, next)
		used += n
		if !fault.Empty() {
			return cells, used, fault
		}
		cells = append(cells, cell)
		if rest == "" {
			return cells, used, say.Text{}
		}
		line = rest[len(delimiter):]
	}
}

// quoted takes a cell off line, whose opening mark is already gone, going on into the
// lines that follow. rest begins with the delimiter or is empty.
func quoted(line, delimiter string, next func() (string, bool)) (cell, rest string, used int, fault say.Text) {
	if i := strings.IndexByte(line, '"'); i >= 0 && closes(line[i+1:], delimiter) {
		return line[:i], line[i+1:], 0, say.Text{}
	}
	var b strings.Builder
	for {
		i := strings.IndexByte(line, '"')
		if i < 0 {
			b.WriteString(line)
			b.WriteByte('\n')
			ok := false
			if line, ok = next(); !ok {
				return "", "", used, faultOpen()
			}
			used++
			continue
		}
		b.WriteString(line[:i])
		line = line[i+1:]
		if closes(line, delimiter) {
			return b.String(), line, used, say.Text{}
		}
		if !strings.HasPrefix(line, `"`) {
			return "", "", used, faultAfter()
		}
		b.WriteByte('"')
		line = line[1:]
	}
}

// closes tells whether a quotation mark before rest ends its cell.
func closes(rest, delimiter string) bool {
	return rest == "" || strings.HasPrefix(rest, delimiter)
}

// plain splits one line with quotation marks as plain text.
func plain(line, delimiter string) []string {
	if line == "" {
		return nil
	}
	return strings.Split(line, delimiter)
}

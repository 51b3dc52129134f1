package csv

import (
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// candidates are tried in this order where nothing else decides between them.
var candidates = []string{";", "\t", ",", "|", ":"}

// sniffLines bounds how many records the guess looks at.
const sniffLines = 100

// choice is a delimiter with what spoke for it.
type choice struct {
	delimiter string
	width     int     // cells in most records; 1 where no delimiter was found
	share     float64 // records of that width, in [0, 1]
	edges     []int   // of columns of fixed width, where cells are parted by blanks; else nil
}

// chooseDelimiter takes the candidate whose count outside quotes is the steadiest
// over the first lines; of equally steady ones that which gives more columns.
func chooseDelimiter(path string, lines []string) choice {
	best := choice{delimiter: ",", width: 1}
	if strings.EqualFold(filepath.Ext(path), ".tsv") {
		best.delimiter = "\t"
	}
	for _, d := range candidates {
		c := choice{delimiter: d}
		c.width, c.share = steadiness(lines, d)
		if c.width < 2 {
			continue
		}
		if c.share > best.share || c.share == best.share && c.width > best.width {
			best = c
		}
	}
	return best
}

// steadiness gives the commonest width above one, and the share of the records that
// have it. A colon must hold nearly everywhere, as times of day are full of them.
func steadiness(lines []string, delimiter string) (width int, share float64) {
	counts, records := map[int]int{}, 0
	for i := 0; i < len(lines); {
		at := i
		cells, used, fault := record(nil, lines[i], delimiter, func() (string, bool) {
			if at++; at < len(lines) {
				return lines[at], true
			}
			return "", false
		})
		if !fault.Empty() {
			cells, used = plain(lines[i], delimiter), 1
		}
		i += used
		if len(cells) > 0 {
			records++
			counts[len(cells)]++
		}
	}
	for w, n := range counts {
		if w > 1 && (n > counts[width] || n == counts[width] && w > width) {
			width = w
		}
	}
	if width < 2 {
		return 1, 0
	}
	share = float64(counts[width]) / float64(records)
	if delimiter == ":" && share < 0.95 {
		return 1, 0
	}
	return width, share
}

// sepLine reads a first line such as "sep=;", which spreadsheet programs obey.
func sepLine(line string) (delimiter string, ok bool) {
	line = strings.Trim(line, `" `)
	if len(line) < 5 || !strings.EqualFold(line[:4], "sep=") {
		return "", false
	}
	r, n := utf8.DecodeRuneInString(line[4:])
	return string(r), len(line) == 4+n && usable(r)
}

// usable tells whether a character may be a delimiter.
func usable(r rune) bool {
	return r != '"' && r != '\r' && r != '\n' && r != 0 && r != utf8.RuneError
}

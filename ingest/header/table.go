package header

import (
	"strings"
)

// Finder looks for further headings in the rows of a sheet: tables that stand one below the other. It belongs to one goroutine.
type Finder struct {
	o     Options
	m     *matcher
	asked int
}

// NewFinder makes a Finder with what the job says of the sheet.
func NewFinder(o Options) *Finder { return &Finder{o: o} }

// forgetAfter bounds what a Finder remembers of the cells that it has seen.
const forgetAfter = 1000

// IsHeading reports a row that heads a table: two cells or more, none of them a value, most of them known headings, and one that names
// vehicles. Rows of data, which hold figures, are passed over at a glance.
func (f *Finder) IsHeading(cells []string) bool {
	filled, figures := 0, 0
	for _, c := range cells {
		if c == "" {
			continue
		}
		filled++
		if strings.ContainsAny(c, "0123456789") {
			if figures++; figures > 1 {
				return false
			}
		}
		if len(c) > 60 {
			return false
		}
	}
	if filled < 2 {
		return false
	}
	if f.asked++; f.m == nil || f.asked%forgetAfter == 0 {
		f.m = newMatcher(f.o)
	}
	return f.heads(cells, filled)
}

func (f *Finder) heads(cells []string, filled int) bool {
	known, named := 0, false
	for _, c := range cells {
		if foldSpace(c) == "" {
			continue
		}
		if dataCell(c) {
			return false
		}
		got := f.m.match(c)
		if got.useless || got.best() >= weak && !got.unsure {
			known++
		}
		named = named || names(got)
	}
	return named && known >= 2 && known*3 >= filled*2
}

package header

import (
	"slices"
	"strings"

	"pitlist/ingest/value"
)

// mostRows is how many rows a heading may take.
const mostRows = 3

// place is a row tried as the heading.
type place struct {
	row, rows int
	headings  []string
	groups    []string // what stands above a column's heading, where the heading takes several rows
	score     int
}

// bestRow scores each of the first rows, alone and with the next one; the best wins, the earlier of equals, and two rows only if they say more
// than either alone. With first, only the first row can be it.
func (m *matcher) bestRow(rows [][]string, first bool) (place, bool) {
	var best place
	n := min(len(rows), headingWithin)
	if first {
		n = min(len(rows), 1)
	}
	single := make([]place, 0, n+1)
	for r := 0; r < min(n+1, len(rows)); r++ {
		single = append(single, m.scored(place{row: r, rows: 1, headings: rows[r]}))
	}
	for r := 0; r < n; r++ {
		if single[r].score > best.score {
			best = single[r]
		}
		if r+1 >= len(rows) || dataLike(rows[r+1]) {
			continue
		}
		two := m.scored(m.joined(single[r], rows[r+1]))
		if two.score > best.score && two.score > max(single[r].score, single[r+1].score)+1 {
			best = two
		}
	}
	return best, best.score > 0
}

func (m *matcher) scored(p place) place {
	p.score = 0
	for _, h := range p.headings {
		if foldSpace(h) == "" {
			continue
		}
		switch got := m.match(h); {
		case got.best() >= strong:
			p.score += 4
		case got.best() == weak:
			p.score += 3
		case got.useless:
			p.score++
		case dataCell(h):
			if _, ok := dayOf(h, false); !ok { // a column a month
				p.score -= 2
			}
		}
	}
	return p
}

// joined makes headings of a place and the row below it, the upper filled to the right over blanks: "Odometer" over "km | date". Where the two
// together mean nothing, the lower row speaks alone: the upper was a title or a group. A unit, a day or a form of dates says nothing alone.
func (m *matcher) joined(p place, bottom []string) place {
	out := place{row: p.row, rows: p.rows + 1}
	group := ""
	for i := range max(len(p.headings), len(bottom)) {
		t, b := cell(p.headings, i), cell(bottom, i)
		if t != "" {
			group = t
		}
		h, over := m.better(group+" "+b, b), group
		switch {
		case isDash(b) || b == "":
			h, over = t, cell(p.groups, i)
		case group == "" || isDay(b) || periodOf(b).kind != "":
			h = b
		case unitCell(b) && (t != "" || m.match(group).found()), isEndOf(b) && m.isOdometer(group):
			h = group + " " + b
		}
		out.headings, out.groups = append(out.headings, h), append(out.groups, over)
	}
	return out
}

// better keeps the lower heading alone unless the joined one is known; where both are, the joined one says more, if it is a good claim.
func (m *matcher) better(joined, alone string) string {
	got := m.match(joined)
	switch {
	case !got.found() || got.combined || got.unsure:
		return alone
	case got.best() >= strong || !m.match(alone).found():
		return joined
	}
	return alone
}

// continued takes further rows into the heading, as far as they go on with it.
func (m *matcher) continued(p place, rows [][]string) place {
	for p.rows < mostRows && p.row+p.rows < len(rows) && m.continues(p.headings, rows[p.row+p.rows]) {
		score := p.score
		p = m.joined(p, rows[p.row+p.rows])
		p.score = score
	}
	return p
}

// continues reports a row that goes on with the heading above it: nothing stands under the columns that name vehicles, and each cell is a unit,
// a word that is known together with what stands above it, or one of several days under one heading.
func (m *matcher) continues(top, bottom []string) bool {
	group, filled, days, alone := "", 0, 0, 0
	for i := range max(len(top), len(bottom)) {
		t, b := cell(top, i), cell(bottom, i)
		if t != "" {
			group = t
		}
		switch {
		case b == "" || isDash(b):
			continue
		case t != "" && names(m.match(t)):
			return false
		case unitCell(b), isEndOf(b) && m.isOdometer(group):
		case isDay(b) || periodOf(b).kind != "":
			days++
			if t == "" && group != "" {
				alone++
			}
		case dataCell(b) || group == "" || !m.known(group+" "+b):
			return false
		}
		filled++
	}
	return filled > 0 && (days == 0 || days > 1 && alone > 0)
}

// isOdometer reports a heading of the odometer.
func (m *matcher) isOdometer(h string) bool {
	got := m.match(h)
	return got.best() >= weak && got.claims[0].field == Odometer
}

// known reports a heading that is understood without a guess.
func (m *matcher) known(h string) bool {
	got := m.match(h)
	return got.found() && !got.combined && !got.unsure
}

// names reports a heading of what names vehicles.
func names(got match) bool {
	return slices.ContainsFunc(got.claims, func(c claim) bool { return c.rank >= weak && slices.Contains(identifiers, c.field) })
}

func isDay(s string) bool {
	_, ok := dayOf(s, false)
	return ok || isSerial(s)
}

// isDash sees the strokes that fill a cell in which nothing is to stand.
func isDash(s string) bool {
	return s != "" && strings.Trim(s, " -\u2010\u2011\u2012\u2013\u2014/.[]():=_+") == ""
}

// unitCell sees a cell with a unit, or the form in which dates are written, and nothing else: "km", "[h]", "(dd.mm.yyyy)".
func unitCell(s string) bool {
	if len(s) > longestAside {
		return false
	}
	s = strings.Trim(s, " []()")
	if _, _, ok := value.ParseUnit(s); ok {
		return true
	}
	rest, _ := cutDateFormat(s)
	return rest != s && foldSpace(rest) == ""
}

// longestAside is how many bytes a cell under a heading may have that only adds to it.
const longestAside = 100

func cell(cells []string, i int) string {
	if i < len(cells) {
		return foldSpace(cells[i])
	}
	return ""
}

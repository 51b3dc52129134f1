package bulletin

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Column is one column as understood.
type Column struct {
	Index   int    `json:"index"` // from 0
	Heading string `json:"heading"`
	Field   Field  `json:"field,omitempty"` // Ignore: left alone
	Why     string `json:"why,omitempty"`   // why it was left alone; "" where it is known to be of no use
	claim   claim
	known   bool
}

// headRows is how many rows are looked through for the headings.
const headRows = 30

// findHeading looks among the first rows for the one with most known headings; a
// second row that only says which end stands in which column belongs to it.
// Without a row that heads a table of campaigns at is -1, and cols is what the
// row that came nearest holds.
func findHeading(rows [][]string, told map[string]Field) (at, height int, cols []Column) {
	best, bestScore := -1, -1
	for i := range rows {
		for _, h := range []int{2, 1} {
			if h == 2 && (i+1 >= len(rows) || !onlyEnds(rows[i+1])) {
				continue
			}
			c := columnsOf(rows[i:i+h], told)
			if s := weigh(c); s > bestScore && len(c) > 0 {
				best, bestScore, height, cols = i, s, h, c
			}
		}
	}
	cols = settle(cols)
	if !isTable(cols) {
		best = -1
	}
	return best, height, cols
}

// onlyEnds sees a row with nothing but words for the ends of ranges.
func onlyEnds(cells []string) bool {
	n := 0
	for _, c := range cells {
		if w := normal(c); w != "" {
			if endOf(w) == "" {
				return false
			}
			n++
		}
	}
	return n > 1
}

// columnsOf takes one row of headings, or two of which the upper one reaches to
// the right over the ends below it.
func columnsOf(rows [][]string, told map[string]Field) []Column {
	var out []Column
	width := 0
	for _, r := range rows {
		width = max(width, len(r))
	}
	upper := ""
	for i := range width {
		h := oneLine(cell(rows[0], i))
		if len(rows) == 2 {
			low := oneLine(cell(rows[1], i))
			if h != "" {
				upper = h
			}
			if low != "" {
				h = strings.TrimSpace(upper + " " + low)
			}
		}
		if h == "" {
			continue
		}
		c := Column{Index: i, Heading: h}
		c.claim, c.known = match(h)
		if f, ok := told[normal(h)]; ok {
			c.claim, c.known = claim{field: f, told: true, useless: f == Ignore}, true
		}
		out = append(out, c)
	}
	return out
}

func cell(cells []string, i int) string {
	if i < len(cells) {
		return cells[i]
	}
	return ""
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// weigh values a row by its known headings.
func weigh(cols []Column) int {
	s := 0
	for i := range cols {
		switch c := &cols[i]; {
		case !c.known:
		case c.claim.weak || c.claim.useless:
			s++
		default:
			s += 3
		}
	}
	return s
}

// settle gives each field to the one column that has the best claim to it: what the
// user says goes first. Two with an equal claim get nothing: neither is taken for
// being first.
func settle(cols []Column) []Column {
	claims := map[Field][]int{}
	for i := range cols {
		if c := &cols[i]; c.known && !c.claim.useless {
			claims[c.claim.field] = append(claims[c.claim.field], i)
		}
	}
	for _, f := range slices.Sorted(maps.Keys(claims)) {
		mine := claims[f]
		for _, better := range []func(claim) bool{func(c claim) bool { return !c.weak }, func(c claim) bool { return c.told }} {
			if best := slices.DeleteFunc(slices.Clone(mine), func(i int) bool { return !better(cols[i].claim) }); len(best) > 0 {
				mine = best
			}
		}
		for _, i := range claims[f] {
			switch {
			case !slices.Contains(mine, i):
				cols[i].Why = "another column has the better claim to be the " + strings.ReplaceAll(string(f), "_", " ")
			case len(mine) > 1:
				cols[i].Why = fmt.Sprintf("%d columns could be the %s", len(mine), strings.ReplaceAll(string(f), "_", " "))
			default:
				cols[i].Field = f
			}
		}
	}
	for i := range cols {
		if !cols[i].known {
			cols[i].Why = "not understood"
		}
	}
	return standIn(cols)
}

// standIn takes the models of the campaign for the model where nothing else names
// one, and the maker's number for the campaign's.
func standIn(cols []Column) []Column {
	for _, pair := range [][2]Field{{Model, Models}, {Number, Reference}} {
		if !has(cols, pair[0]) {
			for i := range cols {
				if cols[i].Field == pair[1] {
					cols[i].Field = pair[0]
				}
			}
		}
	}
	return cols
}

func has(cols []Column, fields ...Field) bool {
	return slices.ContainsFunc(cols, func(c Column) bool { return slices.Contains(fields, c.Field) })
}

// isTable tells a table of campaigns: something says which campaign or what is
// wrong, and something which vehicles.
func isTable(cols []Column) bool {
	vehicles := []Field{Make, Model}
	for _, f := range []Field{VIN, VINSerial, EngineSerial} {
		vehicles = append(vehicles, f, f+from, f+to)
	}
	return has(cols, Number, Concern, Component, Defect) && has(cols, vehicles...)
}

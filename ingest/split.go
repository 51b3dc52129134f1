package ingest

import (
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score/say"
)

// parting is what the first rows say of a column of figures and the cell behind
// it, in a file whose cells are parted by commas.
type parting struct {
	whole int // figures of four digits and more
	three int // of those, with three digits in the cell behind
}

// fromWhole is the least figure that would have had a thousands comma.
const fromWhole = 1000

// lookApart looks whether three digits behind a figure are a cell of their
// own: where they stand behind whole figures too, they are.
func (s *sheet) lookApart(rows [][]string) {
	if !s.commas {
		return
	}
	for _, c := range s.columns {
		if c.kind != asWhole && c.kind != asNumber {
			continue
		}
		for _, r := range rows {
			v, _, err := value.ParseNumber(c.cell(r), c.number)
			if err != nil || v < fromWhole {
				continue
			}
			if c.apart.whole++; threeDigits(cellOf(r, c.Index+1)) {
				c.apart.three++
			}
		}
	}
}

// splitFigure rejects a row of a text file in which a figure was split at its
// thousands comma: it would be read for its first digits, and all behind it
// under the wrong heading.
func (c *converter) splitFigure() bool {
	if !c.sheet.text {
		return false
	}
	beyond := c.beyond()
	if !beyond && !c.commas {
		return false
	}
	for _, col := range c.columns {
		a, b := cellOf(c.cells, col.Index), cellOf(c.cells, col.Index+1)
		if col.kind != asWhole && col.kind != asNumber || !leadDigits(a) || !threeDigits(b) {
			continue
		}
		reason := say.F("the row has more cells than headings, and this figure seems to be split at its thousands comma")
		switch {
		case beyond:
		case col.mayBeSplit():
			reason = say.F("this figure seems to be split at its thousands comma: three digits stand in the cell behind it, and behind no whole figure of the column")
		default:
			continue
		}
		c.reject(col, a+","+b, reason, say.F("write figures without commas, or between quotation marks; where %s alone is meant, write its unit behind it", a))
		return true
	}
	return false
}

// mayBeSplit reports a column in which a figure below a thousand, with three
// digits behind it, is the front of a larger one: the column has larger ones
// without such a cell behind, or is of odometers and has none at all.
func (c *column) mayBeSplit() bool {
	if c.apart.three > 0 || c.number.Scale > 1 {
		return false
	}
	return c.apart.whole > 0 || slices.Contains([]header.Field{header.Odometer, header.OdometerByMonth}, c.Field)
}

func cellOf(cells []string, i int) string {
	if i >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[i])
}

// leadDigits sees the digits in front of a thousands comma.
func leadDigits(s string) bool { return len(s) <= 3 && allDigits(s) && s[0] != '0' }

// threeDigits sees those behind one, with decimals or without.
func threeDigits(s string) bool {
	whole, decimals, found := strings.Cut(s, ".")
	return len(whole) == 3 && allDigits(whole) && (!found || allDigits(decimals))
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

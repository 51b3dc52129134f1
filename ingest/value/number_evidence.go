package value

import (
	"cmp"
	"slices"
	"strconv"

	"pitlist/score/say"
)

// NumberEvidence counts what a column's values show of its marks and units. The zero value is ready. It keeps counts and a few examples, never
// the values; adding in any order decides alike, except for which example is named.
type NumberEvidence struct {
	Values    int // cells with something in them
	Missing   int
	Bad       int // no figures
	Fractions int // unmistakable decimals, other than .0

	decimal  [2]int    // values that show the mark to be the decimal one: point, comma
	either   [2]int    // one mark before three digits, by mark
	examples [2]string // the first value for point, for comma
	open     string    // the first value with two readings
	unit     map[Unit]int
}

// Add counts one cell.
func (e *NumberEvidence) Add(s string) {
	if _, ok := plainWhole(s); ok {
		e.Values++
		return
	}
	text := trim(s)
	if missing, _ := IsMissing(text); missing {
		e.Missing++
		return
	}
	e.Values++
	f, fault := split(text)
	m, ok := f.measure(NumberOptions{Mil: 10})
	if !fault.Empty() || !ok {
		e.Bad++
		return
	}
	if m.unit != NoUnit {
		if e.unit == nil {
			e.unit = make(map[Unit]int)
		}
		e.unit[m.unit]++
	}
	e.marks(s, f)
}

func (e *NumberEvidence) marks(s string, f figure) {
	last := lastMark(f.digits)
	if last < 0 {
		return
	}
	i := 0
	if f.digits[last] == ',' {
		i = 1
	}
	switch f.shape() {
	case oneDecimal:
		if last < len(f.digits)-1 {
			e.Fractions++
		}
	case manyThousands:
		i = 1 - i
	default:
		e.either[i]++
		if e.open == "" {
			e.open = s
		}
		return
	}
	e.decimal[i]++
	if e.examples[i] == "" {
		e.examples[i] = s
	}
}

// NumberVerdict is what a column shows of its marks, with the reason for the planner.
type NumberVerdict struct {
	Decimal Mark     // AnyMark: not decided
	Unit    Unit     // the one unit that stands behind figures; "" if none or several
	Mixed   []Unit   // the units, most frequent first, if there are several
	Open    int      // values that have two readings unless the column has no decimals
	Example string   // the first of them, where no value shows a decimal mark
	Why     say.Text // "1.234,5 shows a decimal comma"
}

// Decide says what the values so far show. It may be asked again after more values.
func (e *NumberEvidence) Decide() NumberVerdict {
	v := NumberVerdict{Open: e.either[0] + e.either[1]}
	point, comma := e.decimal[0], e.decimal[1]
	switch {
	case point > 0 && comma > 0:
		v.Why = say.F("%s shows a decimal point, %s a decimal comma", strconv.Quote(e.examples[0]), strconv.Quote(e.examples[1]))
	case point > 0:
		v.Decimal, v.Why = Point, say.F("%s shows a decimal point", strconv.Quote(e.examples[0]))
	case comma > 0:
		v.Decimal, v.Why = Comma, say.F("%s shows a decimal comma", strconv.Quote(e.examples[1]))
	case v.Open > 0:
		v.Example = e.open
		v.Why = say.F("nothing shows whether the mark in %s parts thousands or decimals", strconv.Quote(e.open))
	default:
		v.Why = say.F("no marks in the figures")
	}
	e.units(&v)
	return v
}

// units names the units by frequency, then by name, so that the order never hangs on a map.
func (e *NumberEvidence) units(v *NumberVerdict) {
	for u := range e.unit {
		v.Mixed = append(v.Mixed, u)
	}
	slices.SortFunc(v.Mixed, func(a, b Unit) int {
		return cmp.Or(e.unit[b]-e.unit[a], cmp.Compare(a, b))
	})
	if len(v.Mixed) == 1 {
		v.Unit, v.Mixed = v.Mixed[0], nil
	}
	if len(v.Mixed) > 1 {
		v.Why = say.F("%s; units are mixed: %s", v.Why, e.unitCounts(v.Mixed))
	}
}

func (e *NumberEvidence) unitCounts(order []Unit) say.Text {
	counts := make([]say.Text, len(order))
	for i, u := range order {
		counts[i] = say.F("%s %d", UnitWords(u), e.unit[u])
	}
	return say.Join(", ", counts...)
}

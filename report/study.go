package report

import (
	"math"
	"strconv"

	"pitlist/score/say"
)

// Study is a report beside the list: what a fit learned from the records, how
// past lists would have fared. It is sentences, small tables and charts in an
// order of its own, the same in a sheet and as plain text.
type Study struct {
	Run      Run
	Title    say.Text // "merrow-sound, 23 Nov 2026"
	Sections []Section
}

// Section is one part of a study under its heading.
type Section struct {
	Heading    say.Text
	Paragraphs []say.Text
	Tables     []Table
	Charts     []Chart
	NewPage    bool // begins on a page of its own in print, so that none of its charts is cut
}

// Table is a small table; every row has a cell for each heading.
type Table struct {
	Heads []say.Text
	Rows  [][]Cell
}

// Form is how a cell's number is written.
type Form int

// The forms of a cell. The zero value is words.
const (
	InWords  Form = iota
	InWhole       // 12, 171,400
	InFigure      // three significant figures or more
	InShare       // a probability or a share, in percent
)

// Cell is a text or a number with its form. A number that is none is left
// empty.
type Cell struct {
	Text   say.Text
	Number float64
	Form   Form
}

// Say makes a cell of words.
func Say(t say.Text) Cell { return Cell{Text: t} }

// Count makes a cell of a whole number.
func Count(n int) Cell { return Cell{Number: float64(n), Form: InWhole} }

// Whole makes a cell of a number shown without decimals.
func Whole(x float64) Cell { return Cell{Number: x, Form: InWhole} }

// Figure makes a cell of a number shown with three significant figures.
func Figure(x float64) Cell { return Cell{Number: x, Form: InFigure} }

// Portion makes a cell of a probability or a share in [0, 1].
func Portion(p float64) Cell { return Cell{Number: p, Form: InShare} }

// Empty tells that the cell shows nothing.
func (c Cell) Empty() bool {
	if c.Form == InWords {
		return c.Text.Empty()
	}
	return math.IsNaN(c.Number) || math.IsInf(c.Number, 0)
}

// Words are the cell as plain text.
func (c Cell) Words() say.Text {
	switch {
	case c.Empty():
		return say.Text{}
	case c.Form == InWhole:
		return say.Of(say.Whole(c.Number))
	case c.Form == InFigure:
		return say.Of(significant(c.Number))
	case c.Form == InShare:
		return say.Of(say.Percent(c.Number))
	}
	return c.Text
}

// significant is a number with three significant figures, and all of its
// whole ones.
type significant float64

// AppendIn appends the number.
func (x significant) AppendIn(to []byte, l *say.Language) []byte {
	if math.Abs(float64(x)) >= 100 {
		return l.AppendWhole(to, float64(x))
	}
	three, err := strconv.ParseFloat(strconv.FormatFloat(float64(x), 'g', 3, 64), 64)
	if err != nil {
		three = 0
	}
	return say.Figure(three).AppendIn(to, l)
}

// Chart is a scatter chart of several series.
type Chart struct {
	Title, X, Y say.Text // names of the axes with their units
	InPercent   bool     // the vertical axis is a share, from 0 to 1
	Square      bool     // both axes run from 0 to 1
	Shares      bool     // both axes are shares, as far as the points reach
	Series      []Series
}

// Stroke is how a series is drawn.
type Stroke int

// The strokes. The zero value is points.
const (
	Points Stroke = iota
	Line          // points joined
	Dashes        // joined by dashes, for the ends of a band
	Stairs        // a step at every point: a share seen without any curve
)

// Series is one series of a chart, its points by X.
type Series struct {
	Name   say.Text
	Stroke Stroke
	Hue    int // 0, 1 or 2; what belongs together has one hue
	Points []XY
}

// XY is one point of a chart.
type XY struct{ X, Y float64 }

// Steps turns points into stairs: level up to each X, and up there.
func Steps(points []XY) []XY {
	out := make([]XY, 0, 2*len(points))
	for i, p := range points {
		if i > 0 {
			out = append(out, XY{p.X, points[i-1].Y})
		}
		out = append(out, p)
	}
	return out
}

package life

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Point is one row of a bulletin's table.
type Point struct {
	Distance float64 // >= 0
	Share    float64 // in [0, 1): cumulative share by that distance
}

// Table is a distribution read off a bulletin: between its points the
// cumulative hazard -ln(1-share) is linear, and past the last point its last
// slope goes on. It is immutable; make it with NewTable. The zero value is not
// valid.
type Table struct {
	at    []float64 // knots, the first 0
	cum   []float64 // cumulative hazard at the knots
	slope []float64 // hazard after each knot
}

// NewTable makes a Table from points in ascending order of distance. Where the
// first point is not at 0, the origin is added. Every fault of the points is
// reported at once, wrapped in ErrParameter.
func NewTable(points []Point) (*Table, error) {
	if err := checkPoints(points); err != nil {
		return nil, err
	}
	t := &Table{at: []float64{0}, cum: []float64{0}}
	for _, p := range points {
		if p.Distance == 0 {
			continue
		}
		t.at = append(t.at, p.Distance)
		t.cum = append(t.cum, -math.Log1p(-p.Share))
	}
	t.setSlopes()
	return t, nil
}

func checkPoints(points []Point) error {
	var errs []error
	fault := func(i int, what string) {
		errs = append(errs, fmt.Errorf("%w: table point %d: %s", ErrParameter, i+1, what))
	}
	last := Point{Distance: math.Inf(-1)}
	for i, p := range points {
		if !(p.Distance >= 0) || math.IsInf(p.Distance, 1) {
			fault(i, fmt.Sprintf("distance %v: must be a finite number, 0 or more", p.Distance))
		} else if p.Distance <= last.Distance {
			fault(i, fmt.Sprintf("distance %v: must be above the point before (%v)", p.Distance, last.Distance))
		}
		switch {
		case !(p.Share >= 0 && p.Share < 1):
			fault(i, fmt.Sprintf("share %v: must be at least 0 and below 1", p.Share))
		case p.Share < last.Share:
			fault(i, fmt.Sprintf("share %v: must not be below the point before (%v)", p.Share, last.Share))
		case p.Distance == 0 && p.Share > 0:
			fault(i, fmt.Sprintf("share %v at distance 0: must be 0", p.Share))
		}
		last = p
	}
	if len(points) == 0 || !(last.Share > 0) {
		errs = append(errs, fmt.Errorf("%w: table needs a point with a share above 0", ErrParameter))
	}
	return errors.Join(errs...)
}

func (t *Table) setSlopes() {
	t.slope = make([]float64, len(t.at))
	for i := 1; i < len(t.at); i++ {
		t.slope[i-1] = (t.cum[i] - t.cum[i-1]) / (t.at[i] - t.at[i-1])
	}
	t.slope[len(t.at)-1] = t.slope[len(t.at)-2]
}

// Knots returns the distances at which the hazard changes, ascending, the
// first of them 0. A quadrature over the density must have them as limits.
func (t *Table) Knots() []float64 { return slices.Clone(t.at) }

// piece is the index of the knot at or before x >= 0.
func (t *Table) piece(x float64) int {
	i := sort.SearchFloat64s(t.at, x)
	if i == len(t.at) || t.at[i] > x {
		i--
	}
	return i
}

// CumHazard is linear between the knots.
func (t *Table) CumHazard(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	i := t.piece(x)
	if t.slope[i] == 0 {
		return t.cum[i]
	}
	return t.cum[i] + t.slope[i]*(x-t.at[i])
}

// Hazard is the slope of the piece that begins at or before x.
func (t *Table) Hazard(x float64) float64 {
	if !(x >= 0) {
		return 0
	}
	return t.slope[t.piece(x)]
}

// Quantile is +Inf also where the table ends flat below p.
func (t *Table) Quantile(p float64) float64 {
	if !(p > 0 && p < 1) {
		return atEnds(p)
	}
	h := -math.Log1p(-p)
	i := max(0, sort.SearchFloat64s(t.cum, h)-1)
	if t.slope[i] == 0 {
		return math.Inf(1)
	}
	return t.at[i] + (h-t.cum[i])/t.slope[i]
}

// Validate reports a Table that did not come from NewTable.
func (t *Table) Validate() error {
	if t == nil || len(t.at) < 2 {
		return fmt.Errorf("%w: table without points", ErrParameter)
	}
	return nil
}

// scaled is the table with its cumulative hazard multiplied by factor > 0.
func (t *Table) scaled(factor float64) *Table {
	s := &Table{at: t.at, cum: slices.Clone(t.cum), slope: slices.Clone(t.slope)}
	for i := range s.cum {
		s.cum[i] *= factor
		s.slope[i] *= factor
	}
	return s
}

package plan

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// limits are the bay-hours that the properties are tried with.
var limits = []map[string]float64{nil, {"*": 0}, {"*": 6}, {"North": 10, "Harbour": 4, "Isle": 300}, {"North": 10}}

func money(hours map[string]float64) *Options {
	return &Options{BayHour: 95, OffRoadDay: 180, BayHours: hours}
}

// TestOrderOfRowsInChangesNothing: permuting the assessments changes no row.
func TestOrderOfRowsInChangesNothing(t *testing.T) {
	fleet := invented(t, 300, 20)
	r := rand.New(rand.NewPCG(6, 6))
	for _, hours := range limits {
		want := shown(t, money(hours).Make(fleet, 1))
		for range 4 {
			mixed := slices.Clone(fleet)
			r.Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
			assert.Equal(t, want, shown(t, money(hours).Make(mixed, 1)))
		}
	}
}

// shown is what of a list a report could show, without pointers.
func shown(t *testing.T, l List) string {
	t.Helper()
	type row struct {
		Unit, Parts, Group                                       string
		Rank                                                     int
		Worth, Waiting, Hours, Cumulative, Stays, Next, Hold, KM float64
	}
	var rows []row
	for _, r := range l.Rows {
		rows = append(rows, row{r.Assessment.Vehicle.Unit, names(r.Parts), string(r.Group), r.Rank, r.Worth, r.Waiting, r.Hours, r.Cumulative, r.Stays, r.FailNext, r.FailHold, r.Before.Ahead})
	}
	text, err := json.Marshal(struct {
		Rows   []row
		Depots []Depot
		Above  int
		Curve  []CurvePoint
	}{rows, l.Depots, l.Totals.Above, l.Totals.Curve})
	require.NoError(t, err, "no NaN and no infinity: JSON knows neither")
	return string(text)
}

// TestDearerFailureNeverLowersTheCostOfWaiting of any part, whether the
// repair itself is dearer or the days off the road are more.
func TestDearerFailureNeverLowersTheCostOfWaiting(t *testing.T) {
	fleet := invented(t, 200, 0)
	for i := range fleet {
		for j := range fleet[i].Findings {
			f := &fleet[i].Findings[j]
			before := money(nil).price(f, occasion{})
			dear := *f
			part := *f.Part
			part.Costs.Failure *= 1.5
			dear.Part = &part
			after := money(nil).price(&dear, occasion{})
			assert.GreaterOrEqual(t, after.Waiting, before.Waiting)
			assert.GreaterOrEqual(t, after.Without, before.Without)
			part.Costs.OffRoadDays += 3
			assert.GreaterOrEqual(t, money(nil).price(&dear, occasion{}).Waiting, after.Waiting, "days off the road are a cost of failure too")
		}
	}
}

// TestMoreHoursNeverTakeAwayLess: the cost of waiting above the line never
// falls as a depot is given hours, and stays within them.
func TestMoreHoursNeverTakeAwayLess(t *testing.T) {
	fleet := invented(t, 400, 0)
	last := -1.0
	for hours := 0.0; hours <= 120; hours += 1.75 {
		l := money(map[string]float64{"*": hours}).Make(fleet, 1)
		chosen, injury, used := 0.0, 0.0, 0.0
		for _, r := range l.Rows {
			switch r.Group {
			case Injury:
				injury += r.Hours
			case Chosen:
				chosen += r.Waiting
				used += r.Hours
			}
		}
		assert.GreaterOrEqual(t, chosen, last-1e-9, "%g h", hours)
		assert.LessOrEqual(t, used, math.Max(0, hours-injury)+1e-9, "%g h", hours)
		last = chosen
	}
	assert.Positive(t, last)
}

// TestNothingIsNotANumber: no figure of a row or of the totals is NaN or
// infinite, for findings at the ends of their ranges too.
func TestNothingIsNotANumber(t *testing.T) {
	fleet := invented(t, 200, 5)
	ends := vehicleOf(t, "E1", "North", asks{hours: 0.5}, asks{hours: 0.5, gain: handFailure, waiting: handFailure}, asks{hours: 0.5, injury: true})
	ends.Findings[0].State.Worn, ends.Findings[0].State.Sound = 0, 0
	fleet = append(fleet, ends)
	for _, o := range []*Options{money(nil), money(map[string]float64{"*": 3}), {}} {
		l := o.Make(fleet, 1)
		for _, r := range l.Rows {
			for _, c := range append(slices.Clone(r.Parts), r.Others...) {
				finite(t, reflect.ValueOf(c))
			}
			finite(t, reflect.ValueOf(r))
		}
		finite(t, reflect.ValueOf(l.Totals))
	}
}

// finite checks every number of a struct, those behind pointers aside.
func finite(t *testing.T, v reflect.Value) {
	t.Helper()
	for i := range v.NumField() {
		switch f := v.Field(i); f.Kind() {
		case reflect.Float64:
			assert.False(t, math.IsNaN(f.Float()) || math.IsInf(f.Float(), 0), "%s is %g", v.Type().Field(i).Name, f.Float())
		case reflect.Struct:
			finite(t, f)
		}
	}
}

// TestCertainLimits: rows stand in one group each, the ranks count up, and no
// chance leaves [0, 1].
func TestCertainLimits(t *testing.T) {
	for _, hours := range limits {
		l := money(hours).Make(invented(t, 300, 3), 1)
		for i, r := range l.Rows {
			assert.Equal(t, i+1, r.Rank)
			assert.Equal(t, r.Group != Rest, r.Above)
			for _, p := range []float64{r.FailNext, r.FailHold, r.Stays} {
				assert.True(t, p >= 0 && p <= 1, "%g", p)
			}
			assert.GreaterOrEqual(t, r.FailHold, r.FailNext-1e-12)
			assert.Len(t, r.Assessment.Findings, len(r.Parts)+len(r.Others), "every scored part is told of once")
		}
	}
}

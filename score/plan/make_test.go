package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// TestMakeByHand: whole small plans whose answer is worked by hand; an hour
// in the bay costs 100.
func TestMakeByHand(t *testing.T) {
	one := func(unit, depot string, gain, waiting float64) score.Assessment {
		return vehicleOf(t, unit, depot, asks{hours: 1, gain: gain, waiting: waiting})
	}
	for _, k := range []struct {
		name  string
		hours map[string]float64
		fleet []score.Assessment
		want  []string
	}{
		{"no limit: whatever pays is taken, by cost of waiting per hour", nil, []score.Assessment{
			one("V1", "North", 150, 10), one("V2", "North", 150, 30), one("V3", "North", 90, 50),
			vehicleOf(t, "V4", "North", asks{hours: 4, gain: 900, waiting: 100}),
		}, []string{"V2 chosen A 1", "V4 chosen A 4", "V1 chosen A 1", "V3 rest A 1"}},
		{"hours short: the greatest cost of waiting, not the greatest worth", map[string]float64{"*": 1}, []score.Assessment{
			one("V1", "North", 900, 10), one("V2", "North", 150, 30),
		}, []string{"V2 chosen A 1", "V1 rest A 1"}},
		{"a part that does not pay is not taken though there are hours", map[string]float64{"*": 9}, []score.Assessment{
			one("V1", "North", 99, 90),
		}, []string{"V1 rest A 1"}},
		{"groups from the head: found worn, injury, chosen, rest", map[string]float64{"*": 2}, []score.Assessment{
			one("V1", "North", 150, 90), one("V2", "North", 50, 40),
			vehicleOf(t, "V3", "North", asks{hours: 1, gain: 10, waiting: 1, injury: true}),
			vehicleOf(t, "V4", "North", asks{hours: 1, gain: 10, waiting: 1, standing: score.WornFound}),
		}, []string{"V4 found worn A 0", "V3 injury A 1", "V1 chosen A 1", "V2 rest A 1"}},
		{"among the found worn, those that can injure first, then by cost of waiting", nil, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{gain: 90, waiting: 80, standing: score.WornFound}),
			vehicleOf(t, "V2", "North", asks{gain: 90, waiting: 85, standing: score.WornFound}),
			vehicleOf(t, "V3", "North", asks{gain: 90, waiting: 5, standing: score.WornFound, injury: true}),
		}, []string{"V3 found worn A 0", "V2 found worn A 0", "V1 found worn A 0"}},
		{"among the found worn, hours for other parts do not count: the row is a repair", nil, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{gain: handFailure, waiting: 20, standing: score.WornFound}),
			vehicleOf(t, "V2", "North", asks{gain: handFailure, waiting: 9, standing: score.WornFound}, asks{hours: 4, gain: 900, waiting: 60}),
		}, []string{"V2 found worn AB 4", "V1 found worn A 0"}},
		{"beside a part found worn, others compete for hours", map[string]float64{"*": 1}, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{gain: 50, waiting: 9, standing: score.WornFound}, asks{hours: 1, gain: 300, waiting: 60}),
			one("V2", "North", 300, 50),
		}, []string{"V1 found worn AB 1", "V2 rest A 1"}},
		{"injury parts consume hours first, and never leave less than none", map[string]float64{"*": 2}, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{hours: 3, gain: 10, waiting: 1, injury: true}),
			one("V2", "North", 300, 90),
		}, []string{"V1 injury A 3", "V2 rest A 1"}},
		{"an injury part is forced though its worth is below zero, and a paying part joins", map[string]float64{"*": 0}, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{visit: "axle", setUp: 1, hours: 0.5, gain: 10, injury: true}, asks{visit: "axle", setUp: 1, hours: 0.5, gain: 60}),
		}, []string{"V1 injury AB 2"}},
		{"each depot has its hours; those without share the starred ones", map[string]float64{"North": 1, "*": 1}, []score.Assessment{
			one("V1", "North", 300, 20), one("V2", "North", 300, 10), one("V3", "Isle", 300, 5), one("V4", "Quay", 300, 4),
		}, []string{"V1 chosen A 1", "V3 chosen A 1", "V2 rest A 1", "V4 rest A 1"}},
		{"a depot that no hours are given for has no limit", map[string]float64{"North": 1}, []score.Assessment{
			one("V1", "North", 300, 20), one("V2", "North", 300, 10), one("V3", "Isle", 300, 5),
		}, []string{"V1 chosen A 1", "V3 chosen A 1", "V2 rest A 1"}},
		{"set-up shared: the pair that pays together is one subset", map[string]float64{"*": 1.5}, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{visit: "engine", setUp: 1, hours: 0.25, gain: 80, waiting: 40}, asks{visit: "engine", setUp: 1, hours: 0.25, gain: 80, waiting: 40}),
			one("V2", "North", 300, 70),
		}, []string{"V1 chosen AB 1.5", "V2 rest A 1"}},
		{"a row below the line speaks of the admissible subset of greatest worth", map[string]float64{"*": 0}, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{visit: "engine", setUp: 1, hours: 0.25, gain: 200, waiting: 40}, asks{visit: "engine", setUp: 1, hours: 0.25, gain: 40, waiting: 90}, asks{hours: 1, gain: 9}),
		}, []string{"V1 rest AB 1.5"}},
		{"else of the part of greatest worth", nil, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{hours: 2, gain: 150, waiting: 40}, asks{hours: 1, gain: 90, waiting: 1}),
		}, []string{"V1 rest B 1"}},
		{"ties by VIN, else unit", map[string]float64{"*": 1}, []score.Assessment{
			one("V3", "North", 300, 20), one("V1", "North", 300, 20), one("V2", "North", 300, 20),
		}, []string{"V1 chosen A 1", "V2 rest A 1", "V3 rest A 1"}},
		{"outside, improved and without a distance: not on the list", nil, []score.Assessment{
			vehicleOf(t, "V1", "North", asks{gain: 300, standing: score.NotOfRange}, asks{gain: 300, standing: score.Improved}, asks{gain: 300, standing: score.NoDistance}),
		}, nil},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, told(hundred(k.hours).Make(k.fleet, 1))) })
	}
}

func TestRowSums(t *testing.T) {
	l := hundred(map[string]float64{"North": 9}).Make([]score.Assessment{
		vehicleOf(t, "V1", "North",
			asks{visit: "engine", setUp: 1, hours: 0.3, gain: 500, waiting: 50},
			asks{visit: "engine", setUp: 1, hours: 0.3, gain: 600, waiting: 120},
			asks{hours: 1, gain: 40, waiting: 30},
			asks{hours: 1, gain: 500, waiting: 400, standing: score.AwaitingRepair}),
	}, 1)
	require.Len(t, l.Rows, 1)
	r := l.Rows[0]
	assert.Equal(t, "AB", names(r.Parts))
	assert.Equal(t, "C", names(r.Others))
	require.Len(t, r.Awaiting, 1)
	assert.Equal(t, "D", r.Awaiting[0].Part.ID)
	assert.Equal(t, "B", r.Lead.Finding.Part.ID, "lead is the part of greatest cost of waiting")
	assert.InDelta(t, 170, r.Waiting, 1e-9)
	assert.InDelta(t, 500+600-160, r.Worth, 1e-9, "worth by hours unrounded: 1 + 0.3 + 0.3")
	assert.Equal(t, 1.75, r.Hours, "hours rounded up to quarters")
	assert.InDelta(t, 1-(1-0.05*0.1)*(1-0.06*0.2), r.FailNext, 1e-12)
	assert.InDelta(t, 1-0.95*0.94, r.FailHold, 1e-12)
	assert.Equal(t, 1, r.Rank)
	assert.Equal(t, 1.75, r.Cumulative)
}

func TestCumulativeHoursRunDownTheListByDepot(t *testing.T) {
	one := func(unit, depot string, waiting float64) score.Assessment {
		return vehicleOf(t, unit, depot, asks{hours: 1, gain: 300, waiting: waiting})
	}
	l := hundred(map[string]float64{"North": 1, "*": 2}).Make([]score.Assessment{
		one("V1", "North", 90), one("V2", "Isle", 80), one("V3", "Quay", 70), one("V4", "North", 60),
	}, 1)
	var got []float64
	for _, r := range l.Rows {
		got = append(got, r.Cumulative)
	}
	assert.Equal(t, []float64{1, 1, 2, 2}, got, "Isle and Quay share the starred hours")
	require.Len(t, l.Depots, 2)
	assert.Equal(t, Depot{Name: "*", Limited: true, Hours: 2, Used: 2, Above: 2}, l.Depots[0])
	north := l.Depots[1]
	assert.InDelta(t, 60, north.NextWaiting, 1e-9)
	assert.InDelta(t, 60, north.MoreHour, 1e-9, "one more hour would take V4 in")
	north.NextWaiting, north.MoreHour = 0, 0
	assert.Equal(t, Depot{Name: "North", Limited: true, Hours: 1, Used: 1, Above: 1, Below: 1}, north)
}

func TestVehiclesOnlyAwaitingRepairAreToldApart(t *testing.T) {
	l := hundred(nil).Make([]score.Assessment{
		vehicleOf(t, "V2", "North", asks{gain: 5, standing: score.AwaitingRepair}),
		vehicleOf(t, "V1", "North", asks{gain: 5, standing: score.AwaitingRepair}, asks{gain: 5, standing: score.NotOfRange}),
	}, 1)
	assert.Empty(t, l.Rows)
	require.Len(t, l.Awaiting, 2)
	assert.Equal(t, "V1", l.Awaiting[0].Vehicle.Unit)
}

func TestEmptyFleet(t *testing.T) {
	l := hundred(map[string]float64{"North": 8}).Make(nil, 1)
	assert.Empty(t, l.Rows)
	assert.Equal(t, []Depot{{Name: "North", Limited: true, Hours: 8}}, l.Depots)
	assert.Zero(t, l.Totals.FailNext)
}

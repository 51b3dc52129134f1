package plan

import (
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

func workOf(tb testing.TB, o *Options, parts ...asks) work {
	tb.Helper()
	var list []Choice
	for i, q := range parts {
		f := byHand(tb, string(rune('A'+i)), q)
		list = append(list, o.price(&f, occasion{}))
	}
	w, rest := o.newWork(list, occasion{})
	require.Empty(tb, rest)
	return w
}

// TestAdmissibleSubsets lists by hand which subsets are worth having: an hour
// in the bay costs 100.
func TestAdmissibleSubsets(t *testing.T) {
	const a, b, c = 1, 2, 4
	engine := func(gain float64) asks {
		return asks{visit: "engine", setUp: 1, hours: 0.25, gain: gain, waiting: gain / 2}
	}
	axle := func(gain float64) asks {
		return asks{visit: "axle", setUp: 0.5, hours: 0.5, gain: gain, waiting: gain / 2}
	}
	none := func(gain float64) asks { return asks{setUp: 0.5, hours: 0.5, gain: gain, waiting: gain / 2} }
	for _, k := range []struct {
		name  string
		parts []asks
		want  []uint64 // admissible
		best  uint64
		worth float64 // of the best
	}{
		{"a part that pays by itself", []asks{engine(200)}, []uint64{a}, a, 200 - 125},
		{"a part that does not", []asks{engine(120)}, nil, 0, 0},
		{"a part that just pays nothing is left alone", []asks{engine(125)}, nil, 0, 0},
		{"two parts of one visit that pay only together", []asks{engine(80), engine(80)}, []uint64{a | b}, a | b, 160 - 150},
		{"a part that pays only beside another", []asks{engine(200), engine(40)}, []uint64{a, a | b}, a | b, 240 - 150},
		{"a part that does not pay its own hours joins nothing", []asks{engine(200), engine(24)}, []uint64{a}, a, 75},
		{"two visits each bear their set-up", []asks{engine(200), axle(150)}, []uint64{a, b, a | b}, a | b, 75 + 50},
		{"a visit that does not pay lowers the worth of one that does", []asks{engine(200), axle(90)}, []uint64{a}, a, 75},
		{"visits without a name share nothing", []asks{none(80), none(80)}, nil, 0, 0},
		{"of three, the pair that pays carries the third", []asks{engine(80), engine(80), engine(30)}, []uint64{a | b, a | b | c}, a | b | c, 190 - 175},
	} {
		t.Run(k.name, func(t *testing.T) {
			w := workOf(t, hundred(nil), k.parts...)
			var got []uint64
			for set := uint64(1); set < 1<<len(k.parts); set++ {
				if w.admissible(set) {
					got = append(got, set)
				}
			}
			assert.Equal(t, k.want, got)
			assert.Equal(t, k.best, w.best())
			assert.Equal(t, k.best != 0, w.pays())
			assert.InDelta(t, k.worth, w.worth(w.best()), 1e-9)
		})
	}
}

func TestHoursOfASubset(t *testing.T) {
	w := workOf(t, hundred(nil),
		asks{visit: "engine", setUp: 0.5, hours: 0.75}, asks{visit: "engine", setUp: 0.8, hours: 0.3}, asks{visit: "axle", setUp: 0.25, hours: 1})
	for _, k := range []struct {
		name string
		set  uint64
		want float64
	}{
		{"a part alone bears its own set-up", 1, 1.25},
		{"the other alone bears its own, longer one", 2, 1.1},
		{"together the set-up counts once, the longest", 3, 0.75 + 0.3 + 0.8},
		{"another visit has its own", 5, 1.25 + 1.25},
		{"nothing takes nothing", 0, 0},
	} {
		t.Run(k.name, func(t *testing.T) { assert.InDelta(t, k.want, w.hours(k.set), 1e-12) })
	}
}

func TestQuarters(t *testing.T) {
	for _, k := range []struct {
		name  string
		hours float64
		want  int
	}{
		{"a quarter", 0.25, 1},
		{"a little over a quarter takes two", 0.26, 2},
		{"an hour and a quarter", 1.25, 5},
		{"a sum of decimals that rounding lifts over stays", 0.1 + 0.2 + 0.7, 4},
		{"a hundredth of an hour over is over", 1.01, 5},
		{"the shortest look takes a quarter", 0.01, 1},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, quarters(k.hours)) })
	}
	assert.Equal(t, 50, capacity(12.6), "hours that do not fill a quarter are not there")
	assert.Equal(t, 3, capacity(0.1+0.2+0.45), "a sum that rounding pulls below a quarter keeps it")
	assert.Zero(t, capacity(-1))
}

// TestForcedPartsAndThoseThatJoin: injury parts are looked at whatever they
// are worth; others of the vehicle join where they raise its worth.
func TestForcedPartsAndThoseThatJoin(t *testing.T) {
	forced := func(gain float64) asks {
		return asks{visit: "axle", setUp: 1, hours: 0.5, gain: gain, injury: true}
	}
	for _, k := range []struct {
		name  string
		parts []asks
		want  uint64
	}{
		{"alone, though it does not pay", []asks{forced(10)}, 1},
		{"with a part of its visit that pays beside it", []asks{forced(10), {visit: "axle", setUp: 1, hours: 0.5, gain: 60}}, 3},
		{"without one that does not pay its own hours", []asks{forced(10), {visit: "axle", setUp: 1, hours: 0.5, gain: 40}}, 1},
		{"with another visit that pays for itself", []asks{forced(10), {visit: "engine", setUp: 0.5, hours: 0.5, gain: 101}}, 3},
		{"without another visit that does not", []asks{forced(10), {visit: "engine", setUp: 0.5, hours: 0.5, gain: 99}}, 1},
		{"two forced parts stand together", []asks{forced(1), forced(1), {hours: 5, gain: 3}}, 3},
	} {
		t.Run(k.name, func(t *testing.T) {
			w := workOf(t, hundred(nil), k.parts...)
			assert.Equal(t, k.want, w.force())
		})
	}
}

// TestManyParts: no forced part is ever lost, however many parts the catalogue
// holds for a vehicle, and the combinations stay few.
func TestManyParts(t *testing.T) {
	o := hundred(nil)
	var list []Choice
	for i := range 100 {
		q := asks{visit: "engine", setUp: 1, hours: 0.25, gain: 100 + float64(i)}
		q.injury = i == 97
		f := byHand(t, string(rune(0x100+i)), q)
		list = append(list, o.price(&f, occasion{}))
	}
	w, rest := o.newWork(list, occasion{})
	assert.Len(t, w.parts, maxParts)
	assert.Len(t, rest, 100-maxParts)
	assert.Equal(t, 1, bits.OnesCount64(w.forced))
	assert.Equal(t, maxWeighed, bits.OnesCount64(w.useful))
	assert.InDelta(t, 199-25, w.net(bits.TrailingZeros64(w.useful)), 1e-9, "those weighed are those that bring most")
}

// TestOptionsAreThoseThatNothingBetters compares with all subsets, for random
// vehicles.
func TestOptionsAreThoseThatNothingBetters(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 500 {
		var parts []asks
		for range 1 + r.IntN(5) {
			gain := 300 * r.Float64()
			parts = append(parts, asks{visit: []string{"", "engine", "axle"}[r.IntN(3)], setUp: 0.5, hours: 0.25 * float64(1+r.IntN(4)), gain: gain, waiting: gain * r.Float64()})
		}
		w := workOf(t, hundred(nil), parts...)
		limit := 1 + r.IntN(16)
		got := w.options(limit, nil)
		for i, o := range got {
			assert.True(t, w.admissible(o.set) && o.weight <= limit && o.value > 0)
			if i > 0 {
				assert.Less(t, got[i-1].weight, o.weight)
				assert.Less(t, got[i-1].value, o.value)
			}
		}
		for set := uint64(1); set < 1<<len(parts); set++ {
			if !w.admissible(set) || quarters(w.hours(set)) > limit {
				continue
			}
			bettered := false
			for _, o := range got {
				bettered = bettered || o.weight <= quarters(w.hours(set)) && o.value >= w.wait(set)
			}
			assert.True(t, bettered, "subset %b is neither an option nor bettered by one", set)
		}
	}
}

// TestFoundWornTakesNoHours: what was found worn is not looked at again.
func TestFoundWornTakesNoHours(t *testing.T) {
	l := hundred(map[string]float64{"*": 0}).Make([]score.Assessment{
		vehicleOf(t, "V1", "North", asks{hours: 2, gain: 50, waiting: 20, standing: score.WornFound}),
	}, 1)
	assert.Equal(t, []string{"V1 found worn A 0"}, told(l))
	assert.True(t, l.Rows[0].Above)
}

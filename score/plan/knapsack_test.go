package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// randomOptions makes vehicles whose options ascend in weight and value; a
// few have none. Round values make ties.
func randomOptions(r *rand.Rand, vehicles int, round bool) [][]option {
	out := make([][]option, vehicles)
	for i := range out {
		weight, value := 0, 0.0
		for j := range r.IntN(4) {
			weight += 1 + r.IntN(5)
			if round {
				value += float64(1 + r.IntN(4))
			} else {
				value += 100 * r.Float64()
			}
			out[i] = append(out[i], option{set: uint64(j + 1), weight: weight, value: value})
		}
	}
	return out
}

// search tries every packing.
func search(vehicles [][]option, capacity int) float64 {
	if len(vehicles) == 0 {
		return 0
	}
	best := search(vehicles[1:], capacity)
	for _, o := range vehicles[0] {
		if o.weight <= capacity {
			best = math.Max(best, o.value+search(vehicles[1:], capacity-o.weight))
		}
	}
	return best
}

// packed sums up a packing.
func packed(vehicles [][]option, pick []int) (weight int, value float64) {
	for i, j := range pick {
		if j >= 0 {
			weight += vehicles[i][j].weight
			value += vehicles[i][j].value
		}
	}
	return weight, value
}

func TestKnapsackByHand(t *testing.T) {
	for _, k := range []struct {
		name     string
		vehicles [][]option
		capacity int
		want     []int
	}{
		{"room for all: each vehicle's most valuable option", [][]option{{{1, 1, 5}, {3, 3, 9}}, {{1, 2, 4}}}, 5, []int{1, 0}},
		{"no room: none", [][]option{{{1, 1, 5}}}, 0, []int{-1}},
		{"two light ones beat the heavy one of best rate", [][]option{{{1, 3, 10}}, {{1, 2, 6}}, {{1, 2, 6}}}, 4, []int{-1, 0, 0}},
		{"a smaller subset of one leaves room for another", [][]option{{{1, 2, 6}, {3, 4, 9}}, {{1, 2, 5}}}, 4, []int{0, 0}},
		{"the larger subset of one beats a second vehicle", [][]option{{{1, 2, 6}, {3, 4, 12}}, {{1, 2, 5}}}, 4, []int{1, -1}},
		{"a vehicle without options is passed over", [][]option{{}, {{1, 2, 5}}, {{1, 2, 6}}}, 2, []int{-1, -1, 0}},
	} {
		t.Run(k.name, func(t *testing.T) {
			got, _ := knapsack(k.vehicles, k.capacity)
			assert.Equal(t, k.want, got)
		})
	}
}

// TestKnapsackIsExact compares with every packing there is.
func TestKnapsackIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	for n := range 1500 {
		vehicles := randomOptions(r, 1+r.IntN(7), n%2 == 0)
		capacity := r.IntN(25)
		pick, price := knapsack(vehicles, capacity)
		weight, value := packed(vehicles, pick)
		assert.LessOrEqual(t, weight, capacity)
		assert.InDelta(t, search(vehicles, capacity), value, 1e-9, "%v within %d", vehicles, capacity)
		assert.Equal(t, heaviest(vehicles) > capacity, price > 0, "a price exactly where hours are short")
	}
}

// TestKnapsackAgreesWithPlainTable compares with plain dynamic programming on
// a whole depot, where most choices are settled by the bound.
func TestKnapsackAgreesWithPlainTable(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 8))
	for n := range 40 {
		vehicles := randomOptions(r, 400, n%4 == 0)
		capacity := 1 + r.IntN(500)
		pick, _ := knapsack(vehicles, capacity)
		weight, value := packed(vehicles, pick)
		assert.LessOrEqual(t, weight, capacity)
		assert.InDelta(t, table(vehicles, capacity), value, 1e-6)
	}
}

// table is the textbook recursion over capacity, without any bound.
func table(vehicles [][]option, capacity int) float64 {
	best := make([]float64, capacity+1)
	for _, opts := range vehicles {
		for c := capacity; c >= 0; c-- {
			for _, o := range opts {
				if o.weight <= c {
					best[c] = math.Max(best[c], best[c-o.weight]+o.value)
				}
			}
		}
	}
	return best[capacity]
}

// TestEnoughNeverLeavesOutWhatCounts: where enough says that vehicles below
// a rate cannot matter, the packing without them is as good as with them.
func TestEnoughNeverLeavesOutWhatCounts(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 21))
	said := 0
	for n := range 3000 {
		vehicles := randomOptions(r, 2+r.IntN(20), n%2 == 0)
		floor := 30 * r.Float64()
		if n%2 == 0 {
			floor = 4 * r.Float64()
		}
		var some [][]option
		for _, opts := range vehicles {
			top := 0.0
			for _, o := range opts {
				top = max(top, o.value/float64(o.weight))
			}
			if top >= floor {
				some = append(some, opts)
			}
		}
		capacity := r.IntN(30)
		_, best := solve(some, capacity)
		if next, done := enough(&best, floor); floor > 0 && !done {
			assert.Less(t, next, floor)
		} else if len(some) < len(vehicles) {
			said++
			assert.InDelta(t, table(vehicles, capacity), table(some, capacity), 1e-9, "%v within %d, floor %g", vehicles, capacity, floor)
		}
	}
	assert.Greater(t, said, 100, "enough says so often enough for this to be a test")
}

func BenchmarkKnapsack(b *testing.B) {
	for _, n := range []int{1_000, 30_000} {
		vehicles := randomOptions(rand.New(rand.NewPCG(1, 1)), n, false)
		b.Run(fmt.Sprintf("vehicles=%d", n), func(b *testing.B) {
			for b.Loop() {
				knapsack(vehicles, n/4)
			}
		})
	}
}

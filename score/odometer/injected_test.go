package odometer

import (
	"math"
	"math/rand"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
)

// vehicle is a simulated one: true distances, and what was read.
type vehicle struct {
	readings []Reading
	truth    []float64
}

// newVehicle draws 5 to 10 readings 20 to 220 days apart at 150 to 1,350 km a week, give or take 40 %.
func newVehicle(r *rand.Rand, start float64) vehicle {
	var v vehicle
	day, km, perWeek := Day(18000+r.Intn(500)), start, 150+r.Float64()*1200
	for range 5 + r.Intn(6) {
		v.readings = append(v.readings, Reading{Day: day, KM: math.Round(km), Source: "repair"})
		v.truth = append(v.truth, km)
		days := 20 + r.Intn(200)
		day += Day(days)
		km += perWeek * float64(days) / 7 * (0.6 + 0.8*r.Float64())
	}
	return v
}

// TestInjectedFaults simulates 2,000 vehicles a fault, and asks that the cause is named and the
// distance found at least as often as stated. The floors leave out what nobody could tell: a rollback
// that looks like miles, tenths beyond the highest credible distance, a swap that changes little.
func TestInjectedFaults(t *testing.T) {
	last := func(v vehicle) int { return len(v.readings) - 1 }
	tests := []struct {
		name   string
		from   float64 // least km at the first reading; 150,000 more are drawn
		spoil  func(r *rand.Rand, v vehicle)
		cause  Finding
		named  float64 // share of vehicles whose finding is the cause
		within float64 // share of vehicles whose distance is within 15 % of the truth
	}{
		{"nothing", 0, func(*rand.Rand, vehicle) {}, None, 1, 1},
		{"miles last", 30000, func(_ *rand.Rand, v vehicle) { v.readings[last(v)].KM /= KMPerMile }, UnitMixUp, 0.97, 0.99},
		{"miles in the middle", 30000, func(_ *rand.Rand, v vehicle) { v.readings[2].KM /= KMPerMile }, UnitMixUp, 0.9, 0.99},
		{"a digit too many in the middle", 0, func(_ *rand.Rand, v vehicle) { v.readings[2].KM *= 10 }, DigitSlip, 0.9, 0.99},
		{"a digit missing in the middle", 1000, func(_ *rand.Rand, v vehicle) { v.readings[2].KM = math.Floor(v.readings[2].KM / 10) }, DigitSlip, 0.97, 0.99},
		{"a digit missing last", 1000, func(_ *rand.Rand, v vehicle) { v.readings[last(v)].KM = math.Floor(v.readings[last(v)].KM / 10) }, DigitSlip, 0.97, 0.97},
		{"wound back by 20 to 50 %, then on", 60000, rollBack, SuspectedRollback, 0.7, 0.85},
		{"a new counter", 20000, newCounterFault, CounterChange, 0.85, 0.9},
		{"past 99,999", 0, func(r *rand.Rand, v vehicle) {
			shift := 98000 - v.truth[last(v)/2]
			for i := range v.readings {
				v.truth[i] += shift
				v.readings[i].KM = math.Mod(math.Max(0, math.Round(v.truth[i])), 1e5)
			}
		}, Rollover, 0.85, 0.9},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			const n = 2000
			r := rand.New(rand.NewSource(20261125))
			found, near := 0, 0
			others := map[Finding]int{}
			for range n {
				v := newVehicle(r, tt.from+r.Float64()*150000)
				tt.spoil(r, v)
				e := Assess(v.readings, v.readings[last(v)].Day, Usage{Default: 450}, Limits{})
				others[e.Finding]++
				if e.Finding == tt.cause {
					found++
				}
				if math.Abs(e.KM-v.truth[last(v)]) <= 0.15*v.truth[last(v)] {
					near++
				}
			}
			t.Log(tt.name, "named", percent(found, n), "within", percent(near, n), others)
			assert.GreaterOrEqual(t, float64(found), tt.named*n, "named")
			assert.GreaterOrEqual(t, float64(near), tt.within*n, "within 15 %")
		})
	}
}

func percent(k, n int) string {
	return strconv.FormatFloat(100*float64(k)/float64(n), 'f', 1, 64) + " %"
}

// rollBack takes 20 to 50 % off all readings from a middle one on, at least two.
func rollBack(r *rand.Rand, v vehicle) {
	cut := 2 + r.Intn(len(v.readings)-3)
	off := v.readings[cut].KM * (0.2 + 0.3*r.Float64())
	for i := cut; i < len(v.readings); i++ {
		v.readings[i].KM -= off
	}
}

// newCounterFault starts a counter at 0 up to 800 km before a middle reading.
func newCounterFault(r *rand.Rand, v vehicle) {
	cut := 2 + r.Intn(len(v.readings)-3)
	off := v.readings[cut].KM - r.Float64()*800
	for i := cut; i < len(v.readings); i++ {
		v.readings[i].KM -= off
	}
}

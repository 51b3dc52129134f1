package main

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config"
	"pitlist/config/demo"
	"pitlist/score"
	"pitlist/score/plan"
)

// TestDesksOfTheDemoBySimulation follows the demo's lots and trade-ins through
// what may happen to them, drawn from what is believed of each part, and holds
// bills, deductions and swings against what came out.
func TestDesksOfTheDemoBySimulation(t *testing.T) {
	t.Parallel()
	d, err := demo.Make(demo.Seed)
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, writeDemo(dir, d))
	for _, name := range []string{demo.SaleName, demo.TradeName} {
		t.Run(name, func(t *testing.T) {
			job := filepath.Join(dir, name)
			assert.Empty(t, config.Lint([]string{job}))
			b := judged(t, job, demo.Day)
			require.NotEmpty(t, b.list.Offers)
			r := rand.New(rand.NewPCG(11, 7))
			billsBySimulation(t, r, b.list.Offers, &b.list.Stock)
			swingsBySimulation(t, r, b.list.Offers)
		})
	}
}

// course draws what becomes of one part.
func course(r *rand.Rand, c *plan.Cause) float64 {
	f := c.Finding
	switch {
	case f.Standing == score.AwaitingRepair:
		return c.Failure
	case f.Standing == score.WornFound && c.Opens:
		return c.Repair
	}
	in, u := &f.Part.Inspection, r.Float64()
	found, fails := in.FalseAlarm, 0.0
	switch {
	case u < f.State.Worn:
		found, fails = in.Detects, f.HoldFail.IfWorn
	case u < f.State.Worn+f.State.Sound:
		fails = f.HoldFail.IfSound
	}
	cost := 0.0
	if c.Opens {
		if cost = c.Inspection; r.Float64() < found {
			return cost + c.Repair
		}
	}
	if r.Float64() < fails {
		cost += c.Failure
	}
	return cost
}

// billsBySimulation: the sum of all bills, its mean within five standard
// errors of the sum of the deductions, and its percentiles where they should be.
func billsBySimulation(t *testing.T, r *rand.Rand, offers []plan.Offer, stock *plan.Stock) {
	const n = 40_000
	all := make([]float64, n)
	deduction := 0.0
	for i := range offers {
		deduction += offers[i].Deduction
		for j := range offers[i].Causes {
			for k := range all {
				all[k] += course(r, &offers[i].Causes[j])
			}
		}
	}
	mean, square := 0.0, 0.0
	for _, x := range all {
		mean += x / n
	}
	for _, x := range all {
		square += (x - mean) * (x - mean) / n
	}
	assert.InDelta(t, deduction, mean, 5*math.Sqrt(square/n))
	if stock.Vehicles == 0 {
		return // an auction's lots are not all bought
	}
	assert.InDelta(t, deduction, stock.Expected, 0.01*float64(len(offers)*6))
	slices.Sort(all)
	five := 5 * math.Sqrt(0.25/n)
	for q, got := range map[float64]float64{0.1: stock.P10, 0.5: stock.P50, 0.8: stock.P80, 0.9: stock.P90} {
		assert.GreaterOrEqual(t, got, all[int((q-five)*n)]-stock.Within, "q %g", q)
		assert.LessOrEqual(t, got, all[int((q+five)*n)]+stock.Within, "q %g", q)
	}
}

// swingsBySimulation draws the results of each look at each lot and works out
// the deduction anew after each, part by part.
func swingsBySimulation(t *testing.T, r *rand.Rand, offers []plan.Offer) {
	const n = 20_000
	looks := 0
	for i := range offers {
		o := &offers[i]
		for l := range o.Looks {
			sum, square := 0.0, 0.0
			for range n {
				moved := 0.0
				for _, at := range o.Looks[l].Parts {
					moved += movedBy(r, o, &at)
				}
				sum, square = sum+math.Abs(moved), square+moved*moved
			}
			mean := sum / n
			assert.InDelta(t, o.Looks[l].Swing, mean, 6*math.Sqrt(max(1, square/n-mean*mean)/n), "%s of %s", o.Looks[l].ID, o.Assessment.Vehicle.Name())
			looks++
		}
	}
	assert.Greater(t, looks, 10)
}

// movedBy draws one result of a check on one part and says how far it moves
// what the part takes off.
func movedBy(r *rand.Rand, o *plan.Offer, at *plan.LookAt) float64 {
	i := slices.IndexFunc(o.Causes, func(c plan.Cause) bool { return c.Finding == at.Finding })
	c, f := &o.Causes[i], at.Finding
	speaks := at.Check.FalseAlarm
	if r.Float64() < f.State.Worn {
		speaks = at.Check.Detects
	}
	ifWorn, ifNot := at.Check.Detects, at.Check.FalseAlarm
	if r.Float64() >= speaks {
		ifWorn, ifNot = 1-ifWorn, 1-ifNot
	}
	p := f.State.Worn*ifWorn + (1-f.State.Worn)*ifNot
	worn, sound := f.State.Worn*ifWorn/p, f.State.Sound*ifNot/p
	in := &f.Part.Inspection
	without := c.Failure * (worn*f.HoldFail.IfWorn + sound*f.HoldFail.IfSound)
	with := c.Inspection + (worn*in.Detects+(1-worn)*in.FalseAlarm)*c.Repair +
		(worn*(1-in.Detects)*f.HoldFail.IfWorn+sound*(1-in.FalseAlarm)*f.HoldFail.IfSound)*c.Failure
	if c.Closed {
		return without - c.Deduction
	}
	return min(without, with) - c.Deduction
}

// TestDemoWritesOneWorkbookPerDesk from the same invented fleet.
func TestDemoWritesOneWorkbookPerDesk(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "demo")
	code, out, errOut := demoRun(t, dir)
	require.Equal(t, exitDone, code, errOut)
	for _, folder := range []string{"out", "out-auction", "out-trade-in"} {
		assert.FileExists(t, filepath.Join(dir, folder, demo.Day, workbookName))
		assert.FileExists(t, filepath.Join(dir, folder, demo.Day, "kits.csv"))
	}
	assert.NoFileExists(t, filepath.Join(dir, "out", demo.Day, "bills.csv"))
	assert.FileExists(t, filepath.Join(dir, "out-auction", demo.Day, "bills.csv"))
	assert.Contains(t, out, " lots in ", "what to walk to is said")
}

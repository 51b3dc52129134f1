package main

import (
	"fmt"

	"pitlist/config/demo"
	"pitlist/score"
	"pitlist/score/backtest"
)

// tried is how one way of choosing vehicles did against the demo's truth.
type tried struct {
	hours    float64
	vehicles int // opened
	worn     int // of them with at least one part opened that is truly worn
}

// contest holds the list against two rules that use no model, with the same
// hours at the same depots: the rules of a backtest, but against the truth.
type contest struct {
	worn map[[2]string]bool // unit, part -> truly worn, simulated
}

// result is how the three ways fared.
type result struct {
	all                int // vehicles with a scored part that is truly worn
	list, byCode, byKM tried
}

func contestOf(b *batch, d *demo.Demo) result {
	c := newContest(d)
	rule := func(r backtest.Rule) tried { return c.count(b, r.Open(b.assessed, b.options(), b.list)) }
	return result{c.all(b), c.count(b, backtest.Looks(b.assessed, b.list)), rule(backtest.ByCode), rule(backtest.ByMileage)}
}

// compare ends the demo: what the list found of what is truly worn, beside two
// rules with the same bay-hours.
func (w *world) compare(b *batch, d *demo.Demo) {
	r := contestOf(b, d)
	fmt.Fprintf(w.out, "\nAgainst the simulated truth: %d vehicles have a worn part that nobody has found yet.\n", r.all)
	fmt.Fprintln(w.out, "With the same bay-hours at the same depots these were opened:")
	for _, line := range []struct {
		name string
		tried
	}{{"this list, above the line", r.list}, {"any stored code, then mileage", r.byCode}, {"highest mileage first", r.byKM}} {
		fmt.Fprintf(w.out, "  %-30s %3d of the %d, among %3d vehicles in %5.2f h\n", line.name, line.worn, r.all, line.vehicles, line.hours)
	}
}

func newContest(d *demo.Demo) *contest {
	c := &contest{worn: map[[2]string]bool{}}
	for _, a := range d.Truth {
		if a.State == demo.Worn {
			c.worn[[2]string{a.Unit, a.Part}] = true
		}
	}
	return c
}

func (c *contest) isWorn(unit string, f *score.Finding) bool {
	return c.worn[[2]string{unit, f.Part.ID}]
}

// any tells whether one of the parts is truly worn.
func (c *contest) any(unit string, parts []*score.Finding) bool {
	for _, f := range parts {
		if c.isWorn(unit, f) {
			return true
		}
	}
	return false
}

// all counts the vehicles with a scored part that is truly worn.
func (c *contest) all(b *batch) int {
	n := 0
	for i := range b.assessed {
		if c.any(b.assessed[i].Vehicle.Unit, backtest.Scored(&b.assessed[i])) {
			n++
		}
	}
	return n
}

// count sums up what was opened: a vehicle counts only where the part that is
// worn is among those opened.
func (c *contest) count(b *batch, looks []backtest.Look) (t tried) {
	for _, l := range looks {
		t.hours += l.Quarters
		t.vehicles++
		if c.any(b.assessed[l.At].Vehicle.Unit, l.Parts) {
			t.worn++
		}
	}
	return t
}

package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"pitlist/config/demo"
	"pitlist/score"
)

// tried is how one way of choosing vehicles did against the demo's truth.
type tried struct {
	hours    float64
	vehicles int // opened
	worn     int // of them with at least one part opened that is truly worn
}

// contest holds the list against two rules that use no model. All three work
// in the same depots with the same hours. A rule opens every part of a vehicle
// that the catalogue may fit and that is not known to be worn or renewed with
// the improved design: the parts that our list chose among.
type contest struct {
	worn map[[2]string]bool // unit, part -> truly worn, simulated
	all  int                // vehicles with a scored part that is truly worn
}

// candidate is a vehicle as the rules see it.
type candidate struct {
	a     *score.Assessment
	parts []*score.Finding // scored
	hours float64
	codes bool
	worn  bool
}

// result is how the three ways fared.
type result struct {
	all                int
	list, byCode, byKM tried
}

func contestOf(b *batch, d *demo.Demo) result {
	c := newContest(d)
	pools := c.candidates(b)
	ours := c.list(b)
	mileage := func(_, _ *candidate) int { return 0 }
	code := func(x, y *candidate) int { return cmp.Compare(rank(y.codes), rank(x.codes)) }
	return result{c.all, total(ours), total(c.rule(b, pools, ours, code)), total(c.rule(b, pools, ours, mileage))}
}

func total(byDepot map[string]tried) (sum tried) {
	for _, x := range byDepot {
		sum.hours, sum.vehicles, sum.worn = sum.hours+x.hours, sum.vehicles+x.vehicles, sum.worn+x.worn
	}
	return sum
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

func rank(b bool) int {
	if b {
		return 1
	}
	return 0
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

// candidates gathers the vehicles with a scored part, by depot.
func (c *contest) candidates(b *batch) map[string][]*candidate {
	out := map[string][]*candidate{}
	for i := range b.assessed {
		a := &b.assessed[i]
		x := &candidate{a: a}
		setUp := map[string]float64{}
		for j := range a.Findings {
			f := &a.Findings[j]
			if f.Standing != score.Scored {
				continue
			}
			x.parts = append(x.parts, f)
			x.worn = x.worn || c.isWorn(a.Vehicle.Unit, f)
			n := &f.Part.Inspection
			x.hours += n.Hours
			setUp[n.Visit] = max(setUp[n.Visit], n.SetUpHours)
		}
		for _, h := range setUp {
			x.hours += h
		}
		x.hours = math.Ceil(x.hours*4-1e-3) / 4
		if len(x.parts) == 0 {
			continue
		}
		x.codes = hasCode(a.Vehicle)
		c.all += rank(x.worn)
		out[a.Vehicle.Depot] = append(out[a.Vehicle.Depot], x)
	}
	return out
}

// hasCode tells whether the latest scan holds any code.
func hasCode(v *score.Vehicle) bool {
	var last *score.Scan
	for i := range v.Scans {
		if s := &v.Scans[i]; last == nil || s.Day >= last.Day {
			last = s
		}
	}
	return last != nil && len(last.Codes) > 0
}

// list counts what our list opens: a vehicle counts only where the part that
// is worn is among those to be opened.
func (c *contest) list(b *batch) map[string]tried {
	out := map[string]tried{}
	for i := range b.list.Rows {
		r := &b.list.Rows[i]
		if !r.Above || r.Hours == 0 {
			continue
		}
		v := r.Assessment.Vehicle
		t := out[v.Depot]
		t.hours, t.vehicles = t.hours+r.Hours, t.vehicles+1
		for _, p := range r.Parts {
			if p.Finding.Standing == score.Scored && c.isWorn(v.Unit, p.Finding) {
				t.worn++
				break
			}
		}
		out[v.Depot] = t
	}
	return out
}

// rule spends a depot's hours in the order of a rule, ties by mileage: the
// hours of the job or those that our list took, whichever are more. A vehicle
// that no longer fits is passed over for the next that does.
func (c *contest) rule(b *batch, pools map[string][]*candidate, ours map[string]tried, order func(x, y *candidate) int) map[string]tried {
	out := map[string]tried{}
	for depot, list := range pools {
		list = slices.Clone(list)
		slices.SortStableFunc(list, func(x, y *candidate) int {
			return cmp.Or(order(x, y), cmp.Compare(y.a.Odometer.KM, x.a.Odometer.KM), cmp.Compare(x.a.Vehicle.Unit, y.a.Vehicle.Unit))
		})
		left := max(b.job.BayHours[depot], ours[depot].hours)
		var t tried
		for _, x := range list {
			if x.hours > left {
				continue
			}
			left -= x.hours
			t.hours, t.vehicles, t.worn = t.hours+x.hours, t.vehicles+1, t.worn+rank(x.worn)
		}
		out[depot] = t
	}
	return out
}

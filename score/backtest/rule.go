package backtest

import (
	"cmp"
	"slices"

	"pitlist/score"
	"pitlist/score/plan"
)

// Look is one vehicle that is opened.
type Look struct {
	At       int              // of the assessments
	Parts    []*score.Finding // scored parts to open
	Hours    float64          // unrounded
	Quarters float64          // the same rounded up, as the bay gives them
}

// Looks is what a list opens: the scored parts above its line. What is found
// worn already takes no look.
func Looks(assessed []score.Assessment, list plan.List) []Look {
	at := make(map[*score.Vehicle]int, len(assessed))
	for i := range assessed {
		at[assessed[i].Vehicle] = i
	}
	var out []Look
	for i := range list.Rows {
		r := &list.Rows[i]
		if !r.Above || r.Hours == 0 {
			continue
		}
		var parts []*score.Finding
		for _, c := range r.Parts {
			if c.Finding.Standing == score.Scored {
				parts = append(parts, c.Finding)
			}
		}
		out = append(out, lookOf(at[r.Assessment.Vehicle], parts))
	}
	return out
}

func lookOf(at int, parts []*score.Finding) Look {
	l := Look{At: at, Parts: parts}
	l.Hours, l.Quarters = plan.Hours(parts)
	return l
}

// Rule is a way of choosing without a model.
type Rule string

// The plain rules; ties go to the higher mileage.
const (
	ByMileage Rule = "highest mileage first"
	ByCode    Rule = "has a code, then mileage"
	ByAge     Rule = "oldest first"
)

// Rules lists the plain rules in the order of the report.
func Rules() []Rule { return []Rule{ByMileage, ByCode, ByAge} }

// before orders two vehicles by the rule: negative where a comes first. The
// order is total and ends in the VIN.
func (r Rule) before(a, b *score.Assessment) int {
	own := 0
	switch r {
	case ByCode:
		own = cmp.Compare(rank(hasCode(b.Vehicle)), rank(hasCode(a.Vehicle)))
	case ByAge:
		own = cmp.Compare(age(a.Vehicle), age(b.Vehicle))
	}
	return cmp.Or(own, cmp.Compare(b.Odometer.KM, a.Odometer.KM), cmp.Compare(a.Vehicle.Unit, b.Vehicle.Unit), cmp.Compare(a.Vehicle.VIN, b.Vehicle.VIN))
}

// age is the day of birth; a vehicle whose age nothing tells is taken as the
// youngest.
func age(v *score.Vehicle) score.Day {
	if born := v.Born(); born != 0 {
		return born
	}
	return 1 << 30
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

func rank(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Open spends the list's bay-hours in the order of the rule: at each depot the
// hours that were given, or those that the list took where that is more or no
// limit is given. A rule knows no parts, so it opens every part of a vehicle
// that the catalogue may fit and that is not known to be worn or to have been
// renewed with the improved design: the parts that the list chose among. A
// vehicle that no longer fits the hours is passed over for the next that does.
func (r Rule) Open(assessed []score.Assessment, o *plan.Options, list plan.List) []Look {
	left := map[string]float64{}
	for i := range list.Depots {
		d := &list.Depots[i]
		left[d.Name] = d.Used
		if d.Limited {
			left[d.Name] = max(d.Hours, d.Used)
		}
	}
	order := make([]int, len(assessed))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return r.before(&assessed[i], &assessed[j]) })
	var out []Look
	for _, i := range order {
		parts := Scored(&assessed[i])
		if len(parts) == 0 {
			continue
		}
		pool := o.Pool(assessed[i].Vehicle.Depot)
		if l := lookOf(i, parts); l.Quarters <= left[pool]+1e-9 {
			left[pool] -= l.Quarters
			out = append(out, l)
		}
	}
	return out
}

// Scored is the parts of a vehicle that compete for the hours.
func Scored(a *score.Assessment) []*score.Finding {
	var out []*score.Finding
	for j := range a.Findings {
		if f := &a.Findings[j]; f.Standing == score.Scored {
			out = append(out, f)
		}
	}
	return out
}

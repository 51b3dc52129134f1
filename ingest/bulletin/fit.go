package bulletin

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"pitlist/score"
)

// Fit is a range of vehicles as a catalogue has it, with the conditions that a
// person must settle.
type Fit struct {
	score.Fit
	Open map[Field][]Issue // condition -> what the table says there and why it cannot be used
	Rows []int             // of Result.Rows that say so, as indices
}

// String writes the fit as a catalogue does, without open conditions.
func (f *Fit) String() string {
	var out []string
	for _, c := range conditions {
		if words := c.words(&f.Fit); len(words) > 0 {
			out = append(out, c.key+": ["+strings.Join(words, ", ")+"]")
		}
	}
	return strings.Join(out, ", ")
}

// given tells whether the fit asks something in a condition.
func (f *Fit) given(key Field) bool {
	return slices.ContainsFunc(conditions, func(c condition) bool { return c.key == string(key) && len(c.words(&f.Fit)) > 0 })
}

// condition is one of the conditions of a fit.
type condition struct {
	key   string
	words func(f *score.Fit) []string // as a catalogue writes them
	own   func(f *score.Fit)          // gives it a list that no other fit has
	add   func(into, from *score.Fit) // takes over what from allows too
	tidy  func(f *score.Fit)          // brings what was added into order, each once
	clear func(f *score.Fit)          // asks nothing
}

// conditions are in the order of a catalogue.
var conditions = []condition{
	names("wmi", func(f *score.Fit) *[]string { return &f.WMI }),
	names("make", func(f *score.Fit) *[]string { return &f.Make }),
	names("model", func(f *score.Fit) *[]string { return &f.Model }),
	ranges("model_year", func(f *score.Fit) *[]score.YearRange { return &f.ModelYear }, score.YearRange.String, joinYears),
	names("engine_family", func(f *score.Fit) *[]string { return &f.EngineFamily }),
	ranges("engine_serial", func(f *score.Fit) *[]score.SerialRange { return &f.EngineSerial }, score.SerialRange.String, joinSerials),
	ranges("build_date", func(f *score.Fit) *[]score.DayRange { return &f.BuildDate }, score.DayRange.String, joinDays),
	ranges("vin_serial", func(f *score.Fit) *[]score.SerialRange { return &f.VINSerial }, score.SerialRange.String, joinSerials),
	ranges("vin", func(f *score.Fit) *[]score.SerialRange { return &f.VIN }, score.SerialRange.String, joinSerials),
}

func names(key string, of func(*score.Fit) *[]string) condition {
	return ranges(key, of, func(name string) string { return name }, joinNames)
}

// ranges makes the condition of a list of T, which text writes and join brings into
// order.
func ranges[T any](key string, of func(*score.Fit) *[]T, text func(T) string, join func([]T) []T) condition {
	return condition{
		key,
		func(f *score.Fit) []string { return texts(*of(f), text) },
		func(f *score.Fit) { *of(f) = slices.Clone(*of(f)) },
		func(into, from *score.Fit) { *of(into) = append(*of(into), *of(from)...) },
		func(f *score.Fit) { *of(f) = join(*of(f)) },
		func(f *score.Fit) { *of(f) = nil },
	}
}

func texts[T any](items []T, text func(T) string) []string {
	out := make([]string, len(items))
	for i := range items {
		out[i] = text(items[i])
	}
	return out
}

// joinNames drops names that stand twice, case aside.
func joinNames(all []string) []string {
	seen := map[string]bool{}
	var out []string
	for _, n := range all {
		if low := strings.ToLower(n); !seen[low] {
			seen[low] = true
			out = append(out, n)
		}
	}
	return out
}

// joinYears joins ranges that overlap or follow on each other.
func joinYears(all []score.YearRange) []score.YearRange {
	slices.SortFunc(all, func(a, b score.YearRange) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	var out []score.YearRange
	for _, r := range all {
		if n := len(out); n > 0 && r.From <= out[n-1].To+1 {
			out[n-1].To = max(out[n-1].To, r.To)
			continue
		}
		out = append(out, r)
	}
	return out
}

// joinDays joins ranges that overlap or follow on each other; 0 is an open end.
func joinDays(all []score.DayRange) []score.DayRange {
	slices.SortFunc(all, func(a, b score.DayRange) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	var out []score.DayRange
	for _, r := range all {
		n := len(out)
		switch {
		case n == 0 || out[n-1].To != 0 && r.From > out[n-1].To+1:
			out = append(out, r)
		case out[n-1].To == 0 || r.To == 0:
			out[n-1].To = 0
		default:
			out[n-1].To = max(out[n-1].To, r.To)
		}
	}
	return out
}

// joinSerials joins ranges of one form that overlap, and then those whose width
// grows with any that they overlap. Ranges that only follow on each other stay two:
// joined, those of VINs might reach over two beginnings.
func joinSerials(all []score.SerialRange) []score.SerialRange {
	slices.SortFunc(all, bySerial)
	var out, grows []score.SerialRange
	for _, r := range all {
		n := len(out)
		switch {
		case r.From.Width != r.To.Width:
			grows = append(grows, r)
		case n > 0 && out[n-1].From.Prefix == r.From.Prefix && out[n-1].From.Width == r.From.Width && r.From.Number <= out[n-1].To.Number:
			if r.To.Number > out[n-1].To.Number {
				out[n-1].To = r.To
			}
		default:
			out = append(out, r)
		}
	}
	for _, g := range grows {
		out = absorb(out, g)
	}
	slices.SortFunc(out, bySerial)
	return out
}

func bySerial(a, b score.SerialRange) int {
	return cmp.Or(cmp.Compare(a.From.Prefix, b.From.Prefix), cmp.Compare(a.From.Width, b.From.Width),
		cmp.Compare(a.From.Number, b.From.Number), cmp.Compare(a.To.Width, b.To.Width), cmp.Compare(a.To.Number, b.To.Number))
}

// absorb puts a range whose width grows among others, and joins it with those that
// it overlaps: their numbers have no zeros in front, or they would not overlap.
func absorb(all []score.SerialRange, g score.SerialRange) []score.SerialRange {
	for {
		i := slices.IndexFunc(all, func(r score.SerialRange) bool { return r.Overlaps(g) || g.Overlaps(r) })
		if i < 0 {
			return append(all, g)
		}
		r := all[i]
		all = slices.Delete(all, i, i+1)
		if r.From.Number < g.From.Number {
			g.From = r.From
		}
		if r.To.Number > g.To.Number {
			g.To = r.To
		}
	}
}

// key is what a fit says in all conditions but one, open ones by name only. Fits
// whose ranges of VINs leave the model open are kept from others: of those the
// model is asked for, of the others the VIN answers for it.
func (f *Fit) key(but int) string {
	var b strings.Builder
	for i, c := range conditions {
		if i != but {
			fmt.Fprintf(&b, "%q", c.words(&f.Fit))
		}
		b.WriteByte('\n')
	}
	models := slices.ContainsFunc(f.VIN, func(r score.SerialRange) bool { return strings.Contains(r.From.String()[:8], "*") })
	fmt.Fprint(&b, slices.Sorted(maps.Keys(f.Open)), len(f.VIN) > 0, models)
	return b.String()
}

// merged joins fits that differ in no more than one condition: (A and x) or (A
// and y) is A and (x or y). What is left never overlaps in one condition alone,
// which a catalogue refuses. A fit with an open condition that another without it
// takes in already is left to that one.
//
// Fits with open conditions are compared by their names: what stands behind them is
// not known yet.
func merged(fits []Fit) []Fit {
	fits = covered(fits)
	for {
		before := len(fits)
		for i := len(conditions) - 1; i >= 0; i-- {
			fits = mergeBy(fits, i)
		}
		fits = covered(fits)
		if len(fits) == before {
			return fits
		}
	}
}

// mergeBy joins fits that differ in the one condition at most.
func mergeBy(fits []Fit, but int) []Fit {
	at := map[string]int{}
	var out []Fit
	open := map[int]bool{} // of out: one of those joined asks nothing there
	c := conditions[but]
	for _, f := range fits {
		k := f.key(but)
		i, known := at[k]
		if !known {
			i = len(out)
			at[k] = i
			out = append(out, f)
		} else {
			c.add(&out[i].Fit, &f.Fit)
			out[i].take(&f)
		}
		open[i] = open[i] || len(c.words(&f.Fit)) == 0
	}
	for i := range out {
		if c.tidy(&out[i].Fit); open[i] {
			c.clear(&out[i].Fit)
		}
		slices.Sort(out[i].Rows)
	}
	return out
}

// take takes over the rows and the open conditions of a fit that was joined.
func (f *Fit) take(other *Fit) {
	f.Rows = append(f.Rows, other.Rows...)
	for _, k := range slices.Sorted(maps.Keys(other.Open)) {
		if f.Open[k] == nil {
			continue // f asks less
		}
		for _, line := range other.Open[k] {
			if !slices.Contains(f.Open[k], line) {
				f.Open[k] = append(f.Open[k], line)
			}
		}
	}
}

// covered lets a fit with open conditions go into one that says the same without.
// Its conditions of ranges, which another may widen, stay out of this.
func covered(fits []Fit) []Fit {
	closed := map[string]int{}
	said := func(f *Fit) string { return f.String() }
	for i := range fits {
		if len(fits[i].Open) == 0 {
			closed[said(&fits[i])] = i
		}
	}
	gone := map[int]bool{}
	for i := range fits {
		if into, ok := closed[said(&fits[i])]; ok && len(fits[i].Open) > 0 {
			fits[into].take(&fits[i])
			slices.Sort(fits[into].Rows)
			gone[i] = true
		}
	}
	var out []Fit
	for i := range fits {
		if !gone[i] {
			out = append(out, fits[i])
		}
	}
	return out
}

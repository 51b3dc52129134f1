package config

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
)

// rangeKind is what the reader knows of one kind of range.
type rangeKind[T any] struct {
	parse   func(f field, text string) (T, bool)
	bounds  func(r T) extent
	overlap func(a, b T) bool
}

// extent places a range on a line; only ranges of one series can overlap.
type extent struct {
	series   string
	from, to int64
}

var yearRanges = rangeKind[score.YearRange]{
	parse:   year,
	bounds:  func(r score.YearRange) extent { return extent{"", int64(r.From), int64(r.To)} },
	overlap: func(a, b score.YearRange) bool { return a.From <= b.To && b.From <= a.To },
}

var dayRanges = rangeKind[score.DayRange]{
	parse:  buildDate,
	bounds: dayExtent,
	overlap: func(a, b score.DayRange) bool {
		x, y := dayExtent(a), dayExtent(b)
		return x.from <= y.to && y.from <= x.to
	},
}

// dayExtent takes a zero end as open.
func dayExtent(r score.DayRange) extent {
	e := extent{"", math.MinInt64, math.MaxInt64}
	if r.From != 0 {
		e.from = int64(r.From)
	}
	if r.To != 0 {
		e.to = int64(r.To)
	}
	return e
}

// serialRanges are those of engines and VINs, which differ in how they are
// written.
func serialRanges(parse func(field, string) (score.SerialRange, bool)) rangeKind[score.SerialRange] {
	return rangeKind[score.SerialRange]{
		parse: parse,
		bounds: func(r score.SerialRange) extent {
			return extent{r.From.Prefix, int64(r.From.Number), int64(r.To.Number)}
		},
		overlap: func(a, b score.SerialRange) bool { return a.Overlaps(b) || b.Overlaps(a) },
	}
}

// collisions gives pairs of overlapping ranges as indices, the earlier first,
// each range at most once as the later one, ordered by the later. It sweeps
// along the line, since a recall may list tens of thousands of serials.
func (k rangeKind[T]) collisions(items []T) [][2]int {
	order := make([]int, len(items))
	at := make([]extent, len(items))
	for i := range items {
		order[i], at[i] = i, k.bounds(items[i])
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(at[i].series, at[j].series), cmp.Compare(at[i].from, at[j].from), cmp.Compare(i, j))
	})
	var open []int           // ranges that reach the place of the sweep
	earlier := map[int]int{} // later -> earlier
	for _, i := range order {
		open = slices.DeleteFunc(open, func(o int) bool { return at[o].series != at[i].series || at[o].to < at[i].from })
		// Ranges may share numbers and yet be of two forms, such as two widths.
		n := slices.IndexFunc(open, func(o int) bool { return k.overlap(items[o], items[i]) })
		if n < 0 {
			open = append(open, i)
			continue
		}
		o := open[n]
		if at[o].to < at[i].to {
			open[n] = i // the longer of the two stands for both from here
		}
		if before, known := earlier[max(o, i)]; !known || min(o, i) < before {
			earlier[max(o, i)] = min(o, i)
		}
	}
	return byLater(earlier)
}

// byLater lists the pairs in order of their later range.
func byLater(earlier map[int]int) [][2]int {
	out := make([][2]int, 0, len(earlier))
	for later, first := range earlier {
		out = append(out, [2]int{first, later})
	}
	slices.SortFunc(out, func(a, b [2]int) int { return cmp.Compare(a[1], b[1]) })
	return out
}

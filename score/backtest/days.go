package backtest

import (
	"slices"

	"pitlist/score"
)

const daysPerWeek = 7

// Every is the days that lie a whole number of spans of so many weeks before
// the end, from first on, ascending: so that every list, the last too, is held
// against a whole span. weeks below 1 counts as 1.
func Every(first, end score.Day, weeks int) []score.Day {
	step := score.Day(max(1, weeks) * daysPerWeek)
	var out []score.Day
	for d := end - step; d >= first; d -= step {
		out = append(out, d)
	}
	slices.Reverse(out)
	return out
}

// Apart picks, from the days of the runs on record, those at least so many
// weeks apart and at least as far from the end, the latest first to be picked;
// ascending. A list that is held against one week only shows what it saves in
// that week, which is little of what a look saves.
func Apart(days []score.Day, end score.Day, weeks int) []score.Day {
	step := score.Day(max(1, weeks) * daysPerWeek)
	sorted := slices.Clone(days)
	slices.Sort(sorted)
	var out []score.Day
	next := end
	for _, d := range slices.Backward(sorted) {
		if next-d >= step {
			out = append(out, d)
			next = d
		}
	}
	slices.Reverse(out)
	return out
}

// First is the day of the first dated row of any vehicle; 0 where there is
// none.
func First(vehicles []score.Vehicle) score.Day {
	var first score.Day
	for i := range vehicles {
		if d := firstRow(&vehicles[i]); d != 0 && (first == 0 || d < first) {
			first = d
		}
	}
	return first
}

// firstRow is the day of a vehicle's first dated row; 0: it has none.
func firstRow(v *score.Vehicle) score.Day {
	var first score.Day
	see := func(d score.Day) {
		if d != 0 && (first == 0 || d < first) {
			first = d
		}
	}
	v.EachDay(see)
	for i := range v.Remarks {
		see(v.Remarks[i].Day)
	}
	return first
}

// then is the vehicles as they were known on a day, and which they are.
func (b *backtest) then(day score.Day) (members []int, then []score.Vehicle) {
	for i := range b.vehicles {
		if b.since[i] == 0 || b.since[i] > day {
			continue
		}
		if !b.seen[i] {
			b.seen[i] = true
			b.took++
		}
		members = append(members, i)
		then = append(then, asThen(&b.vehicles[i], day))
	}
	return members, then
}

// asThen is a vehicle as it was known on a day. What its row states of now,
// without a day, is left out with the rows that have none.
func asThen(v *score.Vehicle, day score.Day) score.Vehicle {
	out := v.At(day, true)
	out.Status, out.NotRunning = "", false
	use := v.Use()
	out.SetUse(score.UseFacts{HistoryFromKM: use.HistoryFromKM, HistoryFromHours: use.HistoryFromHours})
	out.NextService = 0
	out.SetDesk(score.DeskFacts{})
	return out
}

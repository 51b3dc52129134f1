package backtest

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/plan"
)

// made is one list as it was made, with the judgements that it came from.
type made struct {
	assessed []score.Assessment
	list     plan.List
}

// lists makes the lists of every day and the cases that came of them.
func lists(t *testing.T, c *score.Catalogue, vehicles []score.Vehicle, o Options) (all []made, b *backtest) {
	t.Helper()
	o.Settings.Strict, o.Settings.Day = true, o.End
	b = &backtest{Options: &o, catalogue: c, vehicles: vehicles, judges: map[int]*judgeOf{},
		listed: func(_ int, assessed []score.Assessment, list plan.List) { all = append(all, made{assessed, list}) }}
	require.NoError(t, b.prepare(context.Background()))
	for i := range o.Days {
		require.NoError(t, b.day(context.Background(), i))
	}
	return all, b
}

// same compares two lists to the last bit: every row of the plan, every
// judgement under it, every vehicle as it was known.
func same(t *testing.T, want, got made) {
	t.Helper()
	require.Len(t, got.assessed, len(want.assessed))
	for i := range want.assessed {
		x, y := &want.assessed[i], &got.assessed[i]
		require.Equal(t, x.Vehicle, y.Vehicle, "what was known of the vehicle")
		require.Equal(t, x.Odometer, y.Odometer)
		require.Equal(t, x.Ahead, y.Ahead)
		require.Len(t, y.Findings, len(x.Findings))
		for j := range x.Findings {
			f, g := &x.Findings[j], &y.Findings[j]
			require.Equal(t, f.Part.ID, g.Part.ID)
			require.Equal(t, []any{f.Standing, f.Distance, f.Renewed, f.HistoryFrom, f.State.Worn, f.State.Sound, f.State.Immune, f.NextFail, f.HoldFail, f.Facts},
				[]any{g.Standing, g.Distance, g.Renewed, g.HistoryFrom, g.State.Worn, g.State.Sound, g.State.Immune, g.NextFail, g.HoldFail, g.Facts})
		}
	}
	require.Equal(t, want.list.Depots, got.list.Depots)
	require.Equal(t, want.list.Totals, got.list.Totals)
	require.Equal(t, lines(want.list), lines(got.list))
}

// lines are the rows of a list with all their figures.
func lines(l plan.List) []string {
	var out []string
	for i := range l.Rows {
		r := &l.Rows[i]
		s := fmt.Sprint(r.Rank, r.Assessment.Vehicle.Unit, r.Group, r.Above, r.FailNext, r.FailHold, r.Worth, r.Waiting, r.Hours, r.Cumulative, r.Before)
		for _, c := range r.Parts {
			s += fmt.Sprint(" ", c.Finding.Part.ID, c.Gain, c.Worth, c.Waiting, c.Forced)
		}
		out = append(out, s)
	}
	return out
}

// plant adds facts of every kind to every vehicle after a day.
func plant(t *testing.T, vehicles []score.Vehicle, after score.Day) []score.Vehicle {
	t.Helper()
	code, err := dtc.Parse("P0087")
	require.NoError(t, err)
	out := make([]score.Vehicle, len(vehicles))
	for i := range vehicles {
		v := vehicles[i]
		d := after + 1 + score.Day(i%9)
		far := score.Is(900e3)
		ref := score.Ref{Source: 2, Row: int32(i)}
		v.Readings = append(v.Readings[:len(v.Readings):len(v.Readings)], score.Reading{Day: d, KM: 900e3, Unit: "km"})
		v.Scans = append(v.Scans[:len(v.Scans):len(v.Scans)], score.Scan{Day: d, KM: far, Codes: []dtc.Reading{{Code: code}}, Ref: ref},
			score.Scan{Day: after - 3, Codes: []dtc.Reading{{Code: code}}, Undated: true, Ref: ref})
		text := []string{"pump follower replaced, follower seized", "rack joint renewed, rack joint broken", "knock over bumps", "pump follower replaced as a precaution"}[i%4]
		v.Repairs = append(v.Repairs[:len(v.Repairs):len(v.Repairs)], score.Repair{Day: d, KM: far, Text: text, Ref: ref},
			score.Repair{Day: after - 2, Text: text, Undated: true, Ref: ref})
		v.Inspections = append(v.Inspections[:len(v.Inspections):len(v.Inspections)], score.Inspection{Day: d, Part: "rack-joint", Result: score.FoundWorn, Ref: ref})
		v.Remarks = append(v.Remarks[:len(v.Remarks):len(v.Remarks)], score.Remark{Day: d, Text: "knock over bumps", Ref: ref})
		v.Hours = append(v.Hours[:len(v.Hours):len(v.Hours)], score.Reading{Day: d, KM: 9000})
		// What the row states of now was not known then either.
		v.Status, v.NotRunning, v.NextService = score.OffRoad, true, after+2
		u := v.Use()
		u.KMPerWeek, u.DisposalDate, u.DisposalKM = score.Is(5000), after+20, score.Is(1000)
		v.SetUse(u)
		out[i] = v
	}
	return out
}

// TestLaterFactsMoveNothing plants facts after a cut-off, for several of them:
// no list up to it, and no forecast or outcome before it, moves by a bit.
func TestLaterFactsMoveNothing(t *testing.T) {
	c := &score.Catalogue{Parts: []score.WeakPart{follower(t), joint(t)}}
	vehicles := invented(t, 60, 3)
	days := []score.Day{end - 3*year, end - 2*year, end - year, end - 91}
	before, was := lists(t, c, vehicles, options(days...))
	for k, cut := range days {
		t.Run(cut.String(), func(t *testing.T) {
			after, is := lists(t, c, plant(t, vehicles, cut), options(days...))
			for i := range k + 1 {
				same(t, before[i], after[i])
			}
			assert.Equal(t, earlier(was.cases, k), earlier(is.cases, k), "forecasts and outcomes until the cut-off")
			assert.Equal(t, was.days[:k], is.days[:k])
			if k < len(days)-1 {
				assert.NotEqual(t, lines(before[k+1].list), lines(after[k+1].list), "what is planted is seen by the next list")
			}
		})
	}
}

func earlier(cases []Case, day int) []Case {
	var out []Case
	for _, c := range cases {
		if c.Day < day {
			out = append(out, c)
		}
	}
	return out
}

// TestEntryNotYetKnown: an entry of the catalogue has no effect before the day
// since which it is known, not even by its words: those of this one differ by
// one letter from another's, which would bridge the slip.
func TestEntryNotYetKnown(t *testing.T) {
	late := joint(t)
	late.ID, late.Name = "rack-point", "rack points"
	late.Repairs.Renews = []string{"rack joind renewed"}
	late.Evidence[0].Rules[0].Words = []string{"knock over bumpy"}
	days := []score.Day{end - 2*year, end - year, end - 91}
	late.KnownSince = days[1] + 1
	vehicles := invented(t, 60, 4)
	for i := range vehicles {
		vehicles[i].Repairs = append(vehicles[i].Repairs, score.Repair{Day: end - 3*year, Text: "rack joind renewed", Ref: score.Ref{Source: 3, Row: int32(i)}},
			score.Repair{Day: end - 3*year + 1, Text: "knock over bumpz", Ref: score.Ref{Source: 4, Row: int32(i)}})
	}
	without, _ := lists(t, &score.Catalogue{Parts: []score.WeakPart{follower(t), joint(t)}}, vehicles, options(days...))
	// First in the catalogue, so that it would move the others' places too.
	with, b := lists(t, &score.Catalogue{Parts: []score.WeakPart{late, follower(t), joint(t)}}, vehicles, options(days...))
	same(t, without[0], with[0])
	same(t, without[1], with[1])
	for _, c := range b.cases {
		assert.False(t, c.Part == 0 && c.Day < 2, "a forecast for a part that nobody knew of")
	}
	assert.Greater(t, len(with[2].list.Rows), 0)
	assert.NotEqual(t, lines(without[2].list), lines(with[2].list), "once known, it speaks")
}

// TestRepeats: the same inputs give the same result.
func TestRepeats(t *testing.T) {
	c := &score.Catalogue{Parts: []score.WeakPart{follower(t), joint(t)}}
	o := options(end-2*year, end-year)
	a, err := Run(context.Background(), c, invented(t, 50, 5), o)
	require.NoError(t, err)
	b, err := Run(context.Background(), c, invented(t, 50, 5), o)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

// TestRefitIsOfItsDay: the curves are asked for with what was known on the
// day, and the list is made with them.
func TestRefitIsOfItsDay(t *testing.T) {
	c := &score.Catalogue{Parts: []score.WeakPart{follower(t), joint(t)}}
	o := options(end-2*year, end-year)
	vehicles := invented(t, 30, 6)
	plainLists, _ := lists(t, c, vehicles, o)
	var asked []score.Day
	o.Refit = func(day score.Day, then []score.Vehicle) (*score.Catalogue, error) {
		asked = append(asked, day)
		for i := range then {
			assert.Equal(t, then[i], then[i].At(day, true), "nothing later than the day")
		}
		if day == o.Days[0] {
			return c, nil
		}
		other := &score.Catalogue{Parts: []score.WeakPart{follower(t), joint(t)}}
		other.Parts[0].Onset = other.Parts[1].Onset
		return other, nil
	}
	refitted, _ := lists(t, c, vehicles, o)
	assert.Equal(t, o.Days, asked)
	same(t, plainLists[0], refitted[0])
	assert.NotEqual(t, lines(plainLists[1].list), lines(refitted[1].list))
}

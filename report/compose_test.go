package report_test

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/plan"
	"pitlist/score/say"
)

func TestTodayHoldsWhatCannotWait(t *testing.T) {
	d := invented.Document()
	var units, looks []string
	for _, item := range d.Today {
		units, looks = append(units, item.Unit), append(looks, item.Look.String())
		assert.NotContains(t, item.Why.String(), "%", "no probability stands at the head")
	}
	assert.Equal(t, []string{"H-013", "H-015", "@Harbour", "H-008"}, []string{units[0], units[1], d.Today[2].Depot, units[3]},
		"a critical code, what was found failed, then what heads the list: found worn, and over an injury limit")
	assert.Equal(t, []bool{false, false, true, true}, []bool{d.Today[0].AtHead, d.Today[1].AtHead, d.Today[2].AtHead, d.Today[3].AtHead})
	assert.Equal(t, "Code P0524", looks[0])
}

func TestInjuryPartFoundWornIsNotToBeUsed(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	h := &as[7].Findings[len(as[7].Findings)-1]
	require.Equal(t, score.CanInjure, h.Part.Consequence)
	h.Standing = score.WornFound
	d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
	i := slices.IndexFunc(d.Today, func(item report.TodayItem) bool { return item.Unit == "H-008" })
	require.GreaterOrEqual(t, i, 0)
	assert.Contains(t, d.Today[i].Why.String(), "Not to be used until released")
}

func TestInjuryPartFoundFailedIsNotToBeUsed(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	f := &as[14].Findings[0]
	require.Equal(t, score.AwaitingRepair, f.Standing)
	for _, part := range []int{invented.Hose, invented.Valve} {
		f.Part = &c.Parts[part]
		d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
		i := slices.IndexFunc(d.Today, func(item report.TodayItem) bool { return item.Unit == "H-015" })
		require.GreaterOrEqual(t, i, 0)
		assert.Equal(t, part == invented.Hose, strings.Contains(d.Today[i].Why.String(), "Not to be used until released"), f.Part.Name)
	}
}

// TestLikeliestAreTheFindingsFromAChanceUp: the likeliest first, and what is
// left out is counted.
func TestLikeliestAreTheFindingsFromAChanceUp(t *testing.T) {
	d := invented.Document()
	likely := map[string]bool{}
	all, more := d.Likeliest(0.05, 1000)
	assert.Zero(t, more)
	for i, r := range all {
		assert.GreaterOrEqual(t, r.Worn, 0.05)
		assert.True(t, i == 0 || r.Worn <= all[i-1].Worn)
		likely[r.Unit+r.VIN+r.Part] = true
	}
	for r := range d.Findings() {
		assert.Equal(t, r.Worn >= 0.05, likely[r.Unit+r.VIN+r.Part], r.Unit)
	}
	few, more := d.Likeliest(0.05, 4)
	require.Len(t, few, 4)
	assert.Equal(t, len(all)-4, more)
	for i := range few {
		assert.Equal(t, all[i].Unit+all[i].Part, few[i].Unit+few[i].Part)
	}
}

// TestLikeliestOfALargeFleet: the likeliest of many thousands are those of all of them in order, whatever
// was dropped on the way.
func TestLikeliestOfALargeFleet(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	var as []score.Assessment
	for len(as) < 3000 {
		for _, a := range invented.Assessments(fleet, c) {
			for j := range a.Findings {
				f := &a.Findings[j]
				f.State.Worn, f.Distance = 0.04+0.002*float64(len(as)*7919%400), float64(len(as)) // many are alike
			}
			as = append(as, a)
		}
	}
	d := report.Compose(invented.Run(fleet), fleet, as, plan.List{}, c)
	var all []report.FindingRow
	for r := range d.Findings() {
		if (r.Standing == score.Scored || r.Standing == score.WornFound) && r.Worn >= 0.05 {
			all = append(all, r)
		}
	}
	slices.SortStableFunc(all, func(a, b report.FindingRow) int { return cmp.Compare(b.Worn, a.Worn) })
	rows, more := d.Likeliest(0.05, 50)
	assert.Equal(t, len(all)-50, more)
	distances := func(rows []report.FindingRow) (of []float64) {
		for _, r := range rows {
			of = append(of, r.Distance)
		}
		return of
	}
	assert.Equal(t, distances(all[:50]), distances(rows), "each vehicle has its own")
}

func TestManyItemsForTodayAreSummedUp(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	for i := range as {
		as[i].Checks = []score.OtherCheck{{Reason: say.Plain("P0524 stored"), Today: true}}
	}
	d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
	assert.Less(t, len(d.Today), invented.Size)
	assert.Contains(t, d.Today[12].Why.String(), "18 more vehicles", "30 less the 12 that are shown")
	assert.Equal(t, 18, d.Today[12].More)
	assert.Equal(t, len(d.Today)-1+18, d.TodayCount())
	assert.Equal(t, invented.Size, d.TodayVehicles(), "each once, though some are told of twice")
	assert.Greater(t, d.TodayCount(), d.TodayVehicles())
}

// TestWhatWasSeenLastStandsFirst: one item a vehicle, an alarm of this week before one of last year.
func TestWhatWasSeenLastStandsFirst(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	for i := range as {
		as[i].Checks = nil
	}
	check := func(reason string, day score.Day) score.OtherCheck {
		return score.OtherCheck{Reason: say.Plain(reason), Check: say.Plain("look at it"), Today: true, Day: day}
	}
	as[1].Checks = []score.OtherCheck{check("old", today-700)}
	as[2].Checks = []score.OtherCheck{check("nobody wrote when", 0)}
	as[3].Checks = []score.OtherCheck{check("one", today-300), check("two", today-2), {Reason: say.Plain("no hurry"), Check: say.Plain("some time"), Day: today}}
	d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
	var units, whys []string
	for _, item := range d.Today[:3] {
		units, whys = append(units, item.Unit), append(whys, item.Why.String())
	}
	assert.Equal(t, []string{as[3].Vehicle.Unit, as[1].Vehicle.Unit, as[2].Vehicle.Unit}, units)
	assert.Equal(t, []string{"One; two; look at it.", "Old; look at it.", "Nobody wrote when; look at it."}, whys)
}

func TestLineSaysWhyItFallsThere(t *testing.T) {
	d := invented.Document()
	for _, said := range []string{"bay-hours end", "North: 12.25 of 12.5 h used", "6 worth a look left below, the dearest to leave EUR 48"} {
		assert.Contains(t, d.Line.String(), said)
	}
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	l.Depots = nil
	assert.Contains(t, report.Compose(invented.Run(fleet), fleet, as, l, c).Line.String(), "no limit of bay-hours")
}

func TestEmptyListSaysSo(t *testing.T) {
	c := invented.Catalogue()
	d := report.Compose(report.Run{Job: "j", Day: today}, &score.Fleet{}, nil, plan.List{}, c)
	assert.Contains(t, say.Join(" ", d.Head...).String(), "No vehicle")
	assert.Empty(t, d.Cards)
	assert.Empty(t, d.Today)
	assert.Len(t, d.Head, 1)
	// Where a column was not understood, that stands on the first sheet too.
	warned := report.Run{Job: "j", Day: today, Warnings: []say.Text{say.Plain("no odometer: it may be “Clock”"), say.Plain("b"), say.Plain("c"), say.Plain("d")}}
	d = report.Compose(warned, &score.Fleet{}, nil, plan.List{}, c)
	assert.Equal(t, warned.Warnings[:3], d.Head[1:])
}

// TestHundredthsAreNotNothing: what a small fleet is expected to lose is not
// told as nothing beside its cost.
func TestHundredthsAreNotNothing(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	l.Totals.FailNext = plan.Count{Mean: 0.03}
	l.Totals.WaitingAbove = 144
	said := say.Join(" ", report.Compose(invented.Run(fleet), fleet, as, l, c).Head...)
	assert.Contains(t, said.String(), "Before the next run fewer than 0.1 failures expected in all (none in more than 9 of 10 cases). Leaving all of them unseen until then would cost EUR 144.")
	assert.Contains(t, said.In(say.Spanish), "menos de 0,1 averías")
	l.Totals.FailNext.Mean = 0.06
	assert.Contains(t, say.Join(" ", report.Compose(invented.Run(fleet), fleet, as, l, c).Head...).String(), "0.1 failures expected in all (none in at least 9 of 10 cases); looking now avoids about")
}

// TestNothingTakenInAvoidsNothing: where no vehicle is taken in, no cost of
// leaving "them" unseen is told, which would be 0 beside failures expected.
func TestNothingTakenInAvoidsNothing(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	for i := range l.Rows {
		l.Rows[i].Above = false
	}
	l.Totals.Above, l.Totals.AvoidedNext, l.Totals.WaitingAbove = 0, 0, 0
	l.Totals.FailNext = plan.Count{Mean: 0.6, High: 2}
	head := report.Compose(invented.Run(fleet), fleet, as, l, c).Head
	assert.Regexp(t, `^Take in none of \d+ vehicles\.$`, head[0].String())
	assert.Equal(t, "Before the next run 0.6 failures expected in all (0 to 2 in 8 of 10 cases).", head[1].String())
	l.Totals.Above, l.Totals.AvoidedNext, l.Totals.WaitingAbove = 1, 0.03, 144
	head = report.Compose(invented.Run(fleet), fleet, as, l, c).Head
	assert.Contains(t, head[1].String(), "looking now avoids fewer than 0.1. Leaving all of them unseen until then would cost EUR 144.")
}

// TestVehicleOffTheRoadSaysWhyWaitingCostsNothing, however likely it is worn.
func TestVehicleOffTheRoadSaysWhyWaitingCostsNothing(t *testing.T) {
	says := func(desk plan.Desk, status score.Status, waiting float64) string {
		fleet, c := invented.Fleet(), invented.Catalogue()
		as := invented.Assessments(fleet, c)
		l := invented.List(as)
		r := &l.Rows[3]
		r.Waiting, r.Assessment.Vehicle.Status = waiting, status
		run := invented.Run(fleet)
		run.Desk = string(desk)
		d := report.Compose(run, fleet, as, l, c)
		for w := range d.Worklist() {
			if w.Rank == r.Rank {
				return w.Say().String()
			}
		}
		return ""
	}
	const reason = "It is off the road: waiting costs nothing until it runs again."
	assert.Contains(t, says(plan.Fleet, score.OffRoad, 0), reason)
	assert.NotContains(t, says(plan.Fleet, score.OffRoad, 1), reason, "a part that ages")
	assert.NotContains(t, says(plan.Fleet, score.InUse, 0), reason)
}

func TestCardsAreForTheVehiclesAboveTheLine(t *testing.T) {
	d := invented.Document()
	above := 0
	for r := range d.Worklist() {
		if r.Above {
			assert.Equal(t, r.Rank, d.Cards[above].Rank)
			assert.Equal(t, r.LeadName, d.Cards[above].Parts[0].Name, "the lead part comes first")
			above++
		}
	}
	assert.Len(t, d.Cards, above)
	for _, c := range d.Cards {
		for _, p := range c.Parts {
			assert.NotEmpty(t, p.Cautions, p.Name)
		}
	}
	hose := d.Cards[1].Parts[0]
	assert.Contains(t, say.Join(" ", hose.Cautions...).String(), "not to be used until released")
}

// TestPartsCountEveryVehicle: each part meets every vehicle that is judged, most of them outside its range.
func TestPartsCountEveryVehicle(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	as[0] = score.Assessment{Vehicle: as[0].Vehicle, SetAside: score.Sold}
	c.Parts[invented.Release].KnownSince = today + 1
	d := report.Compose(invented.Run(fleet), fleet, as, l, c)
	concerned := map[string]int{}
	for f := range d.Findings() {
		if f.Membership != score.Outside {
			concerned[f.Part]++
		}
	}
	for i, p := range d.Parts {
		assert.Equal(t, concerned[p.ID], p.Inside+p.Unknown, p.Name)
		if i == invented.Release {
			assert.Zero(t, p.Outside, "not yet known")
			continue
		}
		assert.Equal(t, invented.Size-1, p.Inside+p.Unknown+p.Outside, p.Name)
	}
	assert.Contains(t, d.Parts[invented.Slew].Curve.String(), " h;", "a part that wears by hours has its curve in hours")
}

func TestCurveWordsAreTheMedians(t *testing.T) {
	// Weibull medians are scale·(ln 2)^(1/shape): 215000·0.8918 and 42000·0.8158.
	c := invented.Catalogue()
	assert.Equal(t, "half begin to wear by 191,700 km; half of those fail within a further 34,300 km", report.CurveWords(&c.Parts[invented.Follower]).String())
}

func TestGuideNamesLimitsAndSource(t *testing.T) {
	var all strings.Builder
	for _, chapter := range invented.Document().Guide {
		all.WriteString(say.Join("\n", append(chapter.Paragraphs, chapter.Heading)...).String() + "\n")
	}
	for _, said := range []string{"a reason to look, not a diagnosis", "Mastrandrea", "cannot know", "suspicion", "Local rules", "3f1c0e5d9b", "shape not fitted"} {
		assert.Contains(t, all.String(), said)
	}
}

func TestExplainTellsTheWholeStory(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	l := invented.List(as)
	i := slices.IndexFunc(l.Rows, func(r plan.Row) bool { return r.Assessment == &as[0] })
	s := report.Explain(invented.Run(fleet), fleet, &as[0], &l.Rows[i], len(l.Rows))
	text := s.Text()
	for _, said := range []string{"H-001", "171,400 km", "P0087 came back", "[113 times as common on worn parts]", "intake/codes.csv, row 3",
		"half begin to wear", "worn 93.0%, very likely", "a look costs EUR 180", "above the line: take in", "not a diagnosis"} {
		assert.Contains(t, text, said)
	}
	s = report.Explain(invented.Run(fleet), fleet, &as[14], nil, len(l.Rows))
	assert.Contains(t, s.Text(), "Not on the list")
	s = report.Explain(invented.Run(fleet), fleet, &as[8], nil, len(l.Rows))
	assert.Contains(t, s.Text(), "of the part before: not counted")
}

func TestExplainKeepsEngineHoursInHours(t *testing.T) {
	a := &score.Assessment{Vehicle: &score.Vehicle{Unit: "H-1"}}
	a.SetHours(odometer.Assess([]odometer.Reading{{Day: today - 5, KM: 6214}}, today, odometer.Usage{Stated: 22, Unit: odometer.Hours}, odometer.Limits{}).Brief)
	s := report.Explain(report.Run{Day: today}, &score.Fleet{}, a, nil, 0)
	assert.Contains(t, s.Text(), "Engine hours: 6,230 h (reading of 2026-11-18 carried 5 days at 22 h a week (as stated))")
}

func TestExplainIsAlwaysGoodJSON(t *testing.T) {
	c := invented.Catalogue()
	fleet := &score.Fleet{}
	rapid.Check(t, func(t *rapid.T) {
		f := anyFinding(t, c)
		a := &score.Assessment{Vehicle: &score.Vehicle{Unit: "H-1"}, Findings: []score.Finding{*f}}
		row := &plan.Row{Assessment: a, Lead: plan.Choice{Finding: f, Worth: anyNumber(t, "worth")}, Worth: anyNumber(t, "row worth")}
		row.Parts = []plan.Choice{row.Lead}
		s := report.Explain(report.Run{Day: today}, fleet, a, row, 1)
		_, err := json.Marshal(s)
		require.NoError(t, err, "what is no number never reaches the JSON")
		assert.NotContains(t, s.Text(), "NaN")
	})
}

func TestVINFindings(t *testing.T) {
	d := invented.Document()
	rows := slices.Collect(d.VINs())
	require.Len(t, rows, invented.Size)
	assert.Equal(t, []string{"characters"}, rows[7].Findings)
	assert.Equal(t, "Z9KHA1234G0110259", rows[7].Suggestion.String())
	assert.Equal(t, []string{"twice"}, rows[9].Findings, "a good VIN on two units is not called good")
	assert.Equal(t, []string{"twice", "repetido", "caracteres"}, []string{rows[9].Says().String(), rows[9].Says().In(say.Spanish), rows[7].Says().In(say.Spanish)})
	assert.True(t, rows[0].Good)
}

func TestComposeIsPure(t *testing.T) {
	a, b := invented.Document(), invented.Document()
	assert.Equal(t, slices.Collect(a.Worklist()), slices.Collect(b.Worklist()))
	assert.Equal(t, slices.Collect(a.Worklist()), slices.Collect(a.Worklist()), "asked twice, it says the same")
	assert.Equal(t, a.Cards, b.Cards)
	assert.Equal(t, a.Guide, b.Guide)
}

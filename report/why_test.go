package report_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/wear"
)

const today = invented.Today

func codes(t require.TestingT, texts ...string) []dtc.Code {
	var out []dtc.Code
	for _, s := range texts {
		c, err := dtc.Parse(s)
		require.NoError(t, err)
		out = append(out, c)
	}
	return out
}

// why is the sentence of a row of one scored part with these facts.
func why(edit func(f *score.Finding, row *plan.Row)) string {
	c := invented.Catalogue()
	v := &score.Vehicle{Unit: "H-001"}
	f := invented.Finding(&c.Parts[invented.Follower], invented.Follower, 0, 0.6, nil)
	row := plan.Row{Assessment: &score.Assessment{Vehicle: v}, Group: plan.Chosen}
	edit(&f, &row)
	if row.Lead.Finding == nil {
		row.Lead = plan.Choice{Finding: &f}
	}
	row.Parts = append([]plan.Choice{row.Lead}, row.Parts...)
	return report.Why(&row).String()
}

func TestWhySaysOfEachFact(t *testing.T) {
	treated := &score.Fact{Kind: score.FactTreated, Day: today - 42, At: 168900, Text: "rail pressure sensor renewed", Since: -1, Weight: 1}
	for name, c := range map[string]struct {
		facts []score.Fact
		says  string
	}{
		"a code that came back: how long after what": {
			[]score.Fact{{Kind: score.FactCameBack, Day: today - 19, At: 170300, Codes: codes(t, "P0087"), Since: -1, After: treated, Weight: 112, Group: "g"}},
			"P0087 came back 23 days and 1,400 km after “rail pressure sensor renewed”"},
		"a code that set soon after an erase: how soon": {
			[]score.Fact{{Kind: score.FactCode, Day: today - 3, Codes: codes(t, "P0087", "P0191"), Since: 40, Weight: 110, Group: "g"}},
			"P0087 and P0191 read on 20 Nov 2026, within 40 km of an erase"},
		"a code long after an erase: nothing of it": {
			[]score.Fact{{Kind: score.FactCode, Day: today - 3, Codes: codes(t, "P0087"), Since: 4000, Weight: 25, Group: "g"}},
			"P0087 read on 20 Nov 2026; in the affected range"},
		"a state that the scan gives for every code is said": {
			[]score.Fact{{Kind: score.FactCode, Day: today - 3, Codes: codes(t, "P0087"), State: dtc.Pending, Since: 4000, Weight: 25, Group: "g"}},
			"P0087 pending on 20 Nov 2026; in the affected range"},
		"a clean scan soon after an erase: almost nothing": {
			[]score.Fact{{Kind: score.FactCleanScan, Day: today - 5, Since: 12, Weight: 0.97, Group: "g"}},
			"the clean scan of 18 Nov 2026, only 12 km after an erase, says almost nothing"},
		"a clean scan long after an erase: against it": {
			[]score.Fact{{Kind: score.FactCleanScan, Day: today - 5, Since: 2100, Weight: 0.3, Group: "g"}},
			"against it: none of its codes in the scan of 18 Nov 2026, 2,100 km after an erase"},
		"words with their day": {
			[]score.Fact{{Kind: score.FactWords, Day: today - 42, Text: "knocks when hot", Since: -1, Weight: 35, Group: "g"}},
			"Noted on 12 Oct 2026: “knocks when hot”"},
		"of a long text the phrase that matched": {
			[]score.Fact{{Kind: score.FactWords, Day: today, Text: strings.Repeat("service done, all levels good, ", 5) + "knocks when hot", Phrase: "knocks when hot", Since: -1, Weight: 35, Group: "g"}},
			"“knocks when hot”"},
		"a measured value against its limit": {
			[]score.Fact{{Kind: score.FactMeasure, Day: today - 30, Phrase: "tappet_mm", Value: 0.34, Since: -1, Weight: 30, Group: "g"}},
			"Tappet mm measured at 0.34, at or over the limit of 0.3"},
		"a value below its limit is not said to be over it": {
			[]score.Fact{{Kind: score.FactMeasure, Day: today - 30, Phrase: "tappet_mm", Value: 0.2, Since: -1, Weight: 2, Group: "g"}},
			"measured at 0.2 (worn from 0.3)"},
		"a clean inspection with its distance, against it": {
			[]score.Fact{{Kind: score.FactClean, Day: today - 300, At: 120300, Since: -1, Weight: 0.08}},
			"against it: inspected and found sound on 27 Jan 2026 at 120,300 km"},
		"advice that was not followed": {
			[]score.Fact{{Kind: score.FactRecommended, Day: today - 200, Since: -1, Weight: 1}},
			"its renewal was recommended on 7 May 2026, not done"},
		"a renewal declined was not done": {
			[]score.Fact{{Kind: score.FactDeclined, Day: today - 200, Since: -1, Weight: 1}},
			"its renewal was declined on 7 May 2026, so it was not done"},
		"a stored code of the part that left": {
			[]score.Fact{{Kind: score.FactStale, Day: today, Codes: codes(t, "P0087"), Since: 99000, Weight: 1, Group: "g"}},
			"may date from the part that left: erase and scan again"},
		"the strongest evidence first": {
			[]score.Fact{{Kind: score.FactWords, Day: today - 9, Text: "knocks", Since: -1, Weight: 3, Group: "h"},
				{Kind: score.FactCode, Day: today - 3, Codes: codes(t, "P0087"), Since: -1, Weight: 25, Group: "g"}},
			"P0087 read on 20 Nov 2026; noted on 14 Nov 2026: “knocks”"},
		"without any sign the curve is the reason": {nil, "No sign of wear read; in the affected range (engine serial KD4112345 lies in KD4110000-KD4168000); 171,400 km, by which "},
	} {
		t.Run(name, func(t *testing.T) {
			got := why(func(f *score.Finding, _ *plan.Row) { f.Facts = c.facts })
			assert.Contains(t, got, c.says)
		})
	}
}

func TestWhyLeavesOutThePartThatLeft(t *testing.T) {
	got := why(func(f *score.Finding, _ *plan.Row) {
		f.Renewed, f.Distance = 79400, 92000
		f.Facts = []score.Fact{
			{Kind: score.FactRecommended, Day: today - 900, Since: -1, Weight: 1},
			{Kind: score.FactRenewed, Day: today - 600, At: 79400, Since: -1, Weight: 1},
		}
	})
	assert.NotContains(t, got, "recommended", "what was asked for has been done since")
	assert.Contains(t, got, "92,000 km since it was renewed at 79,400 km")
}

func TestWhySaysOfTheRow(t *testing.T) {
	c := invented.Catalogue()
	for name, x := range map[string]struct {
		edit func(f *score.Finding, row *plan.Row)
		says string
	}{
		"found worn heads the sentence": {func(f *score.Finding, _ *plan.Row) {
			f.Standing = score.WornFound
			f.Facts = []score.Fact{{Kind: score.FactFoundWorn, Day: today - 81, At: 147700, Since: -1, Weight: 1}}
		}, "Found worn on 3 Sep 2026 at 147,700 km and not renewed since"},
		"membership not known: what is missing and the chance": {func(f *score.Finding, _ *plan.Row) {
			f.Belonging = score.Belonging{Membership: score.Unknown, Told: say.Plain("engine serial not given"), Share: 0.45}
		}, "not known to be in the affected range (engine serial not given), 45% chance of it"},
		"membership not known, all such taken as affected": {func(f *score.Finding, _ *plan.Row) {
			f.Belonging = score.Belonging{Membership: score.Unknown, Told: say.Plain("model not given"), Share: 1}
		}, "not known to be in the affected range (model not given), taken to be in it"},
		"records that begin late": {func(f *score.Finding, _ *plan.Row) {
			f.HistoryFrom, f.State = 80000, wear.State{Worn: 0.4, Sound: 0.4, Rectified: 0.2}
		}, "no records of its first 80,000 km: it may have been put right already (20%)"},
		"an injury part names the limit it is over": {func(f *score.Finding, _ *plan.Row) {
			f.Part, f.NoticeFail, f.RiskFail = &c.Parts[invented.Hose], true, 0.034
		}, "3.4% to fail within 3,000 km (limit 2.0%)"},
		"a risk just over its limit reads as over it": {func(f *score.Finding, _ *plan.Row) {
			f.Part, f.NoticeFail, f.RiskFail = &c.Parts[invented.Hose], true, 0.0204
		}, "2.04% to fail within 3,000 km (limit 2.00%)"},
		"other parts of the row are summed up": {func(_ *score.Finding, row *plan.Row) {
			other := invented.Finding(&c.Parts[invented.Release], invented.Release, 0, 0.12, nil)
			row.Parts = append(row.Parts, plan.Choice{Finding: &other})
		}, "also: clutch release bearing 12%"},
		"a part that failed and waits for its repair": {func(_ *score.Finding, row *plan.Row) {
			row.Awaiting = []*score.Finding{{Part: &c.Parts[invented.Valve], Standing: score.AwaitingRepair}}
		}, "coolant valve: found failed and not renewed since"},
		"what contradicts itself is said": {func(f *score.Finding, _ *plan.Row) {
			f.Uncertain = []say.Text{say.Plain("inspected as sound after it was found worn")}
		}, "not sure: inspected as sound after it was found worn"},
		"hours stay hours": {func(f *score.Finding, _ *plan.Row) {
			f.Part, f.Distance = &c.Parts[invented.Slew], 6230
		}, "6,230 h"},
	} {
		t.Run(name, func(t *testing.T) { assert.Contains(t, why(x.edit), x.says) })
	}
	assert.Equal(t, "Nothing of the catalogue speaks of it.", report.Why(nil).String(), "a vehicle that is on no list gets a sentence too")
	ended := &score.Assessment{Findings: []score.Finding{{Part: &c.Parts[invented.Valve], Standing: score.Improved}}}
	assert.Equal(t, "Renewed with the improved part: coolant valve.", report.Why(&plan.Row{Assessment: ended}).String())
}

var kinds = []score.FactKind{score.FactCode, score.FactCameBack, score.FactCleanScan, score.FactStale, score.FactWords, score.FactNoWords,
	score.FactMeasure, score.FactClean, score.FactFoundWorn, score.FactFailed, score.FactRenewed, score.FactTreated, score.FactDeclined, score.FactRecommended}

// anyNumber draws ordinary numbers and those that a fault could bring.
func anyNumber(t *rapid.T, name string) float64 {
	return rapid.OneOf(rapid.Float64Range(0, 300000), rapid.SampledFrom([]float64{0, -1, math.NaN(), math.Inf(1), 1e-300, 1})).Draw(t, name)
}

func anyFact(t *rapid.T) score.Fact {
	f := score.Fact{
		Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Day: score.Day(rapid.IntRange(0, int(today)).Draw(t, "day")),
		At: anyNumber(t, "at"), Text: rapid.String().Draw(t, "text"), Value: anyNumber(t, "value"), Since: anyNumber(t, "since"),
		Weight: anyNumber(t, "weight"), Group: rapid.SampledFrom([]string{"", "rail pressure"}).Draw(t, "group"),
		Phrase: rapid.SampledFrom([]string{"", "tappet_mm", "pressure sensor"}).Draw(t, "phrase"),
	}
	if rapid.Bool().Draw(t, "codes") {
		f.Codes = codes(t, "P0087", "P0191")
	}
	if rapid.Bool().Draw(t, "after") {
		f.After = &score.Fact{Day: f.Day - 10, At: anyNumber(t, "after at"), Text: "sensor renewed"}
	}
	return f
}

func anyFinding(t *rapid.T, c *score.Catalogue) *score.Finding {
	i := rapid.IntRange(0, len(c.Parts)-1).Draw(t, "part")
	p := func(name string) float64 {
		return rapid.OneOf(rapid.Float64Range(0, 1), rapid.Just(math.NaN())).Draw(t, name)
	}
	f := &score.Finding{
		Part: &c.Parts[i], PartIndex: i, Distance: anyNumber(t, "distance"), Renewed: anyNumber(t, "renewed"), HistoryFrom: anyNumber(t, "history"),
		Standing: rapid.SampledFrom([]score.Standing{score.Scored, score.WornFound, score.AwaitingRepair, score.Improved, score.NotOfRange, score.NoDistance}).Draw(t, "standing"),
		State:    wear.State{Immune: p("immune"), Sound: p("sound"), Worn: p("worn"), Rectified: p("rectified")},
		RiskFail: p("risk"), NoticeWorn: rapid.Bool().Draw(t, "notice worn"), NoticeFail: rapid.Bool().Draw(t, "notice fail"),
		Belonging: score.Belonging{Membership: rapid.SampledFrom([]score.Membership{score.Inside, score.Outside, score.Unknown}).Draw(t, "membership"), Share: p("share")},
	}
	for range rapid.IntRange(0, 6).Draw(t, "facts") {
		f.Facts = append(f.Facts, anyFact(t))
	}
	return f
}

// chanceOver is a chance as it stands before its limit.
func chanceOver(p, limit float64) string {
	shown, _ := say.Over(p, limit)
	return say.Of(shown).In(say.English)
}

func TestWhyNeverContradictsTheNumbers(t *testing.T) {
	c := invented.Catalogue()
	often(t, 10_000, func(t *rapid.T) {
		f := anyFinding(t, c)
		for i := range f.Facts {
			f.Facts[i].Text = "" // its words are the workshop's, not ours
		}
		text := report.WhyFinding(f)
		sameNumbers(t, text)
		got := text.String()
		require.NotEmpty(t, got)
		assert.True(t, strings.HasSuffix(got, "."), got)
		for _, bad := range []string{"NaN", "Inf", "  ", "; ;", "%!", "()"} {
			assert.NotContains(t, got, bad)
		}
		lower := strings.ToLower(got)
		assert.Equal(t, f.Belonging.Membership == score.Inside, strings.Contains(lower, "; in the affected range") || strings.HasPrefix(lower, "in the affected range"), got)
		assert.Equal(t, f.Belonging.Membership == score.Outside, strings.Contains(lower, "outside the known ranges"), got)
		assert.Equal(t, f.NoticeWorn, strings.Contains(got, chanceOver(f.State.Worn, f.Part.WornLimit)+" to be worn (limit"), got)
		assert.Equal(t, f.NoticeFail, strings.Contains(got, chanceOver(f.RiskFail, f.Part.RiskLimit)+" to fail within"), got)
		if f.Standing != score.NoDistance {
			assert.True(t, holds(text, say.Amount{X: f.Distance, Unit: f.Part.Axis.Unit()}), "%s: %v", got, f.Distance)
		}
		if f.Standing != score.Scored {
			assert.NotContains(t, lower, "no sign of wear", got)
		}
		for i := range f.Facts {
			if f.Facts[i].Weight > 1.2 && f.Facts[i].Group != "" {
				assert.NotContains(t, lower, "no sign of wear", got)
			}
		}
	})
}

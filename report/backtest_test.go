package report

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
	"pitlist/score/backtest"
	"pitlist/score/life/forecast"
	"pitlist/score/say"
)

// forecasts makes forecasts with a count and its limits.
func forecasts(n int, expected float64, observed, low, high int) backtest.Forecasts {
	return backtest.Forecasts{N: n, Expected: expected, Observed: observed, Low: low, High: high,
		Bands: []backtest.Band{{From: 0.01, To: 0.02, N: n, Expected: expected, Observed: observed, Low: low, High: high}},
		Need:  backtest.Need{Have: expected, Enough: 39, Years: 3 * 39 / max(expected, 1e-9)}}
}

func TestVerdict(t *testing.T) {
	for _, k := range []struct {
		name string
		f    backtest.Forecasts
		want outcome
	}{
		{"within its limits, and enough of them", forecasts(900, 50, 45, 37, 64), asExpected},
		{"within its limits, but few", forecasts(90, 5, 4, 1, 10), tooFew},
		{"too many says something, however few", forecasts(90, 5, 11, 1, 10), tooMany},
		{"too seldom", forecasts(900, 50, 30, 37, 64), tooSeldom},
		{"none at all", backtest.Forecasts{}, tooFew},
	} {
		t.Run(k.name, func(t *testing.T) { assert.Equal(t, k.want, verdict(&k.f)) })
	}
}

// past is a backtest by hand: six parts, so that the page is as long as a real
// one.
func past(expected float64, observed int) Past {
	ways := []backtest.Way{{Name: backtest.ByList, Vehicles: 90, Parts: 95, Hours: 120, Failed: 8, Worn: 1, Vain: 86, Saved: 60000, Spent: 12000, Alarms: 1500, Avoided: 46500}}
	var versus []backtest.Versus
	for _, r := range backtest.Rules() {
		ways = append(ways, backtest.Way{Name: string(r), Vehicles: 80, Parts: 99, Hours: 119, Failed: 3, Avoided: 8000})
		versus = append(versus, backtest.Versus{Rule: string(r), Failed: backtest.Range{Value: 5, Low: -1, High: 9}, Avoided: backtest.Range{Value: 38500, Low: -500, High: 77000},
			OnlyList: 6, OnlyRule: 1, Sign: 0.125, Need: backtest.Need{Have: 7, Enough: 69}})
	}
	all := backtest.Judgement{Part: -1, Pairs: 300, Failures: forecasts(900, expected, observed, 4, 18), Worn: forecasts(60, 5, 6, 1, 10), Above: 8, Ways: ways, Versus: versus, Unknown: 2}
	all.Failures.Concordance = &forecast.Concordance{Value: 0.84, Pairs: 900}
	all.Failures.Brier = &backtest.Brier{Score: 0.011, Reliability: 0.0001, Resolution: 0.001, Uncertainty: 0.012, Within: -0.0001, Skill: 0.08}
	r := &backtest.Result{All: all, Vehicles: 120, Years: 3,
		Days:   []backtest.Day{{Day: 19000, Until: 19091, Vehicles: 110, Listed: 60, Above: 22, Hours: 30, Failures: 2, FailAbove: 1, Expected: 2.4}, {Day: 19091, Until: 19182}},
		Unseen: backtest.Unseen{Sold: 3, Pairs: 300, Never: 120, NeverWorn: 17.2, Above: 30, Elsewhere: []backtest.Count{{What: backtest.NotOnRecord, N: 2}, {What: backtest.OutOfRange, N: 1}}}}
	c := &score.Catalogue{}
	for i, name := range []string{"Pump follower", "Rack joint", "Coolant pump bearing", "Boom pump drive coupling", "Charge-air actuator linkage", "Phaser tensioner"} {
		c.Parts = append(c.Parts, score.WeakPart{ID: name, Name: name})
		one := all
		one.Part = i
		r.Parts = append(r.Parts, one)
	}
	return Past{Run: Run{Job: "north", Day: 19182, Currency: "EUR"}, Result: r, Catalogue: c}
}

// TestBacktestSaysHowManyWouldDo: where the records are too few it says so, and
// how many would do.
func TestBacktestSaysHowManyWouldDo(t *testing.T) {
	_, page := ComposeBacktest(past(10, 11))
	text := strings.Join(strings.Fields(page.Text()), " ")
	assert.Contains(t, text, "11 failures came of the parts that the lists judged; 10 were expected, and 4 to 18 would be no surprise: too few to judge (about 39 expected would do).")
	assert.Contains(t, text, "about 39 would do to tell a curve that is wrong by half from chance (8 times in 10). At this rate that takes 11.7 years of records; these are 3.")
	assert.Contains(t, text, "about 69 would do that only one of two ways opens; up to 62 are wanting")
	assert.Contains(t, text, "2 renewals of unknown cause")
	assert.Contains(t, text, "had all been failures, 13 would stand against 10 expected")
	assert.Contains(t, text, "2 (the vehicle had no dated row yet) and 1 (the catalogue's ranges said outside)")
	assert.Contains(t, text, "3 vehicles left out as sold")
	assert.Contains(t, text, "the catalogue's of today, which may have learned from the same years")

	enough := past(50, 45)
	enough.Result.All.Failures.Low, enough.Result.All.Failures.High = 37, 64
	enough.Refitted = true
	for i := range enough.Result.All.Versus {
		enough.Result.All.Versus[i].Sign = 0.03
	}
	_, page = ComposeBacktest(enough)
	text = strings.Join(strings.Fields(page.Text()), " ")
	assert.Contains(t, text, "37 to 64 would be no surprise: as expected.")
	assert.NotContains(t, text, "Too few failures")
	assert.Contains(t, text, "those that the records of its day taught")
}

// TestBacktestIsOnePage: the text fits a page of 70 lines of 107 characters,
// which A4 holds at 9 points; the sheet's tables have a cell for each heading
// and no number that is none.
func TestBacktestIsOnePage(t *testing.T) {
	sheet, page := ComposeBacktest(past(10, 11))
	for _, language := range say.Languages() {
		page.Run.Language = language
		lines := strings.Split(strings.TrimRight(page.Text(), "\n"), "\n")
		assert.LessOrEqual(t, len(lines), 70, language.Name)
		for _, l := range lines {
			assert.LessOrEqual(t, utf8.RuneCountInString(l), 107, l)
		}
	}
	charts := 0
	for _, s := range append(sheet.Sections, page.Sections...) {
		charts += len(s.Charts)
		for _, table := range s.Tables {
			require.LessOrEqual(t, len(table.Heads), 9, "a sheet's columns: %s", s.Heading)
			for _, row := range table.Rows {
				require.LessOrEqual(t, len(row), len(table.Heads), s.Heading)
				for _, c := range row {
					assert.False(t, math.IsNaN(c.Number), s.Heading)
				}
			}
		}
	}
	assert.Equal(t, 2, charts, "calibration of failures and of worn findings")
}

// TestBacktestOfLosses: where the looks cost more than they avoided, and where
// nothing failed, it says so.
func TestBacktestOfLosses(t *testing.T) {
	p := past(2, 0)
	p.Result.All.Ways = append([]backtest.Way(nil), p.Result.All.Ways...)
	p.Result.All.Ways[0].Avoided = -5210
	_, page := ComposeBacktest(p)
	text := strings.Join(strings.Fields(page.Text()), " ")
	assert.Contains(t, text, "Nothing failed, so nothing tells which order was best.")
	assert.Contains(t, text, "would have cost about EUR 5,210 more than it avoided by the next list")
}

// TestCalibrationChart: a point a band at its mean forecast, with its limits.
func TestCalibrationChart(t *testing.T) {
	f := forecasts(200, 3, 4, 0, 8)
	c := calibration(ofFailures, false, &f)
	require.Len(t, c.Series, 4)
	assert.Equal(t, []XY{{}, {0.015, 0.015}}, c.Series[0].Points, "as forecast")
	assert.Equal(t, []XY{{0.015, 0}}, c.Series[1].Points)
	assert.Equal(t, []XY{{0.015, 0.04}}, c.Series[2].Points)
	assert.Equal(t, []XY{{0.015, 0.02}}, c.Series[3].Points)
}

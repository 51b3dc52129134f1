package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/config/demo"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/backtest"
)

// pastOfDemo makes a demo's past lists since November 2021, once a quarter.
func pastOfDemo(t *testing.T, seed uint64) *report.Past {
	t.Helper()
	d, err := demo.Make(seed)
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, writeDemo(dir, d))
	day, err := parseDay(demo.Day)
	require.NoError(t, err)
	b, err := configure(filepath.Join(dir, demo.JobName), day, nil)
	require.NoError(t, err)
	require.NoError(t, b.readInputs(context.Background()))
	from, err := parseDay("2021-11-01")
	require.NoError(t, err)
	p, err := b.past(context.Background(), span{from: from, to: day, every: defaultEvery}, false)
	require.NoError(t, err)
	return p
}

// TestBacktestOfTheDemo: the demo's past lists beat the three plain rules, in
// failures and in money, by more than their paired 95 % intervals; and since
// its catalogue's estimates are near the curves that its fleet was drawn from,
// the counts are as expected.
func TestBacktestOfTheDemo(t *testing.T) {
	t.Parallel()
	r := pastOfDemo(t, demo.Seed).Result
	require.Len(t, r.All.Versus, 3)
	for _, v := range r.All.Versus {
		assert.Positive(t, v.Failed.Low, "%s: %+v", v.Rule, v.Failed)
		assert.Positive(t, v.Avoided.Low, "%s: %+v", v.Rule, v.Avoided)
	}
	assert.Positive(t, r.All.Ways[0].Avoided, "the looks are worth their cost")
	for _, y := range r.All.Ways {
		assert.LessOrEqual(t, y.Hours, 35*float64(len(r.Days))+1e-9, "%s: the job's bay-hours", y.Name)
	}
	assert.False(t, r.All.Failures.Need.Short(), "enough failures to judge")
	assert.True(t, r.All.Failures.Inside(), "%+v", r.All.Failures)
	assert.True(t, r.All.Worn.Inside(), "%+v", r.All.Worn)
	assert.Less(t, r.All.Failures.Brier.Score, r.All.Failures.Brier.Uncertainty, "better than the base rate")
	assert.Greater(t, r.All.Failures.Concordance.Value, 0.8)

	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	f, best := &r.All.Failures, &r.All.Versus[1]
	assert.Contains(t, strings.ReplaceAll(string(readme), "\n", " "), fmt.Sprintf(
		"makes %d lists. %d parts failed, %.0f were expected (%d to %d would be no surprise). The lists had %d of them above the line; the rules, with the same hours, opened %d, %d and %d. The list is ahead of the best of them by %.0f failures (95 %% interval %.0f to %.0f)",
		len(r.Days), f.Observed, f.Expected, f.Low, f.High, r.All.Above, r.All.Ways[1].Failed, r.All.Ways[2].Failed, r.All.Ways[3].Failed, best.Failed.Value, best.Failed.Low, best.Failed.High),
		"the README's figures")
}

// TestBacktestOfOtherFleets: the same on other fleets, so that it does not hang
// on one seed. Of 4 fleets with 2 counts each, 2 at most may lie outside their
// 95 % limits (binomial(8, 0.05): P(3 or more) = 0.006).
func TestBacktestOfOtherFleets(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("four fleets are judged on twenty days each")
	}
	outside := 0
	for seed := range uint64(4) {
		r := pastOfDemo(t, 7100+seed).Result
		for _, v := range r.All.Versus {
			assert.Positive(t, v.Failed.Low, "seed %d, %s: %+v", seed, v.Rule, v.Failed)
			assert.Positive(t, v.Avoided.Low, "seed %d, %s: %+v", seed, v.Rule, v.Avoided)
		}
		for _, f := range []*backtest.Forecasts{&r.All.Failures, &r.All.Worn} {
			t.Logf("seed %d: %.1f expected, %d counted, %d to %d", seed, f.Expected, f.Observed, f.Low, f.High)
			if !f.Inside() {
				outside++
			}
		}
	}
	assert.LessOrEqual(t, outside, 2)
}

func TestBacktestWritesItsFolderAndChangesNothingElse(t *testing.T) {
	t.Parallel()
	dir, job := writtenDemo(t)
	before := contents(t, dir)
	args := []string{"backtest", job, "--as-of", "2026-11-23", "--from", "2025-06-01", "--every", "26"}
	code, out, errOut := invoke(t, args...)
	require.Equal(t, exitRejected, code, "the demo's files hold rows that are refused: %s", errOut)
	assert.Contains(t, out, "2 lists, from 24 Nov 2025 to 25 May 2026")
	assert.Contains(t, out, "open "+filepath.Join(dir, "out", "backtest-2026-11-23", "study.xlsx"))
	after := contents(t, dir)
	for name, sum := range before {
		assert.Equal(t, sum, after[name], name)
	}
	assert.Contains(t, after, "out/backtest-2026-11-23/study.xlsx")
	assert.Contains(t, after, "out/backtest-2026-11-23/study.txt")
	assert.Len(t, after, len(before)+2)

	code, _, _ = invoke(t, args...)
	require.Equal(t, exitRejected, code)
	again := contents(t, dir)
	for _, name := range []string{"study.txt", "study.xlsx"} {
		assert.Equal(t, after["out/backtest-2026-11-23/"+name], again["out/backtest-2026-11-23-2/"+name], "a second backtest is identical: %s", name)
	}
}

// TestBacktestCannot: what stops a backtest, with its exit code and a hint.
func TestBacktestCannot(t *testing.T) {
	job := filepath.Join(workshop(t), "job.yaml")
	for _, k := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no weeks between the lists", []string{"--every", "0"}, exitUsage, "--every 0"},
		{"a day that is none", []string{"--from", "soon"}, exitUsage, "soon"},
		{"from after to", []string{"--from", "2026-11-20", "--to", "2026-11-19"}, exitUsage, "--from 2026-11-20 is not before 2026-11-19"},
		{"into the future", []string{"--to", "2027-01-01"}, exitUsage, "later than the run's day"},
		{"records too short for any list", nil, exitFailed, "no past list can be judged: with 13 weeks between the lists and records until 2026-11-23"},
		{"a flag that is none", []string{"--refits"}, exitUsage, "refits"},
	} {
		t.Run(k.name, func(t *testing.T) {
			code, _, errOut := invoke(t, append([]string{"backtest", job, "--as-of", "2026-11-23"}, k.args...)...)
			assert.Equal(t, k.code, code, errOut)
			assert.Contains(t, errOut, k.says)
			assert.Equal(t, 1, strings.Count(errOut, "error: "))
			assert.Contains(t, errOut, "hint: ")
		})
	}
	intake := filepath.Join(filepath.Dir(job), "intake")
	put(t, filepath.Join(intake, "b.csv"), []byte("unit,model,odometer,odometer_date\nX7,Bobbin,160000,2026-11-20\n"))
	put(t, filepath.Join(intake, "c.csv"), []byte("unit,date,odometer,text\nX7,2025-01-06,150000,oil service\n"))
	code, _, errOut := invoke(t, "backtest", job, "--as-of", "2026-11-23", "--from", "2025-02-01")
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errOut, "judged any part")
	_, err := os.Stat(filepath.Join(filepath.Dir(job), "out", "backtest-2026-11-23"))
	assert.ErrorIs(t, err, os.ErrNotExist, "nothing was written")
	var out string
	code, out, _ = invoke(t, "backtest", "--help")
	assert.Equal(t, exitDone, code)
	assert.Contains(t, out, "pitlist backtest weekly.yaml --every 13")
}

// TestBacktestTakesTheRunsOnRecord: the lists' days are those of the runs that
// the job's record holds, and every so many weeks before the first of them.
func TestBacktestTakesTheRunsOnRecord(t *testing.T) {
	dir, job := withHistory(t)
	repairs := "unit,date,odometer,text\nV1,2025-01-06,150000,oil service\nV2,2025-01-07,60000,oil service\n"
	put(t, filepath.Join(dir, "intake", "b.csv"), []byte(repairs))
	for _, day := range []string{"2026-11-20", "2026-11-23", "2026-12-04"} {
		runOn(t, job, day)
	}
	day, err := parseDay("2026-12-14")
	require.NoError(t, err)
	b, err := configure(job, day, nil)
	require.NoError(t, err)
	recorded, err := b.recordedDays(context.Background())
	require.NoError(t, err)
	require.Len(t, recorded, 3)
	require.NoError(t, b.readInputs(context.Background()))
	from, err := parseDay("2026-10-30")
	require.NoError(t, err)
	var got []string
	for _, d := range b.pastDays(span{from: from, to: day, every: 1}, recorded) {
		got = append(got, d.String())
	}
	assert.Equal(t, []string{"2026-11-02", "2026-11-09", "2026-11-16", "2026-11-23", "2026-12-04"}, got, "the run of 20 November lies less than a week before the next")
	b.without = true
	none, err := b.recordedDays(context.Background())
	require.NoError(t, err)
	assert.Empty(t, none)
	assert.Equal(t, score.Day(0), firstKnown(&score.Catalogue{}))
}

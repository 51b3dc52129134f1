package life_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"pitlist/score/life"
)

// The curves are held against inspections that others made and counted: a car
// that fails its inspection at an age has reached its first fault somewhere
// before it (left-censored), one that passes has not (right-censored). Curves
// fitted to every other age must tell the ages between, and put the makes in
// the right order there. Sources and licences: testdata/life/SOURCE.md.

// band is one group's inspections at one age.
type band struct {
	group  string
	age    float64 // years
	tests  float64
	failed float64 // share of them, in [0, 1]
}

func readBands(t *testing.T, file string, parse func(row []string) band) map[string][]band {
	t.Helper()
	f, err := os.Open("../../testdata/life/" + file)
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	groups := map[string][]band{}
	for _, row := range rows[1:] {
		b := parse(row)
		groups[b.group] = append(groups[b.group], b)
	}
	for _, bs := range groups {
		slices.SortFunc(bs, func(a, b band) int { return int(a.age - b.age) })
	}
	return groups
}

func figure(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// forecastBetween fits a Weibull to every other band, from the youngest on,
// and returns what it says of the bands between.
func forecastBetween(t *testing.T, bands []band) []float64 {
	t.Helper()
	var known []life.Record
	for i := 0; i < len(bands); i += 2 {
		b := bands[i]
		known = append(known, life.Between(0, b.age).Times(b.tests*b.failed), life.Running(b.age).Times(b.tests*(1-b.failed)))
	}
	fit, err := life.Estimate(known, life.Model{})
	require.NoError(t, err, bands[0].group)
	var said []float64
	for i := 1; i < len(bands); i += 2 {
		said = append(said, -math.Expm1(-fit.Curve.CumHazard(bands[i].age)))
	}
	return said
}

func TestOutsideInspections(t *testing.T) {
	for _, c := range []struct {
		name, file string
		least      int // bands a group needs
		parse      func(t *testing.T) func(row []string) band
	}{
		{"British roadworthiness test, by make", "uk_mot_by_make_and_age.csv", 10, func(t *testing.T) func([]string) band {
			return func(r []string) band {
				return band{group: r[0], age: figure(t, r[1]), tests: figure(t, r[2]), failed: 1 - figure(t, r[3])/100}
			}
		}},
		{"Finnish inspections 2022, by make and model", "fi_inspections_2022.csv", 6, func(t *testing.T) func([]string) band {
			return func(r []string) band {
				return band{group: r[1] + " " + r[2], age: 2022 - figure(t, r[0]), tests: figure(t, r[3]), failed: figure(t, r[4]) / 100}
			}
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			holdAgainst(t, readBands(t, c.file, c.parse(t)), c.least)
		})
	}
}

// forecast is what a curve said of a band that it had not seen.
type forecast struct {
	band
	said float64
}

func holdAgainst(t *testing.T, groups map[string][]band, least int) {
	t.Helper()
	byAge := map[float64][]forecast{}
	names := make([]string, 0, len(groups))
	for name, bands := range groups {
		if len(bands) >= least {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		bands := groups[name]
		for i, said := range forecastBetween(t, bands) {
			b := bands[2*i+1]
			byAge[b.age] = append(byAge[b.age], forecast{b, said})
		}
	}
	var curve, pooled, bandsSeen float64
	for _, age := range sortedAges(byAge) {
		fs := byAge[age]
		if len(fs) < 10 {
			continue
		}
		said, was := make([]float64, len(fs)), make([]float64, len(fs))
		mean := 0.0
		for i, f := range fs {
			said[i], was[i] = f.said, f.failed
			mean += f.failed / float64(len(fs))
		}
		for i := range fs {
			curve += math.Abs(said[i] - was[i])
			pooled += math.Abs(mean - was[i])
			bandsSeen++
		}
		rho := stat.Correlation(ranks(said), ranks(was), nil)
		t.Logf("age %2.0f: %3d groups, rank correlation %.3f", age, len(fs), rho)
		// Without any relation the rank correlation is about normal with variance
		// 1/(n-1) (Kendall & Gibbons, Rank Correlation Methods, from memory).
		assert.Greater(t, rho, 2.33/math.Sqrt(float64(len(fs)-1)), "age %v: the order of %d groups against chance, one sided 1 %%", age, len(fs))
	}
	t.Logf("%d groups, %.0f bands: mean difference %.4f, of the mean of all at that age %.4f", len(names), bandsSeen, curve/bandsSeen, pooled/bandsSeen)
	assert.Less(t, curve, pooled, "a group's own curve tells more than the mean of all groups at that very age")
}

func sortedAges(m map[float64][]forecast) []float64 {
	ages := make([]float64, 0, len(m))
	for a := range m {
		ages = append(ages, a)
	}
	slices.Sort(ages)
	return ages
}

// ranks gives each value its place, ties the mean of theirs.
func ranks(x []float64) []float64 {
	order := slices.Clone(x)
	slices.Sort(order)
	out := make([]float64, len(x))
	for i, v := range x {
		from, _ := slices.BinarySearch(order, v)
		to := from
		for to < len(order) && order[to] == v {
			to++
		}
		out[i] = float64(from+to-1) / 2
	}
	return out
}

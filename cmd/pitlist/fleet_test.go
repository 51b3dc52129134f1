package main

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// answer is one line of testdata/fleet/answers.csv.
type answer struct {
	worn                 bool
	pWorn, failNext      float64
	costOfWaiting, worth float64
}

func answers(t *testing.T) map[[2]string]answer {
	t.Helper()
	f, err := os.Open("../../testdata/fleet/answers.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	out := map[[2]string]answer{}
	for _, r := range rows[1:] {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		out[[2]string{r[0], r[1]}] = answer{r[3] == "worn", num(4), num(5), num(6), num(7)}
	}
	return out
}

// judged runs a job as far as its judgement.
func judged(t *testing.T, path, day string) *batch {
	t.Helper()
	d, err := parseDay(day)
	require.NoError(t, err)
	b, err := configure(path, d, nil)
	require.NoError(t, err)
	require.NoError(t, b.readInputs(context.Background()))
	require.NoError(t, b.judge(context.Background()))
	return b
}

// TestSimulatedFleet holds the whole run, as a user would make it, against the
// exact posterior of a fleet whose truth is known (testdata/fleet/SOURCE.md).
func TestSimulatedFleet(t *testing.T) {
	b := judged(t, "../../testdata/fleet/job.yaml", "2026-11-25")
	want := answers(t)
	var pairs []pair
	diff, worst, worstAt := 0.0, 0.0, ""
	for i := range b.assessed {
		a := &b.assessed[i]
		for j := range a.Findings {
			f := &a.Findings[j]
			if f.Standing != score.Scored && f.Standing != score.Improved {
				continue // outside: no answer; renewed with the improved part: cannot be worn, p is 0
			}
			w, ok := want[[2]string{a.Vehicle.Unit, f.Part.ID}]
			if !ok {
				assert.Equal(t, score.Improved, f.Standing, "%s %s is scored but has no answer", a.Vehicle.Unit, f.Part.ID)
				continue
			}
			delete(want, [2]string{a.Vehicle.Unit, f.Part.ID})
			d := math.Abs(f.State.Worn - w.pWorn)
			diff += d
			if d > worst {
				worst, worstAt = d, a.Vehicle.Unit+" "+f.Part.ID
			}
			if d > 0.01 && os.Getenv("PITLIST_SHOW") != "" {
				t.Logf("%s %s: p %.5f, answer %.5f; x %.0f E %.0f share %.2f %s facts %+v", a.Vehicle.Unit, f.Part.ID, f.State.Worn, w.pWorn, f.Distance, f.HistoryFrom, f.Belonging.Share, f.Belonging.Reason(), f.Facts)
			}
			pairs = append(pairs, pair{f.State.Worn, w.worn})
		}
	}
	assert.Empty(t, want, "every vehicle-part with an answer is scored")
	mean := diff / float64(len(pairs))
	c := concordance(pairs)
	t.Logf("%d vehicle-parts: concordance %.4f, mean |p - oracle| %.6f, largest %.4f (%s)", len(pairs), c, mean, worst, worstAt)
	assert.GreaterOrEqual(t, c, 0.86)
	assert.LessOrEqual(t, mean, 0.002)
	calibrated(t, pairs)
}

type pair struct {
	p    float64
	worn bool
}

// concordance is the share of worn-sound pairs that p orders rightly, ties
// counting one half.
func concordance(pairs []pair) float64 {
	sum, n := 0.0, 0.0
	for _, a := range pairs {
		if !a.worn {
			continue
		}
		for _, b := range pairs {
			if b.worn {
				continue
			}
			n++
			switch {
			case a.p > b.p:
				sum++
			case a.p == b.p:
				sum += 0.5
			}
		}
	}
	return sum / n
}

// calibrated holds expected against observed worn parts, in all and by band,
// within 2.6 standard deviations of the Poisson-binomial.
func calibrated(t *testing.T, pairs []pair) {
	t.Helper()
	edges := []float64{0, 0.02, 0.1, 0.3, 0.6, 0.9, 1.0000001}
	sort.Slice(pairs, func(i, j int) bool { return pairs[i].p < pairs[j].p })
	check := func(lo, hi float64) {
		expected, variance, observed := 0.0, 0.0, 0.0
		for _, x := range pairs {
			if x.p < lo || x.p >= hi {
				continue
			}
			expected += x.p
			variance += x.p * (1 - x.p)
			if x.worn {
				observed++
			}
		}
		t.Logf("p_worn in [%g, %g): expected %.2f, observed %.0f, sd %.2f", lo, hi, expected, observed, math.Sqrt(variance))
		assert.LessOrEqual(t, math.Abs(expected-observed), 2.6*math.Sqrt(variance)+1e-9, "band [%g, %g)", lo, hi)
	}
	check(0, 2)
	for i := range edges[1:] {
		check(edges[i], edges[i+1])
	}
}

package backtest

import (
	"math/rand/v2"
	"slices"
)

// Range is an estimate with its 95 % interval.
type Range struct{ Value, Low, High float64 }

// Versus is the list against one plain rule, given the same hours: the list's
// figure less the rule's.
type Versus struct {
	Rule     string
	Failed   Range // failures among the parts opened
	Avoided  Range // money
	OnlyList int   // failures that the list alone had opened, vehicle by vehicle and net over the lists
	OnlyRule int   // the rule alone
	Need     Need  // how many such failures would tell the two apart
}

// Quantiles of the 95 % intervals.
const (
	lowest  = 0.025
	highest = 0.975
)

// versus sets the list against each rule. The intervals are paired: each
// resample draws vehicles with replacement, all their lists with them, and
// takes the difference on the same vehicles (percentile bootstrap, Efron &
// Tibshirani, An Introduction to the Bootstrap, 1993, chapters 8 and 13; what
// was opened stays as it was, so that it is the vehicles' luck that is drawn
// anew, not the competition for the hours).
func (l *ledger) versus(seen []bool, resamples int, seed uint64) []Versus {
	if resamples <= 0 {
		resamples = defaultResamples
	}
	var out []Versus
	for k := 1; k < len(l.ways); k++ {
		v := Versus{Rule: l.ways[k].Name}
		caught, avoided := less(l.caught[0], l.caught[k], seen), less(l.avoided[0], l.avoided[k], seen)
		for _, d := range caught {
			if d > 0 {
				v.OnlyList += int(d)
			} else {
				v.OnlyRule -= int(d)
			}
		}
		v.Failed, v.Avoided = resample(caught, avoided, resamples, rand.New(rand.NewPCG(seed, uint64(k))))
		v.Need = needPairs(v.OnlyList + v.OnlyRule)
		out = append(out, v)
	}
	return out
}

// less is the difference of two rows, for the vehicles that took part.
func less(a, b []float64, seen []bool) []float64 {
	var out []float64
	for i := range a {
		if seen[i] {
			out = append(out, a[i]-b[i])
		}
	}
	return out
}

// resample draws the sums of two rows anew, the same places of both.
func resample(a, b []float64, times int, rng *rand.Rand) (ra, rb Range) {
	sumsA, sumsB := make([]float64, times), make([]float64, times)
	for t := range times {
		for range a {
			i := rng.IntN(len(a))
			sumsA[t] += a[i]
			sumsB[t] += b[i]
		}
	}
	return rangeOf(a, sumsA), rangeOf(b, sumsB)
}

func rangeOf(row, sums []float64) Range {
	r := Range{}
	for _, x := range row {
		r.Value += x
	}
	slices.Sort(sums)
	r.Low, r.High = quantile(sums, lowest), quantile(sums, highest)
	return r
}

// quantile is the smallest value with at least a share q at or below it.
func quantile(sorted []float64, q float64) float64 {
	i := int(q * float64(len(sorted)))
	return sorted[min(i, len(sorted)-1)]
}

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
	// Sign is the exact two-sided chance that failures which only one of the two
	// had opened part as unevenly as these, were both ways equally good. With a
	// handful of failures it is the safer guide: an interval by resampling is
	// then too narrow.
	Sign float64
	Need Need // how many such failures would tell the two apart
}

// Quantiles of the 95 % intervals.
const (
	lowest  = 0.025
	highest = 0.975
)

// versus sets the list against each rule, for all parts together and then for
// each. The intervals are paired: each resample draws vehicles with
// replacement, all their lists with them, and takes the differences on the same
// vehicles (percentile bootstrap, Efron & Tibshirani, An Introduction to the
// Bootstrap, 1993, chapters 8 and 13; what was opened stays as it was, so that
// it is the vehicles' luck that is drawn anew, not the competition for the
// hours).
func (l *ledger) versus(seen []bool, resamples int, seed uint64) [][]Versus {
	if resamples <= 0 {
		resamples = defaultResamples
	}
	rows := l.less(seen)
	sums := resample(rows, l.cell(len(l.ways)-1, 0), resamples, rand.New(rand.NewPCG(seed, 1)))
	out := make([][]Versus, 1+l.parts)
	for c := range out {
		for k := range len(l.ways) - 1 {
			v := Versus{Rule: l.ways[k+1][c].Name}
			at := l.cell(k, c)
			for _, r := range rows {
				switch {
				case r == nil:
				case r[at] > 0:
					v.OnlyList += int(r[at])
				default:
					v.OnlyRule -= int(r[at])
				}
			}
			v.Failed, v.Avoided = rangeOf(rows, at, sums[at]), rangeOf(rows, at+1, sums[at+1])
			v.Sign, v.Need = signTest(v.OnlyList, v.OnlyRule), needPairs(v.OnlyList+v.OnlyRule)
			out[c] = append(out[c], v)
		}
	}
	return out
}

// less is the list's row less each rule's, for the vehicles that took part; nil
// for one that no way opened.
func (l *ledger) less(seen []bool) [][]float64 {
	var out [][]float64
	for i, row := range l.rows {
		if !seen[i] {
			continue
		}
		var d []float64
		if row != nil {
			d = make([]float64, l.cell(len(l.ways)-1, 0))
			for at := range d {
				d[at] = row[at%l.cell(1, 0)] - row[at+l.cell(1, 0)]
			}
		}
		out = append(out, d)
	}
	return out
}

// resample draws the sums of the rows' cells anew, the same rows for all cells:
// by cell, then by resample.
func resample(rows [][]float64, cells, times int, rng *rand.Rand) [][]float64 {
	sums := make([][]float64, cells)
	for at := range sums {
		sums[at] = make([]float64, times)
	}
	for t := range times {
		for range rows {
			for at, x := range rows[rng.IntN(len(rows))] {
				sums[at][t] += x
			}
		}
	}
	return sums
}

func rangeOf(rows [][]float64, at int, sums []float64) Range {
	r := Range{}
	for _, row := range rows {
		if row != nil {
			r.Value += row[at]
		}
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

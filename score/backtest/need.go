package backtest

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Need says whether there is enough on record to judge, and how much would do.
type Need struct {
	Have   float64 // failures expected, or failures that only one of two ways opened
	Enough float64 // of them that would do
	Years  float64 // of records like these that would do; 0: not reckoned
}

// Short tells whether the records are too few.
func (n Need) Short() bool { return n.Have < n.Enough }

// What a test ought to be able to see: 8 times in 10 (power), with 1 false
// alarm in 20 (level, both sides). These and the two below are judgement.
const (
	level = 0.05
	power = 0.80
	// wrongBy: a forecast that is wrong by half as much again.
	wrongBy = 1.5
	// apart: of the failures that only one of two ways opened, the share that
	// the better of them opened.
	apart = 2.0 / 3
)

// needCount is how many failures must be expected so that a count half as
// large again is told from chance: a Poisson count's square root varies by one
// half whatever its mean (Bartlett, J. R. Stat. Soc. Suppl. 3, 1936), so
// E = ((z + z') / (2(√ratio − 1)))²; the reckoning for a ratio of observed to
// expected in Breslow & Day, Statistical Methods in Cancer Research II, 1987,
// section 7.3 (from memory). The failures of many parts with small chances
// count as Poisson here.
func needCount(expected, years float64) Need {
	z := normal(1-level/2) + normal(power)
	root := z / (2 * (math.Sqrt(wrongBy) - 1))
	n := Need{Have: expected, Enough: math.Ceil(root * root)}
	if expected > 0 {
		n.Years = years * n.Enough / expected
	}
	return n
}

// needPairs is how many failures that only one of two ways opened tell the
// ways apart where one opened two of three of them: the sign test's normal
// approximation, n = ((z/2 + z'·√(pq)) / (p − ½))² (McNemar's design; Connor,
// Biometrics 43, 1987, from memory).
func needPairs(have int) Need {
	q := 1 - apart
	root := (normal(1-level/2)/2 + normal(power)*math.Sqrt(apart*q)) / (apart - 0.5)
	return Need{Have: float64(have), Enough: math.Ceil(root * root)}
}

// signTest is the exact two-sided sign test of a against b (McNemar's exact
// test of paired yes and no, Psychometrika 12, 1947): twice the binomial tail
// with chance one half, at most 1.
func signTest(a, b int) float64 {
	n, tail := a+b, 0.0
	for k := max(a, b); k <= n; k++ {
		logs, _ := math.Lgamma(float64(n + 1))
		in, _ := math.Lgamma(float64(k + 1))
		out, _ := math.Lgamma(float64(n - k + 1))
		tail += math.Exp(logs - in - out - float64(n)*math.Ln2)
	}
	return math.Min(1, 2*tail)
}

// Told tells whether the sign test tells the two ways apart.
func (v *Versus) Told() bool { return v.Sign < level }

func normal(p float64) float64 { return mathext.NormalQuantile(p) }

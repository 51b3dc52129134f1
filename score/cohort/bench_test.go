package cohort

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkFit is a whole fit of onset, delay and share; ns/history must not grow
// with the number of histories. testdata/fit/delay_time_fit.py times the same
// likelihood with an adaptive quadrature a history.
func BenchmarkFit(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			w := pump()
			p := NewPart(w.part(20), w.fleet(rand.New(rand.NewPCG(20261125, 7)), n))
			units := p.byCause[""]
			for b.Loop() {
				_, _, err := p.learn(units)
				require.NoError(b, err)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/history")
		})
	}
}

// BenchmarkLikelihood is one value of the log-likelihood with its slopes.
func BenchmarkLikelihood(b *testing.B) {
	for _, kind := range []struct {
		name  string
		world world
	}{{"improved", pump()}, {"same", bearing()}} {
		b.Run(kind.name, func(b *testing.B) {
			const n = 10_000
			p := NewPart(kind.world.part(20), kind.world.fleet(rand.New(rand.NewPCG(20261125, 7)), n))
			l := newLikelihood(p.byCause[""], p.Weak.Onset, p.Weak.Delay, p.Weak.Replacement, p.Weak.Inspection.Detects, nil)
			at := newPrior(p.Weak.Onset, p.Weak.Delay, 1, 0.4, true).mean
			for b.Loop() {
				l.eval(&at)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/history")
		})
	}
}

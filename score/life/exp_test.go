package life_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// Against math.Exp, over all that a float holds.
func TestExps(t *testing.T) {
	for x := -700.0; x <= 700; x += 0.0137 {
		got := []float64{x}
		life.Exps(got)
		require.InEpsilon(t, math.Exp(x), got[0], 1e-11, "of %v", x)
	}
	ends := []float64{math.Inf(-1), -1e9, 0, 1e9, math.Inf(1)}
	life.Exps(ends)
	require.InEpsilonSlice(t, []float64{math.Exp(-700), math.Exp(-700), 1, math.Exp(700), math.Exp(700)}, ends, 1e-11)
}

// A lognormal's hazards at many places against those at one.
func TestLognormalOver(t *testing.T) {
	l := life.Lognormal{Mu: 0, Sigma: 1}
	for z := -12.0; z <= 40; z += 0.00317 {
		x := math.Exp(z)
		cum, rate := []float64{0}, []float64{0}
		life.HazardsOver(l, []float64{x}, []float64{z}, cum, rate)
		require.InDelta(t, l.CumHazard(x), cum[0], 1e-11*max(1, l.CumHazard(x)), "at %v", z)
		require.InEpsilon(t, l.Hazard(x), rate[0], 1e-10, "at %v", z)
	}
}

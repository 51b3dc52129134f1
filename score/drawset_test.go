package score_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score"
)

func TestDrawSet(t *testing.T) {
	var s score.DrawSet
	assert.True(t, s.Empty() && !s.Has(0))
	for _, k := range []int{0, 63, 64, 199} {
		s.Add(k, 200)
	}
	for k := range 300 {
		assert.Equal(t, k == 0 || k == 63 || k == 64 || k == 199, s.Has(k), "draw %d", k)
	}
	assert.False(t, s.Empty())
}

// TestDrawChancesAreNeverTooLow: what is kept of a chance is at least the chance,
// and above it by little.
func TestDrawChancesAreNeverTooLow(t *testing.T) {
	c := make(score.DrawChances, 1)
	check := func(p float64) {
		c[0] = 0
		c.Set(0, p)
		require.GreaterOrEqual(t, c.At(0), p)
		require.LessOrEqual(t, c.At(0), max(p*(1+1./16)*(1+1e-6), math.Exp2(-15)))
	}
	for _, p := range []float64{0, 1, 0.5, 1 - 1e-16, 1e-300, math.SmallestNonzeroFloat64, math.Exp2(-15), math.Exp2(-16), math.Exp2(-31) * (1 + 1e-9), 0.9375, math.Nextafter(0.9375, 1), math.Nextafter(0.9375, 0)} {
		check(p)
	}
	c[0] = 0
	c.Set(0, 0)
	assert.Zero(t, c.At(0), "nothing stays nothing")
	rapid.Check(t, func(t *rapid.T) {
		check(math.Exp2(rapid.Float64Range(-40, 0).Draw(t, "log2 p")))
	})
}

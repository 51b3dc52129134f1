package odometer

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestNthIsWhatASortPutsThere: and nothing greater stands before it.
func TestNthIsWhatASortPutsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Float64Range(-5, 5), 1, 60).Draw(t, "values")
		for range rapid.SampledFrom([]int{0, 0, 3, 5}).Draw(t, "doublings") { // many, also by the thousand, with ties
			x = append(x, x...)
			for i := range x[:len(x)/2] {
				x[i] += 0.25
			}
		}
		n := rapid.IntRange(0, len(x)-1).Draw(t, "n")
		sorted := slices.Sorted(slices.Values(x))
		require.Equal(t, sorted[n], nth(x, n))
		if n > 0 {
			require.Equal(t, sorted[n-1], slices.Max(x[:n]))
		}
		slices.Sort(x)
		require.Equal(t, sorted, x, "the same values")
	})
}

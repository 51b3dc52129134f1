package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/vin"
)

func vins(t *testing.T, from, to string) SerialRange {
	t.Helper()
	r, err := VINRange(from, to)
	require.NoError(t, err)
	return r
}

// TestVINRange holds which ends make a range; what a range then holds is
// TestBelongs'.
func TestVINRange(t *testing.T) {
	for _, c := range []struct{ rule, from, to, want, err string }{
		{"one beginning", "Z9KLA4E27G1200000", "Z9KLA4E27G1300000", "Z9KLA4E27G1200000-Z9KLA4E27G1300000", ""},
		{"the second end takes the first's check digit", "Z9KLA4E27G1200000", "Z9KLA4E2XG1300000", "Z9KLA4E27G1200000-Z9KLA4E27G1300000", ""},
		{"open characters", "Z9K******G1200000", "Z9K******G1300000", "Z9K******G1200000-Z9K******G1300000", ""},
		{"a number never begins before position 10", "Z9K16900001380151", "Z9K35000000194341", "", "differ at position 4"},
		{"nor in the check digit", "Z9KLA4E2761200000", "Z9KLA4E2X61300000", "Z9KLA4E2761200000-Z9KLA4E2761300000", ""},
		{"two plants", "Z9KLA4E27GA200000", "Z9KLA4E27GB300000", "", "differ at position 11"},
		{"open characters in one end only", "Z9K******G1200000", "Z9KLA4E27G1300000", "", "differ at position 4"},
		{"backwards", "Z9KLA4E27G1300000", "Z9KLA4E27G1200000", "", "ends before it begins"},
		{"no number", "Z9KLA4E27G12000A0", "Z9KLA4E27G120000A", "", "does not end in a number"},
		{"open at its end", "Z9KLA4E27G12000**", "Z9KLA4E27G12000**", "", "does not end in a number"},
		{"short", "Z9KLA4E27G120000", "Z9KLA4E27G130000", "", "have 17 characters"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			r, err := VINRange(c.from, c.to)
			if c.err != "" {
				require.ErrorContains(t, err, c.err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, r.String())
			for _, end := range []string{c.from, c.to} {
				if v, err := vin.Parse(end); err == nil {
					assert.True(t, inVINs(r, v), "%s is an end of %s", end, r)
				}
			}
		})
	}
}

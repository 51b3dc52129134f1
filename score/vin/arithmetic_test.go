package vin

import (
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
)

// groups are the characters of equal value, from Table III of 49 CFR 565.15(c). A substitution is
// missed by the check digit exactly if both characters are in one group; 0 stands alone.
var groups = []string{"1AJ", "2BKS", "3CLT", "4DMU", "5ENV", "6FW", "7GPX", "8HY", "9RZ", "0"}

func sameGroup(a, b byte) bool {
	in := func(g string, c byte) bool {
		for i := range len(g) {
			if g[i] == c {
				return true
			}
		}
		return false
	}
	for _, g := range groups {
		if in(g, a) && in(g, b) {
			return true
		}
	}
	return false
}

// randomVIN draws 17 legal characters with a right check digit and four digits at the end.
func randomVIN(r *rand.Rand) string {
	b := make([]byte, size)
	for i := range b {
		b[i] = order[r.Intn(len(order))]
		if i >= 13 {
			b[i] = '0' + byte(r.Intn(10))
		}
	}
	b[8] = digitOf(remainder(string(b)))
	return string(b)
}

// TestUndetectedSubstitutions enumerates all substitutions outside position 9 of 50 VINs: missed if
// and only if both characters share a value; the rate for letters drawn evenly is 84/1056 a position.
func TestUndetectedSubstitutions(t *testing.T) {
	r := rand.New(rand.NewSource(20251125))
	for range 50 {
		text := randomVIN(r)
		for i := range size {
			if i == 8 {
				continue
			}
			for k := range len(order) {
				b := []byte(text)
				b[i] = order[k]
				if b[i] == text[i] {
					continue
				}
				missed := digitOf(remainder(string(b))) == text[8]
				assert.Equal(t, sameGroup(text[i], b[i]), missed, "%s, position %d to %c", text, i+1, b[i])
			}
		}
	}
	pairs, missed := 0, 0
	for i := range len(order) {
		for k := range len(order) {
			if i != k {
				pairs++
				if sameGroup(order[i], order[k]) {
					missed++
				}
			}
		}
	}
	assert.Equal(t, 1056, pairs)
	assert.Equal(t, 84, missed)
}

// TestUndetectedSwaps: a swap of neighbours not touching position 9 is missed if and only if they share
// a value; swapping digits in positions 8 and 9 is always missed, since weight 10 is -1 modulo 11.
func TestUndetectedSwaps(t *testing.T) {
	r := rand.New(rand.NewSource(20251126))
	eight := 0
	for range 300 {
		text := randomVIN(r)
		for i := 1; i < size; i++ {
			b := []byte(text)
			b[i-1], b[i] = b[i], b[i-1]
			if b[i-1] == b[i] {
				continue
			}
			missed := b[8] == digitOf(remainder(string(b)))
			switch {
			case i == 8 && digits(text[7:9]):
				eight++
				assert.True(t, missed, "%s, positions 8 and 9", text)
			case i != 8 && i != 9:
				assert.Equal(t, sameGroup(text[i-1], text[i]), missed, "%s, positions %d and %d", text, i, i+1)
			}
		}
	}
	assert.Greater(t, eight, 20)
}

// TestRegulatorsSample: the swap of positions 8 and 9 in the sample of NHTSA's outline for new
// manufacturers passes like the sample itself.
func TestRegulatorsSample(t *testing.T) {
	for _, text := range []string{"1J9RP1A36A1644345", "1J9RP1A63A1644345"} {
		r := Judge(text, Context{Market: US, Heavy: true})
		assert.Equal(t, []Finding{Good}, r.Findings)
	}
}

// TestTables: weights and year codes have the sums and lengths of the regulation.
func TestTables(t *testing.T) {
	sum := 0
	for _, w := range weights {
		sum += w
	}
	assert.Equal(t, 89, sum, "17 ones weigh 89 (published worked example)")
	assert.Len(t, order, 33)
	assert.Len(t, YearCodes, 30)
	for _, tt := range []struct {
		code byte
		year int16
	}{{'A', 1980}, {'H', 1987}, {'J', 1988}, {'N', 1992}, {'P', 1993}, {'R', 1994}, {'T', 1996}, {'V', 1997}, {'Y', 2000}, {'1', 2001}, {'9', 2009}} {
		assert.Equal(t, tt.year, firstYears[tt.code], "49 CFR 565.15, Table VII, %c", tt.code)
	}
	for _, c := range []byte("IOQUZ0") {
		assert.Zero(t, firstYears[c], "%c is no year", c)
	}
}

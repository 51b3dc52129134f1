package score

import "math"

// DrawSet is a set of parameter draws, a bit each; nil is the empty one.
type DrawSet []uint64

const drawsAWord = 64

// Add puts draw k into a set of draws below n.
func (s *DrawSet) Add(k, n int) {
	if *s == nil {
		*s = make(DrawSet, (n+drawsAWord-1)/drawsAWord)
	}
	(*s)[k/drawsAWord] |= 1 << (k % drawsAWord)
}

// Has tells whether draw k is in the set.
func (s DrawSet) Has(k int) bool {
	return k/drawsAWord < len(s) && s[k/drawsAWord]&(1<<(k%drawsAWord)) != 0
}

// Empty tells that no draw is in the set.
func (s DrawSet) Empty() bool {
	for _, w := range s {
		if w != 0 {
			return false
		}
	}
	return true
}

// DrawChances holds a chance a parameter draw in two bytes: 0, or rounded up, by
// at most a 128th.
type DrawChances []uint16

// What is kept is the upper half of a float32.
const chanceShift = 16

// Set notes p, in [0, 1], of draw k.
func (c DrawChances) Set(k int, p float64) {
	if p > 0 {
		c[k] = uint16(math.Float32bits(float32(p))>>chanceShift) + 1 // one step up, however p was rounded
	}
}

// At is the chance of draw k, at least what was noted.
func (c DrawChances) At(k int) float64 {
	return float64(math.Float32frombits(uint32(c[k]) << chanceShift))
}

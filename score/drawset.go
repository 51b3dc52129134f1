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

// DrawChances holds a chance a parameter draw, a byte each: 0, or rounded up by
// at most a sixteenth, and no less than 2^-15.
type DrawChances []byte

// A byte is the low end of a float32's exponent and the upper four digits of its
// fraction.
const (
	chanceShift = 19
	chanceLow   = (127-15)<<4 - 1 // one below 2^-15
)

// Set notes p, in [0, 1], of draw k.
func (c DrawChances) Set(k int, p float64) {
	if p > 0 {
		code := int(math.Float32bits(float32(p))>>chanceShift) + 1 // one step up, however p was rounded
		c[k] = byte(min(255, max(1, code-chanceLow)))
	}
}

// At is the chance of draw k, at least what was noted.
func (c DrawChances) At(k int) float64 {
	if c[k] == 0 {
		return 0
	}
	return float64(math.Float32frombits((uint32(c[k]) + chanceLow) << chanceShift))
}

package score

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

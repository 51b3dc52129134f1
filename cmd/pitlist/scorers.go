package main

import (
	"sync"

	"pitlist/score"
)

// scorers keeps the last scorer of a process that makes many runs: building
// what the catalogue alone decides takes longer than judging a few thousand
// vehicles. nil keeps none. It is safe for use by several goroutines.
type scorers struct {
	mu   sync.Mutex
	last *score.Scorer
}

// of is a scorer for the catalogue: the last one under new settings, where its
// catalogue reads the same, else a new one.
func (k *scorers) of(c *score.Catalogue, s score.Settings) (*score.Scorer, error) {
	if k == nil {
		return score.NewScorer(c, s)
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	var err error
	if k.last != nil && k.last.Catalogue().Digest == c.Digest && len(k.last.Catalogue().Parts) == len(c.Parts) { // what is known stays known
		k.last, err = k.last.With(s)
	} else {
		k.last, err = score.NewScorer(c, s)
	}
	if err != nil {
		k.last = nil
	}
	return k.last, err
}

package wear

import "slices"

// Factor is one observation, made at the part's own distance At: it multiplies
// by Worn where the onset of wear u <= At, and by NotWorn everywhere else: worn
// later, sound, immune, rectified. A clean inspection with detection r has Worn
// 1-r and NotWorn 1. Both are likelihoods, 0 or more.
type Factor struct {
	At      float64 // the part's own distance; at or beyond History.X: now
	Worn    float64 // P(observation | worn at At)
	NotWorn float64 // P(observation | not worn at At)
}

// History is what is known of one vehicle's part, in distances of the part's
// own: since new, or since the last renewal on record. Values out of range are
// taken as the nearest in range, no number as 0.
type History struct {
	X       float64  // distance now, >= 0
	E       float64  // records are complete from here on, in [0, X]; 0: since new or renewed
	Share   float64  // chance in [0, 1] of belonging to the weak population
	Factors []Factor // in any order; neither kept nor changed

	// An inspection found the part worn at FoundAt, and it was not renewed
	// since: onsets up to there are all that remains, and Share is 1.
	FoundWornAt float64
	Found       bool
}

// step is one term of the piecewise constant factor c(u) in Abel's form: the
// worn integral is the sum of weight times the integral over onsets up to at.
type step struct{ at, weight float64 }

// Distances below shortest (a metre, a few seconds) count as 0, and those above
// longest as longest: between them the tables and the quadrature hold.
const (
	shortest = 1.0 / (1 << -lowOctave)
	longest  = 1 << (octaves + lowOctave - 1)
)

// distance brings v into range; no number becomes 0.
func distance(v float64) float64 {
	if !(v >= shortest) {
		return 0
	}
	return min(v, longest)
}

// clean brings a history's values into their ranges.
func (h *History) clean() {
	h.X = distance(h.X)
	h.E = min(distance(h.E), h.X)
	h.FoundWornAt = min(distance(h.FoundWornAt), h.X)
	if !(h.Share > 0) {
		h.Share = 0
	}
	h.Share = min(h.Share, 1)
	if h.Found {
		h.Share = 1
	}
}

// now multiplies the factors as they stand today: notWorn is the column of the
// sound, the immune and the rectified, worn that of the worn where no factor
// is dated before today. dated says that one is.
func (h *History) now() (worn, notWorn float64, dated bool) {
	worn, notWorn = 1, 1
	for i := range h.Factors {
		f := &h.Factors[i]
		worn *= max(0, f.Worn)
		notWorn *= max(0, f.NotWorn)
		dated = dated || f.At < h.X
	}
	return worn, notWorn, dated || h.Found && h.FoundWornAt < h.X
}

// steps is c(u) in Abel's form, in ascending order, the last at the end of the
// onsets that remain: today, or where wear was found.
func (h *History) steps() []step {
	end := h.X
	if h.Found {
		end = h.FoundWornAt
	}
	sorted := slices.Clone(h.Factors)
	slices.SortFunc(sorted, func(a, b Factor) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	after := make([]float64, len(sorted)+1) // product of Worn from i on
	after[len(sorted)] = 1
	for i := len(sorted) - 1; i >= 0; i-- {
		after[i] = after[i+1] * max(0, sorted[i].Worn)
	}
	steps := make([]step, 0, len(sorted)+1)
	before, level := 1.0, after[0] // product of NotWorn up to i; c just before sorted[i]
	for i, f := range sorted {
		if f.At >= end {
			break
		}
		before *= max(0, f.NotWorn)
		next := before * after[i+1]
		if f.At >= shortest {
			steps = append(steps, step{f.At, level - next})
		}
		level = next
	}
	return append(steps, step{end, level})
}

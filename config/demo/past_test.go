package demo

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestEarlierYearsTellTheSameTruth holds scans and notes of earlier years
// against the lives that they are of, over 20 fleets: codes of a worn part and
// words of a worn spell come as often as the catalogue says, within 4 standard
// errors of a binomial count (1 false alarm in 16,000).
func TestEarlierYearsTellTheSameTruth(t *testing.T) {
	var scans, shown, codesWanted, spells, heard, wordsWanted float64
	for seed := range uint64(20) {
		for _, v := range drawFleet(9000 + seed) {
			for _, l := range v.lives {
				rate := 0.0
				for _, r := range l.part.codes.rules {
					rate += r.worn
				}
				for _, s := range v.oldScans {
					if rate == 0 || !l.wornAt(v.at(l.part, s.day)) {
						continue
					}
					scans, codesWanted = scans+1, codesWanted+rate
					shown += one(slices.ContainsFunc(s.codes, l.part.throws))
				}
				for _, s := range l.spans {
					from, to := v.when(l.part, s.from), v.when(l.part, s.to)
					if to >= today || to-from < 60 || from <= v.recordsFrom {
						continue
					}
					spells, wordsWanted = spells+1, wordsWanted+l.part.words.worn
					heard += one(slices.ContainsFunc(v.notes, func(n repair) bool {
						return n.day > from && n.day <= from+31 && slices.Contains(v.says(l).symptom, n.text)
					}))
				}
			}
		}
	}
	within := func(what string, n, got, want float64) {
		assert.InDelta(t, want, got, 4*math.Sqrt(n*(want/n)*(1-want/n)), "%s of %.0f", what, n)
	}
	assert.Greater(t, scans, 500.0)
	assert.Greater(t, spells, 500.0)
	within("scans with a worn part's codes", scans, shown, codesWanted)
	within("worn spells that somebody wrote of", spells, heard, wordsWanted)
}

func (p *part) throws(code string) bool {
	for _, r := range p.codes.rules {
		for _, set := range r.sets {
			if slices.Contains(set, code) {
				return true
			}
		}
	}
	return false
}

func one(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// TestEarlierYearsLeaveTodayAlone: what they add lies before the latest scan,
// within the records, and only where a scan of lately decides.
func TestEarlierYearsLeaveTodayAlone(t *testing.T) {
	for _, v := range drawFleet(Seed) {
		for _, s := range v.oldScans {
			assert.Less(t, s.day, v.scans[len(v.scans)-1].day)
			assert.Greater(t, s.day, v.recordsFrom)
		}
		for _, n := range v.notes {
			assert.Less(t, n.day, today)
			assert.Greater(t, n.day, v.recordsFrom)
		}
		for _, l := range v.lives {
			for _, n := range v.notes {
				if l.state != Failed && n.day > l.renewedOn && slices.Contains(v.says(l).symptom, n.text) {
					assert.True(t, l.heard, "%s: a note since the last renewal is of what the list's remarks tell", v.unit)
				}
			}
		}
	}
}

package config

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"pitlist/score"
)

// agrees checks collisions against every pair in turn: it finds one exactly
// where there is one, and what it names does overlap.
func agrees[T any](t *rapid.T, k rangeKind[T], items []T) {
	any := false
	for i := range items {
		for j := range i {
			any = any || k.overlap(items[i], items[j])
		}
	}
	pairs := k.collisions(items)
	assert.Equal(t, any, len(pairs) > 0)
	for _, p := range pairs {
		assert.Less(t, p[0], p[1])
		assert.True(t, k.overlap(items[p[0]], items[p[1]]))
	}
}

func TestCollisionsAgreeWithEveryPair(t *testing.T) {
	t.Run("years", rapid.MakeCheck(func(t *rapid.T) {
		agrees(t, yearRanges, rapid.SliceOfN(rapid.Custom(func(t *rapid.T) score.YearRange {
			from := rapid.IntRange(2000, 2030).Draw(t, "from")
			return score.YearRange{From: from, To: from + rapid.IntRange(0, 2).Draw(t, "more")}
		}), 0, 8).Draw(t, "ranges"))
	}))
	t.Run("days with open ends", rapid.MakeCheck(func(t *rapid.T) {
		agrees(t, dayRanges, rapid.SliceOfN(rapid.Custom(func(t *rapid.T) score.DayRange {
			from := rapid.IntRange(1, 60).Draw(t, "from")
			r := score.DayRange{From: score.Day(from), To: score.Day(from + rapid.IntRange(0, 5).Draw(t, "more"))}
			switch rapid.IntRange(0, 8).Draw(t, "open") {
			case 0:
				r.From = 0
			case 1:
				r.To = 0
			}
			return r
		}), 0, 6).Draw(t, "ranges"))
	}))
	t.Run("serials of several letters and widths", rapid.MakeCheck(func(t *rapid.T) {
		agrees(t, serialRanges(nil), rapid.SliceOfN(rapid.Custom(func(t *rapid.T) score.SerialRange {
			prefix := rapid.SampledFrom([]string{"K", "KD"}).Draw(t, "prefix")
			from := rapid.Uint64Range(0, 99).Draw(t, "from")
			to := from + rapid.Uint64Range(0, 9).Draw(t, "more")
			width := rapid.IntRange(3, 4).Draw(t, "width")
			return score.SerialRange{From: score.Serial{Prefix: prefix, Number: from, Width: width}, To: score.Serial{Prefix: prefix, Number: to, Width: width}}
		}), 0, 8).Draw(t, "ranges"))
	}))
}

// BenchmarkRecallOfManyVINs reads an entry that lists 20,000 single VINs.
func BenchmarkRecallOfManyVINs(b *testing.B) {
	var list strings.Builder
	for i := range 20000 {
		fmt.Fprintf(&list, "Z9KAB1CD5FH%06d, ", 2*i)
	}
	_, faults := ParseCatalogue("x.yaml", []byte("parts:\n  - id: a\n    fits: [ { vin: ["+list.String()+"] } ]\n"))
	for _, f := range faults {
		if !strings.Contains(f.Problem, "is missing") {
			b.Fatal(f)
		}
	}
	for b.Loop() {
		ParseCatalogue("x.yaml", []byte("parts:\n  - id: a\n    fits: [ { vin: ["+list.String()+"] } ]\n"))
	}
}

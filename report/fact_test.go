package report

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"pitlist/score"
)

// TestOfThisPart: of what stands before the last renewal evidence alone is kept, wherever it stands, and the
// vehicle's own facts stay as they are.
func TestOfThisPart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds, groups := rapid.SampledFrom([]score.FactKind{score.FactRenewed, score.FactCode, score.FactWords}), rapid.SampledFrom([]string{"", "codes"})
		var facts, want []score.Fact
		for i := range rapid.IntRange(0, 6).Draw(t, "facts") {
			facts = append(facts, score.Fact{Kind: kinds.Draw(t, "kind"), Group: groups.Draw(t, "group"), Day: score.Day(i)})
		}
		for i, f := range facts {
			renewedLater := slices.ContainsFunc(facts[i+1:], func(l score.Fact) bool { return l.Kind == score.FactRenewed })
			if f.Group != "" || !renewedLater {
				want = append(want, f)
			}
		}
		given := slices.Clone(facts)
		assert.Equal(t, want, append([]score.Fact(nil), ofThisPart(facts)...))
		assert.Equal(t, given, facts)
	})
}

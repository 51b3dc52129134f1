package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/say"
)

func TestStudyAsText(t *testing.T) {
	s := &Study{Title: say.Plain("north, 23 Nov 2026"), Sections: []Section{{
		Heading:    say.Plain("Pump follower"),
		Paragraphs: []say.Text{say.Plain("One sentence.")},
		Tables: []Table{{Heads: []say.Text{{}, say.Plain("before"), say.Plain("after")}, Rows: [][]Cell{
			{Say(say.Plain("failures")), Count(12), Count(1234)},
			{Say(say.Plain("half worn by, km")), Figure(215000), Figure(198432.4)},
			{Say(say.Plain("share")), Portion(0.45), Portion(math.NaN())},
			{Say(say.Plain("shape")), Figure(3.2), Figure(0.0421)},
		}}},
		Charts: []Chart{{Title: say.Plain("failed by distance")}},
	}}}
	assert.Equal(t, `north, 23 Nov 2026
==================

Pump follower
-------------
One sentence.

                   before    after
failures               12    1,234
half worn by, km  215,000  198,432
share                 45%
shape                 3.2   0.0421
(chart in the workbook: failed by distance)
`, s.Text())
}

func TestParagraphsAreFolded(t *testing.T) {
	assert.Equal(t, "one two\nthree\nfour", folded("one  two three\nfour", 9))
	assert.Equal(t, "averylongword\nb", folded("averylongword b", 5), "a long word stands alone")
}

func TestStepsRiseWhereThePointsStand(t *testing.T) {
	assert.Equal(t, []XY{{1, 0.1}, {2, 0.1}, {2, 0.3}}, Steps([]XY{{1, 0.1}, {2, 0.3}}))
	assert.Empty(t, Steps(nil))
}

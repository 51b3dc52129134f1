package workbook_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score"
)

// TestWhatIsForTodayStandsOnceAtTheTop: what heads the list is not told above
// it too, so that one page holds all that is for today with its reasons.
func TestWhatIsForTodayStandsOnceAtTheTop(t *testing.T) {
	d := invented.Document()
	want := map[string]int{}
	for _, item := range d.Today {
		want[item.Unit]++
	}
	got := map[string]int{}
	last := 0
	for i, r := range list(t, open(t, written(t, d, workbook.Options{}))) {
		if len(r) > 6 && r[1] == "today" {
			got[r[2]]++
			assert.NotEmpty(t, r[6], "a reason")
			last = i
		}
	}
	assert.Equal(t, want, got)
	assert.Less(t, last, headRow+len(d.Today)+3, "headings of groups aside nothing stands between")
}

func TestVehicleThatIsNotToBeUsedSaysSoInItsRow(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	h := &as[7].Findings[len(as[7].Findings)-1]
	require.Equal(t, score.CanInjure, h.Part.Consequence)
	for _, standing := range []score.Standing{score.Scored, score.WornFound} {
		h.Standing = standing
		seen := false
		d := report.Compose(invented.Run(fleet), fleet, as, invented.List(as), c)
		for _, r := range list(t, open(t, written(t, d, workbook.Options{}))) {
			if len(r) > 6 && r[2] == "H-008" {
				seen = true
				held := "Not to be used until released."
				if standing == score.WornFound {
					assert.Contains(t, r[6], held)
				} else {
					assert.NotContains(t, r[6], held)
				}
			}
		}
		assert.True(t, seen)
	}
}

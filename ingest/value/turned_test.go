package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestTurnedToDate: what spreadsheet programs make of names, and names that only look like it.
func TestTurnedToDate(t *testing.T) {
	for _, s := range []string{"3-May", "03-May", "May-03", "5. Mrz", "10-ott", "9-сен", "2026-05-09", "2026-05-09 00:00:00", "09/05/2026", "9.5.2026", "9 May 2026"} {
		assert.True(t, TurnedToDate(s, false, false), s)
	}
	for _, s := range []string{"", "9-5", "3-10", "Heron", "Heron 2.0", "5008", "46151", "208", "Mar1", "May", "32-May", "2026", "20260509", "#N/A", "Teal 3-May", "3008 Mar", "1/2"} {
		assert.False(t, TurnedToDate(s, false, false), s)
	}
	for s, want := range map[string]bool{"46151": true, "36526": true, "36525": false, "54790": false, "46151.5": false, "5008": false} {
		assert.Equal(t, want, TurnedToDate(s, true, false), s)
	}
	assert.True(t, TurnedToDate("35064", true, true), "1904: 1 January 2000")
}

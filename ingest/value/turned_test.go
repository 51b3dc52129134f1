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

func TestTurnedToPower(t *testing.T) {
	for _, s := range []string{"3.00E+05", "3E+05", "1,2E+04"} {
		assert.True(t, TurnedToPower(s), s)
	}
	for _, s := range []string{"3E5", "E+05", "Heron E+", "E+", "300000", "3E+5X", ""} {
		assert.False(t, TurnedToPower(s), s)
	}
	assert.Equal(t, "5008", WholeName("5008.0"))
	assert.Equal(t, "9.5", WholeName("9.5"))
	assert.Equal(t, "V.0", WholeName("V.0"))
}

func TestParseModelYear(t *testing.T) {
	for s, want := range map[string]int{"2017": 2017, "2016/17": 2016, "MY17": 2017, "MY 17": 2017, "my2017": 2017, "2017MY": 2017, "17MY": 2017, "MY'17": 2017, "MY99": 1999, "MY28": 2028, "MY29": 1929, "Modelljahr 2017": 2017, "2017.5": 2017, "2017.0": 2017} {
		got, ok := ParseModelYear(s, 2028)
		assert.True(t, ok, s)
		assert.Equal(t, want, got, s)
	}
	for _, s := range []string{"", "17", "'17", "7", "20177", "2029", "MY", "2017a", "soon", "MY2", "123"} {
		_, ok := ParseModelYear(s, 2028)
		assert.False(t, ok, s)
	}
}

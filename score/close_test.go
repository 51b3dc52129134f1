package score

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCloseKeepsWhatIsTold: details of an odd odometer are the same after the
// facts were let go, and nothing of a plain vehicle's stays.
func TestCloseKeepsWhatIsTold(t *testing.T) {
	fleet := []Vehicle{
		{Unit: "odd", Readings: []Reading{{Day: 20000, KM: 90000}, {Day: 20400, KM: 150000}},
			Repairs: []Repair{{Day: 20100, KM: Is(205000), Text: "oil service"}}},
		{Unit: "plain", Readings: []Reading{{Day: 20000, KM: 90000}}, Repairs: []Repair{{Day: 19900, KM: Is(88000), Text: "oil service"}},
			Remarks: []Remark{{Day: 20000, Text: "hums"}}},
	}
	scorer, err := NewScorer(&Catalogue{}, Settings{Day: 20500, DefaultKMPerWeek: 400})
	require.NoError(t, err)
	assessed, err := scorer.AssessAll(context.Background(), fleet, func(int, []Assessment) {})
	require.NoError(t, err)
	before, _ := assessed[0].Details()
	require.False(t, before.Empty(), "the repair's distance is not credible")
	for i := range assessed {
		assessed[i].Close()
	}
	after, _ := assessed[0].Details()
	assert.Equal(t, before.String(), after.String())
	assert.Empty(t, assessed[1].Vehicle.Repairs)
	assert.Empty(t, assessed[1].Vehicle.Remarks)
	assert.Len(t, assessed[1].Vehicle.Readings, 1)
}

// TestWhatIsRedrawnKeepsItsFacts: before the plan only vehicles that may be
// judged again keep facts, in copies of their own.
func TestWhatIsRedrawnKeepsItsFacts(t *testing.T) {
	block := []Repair{{Day: 1, Text: "a"}, {Day: 2, Text: "b"}}
	plain := Assessment{Vehicle: &Vehicle{Repairs: block[:1:1], Remarks: []Remark{{Text: "hums"}}}, Findings: []Finding{{}}}
	open := Assessment{Vehicle: &Vehicle{Repairs: block[1:], Remarks: []Remark{{Text: "hums"}}}, Findings: []Finding{{}, {LetGo: 200}}}
	plain.CloseUnlessRedrawn()
	open.CloseUnlessRedrawn()
	assert.Empty(t, plain.Vehicle.Repairs)
	assert.Empty(t, plain.Vehicle.Remarks)
	assert.Equal(t, block[1:], open.Vehicle.Repairs)
	assert.NotSame(t, &block[1], &open.Vehicle.Repairs[0])
	assert.Len(t, open.Vehicle.Remarks, 1)
}

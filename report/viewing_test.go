package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score/plan"
)

// TestViewingSaysNothingOfNothing: no lots and no minutes are not counted out.
func TestViewingSaysNothingOfNothing(t *testing.T) {
	for want, v := range map[string]plan.Viewing{
		"Walk to 2 lots in 8 of 10 minutes of looking, the way between them not counted; what is seen there is expected to move EUR 427. No look can move 1 lot; for 5 lots there are no minutes left.": {Lots: 2, Used: 8, Given: 10, Swing: 427, Nothing: 1, Passed: 5},
		"Walk to 1 lot in 4 of 10 minutes of looking, the way between them not counted; what is seen there is expected to move EUR 90. No look can move 3 lots.":                                        {Lots: 1, Used: 4, Given: 10, Swing: 90, Nothing: 3},
		"Walk to 1 lot in 4 of 10 minutes of looking, the way between them not counted; what is seen there is expected to move EUR 90. For 1 lot there are no minutes left.":                            {Lots: 1, Used: 4, Given: 10, Swing: 90, Passed: 1},
		"Walk to 1 lot in 4 of 10 minutes of looking, the way between them not counted; what is seen there is expected to move EUR 90.":                                                                 {Lots: 1, Used: 4, Given: 10, Swing: 90},
		"Walk to no lot: no look fits the 3 minutes.":        {Given: 3, Passed: 2},
		"Walk to no lot: no look would move what comes off.": {Given: 90, Nothing: 0},
	} {
		assert.Equal(t, want, viewingWords(&v, "EUR").String())
	}
}

// TestVehicleNameSaysNothingTwice: a model that holds its make and year already.
func TestVehicleNameSaysNothingTwice(t *testing.T) {
	for _, c := range []struct {
		mk, model string
		year      int
		want      string
	}{
		{"Northfold", "Heron", 2016, "Northfold Heron 2016"},
		{"", "2016 Northfold Heron 2.0", 2016, "2016 Northfold Heron 2.0"},
		{"NORTHFOLD", "Northfold  Heron", 2016, "Northfold Heron 2016"},
		{"Northfold", "2016 Northfold Heron", 2017, "2016 Northfold Heron 2017"}, // the two contradict each other: both are shown
		{"Northfold Works", "Heron", 0, "Northfold Works Heron"},
		{"", "", 0, ""},
	} {
		assert.Equal(t, c.want, vehicleName(c.mk, c.model, c.year))
	}
}

// TestWorkshopBeforeSaleSaysWhatIsToBeLeft: who leaves a vehicle at its price does not open it before a sale.
func TestWorkshopBeforeSaleSaysWhatIsToBeLeft(t *testing.T) {
	l := plan.List{Rows: []plan.Row{{Above: true, Hours: 1.25}, {Above: true, Hours: 0.5}, {Hours: 2}},
		Offers: []plan.Offer{{Above: true, Verdict: plan.Leave}, {Above: true, Verdict: plan.Take}, {Verdict: plan.Leave}}}
	assert.Equal(t, "Put 2 vehicles through the workshop before sale: 1.75 h, worth EUR 0. 1 of them is to be left at its price, and goes there only if it is taken all the same.",
		stockRow(&l, "EUR").Words[1].String())
	l.Offers[1].Verdict = plan.Leave
	assert.Contains(t, stockRow(&l, "EUR").Words[1].String(), "2 of them are to be left")
	l.Offers = l.Offers[2:]
	assert.NotContains(t, stockRow(&l, "EUR").Words[1].String(), "left")
}

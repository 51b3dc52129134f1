package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/life"
	"pitlist/score/odometer"
	"pitlist/score/wear"
)

// TestWarrantyLimitsTheHoldingDistance: the smaller of its limits, months
// carried at the vehicle's usage; only on the buying desks.
func TestWarrantyLimitsTheHoldingDistance(t *testing.T) {
	const perWeek, month = 700.0, 365.2425 / 12 // km; days
	for _, c := range []struct {
		rule     string
		buys     bool
		facts    DeskFacts
		disposal Day
		km       float64
		reason   HoldReason
	}{
		{"none given: the job's", true, DeskFacts{}, 0, 60000, "the job's holding distance"},
		{"kilometres", true, DeskFacts{WarrantyKM: Is(15000)}, 0, 15000, "warranty distance"},
		{"months at 100 km a day", true, DeskFacts{WarrantyMonths: Is(12)}, 0, 12 * month * 100, "warranty months"},
		{"the smaller of both: kilometres", true, DeskFacts{WarrantyKM: Is(15000), WarrantyMonths: Is(12)}, 0, 15000, "warranty distance"},
		{"the smaller of both: months", true, DeskFacts{WarrantyKM: Is(40000), WarrantyMonths: Is(6)}, 0, 6 * month * 100, "warranty months"},
		{"sold without warranty", true, DeskFacts{WarrantyKM: Is(0)}, 0, 0, "warranty distance"},
		{"disposal before the warranty ends", true, DeskFacts{WarrantyKM: Is(15000)}, 1010, 1000, "disposal date"},
		{"the fleet's desk knows no warranty", false, DeskFacts{WarrantyKM: Is(15000)}, 0, 60000, "the job's holding distance"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			s := Settings{Day: 1000, Buys: c.buys, HoldingKM: 60000, HoldingHours: 3000, HoldingMonths: 24}
			v := Vehicle{use: &UseFacts{DisposalDate: c.disposal}}
			v.SetDesk(c.facts)
			a := s.ahead(&v,
				&track{today: 1000, odometer: odometer.Estimate{Brief: odometer.Brief{Known: true, KM: 1e5, PerWeek: perWeek}}})
			assert.InDelta(t, c.km, a.HoldKM, 1e-6)
			assert.Equal(t, c.reason, a.HoldReason)
			if c.reason != "the job's holding distance" {
				assert.InDelta(t, c.km/100/month, a.HoldMonths, 1e-9, "the same time on every axis")
			}
		})
	}
}

// TestSaleOddsMultiplyThePriorOdds: of worn against not worn, on the buying
// desks alone, with their interval.
func TestSaleOddsMultiplyThePriorOdds(t *testing.T) {
	p := WeakPart{ID: "p", Name: "part", Axis: ByKM, ShareIfUnknown: 0.5, Fits: []Fit{{Model: []string{"Heron"}}}, Weight: 20,
		Onset: life.Weibull{Shape: 3, Scale: 2e5}, Delay: life.Weibull{Shape: 1.5, Scale: 4e4}, Replacement: wear.Improved,
		Inspection: InspectionPlan{Hours: 1, Detects: 0.9}, Costs: Costs{PlannedRepair: 100, Failure: 9000}}
	v := Vehicle{Model: "Heron", Readings: []Reading{{Day: 1000, KM: 150000, Unit: "km", Source: "vehicle sheet"}}}
	find := func(buys bool, odds float64) Finding {
		sc, err := NewScorer(&Catalogue{Parts: []WeakPart{p}},
			Settings{Day: 1000, HoldingKM: 60000, DefaultKMPerWeek: 450, RecordsFrom: RecordsNew, Buys: buys, SaleOdds: odds, Draws: 50, Seed: 1})
		require.NoError(t, err)
		a := sc.Assess(&v)
		require.Len(t, a.Findings, 1)
		return a.Findings[0]
	}
	odds := func(f Finding) float64 { return f.State.Worn / (1 - f.State.Worn) }
	as, times := find(true, 1), find(true, 1.7)
	assert.InEpsilon(t, 1.7*odds(as), odds(times), 1e-9)
	assert.InDelta(t, as.State.Sound/(as.State.Sound+as.State.Immune+as.State.Rectified),
		times.State.Sound/(times.State.Sound+times.State.Immune+times.State.Rectified), 1e-12, "what is not worn keeps its shares")
	assert.InDelta(t, as.HoldFail.IfWorn, times.HoldFail.IfWorn, 1e-9, "a worn part fails as it did")
	assert.Greater(t, times.PLow, as.PLow)
	assert.Equal(t, 1.7, times.SaleOdds, "told beside the figures")
	assert.Zero(t, as.SaleOdds)
	assert.InDelta(t, as.State.Worn, find(false, 1.7).State.Worn, 1e-15, "the fleet's desk does not sell")
}

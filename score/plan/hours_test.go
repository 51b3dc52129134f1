package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pitlist/score"
)

// TestHours: a visit's set-up counts once, the longest where its parts state
// different ones; the bay gives quarters.
func TestHours(t *testing.T) {
	for _, k := range []struct {
		name           string
		parts          []asks
		hours, quarter float64
	}{
		{"one part", []asks{{visit: "top", setUp: 0.5, hours: 0.6}}, 1.1, 1.25},
		{"two of one visit", []asks{{visit: "top", setUp: 0.5, hours: 0.5}, {visit: "top", setUp: 0.75, hours: 0.5}}, 1.75, 1.75},
		{"two visits", []asks{{visit: "top", setUp: 0.5, hours: 0.5}, {visit: "axle", setUp: 0.25, hours: 0.5}}, 1.75, 1.75},
		{"visits without a name share nothing", []asks{{setUp: 0.5, hours: 0.5}, {setUp: 0.5, hours: 0.5}}, 2, 2},
	} {
		t.Run(k.name, func(t *testing.T) {
			a := vehicleOf(t, "A-1", "", k.parts...)
			var all []*score.Finding
			for i := range a.Findings {
				all = append(all, &a.Findings[i])
			}
			hours, quarter := Hours(all)
			assert.InDelta(t, k.hours, hours, 1e-12)
			assert.InDelta(t, k.quarter, quarter, 1e-12)
		})
	}
}

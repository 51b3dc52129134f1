package plan

import (
	"pitlist/score"
	"pitlist/score/wear"
)

// Keeps tells whether the plan has a use for a finding's parameter draws: as
// it stands, or in any draw, its gain exceeds the cost of its own hours, set-up
// aside. Where it never does, no admissible subset ever holds the part, and its
// draws can be let go.
func (o *Options) Keeps(f *score.Finding, draws []wear.DrawState) bool {
	if o.Desk.Buys() {
		return false // nobody asks there how often a vehicle stays above the line
	}
	c := Choice{Finding: f, Repair: f.Part.Costs.PlannedRepair, Failure: o.Failure(f.Part)}
	own := o.Cost(f.Part.Inspection.Hours)
	useful := func(b beliefs) bool {
		without, looked := c.over(b)
		return without-looked > own
	}
	if useful(beliefsOf(f)) {
		return true
	}
	for k := range draws {
		d := &draws[k]
		if useful(beliefs{worn: d.Worn, sound: d.Sound, wornNext: d.FailWornNext, wornHold: d.FailWornHold, soundHold: d.FailSoundHold}) {
			return true
		}
	}
	return false
}

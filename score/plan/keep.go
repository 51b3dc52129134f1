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
	c := o.choice(f)
	own := o.Cost(f.Part.Inspection.Hours)
	if c.gain(beliefsOf(f)) > own {
		return true
	}
	for k := range draws {
		if c.gain(kept(&draws[k])) > own {
			return true
		}
	}
	return false
}

// Package recall stands between the fleet and the record: what the sheets say
// becomes plain facts that the record keeps, and what the record remembers
// joins the fleet.
//
// It opens no file and decides nothing: which facts are the same, corrected or
// new is for package history, what they mean for package score. The usual
// steps: Read makes of a fleet what history.Record.Recall wants, Join puts its
// answer into the fleet.
package recall

import (
	"pitlist/ingest/history"
	"pitlist/score"
)

// Read lists the fleet's facts for the record, vehicle by vehicle in the
// fleet's order; sources describe Fleet.Sources, one for each.
func Read(fleet *score.Fleet, day score.Day, sources []history.Source) *history.Read {
	out := &history.Read{Day: int32(day), Sources: sources, Vehicles: make([]history.Vehicle, len(fleet.Vehicles)), Disputed: fleet.Disputed}
	w := newWriter()
	w.answers = fleet.Answers
	for i := range fleet.Vehicles {
		v := &fleet.Vehicles[i]
		out.Vehicles[i] = history.Vehicle{VIN: string(v.VIN), Unit: v.Unit, Registration: v.Registration, Facts: w.facts(v)}
	}
	return out
}

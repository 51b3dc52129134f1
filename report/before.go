package report

import (
	"pitlist/score"
)

// Before is what a report must know of the last run of an earlier day, to say
// what has moved since. It is told from outside: the report reads no record.
type Before struct {
	Day             score.Day
	Vehicles, Above int     // read, and above the line
	Hours           float64 // bay-hours above the line
	FailNext        float64 // failures that it expected before the next run
	Results         Tally   // of inspections, returned by that day since the run before it
	Returned        Tally   // the same, since then
	Stood           map[*score.Vehicle]Stood
	Left            []Left // vehicles that it read and today's sheets do not hold
	News            map[*score.Vehicle][]New
	CurvesChanged   map[string]bool       // ids of parts whose curves are others now
	EntriesChanged  map[string]bool       // ids of parts whose entry in the catalogue is another now
	HoursGiven      map[string][2]float64 // depots whose bay-hours are others: then, now; -1 without a limit
	NewVehicles     map[*score.Vehicle]bool
	Promised        Promised
}

// Stood is where a vehicle stood on the earlier list.
type Stood struct {
	Rank    int
	Above   bool
	Part    string // id of its lead part
	PWorn   float64
	Waiting float64 // cost of waiting
	Hours   float64
	KM      float64
	KMKnown bool
}

// Left is a vehicle that is no longer in the sheets. Rank is 0 where it stood
// on no list.
type Left struct {
	Unit, VIN, Registration string
	Stood                   Stood
}

// Tally counts parts that were opened, and those among them that were found
// worn or failed.
type Tally struct{ Opened, Hits int }

// Promised holds the list against what came of it: for every part that stood
// above the line and was opened since, the chance that opening it finds wear
// (false alarms too), as the list of that day had it.
type Promised struct {
	Chances []float64
	Hits    int
}

// NewKind says what a new fact is of.
type NewKind string

// The kinds of new facts that a change can rest on.
const (
	NewScan       NewKind = "scan"
	NewRepair     NewKind = "repair"
	NewInspection NewKind = "inspection"
	NewRemark     NewKind = "remark"
)

// New is a fact that no run of an earlier day knew. A row can bring several
// facts, some of which may be old: kind and day tell them apart.
type New struct {
	Kind NewKind
	Day  score.Day
	Ref  score.Ref
}

package score

import (
	"fmt"
	"strconv"

	"pitlist/score/evidence"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// Axis is what a part wears by.
type Axis string

// The axes; the zero value is not valid in a catalogue.
const (
	ByKM     Axis = "km"
	ByHours  Axis = "hours"
	ByMonths Axis = "months"
)

// Unit is the axis's unit for people: "km", "h", "months".
func (a Axis) Unit() string {
	if a == ByHours {
		return "h"
	}
	return string(a)
}

// Consequence says what a failure puts at stake.
type Consequence string

// The two consequences: an injury is never traded for money.
const (
	CostsMoney Consequence = "money"
	CanInjure  Consequence = "injury"
)

// WeakPart is one entry of the catalogue: which vehicles it concerns, how the
// part wears, how wear shows, what a look costs and what a failure costs.
type WeakPart struct {
	ID, Name, System string
	Source           string // bulletin, recall, study, or "own judgement"
	Reviewed         Day
	KnownSince       Day
	Fits             []Fit   // any entry; within an entry all
	ShareIfUnknown   float64 // in [0, 1]
	Axis             Axis
	Onset, Delay     life.Distribution
	Weight           float64 // equivalent failures behind the curves
	CurveSource      string  // of an overlay that replaced the curves; "" the entry's own
	Replacement      wear.Replacement
	Evidence         []evidence.Group
	Called           []string
	Repairs          RepairWords
	Inspection       InspectionPlan
	Checks           []Check
	Costs            Costs
	Consequence      Consequence
	RiskKM           float64 // injury: over this distance,
	RiskLimit        float64 // …a chance of failure that is not traded for money,
	WornLimit        float64 // …nor a chance of being worn
	Kit              Kit
	File             string // where the entry stands, for messages
	Line             int
}

// RepairWords are how the workshop writes of the part.
type RepairWords struct {
	Renews  []string // the part is new afterwards
	Treats  []string // a symptom only
	Planned []string // a renewal before any failure
	Failed  []string // a renewal whose text says that it had failed
}

// InspectionPlan is what a look at the part takes and what it is worth.
type InspectionPlan struct {
	Visit      string // parts opened in one visit share SetUpHours
	SetUpHours float64
	Hours      float64
	Detects    float64 // chance to find wear that is there
	FalseAlarm float64 // chance to find wear that is not there
	Steps      []string
	Tools      []string
	Limits     []Limit
	Cautions   []string
}

// Limit tells a measured value's meaning.
type Limit struct {
	Measure           string
	SoundTo, WornFrom float64
}

// Check is a cheap look beside the inspection.
type Check struct {
	ID         string
	Minutes    float64
	Place      string // yard, counter or bay
	Detects    float64
	FalseAlarm float64
	Steps      []string
	Cautions   []string
}

// Costs are in the job's currency.
type Costs struct {
	PlannedRepair, Failure float64
	OffRoadDays            float64 // days off the road after a failure
}

// Kit is what to order for a renewal.
type Kit struct {
	PartNo   string
	Quantity int
}

// Fit is one range of vehicles: every condition that is not empty must hold. A
// vehicle's VIN answers for the make and the model beside ranges of whole VINs.
type Fit struct {
	WMI, Make, Model, EngineFamily []string
	ModelYear                      []YearRange
	EngineSerial, VINSerial        []SerialRange
	BuildDate                      []DayRange
	VIN                            []SerialRange
}

// YearRange is closed at both ends.
type YearRange struct{ From, To int }

// String is the range as a catalogue writes it: 2015-2017, or 2015.
func (r YearRange) String() string {
	if r.From == r.To {
		return strconv.Itoa(r.From)
	}
	return fmt.Sprintf("%d-%d", r.From, r.To)
}

// DayRange is closed at both ends; a zero end is open.
type DayRange struct{ From, To Day }

// String is the range as a catalogue writes it, an open end left out: 2016-03-01..
func (r DayRange) String() string {
	end := func(d Day) string {
		if d == 0 {
			return ""
		}
		return d.String()
	}
	return end(r.From) + ".." + end(r.To)
}

// Catalogue is all weak parts; it never changes once made.
type Catalogue struct {
	Parts  []WeakPart
	Digest string // SHA-256 of the files it was read from
}

// KnownBy is the catalogue as it could be known on a day: an entry that was not
// known yet has no say, and neither have its words in how others are read.
// Later lists the entries left out. The catalogue itself comes back where there
// are none.
func (c *Catalogue) KnownBy(day Day) (known *Catalogue, later []*WeakPart) {
	known = &Catalogue{Digest: c.Digest}
	for i := range c.Parts {
		if c.Parts[i].KnownSince <= day {
			known.Parts = append(known.Parts, c.Parts[i])
		} else {
			later = append(later, &c.Parts[i])
		}
	}
	if len(later) == 0 {
		return c, nil
	}
	return known, later
}

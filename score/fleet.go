package score

import (
	"pitlist/score/dtc"
	"pitlist/score/odometer"
	"pitlist/score/phrase"
	"pitlist/score/vin"
)

// Day counts days since 1970-01-01; the zero value means "not stated" (no
// fact of a vehicle is dated that day).
type Day = odometer.Day

// Stated is a number that a file may or may not give.
type Stated struct {
	Value float64
	Known bool
}

// Is makes a stated number.
func Is(v float64) Stated { return Stated{Value: v, Known: true} }

// Fleet is all that was read: vehicles with their facts, joined, and an
// account of every row.
type Fleet struct {
	Vehicles []Vehicle // ordered by unit, then VIN
	Sources  []Source  // what Ref.Source points to, less one
	Counts   []Counts  // one for each sheet read, in reading order
	Issues   []Issue
	VINs     []VINRow // one for each VIN read

	// Answers are of rows of lists that came back: which part of which list each
	// answers. Facts that answer one part are versions of each other. Of those
	// that are Disputed the copies of today contradict each other.
	Answers  map[Ref]string
	Disputed []string
}

// VINRow is what was found of one VIN as written in a vehicle row. There is
// one for each vehicle, so that of a good one it holds no more than is told.
type VINRow struct {
	Unit      string
	Raw       string  // as read
	VIN       vin.VIN // "" where it is set aside
	Country   string  // where its WMI was issued; "" unknown
	ModelYear int32   // by position 10; 0 where it tells nothing
	Twice     bool    // the same VIN stands on another unit
	Partial   bool    // a vin_prefix: 10 or 11 characters, no judgement of the whole
	Ref       Ref
	Odd       *vin.Report // the whole judgement; nil where it is good
}

// NewVINRow keeps of a judgement what a row tells of it.
func NewVINRow(unit string, r *vin.Report, ref Ref) VINRow {
	row := VINRow{Unit: unit, Raw: r.Raw, VIN: r.VIN, Country: r.Country, ModelYear: int32(r.ModelYear), Ref: ref}
	if !r.Has(vin.Good) {
		row.Odd = r
	}
	return row
}

// Vehicle is one vehicle with every fact that the sheets hold of it.
type Vehicle struct {
	Unit         string // as the fleet writes it; "" where only a VIN is given
	VIN          vin.VIN
	VINPrefix    string // first 10 or 11 characters where that is all there is
	Registration string
	Depot        string
	Make, Model  string

	EngineFamily, EngineSerial string
	Status                     Status
	ModelYear, VINYear         int // stated, and by position 10 of the VIN; 0 not stated, or nothing sure
	BuildDate, InService       Day
	NextService                Day
	YearConflict               bool       // the two years contradict each other
	MakeFirst                  bool       // Model begins with the make: they share a column
	NotRunning                 bool       // stated that it does not run
	use                        *UseFacts  // nil where nothing of it is stated
	desk                       *DeskFacts // likewise

	Readings    []Reading // odometer, in km
	Hours       []Reading // engine hours; KM holds hours
	Scans       []Scan
	Repairs     []Repair
	Inspections []Inspection
	Remarks     []Remark
	Ref         Ref // the row that brought the vehicle
}

// Use is what few sheets say of the vehicle.
func (v *Vehicle) Use() UseFacts {
	if v.use == nil {
		return UseFacts{}
	}
	return *v.use
}

// SetUse gives a vehicle what few sheets say.
func (v *Vehicle) SetUse(u UseFacts) {
	v.use = nil
	if u != (UseFacts{}) {
		v.use = &u
	}
}

// UseFacts are columns that few sheets have: how much the vehicle is used, from where
// its records are complete, and when it goes.
type UseFacts struct {
	KMPerWeek, HoursPerWeek         Stated // taken as given
	HistoryFromKM, HistoryFromHours Stated
	DisposalDate                    Day
	DisposalKM                      Stated
}

// Desk is what the columns of the buying desks say of the vehicle.
func (v *Vehicle) Desk() DeskFacts {
	if v.desk == nil {
		return DeskFacts{}
	}
	return *v.desk
}

// SetDesk gives a vehicle what those columns say.
func (v *Vehicle) SetDesk(d DeskFacts) {
	v.desk = nil
	if d != (DeskFacts{}) {
		v.desk = &d
	}
}

// DeskFacts are the columns that only the buying desks read.
type DeskFacts struct {
	Lot, Lane, SaleOrder string // at an auction: number, where it stands, when its turn comes
	GuidePrice, Price    Stated
	WarrantyKM           Stated
	WarrantyMonths       Stated
	CannotOpen, CanStand bool
}

// Status is the vehicle's own: whether it is in use, sold or off the road.
type Status string

// The statuses; the zero value is taken as in use.
const (
	InUse   Status = "in use"
	Sold    Status = "sold"
	OffRoad Status = "off road"
)

// Reading is one dated odometer reading (km) or engine-hour reading (h).
type Reading struct {
	Day Day
	// Undated: the row gave no day; Day is its sheet's latest, else the run's.
	Undated bool
	KM      float64
	Unit    string // as stated: "km", "mi", "h"; "" where nothing states it
	Source  string // one of odometer's sources, or a name of the fleet's own
	Ref     Ref
}

// Scan is one reading of the fault memory: codes, or nothing found.
type Scan struct {
	Day        Day
	Undated    bool // the row gave no day; Day is its sheet's latest, else the run's
	KM         Stated
	Codes      []dtc.Reading
	SinceClear Stated // km since codes were last erased
	WarmUps    Stated
	Incomplete Stated // number of monitors not complete
	MIL        string // "on", "off", "" not stated
	Ref        Ref
}

// Repair is one line of workshop text.
type Repair struct {
	Day     Day
	Undated bool // as Scan.Undated
	KM      Stated
	Text    string
	Status  phrase.Intent // of a status column; "" where there is none
	PartNo  string
	Cost    Stated
	Ref     Ref
}

// Result is what an inspection of a part found.
type Result string

// The results, as inspection sheets and returned lists write them.
const (
	FoundSound  Result = "sound"
	FoundWorn   Result = "worn"
	NotOpened   Result = "not opened"
	FoundFailed Result = "failed"
)

// Inspection is one look at one part.
type Inspection struct {
	Day      Day
	KM       Stated
	Part     string // catalogue id or name, as written
	Position string
	Result   Result
	By       string
	Measures []Measure
	Undated  bool
	Ref      Ref
}

// Measure is a measured value of a part, in the unit of its catalogue entry.
type Measure struct {
	Name  string
	Value float64
}

// Remark is free text: on a vehicle sheet, dated by the sheet, or beside the work
// of a repair (a complaint), dated by its row.
type Remark struct {
	Day   Day
	Dated bool // the row gave the day; else it is its sheet's latest, or the run's
	Text  string
	Ref   Ref
}

// Name is the shortest sure way to speak of the vehicle: its unit, else its
// VIN, else its registration, else the VIN's first characters.
func (v *Vehicle) Name() string {
	switch {
	case v.Unit != "":
		return v.Unit
	case v.VIN != "":
		return string(v.VIN)
	case v.Registration != "":
		return v.Registration
	}
	return v.VINPrefix
}

// At returns the vehicle as it was known at the end of day d: facts dated
// later are gone. It is the only place where later facts are cut off, so that
// a backtest cannot see the future by accident. Rows that gave no day of
// their own are left out when strict is set (a backtest).
func (v *Vehicle) At(d Day, strict bool) Vehicle {
	known := func(day Day, undated bool) bool { return day <= d && !(strict && undated) }
	out := *v
	out.Readings = keep(v.Readings, func(r *Reading) bool { return known(r.Day, false) })
	out.Hours = keep(v.Hours, func(r *Reading) bool { return known(r.Day, false) })
	out.Scans = keep(v.Scans, func(s *Scan) bool { return known(s.Day, s.Undated) })
	out.Repairs = keep(v.Repairs, func(r *Repair) bool { return known(r.Day, r.Undated) })
	out.Inspections = keep(v.Inspections, func(i *Inspection) bool { return known(i.Day, i.Undated) })
	out.Remarks = keep(v.Remarks, func(r *Remark) bool { return known(r.Day, false) })
	return out
}

// keep returns the items that hold; the slice itself where all do, so that a
// run for today copies nothing.
func keep[T any](items []T, holds func(*T) bool) []T {
	for i := range items {
		if holds(&items[i]) {
			continue
		}
		out := append([]T(nil), items[:i]...)
		for j := i + 1; j < len(items); j++ {
			if holds(&items[j]) {
				out = append(out, items[j])
			}
		}
		return out
	}
	return items
}

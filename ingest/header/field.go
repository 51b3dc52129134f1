package header

import (
	"slices"
)

// Field is the canonical name of a column.
type Field string

// The fields. Distances are in km unless the heading or the sheet says miles.
const (
	Ignore           Field = ""
	Unit             Field = "unit"
	VIN              Field = "vin"
	Registration     Field = "registration"
	VINPrefix        Field = "vin_prefix"
	Depot            Field = "depot"
	Make             Field = "make"
	Model            Field = "model"
	ModelYear        Field = "model_year"
	EngineFamily     Field = "engine_family"
	EngineSerial     Field = "engine_serial"
	BuildDate        Field = "build_date"
	InServiceDate    Field = "in_service_date"
	Odometer         Field = "odometer"
	OdometerUnit     Field = "odometer_unit"
	OdometerDate     Field = "odometer_date"
	OdometerStatus   Field = "odometer_status" // whether the reading is the true distance
	EngineHours      Field = "engine_hours"
	OdometerByMonth  Field = "odometer_by_month" // one column a month or day, which its heading names
	KmPerWeek        Field = "km_per_week"
	HoursPerWeek     Field = "hours_per_week"
	HistoryFromKm    Field = "history_from_km"
	HistoryFromHours Field = "history_from_hours"
	NextService      Field = "next_service"
	DisposalDate     Field = "disposal_date"
	DisposalKm       Field = "disposal_km"
	Status           Field = "status" // of a vehicle or of a repair
	Runs             Field = "runs"
	Remarks          Field = "remarks"
	Codes            Field = "codes"
	KmSinceClear     Field = "km_since_clear"
	Lot              Field = "lot"
	Lane             Field = "lane" // of an auction's yard
	SaleOrder        Field = "sale_order"
	GuidePrice       Field = "guide_price"
	Price            Field = "price"
	WarrantyKm       Field = "warranty_km"
	WarrantyMonths   Field = "warranty_months"
	CanOpen          Field = "can_open"
	Date             Field = "date"
	State            Field = "state" // of a code
	WarmupsSince     Field = "warmups_since_clear"
	Monitors         Field = "monitors_incomplete"
	MIL              Field = "mil"
	Text             Field = "text"
	PartNo           Field = "part_no"
	Cost             Field = "cost"
	Closed           Field = "closed"      // the day on which work was done; blank: it is not
	Recommended      Field = "recommended" // work that was advised, and not done
	Quantity         Field = "quantity"    // of an invoice's line: at 0 or less nothing was done
	Part             Field = "part"
	Position         Field = "position"
	FindingField     Field = "finding"
	By               Field = "by"
	Source           Field = "source"
	MetricField      Field = "metric"  // what the odometer's column holds on this row, where it holds several things
	Measured         Field = "measure" // one of Options.Measures; Column.Measure names it
)

// Kind is what a sheet holds.
type Kind string

// The kinds.
const (
	Vehicles    Kind = "vehicles"
	CodesSheet  Kind = "codes"
	Repairs     Kind = "repairs"
	Inspections Kind = "inspections"
	Readings    Kind = "readings"
)

// kindOrder lists the kinds as they are always listed.
var kindOrder = []Kind{Vehicles, CodesSheet, Repairs, Inspections, Readings}

// identifiers are the fields that say which vehicle a row speaks of. A VIN cut short is the weakest of them.
var identifiers = []Field{VIN, Unit, Registration, VINPrefix}

// columnsOf gives the fields that a kind of sheet may hold, besides the identifiers.
var columnsOf = map[Kind][]Field{
	Vehicles: {Depot, Make, Model, ModelYear, EngineFamily, EngineSerial, BuildDate, InServiceDate, Odometer, OdometerUnit, OdometerDate, OdometerStatus, OdometerByMonth, MetricField, EngineHours,
		KmPerWeek, HoursPerWeek, HistoryFromKm, HistoryFromHours, NextService, DisposalDate, DisposalKm, Status, Runs, Remarks, Recommended, Codes, KmSinceClear,
		Lot, Lane, SaleOrder, GuidePrice, Price, WarrantyKm, WarrantyMonths, CanOpen},
	CodesSheet:  {Codes, Date, Odometer, OdometerUnit, State, KmSinceClear, WarmupsSince, Monitors, MIL},
	Repairs:     {Text, Date, Closed, Odometer, OdometerUnit, Status, PartNo, Cost, Remarks, Recommended, Quantity},
	Inspections: {Part, Position, FindingField, Date, Odometer, OdometerUnit, By, Measured},
	Readings:    {Odometer, OdometerUnit, OdometerStatus, OdometerByMonth, MetricField, Date, EngineHours, Source},
}

// described are the facts about a vehicle that an event sheet may carry along (make and model beside each repair).
var described = []Field{Depot, Make, Model, ModelYear, EngineFamily, EngineSerial, BuildDate, InServiceDate}

// ownFields are the fields that only a list of vehicles has. A sheet with one of them holds vehicles, whatever else it holds.
var ownFields = []Field{EngineFamily, EngineSerial, BuildDate, InServiceDate, KmPerWeek, HoursPerWeek, HistoryFromKm, HistoryFromHours, NextService,
	DisposalDate, DisposalKm, Runs, Lot, Lane, SaleOrder, GuidePrice, Price, WarrantyKm, WarrantyMonths, CanOpen}

// Fields lists all canonical names, identifiers first, without Ignore.
func Fields() []Field {
	all := slices.Clone(identifiers)
	for _, k := range kindOrder {
		for _, f := range columnsOf[k] {
			if !slices.Contains(all, f) {
				all = append(all, f)
			}
		}
	}
	return all
}

// Identifies reports a field that says which vehicle a row speaks of.
func Identifies(f Field) bool { return slices.Contains(identifiers, f) }

// In reports whether a kind of sheet has the field.
func (f Field) In(k Kind) bool {
	return slices.Contains(identifiers, f) || slices.Contains(columnsOf[k], f)
}

// Several reports whether more than one column may hold the field: "Code 1", "Code 2", two columns of remarks.
func (f Field) Several() bool {
	return f == Codes || f == Remarks || f == Recommended || f == Measured || f == OdometerByMonth
}

// Valid reports whether the name is a canonical one.
func (f Field) Valid() bool {
	if f == Measured || Identifies(f) {
		return true
	}
	for _, columns := range columnsOf {
		if slices.Contains(columns, f) {
			return true
		}
	}
	return false
}

// Valid reports whether the name is one of a kind of sheet.
func (k Kind) Valid() bool { return slices.Contains(kindOrder, k) }

// fixedKm are the distances whose canonical name states the unit.
var fixedKm = []Field{HistoryFromKm, DisposalKm, KmSinceClear, WarrantyKm, KmPerWeek}

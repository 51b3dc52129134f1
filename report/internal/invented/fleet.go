package invented

import (
	"fmt"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// Today is the day of the run, 2026-11-23.
const Today score.Day = 20780

// Size is the number of vehicles of the fleet.
const Size = 30

var (
	depots = []string{"North", "Harbour", "Island"}
	models = []string{"Kestrel", "Heron", "Teal"}
)

// Fleet makes the vehicles with their account of rows.
func Fleet() *score.Fleet {
	f := &score.Fleet{Sources: []score.Source{{File: "intake/units.xlsx", Sheet: "Units"}, {File: "intake/codes.csv"}}}
	for i := range Size {
		f.Vehicles = append(f.Vehicles, vehicle(i))
	}
	f.Vehicles[3].Unit = "=1+1" // a unit that a spreadsheet would calculate
	f.Vehicles[4].Unit = ""     // known by its VIN only
	f.Vehicles[5].Depot = "@Harbour"
	f.Counts = []score.Counts{
		{Source: f.Sources[0], Read: 36, Used: 30, SetAside: 2, Rejected: 1, Merged: 1, Blank: 2, Hidden: 1},
		{Source: f.Sources[1], Read: 120, Used: 112, SetAside: 4, Rejected: 3, Merged: 1},
	}
	f.Issues = []score.Issue{
		{Ref: score.Ref{Source: 1, Row: 14}, Column: "km", Value: "12O,400", Severity: score.Rejected, Reason: say.Plain("“12O,400” is no number: it holds the letter O."), Suggestion: say.Plain("Write 120,400 if that is meant.")},
		{Ref: score.Ref{Source: 2, Row: 7}, Column: "codes", Value: "-P0087", Severity: score.SetAside, Reason: say.Plain("Unit H-999 stands on no vehicle sheet."), Suggestion: say.Plain("Add the unit or mend its name.")},
		{Ref: score.Ref{Source: 2, Row: 9}, Column: "date", Value: "\t=2+5", Severity: score.Noted, Reason: say.Plain("The day was taken from the sheet.")},
	}
	f.VINs = vins(f)
	return f
}

func vehicle(i int) score.Vehicle {
	return score.Vehicle{
		Unit: fmt.Sprintf("H-%03d", i+1), VIN: vin.VIN(fmt.Sprintf("Z9KHA1234G0%06d", 110000+i*37)), Registration: fmt.Sprintf("NF %d", 20480+i*7),
		Depot: depots[i%len(depots)], Make: "Northfold", Model: models[i%len(models)], ModelYear: 2015 + i%4,
		EngineSerial: fmt.Sprintf("KD%07d", 4112345+i*911), Ref: score.Ref{Source: 1, Row: int32(i + 2)},
		Readings: []score.Reading{{Day: Today - 40, KM: km(i) - 2400}, {Day: Today - 4, KM: km(i) - 200}},
	}
}

func km(i int) float64 { return 171412 - float64(i)*4731.5 }

func vins(f *score.Fleet) []score.VINRow {
	var rows []score.VINRow
	for i := range f.Vehicles {
		v := &f.Vehicles[i]
		rows = append(rows, score.VINRow{Unit: v.Unit, Raw: string(v.VIN), VIN: v.VIN, ModelYear: 2016, Ref: v.Ref})
	}
	odd := vin.Report{Raw: "Z9KHA1234GO110259", Findings: []vin.Finding{vin.Characters}, SetAside: true,
		Reason:      say.Plain("It holds the letter O, which no VIN has."),
		Suggestions: []vin.Suggestion{{VIN: "Z9KHA1234G0110259", Why: say.Plain("O for 0")}}}
	rows[7] = score.NewVINRow(rows[7].Unit, &odd, rows[7].Ref)
	rows[9].Twice = true
	return rows
}

func code(s string) dtc.Code {
	c, err := dtc.Parse(s)
	if err != nil {
		panic(err) // the tests' own constants
	}
	return c
}

// estimate is an odometer today with its basis.
func estimate(i int) odometer.Brief {
	e := odometer.Assess([]odometer.Reading{{Day: Today - 74, KM: km(i) - 4440}, {Day: Today - 4, KM: km(i) - 240}}, Today, odometer.Usage{}, odometer.Limits{}).Brief
	e.KM, e.PerWeek = km(i), 420
	switch i {
	case 6:
		e.Finding, e.Detail = odometer.SuspectedRollback, say.Plain("151,020 km on 2026-08-02, then 142,300 km on 2026-09-14 and rising since. It may have been turned back or replaced; ask who had it between the two days.")
	case 11:
		e.Finding, e.Detail = odometer.UnitMixUp, say.Plain("119,300 km on 2026-10-14 against 74,150 on 2026-11-19: a ratio of 1.609, as between km and miles.")
	case 29:
		e = odometer.Brief{Finding: odometer.None}
	}
	return e
}

func codes(texts ...string) []dtc.Code {
	var out []dtc.Code
	for _, s := range texts {
		out = append(out, code(s))
	}
	return out
}

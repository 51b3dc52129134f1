package ingest

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/header"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
)

// unitsSheet is a list of two vehicles for the sheets of events.
var unitsSheet = sheetOf("Units", row("Unit", "VIN", "Model"), row("U1", vinA, "Heron"), row("U2", vinB, "Teal"))

// written lists codes with their states as they read.
func written(codes []dtc.Reading) []string {
	var out []string
	for _, c := range codes {
		s := c.Code.String()
		if c.State != "" {
			s += " " + string(c.State)
		}
		out = append(out, s)
	}
	return out
}

// TestCodesOfRow: what a row of codes says, and what becomes of the row.
func TestCodesOfRow(t *testing.T) {
	head := row("Unit", "Date", "Codes", "State", "Odometer")
	cases := []struct {
		rule  string
		head  []any
		cells []any // after unit and date
		want  []string
		scans int
		class string
	}{
		{"one code", head, row("P0087", nil, nil), []string{"P0087"}, 1, "1 used"},
		{"many codes in a cell", head, row("P0087, P0191; U0100", nil, nil), []string{"P0087", "P0191", "U0100"}, 1, "1 used"},
		{"state of the row", head, row("P0087 P0191", "pending", nil), []string{"P0087 pending", "P0191 pending"}, 1, "1 used"},
		{"state in the cell beats the row's", head, row("P0087 (permanent), P0191", "stored", nil), []string{"P0087 permanent", "P0191 stored"}, 1, "1 used"},
		{"no codes: scanned, nothing found", head, row("no codes", nil, nil), nil, 1, "1 used"},
		{"none: scanned, nothing found", head, row("none", nil, nil), nil, 1, "1 used"},
		{"empty: not scanned, set aside", head, row(nil, nil, nil), nil, 0, "0 used + 1 set aside"},
		{"dash: not scanned, set aside", head, row("-", nil, nil), nil, 0, "0 used + 1 set aside"},
		{"n/a: not scanned, but its odometer is used", head, row("n/a", nil, 80000), nil, 0, "1 used"},
		{"an error value is no code", head, row("#N/A", nil, nil), nil, 0, "0 used + 1 set aside"},
		{"what is no code is rejected", head, row("P0O8", nil, nil), nil, 0, "0 used + 0 set aside + 1 rejected"},
		{"several columns of codes", row("Unit", "Date", "Code 1", "Code 2", "Code 3"), row("P0087", "P0191", "P0087"), []string{"P0087", "P0191"}, 1, "1 used"},
		{"J1939 in its column", row("Unit", "Date", "SPN/FMI", "State", "Odometer"), row("636/2", nil, nil), []string{"SPN 636 FMI 2"}, 1, "1 used"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			r := read(t, workbook(t, nil, unitsSheet, sheetOf("Scans", c.head, append(row("U1", "2026-03-02"), c.cells...), append(row("U2", "2026-03-02"), "P0420"))))
			v := r.vehicle("U1")
			require.Len(t, v.Scans, c.scans, "%v", r.issues("Scans"))
			if c.scans > 0 {
				assert.Equal(t, c.want, written(v.Scans[0].Codes))
				assert.Equal(t, score.Ref{Source: 2, Row: 2}, v.Scans[0].Ref)
			}
			other := "2 used" // U2's and this one
			if c.class != "1 used" {
				other = "1" + c.class[1:]
			}
			assert.Contains(t, r.counts("Scans"), "= "+other)
		})
	}
}

// TestScanColumns: all that stands beside the codes.
func TestScanColumns(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Scans", row("Unit", "Date", "Codes", "Odometer", "km_since_clear", "warmups_since_clear", "monitors_incomplete", "mil"),
		row("U1", "2026-03-02", "P0087", 80000, 120, 4, 2, "on"), row("U2", "2026-03-02", "P0087", 80000, "n/a", nil, nil, "nein"))))
	s := r.vehicle("U1").Scans[0]
	assert.Equal(t, []score.Stated{score.Is(80000), score.Is(120), score.Is(4), score.Is(2)}, []score.Stated{s.KM, s.SinceClear, s.WarmUps, s.Incomplete})
	assert.Equal(t, "on", s.MIL)
	s = r.vehicle("U2").Scans[0]
	assert.Equal(t, "off", s.MIL)
	assert.False(t, s.SinceClear.Known)
}

// TestUnknownStateIsSaid: stored is taken, and said.
func TestUnknownStateIsSaid(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Scans", row("Unit", "Date", "Codes", "Code state"), row("U1", "2026-03-02", "P0087", "stored"), row("U1", "2026-03-02", "P0191", "pending"),
		row("U2", "2026-03-02", "P0087", "purple"))))
	assert.Equal(t, []string{"P0087 stored"}, written(r.vehicle("U1").Scans[0].Codes))
	assert.Equal(t, []string{"P0191 pending"}, written(r.vehicle("U1").Scans[1].Codes))
	assert.Equal(t, []string{"P0087 stored"}, written(r.vehicle("U2").Scans[0].Codes))
	assert.Equal(t, score.Noted, r.issue("Scans", 4, "stored is taken").Severity)
	assert.Zero(t, r.column("Scans", "Code state").Refused, "it is used")
}

// TestCodesOnVehicleSheet: a list of vehicles may carry codes and all that
// belongs to them; the row stays used where its codes cannot be read.
func TestCodesOnVehicleSheet(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Make", "Model", "Odometer", "Odometer date", "Codes", "km_since_clear"),
		row("U1", vinA, "Northfold", "Heron", 80000, "2026-10-01", "P0087", 35), row("U2", vinB, "Northfold", "Heron", 81000, "2026-10-02", "none", nil),
		row("U3", vinC, "Northfold", "Heron", 82000, "2026-10-02", "P0O8", nil), row("U4", nil, "Northfold", "Teal", 82000, "2026-10-02", nil, nil))))
	assert.Equal(t, []header.Kind{header.Vehicles, header.CodesSheet}, r.sheet("Units").Layout.Holds)
	s := r.vehicle("U1").Scans[0]
	assert.Equal(t, []string{"P0087"}, written(s.Codes))
	assert.Equal(t, score.Is(35), s.SinceClear)
	assert.Equal(t, day(2026, 10, 1), s.Day)
	assert.Len(t, r.vehicle("U2").Scans, 1)
	assert.Empty(t, r.vehicle("U3").Scans)
	assert.Equal(t, score.Noted, r.issue("Units", 4, "").Severity)
	assert.Equal(t, "5 = 4 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Units"))
}

// TestSeveralKindsInOneSheet: the facts of a row belong to the row's own
// vehicle, whatever else bears its names.
func TestSeveralKindsInOneSheet(t *testing.T) {
	in := Input{Path: workbook(t, nil, sheetOf("All", row("Unit", "VIN", "Model", "Date", "Work", "Status", "Odometer", "Codes"),
		row("U1", vinA, "Heron", "2026-10-01", "rail pressure sensor replaced", "done", "80,000 km", "P0087"),
		row("U2", vinA, "Heron", "2026-10-02", "oil service", "declined", "51,000 mi", "none"),
		row("U3", vinB, "Heron", "03/04/2026", "tyres", "off road", 82000, nil))),
		Sheets: []Told{{Name: "All", Holds: []header.Kind{header.Vehicles, header.CodesSheet, header.Repairs}}}}
	r := readWith(t, []Input{in}, Options{})
	one, two, three := r.vehicle("U1"), r.vehicle("U2"), r.vehicle("U3")
	require.Len(t, one.Repairs, 1)
	assert.Equal(t, phrase.Done, one.Repairs[0].Status)
	assert.Len(t, one.Scans, 1)
	assert.Len(t, one.Readings, 1)
	require.Len(t, two.Repairs, 1, "its VIN stands on U1 too, but the row is its own")
	assert.Equal(t, phrase.Declined, two.Repairs[0].Status)
	assert.Equal(t, score.OffRoad, three.Status, "the word is the vehicle's")
	assert.Empty(t, three.Repairs, "its date reads both ways")
	i := r.issue("All", 4, "cannot be told")
	assert.Equal(t, score.SetAside, i.Severity, "the row is used, its date is not")
	assert.Equal(t, "4 = 3 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("All"))
	assert.Contains(t, r.notes("All"), "in km on 1 row and in miles on 1", "each row once, whoever reads its odometer")
}

// TestGraverOfTwoComplaints: where one fact of a row is set aside for a cell
// and another rejected for it, one issue tells of it, and it is the graver.
func TestGraverOfTwoComplaints(t *testing.T) {
	in := Input{Path: workbook(t, nil, sheetOf("All", row("Unit", "VIN", "Model", "Date", "Work", "Odometer"), row("U1", vinA, "Heron", "2026-10-01", "tyres", 80000),
		row("U1", vinB, "Heron", "2026-10-01", "wipers", 81000), row("U1", nil, "Heron", "soon", "oil service", 82000))),
		Sheets: []Told{{Name: "All", Holds: []header.Kind{header.Vehicles, header.Repairs}}}}
	r := readWith(t, []Input{in}, Options{})
	assert.Equal(t, score.Rejected, r.issue("All", 4, "no date").Severity)
	assert.Equal(t, "4 = 2 used + 0 set aside + 1 rejected + 0 merged + 1 blank", r.counts("All"))
}

// TestRepairs: the columns of a repair, and rows without a text.
func TestRepairs(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Repairs", row("Unit", "Date", "Work", "Odometer", "Status", "part_no", "cost"),
		row("U1", "2026-03-02", "rail pressure sensor replaced", "80,000 km", "erledigt", "KD-1180-B", "€ 1.180,50"),
		row("U1", "2026-03-02", "rail pressure sensor replaced", "80,000 km", "erledigt", "KD-1180-B", "€ 1.180,50"),
		row("U1", "2026-04-02", nil, 81000, nil, nil, nil), row("U1", "2026-04-02", nil, nil, nil, nil, nil),
		row("U2", "2026-04-02", "wipers", nil, "job sheet 4", nil, nil), row("U2", "2026-04-03", "tyres", nil, "abgelehnt", nil, nil))))
	v := r.vehicle("U1")
	require.Len(t, v.Repairs, 1)
	assert.Equal(t, score.Repair{Day: day(2026, 3, 2), KM: score.Is(80000), Text: "rail pressure sensor replaced", Status: phrase.Done, PartNo: "KD-1180-B", Cost: score.Is(1180.5),
		Ref: score.Ref{Source: 2, Row: 2}}, v.Repairs[0])
	require.Len(t, v.Readings, 1, "a row without a text still says how far the vehicle had come")
	assert.Equal(t, 81000.0, v.Readings[0].KM)
	assert.Equal(t, score.SetAside, r.issue("Repairs", 5, "no text").Severity)
	assert.Equal(t, score.Noted, r.issue("Repairs", 6, "status of a repair").Severity)
	assert.Equal(t, phrase.Declined, r.vehicle("U2").Repairs[1].Status)
	assert.Equal(t, "7 = 4 used + 1 set aside + 0 rejected + 1 merged + 1 blank", r.counts("Repairs"))
}

// TestInspections: by part name, with the measures that the catalogue knows.
func TestInspections(t *testing.T) {
	in := Input{Path: workbook(t, nil, unitsSheet, sheetOf("Findings", row("Unit", "Part", "Position", "Finding", "Date", "Odometer", "By", "tappet_mm"),
		row("U1", "High-pressure pump follower", "left", "worn", "2026-03-02", 80000, "J. Dahl", "0,32"), row("U2", "pump-follower", nil, "i.O.", "2026-03-03", nil, nil, nil),
		row("U2", "pump-follower", nil, "perhaps", "2026-03-03", nil, nil, nil), row("U2", "pump-follower", nil, nil, "2026-03-03", nil, nil, nil)))}
	r := readWith(t, []Input{in}, Options{Measures: []string{"tappet_mm"}})
	require.Len(t, r.vehicle("U1").Inspections, 1)
	assert.Equal(t, score.Inspection{Day: day(2026, 3, 2), KM: score.Is(80000), Part: "High-pressure pump follower", Position: "left", Result: score.FoundWorn, By: "J. Dahl",
		Measures: []score.Measure{{Name: "tappet_mm", Value: 0.32}}, Ref: score.Ref{Source: 2, Row: 2}}, r.vehicle("U1").Inspections[0])
	assert.Equal(t, score.FoundSound, r.vehicle("U2").Inspections[0].Result)
	assert.Equal(t, "5 = 2 used + 1 set aside + 1 rejected + 0 merged + 1 blank", r.counts("Findings"))
}

// TestReadingSheet: dated readings of distance and hours.
func TestReadingSheet(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Fuel", row("Unit", "Date", "Odometer", "Engine hours", "Source"), row("U1", "2026-03-02", 80000, 1200, "pump"),
		row("U1", "2026-03-02", 80000, 1200, "pump"), row("U1", nil, 81000, nil, "pump"), row("U1", "2026-04-02", "all of it", nil, nil), row("U1", "2026-05-02", nil, nil, nil),
		row("U1", "2026-06-02", "many", 1300, nil))))
	v := r.vehicle("U1")
	require.Len(t, v.Readings, 1)
	assert.Equal(t, score.Reading{Day: day(2026, 3, 2), KM: 80000, Source: "pump", Ref: score.Ref{Source: 2, Row: 2}}, v.Readings[0])
	assert.Len(t, v.Hours, 2)
	assert.Equal(t, score.SetAside, r.issue("Fuel", 7, "").Severity, "the row is used for its hours")
	assert.Equal(t, "7 = 2 used + 1 set aside + 2 rejected + 1 merged + 1 blank", r.counts("Fuel"))
}

// TestDeskColumns: what the buying desks read of a vehicle.
func TestDeskColumns(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Lots", row("Lot", "VIN", "Model", "guide_price", "warranty_km", "can_open", "Runs", "history_from_km"),
		row("14", vinA, "Heron", "8.500 €", 100000, "no", "yes", 0), row("15", vinB, "Heron", "9.500,50 €", nil, "yes", "no", nil))))
	v := r.vehicle(vinA)
	assert.Equal(t, score.DeskFacts{Lot: "14", GuidePrice: score.Is(8500), WarrantyKM: score.Is(100000), CannotOpen: true}, v.Desk())
	assert.Equal(t, score.Is(0), v.Use().HistoryFromKM)
	assert.True(t, r.vehicle(vinB).NotRunning)
	assert.Equal(t, score.Is(9500.5), r.vehicle(vinB).Desk().GuidePrice)
}

// TestLotNamesAVehicle: a sale's list often gives nothing but the lot, and a
// faulty VIN leaves it to that.
func TestLotNamesAVehicle(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Lots", row("Lot", "VIN", "Make", "Model", "Model year", "Odometer km"),
		row("14", vinA, "Z", "Heron", 2017, 120000), row("15", nil, "Z", "Heron", 2018, 90000), row("16", "Z9KHA11B5", "Z", "Heron", 2018, 91000), row(nil, nil, "Z", "Heron", 2018, 92000))))
	assert.Len(t, r.Fleet.Vehicles, 3)
	assert.Equal(t, "15", r.vehicle("15").Desk().Lot)
	assert.Equal(t, "16", r.vehicle("16").Desk().Lot)
	assert.Empty(t, r.vehicle(vinA).Unit, "a lot that has a VIN is named by it")
	assert.Contains(t, r.issue("Lots", 5, "").Reason.String(), "names no vehicle")
}

// TestPricesOfVehicles: no vehicle's price has three decimals, so that one mark
// before three digits parts thousands, whichever mark it is. A repair's may.
func TestPricesOfVehicles(t *testing.T) {
	r := read(t, textFile(t, "lots.csv", "Lot;VIN;Model;Guide £;Price", "1;"+vinA+";Heron;4,150;3.900", "2;"+vinB+";Heron;5,000;4.750,50"))
	d, e := r.vehicle(vinA).Desk(), r.vehicle(vinB).Desk()
	assert.Equal(t, [4]float64{4150, 3900, 5000, 4750.5}, [4]float64{d.GuidePrice.Value, d.Price.Value, e.GuidePrice.Value, e.Price.Value})

	r = read(t, textFile(t, "repairs.csv", "VIN;Model;Date;Odometer;Text;Cost", vinA+";Heron;2026-03-02;80000;oil service;1,250"))
	assert.Equal(t, score.Stated{}, r.vehicle(vinA).Repairs[0].Cost, "it may be 1.25 or 1250: asked for, not guessed")
}

// TestListOfLotsAlone: a sale's list that names its vehicles by nothing but the lot, what kind each is
// beside it.
func TestListOfLotsAlone(t *testing.T) {
	r := read(t, textFile(t, "lots.csv", "Lot;Vehicle;Odometer km", "301;2017 Northfold Heron 2.0;120000", "302;2018 Northfold Heron 2.0;90000", "303;2017 Northfold Heron 2.0;70000"))
	assert.Len(t, r.Fleet.Vehicles, 3)
	assert.Equal(t, "2018 Northfold Heron 2.0", r.vehicle("302").Model)
	assert.Equal(t, "4 = 3 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts(""))
}

// TestComplaintBesideTheWork: what the driver said is a remark of the day on which the vehicle was in.
func TestComplaintBesideTheWork(t *testing.T) {
	got := read(t, textFile(t, "units.csv", "Unit,Odometer", "U1,221000", "U2,90000", "U3,5000"), textFile(t, "orders.csv",
		"Unit,Date,km,Complaint,Work done,Status",
		"U1,2026-10-01,220000,knocks when hot,oil changed,done",
		"U1,2026-10-09,220400,rail pressure low,,",
		"U2,,81000,squeals,pads fitted,done",
		"U3,,,squeals,,",
	))
	v := got.vehicle("U1")
	require.Len(t, v.Remarks, 2)
	assert.Equal(t, "knocks when hot", v.Remarks[0].Text)
	assert.Equal(t, day(2026, 10, 1), v.Remarks[0].Day)
	require.Len(t, v.Repairs, 1)
	assert.Equal(t, "oil changed", v.Repairs[0].Text)
	assert.Equal(t, v.Repairs[0].Ref, v.Remarks[0].Ref)
	assert.Equal(t, "rail pressure low", v.Remarks[1].Text, "nothing was done, but something was said")

	v = got.vehicle("U2")
	assert.Empty(t, v.Remarks)
	assert.Equal(t, "squeals\npads fitted", v.Repairs[0].Text, "without a day both are placed by the odometer")
	account := got.Fleet.Counts[1]
	assert.Equal(t, []int{3, 1}, []int{account.Used, account.SetAside}, "%+v", account)
}

// TestCodesAmongWordsAreTold: a code that a text names was read, erased or searched for in vain; it counts for none of
// these, and that is said once a sheet, with the first row, each row once.
func TestCodesAmongWordsAreTold(t *testing.T) {
	r := read(t, textFile(t, "units.csv", "Unit;Model;Remarks;Codes", "1;Heron;P0087 stored;P0087", "2;Heron;P0191 twice;none"),
		textFile(t, "work.csv", "Unit;Date;Complaint;Work", "1;2026-10-01;hums;oil service", "1;2026-10-02;P0087 stored;rail sensor renewed (P0191), codes cleared", "2;2026-10-03;;no P0087 found"))
	got := slices.DeleteFunc(r.issues(""), func(i string) bool { return !strings.Contains(i, "trouble codes in") })
	require.Len(t, got, 1, "the list of vehicles has a column of codes")
	assert.Equal(t, "3 noted: 2 rows, from this one on, name trouble codes in their text; codes count from a column of codes alone", got[0])
	assert.Empty(t, r.vehicle("2").Scans[0].Codes)
	assert.Len(t, r.vehicle("1").Scans, 1, "words are no scan")
}

package ingest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score"
)

// repairGoesTo reads a list of vehicles and one repair, and tells which vehicle
// the repair went to ("" for none).
func repairGoesTo(t *testing.T, vehicles [][]any, heading, repair []any) (string, result) {
	t.Helper()
	r := read(t, workbook(t, nil, table{"Units", vehicles}, sheetOf("Repairs", heading, repair)))
	to := ""
	for i := range r.Fleet.Vehicles {
		if v := &r.Fleet.Vehicles[i]; len(v.Repairs) > 0 {
			require.Empty(t, to)
			to = v.Name()
		}
	}
	return to, r
}

// TestEventFindsItsVehicle holds the joining of a repair to its vehicle: by
// VIN, else by unit, else by registration (CONTRACT: columns in).
func TestEventFindsItsVehicle(t *testing.T) {
	head := row("Unit", "VIN", "Registration", "Model")
	vehicles := [][]any{head, row("00017", vinA, "NF 17 AAA", "Heron"), row("18", vinB, "NF 18 BBB", "Teal"), row("CR-19", nil, "NF-19 CCC", "Crane"),
		row("20", vinC, nil, "Heron"), row("21", vinC, nil, "Heron"), row("22", nil, "NF 22 X", "Teal"), row("23", nil, "NF 22 X", "Teal")}
	cases := []struct {
		rule            string
		unit, vin, reg  any
		want, issue     string
		severity, class string
	}{
		{"by VIN where nothing else is given", nil, vinA, nil, "00017", "", "", "used"},
		{"VIN in small letters and groups", nil, "z9k ha11b5 hk100001", nil, "00017", "", "", "used"},
		{"by unit", "18", nil, nil, "18", "", "", "used"},
		{"unit without its leading zeros", 17, nil, nil, "00017", "", "", "used"},
		{"unit with .0 behind it", "18.0", nil, nil, "18", "", "", "used"},
		{"unit without regard to case and blanks", " cr -19 ", nil, nil, "CR-19", "", "", "used"},
		{"by registration, marks and case aside", nil, nil, "nf19-ccc", "CR-19", "", "", "used"},
		{"VIN beats unit where they are two vehicles", "18", vinA, nil, "00017", "two vehicles", "noted", "used"},
		{"VIN beats a unit that nobody knows", "99", vinA, nil, "00017", "taken for the VIN", "noted", "used"},
		{"unit where the VIN is on no sheet", "18", "Z9KHA11B5HK109999", nil, "18", "taken for the unit", "noted", "used"},
		{"registration where the unit is on no sheet", "99", nil, "NF 18 BBB", "18", "taken for registration", "noted", "used"},
		{"faulty VIN leaves the row to its unit", "18", "Z9KHA11B5", nil, "18", "Length", "set aside", "used"},
		{"VIN that stands on two units is told apart by the unit", "21", vinC, nil, "21", "", "", "used"},
		{"VIN that stands on two units is not guessed", nil, vinC, nil, "", "stands on 2 units", "set aside", "set aside"},
		{"registration of two vehicles is not guessed", nil, nil, "NF 22 X", "", "stands on 2 vehicles", "set aside", "set aside"},
		{"unknown unit is set aside", "99", nil, nil, "", "is on no vehicle sheet", "set aside", "set aside"},
		{"unknown VIN is set aside", nil, "Z9KHA11B5HK109999", nil, "", "is on no vehicle sheet", "set aside", "set aside"},
		{"row that names nothing is rejected", nil, nil, nil, "", "names no vehicle", "rejected", "rejected"},
		{"row with nothing but a faulty VIN is rejected", nil, "Z9KHA11B5", nil, "", "Nothing else on the row", "rejected", "rejected"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			to, r := repairGoesTo(t, vehicles, row("Unit", "VIN", "Registration", "Date", "Work"), row(c.unit, c.vin, c.reg, "2026-03-02", "oil service"))
			assert.Equal(t, c.want, to)
			want := map[string]string{
				"used":      "2 = 1 used + 0 set aside + 0 rejected + 0 merged + 1 blank",
				"set aside": "2 = 0 used + 1 set aside + 0 rejected + 0 merged + 1 blank",
				"rejected":  "2 = 0 used + 0 set aside + 1 rejected + 0 merged + 1 blank",
			}[c.class]
			assert.Equal(t, want, r.counts("Repairs"), "%v", r.issues("Repairs"))
			if c.issue == "" {
				assert.Empty(t, r.issues("Repairs"))
				return
			}
			if c.issue == "Length" {
				c.issue = "17"
			}
			assert.EqualValues(t, c.severity, r.issue("Repairs", 2, c.issue).Severity)
		})
	}
}

func TestUnitsWithoutZerosAreNoted(t *testing.T) {
	_, r := repairGoesTo(t, [][]any{row("Unit", "Model"), row("00017", "Heron")}, row("Unit", "Date", "Work"), row(17, "2026-03-02", "oil service"))
	assert.Contains(t, r.notes("Repairs"), "1 row gives the unit with other leading zeros than the vehicle sheet, 17 for 00017; they were taken for the same")
}

// TestZerosThatTellUnitsApart: leading zeros count where one list has both.
func TestZerosThatTellUnitsApart(t *testing.T) {
	vehicles := [][]any{row("Unit", "Model"), row("017", "Heron"), row("17", "Teal")}
	for unit, want := range map[string]string{"017": "017", "17": "17"} {
		to, r := repairGoesTo(t, vehicles, row("Unit", "Date", "Work"), row(unit, "2026-03-02", "oil service"))
		assert.Equal(t, want, to)
		assert.Equal(t, []string{"017", "17"}, r.names())
	}
	to, r := repairGoesTo(t, vehicles, row("Unit", "Date", "Work"), row("0017", "2026-03-02", "oil service"))
	assert.Empty(t, to, "0017 may be either")
	assert.Equal(t, score.SetAside, r.issue("Repairs", 2, "only their zeros tell apart").Severity)
}

// TestVehicleRowsJoin holds the joining of vehicle rows to one another, in
// either order of the rows.
func TestVehicleRowsJoin(t *testing.T) {
	cases := []struct {
		rule  string
		rows  [][]any // unit, VIN, registration, model
		names []string
		issue string // on the later sheet's or row's account; "" for none
	}{
		{"same VIN and unit", [][]any{row("1", vinA, nil, "Heron"), row("1", vinA, nil, nil)}, []string{"1"}, ""},
		{"VIN alone joins the unit that bears it", [][]any{row("1", vinA, nil, "Heron"), row(nil, vinA, nil, nil)}, []string{"1"}, ""},
		{"unit alone joins the VIN that it bears", [][]any{row("1", vinA, nil, "Heron"), row("1", nil, nil, nil)}, []string{"1"}, ""},
		{"a row with both joins what others know by one", [][]any{row("1", nil, nil, "Heron"), row(nil, vinA, nil, nil), row("1", vinA, nil, nil)}, []string{"1"}, ""},
		{"registration joins where nothing else is given", [][]any{row("1", vinA, "NF 1", "Heron"), row(nil, nil, "NF-1", nil)}, []string{"1"}, ""},
		{"VIN and registration join unit and registration", [][]any{row("1", nil, "NF 1", "Heron"), row(nil, vinA, "NF 1", nil)}, []string{"1"}, ""},
		{"two VINs with one registration join no unit", [][]any{row("1", nil, "NF 1", "Heron"), row(nil, vinA, "NF 1", nil), row(nil, vinB, "NF 1", nil)}, []string{vinA, vinB, "1"}, ""},
		{"one VIN on two units: both listed, and said", [][]any{row("1", vinA, nil, "Heron"), row("2", vinA, nil, "Heron")}, []string{"1", "2"}, "stands on unit"},
		{"one unit on two VINs: both listed, and said", [][]any{row("1", vinA, nil, "Heron"), row("1", vinB, nil, "Heron")}, []string{"1", "1"}, "stands on another VIN"},
		{"unit alone on two VINs is not guessed", [][]any{row("1", vinA, nil, "Heron"), row("1", vinB, nil, "Heron"), row("1", nil, nil, "Heron")}, []string{"1", "1"}, "cannot be told which"},
		{"VIN alone on two units is not guessed", [][]any{row("1", vinA, nil, "Heron"), row("2", vinA, nil, "Heron"), row(nil, vinA, nil, "Heron")}, []string{"1", "2"}, "cannot be told which"},
		{"registration only", [][]any{row(nil, nil, "NF 1", "Heron"), row(nil, nil, "NF 2", "Heron")}, []string{"NF 1", "NF 2"}, ""},
	}
	for _, c := range cases {
		for _, backwards := range []bool{false, true} {
			t.Run(c.rule, func(t *testing.T) {
				rows := [][]any{row("Unit", "VIN", "Registration", "Model")}
				for i := range c.rows {
					if backwards {
						i = len(c.rows) - 1 - i
					}
					rows = append(rows, c.rows[i])
				}
				r := read(t, workbook(t, nil, table{"Units", rows}))
				assert.ElementsMatch(t, c.names, r.names())
				all := r.issues("Units")
				if c.issue == "" {
					assert.Empty(t, all)
					return
				}
				found := 0
				for _, i := range r.Fleet.Issues {
					if assert.NotZero(t, i.Ref.Row); containsAll(i.Reason.String(), c.issue, "row ") {
						found++
						assert.Equal(t, score.SetAside, i.Severity)
					}
				}
				assert.Equal(t, 1, found, "%v", all)
			})
		}
	}
}

// TestRepeatedVehicleRows: what repeats is merged, what adds is used, what
// contradicts is told of with both places.
func TestRepeatedVehicleRows(t *testing.T) {
	head := row("Unit", "VIN", "Depot", "Model", "Odometer", "Odometer date")
	first := row("1", vinA, "North", "Heron", 80000, "2026-05-01")
	cases := []struct {
		rule   string
		again  []any
		counts string
		issue  string
	}{
		{"repeated row is merged", first, "1 used + 0 set aside + 0 rejected + 1 merged", ""},
		{"repeated in other writing is merged", row("1", "z9kha11b5hk100001", "NORTH", "heron", "80,000 km", "01.05.2026"), "1 used + 0 set aside + 0 rejected + 1 merged", ""},
		{"newer reading is used", row("1", vinA, "North", "Heron", 90000, "2026-10-01"), "2 used + 0 set aside + 0 rejected + 0 merged", ""},
		{"another depot is told of", row("1", vinA, "Harbour", "Heron", nil, nil), "1 used + 1 set aside + 0 rejected + 0 merged", "depot is Harbour here but North in"},
		{"another model is told of though the reading is new", row("1", vinA, "North", "Teal", 90000, "2026-10-01"), "2 used + 0 set aside + 0 rejected + 0 merged", "model is Teal here but Heron in"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			r := read(t, workbook(t, nil, sheetOf("Units", head, first, c.again)))
			assert.Equal(t, "3 = "+c.counts+" + 1 blank", r.counts("Units"))
			assert.Equal(t, "North", r.vehicle("1").Depot)
			assert.Equal(t, "Heron", r.vehicle("1").Model)
			if c.issue == "" {
				assert.Empty(t, r.issues("Units"))
				return
			}
			i := r.issue("Units", 3, c.issue)
			assert.Contains(t, i.Reason.String(), "row 2", "the other place")
		})
	}
}

func TestReadingsOfRepeatedRows(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Odometer", "Odometer date"),
		row("1", "Heron", 80000, "2026-05-01"), row("1", "Heron", 90000, "2026-10-01"), row("1", "Heron", 90000, "2026-10-01"),
		row("2", "Teal", nil, nil), row("3", "Teal", nil, nil), row("4", "Teal", nil, nil), row("5", "Teal", nil, nil), row("6", "Teal", nil, nil), row("7", "Teal", nil, nil), row("8", "Teal", nil, nil))))
	got := r.vehicle("1").Readings
	require.Len(t, got, 2)
	assert.Equal(t, day(2026, 5, 1), got[0].Day)
	assert.Equal(t, 90000.0, got[1].KM)
	assert.Equal(t, int32(3), got[1].Ref.Row)
}

// TestSheetsJoin: the same vehicle on two sheets and in two files is one.
func TestSheetsJoin(t *testing.T) {
	book := workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Model"), row("0007", vinA, "Heron")), sheetOf("Depots", row("Unit", "Depot"), row(7, "North")))
	text := textFile(t, "more.csv", "Fahrgestellnummer;Motornummer;Modelljahr", vinA+";HR700123;2017")
	r := read(t, book, text)
	v := r.vehicle("7")
	require.Len(t, r.Fleet.Vehicles, 1)
	assert.Equal(t, "North", v.Depot)
	assert.Equal(t, "HR700123", v.EngineSerial)
	assert.Equal(t, 2017, v.ModelYear)
	assert.Equal(t, score.Ref{Source: 1, Row: 2}, v.Ref)
	assert.Len(t, r.Fleet.Sources, 3)
}

// TestMakeAndModelInOneColumn: what stands between the two parts them; a year before them is the model year where no
// other is given; without a mark the model keeps the make in front of it, which score reads off.
func TestMakeAndModelInOneColumn(t *testing.T) {
	type said struct {
		make, model string
		year        int
		first       bool
	}
	r := read(t, textFile(t, "units.csv", "Unit;Year / make / model", "1;Northfold Heron 2.0", "2;Northfold / Heron", "3;Northfold - Heron 2.0", "4;2016 Northfold, Heron", "5;2017 Northfold Heron", "6;Heron", "7;"),
		textFile(t, "more.csv", "Unit;Make;Make/Model;Model year", "8;Northfold;Northfold Heron;2015", "9;;2016 Northfold Heron;2015"))
	want := map[string]said{
		"1": {"", "Northfold Heron 2.0", 0, true}, "2": {"Northfold", "Heron", 0, false}, "3": {"Northfold", "Heron 2.0", 0, false}, "4": {"Northfold", "Heron", 2016, false},
		"5": {"", "Northfold Heron", 2017, true}, "6": {"", "Heron", 0, true}, "7": {}, "8": {"Northfold", "Northfold Heron", 2015, false}, "9": {"", "Northfold Heron", 2015, true},
	}
	for unit, w := range want {
		v := r.vehicle(unit)
		assert.Equal(t, w, said{v.Make, v.Model, v.ModelYear, v.MakeFirst}, unit)
	}
}

// TestMergeAddsWhatIsNew: every attribute that only the second sheet gives
// comes to the vehicle, its VIN among them.
func TestMergeAddsWhatIsNew(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Registration", "Model"), row("1", "NF 1", "Heron"), row("2", "NF 2", "Teal")),
		sheetOf("More", row("VIN", "Registration", "Make", "engine_family", "build_date", "in_service_date", "next_service", "disposal_date", "disposal_km", "history_from_km", "history_from_hours",
			"km_per_week", "hours_per_week", "Runs", "lot", "price", "warranty_months", "can_open"),
			row(vinA, "nf-1", "Northfold", "HD22", "2016-05-04", "2016-09-01", "2026-12-01", "2029-01-01", 300000, 40000, 900, 500, 21, "no", "14", 9000, 6, "no"))))
	v := r.vehicle("1")
	assert.Equal(t, vinA, string(v.VIN))
	assert.Equal(t, []string{"1", "2"}, r.names())
	assert.Equal(t, []string{"Heron", "Northfold", "HD22"}, []string{v.Model, v.Make, v.EngineFamily})
	use := v.Use()
	assert.Equal(t, []score.Day{day(2016, 5, 4), day(2016, 9, 1), day(2026, 12, 1), day(2029, 1, 1)}, []score.Day{v.BuildDate, v.InService, v.NextService, use.DisposalDate})
	assert.Equal(t, []score.Stated{score.Is(300000), score.Is(40000), score.Is(900), score.Is(500), score.Is(21)},
		[]score.Stated{use.DisposalKM, use.HistoryFromKM, use.HistoryFromHours, use.KMPerWeek, use.HoursPerWeek})
	assert.True(t, v.NotRunning)
	assert.Equal(t, score.DeskFacts{Lot: "14", Price: score.Is(9000), WarrantyMonths: score.Is(6), CannotOpen: true}, v.Desk())
	assert.Equal(t, "2 = 1 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("More"))
}

// TestVINFindings: a row for each VIN read, good or not.
func TestVINFindings(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Model"), row("1", vinA, "Heron"), row("2", vinA, "Heron"),
		row("3", "1.2345678901234501E16", "Heron"), row("4", "Z9KHA11B5НК100004", "Heron"), row(nil, "Z9KHA11B5", "Teal"), row("6", "n/a", "Teal"))))
	require.Len(t, r.Fleet.VINs, 5)
	assert.True(t, r.Fleet.VINs[0].Twice)
	assert.True(t, r.Fleet.VINs[1].Twice)
	numeric := r.issue("Units", 4, "not text")
	assert.Equal(t, score.SetAside, numeric.Severity)
	assert.Empty(t, r.vehicle("3").VIN)
	assert.Equal(t, "Z9KHA11B5HK100004", string(r.vehicle("4").VIN), "two Cyrillic letters read as Latin")
	assert.Contains(t, r.issue("Units", 5, "yrillic").Reason.String(), "yrillic")
	assert.Equal(t, score.Rejected, r.issue("Units", 6, "Nothing else").Severity)
	assert.Equal(t, []string{"1", "2", "3", "4", "6"}, r.names())
	assert.Equal(t, 2, r.column("Units", "VIN").Refused)
}

// TestNumericVIN: a cell with a number in it has lost its last digits.
func TestNumericVIN(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Model"), row("1", 12345678901234567.0, "Heron"), row("2", vinA, "Heron"))))
	assert.Equal(t, score.SetAside, r.issue("Units", 2, "last digits are gone").Severity)
	assert.Equal(t, []string{"1", "2"}, r.names())
}

func TestVINPrefixOnly(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("vin_prefix", "Model"), row("Z9KHA11B5HK", "Heron"), row("Z9KHA11B5H", "Teal"), row(vinB, "Teal"), row("Z9", "Teal"))))
	assert.Equal(t, []string{"Z9KHA11B5H", "Z9KHA11B5HK", vinB}, sorted(r.names()))
	assert.Equal(t, "Z9KHA11B5HK", r.vehicle("Z9KHA11B5HK").VINPrefix)
	assert.Equal(t, "5 = 3 used + 0 set aside + 1 rejected + 0 merged + 1 blank", r.counts("Units"))
	partial := 0
	for _, v := range r.Fleet.VINs {
		if v.Partial {
			partial++
		}
	}
	assert.Equal(t, 2, partial)
}

func TestSoldVehiclesAreSetAside(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Status", "Odometer"), row("1", "Heron", "sold", 80000), row("2", "Heron", "in use", 90000))))
	assert.Equal(t, "3 = 1 used + 1 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Units"))
	assert.Equal(t, score.SetAside, r.issue("Units", 2, "sold").Severity)
	assert.Empty(t, r.vehicle("1").Readings)
}

func TestNames(t *testing.T) {
	v := &score.Vehicle{Unit: "00017", VIN: vinA, Registration: "NF 17 AAA"}
	for word, want := range map[string]bool{"17": true, "00017": true, " 17 ": true, "nf-17aaa": true, "z9kha11b5hk100001": true, "1": false, "": false, vinB: false} {
		assert.Equal(t, want, Names(v, word), word)
	}
	v.SetDesk(score.DeskFacts{Lot: "301"})
	for word, want := range map[string]bool{"301": true, "Lot 301": true, "lot 0301": true, "lot": false, "lot 3": false} {
		assert.Equal(t, want, Names(v, word), word)
	}
}

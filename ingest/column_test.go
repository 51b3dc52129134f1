package ingest

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

// odometers writes a vehicle a row with its odometer cell and reads them.
func odometers(t *testing.T, in Input, heading []any, cells ...[]any) result {
	t.Helper()
	rows := [][]any{heading}
	for i, c := range cells {
		rows = append(rows, append([]any{fmt.Sprintf("U%d", i+1), "Heron"}, c...))
	}
	in.Path = workbook(t, nil, table{"Units", rows})
	return readWith(t, []Input{in}, Options{})
}

// km lists the readings of U1, U2… in km; -1 where there is none.
func (r result) km(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = -1
		if v := r.vehicle(fmt.Sprintf("U%d", i+1)); len(v.Readings) == 1 {
			out[i] = v.Readings[0].KM
		}
	}
	return out
}

// TestUnitOfDistance: the cell's own unit, else the row's unit column, else
// the heading, else the job, else km. 1 mile is 1.609344 km (exact, 1959).
func TestUnitOfDistance(t *testing.T) {
	told := func(unit string) Input { return Input{Sheets: []Told{{Name: "Units", OdometerUnit: unit}}} }
	cases := []struct {
		rule    string
		in      Input
		heading []any
		cells   [][]any
		want    []float64
	}{
		{"km where nothing is said", Input{}, row("Unit", "Model", "Odometer"), [][]any{row(100000)}, []float64{100000}},
		{"miles by the heading", Input{}, row("Unit", "Model", "Odometer (mi)"), [][]any{row(100000)}, []float64{160934}},
		{"miles by the job", told("mi"), row("Unit", "Model", "Odometer"), [][]any{row(100000)}, []float64{160934}},
		{"the heading beats the job", told("mi"), row("Unit", "Model", "Odometer km"), [][]any{row(100000)}, []float64{100000}},
		{"the row's unit beats heading and job", told("mi"), row("Unit", "Model", "Odometer (mi)", "odometer_unit"), [][]any{row(100000, "km"), row(100000, "Miles")}, []float64{100000, 160934}},
		{"the cell's unit beats all", told("km"), row("Unit", "Model", "Odometer km"), [][]any{row("100000 mi"), row(100000)}, []float64{160934, 100000}},
		{"x1000 km in the heading", Input{}, row("Unit", "Model", "Odometer (x1000 km)"), [][]any{row(123.4), row(85)}, []float64{123400, 85000}},
		{"Scandinavian mil in the heading", Input{}, row("Unit", "Model", "Mätarställning (mil)"), [][]any{row(12345), row("12346 mil")}, []float64{123450, 123460}},
		{"thousands marks and trailing units", Input{}, row("Unit", "Model", "Odometer"), [][]any{row("123 456 km"), row("123.456"), row("123,456 km")}, []float64{123456, 123456, 123456}},
		{"raw floats are rounded", Input{}, row("Unit", "Model", "Odometer"), [][]any{row(123456.00000000001)}, []float64{123456}},
		{"hours are no distance", Input{}, row("Unit", "Model", "Odometer"), [][]any{row("500 h"), row(7000)}, []float64{-1, 7000}},
		{"5,000,001 km cannot be meant", Input{}, row("Unit", "Model", "Odometer"), [][]any{row(5000001), row(5000000)}, []float64{-1, 5000000}},
		{"0 counts as not known", Input{}, row("Unit", "Model", "Odometer"), [][]any{row(0)}, []float64{-1}},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			r := odometers(t, c.in, c.heading, c.cells...)
			assert.Equal(t, c.want, r.km(len(c.cells)), "%v", r.issues("Units"))
		})
	}
}

// TestMixedUnitsAreSaid: km and miles are never mixed in silence.
func TestMixedUnitsAreSaid(t *testing.T) {
	r := odometers(t, Input{}, row("Unit", "Model", "Odometer"), row("100000 km"), row("100000 mi"), row(50000))
	assert.Equal(t, []float64{100000, 160934, -1}, r.km(3))
	assert.Contains(t, r.column("Units", "Odometer").How.String(), "units are mixed")
	assert.Contains(t, r.notes("Units"), "in km on 1 row and in miles on 1")
	assert.Contains(t, r.issue("Units", 1, "several units").Reason.String(), "km 1, mi 1")
	unstated := r.issue("Units", 4, "states no unit")
	assert.Equal(t, score.SetAside, unstated.Severity)
	assert.Contains(t, unstated.Suggestion.String(), "odometer_unit")
	assert.Equal(t, "4 = 3 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Units"))
}

func TestMixedUnitColumnIsSaid(t *testing.T) {
	r := odometers(t, Input{}, row("Unit", "Model", "Odometer", "odometer_unit"), row(100000, "km"), row(100000, "mi"), row(70000, nil))
	assert.Equal(t, []float64{100000, 160934, 70000}, r.km(3))
	assert.Contains(t, r.notes("Units"), "in km on 2 rows and in miles on 1")
}

// TestMilesLateInTheSheet: the column is decided by all its rows, not by the
// first ones.
func TestMilesLateInTheSheet(t *testing.T) {
	var cells [][]any
	for range 450 {
		cells = append(cells, row(50000))
	}
	r := odometers(t, Input{}, row("Unit", "Model", "Odometer"), append(cells, row("60000 mi"))...)
	assert.Empty(t, r.vehicle("U1").Readings)
	assert.Equal(t, 96561.0, r.vehicle("U451").Readings[0].KM)
}

// repairsDated writes repairs with the given date cells.
func repairsDated(t *testing.T, in Input, change func(*excelize.File), heading string, cells ...any) result {
	t.Helper()
	rows := [][]any{row("Unit", heading, "Work")}
	for i, c := range cells {
		rows = append(rows, row("U1", c, fmt.Sprintf("job %d", i+1)))
	}
	in.Path = workbook(t, change, sheetOf("Units", row("Unit", "Model"), row("U1", "Heron")), table{"Repairs", rows})
	return readWith(t, []Input{in}, Options{})
}

func (r result) repairDays(unit string) []string {
	var out []string
	for _, f := range r.vehicle(unit).Repairs {
		out = append(out, f.Day.String())
	}
	return out
}

// TestDatesOfColumn: serial, text, ISO; day or month first by evidence of the
// whole column.
func TestDatesOfColumn(t *testing.T) {
	s := serial(day(2026, 3, 15))
	cases := []struct {
		rule     string
		in       Input
		cells    []any
		want     []string
		how      string
		rejected int
	}{
		{"serials", Input{}, []any{s, float64(s) + 0.75}, []string{"2026-03-15", "2026-03-15"}, "one way", 0},
		{"ISO", Input{}, []any{"2026-03-15", "2026-04-05T10:00:00"}, []string{"2026-03-15", "2026-04-05"}, "one way", 0},
		{"points have the day first", Input{}, []any{"03.04.2026"}, []string{"2026-04-03"}, "one way", 0},
		{"day first by one value over 12", Input{}, []any{"03/04/2026", "25/04/2026"}, []string{"2026-04-03", "2026-04-25"}, "day first", 0},
		{"month first by one value over 12", Input{}, []any{"03/04/2026", "04/25/2026"}, []string{"2026-03-04", "2026-04-25"}, "month first", 0},
		{"undecided: what reads both ways is rejected", Input{}, []any{"03/04/2026", "2026-04-05"}, []string{"2026-04-05"}, "cannot be told", 1},
		{"the job decides", Input{DateOrder: value.MonthFirst}, []any{"03/04/2026"}, []string{"2026-03-04"}, "the job says so", 0},
		{"the sheet's word beats the file's", Input{DateOrder: value.MonthFirst, Sheets: []Told{{Name: "Repairs", DateOrder: value.DayFirst}}}, []any{"03/04/2026"}, []string{"2026-04-03"}, "the job says so", 0},
		{"the column beats the job", Input{DateOrder: value.MonthFirst}, []any{"03/04/2026", "25/04/2026"}, []string{"2026-04-03", "2026-04-25"}, "day first", 0},
		{"conflict: what reads both ways is rejected", Input{}, []any{"25/04/2026", "04/26/2026", "03/04/2026"}, []string{"2026-04-25", "2026-04-26"}, "some dates have the day first, some the month", 1},
		{"the heading says the order", Input{DateOrder: value.DayFirst}, []any{"03/04/2026"}, []string{"2026-03-04"}, "the heading says so", 0},
		{"29 February 1900 never was", Input{}, []any{60, s}, []string{"2026-03-15"}, "one way", 1},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			heading := "Date"
			if c.how == "the heading says so" {
				heading = "Date (mm/dd/yyyy)"
			}
			r := repairsDated(t, c.in, nil, heading, c.cells...)
			assert.Equal(t, c.want, r.repairDays("U1"), "%v", r.issues("Repairs"))
			assert.Contains(t, r.column("Repairs", heading).How.String(), c.how)
			assert.Equal(t, c.rejected, r.column("Repairs", heading).Refused)
			assert.Equal(t, c.rejected, score.Sum(r.Fleet.Counts).Rejected)
		})
	}
}

func TestUndecidedDatesSayWhatToDo(t *testing.T) {
	r := repairsDated(t, Input{}, nil, "Date", "03/04/2026", "05/06/2026")
	assert.Contains(t, r.issue("Repairs", 2, "cannot be told").Suggestion.String(), "date_order")
	column := r.issue("Repairs", 1, "cannot be told")
	assert.Equal(t, "Date", column.Column)
	assert.Contains(t, column.Suggestion.String(), "date_order")
	assert.Equal(t, "3 = 0 used + 0 set aside + 2 rejected + 0 merged + 1 blank", r.counts("Repairs"))
}

// TestOrderShownLateInTheSheet: a value over 12 far below the rows first
// looked at decides for all; nothing is told twice for the second reading.
func TestOrderShownLateInTheSheet(t *testing.T) {
	var cells []any
	for range 600 {
		cells = append(cells, "03/04/2026")
	}
	cells = append(cells, "04/25/2026")
	told := 0
	rows := [][]any{row("Unit", "Date", "Work", "Date", "Remark")}
	for i, c := range cells {
		rows = append(rows, row("U1", c, fmt.Sprintf("job %d", i)))
	}
	in := Input{Path: workbook(t, nil, sheetOf("Units", row("Unit", "Model"), row("U1", "Heron")), table{"Repairs", rows}), Sheets: []Told{{Name: "Repairs", Columns: map[string]string{"column B": "date"}}}}
	r := readWith(t, []Input{in}, Options{Progress: func(_ string, n int) { told += n }})
	assert.Len(t, r.repairDays("U1"), 601)
	assert.Equal(t, "2026-03-04", r.repairDays("U1")[0])
	assert.Equal(t, 601+1+2, told, "each row once")
	assert.Equal(t, "602 = 601 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Repairs"))
	assert.Empty(t, r.issues("Repairs"), "what the first reading refused is forgotten")
	assert.Len(t, r.sheet("Repairs").Columns, 5)
	assert.Len(t, r.column("Repairs", "Date").Samples, 3)
}

func TestSwappedDatesAreSaid(t *testing.T) {
	var cells []any
	for d := 1; d <= 8; d++ {
		cells = append(cells, serial(day(2026, 3, d)), fmt.Sprintf("%d/02/2026", d+12))
	}
	r := repairsDated(t, Input{}, nil, "Date", cells...)
	assert.Contains(t, r.column("Repairs", "Date").How.String(), "swapped")
	assert.Contains(t, r.issue("Repairs", 1, "swapped").Reason.String(), "all 8 real dates")
}

// TestDates1904: the other date system of workbooks, 1,462 days apart.
func TestDates1904(t *testing.T) {
	on := true
	r := repairsDated(t, Input{}, func(f *excelize.File) {
		require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &on}))
	}, "Date", serial(day(2026, 3, 15))-1462)
	assert.Equal(t, []string{"2026-03-15"}, r.repairDays("U1"))
}

func TestDaysAfterTheRunAreSetAside(t *testing.T) {
	r := repairsDated(t, Input{}, nil, "Date", "2026-11-25", "2026-11-26")
	assert.Equal(t, []string{"2026-11-25"}, r.repairDays("U1"))
	assert.Equal(t, score.SetAside, r.issue("Repairs", 3, "after the day of the run").Severity)
	assert.Equal(t, "3 = 1 used + 1 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Repairs"))
}

// TestReadingAfterTheRunIsNotKnown: a run for an earlier day must not see
// what a vehicle row says of a later one; the vehicle itself is listed.
func TestReadingAfterTheRunIsNotKnown(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Odometer", "Odometer date", "Codes"), row("U1", "Heron", 90000, "2027-01-01", "P0087"), row("U2", "Heron", 80000, "31.02.2026", nil))))
	assert.Empty(t, r.vehicle("U1").Readings)
	assert.Empty(t, r.vehicle("U1").Scans)
	assert.Equal(t, score.SetAside, r.issue("Units", 2, "after the day of the run").Severity)
	assert.Empty(t, r.vehicle("U2").Readings, "its day cannot be read")
	assert.Equal(t, "3 = 2 used + 0 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Units"))
}

// TestUndatedRows take the sheet's latest day, else the day of a title, else
// the run's.
func TestUndatedRows(t *testing.T) {
	cases := []struct {
		rule string
		rows [][]any
		want score.Day
	}{
		{"the sheet's latest day", [][]any{row("Unit", "Date", "Work"), row("U1", nil, "oil service"), row("U1", "2026-10-01", "tyres"), row("U1", "2026-02-01", "wipers")}, day(2026, 10, 1)},
		{"later than the run does not count", [][]any{row("Unit", "Date", "Work"), row("U1", nil, "oil service"), row("U1", "2026-10-01", "tyres"), row("U1", "2027-02-01", "wipers")}, day(2026, 10, 1)},
		{"the title's day", [][]any{row("Workshop list, as of 2026-09-30"), nil, row("Unit", "Work"), row("U1", "oil service")}, day(2026, 9, 30)},
		{"a title in words", [][]any{row("Stand: 30. September 2026 (Nord)"), row("Unit", "Work"), row("U1", "oil service")}, day(2026, 9, 30)},
		{"a title with slashes that read one way", [][]any{row("as of 30/09/2026"), row("Unit", "Work"), row("U1", "oil service")}, day(2026, 9, 30)},
		{"the run's day where nothing says one", [][]any{row("Unit", "Work"), row("U1", "oil service")}, runDay},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			in := Input{Path: workbook(t, nil, sheetOf("Units", row("Unit", "Model"), row("U1", "Heron")), table{"Repairs", c.rows}), Sheets: []Told{{Name: "Repairs", Holds: []header.Kind{header.Repairs}}}}
			r := readWith(t, []Input{in}, Options{})
			f := r.vehicle("U1").Repairs[0]
			assert.Equal(t, c.want.String(), f.Day.String())
			assert.True(t, f.Undated)
		})
	}
}

func TestVehicleRowsAreDatedByTheirSheet(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Fleet of the harbour, 2026-09-30"), row("Unit", "Model", "Odometer", "Engine hours", "Codes", "Remarks"),
		row("U1", "Heron", 80000, 1200.5, "no codes", "knocks when hot"))))
	v := r.vehicle("U1")
	want := day(2026, 9, 30)
	require.Len(t, v.Scans, 1)
	assert.Equal(t, []score.Day{want, want, want, want}, []score.Day{v.Readings[0].Day, v.Hours[0].Day, v.Scans[0].Day, v.Remarks[0].Day})
	assert.True(t, v.Scans[0].Undated)
	assert.Equal(t, 1200.5, v.Hours[0].KM)
	assert.Equal(t, value.Hour, v.Hours[0].Unit)
}

func TestModelYears(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Model year"), row("U1", "Heron", 2017), row("U2", "Heron", "2016/17"), row("U3", "Heron", 2061), row("U4", "Heron", "new"), row("U5", "Heron", "2018.0"))))
	for unit, want := range map[string]int{"U1": 2017, "U2": 2016, "U3": 0, "U4": 0, "U5": 2018} {
		assert.Equal(t, want, r.vehicle(unit).ModelYear, unit)
	}
	assert.Equal(t, score.Noted, r.issue("Units", 4, "no model year").Severity)
	assert.Equal(t, 2, r.column("Units", "Model year").Refused)
}

// TestRowOfTwoKinds: what one kind does not find on a row is no fault where the other uses it.
func TestRowOfTwoKinds(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model"), row("U1", "Heron")), sheetOf("Orders", row("Unit", "Date", "Work done", "Fault codes"),
		row("U1", "2026-10-01", "tyres fitted", "-"), row("U1", "2026-10-02", nil, "P0087"), row("U1", "2026-10-03", "pads fitted", "P0191"), row("U1", "2026-10-04", nil, "-"))))
	assert.Len(t, r.vehicle("U1").Repairs, 2)
	assert.Len(t, r.vehicle("U1").Scans, 2)
	said := r.issues("Orders")
	require.Len(t, said, 2, "%v", said)
	for _, s := range said {
		assert.Contains(t, s, "5", "the row that holds neither")
	}
	assert.Equal(t, "5 = 3 used + 1 set aside + 0 rejected + 0 merged + 1 blank", r.counts("Orders"))
}

// TestDaysAreShownAsDays: a spreadsheet's count of days says nothing to whoever typed a day.
func TestDaysAreShownAsDays(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Odometer", "Odometer date"), row("U1", "Heron", 46000, time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC)), row("U2", "Heron", 46001, "2026-10-02"))))
	assert.Equal(t, []string{"2026-10-01", "2026-10-02"}, r.column("Units", "Odometer date").Samples)
	assert.Equal(t, []string{"46000", "46001"}, r.column("Units", "Odometer").Samples)
}

// TestSheetWithoutAName: what a job says of a sheet that it does not name is of the only one, and
// where there are several it is not passed over in silence.
func TestSheetWithoutAName(t *testing.T) {
	units := sheetOf("Stock in", row("Stock No", "Model", "Diag codes", "Odometer"), row("P1", "Heron", "P0087", 88000))
	in := Input{Sheets: []Told{{Columns: map[string]string{"Diag codes": "codes"}, OdometerUnit: "mi"}}}
	in.Path = workbook(t, nil, units)
	r := readWith(t, []Input{in}, Options{})
	assert.Equal(t, header.Codes, r.column("Stock in", "Diag codes").Column.Field)
	assert.InDelta(t, 88000*odometer.KMPerMile, r.vehicle("P1").Readings[0].KM, 1)

	in.Path = workbook(t, nil, units, sheetOf("Work", row("Unit", "Date", "Work done"), row("P1", "2026-10-01", "tyres")))
	r = readWith(t, []Input{in}, Options{})
	assert.NotEqual(t, header.Codes, r.column("Stock in", "Diag codes").Column.Field)
	assert.Contains(t, say.Join("\n", r.Files[0].Notes...).String(), `this workbook has several; name it there: name: "Stock in"`)
}

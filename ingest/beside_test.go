package ingest

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTablesSideBySide: of each case, which sheets are made of it, what becomes
// of their rows, and what is told.
func TestTablesSideBySide(t *testing.T) {
	cases := []struct {
		rule  string
		lines []string
		used  map[string]int
		notes string // of the first sheet
		km    map[string]int
	}{
		{"two tables that name vehicles alike are two", []string{
			"Unit,Model,Odometer,,Unit,Date,Work",
			"U1,Heron,80000,,U1,2026-03-02,oil service",
			"U2,Teal,90000,,U2,2026-04-25,tyres",
			",,,,U1,2026-05-02,brake pads",
		}, map[string]int{"": 2, "from column E": 3}, "from column E on", map[string]int{"U1": 80000, "U2": 90000}},
		{"three tables, and one below the second", []string{
			"Unit,Model,,Unit,Odometer,Odometer date,,Unit,Date,Codes",
			"U1,Heron,,U1,80000,2026-03-02,,U1,2026-03-02,P0087",
			"U2,Teal,,U2,90000,2026-03-03,,U2,2026-03-02,none",
			",,,Repairs,,,,,,",
			",,,Unit,Date,Work,,,,",
			",,,U2,2026-04-25,tyres,,,,",
		}, map[string]int{"": 2, "from column D": 2, "from column H": 2, "from column D, from row 4": 1}, "from column D on", map[string]int{"U1": 80000, "U2": 90000}},
		{"a column left free parts no table whose vehicle stands on one side only", []string{
			"Unit,Model,,Odometer,Depot",
			"U1,Heron,,80000,North",
			"U2,Teal,,90000,North",
		}, map[string]int{"": 2}, "", map[string]int{"U1": 80000, "U2": 90000}},
		{"nor one whose vehicles have two names", []string{
			"Unit,Model,,VIN,Odometer",
			"U1,Heron,," + vinA + ",80000",
			"U2,Teal,," + vinB + ",90000",
		}, map[string]int{"": 2}, "", map[string]int{"U1": 80000, "U2": 90000}},
		{"which is said where its sides are not equally long", []string{
			"Unit,Model,,VIN,Odometer",
			"U1,Heron,," + vinA + ",80000",
			",,," + vinB + ",90000",
		}, map[string]int{"": 2}, "does not end on the same row", map[string]int{"U1": 80000}},
		{"the unit of an odometer names no vehicle", []string{
			"Fleet no,Model,,Odometer,Unit",
			"U1,Heron,,80000,km",
			"U2,Teal,,90000,km",
			"U3,Teal,,90001,km",
		}, map[string]int{"": 3}, "", map[string]int{"U1": 80000, "U3": 90001}},
		{"a column that something stands in parts nothing", []string{
			"Unit,Model,Odometer,,Unit,Model,Odometer",
			"U1,Heron,80000,see right,U2,Teal,90000",
		}, nil, "", nil},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			path := textFile(t, "fleet.csv", c.lines...)
			res, err := tryRead(t, []Input{{Path: path}}, Options{})
			if c.used == nil { // asked for, as before
				require.ErrorIs(t, err, ErrNothing)
				assert.Contains(t, res.Sheets[0].Skipped.String(), "may each be unit")
				return
			}
			require.NoError(t, err)
			r := result{res, t}
			got, read := map[string]int{}, map[string]int{}
			for _, s := range r.Sheets {
				got[s.Source.Sheet] = s.Counts.Used
				columns, _, _ := strings.Cut(s.Source.Sheet, ", from row")
				read[columns] += s.Counts.Read
			}
			assert.Equal(t, c.used, got)
			for columns, n := range read {
				assert.Equal(t, len(c.lines), n, "every row is counted once, of the tables %q below each other", columns)
			}
			if c.notes != "" {
				assert.Contains(t, r.notes(""), c.notes)
			} else {
				assert.NotContains(t, r.notes(""), "from column")
			}
			for unit, km := range c.km {
				v := r.vehicle(unit)
				require.NotEmpty(t, v.Readings, unit)
				assert.Equal(t, float64(km), v.Readings[0].KM)
			}
		})
	}
}

// TestToldTablesSideBySide: what `read --draft` writes of such a sheet names
// both tables, and is read as they were; a job that speaks of the whole sheet's
// columns has it read whole.
func TestToldTablesSideBySide(t *testing.T) {
	path := workbook(t, nil, sheetOf("Units",
		row("Unit", "Model", "Odometer", nil, "Unit", "Date", "Work"),
		row("U1", "Heron", 80000, nil, "U1", "2026-03-02", "oil service"),
		row("U2", "Teal", 90000, nil, "U2", "2026-04-25", "tyres")))
	left := Told{Name: "Units", HeaderRow: 1, Columns: map[string]string{"Unit": "unit", "Model": "model", "Odometer": "odometer"}}
	right := Told{Name: "Units, from column E", HeaderRow: 1, Columns: map[string]string{"Unit": "unit", "Date": "date", "Work": "text"}}
	r := readWith(t, []Input{{Path: path, Sheets: []Told{left, right}}}, Options{})
	require.Len(t, r.Sheets, 2)
	assert.Equal(t, []int{2, 2}, []int{r.Sheets[0].Counts.Used, r.Sheets[1].Counts.Used})
	assert.Empty(t, append(r.issues("Units"), r.issues("Units, from column E")...))
	assert.Len(t, r.vehicle("U2").Repairs, 1)

	whole := Told{Name: "Units", Columns: map[string]string{"column A": "unit", "column E": "ignore", "Date": "ignore", "Work": "ignore"}}
	r = readWith(t, []Input{{Path: path, Sheets: []Told{whole}}}, Options{})
	require.Len(t, r.Sheets, 1)
	assert.Equal(t, 2, r.Sheets[0].Counts.Used)
	assert.Empty(t, r.vehicle("U2").Repairs)
}

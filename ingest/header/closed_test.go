package header

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDayOfClosing(t *testing.T) {
	for name, c := range map[string]struct {
		heads  []string
		fields []Field
		closes bool
	}{
		"opened and closed":          {[]string{"Unit", "Opened", "Closed", "Work"}, []Field{Unit, Date, Closed, Text}, true},
		"reported and repaired":      {[]string{"Unit", "Reported", "Repaired", "Work"}, []Field{Unit, Date, Closed, Text}, true},
		"in and out":                 {[]string{"Unit", "Date in", "Date out", "Work"}, []Field{Unit, Date, Closed, Text}, true},
		"German":                     {[]string{"Fzg.-Nr.", "Datum", "Erledigt am", "Arbeiten"}, []Field{Unit, Date, Closed, Text}, true},
		"a day that is only planned": {[]string{"Unit", "Date", "Planned completion", "Work"}, []Field{Unit, Date, Ignore, Text}, false},
		"a claim's day":              {[]string{"Unit", "Date", "Claim closed", "Work"}, []Field{Unit, Date, Ignore, Text}, false},
		"nothing but a day of doing": {[]string{"Unit", "Due date", "Last done", "Task"}, []Field{Unit, Ignore, Date, Text}, true},
		"a day of invoice":           {[]string{"Unit", "Date", "Invoice sent", "Work"}, []Field{Unit, Date, Ignore, Text}, false},
	} {
		l, err := Recognise([][]string{c.heads, {"U1", "2026-03-02", "2026-03-05", "tyres"}, {"U1", "2026-05-02", "", "oil service"}, {"U2", "2026-03-02", "2026-03-06", "tyres"}}, Options{})
		require.NoError(t, err, name)
		var got []Field
		closes := false
		for _, col := range l.Columns {
			got, closes = append(got, col.Field), closes || col.Closing
		}
		assert.Equal(t, c.fields, got, name)
		assert.Equal(t, c.closes, closes, name)
	}
}

// What the job says goes first: a day of closing that it leaves alone says nothing, one that it names counts though it is mostly blank.
func TestDayOfClosingTold(t *testing.T) {
	rows := [][]string{{"Unit", "Date", "Completed on", "Work"}, {"U1", "2026-03-02", "2026-03-05", "tyres"}, {"U1", "2026-05-02", "", "oil service"}, {"U2", "2026-03-02", "", "tyres"}}
	for told, want := range map[string]bool{"ignore": false, "closed": true} {
		l, err := Recognise(rows, Options{Told: map[string]string{"Completed on": told}})
		require.NoError(t, err)
		assert.Equal(t, want, l.Columns[2].Closing, told)
		assert.Equal(t, Date, l.Columns[1].Field)
		assert.Empty(t, l.Ambiguous)
	}
}

// What the job calls the date of the work is that, though another column is headed so too.
func TestDayOfClosingToldAsTheDate(t *testing.T) {
	l, err := Recognise([][]string{{"Unit", "Date", "Completed on", "Work"}, {"U1", "2026-03-02", "2026-03-05", "tyres"}, {"U1", "2026-05-02", "2026-05-05", "oil service"}}, Options{Told: map[string]string{"Completed on": "date"}})
	require.NoError(t, err)
	assert.Equal(t, "unit - date text", fieldsIn(l))
	assert.True(t, l.Columns[2].Closing)
	assert.Empty(t, l.Ambiguous)
}

func TestBothEndsOfAnOdometer(t *testing.T) {
	for name, heads := range map[string][]string{
		"workshop": {"Unit", "Date", "Work", "Odometer in", "Odometer out"}, "units": {"Unit", "Date", "Work", "Km in", "Km out"}, "German": {"Unit", "Datum", "Arbeiten", "km-Stand bei Abholung", "km-Stand bei Rückgabe"},
		"brackets": {"Unit", "Date", "Work", "Mileage at start (miles)", "Mileage at end (miles)"}, "French": {"Unit", "Date", "Travaux", "Kilométrage départ", "Kilométrage retour"},
	} {
		l, err := Recognise([][]string{heads, {"U1", "2026-03-02", "tyres", "79000", "79010"}, {"U1", "2026-05-02", "oil service", "81000", ""}, {"U2", "2026-03-02", "tyres", "70000", "70020"}}, Options{})
		require.NoError(t, err, name)
		assert.Equal(t, Ignore, l.Columns[3].Field, name)
		assert.Equal(t, Odometer, l.Columns[4].Field, name)
		assert.Equal(t, []int{3}, l.Columns[4].Else, name)
	}
	l, err := Recognise([][]string{{"Unit", "Date", "Work", "Odometer in", "Odometer out"}, {"U1", "2026-03-02", "tyres", "79000", "79010"}}, Options{Told: map[string]string{"Odometer in": "odometer", "Odometer out": "ignore"}})
	require.NoError(t, err)
	assert.Equal(t, Odometer, l.Columns[3].Field)
	assert.Empty(t, l.Columns[3].Else)
}

// TestDoneByDaysOrCrosses: under "Done" days and crosses say that the work was done, and blanks that it was not, whether the heading or the job makes it the status. Where people write yes and no, a blank says nothing.
func TestDoneByDaysOrCrosses(t *testing.T) {
	for rows, want := range map[string]bool{
		"17|2026-03-02|pads|2026-03-05\n18|2026-03-03|belt|no\n19|2026-03-03|belt|": true,
		"17|2026-03-02|pads|x\n18|2026-03-03|belt|\n19|2026-03-03|belt|":            true,
		"17|2026-03-02|pads|yes\n18|2026-03-03|belt|no\n19|2026-03-03|belt|":        false,
	} {
		for _, told := range []map[string]string{nil, {"Done": "status"}} {
			l, err := Recognise(sheetOf("Unit|Date|Work|Done\n"+rows), Options{Told: told})
			require.NoError(t, err)
			assert.Equal(t, Status, l.Columns[3].Field, rows)
			assert.Equal(t, want, l.Columns[3].Closing, rows)
		}
	}
}

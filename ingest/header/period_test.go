package header

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPeriods: quarters, weeks, months and days as people head columns with them. Ends of ISO weeks after the calendar of 2026 (1 January is a Thursday).
func TestPeriods(t *testing.T) {
	for text, want := range map[string]string{
		"Q1 2026": "2026-03-31", "2026 Q4": "2026-12-31", "Q2/26": "2026-06-30", "3. Quartal 2026": "2026-09-30", "T1 2026": "2026-03-31", "1 кв. 2026": "2026-03-31",
		"KW 1/2026": "2026-01-04", "2026-W35": "2026-08-30", "Week 53 2026": "2027-01-03", "wk 35/26": "2026-08-30", "Semana 1 2026": "2026-01-04",
		"Jan": "", "September": "", "ottobre": "", "Q1": "", "KW 35": "", "30.09.": "", "30 Sep": "",
	} {
		p := periodOf(text)
		require.NotEmpty(t, p.kind, text)
		if want == "" {
			assert.Zero(t, p.year, text)
			continue
		}
		require.Equal(t, want[:4] == "2026" || p.n == 53, p.year == 2026, text)
		assert.Equal(t, want, p.last(p.year).Format(time.DateOnly), text)
	}
	for _, text := range []string{"", "U1", "Q5 2026", "KW 54", "Week", "Quarter", "2026", "12", "Jan 2026", "40.13.", "Q1 of the year", "Odometer", "80.000"} {
		assert.Empty(t, periodOf(text).kind, text)
	}
}

// TestYearsAreGuessed: what the job is asked for names the year of the sheet, or the last that is over; columns go on over a turn of the year.
func TestYearsAreGuessed(t *testing.T) {
	ask := func(head string, o Options) []Choice {
		l, err := Recognise(sheetOf("Unit|Model|"+head+"\nU1|Heron|80000|81000|82000\nU2|Teal|40000|40500|41000"), o)
		require.NoError(t, err)
		for _, p := range l.Ambiguous {
			if len(p.Choices) == 3 {
				return p.Choices
			}
		}
		return nil
	}
	days := func(choices []Choice) (out []string) {
		for _, c := range choices {
			assert.Equal(t, OdometerByMonth, c.Field)
			out = append(out, c.Day)
		}
		return out
	}
	today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	assert.Equal(t, []string{"2026-09", "2026-10", "2026-11"}, days(ask("Sep|Oct|Nov", Options{Today: today})), "this month is not over, and may be meant")
	assert.Equal(t, []string{"2025-10", "2025-11", "2025-12"}, days(ask("Oct|Nov|Dec", Options{Today: today.AddDate(0, -1, 0)})))
	assert.Equal(t, []string{"2025-11", "2025-12", "2026-01"}, days(ask("Nov|Dec|Jan", Options{Today: today})))
	assert.Equal(t, []string{"2024-01", "2024-02", "2024-03"}, days(ask("Jan|Feb|Mar", Options{Today: today, Named: []string{"Fleet 2024"}})))
	assert.Equal(t, []string{"2026-03-31", "2026-06-30", "2026-09-30"}, days(ask("Q1|Q2|Q3", Options{Today: today})))
	assert.Nil(t, ask("Jan|Feb|Mar", Options{Today: today, Above: []string{"Odometer 2026"}}), "the title dates them")
	assert.NotNil(t, ask("Jan|Feb|Mar", Options{Today: today, Above: []string{"Odometer FY 2026"}}), "a financial year is of two years")
	assert.Nil(t, ask("Jan|Feb|Mar", Options{Today: today, Above: []string{"Fuel 2026"}}), "left alone")
}

// TestDaysAreTold: the job dates columns whose heading does not.
func TestDaysAreTold(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Model|Jan|Week 9\nU1|Heron|80000|81000"), Options{Told: map[string]string{"Jan": "odometer_by_month 2026-01", "column D": "odometer_by_month 2026-03-01"}})
	require.NoError(t, err)
	for i, want := range map[int]string{2: "2026-01-31", 3: "2026-03-01"} {
		assert.Equal(t, OdometerByMonth, l.Columns[i].Field)
		assert.Equal(t, want, l.Columns[i].Day.Format(time.DateOnly))
		assert.True(t, l.Columns[i].DayTold)
	}
	assert.Empty(t, l.Ambiguous)
}

// TestPiecesOfVIN: columns are put together only where they make VINs and the first speaks of one.
func TestPiecesOfVIN(t *testing.T) {
	for table, want := range map[string][]int{
		"Unit|WMI|VDS|VIS\nU1|Z9K|HA11B5|HK100001\nU2|Z9K|HA11B5|HK100002":                    {2, 3},
		"Unit|VIN|Model\nU1|Z9KHA11B5|HK100001\nU2|Z9KHA11B5|HK100002":                        nil, // the second is a column of its own
		"Unit|Chassis|\nU1|Z9KHA11B5|HK100001\nU2|Z9KHA11B5|HK100002":                         {2},
		"Unit|VIN prefix|VIN suffix\nU1|Z9KHA11B5HK|1\nU2|Z9KHA11B5HK|2":                      nil, // zeros are lost
		"Unit|Type|Serial\nU1|Z9KHA11B5|HK100001\nU2|Z9KHA11B5|HK100002":                      nil, // nothing speaks of a VIN
		"Unit|VIN|VIN last 8\nU1|Z9KHA11B5HK100001|HK100001\nU2|Z9KHA11B5HK100002|HK100002":   nil, // whole already
		"Unit|VIN|Rest of it|Model\nU1|Z9KHA11B5|HK100001|Heron\nU2|Z9KHA11B5|HK100002|Heron": {2},
	} {
		l, _ := Recognise(sheetOf(table), Options{})
		var got []int
		for _, c := range l.Columns {
			if len(c.With) > 0 {
				assert.Equal(t, VIN, c.Field, table)
				got = c.With
			}
		}
		assert.Equal(t, want, got, table)
	}
}

// TestSecondHeadings: a row below the heading that says the same in another language is one more; a row of a vehicle is none.
func TestSecondHeadings(t *testing.T) {
	l, err := Recognise(sheetOf("Unit|Model|Odometer\nEinheit|Modell|Kilometerstand\nU1|Heron|80000"), Options{})
	require.NoError(t, err)
	assert.True(t, l.IsHeading([]string{"Einheit", "Modell", "Kilometerstand"}))
	l, err = Recognise(sheetOf("Unit|Model|Depot\nVan|Model|Depot X\nU2|Teal|North"), Options{})
	require.NoError(t, err)
	assert.False(t, l.IsHeading([]string{"Van", "Model", "Depot X"}))
}

// TestOtherOdometer: a second column that may be the odometer, and shows more, is asked about; one that shows the same is not.
func TestOtherOdometer(t *testing.T) {
	for total, want := range map[string]bool{"80000": true, "12000": false, "11000": false} {
		l, err := Recognise(sheetOf("Unit|Model|Odometer|Total km\nU1|Heron|12000|"+total), Options{})
		require.NoError(t, err)
		assert.Equal(t, Odometer, l.Columns[2].Field)
		asked := false
		for _, p := range l.Ambiguous {
			asked = asked || len(p.Choices) == 2
		}
		assert.Equal(t, want, asked, total)
	}
}

package bulletin

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/ingest/value"
	"pitlist/score"
)

func TestBuildCells(t *testing.T) {
	for _, c := range []struct {
		rule, first, last string
		d                 dates
		want, err         string
	}{
		{"two days", "24/02/2010", "27/05/2010", dates{}, "2010-02-24..2010-05-27", ""},
		{"eight digits", "20100224", "20100527", dates{}, "2010-02-24..2010-05-27", ""},
		{"serials of a workbook", "40233", "40325", dates{}, "2010-02-24..2010-05-27", ""},
		{"serials that count from 1904", "38771", "38863", dates{date1904: true}, "2010-02-24..2010-05-27", ""},
		{"months count whole", "02/2010", "05/2010", dates{}, "2010-02-01..2010-05-31", ""},
		{"years count whole", "2009", "2010", dates{}, "2009-01-01..2010-12-31", ""},
		{"one cell", "24.02.2010 - 27.05.2010", "", dates{}, "2010-02-24..2010-05-27", ""},
		{"days of hyphens in one cell", "2010-02-24 to 2010-05-27", "", dates{}, "2010-02-24..2010-05-27", ""},
		{"day first", "03/04/2010", "05/06/2010", dates{order: value.DayFirst}, "2010-04-03..2010-06-05", ""},
		{"month first", "03/04/2010", "05/06/2010", dates{order: value.MonthFirst}, "2010-03-04..2010-05-06", ""},
		{"two digits of the year", "24/02/10", "27/05/10", dates{}, "2010-02-24..2010-05-27", ""},
		{"between two days", "between 24/02/2010 and 27/05/2010", "", dates{}, "2010-02-24..2010-05-27", ""},
		{"from the one to the other", "from 24/02/2010 to 27/05/2010", "", dates{}, "2010-02-24..2010-05-27", ""},
		{"years with a hyphen", "2009-2010", "", dates{}, "2009-01-01..2010-12-31", ""},
		{"only the last", "", "27/05/2010", dates{}, "..2010-05-27", ""},
		{"only the first", "24/02/2010", "n/a", dates{}, "2010-02-24..", ""},

		{"neither order", "03/04/2010", "05/06/2010", dates{}, "", "day first or month first"},
		{"reversed", "27/05/2010", "24/02/2010", dates{}, "", "ends before it begins"},
		{"the date that programs write for none", "01/01/1900", "27/05/2010", dates{}, "", "no date"},
		{"words", "early 2010", "27/05/2010", dates{}, "", "date"},
		{"a VIN", "Z9KLA4E27G1200000", "", dates{}, "", "date"},
		{"no day of the calendar", "31/02/2010", "27/05/2010", dates{order: value.DayFirst}, "", ""},
		{"two months of a list", "January 2010 and March 2010", "", dates{}, "", "several dates"},
		{"two months on two lines", "01/2010\n03/2010", "", dates{}, "", "several dates"},
		{"two years of a list", "2010 and 2012", "", dates{}, "", "several dates"},
		{"onwards", "24/02/2010 onwards", "", dates{}, "", "behind the date"},
		{"from a day on", "from 24/02/2010", "", dates{}, "", "date"},
		{"from a month on", "from 06/2015", "", dates{}, "", "date"},
		{"a dash behind", "06/2015 -", "", dates{}, "", "open ended"},
		{"a dash before", "– 06/2015", "", dates{}, "", "open ended"},
		{"up to", "up to 24/02/2010", "", dates{}, "", "date"},
		{"a day of a century ago", "31/05/1965", "27/05/2010", dates{}, "", "no day that a catalogue takes (1971 to 2100)"},
		{"two ranges", "24/02/2010 to 27/05/2010", "01/07/2010", dates{}, "", "more than one range"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			got, err := c.d.readBuild(c.first, c.last, c.last != "" || c.rule == "only the first")
			if c.want == "" {
				require.Error(t, err)
				assert.Contains(t, err.Error(), c.err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, got.String())
		})
	}
}

func TestYearCells(t *testing.T) {
	for _, c := range []struct{ rule, first, last, want, err string }{
		{"one", "2015", "", "2015", ""},
		{"a range", "2015-2017", "", "2015-2017", ""},
		{"two columns", "2015", "2017", "2015-2017", ""},
		{"a list", "2013, 2015 and 2016", "", "2013 2015 2016", ""},
		{"a raw number", "2015.0", "", "2015", ""},
		{"not known", "9999", "", "", ""},
		{"reversed", "2017-2015", "", "", "ends before"},
		{"two digits", "15", "", "", "four digits"},
		{"only the last", "", "2015", "", "only the last"},
		{"far", "1066", "", "", "no model year"},
		{"only the first", "2015", "", "", "open ended"},
		{"raw numbers in two columns", "2015.0", "2017.0", "2015-2017", ""},
		{"a list beside one last year", "2013, 2015", "2017", "", "which belong together"},
		{"a list of last years", "2015", "2017, 2018", "", "which belong together"},
		{"onwards", "2015 onwards", "", "", "four digits"},
		{"a dash and nothing", "2015-", "", "", "four digits"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			got, err := readYears(c.first, c.last, c.last != "" || c.rule == "only the first")
			if c.want == "" {
				require.Error(t, err)
				assert.Contains(t, err.Error(), c.err)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, strings.Join(texts(got, score.YearRange.String), " "))
		})
	}
}

// TestDateOrderOfATable: one date that can be read only one way decides for all
// columns of the table; where none can, the user does, and else nothing is read.
func TestDateOrderOfATable(t *testing.T) {
	head := []string{"Recall number", "Make", "Model", "Launch date", "Build start", "Build end"}
	build := func(o value.Order, launch string) (string, bool) {
		res := lay(t, Options{DateOrder: o}, head, []string{"R1", "Northfold", "Heron", launch, "03/04/2010", "05/06/2010"})
		if res.Rows[0].Fit == nil {
			return "", false
		}
		return res.Rows[0].Fit.String(), true
	}
	got, _ := build("", "25/12/2010")
	assert.Contains(t, got, "2010-04-03..2010-06-05")
	got, _ = build("", "12/25/2010")
	assert.Contains(t, got, "2010-03-04..2010-05-06")
	got, _ = build(value.MonthFirst, "07/08/2010")
	assert.Contains(t, got, "2010-03-04..2010-05-06")
	_, drafted := build("", "07/08/2010")
	assert.False(t, drafted, "neither day nor month can be told")
	res := lay(t, Options{}, head, []string{"R1", "Northfold", "Heron", "25/12/2010", "03/04/2010", "05/06/2010"})
	assert.Equal(t, `"25/12/2010" has the day first`, res.Tables[0].Dates)
	res = lay(t, Options{}, head, []string{"R1", "Northfold", "Heron", "25/12/2010", "12/25/2010", "05/06/2010"})
	assert.Contains(t, res.Tables[0].Dates, "the month", "a table that shows both says so")
	res = lay(t, Options{}, head, []string{"R1", "Northfold", "Heron", "25/12/2010", "2010-04-03", "2010-06-05"})
	assert.Empty(t, res.Tables[0].Dates, "no date hangs on it")
}

// lay reads one table of rows.
func lay(t testing.TB, o Options, rows ...[]string) *Result {
	t.Helper()
	table, err := New("table.csv", "", false, o)
	require.NoError(t, err)
	for i, r := range rows {
		require.NoError(t, table.Add(i+1, r, ""))
	}
	res, err := Read([]*Table{table}, o)
	require.NoError(t, err)
	return res
}

package ingest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"go.uber.org/goleak"

	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
)

func TestMain(m *testing.M) {
	goleak.VerifyTestMain(m, goleak.Cleanup(func(code int) {
		if bigDir != "" {
			os.RemoveAll(bigDir)
		}
		os.Exit(code)
	}))
}

// Invented VINs of good form (make Northfold).
const (
	vinA = "Z9KHA11B5HK100001"
	vinB = "Z9KHA11B5HK100002"
	vinC = "Z9KHA11B5HK100003"
)

// runDay is the day of every run in these tests.
var runDay = day(2026, 11, 25)

func day(y, m, d int) score.Day {
	return odometer.DayOf(time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC))
}

// serial is a day as a workbook stores it (ISO/IEC 29500: days since the
// last day of 1899, the false leap day counted).
func serial(d score.Day) int {
	return int(d.Time().Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

// table is one sheet, cell by cell.
type table struct {
	name string
	rows [][]any
}

func sheetOf(name string, rows ...[]any) table { return table{name, rows} }

func row(cells ...any) []any { return cells }

// workbook writes the tables as one workbook; change may do more to it.
func workbook(t testing.TB, change func(*excelize.File), tables ...table) string {
	t.Helper()
	f := excelize.NewFile()
	for i, tab := range tables {
		if i == 0 {
			require.NoError(t, f.SetSheetName("Sheet1", tab.name))
		} else {
			_, err := f.NewSheet(tab.name)
			require.NoError(t, err)
		}
		for r, cells := range tab.rows {
			for c, v := range cells {
				if v == nil {
					continue
				}
				at, err := excelize.CoordinatesToCellName(c+1, r+1)
				require.NoError(t, err)
				require.NoError(t, f.SetCellValue(tab.name, at, v))
			}
		}
	}
	if change != nil {
		change(f)
	}
	path := filepath.Join(t.TempDir(), "fleet.xlsx")
	require.NoError(t, f.SaveAs(path))
	require.NoError(t, f.Close())
	return path
}

// textFile writes lines as a text file.
func textFile(t testing.TB, name string, lines ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o600))
	return path
}

// result is a Result with what the tests ask of it.
type result struct {
	*Result
	t testing.TB
}

// read reads the files with the options of an ordinary job.
func read(t testing.TB, paths ...string) result {
	t.Helper()
	inputs := make([]Input, len(paths))
	for i, p := range paths {
		inputs[i].Path = p
	}
	return readWith(t, inputs, Options{})
}

func readWith(t testing.TB, inputs []Input, o Options) result {
	t.Helper()
	res, err := tryRead(t, inputs, o)
	require.NoError(t, err)
	return result{res, t}
}

func tryRead(t testing.TB, inputs []Input, o Options) (*Result, error) {
	t.Helper()
	if o.Day == 0 {
		o.Day = runDay
	}
	if o.Market == "" {
		o.Market = "eu"
	}
	o.TmpDir = t.TempDir()
	return Read(context.Background(), inputs, o)
}

// names lists the vehicles' names in the fleet's order.
func (r result) names() []string {
	var out []string
	for i := range r.Fleet.Vehicles {
		out = append(out, r.Fleet.Vehicles[i].Name())
	}
	return out
}

// vehicle finds the one vehicle that a word names.
func (r result) vehicle(word string) *score.Vehicle {
	r.t.Helper()
	var found *score.Vehicle
	for i := range r.Fleet.Vehicles {
		if v := &r.Fleet.Vehicles[i]; Names(v, word) || v.VINPrefix == word {
			require.Nil(r.t, found, "two vehicles are called %s", word)
			found = v
		}
	}
	require.NotNil(r.t, found, "no vehicle %s among %v", word, r.names())
	return found
}

// counts writes the account of a sheet: used, set aside, rejected, merged,
// blank.
func (r result) counts(sheet string) string {
	r.t.Helper()
	for _, c := range r.Fleet.Counts {
		if c.Source.Sheet == sheet {
			return fmt.Sprintf("%d = %d used + %d set aside + %d rejected + %d merged + %d blank", c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank)
		}
	}
	r.t.Fatalf("no sheet %q", sheet)
	return ""
}

// issues lists the issues of a sheet, as "row severity: reason".
func (r result) issues(sheet string) []string {
	var out []string
	for _, i := range r.Fleet.Issues {
		if s, _ := r.Fleet.SourceOf(i.Ref); s.Sheet == sheet {
			out = append(out, fmt.Sprintf("%d %s: %s", i.Ref.Row, i.Severity, i.Reason))
		}
	}
	return out
}

// issue finds the one issue on a row whose reason holds a text.
func (r result) issue(sheet string, row int, text string) score.Issue {
	r.t.Helper()
	var all []score.Issue
	for _, i := range r.Fleet.Issues {
		if s, _ := r.Fleet.SourceOf(i.Ref); s.Sheet == sheet && int(i.Ref.Row) == row && strings.Contains(i.Reason.String(), text) {
			all = append(all, i)
		}
	}
	require.Len(r.t, all, 1, "issues of %q row %d with %q among:\n%s", sheet, row, text, strings.Join(r.issues(sheet), "\n"))
	return all[0]
}

// sheet finds the view of a sheet.
func (r result) sheet(name string) *SheetView {
	r.t.Helper()
	i := slices.IndexFunc(r.Sheets, func(s SheetView) bool { return s.Source.Sheet == name })
	require.GreaterOrEqual(r.t, i, 0, "no sheet %q", name)
	return &r.Sheets[i]
}

// column finds how a column was understood.
func (r result) column(sheet, heading string) *ColumnView {
	r.t.Helper()
	s := r.sheet(sheet)
	i := slices.IndexFunc(s.Columns, func(c ColumnView) bool { return c.Column.Heading == heading })
	require.GreaterOrEqual(r.t, i, 0, "no column %q", heading)
	return &s.Columns[i]
}

// notes joins the notes of a sheet.
func (r result) notes(sheet string) string { return say.Join("\n", r.sheet(sheet).Notes...).String() }

func containsAll(s string, parts ...string) bool {
	for _, p := range parts {
		if !strings.Contains(s, p) {
			return false
		}
	}
	return true
}

func sorted(s []string) []string {
	slices.Sort(s)
	return s
}

package ingest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/ingest/header"
	"pitlist/score"
	"pitlist/score/say"
)

// messy is a sheet with all that surrounds data: a title above, blank rows,
// headings again in the middle, a total and a foot note.
var messy = [][]any{
	row("Fleet of the harbour"), nil, row("Unit", "Model", "Odometer"),
	row("U1", "Heron", 80000), nil, row("Unit", "Model", "Odometer"), row("U2", "Teal", 90000),
	row("Total", nil, 170000), row("* readings as the drivers gave them"),
}

// TestWhatSurroundsTheData: the same account for a workbook and a text file.
func TestWhatSurroundsTheData(t *testing.T) {
	var lines []string
	for _, r := range messy {
		cells := make([]string, len(r))
		for i, c := range r {
			if s, ok := c.(string); ok {
				cells[i] = s
			} else if n, ok := c.(int); ok {
				cells[i] = string(rune('0'+n/10000)) + "0000"
			}
		}
		lines = append(lines, strings.Join(cells, ";"))
	}
	style := func(f *excelize.File) {
		s, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
		require.NoError(t, err)
		for _, at := range []string{"A2", "A5"} {
			require.NoError(t, f.SetCellStyle("Units", at, at, s))
		}
	}
	lines[7] = "Total;;170000"
	for name, path := range map[string]string{"Units": workbook(t, style, table{"Units", messy}), "": textFile(t, "units.csv", lines...)} {
		r := read(t, path)
		assert.Equal(t, "9 = 2 used + 2 set aside + 0 rejected + 0 merged + 5 blank", r.counts(name))
		assert.Equal(t, []string{"U1", "U2"}, r.names())
		assert.Equal(t, int32(7), r.vehicle("U2").Ref.Row)
		assert.Equal(t, 3, r.sheet(name).Heading)
		assert.Contains(t, r.issue(name, 8, "totals").Reason.String(), "totals")
		assert.Contains(t, r.issue(name, 9, "foot note").Reason.String(), "foot note")
	}
}

func TestHiddenSheetsAndRows(t *testing.T) {
	path := workbook(t, func(f *excelize.File) {
		require.NoError(t, f.SetSheetVisible("Old", false))
		require.NoError(t, f.SetRowVisible("Units", 3, false))
	}, unitsSheet, sheetOf("Old", row("Unit", "Model"), row("U9", "Heron")))
	r := read(t, path)
	assert.Equal(t, []string{"U1", "U2"}, r.names())
	assert.Contains(t, r.notes("Units"), "1 row is hidden or filtered out; it was read like the others")
	assert.Equal(t, "2 = 0 used + 2 set aside + 0 rejected + 0 merged + 0 blank", r.counts("Old"))
	assert.Equal(t, score.SetAside, r.issue("Old", 1, "hidden sheet").Severity)
	assert.Equal(t, 1, r.Fleet.Counts[0].Hidden)

	named := readWith(t, []Input{{Path: path, Sheets: []Told{{Name: "old"}}}}, Options{})
	assert.Equal(t, []string{"U1", "U2", "U9"}, named.names(), "a hidden sheet that the job names is read")
}

func TestErrorCellsCountAsMissing(t *testing.T) {
	r := read(t, workbook(t, nil, sheetOf("Units", row("Unit", "VIN", "Model", "Odometer", "Codes"), row("U1", "#REF!", "#DIV/0!", "#VALUE!", "#N/A"), row("U2", vinB, "Heron", 80000, "none"))))
	v := r.vehicle("U1")
	assert.Equal(t, []any{"", 0, 0}, []any{v.Model, len(v.Readings), len(v.Scans)})
	assert.Empty(t, r.issues("Units"))
	for _, heading := range []string{"VIN", "Model", "Odometer", "Codes"} {
		assert.Contains(t, r.notes("Units"), "1 cell of \""+heading+"\" holds a spreadsheet error")
	}
}

func TestFormulasWithoutSavedValues(t *testing.T) {
	r := read(t, workbook(t, func(f *excelize.File) { require.NoError(t, f.SetCellFormula("Units", "C2", "1+1")) },
		sheetOf("Units", row("Unit", "Model", "Odometer"), row("U1", "Heron", nil), row("U2", "Heron", 80000))))
	assert.Contains(t, r.notes("Units"), "1 formula cell holds no saved value")
	assert.Empty(t, r.vehicle("U1").Readings)
}

// TestTold: columns, kinds and the heading's row as the job says them.
func TestTold(t *testing.T) {
	path := workbook(t, nil, sheetOf("Units", row("Unit", "Model", "Odometer"), row("X9", "Heron", 70000), row("Fleet ref", "Type", "Counter"), row("U1", "Heron", 80000)))
	in := Input{Path: path, Sheets: []Told{{Name: "Units", HeaderRow: 3, Holds: []header.Kind{header.Vehicles}, Columns: map[string]string{"Fleet ref": "unit", "Counter": "odometer", "Type": "ignore"}}}}
	r := readWith(t, []Input{in}, Options{})
	assert.Equal(t, []string{"U1"}, r.names())
	assert.Equal(t, 3, r.sheet("Units").Heading)
	assert.Empty(t, r.vehicle("U1").Model)
	assert.Equal(t, 80000.0, r.vehicle("U1").Readings[0].KM)
	assert.Equal(t, "4 = 1 used + 0 set aside + 0 rejected + 0 merged + 3 blank", r.counts("Units"))
}

func TestSheetThatIsNotThereIsNoted(t *testing.T) {
	r := readWith(t, []Input{{Path: workbook(t, nil, unitsSheet), Sheets: []Told{{Name: " units "}, {Name: "Repairs"}}}}, Options{})
	assert.Equal(t, `the job names a sheet "Repairs", which this workbook does not have`, say.Join("\n", r.Files[0].Notes...).String())
}

func TestAmbiguousHeadingsAreShown(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Repairs", row("Unit", "Work", "Date", "Date"), row("U1", "oil service", "2026-01-02", "2026-02-03"))))
	i := r.issue("Repairs", 1, "may each be date")
	assert.Equal(t, "Date", i.Column)
	assert.Contains(t, i.Suggestion.String(), "column C")
}

func TestEmptySheetIsNoFault(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Empty")))
	assert.Equal(t, "empty sheet", r.sheet("Empty").Skipped.String())
	assert.Equal(t, "0 = 0 used + 0 set aside + 0 rejected + 0 merged + 0 blank", r.counts("Empty"))
	assert.Empty(t, r.issues("Empty"))
}

func TestSheetWithoutHeadingIsSetAside(t *testing.T) {
	r := read(t, workbook(t, nil, unitsSheet, sheetOf("Notes", nil, row("call the harbour office"), row("ask for the keys"))))
	assert.Equal(t, "2 = 0 used + 2 set aside + 0 rejected + 0 merged + 0 blank", r.counts("Notes"))
	i := r.issue("Notes", 2, "no heading row")
	assert.Equal(t, score.SetAside, i.Severity)
	assert.Contains(t, i.Suggestion.String(), "columns")
}

// TestQuotesInTextFiles: a row whose quotation does not come out is used with
// its quotes as plain text, and said; one that cannot be read is rejected.
func TestQuotesInTextFiles(t *testing.T) {
	r := read(t, textFile(t, "units.csv", "Unit;Model;Remarks", `U1;Heron;"19" wheel`, "U2;Teal;\x00", "U3;Teal;good"))
	assert.Equal(t, []string{"U1", "U3"}, r.names())
	assert.Equal(t, `"19" wheel`, r.vehicle("U1").Remarks[0].Text)
	assert.Equal(t, score.Noted, r.issue("", 2, "plain text").Severity)
	assert.Equal(t, score.Rejected, r.issue("", 3, "NUL").Severity)
	assert.Equal(t, "4 = 2 used + 0 set aside + 1 rejected + 0 merged + 1 blank", r.counts(""))
	assert.Len(t, r.Files[0].SHA256, 64)
}

// TestFilesThatCannotBeRead: told of in their place; the others are read. A
// strict job stops. The account balances either way.
func TestFilesThatCannotBeRead(t *testing.T) {
	good := workbook(t, nil, unitsSheet)
	short := filepath.Join(t.TempDir(), "short.xlsx")
	data, err := os.ReadFile(good)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(short, data[:len(data)/2], 0o600))
	page := textFile(t, "list.pdf", "x")
	r := read(t, good, short, page, filepath.Join(t.TempDir(), "none.csv"))
	assert.Equal(t, []string{"U1", "U2"}, r.names())
	assert.NoError(t, r.Files[0].Err)
	for i := 1; i < 4; i++ {
		assert.Error(t, r.Files[i].Err)
		assert.NotEmpty(t, r.Sheets[i].Skipped)
	}
	rejected := 0
	for _, i := range r.Fleet.Issues {
		if i.Severity == score.Rejected {
			rejected++
			assert.Contains(t, i.Reason.String(), "file not read")
		}
	}
	assert.Equal(t, 3, rejected)

	_, err = tryRead(t, []Input{{Path: good}, {Path: short}}, Options{Strict: true})
	var f *Fault
	require.ErrorAs(t, err, &f)
	assert.NotEmpty(t, f.Hint)
}

// TestNoVehicle: each way to end without a vehicle says what stood in the way.
func TestNoVehicle(t *testing.T) {
	cases := []struct {
		rule, path, want string
	}{
		{"only events", workbook(t, nil, sheetOf("Repairs", row("Unit", "Date", "Work"), row("U1", "2026-01-02", "oil service"))), "no vehicle found"},
		{"no heading", workbook(t, nil, sheetOf("Notes", row("call the office"))), "no heading row"},
		{"empty workbook", workbook(t, nil, sheetOf("Sheet")), "empty sheet"},
		{"no such file", filepath.Join(t.TempDir(), "none.xlsx"), "no such file"},
	}
	for _, c := range cases {
		t.Run(c.rule, func(t *testing.T) {
			_, err := tryRead(t, []Input{{Path: c.path}}, Options{})
			require.ErrorIs(t, err, ErrNothing)
			assert.ErrorContains(t, err, c.want)
			var f *Fault
			require.ErrorAs(t, err, &f)
			assert.NotEmpty(t, f.Hint)
		})
	}
}

func TestCancelledReadingStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := Read(ctx, []Input{{Path: workbook(t, nil, unitsSheet)}}, Options{Day: runDay, TmpDir: t.TempDir()})
	assert.ErrorIs(t, err, context.Canceled)
}

// TestStreamStopsEarly: when the converter gives up, the reading goroutine
// has ended before each returns (goleak looks for it), and the file is closed.
func TestStreamStopsEarly(t *testing.T) {
	stop := errors.New("enough")
	src := &endless{}
	n := 0
	err := each(context.Background(), func() (rows, error) { return src, nil }, func(l *line) error {
		if n++; n == 1000 {
			return stop
		}
		return nil
	})
	assert.ErrorIs(t, err, stop)
	assert.True(t, src.closed)
}

// endless hands out rows for ever, in one slice that it fills anew.
type endless struct {
	n      int
	cells  [1]string
	closed bool
}

func (e *endless) Read() (int, []string, error) {
	e.n++
	e.cells[0] = "x"
	return e.n, e.cells[:], nil
}

func (e *endless) Close() error { e.closed = true; return nil }

// TestLinesInQuotes: a text file whose lines are one cell each says what to do.
func TestLinesInQuotes(t *testing.T) {
	r, err := tryRead(t, []Input{{Path: textFile(t, "units.csv", `"Unit,Model,Odometer"`, `"U1,Heron,80000"`)}}, Options{})
	require.ErrorIs(t, err, ErrNothing)
	res := result{r, t}
	assert.Contains(t, res.issue("", 1, "no heading row").Suggestion.String(), "quotation marks stand around whole lines")
}

// TestMergedHeadings: what is merged in the heading is no value that reaches over vehicles.
func TestMergedHeadings(t *testing.T) {
	path := workbook(t, func(f *excelize.File) {
		require.NoError(t, f.MergeCell("Units", "A1", "A2"))
		require.NoError(t, f.MergeCell("Units", "C1", "D1"))
	}, sheetOf("Units", row("Unit", "Model", "Odometer"), row(nil, nil, "km", "date"), row("U1", "Heron", 80000, "2026-09-30")))
	assert.NotContains(t, read(t, path).notes("Units"), "merged")
	path = workbook(t, func(f *excelize.File) { require.NoError(t, f.MergeCell("Units", "B2", "B3")) },
		sheetOf("Units", row("Unit", "Model", "Odometer"), row("U1", "Heron", 80000), row("U2", nil, 90000)))
	assert.Contains(t, read(t, path).notes("Units"), "1 merged cell reaches over several rows")
}

// TestClosingDayHalfKept: where more rows lack the day of closing than can be open at a time, the message names the line for a column that nobody keeps; the line answers it.
func TestClosingDayHalfKept(t *testing.T) {
	orders := [][]any{row("Unit", "Opened", "Closed", "Work")}
	for i, closed := range []any{"2026-03-05", nil, "2026-04-05", nil, "2026-05-05", nil} {
		orders = append(orders, row("U1", fmt.Sprintf("2026-%02d-01", i+1), closed, "oil service"))
	}
	path := workbook(t, nil, unitsSheet, sheetOf("Orders", orders...))
	r := read(t, path)
	require.Len(t, r.Fleet.Issues, 1)
	assert.Contains(t, r.Fleet.Issues[0].Suggestion.String(), "where nobody keeps the column, say Closed: ignore in the job's columns")
	res, err := tryRead(t, []Input{{Path: path, Sheets: []Told{{Name: "Orders", Columns: map[string]string{"Closed": "ignore"}}}}}, Options{})
	require.NoError(t, err)
	for _, p := range (result{res, t}).vehicle("U1").Repairs {
		assert.Empty(t, string(p.Status))
	}
}

package workbook_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/workbook"
	"pitlist/score"
	"pitlist/score/say"
)

func study() *report.Study {
	curve := []report.XY{{X: 0}, {X: 50000, Y: 0.1}, {X: 100000, Y: 0.4}, {X: 200000, Y: 0.8}}
	low := []report.XY{{X: 0}, {X: 50000, Y: 0.05}, {X: 100000, Y: 0.3}, {X: 200000, Y: 0.7}}
	section := func(name string) report.Section {
		return report.Section{
			Heading: say.Plain(name), Paragraphs: []say.Text{say.Plain(strings.Repeat("A sentence about it. ", 12))},
			Tables: []report.Table{{Heads: []say.Text{{}, say.Plain("before"), say.Plain("after")}, Rows: [][]report.Cell{
				{report.Say(say.Plain("failures")), report.Count(3), report.Count(4)},
				{report.Say(say.Plain("=1+1")), report.Portion(0.25), report.Figure(0.042)},
			}}},
			Charts: []report.Chart{{Title: say.Plain("Failed by distance"), X: say.Plain("km"), Y: say.Plain("share failed"), InPercent: true, Series: []report.Series{
				{Name: say.Plain("after"), Stroke: report.Line, Points: curve}, {Name: say.Plain("low"), Stroke: report.Dashes, Points: low},
				{Name: say.Plain("seen"), Stroke: report.Stairs, Hue: 1, Points: curve}, {Name: say.Plain("none"), Points: nil},
			}}},
		}
	}
	return &report.Study{Run: report.Run{Day: score.Day(20780)}, Title: say.Plain("north, 23 Nov 2026"), Sections: []report.Section{section("One"), section("Two")}}
}

func TestStudyHoldsItsTablesAndChartsUnderTheirHeadings(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, workbook.WriteStudy(context.Background(), &b, study(), workbook.Options{}))
	if p := os.Getenv("PITLIST_LOOK_STUDY"); p != "" {
		require.NoError(t, os.WriteFile(p, b.Bytes(), 0o644))
	}
	f := open(t, b.Bytes())
	rows, err := f.GetRows("Study")
	require.NoError(t, err)
	var first []string
	for _, r := range rows {
		if len(r) > 0 && r[0] != "" {
			first = append(first, r[0])
		}
	}
	assert.Equal(t, "north, 23 Nov 2026", first[0])
	assert.Contains(t, first, "failures")
	kind, err := f.GetCellType("Study", "A7")
	require.NoError(t, err)
	assert.NotEqual(t, excelize.CellTypeFormula, kind)
	for i, want := range []string{"Study", "Figures"} {
		assert.Equal(t, want, f.GetSheetName(i))
	}
	// Each chart stands below its section's heading and above the next one's.
	drawing := part(t, b.Bytes(), "xl/drawings/drawing1.xml")
	assert.Equal(t, 2, strings.Count(drawing, "<xdr:from>"))
	for _, to := range strings.Split(drawing, "<xdr:to><xdr:col>")[1:] {
		col, _, _ := strings.Cut(to, "<")
		assert.Equal(t, "9", col, "a chart ends where the nine columns of the tables do")
	}
	figures, err := f.GetRows("Figures")
	require.NoError(t, err)
	assert.Equal(t, []string{"km", "after", "km", "low", "km", "seen"}, figures[0][:6])
}

// TestStudySectionsOnPagesOfTheirOwn: a section that asks for it is printed from
// the top of a page, so that its chart is not cut.
func TestStudySectionsOnPagesOfTheirOwn(t *testing.T) {
	s := study()
	s.Sections[1].NewPage = true
	var b bytes.Buffer
	require.NoError(t, workbook.WriteStudy(context.Background(), &b, s, workbook.Options{}))
	f := open(t, b.Bytes())
	rows, err := f.GetRows("Study")
	require.NoError(t, err)
	heading := slices.IndexFunc(rows, func(r []string) bool { return len(r) > 0 && r[0] == "Two" })
	require.Positive(t, heading)
	// A break stands below the row that it names; above the heading is a blank row.
	assert.Contains(t, part(t, b.Bytes(), "xl/worksheets/sheet1.xml"), fmt.Sprintf(`<rowBreaks count="1" manualBreakCount="1"><brk id="%d"`, heading-1))
}

func TestStudyInSpanish(t *testing.T) {
	s := study()
	s.Run.Language = say.Spanish
	var b bytes.Buffer
	require.NoError(t, workbook.WriteStudy(context.Background(), &b, s, workbook.Options{}))
	f := open(t, b.Bytes())
	assert.Equal(t, []string{"Estudio", "Cifras"}, f.GetSheetList())
	assert.Contains(t, part(t, b.Bytes(), "xl/worksheets/sheet1.xml"), "página &amp;P de &amp;N")
	assert.Contains(t, part(t, b.Bytes(), "xl/charts/chart1.xml"), "&#39;Cifras&#39;!", "the series point to the sheet by its name")
}

func TestStudySameBytes(t *testing.T) {
	var a, b bytes.Buffer
	require.NoError(t, workbook.WriteStudy(context.Background(), &a, study(), workbook.Options{}))
	require.NoError(t, workbook.WriteStudy(context.Background(), &b, study(), workbook.Options{}))
	assert.True(t, bytes.Equal(a.Bytes(), b.Bytes()))
}

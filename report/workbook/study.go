package workbook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/score/say"
)

// The sheets of a study: what people read, and the figures behind its charts.
var (
	sheetStudy   = say.F("Study")
	sheetFigures = say.F("Figures")
)

// A study's columns: the first for names, the others alike, so that tables of
// any kind stand under each other and print on one page's width.
const (
	studyColumns = 9
	nameWidth    = 30
	figureWidth  = 13
	chartRows    = 24 // of plain height, under a chart
)

// WriteStudy writes a study as a workbook of one sheet with native charts; the
// figures that the charts show stand on a second one.
func WriteStudy(ctx context.Context, w io.Writer, s *report.Study, opts Options) (err error) {
	b := &book{ctx: ctx, doc: &report.Document{Run: s.Run, Title: s.Title}, opts: opts, speaks: s.Run.Speaks(), styles: map[look]int{},
		file: excelize.NewFile(excelize.Options{TmpDir: opts.TmpDir})}
	defer func() { err = errors.Join(err, b.file.Close()) }()
	if err := errors.Join(b.properties(), b.sheet(0, b.speaks.Say(sheetStudy)), b.sheet(1, b.speaks.Say(sheetFigures))); err != nil {
		return err
	}
	if err := b.study(s); err != nil {
		return fmt.Errorf("sheet %q: %w", sheetStudy.String(), err)
	}
	var raw bytes.Buffer
	if err := b.file.Write(&raw); err != nil {
		return fmt.Errorf("write workbook: %w", err)
	}
	return settle(w, raw.Bytes())
}

// study lays the sheet out twice: once to learn where the charts stand, since
// they must be there before the rows are streamed, and once to write it.
func (b *book) study(s *report.Study) error {
	cols := make([]column, studyColumns)
	for i := range cols {
		width := float64(figureWidth)
		if i == 0 {
			width = nameWidth
		}
		cols[i] = column{shape: wrapped, width: width, least: width, most: width}
	}
	plan := &studyWriter{grid: &grid{book: b, cols: cols}}
	if plan.all(s); plan.err != nil {
		return plan.err
	}
	figures := &chartSheet{book: b, sheet: b.speaks.Say(sheetStudy), figures: b.speaks.Say(sheetFigures), next: 1}
	for _, at := range plan.charts {
		figures.draw(at.row, at.chart)
	}
	if figures.err != nil {
		return figures.err
	}
	g, err := b.grid(sheetStudy, cols, page{portrait: true, lastRow: plan.row})
	if err != nil {
		return err
	}
	out := &studyWriter{grid: g}
	if out.all(s); out.err != nil {
		return out.err
	}
	return g.end()
}

// placed is a chart with the row at which it stands.
type placed struct {
	row   int
	chart *report.Chart
}

// studyWriter writes a study's rows; it remembers its first error.
type studyWriter struct {
	*grid
	charts []placed
	err    error
}

func (w *studyWriter) do(err error) {
	if w.err == nil {
		w.err = err
	}
}

func (w *studyWriter) all(s *report.Study) {
	w.do(w.across(title, s.Title))
	for i := range s.Sections {
		sec := &s.Sections[i]
		if sec.NewPage && w.out != nil {
			w.do(w.out.InsertPageBreak(fmt.Sprintf("A%d", w.row+1)))
		}
		w.do(w.put(lead, blank{}))
		if !sec.Heading.Empty() {
			w.do(w.across(section, sec.Heading))
		}
		for _, p := range sec.Paragraphs {
			w.do(w.across(lead, p))
		}
		for j := range sec.Tables {
			w.table(&sec.Tables[j])
		}
		for j := range sec.Charts {
			w.charts = append(w.charts, placed{w.row + 2, &sec.Charts[j]})
			for range chartRows {
				w.do(w.put(lead, blank{}))
			}
		}
	}
}

func (w *studyWriter) table(t *report.Table) {
	w.do(w.put(lead, blank{}))
	heads := make([]any, min(len(t.Heads), studyColumns))
	for i := range heads {
		heads[i] = t.Heads[i]
	}
	w.do(w.put(heading, heads...))
	for _, r := range t.Rows {
		w.tableRow(r)
	}
}

// tableRow writes one row of a table, each cell in the form of its own number.
func (w *studyWriter) tableRow(cells []report.Cell) {
	values := make([]excelize.Cell, 0, studyColumns)
	tall := 1
	for i, c := range cells[:min(len(cells), studyColumns)] {
		v, k := w.cellOf(c)
		id, err := w.book.style(look{plain, k})
		w.do(err)
		if s, ok := v.(string); ok {
			tall = max(tall, textLines(s, w.cols[i].width-2))
		}
		values = append(values, excelize.Cell{StyleID: id, Value: v})
	}
	row := make([]any, len(values))
	for i := range values {
		row[i] = values[i]
	}
	w.do(w.write(height(tall), row))
}

// cellOf is a study's cell as a sheet holds it.
func (w *studyWriter) cellOf(c report.Cell) (any, shape) {
	switch {
	case c.Empty():
		return nil, wrapped
	case c.Form == report.InWhole:
		return rounded(c.Number, whole), whole
	case c.Form == report.InShare:
		v, k := shown(c.Number)
		return v, k
	case c.Form == report.InFigure:
		return c.Number, figure3(c.Number)
	}
	return clean(w.book.speaks.Say(c.Text)), wrapped
}

// figure3 is the shape that shows about three significant figures.
func figure3(x float64) shape {
	switch {
	case x >= 100 || x <= -100:
		return whole
	case x >= 1 || x <= -1 || x == 0:
		return value
	}
	return small
}

// draw writes a chart's figures and puts the chart at its row.
func (c *chartSheet) draw(row int, chart *report.Chart) {
	var all []excelize.ChartSeries
	for _, s := range chart.Series {
		points := s.Points
		if s.Stroke == report.Stairs {
			points = report.Steps(points)
		}
		if len(points) == 0 {
			continue
		}
		one := c.points(chart.X, s.Name, len(points), func(k int) (float64, float64) { return points[k].X, points[k].Y })
		one.Line, one.Marker, one.Fill = drawn(s.Stroke, s.Hue)
		all = append(all, one)
	}
	if len(all) == 0 || c.err != nil {
		return
	}
	y := c.axis(chart.Y, "#,##0.##")
	top := 1.0
	if chart.InPercent || chart.Square {
		y = c.axis(chart.Y, "0%")
		y.Maximum = &top
	}
	x := c.axis(chart.X, "#,##0")
	if chart.Shares {
		x, y = c.axis(chart.X, "0%"), c.axis(chart.Y, "0%")
	}
	if chart.Square {
		x = c.axis(chart.X, "0%")
		x.Maximum = &top
	}
	c.add(fmt.Sprintf("A%d", row), &excelize.Chart{
		Type: excelize.Scatter, Series: all, Title: c.title(chart.Title), XAxis: x, YAxis: y,
		Dimension: excelize.ChartDimension{Width: unsetWidth * studyColumns, Height: 400}, // as wide as the tables: it is tied to columns not yet set
	})
}

// drawn is the look of a chart's series.
func drawn(s report.Stroke, hue int) (excelize.LineOptions, excelize.ChartMarker, excelize.Fill) {
	hue %= len(series)
	line, none := stroke(), excelize.ChartMarker{Symbol: "none"}
	switch s {
	case report.Dashes:
		line.Dash, line.Width = excelize.LineDashDash, 1.25
		return line, none, solid(series[hue].colour)
	case report.Line, report.Stairs:
		return line, none, solid(series[hue].colour)
	}
	return noStroke(), mark(hue, 7), excelize.Fill{}
}

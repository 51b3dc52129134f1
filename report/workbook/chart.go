package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"

	"pitlist/score/say"
	"pitlist/score/slip"
)

// Colours and signs of the charts: Okabe and Ito's set, which colour-blind
// readers tell apart (from memory); each series also has a sign of its own,
// so that it holds on black-and-white paper.
var series = [...]struct{ colour, sign string }{
	{"0072B2", "circle"}, {"D55E00", "triangle"}, {"009E73", "square"},
}

// The figures behind the charts stand on the same sheet, right of the page.
const dataColumn = 14 // N

// charts makes the sheet of charts with the figures they show.
func (b *book) charts() error {
	cols, sheet := make([]column, dataColumn-1), b.speaks.Say(sheetCharts)
	if err := b.file.SetColWidth(sheet, "A", "M", 11); err != nil {
		return err
	}
	if err := b.pageSetUp(sheet, cols, page{portrait: true, onePage: true}); err != nil {
		return err
	}
	id, err := b.style(look{title, text})
	if err != nil {
		return err
	}
	c := &chartSheet{book: b, sheet: sheet, figures: sheet, next: dataColumn}
	c.put(1, 1, slip.SheetCharts.Title)
	c.do(b.file.SetCellStyle(sheet, "A1", "A1", id))
	c.hoursChart()
	c.distanceChart()
	if c.err == nil && c.used == 0 {
		c.put(1, 3, say.F("Nothing in this run to draw."))
	}
	if c.err != nil {
		return c.err
	}
	return b.define("_xlnm.Print_Area", sheet, "$A$1:$M$70")
}

// chartSheet puts charts on one sheet and writes their figures column by column
// on another, or the same; it remembers its first error.
type chartSheet struct {
	*book
	sheet, figures string
	next           int // next free column
	used           int // charts made
	err            error
}

func (c *chartSheet) do(err error) {
	if c.err == nil {
		c.err = err
	}
}

func (c *chartSheet) put(col, row int, v any) {
	cell, err := excelize.CoordinatesToCellName(col, row)
	c.do(err)
	if c.err == nil {
		if said, ok := v.(say.Text); ok {
			v = clean(c.speaks.Say(said))
		}
		c.do(c.file.SetCellValue(c.figures, cell, v))
	}
}

// points writes two columns under their headings and returns a series that
// shows them, named by the heading of the second: a name from the catalogue
// never stands in a formula.
func (c *chartSheet) points(headX, nameY say.Text, n int, at func(int) (x, y float64)) excelize.ChartSeries {
	col := c.next
	c.next += 2
	c.put(col, 1, clean(c.speaks.Say(headX)))
	c.put(col+1, 1, clean(c.speaks.Say(nameY)))
	for i := range n {
		x, y := at(i)
		c.put(col, i+2, x)
		c.put(col+1, i+2, y)
	}
	letter, err := excelize.ColumnNumberToName(col + 1)
	c.do(err)
	return excelize.ChartSeries{
		Name:       fmt.Sprintf("'%s'!$%s$1", c.figures, letter),
		Categories: c.area(col, n), Values: c.area(col+1, n),
	}
}

func (c *chartSheet) area(col, n int) string {
	letter, err := excelize.ColumnNumberToName(col)
	c.do(err)
	return fmt.Sprintf("'%s'!$%s$2:$%s$%d", c.figures, letter, letter, n+1)
}

// hoursChart draws bay-hours against failures avoided, and where the run's
// line stands on that curve.
func (c *chartSheet) hoursChart() {
	curve := c.doc.Curve
	if len(curve) < 2 || c.err != nil {
		return
	}
	whole := c.points(say.F("Bay-hours"), say.F("looking in the list's order"), len(curve), func(i int) (float64, float64) { return curve[i].Hours, curve[i].Avoided })
	lineAt, avoided := c.doc.Totals.Hours, 0.0
	for _, p := range curve {
		if p.Hours <= lineAt+1e-9 {
			avoided = p.Avoided
		}
	}
	point := c.points(say.F("Bay-hours"), say.F("the line of this run"), 1, func(int) (float64, float64) { return lineAt, avoided })
	whole.Line, whole.Fill, whole.Marker = stroke(), solid(series[0].colour), excelize.ChartMarker{Symbol: "none"}
	point.Line, point.Marker = noStroke(), mark(1, 11)
	c.add("A3", &excelize.Chart{
		Type: excelize.Scatter, Series: []excelize.ChartSeries{whole, point},
		Title: c.title(say.F("Failures avoided while held, by hours in the bay")),
		XAxis: c.axis(say.F("hours in the bay"), "0"), YAxis: c.axis(say.Text{}, "0.0"),
	})
}

// distanceChart draws the chance of being worn by distance, a vehicle a
// point, for the parts with the most worn ones expected.
func (c *chartSheet) distanceChart() {
	var all []excelize.ChartSeries
	for i, cloud := range c.doc.Clouds {
		if i == len(series) || c.err != nil {
			break
		}
		one := c.points(say.F("km"), say.Plain(cloud.Name), len(cloud.Points), func(k int) (float64, float64) {
			return cloud.Points[k].Distance, cloud.Points[k].Worn
		})
		one.Line, one.Marker = noStroke(), mark(i, 6)
		all = append(all, one)
	}
	if len(all) == 0 || c.err != nil {
		return
	}
	at := "A3"
	if c.used > 0 {
		at = "A36"
	}
	y := c.axis(say.Text{}, "0%")
	top := 1.0
	y.Maximum = &top
	c.add(at, &excelize.Chart{
		Type: excelize.Scatter, Series: all,
		Title: c.title(say.F("Chance of being worn, by the km that the part has run (a sign is a vehicle)")),
		XAxis: c.axis(say.F("km run by the part"), "#,##0"), YAxis: y,
	})
}

func (c *chartSheet) add(at string, chart *excelize.Chart) {
	if chart.Dimension.Width == 0 {
		chart.Dimension = excelize.ChartDimension{Width: 1080, Height: 530}
	}
	chart.Legend = excelize.ChartLegend{Position: "bottom"}
	zero := 0.0
	chart.XAxis.Minimum, chart.YAxis.Minimum = &zero, &zero
	if c.err == nil {
		c.do(c.file.AddChart(c.sheet, at, chart))
		c.used++
	}
}

func (c *chartSheet) title(words say.Text) excelize.ChartTitle {
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.speaks.Say(words), Font: &excelize.Font{Bold: true, Size: 13, Family: fontName, Color: "000000"}}}}
}

func (c *chartSheet) axis(words say.Text, format string) excelize.ChartAxis {
	axis := excelize.ChartAxis{
		MajorGridLines: true, NumFmt: excelize.ChartNumFmt{CustomNumFmt: format},
		Font: excelize.Font{Size: 10, Family: fontName, Color: "000000"},
	}
	if name := c.speaks.Say(words); name != "" {
		axis.Title.Paragraph = []excelize.RichTextRun{{Text: name, Font: &excelize.Font{Size: 10, Family: fontName, Color: "000000"}}}
	}
	return axis
}

func mark(i, size int) excelize.ChartMarker {

	return excelize.ChartMarker{Symbol: series[i].sign, Size: size, Fill: solid(series[i].colour)}
}

func solid(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

// stroke draws a series' points joined, in the colour of its fill.
func stroke() excelize.LineOptions {
	return excelize.LineOptions{Type: excelize.LineSolid, Width: 2.25}
}

func noStroke() excelize.LineOptions { return excelize.LineOptions{Type: excelize.LineNone} }

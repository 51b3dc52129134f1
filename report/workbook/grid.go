package workbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
)

// column is one column of a long sheet.
type column struct {
	head        say.Text
	shape       shape
	least, most float64 // bounds of its width; 0: narrowest, widest
	width       float64
	off         bool   // right of the printed page
	takes       string // what is filled in, by its English heading; "" nothing
}

// chance is a probability in a cell: rounded, in whole percents or tenths.
type chance float64

// dated is a day in a cell of its own; 0 where none is known.
type dated score.Day

// dayZero is 1 January 1970 as a spreadsheet counts days (ECMA-376 part 1,
// 18.17.4.1).
const dayZero = 25569

// blank is an empty cell that still has its row's look.
type blank struct{}

// fillIn is an empty cell for people to type in.
type fillIn struct{}

// marked is a text for the program, kept whole.
type marked string

// loud is a text that stands out in its row.
type loud struct{ say.Text }

// pen is an empty cell to write in by hand; the program does not read it.
type pen struct{}

// grid writes one long sheet row by row, in ascending order.
type grid struct {
	book  *book
	name  string
	cols  []column
	out   *excelize.StreamWriter
	row   int    // last row written
	table string // the native table's cells; "" none
	cells []any
	room  []excelize.Cell // what cells point to, from one row to the next
}

// page is how a sheet prints and what stays in sight.
type page struct {
	portrait  bool
	headRow   int  // row of the column headings: repeated on every page, frozen; 0: none
	frozen    int  // columns that stay in sight
	lastRow   int  // of the sheet, with headings
	filter    bool // the rows under the headings are a native table, to sort and filter
	onePage   bool // fitted to one page, not only to its width
	fullScale bool // not fitted to the page's width: manual page breaks count only so
}

// fit widens a column for a cell's text.
func (b *book) fit(c *column, v any) {
	least, most := c.bounds()
	if said, ok := v.(say.Text); ok {
		v = b.speaks.Say(said)
	}
	switch t := v.(type) {
	case string:
		c.width = max(c.width, fitted(t, least, most))
	case loud:
		c.width = max(c.width, fitted(b.speaks.Say(t.Text)+"  ", least, most))
	case float64, int:
		c.width = max(c.width, fitted(fmt.Sprintf("%.0f,000", t2f(t)), least, most))
	}
}

// wordsFit widens a column of few words, so that none of them is broken in two:
// "excepcionalmente" is wider than anything that English says there.
func (c *column) wordsFit(text string) {
	for word := range strings.FieldsSeq(text) {
		c.width = max(c.width, math.Ceil(textWidth(word)+1))
	}
}

func t2f(v any) float64 {
	switch t := v.(type) {
	case int:
		return float64(t)
	case float64:
		return t
	}
	return 0
}

// headMargin is what a heading's cell has beside its words, units of a
// column's width: the frame and the indent.
const headMargin = 2

func (c *column) bounds() (least, most float64) {
	least, most = c.least, c.most
	if least == 0 {
		least = narrowest
	}
	if most == 0 {
		most = widest
	}
	return least, most
}

// settleWidths gives every column a width: at least its heading's longest word,
// at least its heading on three lines, at least its least.
func settleWidths(cols []column, l *say.Language) {
	for i := range cols {
		c := &cols[i]
		least, _ := c.bounds()
		c.width = max(c.width, least)
		head := l.Say(c.head)
		for word := range strings.FieldsSeq(head) {
			c.width = max(c.width, math.Ceil(textWidth(word)*bolder+headMargin))
		}
		for head != "" && textLines(head, (c.width-1)*0.9) > 3 {
			c.width++
		}
	}
}

// grid prepares a sheet. Everything that is not a row is set on the file
// before the stream begins, since what is set later is lost.
func (b *book) grid(sheet say.Text, cols []column, p page) (*grid, error) {
	name := b.speaks.Say(sheet)
	settleWidths(cols, b.speaks)
	// From the last column to the first: the library puts the newest in front,
	// and a sheet's columns have to ascend.
	for i := len(cols) - 1; i >= 0; i-- {
		letter, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return nil, err
		}
		if err := b.file.SetColWidth(name, letter, letter, cols[i].width); err != nil {
			return nil, err
		}
	}
	if err := b.pageSetUp(name, cols, p); err != nil {
		return nil, err
	}
	out, err := b.file.NewStreamWriter(name)
	if err != nil {
		return nil, err
	}
	g := &grid{book: b, name: name, cols: cols, out: out}
	if p.filter && p.lastRow > p.headRow {
		lastCol, err := excelize.ColumnNumberToName(len(cols))
		if err != nil {
			return nil, err
		}
		g.table = fmt.Sprintf("A%d:%s%d", p.headRow, lastCol, p.lastRow)
	}
	return g, nil
}

// end closes the sheet. A table has the looks of its cells and no style of its
// own; its headings are what stands in its first row.
func (g *grid) end() error {
	if g.table != "" {
		stripes := false
		if err := g.out.AddTable(&excelize.Table{Range: g.table, ShowRowStripes: &stripes}); err != nil {
			return err
		}
	}
	return g.out.Flush()
}

// put writes one row in a tone; its height fits the tallest wrapped cell.
func (g *grid) put(t tone, values ...any) error {
	tall := 1
	g.cells, g.room = g.cells[:0], slices.Grow(g.room[:0], len(values))
	for i, v := range values {
		if v == nil {
			g.cells = append(g.cells, nil)
			continue
		}
		c := &g.cols[i]
		cell, err := g.cell(t, c.shape, v)
		if err != nil {
			return err
		}
		if s, ok := cell.Value.(string); ok && (c.shape == wrapped || t == heading) {
			tall = max(tall, textLines(s, (c.width-2)/t.weight()))
		}
		g.room = append(g.room, cell)
		g.cells = append(g.cells, &g.room[len(g.room)-1])
	}
	return g.write(height(tall), g.cells)
}

func (g *grid) cell(t tone, k shape, v any) (excelize.Cell, error) {
	asked := k
	if said, ok := v.(say.Text); ok {
		v = g.book.speaks.Say(said)
	}
	switch x := v.(type) {
	case chance:
		v, k = shown(float64(x))
	case string:
		if k != centred && k != wrapped {
			k = text
		}
		if v = clean(x); x == "" {
			v = nil
		}
	case float64:
		v = rounded(x, k)
	case dated:
		if v, k = nil, dayShape; x != 0 {
			v = float64(x) + dayZero
		}
	case blank:
		v = nil
	case loud:
		v, t = clean(g.book.speaks.Say(x.Text)), stressed
	case pen:
		v, t = nil, seen
	case fillIn:
		v, t = nil, entry
	case marked:
		v, t, k = string(x), identifier, text
	}
	if t == heading {
		k = headShape(asked)
	}
	id, err := g.book.style(look{t, k})
	return excelize.Cell{StyleID: id, Value: v}, err
}

// shown is a chance as a cell shows it: whole percents from 10 to 90, tenths
// outside, and never 100 % for what is less than certain.
func shown(p float64) (float64, shape) {
	r := report.Rounded(p)
	switch {
	case r == 1 && p < 1:
		return 0.999, tenth
	case r >= 0.1 && r <= 0.9 || p <= 0 || r == 1:
		return r, percent
	}
	return r, tenth
}

// headShape puts a heading over its figures.
func headShape(k shape) shape {
	if k == text || k == wrapped {
		return text
	}
	return centred
}

// rounded is a number as people read it in a cell of that shape.
func rounded(x float64, k shape) float64 {
	if k == hour || k == value {
		return math.Round(x*100) / 100
	}
	return math.Round(x)
}

// words are a text in the book's language; a string is the same in all.
func (b *book) words(v any) string {
	switch x := v.(type) {
	case say.Text:
		return b.speaks.Say(x)
	case string:
		return x
	}
	panic(fmt.Sprintf("a card's cell is a text or a name, not %T", v))
}

// write puts the cells on the next row.
func (g *grid) write(tall float64, cells []any) error {
	g.row++
	if g.row%512 == 0 {
		if err := g.book.ctx.Err(); err != nil {
			return err
		}
	}
	if g.out == nil {
		return nil // only counting rows
	}
	return g.out.SetRow(fmt.Sprintf("A%d", g.row), cells, excelize.RowOpts{Height: tall})
}

// headings writes the row of column headings.
func (g *grid) headings() error {
	values := make([]any, len(g.cols))
	for i := range g.cols {
		values[i] = g.cols[i].head
	}
	return g.put(heading, values...)
}

// across writes a text over all printed columns, as high as it needs.
func (g *grid) across(t tone, words say.Text) error {
	id, err := g.book.style(look{t, wrapped})
	if err != nil {
		return err
	}
	s, printed, width := clean(g.book.speaks.Say(words)), 0, 0.0
	for i := range g.cols {
		if !g.cols[i].off {
			printed++
			width += g.cols[i].width
		}
	}
	tall := height(textLines(s, width/t.weight()))
	if t == title {
		tall = 24
	}
	if err := g.write(tall, []any{excelize.Cell{StyleID: id, Value: s}}); err != nil || printed < 2 {
		return err
	}
	return g.merge(1, printed)
}

// merge joins cells of the last row, from one column to another.
func (g *grid) merge(from, to int) error {
	a, err := excelize.CoordinatesToCellName(from, g.row)
	if err != nil {
		return err
	}
	z, err := excelize.CoordinatesToCellName(to, g.row)
	if err != nil {
		return err
	}
	if g.out == nil {
		return nil
	}
	return g.out.MergeCell(a, z)
}

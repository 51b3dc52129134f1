package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
)

// A card is six columns wide; its last four hold boxes to ring or write in.
const cardColumns = 6

// writeHeight is a row in which someone writes by hand, points.
const writeHeight = 26

// cards makes the sheet of cards, each on a page of its own. It is not
// fitted to the page's width, since spreadsheets then ignore page breaks.
func (b *book) cards() error {
	cols := []column{
		{width: 14, least: 14, most: 14}, {width: 25, least: 25, most: 25}, {width: 12, least: 12, most: 12},
		{width: 12, least: 12, most: 12}, {width: 12, least: 12, most: 12}, {width: 12, least: 12, most: 12},
	}
	for i := range cols {
		cols[i].shape = wrapped
	}
	count := &cardWriter{grid: &grid{book: b, cols: cols}}
	count.all(b.doc)
	g, err := b.grid(sheetCards, cols, page{portrait: true, fullScale: true, lastRow: count.row})
	if err != nil {
		return err
	}
	c := &cardWriter{grid: g}
	if c.all(b.doc); c.err != nil {
		return c.err
	}
	return g.end()
}

// cardWriter writes cards; it remembers its first error.
type cardWriter struct {
	*grid
	err error
}

// all writes every card on a page of its own.
func (c *cardWriter) all(d *report.Document) {
	if len(d.Cards) == 0 {
		c.line(title, 24, "No vehicle stands above the line", "", "", "", "", "")
	}
	for i := range d.Cards {
		if i > 0 && c.err == nil && c.out != nil {
			c.err = c.out.InsertPageBreak(fmt.Sprintf("A%d", c.row+1))
		}
		c.card(&d.Cards[i])
	}
	if n := d.CardsLeftOut; n > 0 {
		c.wide(lead, "", fmt.Sprintf("%d more vehicles stand above the line; they have no card.", n))
	}
}

func (c *cardWriter) card(card *report.Card) {
	c.banner(card)
	c.pair("VIN", card.VIN, "Plate", card.Plate)
	c.pair("Depot", card.Depot, "Hours", hoursOf(card))
	c.wide(bare, "Why", card.Why)
	for i := range card.Parts {
		c.part(&card.Parts[i], i, len(card.Parts))
	}
	c.cautions(card)
	c.write3("Odometer", "Day", "Initials")
	c.gap()
}

func hoursOf(card *report.Card) string {
	if card.Hours == 0 {
		return "a repair"
	}
	return fmt.Sprintf("%.2f in the bay", card.Hours)
}

func (c *cardWriter) banner(card *report.Card) {
	c.line(banner, 28, fmt.Sprintf("No. %d", card.Rank), name(card.Unit, card.VIN), card.Vehicle, "", card.Distance, "")
	c.join(3, 4)
	c.join(5, 6)
}

// pair writes two labels with their values.
func (c *cardWriter) pair(label, value, label2, value2 string) {
	c.labelled(label, value, label2, value2)
	c.join(5, 6)
}

func (c *cardWriter) labelled(label, value, label2, value2 string) {
	if c.err != nil {
		return
	}
	lines := max(textLines(value, c.cols[1].width-2), textLines(value2, c.cols[4].width+c.cols[5].width-2))
	c.cellsOf(height(lines), []tone{strong, bare, bare, strong, bare, bare}, label, value, "", label2, value2, "")
}

// wide writes a label and a text over the other columns.
func (c *cardWriter) wide(t tone, label, value string) {
	if value == "" || c.err != nil {
		return
	}
	width := 0.0
	for i := 1; i < cardColumns; i++ {
		width += c.cols[i].width
	}
	c.cellsOf(height(textLines(value, width-2)), []tone{strong, t, t, t, t, t}, label, value, "", "", "", "")
	c.join(2, cardColumns)
}

// part writes what to look at and room for what was found.
func (c *cardWriter) part(p *report.CardPart, i, of int) {
	label := "Look at"
	if of > 1 {
		label = fmt.Sprintf("Look at %d/%d", i+1, of)
	}
	what := p.Name
	if p.System != "" {
		what += " (" + p.System + ")"
	}
	c.wide(section, label, what)
	c.pair("Chance worn", p.Chance, "Takes", takes(p))
	if p.Kit != "" {
		c.wide(bare, "Lay ready", p.Kit)
	}
	c.wide(bare, "Tools", strings.Join(p.Tools, ", "))
	for k, step := range p.Steps {
		c.wide(bare, fmt.Sprintf("Step %d", k+1), step)
	}
	for _, l := range p.Limits {
		c.cellsOf(writeHeight, []tone{strong, bare, bare, bare, box, box}, "Measure", l.Measure, "sound to "+l.SoundTo, "worn from "+l.WornFrom, "", "")
		c.join(5, 6)
	}
	c.cellsOf(writeHeight, []tone{strong, bare, box, box, box, box}, "Found", "ring what holds", "worn", "sound", "not opened", "failed")
}

func takes(p *report.CardPart) string {
	s := fmt.Sprintf("%g h", p.Hours)
	if p.SetUp > 0 {
		s += fmt.Sprintf(" and %g h to set up", p.SetUp)
	}
	if p.Visit != "" {
		s += ", visit " + p.Visit
	}
	return s
}

// cautions come once a card, whatever the number of its parts.
func (c *cardWriter) cautions(card *report.Card) {
	said := map[string]bool{}
	label := "Take care"
	for i := range card.Parts {
		for _, s := range card.Parts[i].Cautions {
			if !said[s] {
				said[s] = true
				c.wide(strong, label, s)
				label = ""
			}
		}
	}
}

// write3 is a row of three labels, each with room to write.
func (c *cardWriter) write3(a, b, d string) {
	c.cellsOf(writeHeight, []tone{strong, box, strong, box, strong, box}, a, "", b, "", d, "")
}

func (c *cardWriter) gap() { c.cellsOf(lineHeight, make([]tone, cardColumns), "", "", "", "", "", "") }

// line is a row of one tone.
func (c *cardWriter) line(t tone, tall float64, texts ...string) {
	tones := make([]tone, cardColumns)
	for i := range tones {
		tones[i] = t
	}
	c.cellsOf(tall, tones, texts...)
}

// cellsOf writes a row; a cell of tone bare without text has no border.
func (c *cardWriter) cellsOf(tall float64, tones []tone, texts ...string) {
	if c.err != nil {
		return
	}
	cells := make([]any, 0, cardColumns)
	for i, s := range texts {
		k := wrapped
		if tones[i] == box {
			k = centred
		}
		id, err := c.book.style(look{tones[i], k})
		if err != nil {
			c.err = err
			return
		}
		cell := excelize.Cell{StyleID: id}
		if s != "" {
			cell.Value = clean(s)
		}
		cells = append(cells, cell)
	}
	c.err = c.write(tall, cells)
}

func (c *cardWriter) join(from, to int) {
	if c.err == nil {
		c.err = c.merge(from, to)
	}
}

package workbook

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// A card is six columns wide; its last four hold boxes to ring or write in.
// Right of the page stand the slips.
const cardColumns = 6

// Heights of rows in which someone writes by hand, points.
const (
	writeHeight = 26
	wordsHeight = 40 // a sentence
)

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
	cols = append(cols, column{shape: text, width: 14, least: 14, most: 14, off: true}) // the slips
	count := &cardWriter{grid: &grid{book: b, cols: cols}}
	if count.all(b.doc); count.err != nil {
		return count.err
	}
	if err := b.cardEntries(count); err != nil {
		return err
	}
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

// cardWriter writes cards; it remembers its first error, and the cells to
// fill in.
type cardWriter struct {
	*grid
	err  error
	slip string // of the next row; "" none

	found, measured, days, odometers []string
	lastKM                           []float64 // beside odometers
}

// fills puts a slip on the next row and notes its cell to fill in.
func (c *cardWriter) fills(s slip.Slip, what slip.Fills, list *[]string, col int) {
	if s.Run == "" {
		return
	}
	s.Fills = what
	c.slip = s.String()
	c.note(list, col)
}

// note notes a cell of the next row that is filled in.
func (c *cardWriter) note(list *[]string, col int) {
	cell, err := excelize.CoordinatesToCellName(col+1, c.row+1)
	if err != nil && c.err == nil {
		c.err = err
	}
	*list = append(*list, cell)
}

// all writes every card on a page of its own.
func (c *cardWriter) all(d *report.Document) {
	if len(d.Cards) == 0 {
		c.line(title, 24, slip.SheetCards.Title, "", "", "", "", "")
	}
	for i := range d.Cards {
		if i > 0 && c.err == nil && c.out != nil {
			c.err = c.out.InsertPageBreak(fmt.Sprintf("A%d", c.row+1))
		}
		c.card(&d.Cards[i])
	}
	if n := d.CardsLeftOut; n > 0 {
		c.wide(lead, "", say.One(n, say.F("1 more vehicle stands above the line; it has no card."), say.F("%d more vehicles stand above the line; they have no card.", n)))
	}
}

func (c *cardWriter) card(card *report.Card) {
	c.banner(card)
	c.pair(say.F("VIN"), card.VIN, say.F("Plate"), card.Plate)
	c.pair(say.F("Depot"), card.Depot, say.F("Hours"), hoursOf(card))
	c.wide(bare, say.F("Why"), card.Why)
	for i := range card.Parts {
		c.part(&card.Parts[i], i, len(card.Parts))
	}
	c.cautions(card)
	c.visit(card)
	c.gap()
}

func hoursOf(card *report.Card) say.Text {
	if card.Hours == 0 {
		return say.F("a repair")
	}
	return say.F("%s in the bay", hundredths(card.Hours))
}

// hundredths is a number with just two decimals.
type hundredths float64

// AppendIn appends the number.
func (x hundredths) AppendIn(to []byte, l *say.Language) []byte {
	return l.AppendFixed(to, float64(x), 2)
}

func (c *cardWriter) banner(card *report.Card) {
	c.line(banner, 28, say.F("No. %d", card.Rank), name(card.Unit, card.VIN), card.Vehicle, "", card.Distance, "")
	c.join(3, 4)
	c.join(5, 6)
}

// pair writes two labels with their values.
func (c *cardWriter) pair(label, value, label2, value2 any) {
	c.labelled(label, value, label2, value2)
	c.join(5, 6)
}

func (c *cardWriter) labelled(label, value, label2, value2 any) {
	if c.err != nil {
		return
	}
	lines := max(textLines(c.book.words(value), c.cols[1].width-2), textLines(c.book.words(value2), c.cols[4].width+c.cols[5].width-2))
	c.roomy(height(lines), []tone{strong, bare, bare, strong, bare, bare}, label, value, "", label2, value2, "")
}

// wide writes a label and a text over the other columns.
func (c *cardWriter) wide(t tone, label, value any) {
	words := c.book.words(value)
	if words == "" || c.err != nil {
		return
	}
	width := 0.0
	for i := 1; i < cardColumns; i++ {
		width += c.cols[i].width
	}
	lines := max(textLines(words, (width-2)/t.weight()), textLines(c.book.words(label), c.room(0, strong)))
	c.cellsOf(height(lines), []tone{strong, t, t, t, t, t}, label, words, "", "", "", "")
	c.join(2, cardColumns)
}

// part writes what to look at and room for what was found.
func (c *cardWriter) part(p *report.CardPart, i, of int) {
	label := say.F("Look at")
	if of > 1 {
		label = say.F("Look at %d/%d", i+1, of)
	}
	what := p.Name
	if p.System != "" {
		what += " (" + p.System + ")"
	}
	c.look(label, what, p.Slip.Row)
	c.pair(say.F("Chance worn"), p.Chance, say.F("Takes"), takes(p))
	if !p.Kit.Empty() {
		c.wide(bare, say.F("Lay ready"), p.Kit)
	}
	c.wide(bare, say.F("Tools"), strings.Join(p.Tools, ", "))
	for k, step := range p.Steps {
		c.wide(bare, say.F("Step %d", k+1), step)
	}
	for _, l := range p.Limits {
		one := p.Slip
		one.Measures = []string{l.ID}
		c.fills(one, slip.Measure, &c.measured, slip.CardMeasured)
		c.roomy(writeHeight, []tone{strong, bare, bare, bare, entry, entry}, say.F("Measure"), l.Measure, say.F("sound to %s", l.SoundTo), say.F("worn from %s", l.WornFrom), "", "")
		c.join(slip.CardMeasured+1, cardColumns)
	}
	c.fills(p.Slip, slip.Found, &c.found, slip.CardFound)
	c.roomy(writeHeight, append([]tone{strong, entry}, box, box, box, box), append([]any{say.F("Found: ring, or write here"), ""}, offered()...)...)
	var words []string // any text will do
	c.fills(p.Slip, slip.Done, &words, slip.CardDone)
	c.roomy(wordsHeight, []tone{strong, entry, entry, entry, entry, entry}, slip.Words(slip.HeadDone), "", "", "", "", "")
	c.join(slip.CardDone+1, cardColumns)
}

// offered are the findings to ring.
func offered() (out []any) {
	for _, f := range slip.Findings() {
		out = append(out, f)
	}
	return out
}

// look is the row that names the part, and the row of its results.
func (c *cardWriter) look(label, what any, row int) {
	if row == 0 {
		c.wide(section, label, what)
		return
	}
	width := c.cols[1].width + c.cols[2].width + c.cols[3].width + c.cols[4].width
	c.cellsOf(height(textLines(c.book.words(what), width-2)), []tone{section, section, section, section, section, section}, label, what, "", "", "", say.F("Row %d", row))
	c.join(2, 5)
}

// visit is the row of what is filled in once a card.
func (c *cardWriter) visit(card *report.Card) {
	c.fills(card.Slip, slip.Visit, &c.odometers, slip.CardOdometer)
	c.lastKM = append(c.lastKM, card.Slip.LastKM)
	c.note(&c.days, slip.CardDay)
	if c.err != nil {
		return
	}
	c.roomy(writeHeight, []tone{strong, entry, strong, entry, strong, entry}, slip.Words(slip.HeadOdometer), "", slip.Words(slip.HeadDay), "", slip.Words(slip.HeadInitials), "")
}

func takes(p *report.CardPart) say.Text {
	s := say.Of(say.Hours(p.Hours))
	if p.SetUp > 0 {
		s = say.F("%s and %s to set up", s, say.Hours(p.SetUp))
	}
	if p.Visit != "" {
		s = say.F("%s, visit %s", s, p.Visit)
	}
	return s
}

// cautions come once a card, whatever the number of its parts.
func (c *cardWriter) cautions(card *report.Card) {
	said := map[string]bool{}
	label := say.F("Take care")
	for i := range card.Parts {
		for _, s := range card.Parts[i].Cautions {
			if words := s.String(); !said[words] {
				said[words] = true
				c.wide(strong, label, s)
				label = say.Text{}
			}
		}
	}
}

func (c *cardWriter) gap() { c.cellsOf(lineHeight, make([]tone, cardColumns), "", "", "", "", "", "") }

// line is a row of one tone.
func (c *cardWriter) line(t tone, tall float64, texts ...any) {
	tones := make([]tone, cardColumns)
	for i := range tones {
		tones[i] = t
	}
	c.cellsOf(tall, tones, texts...)
}

// room is the width that a cell has for words of a tone.
func (c *cardWriter) room(col int, t tone) float64 { return (c.cols[col].width - 2) / t.weight() }

// roomy writes a row of cells none of which is cut: what has a tone to label
// or to ring stands in its own column.
func (c *cardWriter) roomy(least float64, tones []tone, texts ...any) {
	lines := 1
	for i, v := range texts {
		if tones[i] == strong || tones[i] == box || i == 2 || i == 3 {
			lines = max(lines, textLines(c.book.words(v), c.room(i, tones[i])))
		}
	}
	c.cellsOf(max(least, height(lines)), tones, texts...)
}

// cellsOf writes a row; a cell of tone bare without text has no border.
func (c *cardWriter) cellsOf(tall float64, tones []tone, texts ...any) {
	if c.err != nil {
		return
	}
	cells := make([]any, 0, cardColumns)
	for i, s := range texts {
		k := wrapped
		if tones[i] == box {
			k = centred
		}
		cells = append(cells, c.cardCell(tones[i], k, c.book.words(s)))
	}
	if c.slip != "" {
		cells = append(cells, c.cardCell(identifier, text, c.slip))
		c.slip = ""
	}
	if c.err == nil {
		c.err = c.write(tall, cells)
	}
}

func (c *cardWriter) cardCell(t tone, k shape, s string) excelize.Cell {
	id, err := c.book.style(look{t, k})
	if err != nil && c.err == nil {
		c.err = err
	}
	cell := excelize.Cell{StyleID: id}
	if s != "" {
		cell.Value = clean(s)
	}
	return cell
}

func (c *cardWriter) join(from, to int) {
	if c.err == nil {
		c.err = c.merge(from, to)
	}
}

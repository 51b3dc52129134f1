package workbook

import (
	"fmt"
	"strings"

	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// counter makes the sheet of cards for the counter: one page a vehicle, with
// what was read, what it means, what to look at in ten minutes without lifting
// it, what to ask, and the cautions.
func (b *book) counter() error {
	cols := []column{
		{width: 14, least: 14, most: 14}, {width: 25, least: 25, most: 25}, {width: 12, least: 12, most: 12},
		{width: 12, least: 12, most: 12}, {width: 12, least: 12, most: 12}, {width: 12, least: 12, most: 12},
	}
	for i := range cols {
		cols[i].shape = wrapped
	}
	count := &cardWriter{grid: &grid{book: b, cols: cols}}
	if count.counter(b.doc); count.err != nil {
		return count.err
	}
	g, err := b.grid(sheetCounter, cols, page{portrait: true, fullScale: true, lastRow: count.row})
	if err != nil {
		return err
	}
	c := &cardWriter{grid: g}
	if c.counter(b.doc); c.err != nil {
		return c.err
	}
	return g.end()
}

func (c *cardWriter) counter(d *report.Document) {
	n := 0
	for r := range d.Worklist() {
		if n == report.MostCards {
			c.wide(lead, "", say.One(d.Length()-n, say.F("1 more vehicle has no card."), say.F("%d more vehicles have no card.", d.Length()-n)))
			return
		}
		if n > 0 && c.err == nil && c.out != nil {
			c.err = c.out.InsertPageBreak(fmt.Sprintf("A%d", c.row+1))
		}
		c.counterCard(d, &r)
		n++
	}
	if n == 0 {
		c.line(title, 24, slip.SheetCounter.Head(say.F("no vehicle was judged")), "", "", "", "", "")
	}
}

func (c *cardWriter) counterCard(d *report.Document, r *report.WorkRow) {
	o := r.Offer
	km := say.F("km not known")
	if r.OdometerKnown {
		km = say.Of(say.KM(r.OdometerKM))
	}
	money := func(x float64) say.Money { return say.Money{X: x, Currency: d.Run.Currency} }
	price := say.F("not given")
	if o.HasPrice {
		price = say.Of(money(o.Price))
	}
	c.line(banner, 28, say.F("No. %d", r.Rank), name(r.Unit, r.VIN), say.Plain(r.Vehicle()), "", km, "")
	c.join(3, 4)
	c.join(5, 6)
	c.pair(say.F("VIN"), r.VIN, say.F("Plate"), r.Registration)
	off, bill := say.Of(money(o.Deduction)), say.F("up to %s in 9 of 10 cases", money(o.BillP90))
	if o.Unjudged {
		off, bill = say.F("not known"), say.F("not known")
	}
	c.pair(say.F("Comes off"), off, say.F("Price"), price)
	c.pair(say.F("Bill"), bill, say.F("Over"), say.Of(say.KM(o.Held)))
	c.wide(strong, say.F("What to do"), o.Advice)
	c.wide(bare, say.F("What was read"), say.Or(r.Why, say.F("Nothing that the catalogue speaks of.")))
	c.each(say.F("What it means"), causesOf(o))
	c.each(say.F("Not known"), o.Unknown)
	c.tenMinutes(o)
	c.asked(o.Ask)
	c.each(say.F("Take care"), o.Cautions())
	c.gap()
}

func causesOf(o *report.OfferRow) (out []say.Text) {
	for _, cause := range o.Largest() {
		out = append(out, cause.Words)
	}
	if len(out) == 0 && !o.Unjudged { // else what is not known says it
		out = append(out, say.F("Nothing that the catalogue knows takes anything off."))
	}
	return out
}

// each writes texts under one label.
func (c *cardWriter) each(label say.Text, words []say.Text) {
	for _, s := range words {
		c.wide(bare, label, s)
		label = say.Text{}
	}
}

// tenMinutes is what can be looked at at the counter, with room to write.
func (c *cardWriter) tenMinutes(o *report.OfferRow) {
	if len(o.Chosen) == 0 && !o.Reads.Empty() {
		c.wide(section, say.F("In 10 minutes"), say.Capitalised(o.Reads))
		c.write6(say.F("Seen"))
		return
	}
	if len(o.Chosen) == 0 {
		c.wide(section, say.F("In 10 minutes"), say.F("Nothing can be looked at here that would move the price."))
		return
	}
	c.wide(section, say.F("In 10 minutes"), say.F("%s min, without lifting it:", say.Number(o.Minutes)))
	for i := range o.Chosen {
		look := &o.Chosen[i]
		c.wide(strong, say.F("Look %d", i+1), look.Words)
		c.wide(bare, "", strings.Join(look.Steps, " "))
		c.write6(say.F("Seen"))
	}
	label := say.F("Then")
	for i := range o.Outcomes {
		c.wide(bare, label, say.Sentence(o.Outcomes[i].Words))
		label = say.Text{}
	}
}

// asked is what to ask the seller, with room for the answers.
func (c *cardWriter) asked(questions []say.Text) {
	if len(questions) == 0 {
		return
	}
	c.wide(section, say.F("Ask the seller"), say.F("and write the answer beneath:"))
	for _, q := range questions {
		c.wide(bare, "", q)
		c.write6(say.F("Answer"))
	}
}

// write6 is room to write by hand; the program does not read it back.
func (c *cardWriter) write6(label say.Text) {
	if c.err != nil {
		return
	}
	c.cellsOf(writeHeight, []tone{strong, seen, seen, seen, seen, seen}, label, "", "", "", "", "")
	c.join(2, cardColumns)
}

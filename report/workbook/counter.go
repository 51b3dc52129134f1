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
			c.wide(lead, "", fmt.Sprintf("%d more vehicles have no card.", d.Length()-n))
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
	km := "km not known"
	if r.OdometerKnown {
		km = report.KM(r.OdometerKM)
	}
	c.line(banner, 28, fmt.Sprintf("No. %d", r.Rank), name(r.Unit, r.VIN), r.Vehicle(), "", km, "")
	c.join(3, 4)
	c.join(5, 6)
	c.pair("VIN", r.VIN, "Plate", r.Registration)
	c.pair("Comes off", report.Money(o.Deduction, d.Run.Currency), "Price", priceOf(o, d.Run.Currency))
	c.pair("Bill", "up to "+report.Money(o.BillP90, d.Run.Currency)+" in 9 of 10 cases", "Over", report.KM(o.Held))
	c.wide(strong, "What to do", o.Advice)
	c.wide(section, "What was read", c.orNothing(r.Why))
	c.each("What it means", causesOf(o))
	c.each("Not known", o.Unknown)
	c.tenMinutes(o)
	c.asked(o.Ask)
	c.each("Take care", o.Cautions())
	c.gap()
}

func (c *cardWriter) orNothing(s string) string {
	if s == "" {
		return "Nothing that the catalogue speaks of."
	}
	return s
}

func priceOf(o *report.OfferRow, currency string) string {
	if !o.HasPrice {
		return "not given"
	}
	return report.Money(o.Price, currency)
}

func causesOf(o *report.OfferRow) (out []string) {
	for _, cause := range o.Largest() {
		out = append(out, cause.Words)
	}
	if len(out) == 0 {
		out = append(out, "Nothing that the catalogue knows takes anything off.")
	}
	return out
}

// each writes texts under one label.
func (c *cardWriter) each(label string, texts []string) {
	for _, s := range texts {
		c.wide(bare, label, s)
		label = ""
	}
}

// tenMinutes is what can be looked at at the counter, with room to write.
func (c *cardWriter) tenMinutes(o *report.OfferRow) {
	if len(o.Chosen) == 0 {
		c.wide(section, "In 10 minutes", "Nothing can be looked at here that would move the price.")
		return
	}
	c.wide(section, "In 10 minutes", fmt.Sprintf("%g min, without lifting it:", o.Minutes))
	for i := range o.Chosen {
		look := &o.Chosen[i]
		c.wide(strong, fmt.Sprintf("Look %d", i+1), look.Words)
		c.each("", []string{strings.Join(look.Steps, " ")})
		c.write6("Seen")
	}
}

// asked is what to ask the seller, with room for the answers.
func (c *cardWriter) asked(questions []string) {
	if len(questions) == 0 {
		return
	}
	c.wide(section, "Ask the seller", "and write the answer beneath:")
	for _, q := range questions {
		c.wide(bare, "", q)
		c.write6("Answer")
	}
}

// write6 is room to write by hand; the program does not read it back.
func (c *cardWriter) write6(label string) {
	if c.err != nil {
		return
	}
	c.cellsOf(writeHeight, []tone{strong, seen, seen, seen, seen, seen}, label, "", "", "", "", "")
	c.join(2, cardColumns)
}

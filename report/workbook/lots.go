package workbook

import (
	"fmt"
	"strings"

	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// walk marks a lot that the viewing plan walks to. It is a sign and not a
// colour, so that it holds on black-and-white paper.
const walk = "► "

// mostLooks and mostOdds are how many things a row of a buying desk names: one
// cannot keep more in mind while walking (judgement).
const (
	mostLooks = 2
	mostOdds  = 2
)

// lotsPrinted are the columns of the printed page; the rest is for the screen.
const lotsPrinted = 9

func (b *book) lotColumns() []column {
	in := money1(b.doc.Run.Currency)
	cols := []column{
		{head: say.F("Lot"), shape: text, least: 8, most: 12},
		{head: say.F("What to do (%s walk to it)", strings.TrimSpace(walk)), shape: wrapped, least: 15, most: 15},
		{head: say.F("Vehicle"), shape: wrapped, least: 20, most: 20},
		{head: say.F("Stop bidding at, %s", in), shape: money, least: 10, most: 12},
		{head: say.F("Comes off, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Bill in 9 of 10 cases up to, %s", in), shape: money, least: 11, most: 12},
		{head: say.F("Odds of wear"), shape: wrapped, least: 26, most: 26},
		{head: say.F("Look or listen for"), shape: wrapped, least: 34, most: 34},
		{head: say.F("Not known, and what it means in money"), shape: wrapped, least: 36, most: 36},

		{head: say.F("km"), shape: whole, least: 9, most: 12},
		{head: say.F("Guide price, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Looks move, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Minutes of looks"), shape: value, least: 9, most: 12},
		{head: say.F("What to do, and why"), shape: wrapped, least: 130, most: 130},
		{head: say.F("Over km"), shape: whole, least: 9, most: 12},
		{head: say.F("Sale order"), shape: text, least: 8, most: 14},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("Unit"), shape: text, least: 8, most: 18},
		{head: say.F("VIN"), shape: text, least: 20, most: 22},
		{head: say.F("Plate"), shape: text, least: 9, most: 14},
	}
	return farFrom(cols, lotsPrinted)
}

// farFrom puts the columns from the n-th on off the printed page.
func farFrom(cols []column, n int) []column {
	for i := n; i < len(cols); i++ {
		cols[i].off = true
	}
	return cols
}

// money1 names the unit of a column of money.
func money1(currency string) say.Text {
	if currency == "" {
		return say.F("in money")
	}
	return say.Plain(currency)
}

// lots makes the first sheet of an auction: lots in the order in which they
// stand, to be read while walking.
func (b *book) lots() error {
	return b.buying(slip.SheetLots, b.lotColumns(), lotCells)
}

// buying makes the first sheet of a buying desk.
func (b *book) buying(sheet slip.Sheet, cols []column, cells func(*report.WorkRow) []any) error {
	rows, left := b.listed()
	for i := range rows {
		for j, v := range cells(&rows[i]) {
			b.fit(&cols[j], v)
		}
	}
	says := append(append([]string{}, b.doc.Head...), b.doc.Line)
	if left > 0 {
		says = append(says, fmt.Sprintf("%d more stand in worklist.csv.", left))
	}
	headRow := 2 + len(says) + b.todays()
	g, err := b.grid(sheet.Name, cols, page{headRow: headRow, frozen: 1, lastRow: headRow + len(rows), filter: true})
	if err != nil {
		return err
	}
	if err := b.buyingHead(g, sheet.Head(say.Plain(b.doc.Title)), says); err != nil {
		return err
	}
	for i := range rows {
		if err := g.put(plain, cells(&rows[i])...); err != nil {
			return err
		}
	}
	return g.end()
}

func (b *book) buyingHead(g *grid, head say.Text, says []string) error {
	if err := g.across(title, head); err != nil {
		return err
	}
	for _, s := range says {
		if err := g.across(lead, s); err != nil {
			return err
		}
	}
	for i := range b.todays() {
		if err := g.across(urgent, b.todayWords(i)); err != nil {
			return err
		}
	}
	return g.headings()
}

// mostTodays stand over the headings, which stay in sight: more would leave no
// room for the rows.
const mostTodays = 3

func (b *book) todays() int { return min(len(b.doc.Today), mostTodays) }

// todayWords is what is to be looked at whatever the figures say.
func (b *book) todayWords(i int) string {
	t := &b.doc.Today[i]
	who := strings.TrimSpace(name(t.Unit, t.VIN) + " " + t.Vehicle)
	if t.Rank > 0 {
		who += fmt.Sprintf(" (row %d)", t.Rank)
	}
	s := "Look at this one whatever the figures say: " + who + ". " + t.Why
	if rest := len(b.doc.Today) - mostTodays; i == mostTodays-1 && rest > 0 {
		s += fmt.Sprintf(" And %d more, on the sheet %s.", rest, sheetChecks)
	}
	return s
}

func lotCells(r *report.WorkRow) []any {
	o := r.Offer
	lot := o.Lot
	if lot == "" {
		lot = name(r.Unit, r.VIN)
	}
	advice := any(string(o.Verdict))
	if len(o.Chosen) > 0 {
		advice = loud(walk + string(o.Verdict))
	}
	var stop any = "no limit"
	switch {
	case o.HasBid && o.BidLimit > 0:
		stop = o.BidLimit
	case o.HasBid:
		stop = "no bid"
	}
	return append([]any{lot, advice, withDistance(r), stop, o.Deduction, o.BillP90, oddsCell(o), looksCell(o), unknownCell(o)},
		when(r.OdometerKnown, r.OdometerKM), when(o.HasPrice, o.Price), when(len(o.Chosen) > 0, o.Swing), when(len(o.Chosen) > 0, o.Minutes),
		r.Say(), o.Held, o.SaleOrder, yesNo(r.Injury), r.Unit, r.VIN, r.Registration)
}

func yesNo(yes bool) say.Text {
	if yes {
		return say.F("yes")
	}
	return say.F("no")
}

// withDistance names a vehicle with its odometer.
func withDistance(r *report.WorkRow) string {
	if !r.OdometerKnown {
		return r.Vehicle() + ", km not known"
	}
	return r.Vehicle() + ", " + report.KM(r.OdometerKM)
}

// oddsCell are the odds of the parts that take most off, in words.
func oddsCell(o *report.OfferRow) string {
	var out []string
	for i, c := range o.Largest() {
		if i < mostOdds {
			out = append(out, c.Name+" "+c.Chance)
		}
	}
	if len(out) == 0 {
		return "nothing that counts in money"
	}
	return strings.Join(out, "; ")
}

// looksCell are the two things to look or listen for: those of the viewing
// plan, else the most telling ones, for whoever has time left.
func looksCell(o *report.OfferRow) string {
	looks, before := o.Chosen, ""
	if len(looks) == 0 {
		looks, before = o.CanLook, "If there is time: "
	}
	var out []string
	for i := range looks {
		if i < mostLooks {
			out = append(out, looks[i].Words)
		}
	}
	if len(out) == 0 {
		return "nothing: no look can move it"
	}
	return before + strings.Join(out, "; then ")
}

// unknownCell is what is not known that matters in money.
func unknownCell(o *report.OfferRow) string { return strings.Join(o.Unknown, " ") }

// viewing makes the sheet of the viewing plan, in the order of the yard.
func (b *book) viewing() error {
	rows := func(yield func(tone, []any) bool) {
		far := 0.0
		for r := range b.doc.Worklist() {
			if len(r.Offer.Chosen) == 0 {
				continue
			}
			far += r.Offer.Minutes
			if !yield(plain, viewCells(&r, far)) {
				return
			}
		}
	}
	in := money1(b.doc.Run.Currency)
	return b.long(sheetViewing, slip.SheetViewing.Head(say.Plain(b.doc.Title)), func(int) say.Text { return say.Plain(b.doc.Head[min(1, len(b.doc.Head)-1)]) }, []column{
		{head: say.F("Lot"), shape: text, least: 8, most: 12},
		{head: say.F("Vehicle"), shape: wrapped, least: 22, most: 22},
		{head: say.F("Look"), shape: wrapped, least: 34, most: 34},
		{head: say.F("How"), shape: wrapped, least: 44, most: 44},
		{head: say.F("Minutes"), shape: value, least: 9, most: 9},
		{head: say.F("Minutes so far"), shape: value, least: 9, most: 9},
		{head: say.F("Expected to move, %s", in), shape: money, least: 10, most: 12},
		{head: say.F("Seen (to write on paper)"), shape: text, least: 26, most: 26},
	}, page{frozen: 1}, rows)
}

func viewCells(r *report.WorkRow, far float64) []any {
	o := r.Offer
	var words, steps []string
	for i := range o.Chosen {
		words = append(words, o.Chosen[i].Words)
		steps = append(steps, o.Chosen[i].Steps...)
	}
	lot := o.Lot
	if lot == "" {
		lot = name(r.Unit, r.VIN)
	}
	return []any{loud(lot), withDistance(r), strings.Join(words, "; then "), strings.Join(steps, " "), o.Minutes, far, o.Swing, pen{}}
}

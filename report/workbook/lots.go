package workbook

import (
	"slices"
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

// colUnknown is the column of lots that takes what the others leave of a screen.
const colUnknown = 8

func (b *book) lotColumns() []column {
	in := money1(b.doc.Run.Currency)
	return far([]column{
		{head: say.F("Lot"), shape: wrapped, least: 8, most: 12},
		{head: say.F("What to do (%s walk to it)", strings.TrimSpace(walk)), shape: wrapped, least: 14, most: 14},
		{head: say.F("Vehicle"), shape: wrapped, least: 18, most: 18},
		{head: say.F("Stop bidding at, %s", in), shape: money, least: 11, most: 12},
		{head: say.F("Comes off, %s", in), shape: money, least: 10, most: 12},
		{head: say.F("Bill in 9 of 10 cases up to, %s", in), shape: money, least: 10, most: 12},
		{head: say.F("Odds of wear now (to fail while held)"), shape: wrapped, least: 22, most: 22},
		{head: say.F("Look or listen for"), shape: wrapped, least: 29, most: 29},
		{head: say.F("Not known, and what it means in money"), shape: wrapped, least: 24, most: 44},

		{head: say.F("Lane"), shape: text, least: 8, most: 12},
		{head: say.F("Sale order"), shape: text, least: 8, most: 14},
		{head: say.F("km"), shape: whole, least: 9, most: 12},
		{head: say.F("Guide price, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Looks move, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Minutes of looks"), shape: value, least: 9, most: 12},
		{head: say.F("What to do, and why"), shape: wrapped, least: 130, most: 130},
		{head: say.F("Over km"), shape: whole, least: 9, most: 12},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("Unit"), shape: text, least: 8, most: 18},
		{head: say.F("VIN"), shape: text, least: 20, most: 22},
		{head: say.F("Plate"), shape: text, least: 9, most: 14},
	})
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
	return b.buying(slip.SheetLots, b.lotColumns(), colUnknown, lotCells)
}

// buying makes the first sheet of a buying desk; the column at wide fills the
// screen.
func (b *book) buying(sheet slip.Sheet, cols []column, wide int, cells func(*report.WorkRow) []any) error {
	rows, left := b.listed()
	for i := range rows {
		for j, v := range cells(&rows[i]) {
			b.fit(&cols[j], v)
		}
	}
	b.fillScreen(cols, wide)
	says := b.says()
	if left > 0 {
		says = append(says, say.F("%d more stand in worklist.csv.", left))
	}
	headRow := 2 + len(says) + b.todays()
	g, err := b.grid(sheet.Name, cols, page{headRow: headRow, frozen: 1, lastRow: headRow + len(rows), filter: true})
	if err != nil {
		return err
	}
	if err := b.buyingHead(g, sheet.Head(b.doc.Title), says); err != nil {
		return err
	}
	for i := range rows {
		if err := g.put(plain, cells(&rows[i])...); err != nil {
			return err
		}
	}
	return g.end()
}

// says are the sentences over a first sheet's headings.
func (b *book) says() []say.Text {
	return append(slices.Clone(b.doc.Head), b.doc.Line)
}

func (b *book) buyingHead(g *grid, head say.Text, says []say.Text) error {
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
func (b *book) todayWords(i int) say.Text {
	t := &b.doc.Today[i]
	who := say.Join(" ", say.Plain(name(t.Unit, t.VIN)), say.Plain(t.Vehicle))
	switch {
	case b.doc.Viewing != nil && t.Lot != "":
		who = say.Join(", ", say.F("lot %s", inLane(say.Plain(t.Lot), t.Lane)), say.Plain(t.Vehicle))
	case b.doc.Stock != nil && t.Rank > 0:
		who = say.F("%s (card No. %d)", who, t.Rank)
	}
	s := say.F("Look at this one whatever the figures say: %s. %s", who, t.Why)
	if rest := b.doc.TodayCount() - mostTodays; i == mostTodays-1 && rest > 0 {
		s = say.Join(" ", s, say.F("And %d more, on the sheet %s.", rest, sheetChecks))
	}
	return s
}

func lotCells(r *report.WorkRow) []any {
	o := r.Offer
	var advice any = report.VerdictWords(o.Verdict)
	if len(o.Chosen) > 0 {
		advice = loud{say.Join("", say.Plain(walk), report.VerdictWords(o.Verdict))}
	}
	return []any{lotName(r), advice, withDistance(r), stopCell(o), judged(o, o.Deduction), judged(o, o.BillP90), oddsCell(o), looksCell(o), unknownCell(o),
		o.Lane, o.SaleOrder, when(r.OdometerKnown, r.OdometerKM), when(o.HasPrice, o.Price), when(len(o.Chosen) > 0, o.Swing), when(len(o.Chosen) > 0, o.Minutes),
		r.Say(), o.Held, yesNo(r.Injury), r.Unit, r.VIN, r.Registration}
}

// lotName is a lot's number and lane, as far as they are given.
func lotName(r *report.WorkRow) say.Text {
	lot := say.Plain(r.Offer.Lot)
	if lot.Empty() {
		lot = say.Plain(name(r.Unit, r.VIN))
	}
	return inLane(lot, r.Offer.Lane)
}

// inLane is a lot with its lane, where that is given.
func inLane(lot say.Text, lane string) say.Text {
	if lane == "" {
		return lot
	}
	return say.F("%s, lane %s", lot, lane)
}

func yesNo(yes bool) say.Text {
	if yes {
		return say.F("yes")
	}
	return say.F("no")
}

// withDistance names a vehicle with its odometer.
func withDistance(r *report.WorkRow) say.Text {
	km := say.F("km not known")
	if r.OdometerKnown {
		km = say.Of(say.KM(r.OdometerKM))
	}
	return say.Join(", ", say.Plain(r.Vehicle()), km)
}

// stopCell is where to stop bidding.
func stopCell(o *report.OfferRow) any {
	return limit(o.HasBid, o.BidLimit)
}

func limit(has bool, bid float64) any {
	switch {
	case !has:
		return say.F("no limit")
	case bid <= 0:
		return say.F("no bid")
	}
	return bid
}

// judged is a figure of money, where there is any.
func judged(o *report.OfferRow, x float64) any {
	if o.Unjudged {
		return say.F("not known")
	}
	return x
}

// oddsCell are the odds of the parts that take most off, in words; a part that
// is hardly worn yet takes off what it may do later.
func oddsCell(o *report.OfferRow) say.Text {
	var out []say.Text
	for i, c := range o.Largest() {
		if i < mostOdds {
			out = append(out, say.Join(" ", say.Plain(c.Name), c.Chance, c.Later))
		}
	}
	if o.Unjudged {
		return say.F("not known")
	}
	return say.Or(say.Join("; ", out...), say.F("nothing that counts in money"))
}

// looksCell are the two things to look or listen for: those of the viewing
// plan, else the most telling ones, for whoever has time left; before them the
// reading that a part lacks.
func looksCell(o *report.OfferRow) say.Text {
	if o.Reads.Empty() {
		return looksAt(o)
	}
	switch {
	case len(o.Chosen) > 0:
		return say.F("%s; then %s", o.Reads, looksAt(o))
	case len(o.CanLook) > 0:
		return say.F("%s; then, if there is time: %s", o.Reads, looksOf(o.CanLook, mostLooks))
	}
	return o.Reads
}

func looksAt(o *report.OfferRow) say.Text {
	switch {
	case len(o.Chosen) > 0:
		return looksOf(o.Chosen, mostLooks)
	case len(o.CanLook) > 0:
		return say.F("If there is time: %s", looksOf(o.CanLook, mostLooks))
	}
	return say.F("nothing: no look can move it")
}

// looksOf words the first looks, one after another.
func looksOf(looks []report.LookRow, most int) say.Text {
	out := looks[0].Words
	for i := 1; i < min(most, len(looks)); i++ {
		out = say.F("%s; then %s", out, looks[i].Words)
	}
	return out
}

// unknownCell is what is not known that matters in money.
func unknownCell(o *report.OfferRow) say.Text {
	return say.Join(" ", o.Unknown...)
}

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
	return b.long(sheetViewing, slip.SheetViewing.Head(b.doc.Title), func(int) say.Text { return b.doc.Head[min(1, len(b.doc.Head)-1)] }, []column{
		{head: say.F("Lot"), shape: wrapped, least: 10, most: 14},
		{head: say.F("Vehicle"), shape: wrapped, least: 22, most: 22},
		{head: say.F("Look"), shape: wrapped, least: 34, most: 34},
		{head: say.F("How"), shape: wrapped, least: 44, most: 44},
		{head: say.F("Minutes so far"), shape: value, least: 9, most: 9},
		{head: say.F("Expected to move, %s", in), shape: money, least: 10, most: 10},
		{head: say.F("If nothing speaks for wear, stop at, %s", in), shape: money, least: 12, most: 12},
		{head: say.F("If a look speaks for it"), shape: wrapped, least: 30, most: 30},
		{head: say.F("Seen (to write on paper)"), shape: text, least: 26, most: 26},
	}, page{frozen: 1}, rows)
}

// quietCell is where to stop bidding if no look speaks for wear.
func quietCell(o *report.OfferRow) any {
	for i := range o.Outcomes {
		if r := &o.Outcomes[i]; !r.Speaks {
			return limit(o.HasBid, r.BidLimit)
		}
	}
	return say.Text{}
}

// spokenCell is what to do if a look speaks for wear, each in its turn.
func spokenCell(o *report.OfferRow) say.Text {
	var out []say.Text
	for i := range o.Outcomes {
		if r := &o.Outcomes[i]; r.Speaks {
			out = append(out, r.Words)
		}
	}
	return say.Capitalised(say.Join("; ", out...))
}

func viewCells(r *report.WorkRow, far float64) []any {
	o := r.Offer
	var steps []string
	for i := range o.Chosen {
		steps = append(steps, o.Chosen[i].Steps...)
	}
	return []any{loud{lotName(r)}, withDistance(r), looksOf(o.Chosen, len(o.Chosen)), strings.Join(steps, " "), far, o.Swing, quietCell(o), spokenCell(o), pen{}}
}

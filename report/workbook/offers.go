package workbook

import (
	"strings"

	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// colCauses is the column of offers that takes what the others leave of a
// screen.
const colCauses = 6

func (b *book) offerColumns() []column {
	in := money1(b.doc.Run.Currency)
	return far([]column{
		{head: say.F("Unit"), shape: wrapped, least: 8, most: 14},
		{head: say.F("Vehicle"), shape: wrapped, least: 18, most: 18},
		{head: say.F("What to do"), shape: wrapped, least: 11, most: 11},
		{head: say.F("Price, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Comes off, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Bill in 9 of 10 cases up to, %s", in), shape: money, least: 10, most: 12},
		{head: say.F("What takes most off"), shape: wrapped, least: 28, most: 60},
		{head: say.F("Look first"), shape: wrapped, least: 18, most: 18},
		{head: say.F("Why"), shape: wrapped, least: 32, most: 32},

		{head: say.F("Minutes of it"), shape: value, least: 8, most: 9},
		{head: say.F("km"), shape: whole, least: 9, most: 12},
		{head: say.F("The look moves, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Not known, and what it means in money"), shape: wrapped, least: 44, most: 44},
		{head: say.F("Over km"), shape: whole, least: 9, most: 12},
		{head: say.F("These km are"), shape: wrapped, least: 18, most: 30},
		{head: say.F("Bill, mean, %s", in), shape: money, least: 9, most: 12},
		{head: say.F("Before sale to the workshop"), shape: centred, least: 11, most: 11},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("VIN"), shape: text, least: 20, most: 22},
		{head: say.F("Plate"), shape: text, least: 9, most: 14},
	})
}

// offers makes the first sheet of the trade-in desk.
func (b *book) offers() error {
	return b.buying(slip.SheetOffers, b.offerColumns(), colCauses, offerCells)
}

func offerCells(r *report.WorkRow) []any {
	o := r.Offer
	var first, minutes, moves any = blank{}, blank{}, blank{}
	if o.Look != nil {
		first, minutes, moves = o.Look.Words, o.Look.Minutes, o.Look.Swing
	}
	if o.Look == nil && !o.Reads.Empty() {
		first = o.Reads
	}
	return []any{name(r.Unit, r.VIN), withDistance(r), loud{report.VerdictWords(o.Verdict)}, when(o.HasPrice, o.Price), judged(o, o.Deduction), judged(o, o.BillP90), causesCell(o), first, r.Why,
		minutes, when(r.OdometerKnown, r.OdometerKM), moves, unknownCell(o), o.Held, o.HeldReason, judged(o, o.BillMean),
		yesNo(workshop(r)), yesNo(r.Injury), r.VIN, r.Registration}
}

// causesCell are the three largest causes in words.
func causesCell(o *report.OfferRow) say.Text {
	var out []say.Text
	for _, c := range o.Largest() {
		out = append(out, c.Words)
	}
	if o.Unjudged {
		return say.F("Not known.")
	}
	return say.Or(say.Join(" ", out...), say.F("Nothing that counts in money."))
}

// workshop tells that a vehicle is to go through the workshop before it is
// sold on.
func workshop(r *report.WorkRow) bool { return r.Above && r.Hours > 0 }

// stock makes the sheet on all vehicles together: their bills, what to put
// through the workshop before sale, and the kits.
func (b *book) stock() error {
	cols := make([]column, 6)
	for i, width := range []float64{26, 26, 30, 13, 13, 13} {
		cols[i] = column{shape: wrapped, width: width, least: width, most: width}
	}
	t := &tables{grid: &grid{book: b, cols: cols}}
	if b.stockTables(t); t.err != nil {
		return t.err
	}
	g, err := b.grid(sheetStock, cols, page{portrait: true, lastRow: t.row})
	if err != nil {
		return err
	}
	t = &tables{grid: g}
	if b.stockTables(t); t.err != nil {
		return t.err
	}
	return g.end()
}

func (b *book) stockTables(t *tables) {
	s, in := b.doc.Stock, money1(b.doc.Run.Currency)
	t.across(title, slip.SheetStock.Head(b.doc.Title))
	for _, w := range s.Words {
		t.across(lead, w)
	}
	sums := []shape{wrapped, wrapped, text, money}
	t.heads(sums, say.F("The bills of all vehicles together"), say.F("What it says"), "", say.F("Amount, %s", in))
	for _, r := range []struct {
		what, says say.Text
		amount     float64
	}{
		{say.F("Come off the prices"), say.F("the deductions of all, summed"), s.Deduction},
		{say.F("Expected bills"), say.F("of all, summed: so many on average"), s.Expected},
		{say.F("1 of 10 cases below"), say.F("10th percentile"), s.P10},
		{say.F("As often above as below"), say.F("50th percentile"), s.P50},
		{say.F("8 of 10 cases up to"), say.F("80th percentile"), s.P80},
		{say.F("9 of 10 cases up to"), say.F("90th percentile"), s.P90},
	} {
		t.row1(sums, r.what, r.says, blank{}, r.amount)
	}
	t.gap()
	workshops := []shape{wrapped, wrapped, wrapped, hour, money, money}
	t.heads(workshops, say.F("Through the workshop before sale"), say.F("Vehicle"), say.F("For"), say.F("Hours in the bay"), say.F("Worth, %s", in), say.F("Worth for a bay-hour, %s", in))
	for r := range b.doc.Worklist() {
		if workshop(&r) {
			t.row1(workshops, name(r.Unit, r.VIN), say.Plain(r.Vehicle()), strings.Join(r.Parts, ", "), r.Hours, r.Worth, r.Worth/r.Hours)
		}
	}
	t.gap()
	t.kits(b.doc.Kits)
}

// tables writes several small tables on one sheet; it remembers its first
// error.
type tables struct {
	*grid
	err error
}

func (t *tables) across(k tone, s say.Text) {
	if t.err == nil {
		t.err = t.grid.across(k, s)
	}
}

// heads is the row of headings of one table, each over its figures; what has
// no heading is empty.
func (t *tables) heads(shapes []shape, texts ...any) { t.shaped(heading, shapes, texts) }

func (t *tables) row1(shapes []shape, cells ...any) { t.shaped(plain, shapes, cells) }

func (t *tables) gap() {
	if t.err == nil {
		t.err = t.write(lineHeight, nil)
	}
}

// shaped writes a row whose cells have shapes of their own; without any, the
// columns'.
func (t *tables) shaped(k tone, shapes []shape, cells []any) {
	if t.err != nil {
		return
	}
	kept := make([]shape, len(t.cols))
	for i := range t.cols {
		kept[i] = t.cols[i].shape
		if i < len(shapes) {
			t.cols[i].shape = shapes[i]
		}
	}
	t.err = t.put(k, cells...)
	for i := range t.cols {
		t.cols[i].shape = kept[i]
	}
}

// kits is the table of what to hold.
func (t *tables) kits(kits []report.KitRow) {
	shapes := []shape{wrapped, text, ordinal, hour, ordinal, ordinal}
	t.heads(shapes, say.F("Kits to hold until the next delivery"), say.F("Part number"), say.F("Vehicles that may need one"), say.F("Kits expected"), say.F("Kits to hold"), say.F("Pieces to hold"))
	if len(kits) == 0 {
		t.across(lead, say.F("None: the job names no service level for kits, or nothing needs one."))
	}
	for _, k := range kits {
		t.row1(shapes, k.Name, orNone(k.PartNo), k.Places, k.Expected, k.Hold, k.Pieces)
	}
}

func orNone(s string) say.Text { return say.Or(say.Plain(s), say.F("none given")) }

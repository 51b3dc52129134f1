package plan

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
)

// Bill is what a buyer may have to pay over the holding distance: a discrete
// distribution of amounts to the cent, ascending, each amount once. The zero
// value is a bill of nothing for certain.
type Bill struct{ items []BillItem }

// BillItem is one amount with its chance.
type BillItem struct {
	Cents  int64   // hundredths of the currency
	Chance float64 // in (0, 1]
}

// Money is the amount in the currency.
func (i BillItem) Money() float64 { return float64(i.Cents) / 100 }

// nothing is the bill of no part at all.
var nothing = []BillItem{{0, 1}}

// Items are the amounts with their chances, ascending; they sum to 1.
func (b *Bill) Items() []BillItem {
	if len(b.items) == 0 {
		return nothing
	}
	return b.items
}

// mostCents bounds an amount, so that sums of them stay whole numbers.
const mostCents = 1e15

func cents(money float64) int64 {
	return int64(math.Round(min(max(money, 0)*100, mostCents)))
}

// newBill sorts the items, merges equal amounts and leaves out what has no
// chance.
func newBill(items []BillItem) Bill {
	slices.SortFunc(items, func(a, b BillItem) int { return cmp.Compare(a.Cents, b.Cents) })
	out := items[:0]
	for _, i := range items {
		switch n := len(out); {
		case !(i.Chance > 0):
		case n > 0 && out[n-1].Cents == i.Cents:
			out[n-1].Chance += i.Chance
		default:
			out = append(out, i)
		}
	}
	return Bill{out}
}

// Add gives the bill of both, which are independent: the exact convolution,
// equal amounts merged.
func (b *Bill) Add(other Bill) Bill {
	x, y := b.Items(), other.Items()
	items := make([]BillItem, 0, len(x)*len(y))
	for _, i := range x {
		for _, j := range y {
			items = append(items, BillItem{i.Cents + j.Cents, i.Chance * j.Chance})
		}
	}
	sum := newBill(items)
	sum.fold()
	return sum
}

// Of a vehicle with very many parts the amounts would outgrow any machine.
// Beyond mostItems those whose chance is below a limit are counted with the
// next larger amount: no quantile falls by it, and the limit starts where the
// sum of all that is moved stays far below what a float can tell.
const (
	mostItems = 50_000
	foldFrom  = 1e-18
)

func (b *Bill) fold() {
	for least := foldFrom; len(b.items) > mostItems; least *= 10 {
		out, carried := b.items[:0], 0.0
		for i, item := range b.items {
			item.Chance += carried
			if carried = 0; item.Chance < least && i < len(b.items)-1 {
				carried = item.Chance
				continue
			}
			out = append(out, item)
		}
		b.items = out
	}
}

// Mean is the expected amount, in the currency.
func (b *Bill) Mean() float64 {
	sum := 0.0
	for _, i := range b.items {
		sum += i.Money() * i.Chance
	}
	return sum
}

// rounding is what a sum of chances may lack of the number that it stands for.
const rounding = 1e-12

// Quantile is the smallest amount, in the currency, with a chance of at least
// q at or below it.
func (b *Bill) Quantile(q float64) float64 {
	items := b.Items()
	sum := 0.0
	for _, i := range items {
		if sum += i.Chance; sum >= q-rounding {
			return i.Money()
		}
	}
	return items[len(items)-1].Money()
}

// Deduction is what the part takes off the price: a buyer decides part by part
// whether to open it, and takes what is expected to cost less. A vehicle that
// cannot be opened leaves him no choice; a part found worn may be repaired all
// the same, since that takes no look.
func (c *Choice) Deduction() float64 {
	if c.Opens() {
		return c.With
	}
	return c.Without
}

// Opens tells whether the buyer opens the part (or, found worn, repairs it)
// rather than leave it alone.
func (c *Choice) Opens() bool {
	if c.Closed && c.Finding.Standing == score.Scored {
		return false
	}
	return c.With < c.Without
}

// deductionAt is Deduction with other beliefs, of a scored part.
func (c *Choice) deductionAt(b beliefs) float64 {
	without, looked := c.over(b)
	if c.Closed {
		return without
	}
	return min(without, c.Inspection+looked)
}

// Bill is what the part may cost under the buyer's choice; its mean is the
// deduction, up to the rounding of amounts to cents.
func (c *Choice) Bill() Bill {
	b := beliefsOf(c.Finding)
	switch {
	case c.Finding.Standing == score.AwaitingRepair:
		return newBill([]BillItem{{cents(c.Failure), 1}})
	case c.Finding.Standing == score.WornFound && c.Opens():
		return newBill([]BillItem{{cents(c.Repair), 1}})
	case c.Opens():
		return c.openedBill(b)
	}
	return c.leftBill(b)
}

// billAt is Bill with other beliefs, of a scored part.
func (c *Choice) billAt(b beliefs) Bill {
	if without, _ := c.over(b); c.deductionAt(b) < without {
		return c.openedBill(b)
	}
	return c.leftBill(b)
}

// leftBill: the failure of what is left alone.
func (c *Choice) leftBill(b beliefs) Bill {
	fails := b.worn*b.wornHold + b.sound*b.soundHold
	return newBill([]BillItem{{0, 1 - fails}, {cents(c.Failure), fails}})
}

// openedBill: the look for certain, and the repair where it finds wear, or the
// failure of what it missed; the ways exclude each other.
func (c *Choice) openedBill(b beliefs) Bill {
	p := &c.Finding.Part.Inspection
	r, a := p.Detects, p.FalseAlarm
	repaired := b.worn*r + (1-b.worn)*a
	missed := c.missed(b)
	return newBill([]BillItem{
		{cents(c.Inspection), max(0, 1-repaired-missed)},
		{cents(c.Inspection + c.Repair), repaired},
		{cents(c.Inspection + c.Failure), missed},
	})
}

// Missed is the chance, in [0, 1], that a part that is opened now fails over
// the holding distance all the same: its wear was not seen, or begins later.
func (c *Choice) Missed() float64 { return c.missed(beliefsOf(c.Finding)) }

func (c *Choice) missed(b beliefs) float64 {
	p := &c.Finding.Part.Inspection
	return b.worn*(1-p.Detects)*b.wornHold + b.sound*(1-p.FalseAlarm)*b.soundHold
}

package workbook_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/wear"
)

// unreadAt is the place of a vehicle that no reading tells the distance of.
const unreadAt = 21

// planned is the invented fleet as the planner itself makes a desk's list: lots
// in two lanes, each third without a guide price.
func planned(desk plan.Desk) *report.Document {
	fleet, c := invented.Fleet(), invented.Catalogue()
	c.Parts[invented.Follower].Checks = []score.Check{
		{ID: "listen", Minutes: 4, Place: "yard", Detects: 0.5, FalseAlarm: 0.02, Steps: []string{"Cold start, bonnet open."}, Cautions: []string{"Keep clear of the belt."}},
		{ID: "scan", Minutes: 5, Place: "counter", Detects: 0.7, FalseAlarm: 0.02, Steps: []string{"Read codes."}},
	}
	as := invented.Assessments(fleet, c)
	for i := range as {
		var d score.DeskFacts
		d.Lot, d.Lane, d.SaleOrder = fmt.Sprint(201+i), string("BA"[i%2]), fmt.Sprint(1+i/2)
		if i%3 != 2 {
			d.GuidePrice, d.Price = score.Is(5000+100*float64(i)), score.Is(5000+100*float64(i))
		}
		as[i].Vehicle.SetDesk(d)
		for j := range as[i].Findings {
			f := &as[i].Findings[j]
			f.HoldFail = score.Fails{All: f.State.Worn * 0.8, IfWorn: 0.8, IfSound: 0.01}
			f.State = modelled(f)
		}
	}
	for j := range as[unreadAt].Findings {
		as[unreadAt].Findings[j].Standing = score.NoDistance
	}
	o := plan.Options{BayHour: 95, BayHours: map[string]float64{"North": 12.5, "*": 4}, Desk: desk, NextRunDays: 7,
		Buying: plan.Buying{Cover: 0.8, Margin: 250, ViewingMinutes: 40, TakeLessFrom: 100, LookFrom: 150, LeaveShare: 0.6},
		Kits:   plan.Kits{Service: 0.95, DeliveryDays: 14}}
	run := invented.Run(fleet)
	run.Desk = string(desk)
	return report.Compose(run, fleet, as, o.Make(as, invented.Today), c)
}

// modelled gives a finding's masses the curves of its part, which the planner
// asks for what follows over a distance.
func modelled(f *score.Finding) wear.State {
	m, err := wear.New(f.Part.Onset, f.Part.Delay, wear.Improved)
	if err != nil {
		panic(err) // the invented curves are valid
	}
	s := m.Assess(wear.History{X: max(f.Distance, 1000), Share: 0.5})
	s.Worn, s.Sound, s.Immune, s.Rectified = f.State.Worn, f.State.Sound, f.State.Immune, f.State.Rectified
	return s
}

// seenRow is one row of a table as it is shown, by heading.
type seenRow map[string]string

// figure is a shown number; NaN where the cell shows none.
func (r seenRow) figure(head string) float64 { return shownNumber(r[head]) }

func shownNumber(s string) float64 {
	x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", ""), 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// under reads the rows beneath the row that begins with a heading, down to the
// first empty one.
func under(t *testing.T, f *excelize.File, sheet, first string) (heads []string, rows []seenRow) {
	t.Helper()
	all, err := f.GetRows(sheet)
	require.NoError(t, err)
	for _, cells := range all {
		switch {
		case heads == nil:
			if len(cells) > 1 && cells[0] == first {
				heads = cells
			}
		case len(cells) == 0:
			return heads, rows
		default:
			r := seenRow{}
			for j, c := range cells {
				r[heads[j]] = c
			}
			rows = append(rows, r)
		}
	}
	require.NotNil(t, heads, "%s has no %q", sheet, first)
	return heads, rows
}

// sheetsAreSound: no error, no formula, the same figures again.
func sheetsAreSound(t *testing.T, d *report.Document) *excelize.File {
	t.Helper()
	book := written(t, d, workbook.Options{})
	readsAsOurs(t, book)
	return open(t, book)
}

func TestLotsReadBack(t *testing.T) {
	d := planned(plan.Auction)
	f := sheetsAreSound(t, d)
	_, rows := under(t, f, "Lots", "Lot")
	i, walked, unjudged := 0, 0, 0
	walk := map[string][]string{}
	lane, order := "A", 0
	for w := range d.Worklist() {
		r, o := rows[i], w.Offer
		i++
		assert.Equal(t, o.Lot+", lane "+o.Lane, r["Lot"], "in the list's order")
		assert.LessOrEqual(t, lane, o.Lane, "lane by lane")
		if lane != o.Lane {
			lane, order = o.Lane, 0
		}
		n, err := strconv.Atoi(o.SaleOrder)
		require.NoError(t, err)
		assert.Greater(t, n, order, "by sale order in the lane")
		order = n
		stop := r["Stop bidding at, EUR"]
		if o.Unjudged {
			unjudged++
			assert.Equal(t, []string{"not known", "not known", "not known", "read the odometer"},
				[]string{r["Comes off, EUR"], r["Bill in 9 of 10 cases up to, EUR"], r["Odds of wear now (to fail while held)"], r["Look or listen for"]})
			assert.Contains(t, r["What to do, and why"], "No limit can be named: nothing of it could be reckoned.")
			assert.Contains(t, r["Not known, and what it means in money"], "nothing tells how far it has run; it is in no figure.")
		} else {
			assert.Equal(t, math.Round(o.Deduction), r.figure("Comes off, EUR"))
			assert.Equal(t, math.Round(o.BillP90), r.figure("Bill in 9 of 10 cases up to, EUR"))
		}
		switch {
		case !o.HasPrice || o.Unjudged:
			assert.Equal(t, "no limit", stop)
		case o.BidLimit <= 0:
			assert.Equal(t, "no bid", stop)
		default:
			assert.Equal(t, math.Round(o.BidLimit), shownNumber(stop))
		}
		marked := strings.HasPrefix(r["What to do (► walk to it)"], "► ")
		assert.Equal(t, len(o.Chosen) > 0, marked, "walked to where the plan says so")
		if marked {
			walked++
			walk[o.Lane] = append(walk[o.Lane], o.Lot)
			assert.Equal(t, o.Minutes, r.figure("Minutes of looks"))
		}
		assert.Equal(t, string(o.Verdict), strings.TrimPrefix(r["What to do (► walk to it)"], "► "))
		assert.Contains(t, r["What to do, and why"], w.Why.String())
		assert.Contains(t, r["Vehicle"], w.Vehicle())
	}
	assert.Len(t, rows, i, "nothing else")
	assert.Equal(t, d.Viewing.Lots, walked)
	require.Positive(t, walked)
	assert.Equal(t, 1, unjudged)
	way := fmt.Sprintf("Walk to lane A: %s; lane B: %s.", strings.Join(walk["A"], ", "), strings.Join(walk["B"], ", "))
	assert.Contains(t, d.Line.String(), way, "the first page alone tells the way")
}

func TestViewingPlanReadsBack(t *testing.T) {
	d := planned(plan.Auction)
	f := sheetsAreSound(t, d)
	heads, rows := under(t, f, "Viewing plan", "Lot")
	assert.Equal(t, []string{"Lot", "Vehicle", "Look", "How", "Minutes so far", "Expected to move, EUR", "If nothing speaks for wear, stop at, EUR", "If a look speaks for it", "Seen (to write on paper)"}, heads)
	i, far, spoken := 0, 0.0, 0
	for w := range d.Worklist() {
		if len(w.Offer.Chosen) == 0 {
			continue
		}
		r := rows[i]
		i++
		far += w.Offer.Minutes
		assert.Equal(t, w.Offer.Lot+", lane "+w.Offer.Lane, r["Lot"], "the order of the yard")
		assert.Equal(t, far, r.figure("Minutes so far"))
		assert.Equal(t, math.Round(w.Offer.Swing), r.figure("Expected to move, EUR"))
		require.NotEmpty(t, w.Offer.Outcomes)
		for j, o := range w.Offer.Outcomes {
			require.Equal(t, j > 0, o.Speaks, "that nothing speaks stands first")
			switch {
			case o.Speaks:
				assert.Contains(t, strings.ToLower(r["If a look speaks for it"]), strings.ToLower(o.Words.String()))
				spoken++
			case w.Offer.HasBid && o.BidLimit > 0:
				assert.Equal(t, math.Round(o.BidLimit), r.figure("If nothing speaks for wear, stop at, EUR"))
			}
		}
		for _, look := range w.Offer.Chosen {
			assert.Contains(t, r["Look"], look.Words.String())
			assert.Contains(t, r["How"], look.Steps[0])
		}
	}
	assert.Len(t, rows, i)
	assert.Positive(t, spoken)
	assert.Equal(t, d.Viewing.Used, far, "the minutes add up")
	assert.LessOrEqual(t, far, d.Viewing.Given)
}

func TestOffersReadBack(t *testing.T) {
	d := planned(plan.TradeIn)
	f := sheetsAreSound(t, d)
	_, rows := under(t, f, "Offers", "Unit")
	i, off := 0, 0.0
	for w := range d.Worklist() {
		r, o := rows[i], w.Offer
		i++
		off += o.Deduction
		if w.Unit != "" && strings.HasPrefix(w.Unit, "H-") {
			assert.Equal(t, w.Unit, r["Unit"])
		}
		assert.Equal(t, string(o.Verdict), r["What to do"])
		if o.Unjudged {
			assert.Equal(t, []string{"not known", "not known", "not known", "Not known."},
				[]string{r["Comes off, EUR"], r["Bill in 9 of 10 cases up to, EUR"], r["Bill, mean, EUR"], r["What takes most off"]})
		} else {
			assert.Equal(t, math.Round(o.Deduction), r.figure("Comes off, EUR"))
			assert.Equal(t, math.Round(o.BillP90), r.figure("Bill in 9 of 10 cases up to, EUR"))
			assert.Equal(t, math.Round(o.BillMean), r.figure("Bill, mean, EUR"))
		}
		if o.HasPrice {
			assert.Equal(t, math.Round(o.Price), r.figure("Price, EUR"))
		} else {
			assert.Empty(t, r["Price, EUR"])
		}
		if o.Verdict == plan.LookFirst {
			want := o.Reads
			if o.Look != nil {
				want = o.Look.Words
			}
			require.False(t, want.Empty())
			assert.Equal(t, want.String(), r["Look first"])
		}
		assert.Equal(t, w.Why.String(), r["Why"])
	}
	assert.Len(t, rows, i)
	assert.InDelta(t, d.Stock.Deduction, off, 1e-6, "what the stock says comes off is the sum of the rows")
}

func TestStockReadsBack(t *testing.T) {
	d := planned(plan.TradeIn)
	f := sheetsAreSound(t, d)
	_, sums := under(t, f, "Stock", "The bills of all vehicles together")
	want := []float64{d.Stock.Deduction, d.Stock.Expected, d.Stock.P10, d.Stock.P50, d.Stock.P80, d.Stock.P90}
	require.Len(t, sums, len(want))
	for i, x := range want {
		assert.Equal(t, math.Round(x), sums[i].figure("Amount, EUR"), sums[i])
	}
	_, shop := under(t, f, "Stock", "Through the workshop before sale")
	require.Len(t, shop, d.Stock.Workshop)
	hours, last := 0.0, math.Inf(1)
	for _, r := range shop {
		hours += r.figure("Hours in the bay")
		rate := r.figure("Worth for a bay-hour, EUR")
		assert.InDelta(t, r.figure("Worth, EUR")/r.figure("Hours in the bay"), rate, 1.1/r.figure("Hours in the bay"), r)
		if strings.Contains(r["For"], "Front brake hose") {
			assert.True(t, math.IsInf(last, 1), "what can injure before all others")
			continue
		}
		assert.LessOrEqual(t, rate, last, "then the greatest worth for an hour first")
		last = rate
	}
	assert.InDelta(t, d.Stock.Hours, hours, 1e-6)
	kitsReadBack(t, f, "Stock", d)
}

// kitsReadBack holds the table of kits against the document.
func kitsReadBack(t *testing.T, f *excelize.File, sheet string, d *report.Document) {
	t.Helper()
	heads, rows := under(t, f, sheet, "Kits to hold until the next delivery")
	require.NotEmpty(t, d.Kits)
	require.Len(t, rows, len(d.Kits))
	for i, k := range d.Kits {
		assert.Equal(t, k.Name, rows[i][heads[0]])
		assert.Equal(t, []float64{float64(k.Places), float64(k.Hold), float64(k.Pieces)},
			[]float64{rows[i].figure("Vehicles that may need one"), rows[i].figure("Kits to hold"), rows[i].figure("Pieces to hold")})
		assert.InDelta(t, k.Expected, rows[i].figure("Kits expected"), 0.0051)
	}
}

// TestCounterCardsReadBack: a page a vehicle, each with what was read, what it
// means, what to look at, what to ask and the cautions.
func TestCounterCardsReadBack(t *testing.T) {
	d := planned(plan.TradeIn)
	book := written(t, d, workbook.Options{})
	f := open(t, book)
	rows, err := f.GetRows("Counter cards")
	require.NoError(t, err)
	var cards [][]string
	for _, r := range rows {
		if len(r) > 0 && strings.HasPrefix(r[0], "No. ") {
			cards = append(cards, nil)
		}
		if n := len(cards); n > 0 {
			cards[n-1] = append(cards[n-1], strings.Join(r, "\t"))
		}
	}
	require.Len(t, cards, d.Length())
	assert.Equal(t, d.Length()-1, strings.Count(part(t, book, "xl/worksheets/sheet2.xml"), "<brk "), "a page a card")
	i, looks, asked := 0, 0, 0
	for w := range d.Worklist() {
		text := strings.Join(cards[i], "\n")
		i++
		o := w.Offer
		assert.True(t, strings.HasPrefix(text, fmt.Sprintf("No. %d\t", w.Rank)))
		for _, want := range []string{w.VIN, o.Advice.String(), w.Why.String()} {
			assert.Contains(t, text, want)
		}
		off, bill := "EUR "+whole(o.Deduction), fmt.Sprintf("up to EUR %s in 9 of 10 cases", whole(o.BillP90))
		if o.Unjudged {
			off, bill = "not known", "not known"
			assert.Contains(t, text, "In 10 minutes\tRead the odometer")
			assert.Contains(t, text, "What does the odometer read?")
		}
		assert.Contains(t, text, "Comes off\t"+off)
		assert.Contains(t, text, "Bill\t"+bill)
		for _, c := range o.Largest() {
			assert.Contains(t, text, c.Words.String())
		}
		for k := range o.Chosen {
			assert.Contains(t, text, o.Chosen[k].Words.String())
			looks++
		}
		require.Equal(t, len(o.Chosen) > 0, len(o.Outcomes) > 0)
		for _, k := range o.Outcomes {
			assert.Contains(t, text, "\t"+say.Sentence(k.Words).String())
			assert.Contains(t, k.Words.String(), "EUR "+whole(k.Deduction)+" come off")
		}
		for _, q := range o.Ask {
			assert.Contains(t, text, q.String())
			asked++
		}
		for _, s := range o.Cautions() {
			assert.Contains(t, text, s.String())
		}
	}
	assert.Positive(t, looks)
	assert.Positive(t, asked)
}

// whole writes a number with marks between its thousands.
func whole(x float64) string {
	s := strconv.FormatFloat(math.Round(x), 'f', 0, 64)
	if n := len(s); n > 3 {
		s = s[:n-3] + "," + s[n-3:]
	}
	return s
}

func TestWeeksAheadReadBack(t *testing.T) {
	d := planned(plan.Fleet)
	require.Greater(t, len(d.Load), 1)
	f := sheetsAreSound(t, d)
	heads, rows := under(t, f, "Weeks ahead", "Week from")
	require.Len(t, rows, plan.WeeksAhead+2)
	for k := range plan.WeeksAhead {
		sum, vehicles := 0.0, 0
		for i := range d.Load {
			week := &d.Load[i].Weeks[k]
			name := d.Load[i].Name
			if name == "" || name == "*" {
				name = "Other depots"
			}
			assert.InDelta(t, week.Hours, rows[k].figure(name+", hours"), 0.0051, heads)
			sum, vehicles = sum+week.Hours, vehicles+week.Vehicles
		}
		assert.InDelta(t, sum, rows[k].figure("All, hours"), 0.0051)
		assert.InDelta(t, float64(vehicles), rows[k].figure("Vehicles"), 0)
	}
	assert.NotContains(t, heads, "*, hours")
	_, more := under(t, f, "Weeks ahead", "One more bay-hour")
	require.Len(t, more, len(d.Depots))
	for i := range d.Depots {
		p := &d.Depots[i]
		assert.InDelta(t, p.Used, more[i].figure("Hours used"), 0.0051)
		assert.InDelta(t, float64(p.Above), more[i].figure("Vehicles above the line"), 0)
		assert.InDelta(t, float64(p.Below), more[i].figure("Vehicles worth a look below it"), 0)
		if p.Limited {
			assert.InDelta(t, math.Round(p.MoreHour), more[i].figure("One more hour is worth, EUR"), 0)
		}
	}
	kitsReadBack(t, f, "Weeks ahead", d)
}

// TestFleetListReadsBack holds every row of the planner's first sheet against
// the document.
func TestFleetListReadsBack(t *testing.T) {
	d := planned(plan.Fleet)
	f := sheetsAreSound(t, d)
	_, all := under(t, f, "Look first", "No.")
	var rows []seenRow
	for _, r := range all {
		if !math.IsNaN(r.figure("No.")) {
			rows = append(rows, r)
		}
	}
	i := 0
	for w := range d.Worklist() {
		r := rows[i]
		i++
		assert.InDelta(t, float64(w.Rank), r.figure("No."), 0)
		assert.Equal(t, w.LeadName, r["Look at"])
		assert.Contains(t, r["Why"], w.Why.String())
		assert.InDelta(t, math.Round(w.Waiting), r.figure("Waiting costs, EUR"), 0)
		assert.InDelta(t, w.Hours, r.figure("Hours in the bay"), 0.0051)
		assert.InDelta(t, w.Cumulative, r.figure("Hours so far"), 0.0051)
		assert.Equal(t, w.Above, r["Take in?"] != "wait")
		if !w.FoundWorn() {
			assert.True(t, strings.HasPrefix(r["How likely worn"], r["Chance worn"]+", "), "%s, %s", r["How likely worn"], r["Chance worn"])
			assert.True(t, strings.HasSuffix(r["How likely worn"], report.Odds(w.PWorn).String()))
		}
	}
	assert.Len(t, rows, i)
	require.Positive(t, i)
}

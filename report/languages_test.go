package report_test

import (
	"flag"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// often looks at n examples, a twentieth of them with -short.
func often(t *testing.T, n int, property func(t *rapid.T)) {
	t.Helper()
	if testing.Short() {
		n /= 20
	}
	was := flag.Lookup("rapid.checks").Value.String()
	require.NoError(t, flag.Set("rapid.checks", strconv.Itoa(n)))
	defer func() { require.NoError(t, flag.Set("rapid.checks", was)) }()
	rapid.Check(t, property)
}

// digits is a number as it stands in a sentence, in either language.
var digits = regexp.MustCompile(`\d(?:[\d.,]*\d)?`)

// theirWords are the inputs' own, which no language touches.
var theirWords = regexp.MustCompile(`“[^”]*”`)

// numbersIn lists the numbers of a sentence in ascending order, without the
// marks between thousands and with a decimal point: "1.234,5" of Spanish is
// "1234.5".
func numbersIn(l *say.Language, text say.Text) []string {
	found := digits.FindAllString(theirWords.ReplaceAllString(l.Say(text), ""), -1)
	for i, s := range found {
		if l == say.Spanish {
			s = strings.ReplaceAll(strings.ReplaceAll(s, ".", ""), ",", ".")
		}
		found[i] = strings.ReplaceAll(s, ",", "")
	}
	slices.Sort(found)
	return found
}

// sameNumbers checks that the Spanish sentence shows the English one's numbers,
// and holds nothing that went wrong.
func sameNumbers(t assert.TestingT, text say.Text) {
	es := say.Spanish.Say(text)
	assert.Equal(t, numbersIn(say.English, text), numbersIn(say.Spanish, text), "%s\n%s", text, es)
	assert.Equal(t, text.Empty(), es == "")
	for _, bad := range []string{"NaN", "Inf", "  ", "; ;", "%!", "()"} {
		assert.NotContains(t, es, bad)
	}
}

// TestNumbersInTellsMarksApart: the check itself has to see a wrong number.
func TestNumbersInTellsMarksApart(t *testing.T) {
	text := say.F("%s, %s", say.Money{X: 12345, Currency: "EUR"}, say.Percent(0.042))
	assert.Equal(t, []string{"12345", "4.2"}, numbersIn(say.English, text))
	assert.Equal(t, []string{"12345", "4.2"}, numbersIn(say.Spanish, text))
	assert.NotEqual(t, numbersIn(say.English, say.Plain("1.234")), numbersIn(say.Spanish, say.Plain("1.234")))
}

// holds tells that a sentence shows a number as people read it.
func holds(text say.Text, shown say.Value) bool {
	return slices.Contains(numbersIn(say.English, text), numbersIn(say.English, say.Of(shown))[0])
}

// euro is an amount as the invented run's sentences show it.
func euro(x float64) say.Value { return say.Money{X: x, Currency: "EUR"} }

func anyMoney(t *rapid.T, name string) float64 {
	return rapid.OneOf(rapid.Float64Range(0, 9000), rapid.SampledFrom([]float64{0, 0.4, 0.5, 100, 1e6})).Draw(t, name)
}

func anyLook(t *rapid.T, c *score.Catalogue) plan.Look {
	l := plan.Look{ID: "cold-listen", Minutes: rapid.SampledFrom([]float64{1, 4, 7.5}).Draw(t, "minutes"),
		Place: rapid.SampledFrom([]string{"yard", "counter", "bay"}).Draw(t, "place"), Swing: anyMoney(t, "swing")}
	for range rapid.IntRange(1, 3).Draw(t, "parts looked at") {
		l.Parts = append(l.Parts, plan.LookAt{Finding: anyFinding(t, c), Check: &score.Check{ID: l.ID, Steps: []string{"Listen."}}})
	}
	return l
}

func anyCause(t *rapid.T, c *score.Catalogue) plan.Cause {
	cause := plan.Cause{Deduction: anyMoney(t, "off"), Opens: rapid.Bool().Draw(t, "opens")}
	cause.Finding = anyFinding(t, c)
	cause.Finding.HoldFail.All = rapid.Float64Range(0, 1).Draw(t, "fails")
	cause.Inspection, cause.Repair, cause.Failure = anyMoney(t, "look"), anyMoney(t, "repair"), anyMoney(t, "failure")
	cause.With, cause.Without = anyMoney(t, "with"), anyMoney(t, "without")
	cause.Closed = rapid.Bool().Draw(t, "closed")
	return cause
}

// anyOffer draws an offer whose verdict is any that its numbers allow.
func anyOffer(t *rapid.T, a *score.Assessment, c *score.Catalogue, b *plan.Buying) plan.Offer {
	o := plan.Offer{Assessment: a, Rank: 1, HasPrice: rapid.Bool().Draw(t, "priced"), Deduction: anyMoney(t, "deduction"),
		BillP90: anyMoney(t, "p90"), BillCover: anyMoney(t, "cover"), Verdict: plan.Take}
	if o.HasPrice {
		o.Price = 1 + anyMoney(t, "price")
		o.BidLimit = o.Price - max(o.Deduction, o.BillCover) - b.Margin
	}
	for range rapid.SampledFrom([]int{0, 0, 1, 2}).Draw(t, "unread") {
		f := anyFinding(t, c)
		f.Standing = score.NoDistance
		o.Unread = append(o.Unread, f)
	}
	look := anyLook(t, c)
	switch {
	case o.HasPrice && o.Deduction >= b.LeaveShare*o.Price:
		o.Verdict = plan.Leave
	case look.Swing >= b.LookFrom:
		o.Verdict, o.Check = plan.LookFirst, &look
	case len(o.Unread) > 0:
		o.Verdict = plan.LookFirst
	case o.Deduction >= b.TakeLessFrom:
		o.Verdict = plan.TakeLess
	}
	for range rapid.IntRange(0, 3).Draw(t, "causes") {
		o.Causes = append(o.Causes, anyCause(t, c))
	}
	if rapid.Bool().Draw(t, "unknown") {
		f := anyFinding(t, c)
		o.Unknowns = append(o.Unknowns, plan.Unknown{Finding: f, Inside: anyMoney(t, "inside"), Outside: anyMoney(t, "outside")})
	}
	o.Looks = []plan.Look{look}
	outcome := func() plan.Outcome {
		return plan.Outcome{Deduction: anyMoney(t, "after"), BidLimit: anyMoney(t, "limit") - anyMoney(t, "less")}
	}
	o.Outcomes = append(o.Outcomes, outcome())
	for i := range look.Parts {
		spoke := outcome()
		spoke.Look, spoke.At = &o.Looks[0], &o.Looks[0].Parts[i]
		o.Outcomes = append(o.Outcomes, spoke)
	}
	return o
}

// outcomeHolds: who speaks of what, and where that leaves the bid or the price.
func outcomeHolds(t *rapid.T, r *report.OutcomeRow, k *plan.Outcome, bid bool) {
	sameNumbers(t, r.Words)
	words := r.Words.String()
	if k.At == nil {
		assert.True(t, strings.HasPrefix(words, "nothing speaks for wear: "), words)
	} else {
		assert.True(t, strings.HasPrefix(words, strings.ReplaceAll(k.Look.ID, "-", " ")+" speaks for wear of the "), words)
		assert.Contains(t, strings.ToLower(words), strings.ToLower(k.At.Finding.Part.Name)+": ")
	}
	end := ": no bid"
	switch {
	case !bid:
		end = ": " + say.Of(euro(k.Deduction)).In(say.English) + " come off"
	case k.BidLimit > 0:
		end = ": stop at " + say.Of(euro(k.BidLimit)).In(say.English)
	}
	assert.True(t, strings.HasSuffix(words, end), "%s: %s", words, end)
}

// TestDeskSentencesNeverContradictTheNumbers: of 10,000 random offers the
// advice, the bid, the causes and what is not known say what the numbers
// beside them say, in both languages.
func TestDeskSentencesNeverContradictTheNumbers(t *testing.T) {
	c := invented.Catalogue()
	buying := plan.Buying{Cover: 0.8, Margin: 250, TakeLessFrom: 100, LookFrom: 150, LeaveShare: 0.25}
	often(t, 10_000, func(t *rapid.T) {
		a := score.Assessment{Vehicle: &score.Vehicle{Unit: "H-1"}}
		o := anyOffer(t, &a, c, &buying)
		desk := rapid.SampledFrom([]plan.Desk{plan.Auction, plan.TradeIn}).Draw(t, "desk")
		d := report.Compose(report.Run{Job: "j", Day: today, Desk: string(desk), Currency: "EUR"}, &score.Fleet{},
			[]score.Assessment{a}, plan.List{Offers: []plan.Offer{o}, Buying: buying}, c)
		rows := slices.Collect(d.Worklist())
		require.Len(t, rows, 1)
		r := rows[0].Offer
		adviceHolds(t, r.Advice, &o, &buying)
		bidHolds(t, r, &o, &buying, desk)
		require.Len(t, r.Outcomes, len(o.Outcomes))
		for i := range r.Outcomes {
			outcomeHolds(t, &r.Outcomes[i], &o.Outcomes[i], r.HasBid)
		}
		require.Len(t, r.Causes, len(o.Causes))
		for i := range r.Causes {
			causeHolds(t, r.Causes[i].Words, &o.Causes[i])
		}
		require.Len(t, r.Unknown, len(o.Unknowns)+len(o.Unread))
		for i, text := range r.Unknown {
			if sameNumbers(t, text); i >= len(o.Unknowns) {
				assert.Equal(t, o.Unread[i-len(o.Unknowns)].Part.Name+": nothing tells how far it has run; it is in no figure.", text.String())
				continue
			}
			u := &o.Unknowns[i]
			assert.Contains(t, text.String(), "inside the range "+say.Of(euro(u.Inside)).In(say.English)+" would come off in all, outside "+say.Of(euro(u.Outside)).In(say.English)+".")
		}
		for _, text := range slices.Concat(r.Ask, d.Head, []say.Text{d.Line, rows[0].Say(), r.CanLook[0].Words}) {
			sameNumbers(t, text)
		}
	})
}

// adviceHolds: the verdict's own word stands first, with the numbers by which
// it fell.
func adviceHolds(t *rapid.T, text say.Text, o *plan.Offer, b *plan.Buying) {
	sameNumbers(t, text)
	words := text.String()
	first := map[plan.Verdict]string{plan.Leave: "Leave it", plan.LookFirst: "Look first", plan.TakeLess: "Take it for ", plan.Take: "Take it: "}
	for verdict, begins := range first {
		assert.Equal(t, o.Verdict == verdict, strings.HasPrefix(words, begins), words)
	}
	nothing := o.Verdict == plan.Take && math.Round(o.Deduction) == 0
	assert.Equal(t, nothing, strings.Contains(words, "takes anything off"), words)
	assert.Equal(t, len(o.Unread) > 0, strings.Contains(words, "without that no figure holds the "), words)
	if o.Unjudged() && o.Check == nil && o.Verdict == plan.LookFirst {
		assert.Empty(t, numbersIn(say.English, text), "no figure is told of what none could be reckoned of: %s", words)
		return
	}
	assert.Equal(t, !nothing, holds(text, euro(o.Deduction)), "%s: %v", words, o.Deduction)
	switch o.Verdict {
	case plan.Leave:
		assert.True(t, holds(text, say.Percent(o.Deduction/o.Price)) && holds(text, euro(o.Price)) && holds(text, say.Percent(b.LeaveShare)), words)
	case plan.LookFirst:
		if o.Check == nil {
			assert.NotContains(t, words, "expected to move", words)
			return
		}
		assert.True(t, holds(text, euro(o.Check.Swing)) && holds(text, say.Number(o.Check.Minutes)), words)
	}
}

// bidHolds: a bid is named only with a guide price and above nothing, and the
// amounts that are taken off come to it.
func bidHolds(t *rapid.T, r *report.OfferRow, o *plan.Offer, b *plan.Buying, desk plan.Desk) {
	sameNumbers(t, r.Bid)
	words := r.Bid.String()
	if desk != plan.Auction {
		assert.Empty(t, words)
		return
	}
	assert.Equal(t, !o.HasPrice, strings.Contains(words, "no guide price"), words)
	if o.Unjudged() {
		assert.True(t, strings.HasPrefix(words, "No limit can be named: "), words)
		assert.False(t, r.HasBid)
		return
	}
	assert.Equal(t, o.HasPrice && o.BidLimit > 0, strings.HasPrefix(words, "Stop at "+say.Of(euro(o.BidLimit)).In(say.English)), words)
	assert.Equal(t, o.HasPrice && o.BidLimit <= 0, strings.HasPrefix(words, "No bid: "), words)
	if o.HasPrice {
		for _, amount := range []float64{o.Price, max(o.Deduction, o.BillCover), b.Margin} {
			assert.True(t, holds(r.Bid, euro(amount)), "%s: %v", words, amount)
		}
		assert.Equal(t, o.BillCover > o.Deduction, strings.Contains(words, "that the bill stays within"), words)
	}
}

// causeHolds: what a part takes off, its chance and the word for it, and what
// the amount consists of.
func causeHolds(t *rapid.T, text say.Text, c *plan.Cause) {
	sameNumbers(t, text)
	f, words := c.Finding, text.String()
	assert.Contains(t, words, f.Part.Name+" takes "+say.Of(euro(c.Deduction)).In(say.English)+" off: ")
	seen := f.Standing == score.WornFound || f.Standing == score.AwaitingRepair
	chance := say.Of(say.Percent(f.State.Worn)).In(say.English) + " to be worn, " + report.Odds(f.State.Worn).String() + ";"
	assert.Equal(t, !seen, strings.Contains(words, chance), words)
	assert.Equal(t, !seen && c.Opens, strings.Contains(words, "to be opened after buying"), words)
	assert.Equal(t, !seen && !c.Opens && c.Closed && c.With < c.Without, strings.Contains(words, "it cannot be opened"), words)
	assert.Equal(t, !seen && !c.Opens && !(c.Closed && c.With < c.Without), strings.Contains(words, "not worth opening"), words)
	if f.Standing != score.AwaitingRepair && !c.Opens {
		assert.True(t, holds(text, say.Percent(f.HoldFail.All)), words)
	}
	if !seen && c.Opens { // the sentence names all that the amount consists of
		for _, amount := range []float64{c.Inspection, c.Repair, c.Failure} {
			assert.True(t, holds(text, euro(amount)), "%s: %v", words, amount)
		}
		assert.True(t, holds(text, say.Percent(c.Missed())), words)
	}
}

// TestEverySentenceOfTheDocumentShowsItsNumbersInSpanish walks the composed
// document: whatever it says is said in Spanish too, with the same numbers.
func TestEverySentenceOfTheDocumentShowsItsNumbersInSpanish(t *testing.T) {
	for _, desk := range []plan.Desk{plan.Fleet, plan.TradeIn, plan.Auction} {
		fleet, c := invented.Fleet(), invented.Catalogue()
		as := invented.Assessments(fleet, c)
		run := invented.Run(fleet)
		run.Desk = string(desk)
		d := report.Compose(run, fleet, as, invented.List(as), c)
		texts := append(slices.Clone(d.Head), d.Line, d.Title)
		for _, chapter := range d.Guide {
			texts = append(texts, chapter.Heading)
			for _, p := range chapter.Paragraphs {
				if chapter.Heading.String() != "This run" { // which holds what the job states, as it states it
					texts = append(texts, p)
				}
			}
		}
		for i := range d.Today {
			texts = append(texts, d.Today[i].Look, d.Today[i].Why)
		}
		for r := range d.Findings() {
			texts = append(texts, r.Evidence, r.MembershipReason)
		}
		for r := range d.Worklist() {
			texts = append(texts, r.Say(), r.Change)
		}
		for i := range d.Parts {
			texts = append(texts, d.Parts[i].Curve)
		}
		require.Greater(t, len(texts), 100)
		for _, text := range texts {
			sameNumbers(t, text)
		}
	}
}

// TestRowSaysWhatAServiceChanges: a service that is due is told of in the row,
// below the line only where it is reason to act.
func TestRowSaysWhatAServiceChanges(t *testing.T) {
	better := &plan.Service{Day: today + 20, Better: true, Saves: 90, Waiting: 12}
	for name, c := range map[string]struct {
		service *plan.Service
		above   bool
		says    string
	}{
		"worth waiting for":                  {better, true, "Have it opened at the service on 13 Dec 2026: EUR 90 of set-up saved, and waiting until then costs EUR 12."},
		"worth waiting for, below the line":  {better, false, "Have it opened at the service"},
		"in before the next run":             {&plan.Service{Day: today + 2, Now: true, Saves: 90}, false, "In for service on 25 Nov 2026, before the next run"},
		"not worth waiting for":              {&plan.Service{Day: today + 60, Saves: 20, Waiting: 80}, true, "Do not wait for the service on 22 Jan 2027: waiting costs EUR 80, the set-up saved would be EUR 20."},
		"below the line there is no hurry":   {&plan.Service{Day: today + 60, Saves: 20, Waiting: 80}, false, ""},
		"no service, no word of any service": {nil, true, ""},
	} {
		t.Run(name, func(t *testing.T) {
			fleet, catalogue := invented.Fleet(), invented.Catalogue()
			as := invented.Assessments(fleet, catalogue)
			l := invented.List(as)
			l.Rows[0].Service, l.Rows[0].Above = c.service, c.above
			for r := range report.Compose(invented.Run(fleet), fleet, as, l, catalogue).Worklist() {
				if c.says == "" {
					assert.NotContains(t, r.Say().String(), "service")
				}
				assert.Contains(t, r.Say().String(), c.says)
				sameNumbers(t, r.Say())
				break
			}
		})
	}
}

// TestAuctionSaysWhatKitsAreFor: at an auction most lots are not bought.
func TestAuctionSaysWhatKitsAreFor(t *testing.T) {
	for _, desk := range []plan.Desk{plan.Fleet, plan.TradeIn, plan.Auction} {
		fleet, c := invented.Fleet(), invented.Catalogue()
		as := invented.Assessments(fleet, c)
		run := invented.Run(fleet)
		run.Desk = string(desk)
		d := report.Compose(run, fleet, as, invented.List(as), c)
		said := say.Join("\n", d.Guide[0].Paragraphs...).String()
		assert.Equal(t, desk == plan.Auction, strings.Contains(said, "reckoned as if every lot were bought"))
		assert.Equal(t, desk == plan.TradeIn, strings.Contains(d.Line.String(), "Marked under “Before sale to the workshop”"))
		assert.Equal(t, desk == plan.Fleet, strings.Contains(d.Line.String(), "The line falls"))
	}
}

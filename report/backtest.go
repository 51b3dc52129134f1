package report

import (
	"fmt"

	"pitlist/score"
	"pitlist/score/backtest"
)

// Past is a backtest with what is needed to tell of it.
type Past struct {
	Run       Run
	Result    *backtest.Result
	Catalogue *score.Catalogue
	Refitted  bool     // the curves of each list were learned from what was known on its day
	LeftOut   []string // files of the catalogue that a fit learned from these records
}

// ComposeBacktest tells how past lists would have fared: at length for a sheet,
// and in short for one page of text.
func ComposeBacktest(p Past) (sheet, page *Study) {
	b := &pastLists{Past: p}
	title := p.Run.Job + ", " + date(p.Run.Day) + ": past lists against what happened"
	short := Section{Heading: "In short", Paragraphs: b.inShort()}
	ways, versus := b.ways(), b.versus()
	unseen := Section{Heading: "What it could not see", Paragraphs: b.unseen()}
	given := Section{Heading: "What is taken as given", Paragraphs: b.given()}
	all := &p.Result.All
	sheet = &Study{Run: p.Run, Title: title, Sections: []Section{
		short, ways, versus,
		b.bands("Failures until the next list: expected and counted", ofFailures, &all.Failures),
		b.parts(),
		b.bands("Worn findings at the workshop's own looks: expected and counted", ofWorn, &all.Worn),
		b.brier(), b.lists(), unseen, given, b.partWays(), b.partBands(),
	}}
	both := Section{Heading: ways.Heading, Paragraphs: []string{"Low and high: paired 95 % intervals; above 0 the list is ahead by more than luck."}, Tables: []Table{
		{Heads: []string{"Same bay-hours, " + p.Run.Currency, "opened", "hours", "failed", "worn", "saved", "looks", "alarms", "avoided"}, Rows: ways.Tables[0].Rows},
		{Heads: []string{"This list less", "failed", "low", "high", "money", "low", "high", "it alone", "rule alone"}, Rows: versus.Tables[0].Rows},
	}}
	page = &Study{Run: p.Run, Title: title, Sections: []Section{short, both, b.partsInShort(), unseen, given}}
	return sheet, page
}

// pastLists words a backtest.
type pastLists struct{ Past }

// The verdicts on a count, as a cell holds them.
const (
	asExpected = "as expected"
	tooMany    = "more"
	tooSeldom  = "fewer"
	tooFew     = "too few"
)

// verdict says what a count shows. One outside its limits shows something,
// however few there are.
func verdict(f *backtest.Forecasts) string {
	switch {
	case f.N == 0:
		return tooFew
	case f.Observed > f.High:
		return tooMany
	case f.Observed < f.Low:
		return tooSeldom
	case f.Need.Short():
		return tooFew
	}
	return asExpected
}

// inShort says in a few sentences how the lists fared.
func (b *pastLists) inShort() []string {
	r := b.Result
	first, last := &r.Days[0], &r.Days[len(r.Days)-1]
	out := []string{fmt.Sprintf("%s, from %s to %s, each made from what was known on its day and held against what happened until the next one (the last until %s). %s took part. %s",
		counted(len(r.Days), "list"), date(first.Day), date(last.Day), date(last.Until), counted(r.Vehicles, "vehicle"), b.curves())}
	out = append(out, b.onCounts(), b.onOrder())
	return append(out, b.onEnough()...)
}

func (b *pastLists) curves() string {
	if b.Refitted {
		return "The curves of each list are those that the records of its day taught."
	}
	if len(b.LeftOut) > 0 {
		return "The curves are the catalogue's of today without " + joined(b.LeftOut) + ", which a fit learned from these same records."
	}
	return "The curves are the catalogue's of today, which may have learned from the same years."
}

func (b *pastLists) onCounts() string {
	f := &b.Result.All.Failures
	w := &b.Result.All.Worn
	s := fmt.Sprintf("%s came of the parts that the lists judged; %s were expected, and %d to %d would be no surprise: %s.",
		counted(f.Observed, "failure"), trimmed1(f.Expected), f.Low, f.High, b.said(f))
	if w.N == 0 {
		return s + " The workshop opened none of them by itself."
	}
	return s + fmt.Sprintf(" The workshop's own %s found %d worn; %s expected, %d to %d no surprise: %s.",
		counted(w.N, "look"), w.Observed, trimmed1(w.Expected), w.Low, w.High, b.said(w))
}

// said is the verdict in a sentence, with how many would do where there are too
// few.
func (b *pastLists) said(f *backtest.Forecasts) string {
	switch v := verdict(f); v {
	case tooFew:
		return fmt.Sprintf("too few to judge (about %s expected would do)", trimmed1(f.Need.Enough))
	case asExpected:
		return v
	default:
		return v + " than expected"
	}
}

// onOrder says how much of what failed stood above the line, and what that was
// worth.
func (b *pastLists) onOrder() string {
	list := &b.Result.All.Ways[0]
	money := fmt.Sprintf("Opening what stood above the line would have avoided about %s, all looks paid.", Money(list.Avoided, b.Run.Currency))
	if list.Avoided < 0 {
		money = fmt.Sprintf("Opening what stood above the line would have cost about %s more than it avoided by the next list.", Money(-list.Avoided, b.Run.Currency))
	}
	if b.Result.All.Failures.Observed == 0 {
		return "Nothing failed, so nothing tells which order was best. " + money
	}
	s := fmt.Sprintf("Of %s %d stood above the line on the list before", counted(b.Result.All.Failures.Observed, "failure"), b.Result.All.Above)
	for i := range b.Result.All.Ways[1:] {
		y := &b.Result.All.Ways[i+1]
		s += map[bool]string{true: "; with the same bay-hours ", false: ", "}[i == 0] + fmt.Sprintf("“%s” opened %d", y.Name, y.Failed)
	}
	return s + ". " + money
}

// onEnough says where the records are too few to judge, and how many would do.
func (b *pastLists) onEnough() []string {
	var out []string
	n := &b.Result.All.Failures.Need
	if n.Short() {
		s := fmt.Sprintf("Too few failures to judge the forecasts: %s expected, about %s would do to tell a curve that is wrong by half from chance (8 times in 10).", trimmed1(n.Have), trimmed1(n.Enough))
		if n.Years > 0 {
			s += fmt.Sprintf(" At this rate that takes %s years of records; these are %s.", trimmed1(n.Years), trimmed1(b.Result.Years))
		}
		out = append(out, s)
	}
	short := 0.0
	for i := range b.Result.All.Versus {
		v := &b.Result.All.Versus[i]
		if v.Need.Short() && !v.Told() {
			short = max(short, v.Need.Enough-v.Need.Have)
		}
	}
	if short > 0 {
		out = append(out, fmt.Sprintf("Too few failures to tell the list from every rule: about %s would do that only one of two ways opens; up to %s are wanting.",
			trimmed1(b.Result.All.Versus[0].Need.Enough), trimmed1(short)))
	}
	return out
}

// ways is the list and the plain rules side by side.
func (b *pastLists) ways() Section {
	cur := b.Run.Currency
	t := Table{Heads: []string{"Way of choosing, same bay-hours", "Vehicles opened", "Hours", "Parts that failed by the next list", "Found worn by the workshop",
		"Failures avoided, " + cur, "Looks, " + cur, "False alarms, " + cur, "Avoided in all, " + cur}}
	for i := range b.Result.All.Ways {
		y := &b.Result.All.Ways[i]
		t.Rows = append(t.Rows, []Cell{Say(y.Name), Count(y.Vehicles), Whole(y.Hours), Count(y.Failed), Count(y.Worn),
			Whole(y.Saved), Whole(-y.Spent), Whole(-y.Alarms), Whole(y.Avoided)})
	}
	return Section{Heading: "The list and three plain rules", Tables: []Table{t}}
}

// versus is the list less each rule, with paired intervals.
func (b *pastLists) versus() Section {
	cur := b.Run.Currency
	t := Table{Heads: []string{"This list less the rule", "Failures opened", "low", "high", "Money, " + cur, "low, " + cur, "high, " + cur, "Only the list opened", "Only the rule opened"}}
	for i := range b.Result.All.Versus {
		v := &b.Result.All.Versus[i]
		t.Rows = append(t.Rows, []Cell{Say(v.Rule), Whole(v.Failed.Value), Whole(v.Failed.Low), Whole(v.Failed.High),
			Whole(v.Avoided.Value), Whole(v.Avoided.Low), Whole(v.Avoided.High), Count(v.OnlyList), Count(v.OnlyRule)})
	}
	return Section{Heading: "How far ahead", Tables: []Table{t},
		Paragraphs: []string{"Low and high are 95 % intervals, paired: the same vehicles drawn anew for both ways. An interval above 0 means that the list is ahead by more than the luck of which vehicles failed."}}
}

// unseen says what no record can tell.
func (b *pastLists) unseen() []string {
	u := &b.Result.Unseen
	out := []string{fmt.Sprintf("Of %s that the lists judged, %d were never opened or renewed in that time, and did not fail: whether they were worn nobody knows (the curves say about %s of them are). %d of these stood above a line.",
		counted(u.Pairs, "vehicle-part"), u.Never, trimmed1(u.NeverWorn), u.Above)}
	if n := b.Result.All.Unknown; n > 0 {
		f := &b.Result.All.Failures
		out = append(out, fmt.Sprintf("%s of unknown cause: the text tells neither a failure nor a plan. They count as neither; had all been failures, %d would stand against %s expected.",
			counted(n, "renewal"), f.Observed+n, trimmed1(f.Expected)))
	}
	if u.Sold > 0 {
		out = append(out, fmt.Sprintf("%s left out as sold: no row says when they left. If they were sold because they failed, the lists look better here than they were.", counted(u.Sold, "vehicle")))
	}
	var missed []string
	for _, c := range u.Elsewhere {
		missed = append(missed, fmt.Sprintf("%d (%s)", c.N, c.What))
	}
	if len(missed) > 0 {
		out = append(out, "Failures on record that no list could be held to: "+joined(missed)+".")
	}
	return out
}

// given names the assumptions.
func (b *pastLists) given() []string {
	return []string{
		"A look or a renewal ends the time for which a forecast is held to account: nobody knows what would have come without it. That is fair where looks come by the calendar; where somebody looked because something was heard, fewer failures are left to count.",
		"A part opened that failed by the next list counts as found with the catalogue's chance to detect, as though worn on the list's day: saved is its failure less its planned repair. Other parts cost the look and false alarms; what a look saves later is not counted. Each list stands by itself, since nobody worked it off.",
		"Rows dated after a list's day, rows without a day, and entries not yet known had no say. Depot, ranges and in-service day are those of today.",
	}
}

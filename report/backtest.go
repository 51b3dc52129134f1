package report

import (
	"pitlist/score"
	"pitlist/score/backtest"
	"pitlist/score/say"
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
	title := say.F("%s, %s: past lists against what happened", p.Run.Job, say.Day(p.Run.Day))
	short := Section{Heading: say.F("In short"), Paragraphs: b.inShort()}
	ways, versus := b.ways(), b.versus()
	unseen := Section{Heading: say.F("What it could not see"), Paragraphs: b.unseen()}
	given := Section{Heading: say.F("What is taken as given"), Paragraphs: b.given()}
	all := &p.Result.All
	sheet = &Study{Run: p.Run, Title: title, Sections: []Section{
		short, ways, versus,
		b.bands(say.F("Failures until the next list: expected and counted"), ofFailures, false, &all.Failures),
		b.parts(),
		b.bands(say.F("Worn findings at the workshop's own looks: expected and counted"), ofWorn, true, &all.Worn),
		b.brier(), b.lists(), unseen, given, b.partWays(), b.partBands(),
	}}
	both := Section{Heading: ways.Heading, Paragraphs: []say.Text{say.F("Low and high: paired 95 %% intervals; above 0 the list is ahead by more than luck.")}, Tables: []Table{
		{Heads: []say.Text{say.F("Same bay-hours, %s", p.Run.Currency), say.F("opened"), say.F("hours"), say.F("failed"), say.F("worn"), say.F("saved"), say.F("looks"), say.F("alarms"), say.F("avoided")}, Rows: ways.Tables[0].Rows},
		{Heads: []say.Text{say.F("This list less"), say.F("failed"), say.F("low"), say.F("high"), say.F("money"), say.F("low"), say.F("high"), say.F("it alone"), say.F("rule alone")}, Rows: versus.Tables[0].Rows},
	}}
	page = &Study{Run: p.Run, Title: title, Sections: []Section{short, both, b.partsInShort(), unseen, given}}
	return sheet, page
}

// pastLists words a backtest.
type pastLists struct{ Past }

// The verdicts on a count, as a cell holds them.
const (
	asExpected outcome = iota
	tooMany
	tooSeldom
	tooFew
)

// outcome is what a count shows.
type outcome int

func (o outcome) words() say.Text {
	switch o {
	case tooMany:
		return say.F("more")
	case tooSeldom:
		return say.F("fewer")
	case tooFew:
		return say.F("too few")
	}
	return say.F("as expected")
}

// verdict says what a count shows. One outside its limits shows something,
// however few there are.
func verdict(f *backtest.Forecasts) outcome {
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
func (b *pastLists) inShort() []say.Text {
	r := b.Result
	first, last := &r.Days[0], &r.Days[len(r.Days)-1]
	out := []say.Text{say.F("%s, from %s to %s, each made from what was known on its day and held against what happened until the next one (the last until %s). %s took part. %s",
		say.Count(len(r.Days), "list", "lists"), say.Day(first.Day), say.Day(last.Day), say.Day(last.Until), say.Count(r.Vehicles, "vehicle", "vehicles"), b.curves())}
	out = append(out, b.onCounts(), b.onOrder())
	return append(out, b.onEnough()...)
}

func (b *pastLists) curves() say.Text {
	if b.Refitted {
		return say.F("The curves of each list are those that the records of its day taught.")
	}
	if len(b.LeftOut) > 0 {
		return say.F("The curves are the catalogue's of today without %s, which a fit learned from these same records.", say.And(plain(b.LeftOut)...))
	}
	return say.F("The curves are the catalogue's of today, which may have learned from the same years.")
}

func (b *pastLists) onCounts() say.Text {
	f := &b.Result.All.Failures
	w := &b.Result.All.Worn
	s := say.F("%s came of the parts that the lists judged; %s were expected, and %d to %d would be no surprise: %s.",
		say.Count(f.Observed, "failure", "failures"), say.Tenth(f.Expected), f.Low, f.High, b.said(f))
	if w.N == 0 {
		return say.Join(" ", s, say.F("The workshop opened none of them by itself."))
	}
	looks, expected, verdict := say.Count(w.N, "look", "looks"), say.Tenth(w.Expected), b.said(w)
	return say.Join(" ", s, say.One(w.Observed, say.F("The workshop's own %s found 1 worn; %s expected, %d to %d no surprise: %s.", looks, expected, w.Low, w.High, verdict),
		say.F("The workshop's own %s found %d worn; %s expected, %d to %d no surprise: %s.", looks, w.Observed, expected, w.Low, w.High, verdict)))
}

// said is the verdict in a sentence, with how many would do where there are too
// few.
func (b *pastLists) said(f *backtest.Forecasts) say.Text {
	switch verdict(f) {
	case tooMany:
		return say.F("more than expected")
	case tooSeldom:
		return say.F("fewer than expected")
	case asExpected:
		return asExpected.words()
	}
	return say.F("too few to judge (about %s expected would do)", say.Tenth(f.Need.Enough))
}

// onOrder says how much of what failed stood above the line, and what that was
// worth.
func (b *pastLists) onOrder() say.Text {
	list := &b.Result.All.Ways[0]
	gain := say.F("Opening what stood above the line would have avoided about %s, all looks paid.", money(list.Avoided, b.Run.Currency))
	if list.Avoided < 0 {
		gain = say.F("Opening what stood above the line would have cost about %s more than it avoided by the next list.", money(-list.Avoided, b.Run.Currency))
	}
	if b.Result.All.Failures.Observed == 0 {
		return say.Join(" ", say.F("Nothing failed, so nothing tells which order was best."), gain)
	}
	var rules []say.Text
	for i := range b.Result.All.Ways[1:] {
		y := &b.Result.All.Ways[i+1]
		rules = append(rules, say.F("“%s” opened %d", wayWords(y.Name), y.Failed))
	}
	failed, above := say.Count(b.Result.All.Failures.Observed, "failure", "failures"), b.Result.All.Above
	if len(rules) == 0 {
		return say.Join(" ", say.One(above, say.F("Of %s 1 stood above the line on the list before.", failed), say.F("Of %s %d stood above the line on the list before.", failed, above)), gain)
	}
	others := say.Join(", ", rules...)
	return say.Join(" ", say.One(above, say.F("Of %s 1 stood above the line on the list before; with the same bay-hours %s.", failed, others),
		say.F("Of %s %d stood above the line on the list before; with the same bay-hours %s.", failed, above, others)), gain)
}

// onEnough says where the records are too few to judge, and how many would do.
func (b *pastLists) onEnough() []say.Text {
	var out []say.Text
	n := &b.Result.All.Failures.Need
	if n.Short() {
		s := say.F("Too few failures to judge the forecasts: %s expected, about %s would do to tell a curve that is wrong by half from chance (8 times in 10).", say.Tenth(n.Have), say.Tenth(n.Enough))
		if n.Years > 0 {
			s = say.Join(" ", s, say.F("At this rate that takes %s years of records; these are %s.", say.Tenth(n.Years), say.Tenth(b.Result.Years)))
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
		out = append(out, say.F("Too few failures to tell the list from every rule: about %s would do that only one of two ways opens; up to %s are wanting.",
			say.Tenth(b.Result.All.Versus[0].Need.Enough), say.Tenth(short)))
	}
	return out
}

// ways is the list and the plain rules side by side.
func (b *pastLists) ways() Section {
	cur := b.Run.Currency
	t := Table{Heads: []say.Text{say.F("Way of choosing, same bay-hours"), say.F("Vehicles opened"), say.F("Hours"), say.F("Parts that failed by the next list"), say.F("Found worn by the workshop"),
		say.F("Failures avoided, %s", cur), say.F("Looks, %s", cur), say.F("False alarms, %s", cur), say.F("Avoided in all, %s", cur)}}
	for i := range b.Result.All.Ways {
		y := &b.Result.All.Ways[i]
		t.Rows = append(t.Rows, []Cell{Say(wayWords(y.Name)), Count(y.Vehicles), Whole(y.Hours), Count(y.Failed), Count(y.Worn),
			Whole(y.Saved), Whole(-y.Spent), Whole(-y.Alarms), Whole(y.Avoided)})
	}
	return Section{Heading: say.F("The list and three plain rules"), Tables: []Table{t}}
}

// versus is the list less each rule, with paired intervals.
func (b *pastLists) versus() Section {
	cur := b.Run.Currency
	t := Table{Heads: []say.Text{say.F("This list less the rule"), say.F("Failures opened"), say.F("low"), say.F("high"), say.F("Money, %s", cur), say.F("low, %s", cur), say.F("high, %s", cur), say.F("Only the list opened"), say.F("Only the rule opened")}}
	for i := range b.Result.All.Versus {
		v := &b.Result.All.Versus[i]
		t.Rows = append(t.Rows, []Cell{Say(wayWords(v.Rule)), Whole(v.Failed.Value), Whole(v.Failed.Low), Whole(v.Failed.High),
			Whole(v.Avoided.Value), Whole(v.Avoided.Low), Whole(v.Avoided.High), Count(v.OnlyList), Count(v.OnlyRule)})
	}
	return Section{Heading: say.F("How far ahead"), Tables: []Table{t},
		Paragraphs: []say.Text{say.F("Low and high are 95 %% intervals, paired: the same vehicles drawn anew for both ways. An interval above 0 means that the list is ahead by more than the luck of which vehicles failed.")}}
}

// unseen says what no record can tell.
func (b *pastLists) unseen() []say.Text {
	u := &b.Result.Unseen
	judged, worn := say.Count(u.Pairs, "vehicle-part", "vehicle-parts"), say.Tenth(u.NeverWorn)
	out := []say.Text{say.One(u.Never, say.F("Of %s that the lists judged, 1 was never opened or renewed in that time, and did not fail: whether it was worn nobody knows (the curves say about %s of them are). %d of these stood above a line.", judged, worn, u.Above),
		say.F("Of %s that the lists judged, %d were never opened or renewed in that time, and did not fail: whether they were worn nobody knows (the curves say about %s of them are). %d of these stood above a line.", judged, u.Never, worn, u.Above))}
	if n := b.Result.All.Unknown; n > 0 {
		f := &b.Result.All.Failures
		out = append(out, say.F("%s of unknown cause: the text tells neither a failure nor a plan. They count as neither; had all been failures, %d would stand against %s expected.",
			say.Count(n, "renewal", "renewals"), f.Observed+n, say.Tenth(f.Expected)))
	}
	if u.Sold > 0 {
		out = append(out, say.F("%s left out as sold: no row says when they left. If they were sold because they failed, the lists look better here than they were.", say.Count(u.Sold, "vehicle", "vehicles")))
	}
	var missed []say.Text
	for _, c := range u.Elsewhere {
		missed = append(missed, say.F("%d (%s)", c.N, missedWords(c.What)))
	}
	if len(missed) > 0 {
		out = append(out, say.F("Failures on record that no list could be held to: %s.", say.And(missed...)))
	}
	return out
}

// given names the assumptions.
func (b *pastLists) given() []say.Text {
	return []say.Text{
		say.F("A look or a renewal ends the time for which a forecast is held to account: nobody knows what would have come without it. That is fair where looks come by the calendar; where somebody looked because something was heard, fewer failures are left to count."),
		say.F("A part opened that failed by the next list counts as found with the catalogue's chance to detect, as though worn on the list's day: saved is its failure less its planned repair. Other parts cost the look and false alarms; what a look saves later is not counted. Each list stands by itself, since nobody worked it off."),
		say.F("Rows dated after a list's day, rows without a day, and entries not yet known had no say. Depot, ranges and in-service day are those of today."),
	}
}

// wayWords names a way of choosing: this list, or a plain rule.
func wayWords(name string) say.Text {
	switch name {
	case backtest.ByList:
		return say.F("this list")
	case string(backtest.ByMileage):
		return say.F("highest mileage first")
	case string(backtest.ByCode):
		return say.F("has a code, then mileage")
	case string(backtest.ByAge):
		return say.F("oldest first")
	}
	return say.Plain(name)
}

// missedWords says why no list could be held to a failure.
func missedWords(why string) say.Text {
	switch why {
	case backtest.NotOnRecord:
		return say.F("the vehicle had no dated row yet")
	case backtest.NotYetKnown:
		return say.F("the catalogue's entry was not known yet")
	case backtest.OutOfRange:
		return say.F("the catalogue's ranges said outside")
	case backtest.NoDistance:
		return say.F("no reading told how far the part had run")
	case backtest.KnownAlready:
		return say.F("found worn or failed before the list, and waiting for the repair")
	case backtest.StoryEnded:
		return say.F("renewed with the improved part before")
	case backtest.AfterAct:
		return say.F("after a look or a renewal in the same span")
	}
	return say.Plain(why)
}

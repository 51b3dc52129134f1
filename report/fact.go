package report

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"pitlist/score"
	"pitlist/score/say"
)

// almostNothing is the weight, as a factor on the odds either way, below
// which an observation is said to say almost nothing (judgement: a tenth).
const almostNothing = 1.1

// shortErase is the distance since codes were erased below which a code that
// is there has set quickly, and the erase is worth telling (judgement), km.
const shortErase = 1000

// quoteLength is how many characters of a row's own text a sentence quotes.
const quoteLength = 60

// mostWeight bounds a weight: beyond it a number says no more than "never"
// (judgement).
const mostWeight = 1e9

// bounded is a weight between 1/mostWeight and mostWeight; what is no number
// tells nothing and counts as 1.
func bounded(w float64) float64 {
	if math.IsNaN(w) || w < 0 {
		return 1
	}
	return math.Min(mostWeight, math.Max(1/mostWeight, w))
}

// strength is how far a fact moves the odds, |log weight|.
func strength(f *score.Fact) float64 { return math.Abs(math.Log(bounded(f.Weight))) }

// tells reports that the fact moves the odds enough to be a reason.
func tells(f *score.Fact) bool { return strength(f) >= math.Log(almostNothing) }

// sayFact puts one fact of a part in words, without its weight.
func sayFact(f *score.Fact, p *score.WeakPart) say.Text {
	switch f.Kind {
	case score.FactCode:
		return sayScan(f)
	case score.FactCameBack:
		return cameBack(f, p.Axis)
	case score.FactCleanScan:
		return sayClean(f)
	case score.FactStale:
		return say.F("%s stored, but may date from the part that left: erase and scan again", sayCodes(f))
	case score.FactWords:
		if f.Day == 0 {
			return say.F("noted: %s", quoted(f))
		}
		return say.F("noted on %s: %s", say.Day(f.Day), quoted(f))
	case score.FactNoWords:
		return say.F("no word of it in the notes")
	case score.FactMeasure:
		return sayMeasure(f, p)
	}
	return sayDeed(f, p)
}

// sayScan tells of codes with how the scan gives them, where it says so for
// all of them, its day, and an erase where that says that they set quickly.
func sayScan(f *score.Fact) say.Text {
	var read say.Text
	codes, state := sayCodes(f), stateWords(f.State)
	switch {
	case f.Day == 0 && state.Empty():
		read = say.F("%s read", codes)
	case f.Day == 0:
		read = say.F("%s %s", codes, state)
	case state.Empty():
		read = say.F("%s read on %s", codes, say.Day(f.Day))
	default:
		read = say.F("%s %s on %s", codes, state, say.Day(f.Day))
	}
	if f.Since >= 0 && f.Since < shortErase && f.Since == f.Since {
		return say.F("%s, within %s of an erase", read, say.KM(f.Since))
	}
	return read
}

// sayDeed words what someone did or did not do to the part.
func sayDeed(f *score.Fact, p *score.WeakPart) say.Text {
	switch f.Kind {
	case score.FactClean:
		return say.Join(" ", say.F("inspected and found sound"), onAt(f, p.Axis))
	case score.FactFoundWorn:
		return say.Join(" ", say.F("found worn"), onAt(f, p.Axis))
	case score.FactFailed:
		return say.Join(" ", say.F("failed"), onAt(f, p.Axis))
	case score.FactRenewed:
		return say.Join(" ", say.F("renewed"), onAt(f, p.Axis))
	}
	return sayUndone(f)
}

// sayUndone words what was advised, refused or done beside the part.
func sayUndone(f *score.Fact) say.Text {
	dated := f.Day != 0
	day := say.Day(f.Day)
	switch f.Kind {
	case score.FactTreated:
		if dated {
			return say.F("%s on %s treated a symptom, not the part", quoted(f), day)
		}
		return say.F("%s treated a symptom, not the part", quoted(f))
	case score.FactDeclined:
		if dated {
			return say.F("its renewal was declined on %s, so it was not done", day)
		}
		return say.F("its renewal was declined, so it was not done")
	case score.FactRecommended:
		if dated {
			return say.F("its renewal was recommended on %s, not done", day)
		}
		return say.F("its renewal was recommended, not done")
	}
	return say.Join(" ", say.Plainly(f.Kind), on(f.Day))
}

// sayCodes lists a fact's codes; a code is always named, whatever is missing.
func sayCodes(f *score.Fact) say.Text {
	var names []string
	for _, c := range f.Codes {
		if c.Valid() && !slices.Contains(names, c.String()) {
			names = append(names, c.String())
		}
	}
	if len(names) == 0 {
		return say.F("a code of the part")
	}
	return say.And(plain(names)...)
}

// plain makes texts of names.
func plain(names []string) []say.Text {
	out := make([]say.Text, len(names))
	for i, s := range names {
		out[i] = say.Plain(s)
	}
	return out
}

// cameBack says how long after which repair the codes were back.
func cameBack(f *score.Fact, axis score.Axis) say.Text {
	t := f.After
	if t == nil {
		return say.F("%s came back after a repair of the symptom", sayCodes(f))
	}
	work := quoted(t)
	if t.Phrase != "" && len([]rune(t.Text)) > quoteLength {
		work = say.F("work on %s", work) // the row is too long to quote; the phrase names what was worked on
	}
	later := howLater(t, f, axis)
	if later.Empty() {
		return say.F("%s came back after %s", sayCodes(f), work)
	}
	return say.F("%s came back %s after %s", sayCodes(f), later, work)
}

// howLater measures from one fact to a later one: "23 days and 900 km".
func howLater(from, to *score.Fact, axis score.Axis) say.Text {
	var days, far say.Text
	if d := int(to.Day) - int(from.Day); from.Day != 0 && d > 0 {
		days = say.Count(d, "day", "days")
	}
	if axis == score.ByKM && from.At > 0 && to.At-from.At >= 1 {
		far = say.Of(say.KM(to.At - from.At))
	}
	return say.And(days, far)
}

// sayClean words a scan that found none of the part's codes. One made soon
// after an erase proves next to nothing, and is said to.
func sayClean(f *score.Fact) say.Text {
	since, day, dated := say.KM(f.Since), say.Day(f.Day), f.Day != 0
	switch telling := tells(f); {
	case telling && f.Since >= 0 && dated:
		return say.F("none of its codes in the scan of %s, %s after an erase", day, since)
	case telling && f.Since >= 0:
		return say.F("none of its codes in the scan, %s after an erase", since)
	case telling && dated:
		return say.F("none of its codes in the scan of %s", day)
	case telling:
		return say.F("none of its codes in the scan")
	case f.Since >= 0 && dated:
		return say.F("the clean scan of %s, only %s after an erase, says almost nothing", day, since)
	case f.Since >= 0:
		return say.F("the clean scan, only %s after an erase, says almost nothing", since)
	case dated:
		return say.F("the clean scan of %s says almost nothing", day)
	}
	return say.F("the clean scan says almost nothing")
}

// sayMeasure compares a measured value with the part's limit of that name.
func sayMeasure(f *score.Fact, p *score.WeakPart) say.Text {
	name := say.Or(say.Plain(strings.ReplaceAll(f.Phrase, "_", " ")), say.F("a measured value"))
	value := say.Figure(f.Value)
	i := slices.IndexFunc(p.Inspection.Limits, func(l score.Limit) bool { return l.Measure == f.Phrase })
	if i < 0 {
		return say.Join(" ", say.F("%s measured at %s", name, value), on(f.Day))
	}
	l := &p.Inspection.Limits[i]
	limit := say.Figure(l.WornFrom)
	rising := l.WornFrom >= l.SoundTo // more is worse
	said := say.F("%s measured at %s (worn from %s)", name, value, limit)
	switch {
	case rising && f.Value >= l.WornFrom:
		said = say.F("%s measured at %s, at or over the limit of %s", name, value, limit)
	case !rising && f.Value <= l.WornFrom:
		said = say.F("%s measured at %s, at or under the limit of %s", name, value, limit)
	}
	return say.Join(" ", said, on(f.Day))
}

// quoted gives the row's own words, or the phrase where they are long.
func quoted(f *score.Fact) say.Text {
	text := strings.Join(strings.Fields(f.Text), " ")
	if text == "" || (len([]rune(text)) > quoteLength && f.Phrase != "") {
		text = cmp.Or(f.Phrase, text)
	}
	if text == "" {
		return say.F("a repair")
	}
	return say.Plain("“" + fits(text, quoteLength) + "”")
}

// on is the day of a deed; empty where none is stated.
func on(d score.Day) say.Text {
	if d == 0 {
		return say.Text{}
	}
	return say.F("on %s", say.Day(d))
}

// onAt dates a deed and places it on the part's axis.
func onAt(f *score.Fact, axis score.Axis) say.Text {
	if f.At > 0 {
		return say.Join(" ", on(f.Day), say.F("at %s", amount(f.At, axis)))
	}
	return on(f.Day)
}

// SayWeight puts a likelihood ratio in words: how much more often the same is
// seen on worn parts than on others.
func SayWeight(w float64) say.Text {
	f := score.Fact{Weight: w}
	w = bounded(w)
	switch {
	case !tells(&f):
		return say.F("says almost nothing")
	case w == mostWeight:
		return say.F("never on parts that are not worn")
	case w == 1/mostWeight:
		return say.F("never on worn parts")
	case w > 1:
		return say.F("%s times as common on worn parts", ratio(w))
	}
	return say.F("%s times as common on parts that are not worn", ratio(1/w))
}

// ofThisPart leaves out what happened before the part was last renewed: it is
// about the part that left. The renewal itself stays, and so does evidence,
// which the scorer took from after it.
func ofThisPart(facts []score.Fact) []score.Fact {
	last := lastRenewal(facts)
	for isOld(facts, 0, last) { // mostly it stands in front
		facts, last = facts[1:], last-1
	}
	before, old := facts[:max(0, last)], func(f score.Fact) bool { return f.Group == "" }
	if !slices.ContainsFunc(before, old) {
		return facts
	}
	return append(slices.DeleteFunc(slices.Clone(before), old), facts[last:]...)
}

// lastRenewal is the place of the last renewal; -1 where there is none.
func lastRenewal(facts []score.Fact) int {
	for i := len(facts) - 1; i >= 0; i-- {
		if facts[i].Kind == score.FactRenewed {
			return i
		}
	}
	return -1
}

// isOld tells that a fact is about the part that left.
func isOld(facts []score.Fact, i, lastRenewal int) bool {
	return i < lastRenewal && facts[i].Group == ""
}

// byStrength returns the evidence among facts for wear (sign > 0) or against
// it (sign < 0), the strongest first, ties in the order of time.
func byStrength(facts []score.Fact, sign int) []*score.Fact {
	var out []*score.Fact
	for i := range facts {
		f := &facts[i]
		if tells(f) && (bounded(f.Weight) > 1) == (sign > 0) {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b *score.Fact) int { return cmp.Compare(strength(b), strength(a)) })
	return out
}

package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"pitlist/score"
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
func sayFact(f *score.Fact, p *score.WeakPart) string {
	switch f.Kind {
	case score.FactCode:
		return sayCodes(f) + " " + sayState(f) + on(f.Day) + sinceErase(f)
	case score.FactCameBack:
		return sayCodes(f) + " came back " + afterTreatment(f, p.Axis)
	case score.FactCleanScan:
		return sayClean(f)
	case score.FactStale:
		return sayCodes(f) + " stored, but may date from the part that left: erase and scan again"
	case score.FactWords:
		return "noted" + on(f.Day) + ": " + quoted(f)
	case score.FactNoWords:
		return "no word of it in the notes"
	case score.FactMeasure:
		return sayMeasure(f, p)
	}
	return sayDeed(f, p)
}

// sayState is how the scan gives a fact's codes: "pending" where it says so for
// all of them, else just "read".
func sayState(f *score.Fact) string {
	if f.State == "" {
		return "read"
	}
	return string(f.State)
}

// sayDeed words what someone did or did not do to the part.
func sayDeed(f *score.Fact, p *score.WeakPart) string {
	switch f.Kind {
	case score.FactClean:
		return "inspected and found sound" + onAt(f, p.Axis)
	case score.FactFoundWorn:
		return "found worn" + onAt(f, p.Axis)
	case score.FactFailed:
		return "failed" + onAt(f, p.Axis)
	case score.FactRenewed:
		return "renewed" + onAt(f, p.Axis)
	case score.FactTreated:
		return quoted(f) + on(f.Day) + " treated a symptom, not the part"
	case score.FactDeclined:
		return "its renewal was declined" + on(f.Day) + ", so it was not done"
	case score.FactRecommended:
		return "its renewal was recommended" + on(f.Day) + ", not done"
	}
	return strings.TrimSpace(string(f.Kind) + on(f.Day))
}

// sayCodes lists a fact's codes; a code is always named, whatever is missing.
func sayCodes(f *score.Fact) string {
	var names []string
	for _, c := range f.Codes {
		if c.Valid() && !slices.Contains(names, c.String()) {
			names = append(names, c.String())
		}
	}
	if len(names) == 0 {
		return "a code of the part"
	}
	return joined(names)
}

// sinceErase tells of an erase only where it says that the code set quickly.
func sinceErase(f *score.Fact) string {
	if f.Since >= 0 && f.Since < shortErase && f.Since == f.Since {
		return ", within " + KM(f.Since) + " of an erase"
	}
	return ""
}

// afterTreatment says how long after which repair the codes were back.
func afterTreatment(f *score.Fact, axis score.Axis) string {
	t := f.After
	if t == nil {
		return "after a repair of the symptom"
	}
	after := "after "
	if t.Phrase != "" && len([]rune(t.Text)) > quoteLength {
		after += "work on " // the row is too long to quote; the phrase names what was worked on
	}
	return howLater(t, f, axis) + after + quoted(t)
}

// howLater measures from one fact to a later one: "23 days and 900 km ".
func howLater(from, to *score.Fact, axis score.Axis) string {
	var gaps []string
	if d := int(to.Day) - int(from.Day); from.Day != 0 && d > 0 {
		gaps = append(gaps, counted(d, "day"))
	}
	if axis == score.ByKM && from.At > 0 && to.At-from.At >= 1 {
		gaps = append(gaps, KM(to.At-from.At))
	}
	if len(gaps) == 0 {
		return ""
	}
	return joined(gaps) + " "
}

// sayClean words a scan that found none of the part's codes. One made soon
// after an erase proves next to nothing, and is said to.
func sayClean(f *score.Fact) string {
	switch {
	case tells(f) && f.Since >= 0:
		return "none of its codes in the scan" + of(f.Day) + ", " + KM(f.Since) + " after an erase"
	case tells(f):
		return "none of its codes in the scan" + of(f.Day)
	case f.Since >= 0:
		return "the clean scan" + of(f.Day) + ", only " + KM(f.Since) + " after an erase, says almost nothing"
	}
	return "the clean scan" + of(f.Day) + " says almost nothing"
}

// sayMeasure compares a measured value with the part's limit of that name.
func sayMeasure(f *score.Fact, p *score.WeakPart) string {
	s := strings.ReplaceAll(cmp.Or(f.Phrase, "a measured value"), "_", " ") + " measured at " + figure(f.Value)
	for _, l := range p.Inspection.Limits {
		if l.Measure != f.Phrase {
			continue
		}
		rising := l.WornFrom >= l.SoundTo // more is worse
		switch {
		case rising && f.Value >= l.WornFrom:
			s += ", at or over the limit of " + figure(l.WornFrom)
		case !rising && f.Value <= l.WornFrom:
			s += ", at or under the limit of " + figure(l.WornFrom)
		default:
			s += " (worn from " + figure(l.WornFrom) + ")"
		}
		break
	}
	return s + on(f.Day)
}

// figure writes a measured value with up to six significant digits.
func figure(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "no number"
	}
	return fmt.Sprintf("%.6g", x)
}

// quoted gives the row's own words, or the phrase where they are long.
func quoted(f *score.Fact) string {
	text := strings.Join(strings.Fields(f.Text), " ")
	if text == "" || (len([]rune(text)) > quoteLength && f.Phrase != "") {
		text = cmp.Or(f.Phrase, text)
	}
	if text == "" {
		return "a repair"
	}
	return "“" + fits(text, quoteLength) + "”"
}

func on(d score.Day) string {
	if d == 0 {
		return ""
	}
	return " on " + date(d)
}

func of(d score.Day) string {
	if d == 0 {
		return ""
	}
	return " of " + date(d)
}

// onAt dates a deed and places it on the part's axis.
func onAt(f *score.Fact, axis score.Axis) string {
	if f.At > 0 {
		return on(f.Day) + " at " + Amount(f.At, axis)
	}
	return on(f.Day)
}

// SayWeight puts a likelihood ratio in words: how much more often the same is
// seen on worn parts than on others.
func SayWeight(w float64) string {
	f := score.Fact{Weight: w}
	w = bounded(w)
	switch {
	case !tells(&f):
		return "says almost nothing"
	case w == mostWeight:
		return "never on parts that are not worn"
	case w == 1/mostWeight:
		return "never on worn parts"
	case w > 1:
		return ratio(w) + " times as common on worn parts"
	}
	return ratio(1/w) + " times as common on parts that are not worn"
}

// ratio writes a factor with two significant digits below 100.
func ratio(x float64) string {
	switch {
	case x >= 100:
		return grouped(x)
	case x >= 10:
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// ofThisPart leaves out what happened before the part was last renewed: it is
// about the part that left. The renewal itself stays, and so does evidence,
// which the scorer took from after it.
func ofThisPart(facts []score.Fact) []score.Fact {
	last := lastRenewal(facts)
	var out []score.Fact
	for i := range facts {
		if !isOld(facts, i, last) {
			out = append(out, facts[i])
		}
	}
	return out
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

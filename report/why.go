package report

import (
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// How much a sentence holds before it stops being one (judgement).
const (
	mostFor     = 3    // facts that speak for wear
	mostAgainst = 2    // facts that speak against it
	mostAlso    = 3    // other parts named
	alsoFrom    = 0.05 // chance of being worn from which another part is named

	mostClauses   = 16   // room for all of one part and what is said of the vehicle
	rectifiedFrom = 0.02 // chance of an unseen repair from which it is told
)

// Why says in one plain sentence why a vehicle stands where it does: what
// forces it, the strongest evidence, the range, the distance, what speaks
// against, and what is not known. It is never empty, and it says nothing that
// the numbers beside it deny. A nil row gives the sentence of no finding.
func Why(row *plan.Row) say.Text {
	if row == nil || row.Lead.Finding == nil {
		return awaitingOnly(row)
	}
	clauses := reasons(row.Lead.Finding)
	clauses = append(clauses, awaiting(row.Awaiting)...)
	return say.Sentence(append(clauses, alsoParts(row), unread(row.Assessment))...)
}

// whyAt is Why at a desk: of a vehicle of the fleet that stands it also says
// why waiting costs nothing, however likely wear is.
func whyAt(desk string, row *plan.Row) say.Text {
	if !plan.Desk(desk).Buys() && row.Assessment.Vehicle.Status == score.OffRoad && math.Round(row.Waiting) == 0 {
		return say.Join(" ", Why(row), say.F("It is off the road: waiting costs nothing until it runs again."))
	}
	return Why(row)
}

// WhyFinding is the sentence for one part by itself.
func WhyFinding(f *score.Finding) say.Text { return say.Sentence(reasons(f)...) }

func awaitingOnly(row *plan.Row) say.Text {
	if row != nil {
		if s := say.Sentence(append(awaiting(row.Awaiting), unread(row.Assessment), improved(row.Assessment))...); !s.Empty() {
			return s
		}
	}
	return say.F("Nothing of the catalogue speaks of it.")
}

// improved names the parts that were renewed with the improved one, which is
// why nothing more is said of them.
func improved(a *score.Assessment) say.Text {
	parts := thatStand(a, score.Improved)
	if len(parts) == 0 {
		return say.Text{}
	}
	return say.F("renewed with the improved part: %s", partNames(parts))
}

// thatStand are the findings of the vehicle that stand so.
func thatStand(a *score.Assessment, how score.Standing) (parts []*score.Finding) {
	if a == nil {
		return nil
	}
	for i := range a.Findings {
		if f := &a.Findings[i]; f.Standing == how {
			parts = append(parts, f)
		}
	}
	return parts
}

// unread names the parts that the catalogue speaks of and that nothing else on
// the row does, since no reading tells how far they have run.
func unread(a *score.Assessment) say.Text {
	parts := thatStand(a, score.NoDistance)
	if len(parts) == 0 {
		return say.Text{}
	}
	return say.F("not judged, since no reading tells how far it has run: %s", partNames(parts))
}

// reasons lists the clauses for one finding, the telling ones first.
func reasons(f *score.Finding) []say.Text {
	facts := ofThisPart(f.Facts)
	out := make([]say.Text, 0, mostClauses)
	out = append(out, standing(f), overLimit(f))
	signs := byStrength(facts, +1)
	for _, s := range signs[:min(mostFor, len(signs))] {
		if s.Kind != score.FactFoundWorn && s.Kind != score.FactFailed {
			out = append(out, sayFact(s, f.Part))
		}
	}
	if len(signs) == 0 && f.Standing == score.Scored {
		out = append(out, say.F("no sign of wear read"))
	}
	out = append(out, belonging(f), ownDistance(f, len(signs) == 0))
	if f.Standing == score.Scored {
		out = append(out, against(facts, f.Part)...)
	}
	out = append(out, unseen(f), forSale(f), advised(facts, f.Part))
	if len(f.Uncertain) > 0 {
		out = append(out, say.F("not sure: %s", f.Uncertain[0]))
	}
	return out
}

// standing says what puts a part at the head, evidence or not.
func standing(f *score.Finding) say.Text {
	switch f.Standing {
	case score.WornFound, score.AwaitingRepair:
		return foundSo(f)
	case score.Improved:
		return say.F("renewed with the improved part: its story has ended")
	case score.NoDistance:
		return say.F("nothing tells how far the part has run")
	}
	return say.Text{}
}

// foundSo says when a part was found worn or failed; it was not renewed since.
func foundSo(f *score.Finding) say.Text {
	kind, plainly := score.FactFailed, say.F("found failed")
	if f.Standing == score.WornFound {
		kind, plainly = score.FactFoundWorn, say.F("found worn")
	}
	return say.F("%s and not renewed since", lastOf(ofThisPart(f.Facts), kind, plainly, f.Part))
}

// overLimit says which limit an injury part is over.
func overLimit(f *score.Finding) say.Text {
	var worn, fail say.Text
	if f.NoticeWorn {
		chance, limit := say.Over(f.State.Worn, f.Part.WornLimit)
		worn = say.F("%s to be worn (limit %s)", chance, limit)
	}
	if f.NoticeFail {
		chance, limit := say.Over(f.RiskFail, f.Part.RiskLimit)
		fail = say.F("%s to fail within %s (limit %s)", chance, say.KM(f.Part.RiskKM), limit)
	}
	over := say.And(worn, fail)
	if over.Empty() {
		return over
	}
	return say.F("its failure can injure, and the chance is over its limit: %s", over)
}

// lastOf words the latest fact of a kind, else the plain words.
func lastOf(facts []score.Fact, kind score.FactKind, plainly say.Text, p *score.WeakPart) say.Text {
	for i := len(facts) - 1; i >= 0; i-- {
		if facts[i].Kind == kind {
			return sayFact(&facts[i], p)
		}
	}
	return plainly
}

// belonging says whether the vehicle is of the affected ones and why.
func belonging(f *score.Finding) say.Text {
	reason, share := f.Belonging.Reason(), say.Percent(f.Belonging.Share)
	known := !reason.Empty()
	switch m := f.Belonging.Membership; {
	case m == score.Inside && known:
		return say.F("in the affected range (%s)", reason)
	case m == score.Inside:
		return say.F("in the affected range")
	case m == score.Outside && known:
		return say.F("outside the known ranges (%s)", reason)
	case m == score.Outside:
		return say.F("outside the known ranges")
	case known && f.Belonging.Share >= 0.9995: // "100 % chance" beside "not known" would contradict itself
		return say.F("not known to be in the affected range (%s), taken to be in it", reason)
	case known:
		return say.F("not known to be in the affected range (%s), %s chance of it", reason, share)
	}
	return say.F("not known to be in the affected range, %s chance of it", share)
}

// ownDistance says how far the part has run; where there is no sign of wear,
// also what share of affected parts are worn by there, since then the curve
// alone is the reason.
func ownDistance(f *score.Finding, withCurve bool) say.Text {
	if f.Standing == score.NoDistance {
		return say.F("distance not known")
	}
	far := say.Of(amount(f.Distance, f.Part.Axis))
	if f.Renewed > 0 {
		far = say.F("%s since it was renewed at %s", far, amount(f.Renewed, f.Part.Axis))
	}
	if withCurve && f.Part.Onset != nil && f.Standing == score.Scored {
		if share := life.CDF(f.Part.Onset, f.Distance); share >= 0 && share <= 1 {
			return say.F("%s, by which %s of affected parts begin to wear", far, say.Percent(share))
		}
	}
	return far
}

// against lists the strongest facts that make wear less likely, and a clean
// scan that says almost nothing, lest a reader take it for a proof.
func against(facts []score.Fact, p *score.WeakPart) []say.Text {
	var said, out []say.Text
	for i, f := range byStrength(facts, -1) {
		if i == mostAgainst {
			break
		}
		said = append(said, sayFact(f, p))
	}
	if len(said) > 0 {
		out = append(out, say.F("against it: %s", say.And(said...)))
	}
	for i := range facts {
		f := &facts[i]
		if (f.Kind == score.FactCleanScan && !tells(f)) || f.Kind == score.FactStale {
			out = append(out, sayFact(f, p))
		}
	}
	return out
}

// unseen says what lies before the records, where it could matter.
func unseen(f *score.Finding) say.Text {
	if f.Standing != score.Scored || !(f.HistoryFrom > 0) {
		return say.Text{}
	}
	first := amount(f.HistoryFrom, f.Part.Axis)
	if f.State.Rectified >= rectifiedFrom {
		return say.F("no records of its first %s: it may have been put right already (%s)", first, say.Percent(f.State.Rectified))
	}
	if f.HistoryFrom > f.Distance/2 {
		return say.F("no records of its first %s", first)
	}
	return say.Text{}
}

// forSale says that the odds were moved since the vehicle is offered for sale.
func forSale(f *score.Finding) say.Text {
	if f.SaleOdds == 0 {
		return say.Text{}
	}
	return say.F("odds of wear taken %s times, since it is for sale (own judgement)", say.Number(f.SaleOdds))
}

// advised tells of a renewal that someone asked for and nobody made: the
// latest such, none from before the part was renewed.
func advised(facts []score.Fact, p *score.WeakPart) say.Text {
	for i := len(facts) - 1; i >= 0; i-- {
		if k := facts[i].Kind; k == score.FactDeclined || k == score.FactRecommended {
			return sayFact(&facts[i], p)
		}
	}
	return say.Text{}
}

// awaiting names parts that failed and were not put right.
func awaiting(list []*score.Finding) []say.Text {
	var out []say.Text
	for _, f := range list {
		out = append(out, say.F("%s: %s", lower(f.Part.Name), foundSo(f)))
	}
	return out
}

// alsoParts sums up the row's other parts that are not negligible.
func alsoParts(row *plan.Row) say.Text {
	var said []say.Text
	add := func(list []plan.Choice, from float64) {
		for i := range list {
			f := list[i].Finding
			if f == nil || f == row.Lead.Finding || f.State.Worn < from || len(said) == mostAlso {
				continue
			}
			said = append(said, say.F("%s %s", lower(f.Part.Name), say.Percent(f.State.Worn)))
		}
	}
	add(row.Parts, 0)
	add(row.Others, alsoFrom)
	if len(said) == 0 {
		return say.Text{}
	}
	return say.F("also: %s", say.Join(", ", said...))
}

// lower writes a part's name inside a sentence; names that begin with an
// abbreviation ("ABS ring") stay as they are.
func lower(name string) say.Text {
	r := []rune(name)
	if len(r) > 1 && strings.ToUpper(string(r[:2])) == string(r[:2]) {
		return say.Plain(name)
	}
	if len(r) == 0 {
		return say.F("a part")
	}
	return say.Plain(strings.ToLower(string(r[:1])) + string(r[1:]))
}

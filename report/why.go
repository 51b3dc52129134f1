package report

import (
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/plan"
)

// How much a sentence holds before it stops being one (judgement).
const (
	mostFor     = 3    // facts that speak for wear
	mostAgainst = 2    // facts that speak against it
	mostAlso    = 3    // other parts named
	alsoFrom    = 0.05 // chance of being worn from which another part is named

	rectifiedFrom = 0.02 // chance of an unseen repair from which it is told
)

// Why says in one plain sentence why a vehicle stands where it does: what
// forces it, the strongest evidence, the range, the distance, what speaks
// against, and what is not known. It is never empty, and it says nothing that
// the numbers beside it deny. A nil row gives the sentence of no finding.
func Why(row *plan.Row) string {
	if row == nil || row.Lead.Finding == nil {
		return awaitingOnly(row)
	}
	lead := row.Lead.Finding
	clauses := reasons(lead)
	clauses = append(clauses, awaiting(row.Awaiting)...)
	if also := alsoParts(row); also != "" {
		clauses = append(clauses, also)
	}
	return sentence(clauses)
}

// WhyFinding is the sentence for one part by itself.
func WhyFinding(f *score.Finding) string { return sentence(reasons(f)) }

func awaitingOnly(row *plan.Row) string {
	if row != nil && len(row.Awaiting) > 0 {
		return sentence(awaiting(row.Awaiting))
	}
	return "Nothing of the catalogue speaks of it."
}

// reasons lists the clauses for one finding, the telling ones first.
func reasons(f *score.Finding) []string {
	facts := ofThisPart(f.Facts)
	var out []string
	out = append(out, standing(f)...)
	signs := byStrength(facts, +1)
	for _, s := range signs[:min(mostFor, len(signs))] {
		if s.Kind != score.FactFoundWorn && s.Kind != score.FactFailed {
			out = append(out, sayFact(s, f.Part))
		}
	}
	if len(signs) == 0 && f.Standing == score.Scored {
		out = append(out, "no sign of wear read")
	}
	out = append(out, belonging(f), ownDistance(f, len(signs) == 0))
	if f.Standing == score.Scored {
		out = append(out, against(facts, f.Part)...)
	}
	out = append(out, unseen(f)...)
	out = append(out, forSale(f)...)
	out = append(out, advised(facts, f.Part)...)
	if len(f.Uncertain) > 0 {
		out = append(out, "not sure: "+f.Uncertain[0].String())
	}
	return out
}

// standing says what puts a part at the head, evidence or not.
func standing(f *score.Finding) []string {
	var out []string
	switch f.Standing {
	case score.WornFound, score.AwaitingRepair:
		out = append(out, foundSo(f))
	case score.Improved:
		out = append(out, "renewed with the improved part: its story has ended")
	case score.NoDistance:
		out = append(out, "nothing tells how far the part has run")
	}
	return append(out, overLimit(f)...)
}

// foundSo says when a part was found worn or failed; it was not renewed since.
func foundSo(f *score.Finding) string {
	kind, plainly := score.FactFailed, "found failed"
	if f.Standing == score.WornFound {
		kind, plainly = score.FactFoundWorn, "found worn"
	}
	return lastOf(ofThisPart(f.Facts), kind, plainly, f.Part) + " and not renewed since"
}

// overLimit says which limit an injury part is over.
func overLimit(f *score.Finding) []string {
	var over []string
	if f.NoticeWorn {
		over = append(over, Percent(f.State.Worn)+" to be worn (limit "+Percent(f.Part.WornLimit)+")")
	}
	if f.NoticeFail {
		over = append(over, Percent(f.RiskFail)+" to fail within "+KM(f.Part.RiskKM)+" (limit "+Percent(f.Part.RiskLimit)+")")
	}
	if len(over) == 0 {
		return nil
	}
	return []string{"its failure can injure, and the chance is over its limit: " + joined(over)}
}

// lastOf words the latest fact of a kind, else the plain words.
func lastOf(facts []score.Fact, kind score.FactKind, plainly string, p *score.WeakPart) string {
	for i := len(facts) - 1; i >= 0; i-- {
		if facts[i].Kind == kind {
			return sayFact(&facts[i], p)
		}
	}
	return plainly
}

// belonging says whether the vehicle is of the affected ones and why.
func belonging(f *score.Finding) string {
	reason := f.Belonging.Reason.String()
	switch f.Belonging.Membership {
	case score.Inside:
		return withReason("in the affected range", reason)
	case score.Outside:
		return withReason("outside the known ranges", reason)
	}
	return withReason("not known to be in the affected range", reason) + ", " + Percent(f.Belonging.Share) + " chance of it"
}

func withReason(s, reason string) string {
	if reason == "" {
		return s
	}
	return s + " (" + reason + ")"
}

// ownDistance says how far the part has run; where there is no sign of wear,
// also what share of affected parts are worn by there, since then the curve
// alone is the reason.
func ownDistance(f *score.Finding, withCurve bool) string {
	if f.Standing == score.NoDistance {
		return "distance not known"
	}
	s := Amount(f.Distance, f.Part.Axis)
	if f.Renewed > 0 {
		s += " since it was renewed at " + Amount(f.Renewed, f.Part.Axis)
	}
	if withCurve && f.Part.Onset != nil && f.Standing == score.Scored {
		if share := life.CDF(f.Part.Onset, f.Distance); share >= 0 && share <= 1 {
			s += ", by which " + Percent(share) + " of affected parts begin to wear"
		}
	}
	return s
}

// against lists the strongest facts that make wear less likely, and a clean
// scan that says almost nothing, lest a reader take it for a proof.
func against(facts []score.Fact, p *score.WeakPart) []string {
	var said []string
	for i, f := range byStrength(facts, -1) {
		if i == mostAgainst {
			break
		}
		said = append(said, sayFact(f, p))
	}
	var out []string
	if len(said) > 0 {
		out = append(out, "against it: "+joined(said))
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
func unseen(f *score.Finding) []string {
	if f.Standing != score.Scored || !(f.HistoryFrom > 0) {
		return nil
	}
	s := "no records of its first " + Amount(f.HistoryFrom, f.Part.Axis)
	if f.State.Rectified >= rectifiedFrom {
		return []string{s + ": it may have been put right already (" + Percent(f.State.Rectified) + ")"}
	}
	if f.HistoryFrom > f.Distance/2 {
		return []string{s}
	}
	return nil
}

// forSale says that the odds were moved since the vehicle is offered for sale.
func forSale(f *score.Finding) []string {
	if f.SaleOdds == 0 {
		return nil
	}
	return []string{"odds of wear taken " + trimmed(f.SaleOdds) + " times, since it is for sale (own judgement)"}
}

// advised tells of a renewal that someone asked for and nobody made: the
// latest such, none from before the part was renewed.
func advised(facts []score.Fact, p *score.WeakPart) []string {
	for i := len(facts) - 1; i >= 0; i-- {
		if k := facts[i].Kind; k == score.FactDeclined || k == score.FactRecommended {
			return []string{sayFact(&facts[i], p)}
		}
	}
	return nil
}

// awaiting names parts that failed and were not put right.
func awaiting(list []*score.Finding) []string {
	var out []string
	for _, f := range list {
		out = append(out, lower(f.Part.Name)+": "+foundSo(f))
	}
	return out
}

// alsoParts sums up the row's other parts that are not negligible.
func alsoParts(row *plan.Row) string {
	var said []string
	add := func(list []plan.Choice, from float64) {
		for i := range list {
			f := list[i].Finding
			if f == nil || f == row.Lead.Finding || f.State.Worn < from || len(said) == mostAlso {
				continue
			}
			said = append(said, lower(f.Part.Name)+" "+Percent(f.State.Worn))
		}
	}
	add(row.Parts, 0)
	add(row.Others, alsoFrom)
	if len(said) == 0 {
		return ""
	}
	return "also: " + strings.Join(said, ", ")
}

// lower writes a part's name inside a sentence; names that begin with an
// abbreviation ("ABS ring") stay as they are.
func lower(name string) string {
	r := []rune(name)
	if len(r) > 1 && strings.ToUpper(string(r[:2])) == string(r[:2]) {
		return name
	}
	if len(r) == 0 {
		return "a part"
	}
	return strings.ToLower(string(r[:1])) + string(r[1:])
}

// sentence joins clauses; the first letter is a capital, a stop ends it.
func sentence(clauses []string) string {
	s := strings.Join(clauses, "; ")
	if s == "" {
		return ""
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:]) + "."
}

// finite is x, or 0 where it is no number: no cell ever shows NaN.
func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

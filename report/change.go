package report

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// change says what moved on a row since the last run: places, and why. A
// reason is named only where it pushes the way that the row went: facts by the
// weight that they have in this run's own reckoning, the greatest first. Where
// the row's own cost of waiting did not move that way, it is others that moved.
func (d *Document) change(row *plan.Row) say.Text {
	b := d.Run.Before
	switch {
	case b == nil:
		return say.Text{}
	case d.Buys():
		return d.seenBefore(row)
	}
	v := row.Assessment.Vehicle
	was, listed := b.Stood[v]
	switch {
	case b.NewVehicles[v]:
		return say.F("new in the sheets")
	case !listed:
		return and(say.F("new on the list"), d.reasons(row, &was, +1))
	}
	places := was.Rank - row.Rank
	return and(say.Join(", ", moved(places), acrossTheLine(&was, row)), d.because(row, &was, places))
}

// seenBefore is what a buying desk is told of an earlier run. Every sale brings
// other vehicles, so no places are compared; but a lot that comes again was
// known, and what is new of it counts.
func (d *Document) seenBefore(row *plan.Row) say.Text {
	if _, listed := d.Run.Before.Stood[row.Assessment.Vehicle]; !listed {
		return say.Text{}
	}
	return and(say.F("seen before, on %s", say.Day(d.Run.Before.Day)), d.told(row))
}

// and joins what happened with why.
func and(what say.Text, why []say.Text) say.Text {
	if len(why) == 0 {
		return what
	}
	return say.F("%s: %s", what, say.Join(", ", why...))
}

func moved(places int) say.Text {
	switch {
	case places > 0:
		return say.F("up %d", places)
	case places < 0:
		return say.F("down %d", -places)
	}
	return samePlace
}

// samePlace is all that is told of a row with nothing new.
var samePlace = say.F("same place")

func acrossTheLine(was *Stood, row *plan.Row) say.Text {
	switch {
	case row.Above && !was.Above:
		return say.F("now above the line")
	case was.Above && !row.Above:
		return say.F("now below the line")
	}
	return say.Text{}
}

// because finds why a row went the way it went.
func (d *Document) because(row *plan.Row, was *Stood, places int) []say.Text {
	own := cmp.Compare(rate(row.Waiting, row.Hours), rate(was.Waiting, was.Hours)*(1+float64(cmp.Compare(places, 0))*noticed))
	switch {
	case places == 0:
		return d.told(row)
	case places > 0 && (own > 0 || d.decided(row, was.Part, +1)):
		return orElse(d.reasons(row, was, +1), say.F("waiting costs more than it did"))
	case places < 0 && (own < 0 || d.decided(row, was.Part, -1)):
		return orElse(d.reasons(row, was, -1), say.F("waiting costs less than it did"))
	case places > 0:
		return append(d.lineReason(row, was), say.F("others fell or left"))
	}
	return append(d.lineReason(row, was), say.F("others rose"))
}

// noticed is the share by which the cost of waiting has to move before it is a
// reason (judgement).
const noticed = 0.005

// rate is what the list orders by: the cost of waiting for an hour in the bay.
func rate(waiting, hours float64) float64 {
	if hours <= 0 {
		return finite(waiting)
	}
	return finite(waiting / hours)
}

func orElse(list []say.Text, otherwise say.Text) []say.Text {
	if len(list) == 0 {
		return []say.Text{otherwise}
	}
	return list
}

// contains tells that a list says the same already.
func contains(list []say.Text, t say.Text) bool {
	words := t.String()
	return slices.ContainsFunc(list, func(x say.Text) bool { return x.String() == words })
}

// mostReasons is how many reasons fit into a few words.
const mostReasons = 3

// reasons lists what pushes a row up (sign +1) or down (-1) and is new since
// the last run, the greatest first.
func (d *Document) reasons(row *plan.Row, was *Stood, sign int) []say.Text {
	var out []say.Text
	for _, p := range d.pushes(row, was.Part, sign) {
		if words := d.push(row.Assessment, p.of, p.fact); len(out) < mostReasons && !contains(out, words) {
			out = append(out, words)
		}
	}
	if lead := row.Lead.Finding; lead != nil && len(out) < mostReasons {
		switch b := d.Run.Before; {
		case b.CurvesChanged[lead.Part.ID]:
			out = append(out, say.F("curve changed"))
		case b.EntriesChanged[lead.Part.ID]:
			out = append(out, say.F("catalogue entry changed"))
		}
		if was.Part != "" && was.Part != lead.Part.ID {
			out = append(out, say.F("now for the %s", lead.Part.Name))
		}
	}
	if km := d.driven(row, was); sign > 0 && !km.Empty() {
		out = append(out, km)
	}
	return append(out, d.lineReason(row, was)...)
}

// pushing is a new fact of a part with what it weighs, whatever its sign.
type pushing struct {
	of     *score.Finding
	fact   *score.Fact
	weight float64
}

// pushes gathers the new facts that push a row one way, the greatest first:
// those of the parts that it speaks of, and of the one that led it before.
func (d *Document) pushes(row *plan.Row, led string, sign int) []pushing {
	var out []pushing
	parts := leadFirst(row)
	for i := range row.Others {
		if f := row.Others[i].Finding; f != nil && f.Part.ID == led {
			parts = append(slices.Clip(parts), f)
		}
	}
	for _, f := range parts {
		for i := range f.Facts {
			fact := &f.Facts[i]
			if w := weightOf(fact); w*float64(sign) > 0 && d.isNew(row.Assessment.Vehicle, fact) {
				out = append(out, pushing{f, fact, math.Abs(w)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b pushing) int { return cmp.Compare(b.weight, a.weight) })
	return out
}

// decided tells whether a result pushes the row that way.
func (d *Document) decided(row *plan.Row, led string, sign int) bool {
	list := d.pushes(row, led, sign)
	return len(list) > 0 && list[0].weight >= decides
}

// told lists what is new of a row that kept its place.
func (d *Document) told(row *plan.Row) []say.Text {
	out := d.reasons(row, &Stood{}, +1)
	for _, down := range d.reasons(row, &Stood{}, -1) {
		if !contains(out, down) {
			out = append(out, down)
		}
	}
	return out[:min(mostReasons, len(out))]
}

// decides is the weight of a result: more than any evidence (as a logarithm).
const decides = 1e3

// weightOf is how far a fact pushes: above 0 it makes wear likelier.
func weightOf(f *score.Fact) float64 {
	switch f.Kind {
	case score.FactClean, score.FactRenewed:
		return -decides
	case score.FactFoundWorn, score.FactFailed:
		return decides
	}
	return math.Log(bounded(f.Weight))
}

// push words a new fact.
func (d *Document) push(a *score.Assessment, f *score.Finding, fact *score.Fact) say.Text {
	switch fact.Kind {
	case score.FactCode:
		return d.codeNews(a, fact)
	case score.FactCameBack:
		return say.F("%s came back", sayCodes(fact))
	case score.FactWords:
		return say.F("noted %s", quoted(fact))
	case score.FactMeasure:
		return sayMeasure(fact, f.Part)
	case score.FactCleanScan:
		return d.goneCodes(a, f, fact)
	case score.FactClean:
		return say.Join(" ", say.F("found sound"), on(fact.Day))
	case score.FactFoundWorn:
		return say.Join(" ", say.F("found worn"), on(fact.Day))
	case score.FactFailed:
		return say.Join(" ", say.F("found failed"), on(fact.Day))
	case score.FactRenewed:
		return say.Join(" ", say.F("renewed"), on(fact.Day))
	}
	return say.Plainly(fact.Kind)
}

// isNew tells whether no run of an earlier day knew the row's fact.
func (d *Document) isNew(v *score.Vehicle, f *score.Fact) bool {
	for _, n := range d.Run.Before.News[v] {
		if n.Ref != f.Ref || f.Day != 0 && n.Day != f.Day { // 0: of a row that states none
			continue
		}
		switch f.Kind {
		case score.FactCode, score.FactCameBack, score.FactCleanScan:
			if n.Kind == NewScan {
				return true
			}
		case score.FactMeasure, score.FactFailed:
			if n.Kind == NewInspection {
				return true
			}
		case score.FactWords:
			if n.Kind == NewRepair || n.Kind == NewRemark {
				return true
			}
		case score.FactClean, score.FactFoundWorn, score.FactRenewed:
			if n.Kind == NewRepair || n.Kind == NewInspection || n.Kind == NewRemark {
				return true
			}
		}
	}
	return false
}

// codeNews tells new codes from those that an earlier scan showed too.
func (d *Document) codeNews(a *score.Assessment, f *score.Fact) say.Text {
	spells := CodeSpells(a)
	var fresh, back []say.Text
	for _, c := range f.Codes {
		for i := range spells {
			if s := &spells[i]; s.Code == c && s.Gone == 0 && s.First > d.Run.Before.Day {
				if s.Again {
					back = append(back, say.Plain(c.String()))
				} else {
					fresh = append(fresh, say.Plain(c.String()))
				}
			}
		}
	}
	switch {
	case len(fresh) > 0:
		return say.F("new code %s", say.And(fresh...))
	case len(back) > 0:
		return say.F("%s back", say.And(back...))
	}
	return say.F("%s still there", sayCodes(f))
}

// goneCodes words a scan that shows none of a group's codes: what was there
// before and after what it went.
func (d *Document) goneCodes(a *score.Assessment, f *score.Finding, fact *score.Fact) say.Text {
	for _, s := range CodeSpells(a) {
		if s.Gone > d.Run.Before.Day && speaksOf(f.Part, fact.Group, s.Code) {
			return say.F("%s gone %s", s.Code.String(), s.How)
		}
	}
	if fact.Day == 0 {
		return say.F("clean scan")
	}
	return say.F("clean scan of %s", say.Day(fact.Day))
}

// driven says how far the vehicle went since the last run.
func (d *Document) driven(row *plan.Row, was *Stood) say.Text {
	o := &row.Assessment.Odometer
	if !was.KMKnown || !o.Known || o.KM-was.KM < 1 || row.Lead.Finding == nil || row.Lead.Finding.Part.Axis != score.ByKM {
		return say.Text{}
	}
	return say.F("%s more", say.KM(o.KM-was.KM))
}

// lineReason tells of bay-hours that are others than last time, where the row
// crossed the line.
func (d *Document) lineReason(row *plan.Row, was *Stood) []say.Text {
	if row.Above == was.Above || was.Rank == 0 {
		return nil
	}
	depot := row.Assessment.Vehicle.Depot
	given, ok := d.Run.Before.HoursGiven[depot]
	if !ok {
		if given, ok = d.Run.Before.HoursGiven["*"]; !ok {
			return nil
		}
	}
	switch {
	case given[0] < 0:
		return []say.Text{say.F("bay-hours are limited now")}
	case given[1] < 0:
		return []say.Text{say.F("bay-hours are no longer limited")}
	}
	return []say.Text{say.F("bay-hours changed from %s to %s", say.Number(given[0]), say.Number(given[1]))}
}

// speaksOf tells whether a group of the part's evidence has a rule on the code.
func speaksOf(p *score.WeakPart, group string, c dtc.Code) bool {
	for g := range p.Evidence {
		if p.Evidence[g].Name != group {
			continue
		}
		for _, r := range p.Evidence[g].Rules {
			for _, list := range [...][]dtc.Pattern{r.Codes.All, r.Codes.Any} {
				for _, pattern := range list {
					if pattern.Matches(c) {
						return true
					}
				}
			}
		}
	}
	return false
}

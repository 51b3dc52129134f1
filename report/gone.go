package report

import (
	"cmp"
	"slices"
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// sortGone orders by the earlier list; what stood on none comes last.
func sortGone(rows []GoneRow) {
	place := func(g *GoneRow) int {
		if g.Was == 0 {
			return 1 << 30
		}
		return g.Was
	}
	slices.SortStableFunc(rows, func(a, b GoneRow) int {
		return cmp.Or(cmp.Compare(place(&a), place(&b)), strings.Compare(a.Unit, b.Unit), strings.Compare(a.VIN, b.VIN))
	})
}

// partName is the part's name in today's catalogue, else its id.
func (d *Document) partName(id string) string {
	for i := range d.catalogue.Parts {
		if d.catalogue.Parts[i].ID == id {
			return d.catalogue.Parts[i].Name
		}
	}
	return id
}

// whyGone says why a vehicle that is still in the sheets left the list or its
// head: what was done or found comes before what was reckoned.
func (d *Document) whyGone(a *score.Assessment, row *plan.Row, was *Stood) say.Text {
	if a.SetAside != "" {
		return setAsideWords(a.SetAside)
	}
	if done := d.done(a, was.Part); !done.Empty() {
		return done
	}
	if row != nil {
		return and(say.F("below the line"), d.because(row, was, was.Rank-row.Rank))
	}
	return say.Or(standsSo(a, was.Part), say.F("no entry of the catalogue speaks of it any more"))
}

// done finds what was done to the part that it was listed for, or found of it,
// since the last run.
func (d *Document) done(a *score.Assessment, part string) say.Text {
	for i := range a.Findings {
		f := &a.Findings[i]
		if f.Part.ID != part {
			continue
		}
		for j := len(f.Facts) - 1; j >= 0; j-- {
			fact := &f.Facts[j]
			if !d.isNew(a.Vehicle, fact) {
				continue
			}
			switch fact.Kind {
			case score.FactRenewed:
				return say.Join(" ", say.F("done: renewed"), on(fact.Day))
			case score.FactClean:
				return say.Join(" ", say.F("done: inspected and found sound"), on(fact.Day))
			case score.FactFailed:
				return say.F("%s: a repair, not a look", say.Join(" ", say.F("found failed"), on(fact.Day)))
			}
		}
	}
	return say.Text{}
}

// standsSo tells how the part stands that the vehicle was listed for.
func standsSo(a *score.Assessment, part string) say.Text {
	for i := range a.Findings {
		f := &a.Findings[i]
		if f.Part.ID != part {
			continue
		}
		switch f.Standing {
		case score.Improved:
			return say.F("done: it has the improved part")
		case score.AwaitingRepair:
			return say.F("found failed, awaiting repair")
		case score.NotOfRange:
			return say.F("outside the part's ranges now")
		case score.NoDistance:
			return say.F("no reading tells how far it has run")
		}
	}
	return say.Text{}
}

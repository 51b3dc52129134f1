package workbook

import (
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// shownFrom is the chance of being worn from which a part of a vehicle stands
// on the sheet of findings (judgement).
const shownFrom = 0.05

// findings makes the sheet of all vehicle-parts that are likely enough worn.
func (b *book) findings() error {
	found, more := b.doc.Likeliest(shownFrom, b.opts.findings())
	rows := func(yield func(tone, []any) bool) {
		for i := range found {
			if !yield(plain, findingCells(&found[i])) {
				return
			}
		}
	}
	sentence := say.F("Every part of every vehicle with a chance of being worn of 5 % or more, the likeliest first, on the list or not.")
	return b.long(sheetFindings, slip.SheetFindings.Title, said(sentence, beyond{more, "findings.csv"}), []column{
		{head: say.F("Unit"), shape: text, most: 18},
		{head: say.F("Depot"), shape: text, most: 16},
		{head: say.F("Part"), shape: wrapped, least: 14, most: 26},
		{head: say.F("Chance worn"), shape: percent, least: 8, most: 8},
		{head: say.F("In words"), shape: wrapped, least: 12, most: 14},
		{head: say.F("Own distance"), shape: whole, least: 10, most: 12},
		{head: say.F("Unit of it"), shape: text, least: 8, most: 8},
		{head: say.F("In the range?"), shape: text, least: 9, most: 9},
		{head: say.F("What decided it"), shape: wrapped, least: 20, most: 30},
		{head: say.F("What was seen, and what it weighs"), shape: wrapped, least: 30, most: 54},
		{head: say.F("Chance, low"), shape: percent, least: 8, most: 8, off: true},
		{head: say.F("Chance, high"), shape: percent, least: 8, most: 8, off: true},
		{head: say.F("Fails before next run"), shape: percent, least: 9, most: 9, off: true},
		{head: say.F("Fails while held"), shape: percent, least: 9, most: 9, off: true},
	}, page{frozen: 1}, rows)
}

func findingCells(r *report.FindingRow) []any {
	p, words := any(chance(r.Worn)), report.Odds(r.Worn)
	if r.Standing == score.WornFound {
		p, words = blank{}, report.StandingWords(r.Standing)
	}
	return []any{name(r.Unit, r.VIN), r.Depot, r.PartName, p, words, r.Distance, unitWords(r.Axis), report.MembershipWords(r.Membership),
		r.MembershipReason, r.Evidence, when(r.HasInterval, chance(r.Low)), when(r.HasInterval, chance(r.High)),
		chance(r.FailNext), chance(r.FailHold)}
}

// parts makes the sheet of the catalogue as this run used it.
func (b *book) parts() error {
	rows := func(yield func(tone, []any) bool) {
		for i := range b.doc.Parts {
			if !yield(plain, partCells(&b.doc.Parts[i])) {
				return
			}
		}
	}
	return b.long(sheetParts, slip.SheetParts.Title, said(say.F("What the list rests on: each weak part, the vehicles it met in this run, its curve and where that comes from. Parts that few failures stand behind deserve the least trust.")), []column{
		{head: say.F("Part"), shape: wrapped, least: 16, most: 30},
		{head: say.F("System"), shape: wrapped, least: 12, most: 20},
		{head: say.F("In the range"), shape: whole, least: 9, most: 9},
		{head: say.F("Not known"), shape: whole, least: 9, most: 9},
		{head: say.F("Outside"), shape: whole, least: 9, most: 9},
		{head: say.F("Worn ones expected"), shape: value, least: 10, most: 10},
		{head: say.F("Can injure"), shape: centred, least: 8, most: 8},
		{head: say.F("Curve"), shape: wrapped, least: 24, most: 40},
		{head: say.F("Failures behind it"), shape: value, least: 10, most: 10},
		{head: say.F("Source"), shape: wrapped, least: 20, most: 40},
		{head: say.F("Reviewed"), shape: text, least: 11, most: 11},
	}, page{}, rows)
}

func partCells(p *report.PartSummary) []any {
	source := say.Plain(p.Source)
	if p.CurveSource != "" {
		source = say.F("%s; curves from %s", p.Source, p.CurveSource)
	}
	return []any{p.Name, p.System, p.Inside, p.Unknown, p.Outside, p.ExpectedWorn, yesNo(p.CanInjure), p.Curve, p.Weight, source, dated(p.Reviewed)}
}

// guide makes the sheet on how to read the list and what it cannot know.
func (b *book) guide() error {
	cols := []column{{shape: wrapped, width: 88, least: 88, most: 88}} // the width of an upright page
	rows := 1
	for _, chapter := range b.doc.Guide {
		rows += 2 + len(chapter.Paragraphs)
	}
	g, err := b.grid(sheetGuide, cols, page{portrait: true, lastRow: rows})
	if err != nil {
		return err
	}
	if err := g.across(title, slip.SheetGuide.Title); err != nil {
		return err
	}
	for _, chapter := range b.doc.Guide {
		if err := g.put(lead, blank{}); err != nil {
			return err
		}
		if err := g.put(section, chapter.Heading); err != nil {
			return err
		}
		for _, p := range chapter.Paragraphs {
			if err := g.put(lead, p); err != nil {
				return err
			}
		}
	}
	return g.end()
}

package workbook

import (
	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// changed makes the sheet of vehicles that have left the list, its head or the
// sheets since the last run. What moved on the rows that are there stands on
// the first sheet.
func (b *book) changed() error {
	rows := func(yield func(tone, []any) bool) {
		for i := range b.doc.Gone {
			if !yield(plain, goneCells(&b.doc.Gone[i])) {
				return
			}
		}
	}
	sentence := say.F("Vehicles that the last list had above its line and this one has not, and those that are no longer on the list or in the sheets. Nothing of what is known of them is forgotten.")
	if len(b.doc.Gone) == 0 {
		sentence = say.F("No vehicle has left the list, its head or the sheets since then.")
	}
	return b.long(sheetChanged, slip.SheetChanged.Head(say.Of(say.Day(b.doc.Week.Before))), said(sentence), []column{
		{head: say.F("Was No."), shape: ordinal, least: 8, most: 9},
		{head: say.F("Was taken in?"), shape: centred, least: 9, most: 9},
		{head: say.F("No. now"), shape: ordinal, least: 8, most: 9},
		{head: say.F("Unit"), shape: text, most: 18},
		{head: say.F("Depot"), shape: text, most: 16},
		{head: say.F("Part"), shape: wrapped, least: 14, most: 28},
		{head: say.F("What became of it"), shape: wrapped, least: 40, most: 70},
		{head: say.F("VIN"), shape: text, least: 20, most: 22, off: true},
	}, page{frozen: 4}, rows)
}

func goneCells(g *report.GoneRow) []any {
	return []any{when(g.Was > 0, g.Was), yesNo(g.WasAbove), when(g.Rank > 0, g.Rank), name(g.Unit, g.VIN), g.Depot, g.Part, g.Why, g.VIN}
}

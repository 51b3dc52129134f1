package workbook

import (
	"pitlist/report"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// resultsHead is the row of the headings on the sheet of results.
const resultsHead = 4

// takesMeasured marks the columns of measured values.
const takesMeasured = "measured"

// resultColumns are the columns of the sheet of results; measures is how many
// values the part with the most of them has.
func resultColumns(measures int) []column {
	cols := []column{
		{head: slip.Words(slip.HeadRow), shape: ordinal, least: 6, most: 7},
		{head: say.F("Card No."), shape: ordinal, least: 7, most: 7},
		{head: slip.Words(slip.HeadUnit), shape: text, least: 9, most: 18},
		{head: say.F("Depot"), shape: text, least: 8, most: 14},
		{head: say.F("Vehicle"), shape: wrapped, least: 12, most: 20},
		{head: slip.Words(slip.HeadPart), shape: wrapped, least: 16, most: 24},
		{head: say.F("So far"), shape: wrapped, least: 9, most: 9},
		{head: slip.Words(slip.HeadFound), takes: slip.HeadFound, shape: text, least: 13, most: 13},
		{head: slip.Words(slip.HeadDone), takes: slip.HeadDone, shape: wrapped, least: 30, most: 30},
		{head: say.F("Last reading, km"), shape: whole, least: 10, most: 11},
		{head: slip.Words(slip.HeadOdometer), takes: slip.HeadOdometer, shape: whole, least: 11, most: 11},
		{head: slip.Words(slip.HeadDay), takes: slip.HeadDay, shape: dayShape, least: 12, most: 12},
		{head: slip.Words(slip.HeadInitials), takes: slip.HeadInitials, shape: text, least: 9, most: 9},
	}
	for k := range measures {
		cols = append(cols, column{head: measureHead(k), shape: wrapped, least: 16, most: 24}, column{head: slip.Words(slip.HeadValue(k)), takes: takesMeasured, shape: figure, least: 11, most: 11})
	}
	return append(cols, column{head: slip.Words(slip.Heading), shape: text, least: 14, most: 14, off: true})
}

func measureHead(k int) say.Text {
	if k == 0 {
		return say.F("Measure")
	}
	return say.F("Measure %d", k+1)
}

// results makes the sheet that is filled in and sent back: a row for each
// part that a look or a repair is waited for.
func (b *book) results() error {
	rows := b.doc.Results
	measures := 0
	for i := range rows {
		measures = max(measures, len(rows[i].Limits))
	}
	cols := resultColumns(measures)
	for i := range rows {
		for j, v := range resultCells(&rows[i], measures) {
			b.fit(&cols[j], v)
		}
	}
	if err := b.resultEntries(cols, resultsHead+1, resultsHead+len(rows)); err != nil {
		return err
	}
	g, err := b.grid(sheetResults, cols, page{headRow: resultsHead, frozen: 3, lastRow: resultsHead + len(rows), filter: true})
	if err != nil {
		return err
	}
	if err := g.across(title, slip.SheetResults.Head(b.doc.Title)); err != nil {
		return err
	}
	for _, s := range resultSentences(b.doc) {
		if err := g.across(lead, s); err != nil {
			return err
		}
	}
	if err := g.headings(); err != nil {
		return err
	}
	for i := range rows {
		if err := g.put(plain, resultCells(&rows[i], measures)...); err != nil {
			return err
		}
	}
	return g.end()
}

// resultSentences stand above the headings: one on filling in, one on sending
// back.
func resultSentences(d *report.Document) []say.Text {
	fill := say.F("Fill in the framed cells of what was looked at or repaired; leave the others empty. The cards have the same cells and the same row numbers: fill in either, not both. " +
		"The odometer is in km; write mi after miles, as in 106,500 mi.")
	if len(d.Results) == 0 {
		fill = say.F("Nothing to fill in: no vehicle stands above the line. %s", fill)
	}
	if d.ResultsLeftOut > 0 {
		fill = say.Join(" ", fill, say.One(d.ResultsLeftOut, say.F("1 more part stands above the line and has no row here."),
			say.F("%d more parts stand above the line and have no row here.", d.ResultsLeftOut)))
	}
	return []say.Text{fill, say.F("Then save the workbook and put it into the intake folder, under any name. Rows may be sorted, filtered and deleted; the last column tells which row is which, so leave it as it is.")}
}

func resultCells(r *report.ResultRow, measures int) []any {
	s := &r.Slip
	cells := []any{s.Row, when(s.Card > 0, s.Card), s.Vehicle(), r.Depot, r.Vehicle, s.Name, r.SoFar,
		fillIn{}, fillIn{}, when(s.LastKM > 0, s.LastKM), fillIn{}, fillIn{}, fillIn{}}
	for k := range measures {
		if k < len(r.Limits) {
			cells = append(cells, limitWords(&r.Limits[k]), fillIn{})
		} else {
			cells = append(cells, blank{}, blank{})
		}
	}
	return append(cells, marked(s.String()))
}

// limitWords say what a value means: "follower mm: sound to 0.1, worn from 0.3".
func limitWords(l *report.CardLimit) say.Text {
	return say.F("%s: sound to %s, worn from %s", l.Measure, l.SoundTo, l.WornFrom)
}

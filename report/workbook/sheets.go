package workbook

import (
	"iter"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// lines are the rows of a sheet with their tones. They are asked for twice,
// for the widths and for writing, and must be the same each time: so a
// million rows need not be held.
type lines = iter.Seq2[tone, []any]

// long makes a sheet of a title, a sentence, headings and rows. The sentence
// is made when the number of rows is known.
func (b *book) long(sheet, head say.Text, sentence func(rows int) say.Text, cols []column, p page, rows lines) error {
	n := 0
	for _, r := range rows {
		n++
		for j, v := range r {
			b.fit(&cols[j], v)
		}
	}
	p.headRow, p.lastRow, p.filter = 3, 3+n, true
	g, err := b.grid(sheet, cols, p)
	if err != nil {
		return err
	}
	if err := g.across(title, head); err != nil {
		return err
	}
	if err := g.across(lead, sentence(n)); err != nil {
		return err
	}
	if err := g.headings(); err != nil {
		return err
	}
	for t, r := range rows {
		if err := g.put(t, r...); err != nil {
			return err
		}
	}
	return g.end()
}

// checks makes the sheet of what is worth a look outside the wear model.
func (b *book) checks() error {
	checks, more := first(b.doc.OtherChecks(), b.opts.findings(), always)
	rows := func(yield func(tone, []any) bool) {
		for _, r := range checks {
			t, mark := plain, say.Text{}
			if r.Today {
				t, mark = urgent, say.F("today")
			}
			if !yield(t, []any{mark, name(r.Unit, r.VIN), r.Depot, r.Vehicle, r.PartName, r.Reason, r.Check, dated(r.Day), r.Where}) {
				return
			}
		}
	}
	return b.long(sheetChecks, slip.SheetChecks.Title, said(say.F("Reasons to look that carry no probability and take no hours of the plan: codes on vehicles outside a range, and codes and words that no entry of the catalogue speaks of."), beyond{more, "other_checks.csv"}),
		[]column{
			{head: say.F("When"), shape: centred, least: 8, most: 8},
			{head: say.F("Unit"), shape: text, most: 18},
			{head: say.F("Depot"), shape: text, most: 16},
			{head: say.F("Vehicle"), shape: wrapped, least: 12, most: 24},
			{head: say.F("Part"), shape: wrapped, least: 12, most: 24},
			{head: say.F("Reason"), shape: wrapped, least: 24, most: 56},
			{head: say.F("What to check"), shape: wrapped, least: 20, most: 44},
			{head: say.F("Seen on"), shape: text, least: 11, most: 11},
			{head: say.F("Read from"), shape: wrapped, least: 16, most: 36},
		}, page{frozen: 2}, rows)
}

// beyond is what a sheet leaves to a file for programs: nobody reads more of it.
type beyond struct {
	rows int
	file string
}

// said is a sheet's sentence; it says that there is nothing to show, where
// there is not, and where more stands than is shown.
func said(sentence say.Text, left ...beyond) func(rows int) say.Text {
	for _, more := range left {
		if more.rows > 0 {
			sentence = say.Join(" ", sentence, say.One(more.rows, say.F("1 more stands in %s.", more.file), say.F("%d more stand in %s.", more.rows, more.file)))
		}
	}
	return func(rows int) say.Text {
		if rows == 0 {
			return say.F("Nothing in this run. %s", sentence)
		}
		return sentence
	}
}

// first are at most n of the rows that hold, and how many more there are.
func first[R any](rows iter.Seq[R], n int, holds func(*R) bool) (shown []R, more int) {
	for r := range rows {
		switch {
		case !holds(&r):
		case len(shown) < n:
			shown = append(shown, r)
		default:
			more++
		}
	}
	return shown, more
}

func always[R any](*R) bool { return true }

// mend makes the sheet of rows that were not read, or not in full.
func (b *book) mend() error {
	issues, more := first(b.doc.AllIssues(), b.opts.findings(), always)
	rows := func(yield func(tone, []any) bool) {
		for _, r := range issues {
			if !yield(plain, []any{severityWords(r.Severity), r.File, r.Sheet, when(r.Row > 0, r.Row), r.Column, r.Value, r.Reason, r.Suggestion}) {
				return
			}
		}
	}
	sentence := said(say.F("Rejected rows were not read. What is set aside is kept, but no judgement rests on it. What is noted was used. Mend them where they stand and run again."), beyond{more, "rejected.csv"})
	return b.long(sheetMend, slip.SheetMend.Title, sentence, []column{
		{head: say.F("What became of it"), shape: text, least: 13, most: 13},
		{head: say.F("File"), shape: wrapped, least: 12, most: 26},
		{head: say.F("Sheet"), shape: wrapped, least: 8, most: 18},
		{head: say.F("Row"), shape: ordinal, least: 8, most: 9},
		{head: say.F("Column"), shape: wrapped, least: 10, most: 20},
		{head: say.F("As read"), shape: wrapped, least: 12, most: 26},
		{head: say.F("Why"), shape: wrapped, least: 24, most: 50},
		{head: say.F("What to do"), shape: wrapped, least: 20, most: 40},
	}, page{}, rows)
}

// odd makes the sheet of distances and VINs that do not look right.
func (b *book) odd() error {
	distances, moreDistances := b.doc.OddOdometers(b.opts.findings())
	vins, moreVINs := first(b.doc.VINs(), b.opts.findings(), func(r *report.VINFinding) bool { return !r.Good })
	rows := func(yield func(tone, []any) bool) {
		for _, r := range distances {
			if !yield(plain, []any{say.F("distance"), name(r.Unit, r.VIN), r.VIN, r.Finding.Say(), "", when(r.Known, r.KM), r.Detail}) {
				return
			}
		}
		for _, r := range vins {
			if !yield(plain, []any{say.F("VIN"), name(r.Unit, r.VIN), r.VIN, r.Says(), r.AsRead, blank{}, vinAdvice(r)}) {
				return
			}
		}
	}
	return b.long(sheetOdd, slip.SheetOdd.Title,
		said(say.F("What is said of an odometer is a suspicion that fits the readings, and no proof. Scoring went on with the highest credible reading; a VIN that cannot be right is set aside, its vehicle is not."),
			beyond{moreDistances, "odometer.csv"}, beyond{moreVINs, "vins.csv"}), []column{
			{head: say.F("About"), shape: text, least: 9, most: 9},
			{head: say.F("Unit"), shape: text, most: 18},
			{head: say.F("VIN"), shape: text, least: 20, most: 22},
			{head: say.F("Finding"), shape: wrapped, least: 12, most: 22},
			{head: say.F("As read"), shape: wrapped, least: 12, most: 24},
			{head: say.F("Distance used, km"), shape: whole, least: 10, most: 12},
			{head: say.F("In plain words"), shape: wrapped, least: 40, most: 60},
		}, page{}, rows)
}

func vinAdvice(r report.VINFinding) say.Text {
	if r.Suggestion.Empty() {
		return r.Reason
	}
	return say.F("%s Perhaps %s.", r.Reason, r.Suggestion)
}

// counts makes the sheet that accounts for every row read.
func (b *book) counts() error {
	rows := func(yield func(tone, []any) bool) {
		for _, in := range b.doc.Run.Inputs {
			for _, c := range in.Sheets {
				if !yield(plain, countCells(in.Path, c.Source.Sheet, c)) {
					return
				}
			}
		}
		yield(section, countCells(say.F("All sheets"), "", b.doc.Run.Counts()))
	}
	return b.long(sheetCounts, slip.SheetCounts.Title, said(say.F("Every row read is used, set aside, rejected, merged (it says what another row says) or blank; the sums must agree, sheet by sheet.")), []column{
		{head: say.F("File"), shape: wrapped, least: 16, most: 44},
		{head: say.F("Sheet"), shape: wrapped, least: 12, most: 30},
		{head: say.F("Read"), shape: whole, least: 9, most: 12},
		{head: say.F("Used"), shape: whole, least: 9, most: 12},
		{head: say.F("Set aside"), shape: whole, least: 9, most: 12},
		{head: say.F("Rejected"), shape: whole, least: 9, most: 12},
		{head: say.F("Merged"), shape: whole, least: 9, most: 12},
		{head: say.F("Blank"), shape: whole, least: 9, most: 12},
		{head: say.F("Hidden, of those read"), shape: whole, least: 10, most: 12},
		{head: say.F("Sum"), shape: text, least: 10, most: 18},
	}, page{}, rows)
}

func countCells(file any, sheet string, c score.Counts) []any {
	sum := say.F("adds up")
	if !c.Balanced() {
		sum = say.F("DOES NOT ADD UP")
	}
	return []any{file, sheet, c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank, c.Hidden, sum}
}

package workbook

import (
	"iter"
	"strings"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/slip"
)

// lines are the rows of a sheet with their tones. They are asked for twice,
// for the widths and for writing, and must be the same each time: so a
// million rows need not be held.
type lines = iter.Seq2[tone, []any]

// long makes a sheet of a title, a sentence, headings and rows. The sentence
// is made when the number of rows is known.
func (b *book) long(sheet, head string, sentence func(rows int) string, cols []column, p page, rows lines) error {
	n := 0
	for _, r := range rows {
		n++
		for j, v := range r {
			cols[j].fit(v)
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
	rows := func(yield func(tone, []any) bool) {
		for r := range b.doc.OtherChecks() {
			t, mark := plain, ""
			if r.Today {
				t, mark = urgent, "today"
			}
			when := ""
			if r.Day != 0 {
				when = r.Day.String()
			}
			if !yield(t, []any{mark, name(r.Unit, r.VIN), r.Depot, r.Vehicle, r.PartName, r.Reason, r.Check, when, r.Where}) {
				return
			}
		}
	}
	return b.long(sheetChecks, slip.SheetChecks.Title, said("Reasons to look that carry no probability and take no hours of the plan: codes on vehicles outside a range, and codes and words that no entry of the catalogue speaks of."),
		[]column{
			{head: "When", shape: centred, least: 8, most: 8},
			{head: "Unit", shape: text, most: 18},
			{head: "Depot", shape: text, most: 16},
			{head: "Vehicle", shape: wrapped, least: 12, most: 24},
			{head: "Part", shape: wrapped, least: 12, most: 24},
			{head: "Reason", shape: wrapped, least: 24, most: 56},
			{head: "What to check", shape: wrapped, least: 20, most: 44},
			{head: "Seen on", shape: text, least: 11, most: 11},
			{head: "Read from", shape: wrapped, least: 16, most: 36},
		}, page{frozen: 2}, rows)
}

// said is a sheet's sentence; it says that there is nothing to show, where
// there is not.
func said(sentence string) func(rows int) string {
	return func(rows int) string {
		if rows == 0 {
			return "Nothing in this run. " + sentence
		}
		return sentence
	}
}

// mend makes the sheet of rows that were not read, or not in full.
func (b *book) mend() error {
	rows := func(yield func(tone, []any) bool) {
		n := 0
		for r := range b.doc.AllIssues() {
			if n++; n > mostIssueRows || !yield(plain, []any{string(r.Severity), r.File, r.Sheet, when(r.Row > 0, r.Row), r.Column, r.Value, r.Reason, r.Suggestion}) {
				return
			}
		}
	}
	say := func(n int) string {
		s := said("Rejected rows were not read. What is set aside is kept, but no judgement rests on it. What is noted was used. Mend them where they stand and run again.")(n)
		if n == mostIssueRows {
			s += " A sheet holds no more; the rest stands in rejected.csv."
		}
		return s
	}
	return b.long(sheetMend, slip.SheetMend.Title, say, []column{
		{head: "What became of it", shape: text, least: 13, most: 13},
		{head: "File", shape: wrapped, least: 12, most: 26},
		{head: "Sheet", shape: wrapped, least: 8, most: 18},
		{head: "Row", shape: ordinal, least: 8, most: 9},
		{head: "Column", shape: wrapped, least: 10, most: 20},
		{head: "As read", shape: wrapped, least: 12, most: 26},
		{head: "Why", shape: wrapped, least: 24, most: 50},
		{head: "What to do", shape: wrapped, least: 20, most: 40},
	}, page{}, rows)
}

// odd makes the sheet of distances and VINs that do not look right.
func (b *book) odd() error {
	rows := func(yield func(tone, []any) bool) {
		for r := range b.doc.Odometers() {
			if r.Finding != odometer.None &&
				!yield(plain, []any{"distance", name(r.Unit, r.VIN), r.VIN, string(r.Finding), "", when(r.Known, r.KM), r.Detail}) {
				return
			}
		}
		for r := range b.doc.VINs() {
			if !r.Good && !yield(plain, []any{"VIN", name(r.Unit, r.VIN), r.VIN, strings.Join(r.Findings, ", "), r.AsRead, blank{}, vinAdvice(r)}) {
				return
			}
		}
	}
	return b.long(sheetOdd, slip.SheetOdd.Title,
		said("What is said of an odometer is a suspicion that fits the readings, and no proof. Scoring went on with the highest credible reading; a VIN that cannot be right is set aside, its vehicle is not."), []column{
			{head: "About", shape: text, least: 9, most: 9},
			{head: "Unit", shape: text, most: 18},
			{head: "VIN", shape: text, least: 20, most: 22},
			{head: "Finding", shape: wrapped, least: 12, most: 22},
			{head: "As read", shape: wrapped, least: 12, most: 24},
			{head: "Distance used, km", shape: whole, least: 10, most: 12},
			{head: "In plain words", shape: wrapped, least: 40, most: 60},
		}, page{}, rows)
}

func vinAdvice(r report.VINFinding) string {
	if r.Suggestion == "" {
		return r.Reason
	}
	return r.Reason + " Perhaps " + r.Suggestion + "."
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
		yield(section, countCells("All sheets", "", b.doc.Run.Counts()))
	}
	return b.long(sheetCounts, slip.SheetCounts.Title, said("Every row read is used, set aside, rejected, merged (it says what another row says) or blank; the sums must agree, sheet by sheet."), []column{
		{head: "File", shape: wrapped, least: 16, most: 44},
		{head: "Sheet", shape: wrapped, least: 12, most: 30},
		{head: "Read", shape: whole, least: 9, most: 12},
		{head: "Used", shape: whole, least: 9, most: 12},
		{head: "Set aside", shape: whole, least: 9, most: 12},
		{head: "Rejected", shape: whole, least: 9, most: 12},
		{head: "Merged", shape: whole, least: 9, most: 12},
		{head: "Blank", shape: whole, least: 9, most: 12},
		{head: "Hidden, of those read", shape: whole, least: 10, most: 12},
		{head: "Sum", shape: text, least: 10, most: 18},
	}, page{}, rows)
}

func countCells(file, sheet string, c score.Counts) []any {
	sum := "adds up"
	if !c.Balanced() {
		sum = "DOES NOT ADD UP"
	}
	return []any{file, sheet, c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank, c.Hidden, sum}
}

package workbook

import (
	"fmt"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/odometer"
)

// long makes a sheet of a title, a sentence, headings and rows.
func (b *book) long(sheet, head, sentence string, cols []column, p page, rows [][]any, tones []tone) error {
	for _, r := range rows {
		for j, v := range r {
			cols[j].fit(v)
		}
	}
	p.headRow, p.lastRow, p.filter = 3, 3+len(rows), true
	g, err := b.grid(sheet, cols, p)
	if err != nil {
		return err
	}
	if err := g.across(title, head); err != nil {
		return err
	}
	if err := g.across(lead, sentence); err != nil {
		return err
	}
	if err := g.headings(); err != nil {
		return err
	}
	for i, r := range rows {
		t := plain
		if i < len(tones) {
			t = tones[i]
		}
		if err := g.put(t, r...); err != nil {
			return err
		}
	}
	return g.end()
}

// checks makes the sheet of what is worth a look outside the wear model.
func (b *book) checks() error {
	var rows [][]any
	var tones []tone
	for r := range b.doc.OtherChecks() {
		t, mark := plain, ""
		if r.Today {
			t, mark = urgent, "today"
		}
		when := ""
		if r.Day != 0 {
			when = r.Day.String()
		}
		rows = append(rows, []any{mark, name(r.Unit, r.VIN), r.Depot, r.Vehicle, r.PartName, r.Reason, r.Check, when, r.Where})
		tones = append(tones, t)
	}
	return b.long(sheetChecks, "Other checks", none(len(rows), "Reasons to look that carry no probability and take no hours of the plan: codes on vehicles outside a range, and codes and words that no entry of the catalogue speaks of."),
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
		}, page{frozen: 2}, rows, tones)
}

// none says that a sheet has nothing to show, where it has not.
func none(rows int, sentence string) string {
	if rows == 0 {
		return "Nothing in this run. " + sentence
	}
	return sentence
}

// mend makes the sheet of rows that were not read, or not in full.
func (b *book) mend() error {
	var rows [][]any
	left := 0
	for r := range b.doc.AllIssues() {
		if len(rows) == mostIssueRows {
			left++
			continue
		}
		at := any(blank{})
		if r.Row > 0 {
			at = r.Row
		}
		rows = append(rows, []any{string(r.Severity), r.File, r.Sheet, at, r.Column, r.Value, r.Reason, r.Suggestion})
	}
	say := "Rejected rows were not read. What is set aside is kept, but no judgement rests on it. What is noted was used. Mend them where they stand and run again."
	if left > 0 {
		say += fmt.Sprintf(" %d more stand in rejected.csv.", left)
	}
	return b.long(sheetMend, "Rows to mend", none(len(rows), say), []column{
		{head: "What became of it", shape: text, least: 13, most: 13},
		{head: "File", shape: wrapped, least: 12, most: 26},
		{head: "Sheet", shape: wrapped, least: 8, most: 18},
		{head: "Row", shape: ordinal, least: 8, most: 9},
		{head: "Column", shape: wrapped, least: 10, most: 20},
		{head: "As read", shape: wrapped, least: 12, most: 26},
		{head: "Why", shape: wrapped, least: 24, most: 50},
		{head: "What to do", shape: wrapped, least: 20, most: 40},
	}, page{}, rows, nil)
}

// odd makes the sheet of distances and VINs that do not look right.
func (b *book) odd() error {
	var rows [][]any
	for r := range b.doc.Odometers() {
		if r.Finding != odometer.None {
			rows = append(rows, []any{"distance", name(r.Unit, r.VIN), r.VIN, string(r.Finding), "", when(r.Known, r.KM), r.Detail})
		}
	}
	for r := range b.doc.VINs() {
		if !r.Good {
			rows = append(rows, []any{"VIN", name(r.Unit, r.VIN), r.VIN, joinWords(r.Findings), r.AsRead, blank{}, vinAdvice(r)})
		}
	}
	return b.long(sheetOdd, "Distances and VINs that do not look right",
		none(len(rows), "What is said of an odometer is a suspicion that fits the readings, and no proof. Scoring went on with the highest credible reading; a VIN that cannot be right is set aside, its vehicle is not."), []column{
			{head: "About", shape: text, least: 9, most: 9},
			{head: "Unit", shape: text, most: 18},
			{head: "VIN", shape: text, least: 20, most: 22},
			{head: "Finding", shape: wrapped, least: 12, most: 22},
			{head: "As read", shape: wrapped, least: 12, most: 24},
			{head: "Distance used, km", shape: whole, least: 10, most: 12},
			{head: "In plain words", shape: wrapped, least: 40, most: 60},
		}, page{}, rows, nil)
}

func joinWords(words []string) string {
	s := ""
	for i, w := range words {
		if i > 0 {
			s += ", "
		}
		s += w
	}
	return s
}

func vinAdvice(r report.VINFinding) string {
	if r.Suggestion == "" {
		return r.Reason
	}
	return r.Reason + " Perhaps " + r.Suggestion + "."
}

// counts makes the sheet that accounts for every row read.
func (b *book) counts() error {
	var rows [][]any
	var tones []tone
	line := func(t tone, file, sheet string, c score.Counts) {
		sum := "adds up"
		if !c.Balanced() {
			sum = "DOES NOT ADD UP"
		}
		rows = append(rows, []any{file, sheet, c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank, c.Hidden, sum})
		tones = append(tones, t)
	}
	for _, in := range b.doc.Run.Inputs {
		for _, c := range in.Sheets {
			line(plain, in.Path, c.Source.Sheet, c)
		}
	}
	line(section, "All sheets", "", b.doc.Run.Counts())
	return b.long(sheetCounts, "Rows counted", "Every row read is used, set aside, rejected, merged (it says what another row says) or blank; the sums must agree, sheet by sheet.", []column{
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
	}, page{}, rows, tones)
}

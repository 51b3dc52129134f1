package bulletin

import (
	"regexp"
	"slices"
	"strings"

	"pitlist/score"
)

// Outcome is what became of a row.
type Outcome string

// The outcomes. Rows in which nothing stands, and those of makes that were not
// asked for, are counted in their Table.
const (
	Drafted Outcome = "drafted" // the first row of a campaign's entry
	Merged  Outcome = "merged"  // a further one
	Told    Outcome = "told"    // in no entry: its issues say why
)

// Row is one row with what became of it.
type Row struct {
	File    string  `json:"file"`
	Sheet   string  `json:"sheet,omitempty"`
	Row     int     `json:"row"`
	Number  string  `json:"number,omitempty"`
	Make    string  `json:"make,omitempty"`
	Model   string  `json:"model,omitempty"`
	Outcome Outcome `json:"outcome"`
	Settle  bool    `json:"to_settle,omitempty"` // drafted or merged, with a condition that a person must settle
	Issues  []Issue `json:"issues,omitempty"`
	Beside  string  `json:"beside,omitempty"` // what it says beside a range that decides by itself: "built 2010-02-24..2010-05-27"
	Fit     *Fit    `json:"-"`                // what it says by itself; nil where it is told
}

// Campaign is one recall or bulletin, from one row or many: all that its rows say,
// in their words, each once.
type Campaign struct {
	Number string
	Called string // what its number's heading calls it: "recall", "bulletin", else "campaign"
	Said   map[Field][]string
	Launch score.Day // the earliest
	Fits   []Fit
	Rows   []int // of Result.Rows, those in the entry
	Left   []int // and those of the campaign that are not
	key    string
}

// First is the first that the rows say in a column; "" nothing.
func (c *Campaign) First(f Field) string {
	if all := c.Said[f]; len(all) > 0 {
		return all[0]
	}
	return ""
}

// Result is what was made of all tables.
type Result struct {
	Tables    []*Table
	Rows      []Row
	Campaigns []*Campaign // with at least one fit, in the order of their first rows
}

// Read lays the tables together. A campaign may stand in several of them.
func Read(tables []*Table, o Options) (*Result, error) {
	res := &Result{Tables: tables}
	all := map[string]*Campaign{}
	var order []*Campaign
	for _, t := range tables {
		if err := t.end(); err != nil {
			return nil, err
		}
		d := t.orderOf(o.DateOrder)
		for i := range t.rows {
			row, c := res.row(t, d, &t.rows[i])
			res.Rows = append(res.Rows, row)
			if c == nil {
				continue
			}
			if all[c.key] == nil {
				all[c.key] = c
				order = append(order, c)
			}
			all[c.key].take(c, len(res.Rows)-1, row.Fit)
		}
		t.rows = nil
	}
	for _, c := range order {
		if len(c.Fits) > 0 {
			c.finish(res.Rows)
			res.Campaigns = append(res.Campaigns, c)
		}
	}
	return res, nil
}

// finish lays together what the rows of a campaign said, and marks them.
func (c *Campaign) finish(rows []Row) {
	for f, said := range c.Said {
		c.Said[f] = joinNames(said)
	}
	c.Fits = merged(c.Fits)
	for i := range c.Fits {
		for _, row := range c.Fits[i].Rows { // a range that another row takes in whole needs no settling
			rows[row].Settle = len(c.Fits[i].Open) > 0
		}
	}
	for _, row := range c.Rows[1:] {
		rows[row].Outcome = Merged
	}
}

// row reads one row; c is nil where it belongs to no campaign.
func (res *Result) row(t *Table, d dates, w *row) (out Row, c *Campaign) {
	out = Row{File: t.File, Sheet: t.Sheet, Row: w.number, Outcome: Told,
		Number: clip(w.cells[Number], 60), Make: clip(w.cells[Make], 60), Model: clip(oneLine(w.cells[Model]), 60)}
	tell := func(reason string) { out.Issues = append(out.Issues, Issue{Reason: reason}) }
	if w.fault != "" {
		tell(w.fault)
		return out, nil
	}
	r := t.read(d, w.cells)
	c = r.campaign()
	switch {
	case c.key == "":
		tell("neither a number nor words say which campaign it belongs to")
		return out, nil
	case r.equipment():
		tell("a campaign about equipment, not about vehicles: which vehicles have it cannot be told")
		return out, c
	}
	f, err := r.fit()
	out.Issues = append(out.Issues, r.issues...)
	if err != nil {
		tell(err.Error())
		return out, c
	}
	out.Fit, out.Outcome, out.Settle, out.Beside = f, Drafted, len(f.Open) > 0, r.beside(f)
	return out, c
}

// campaign is the row's own share of what is known of its campaign.
func (r *reading) campaign() *Campaign {
	c := &Campaign{Number: oneLine(given(r.cells[Number])), Launch: r.launch, Said: map[Field][]string{Make: makesIn(r.cells[Make]), Model: slices.Clone(r.models), PartNo: partNumbers(r.cells[PartNo])}}
	for _, f := range []Field{Reference, Models, Component, Concern, Defect, Consequence, Remedy, Notes, Affected} {
		if text := oneLine(given(r.cells[f])); text != "" {
			c.Said[f] = []string{text}
		}
	}
	c.Called = called(r.heading(Number))
	c.key = c.identity()
	return c
}

// called is what a heading calls a campaign, in the words of headings.txt.
func called(heading string) string {
	n := normal(heading)
	for _, word := range [][2]string{{"bulletin", "bulletin"}, {"tsb", "bulletin"}, {"recall", "recall"}, {"ruckruf", "recall"}, {"rappel", "recall"}} {
		if strings.Contains(n, word[0]) {
			return word[1]
		}
	}
	return "campaign"
}

// betweenParts parts the numbers of parts in a cell.
var betweenParts = regexp.MustCompile(`[\n;,]|\s*[&+]\s*|\s+(?:/|(?i:and|or|und|oder|et|ou))\s+`)

// partNumbers are the numbers of parts in a cell, and the words that it has instead.
func partNumbers(cell string) []string {
	var out []string
	for _, p := range betweenParts.Split(given(cell), -1) {
		if p = oneLine(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// shortNumber is how many letters and digits a number has that makers might share:
// bulletin 12 of one is not bulletin 12 of another, nor is 2019-001, of digits alone.
// A register's numbers are its own.
const shortNumber = 5

// identity is what rows of one campaign have in common: its number, or else all
// words about it. It is empty where there are none.
func (c *Campaign) identity() string {
	make := bare(strings.Join(c.Said[Make], " "))
	switch n := bare(c.Number); {
	case len(n) > shortNumber && !(c.Called == "bulletin" && onlyDigits(n)):
		return n
	case n != "":
		return n + "\n" + make
	}
	if words := bare(c.First(Concern) + c.First(Defect) + c.First(Component)); words != "" {
		return "\n" + make + "\n" + words
	}
	return ""
}

// take adds what a row says to what is known of its campaign.
func (c *Campaign) take(row *Campaign, at int, f *Fit) {
	if row != c {
		for f, said := range row.Said {
			c.Said[f] = append(c.Said[f], said...)
		}
		if c.Launch == 0 || row.Launch != 0 && row.Launch < c.Launch {
			c.Launch = row.Launch
		}
	}
	if f == nil {
		c.Left = append(c.Left, at)
		return
	}
	own := Fit{Fit: f.Fit, Rows: []int{at}}
	for _, cond := range conditions {
		cond.own(&own.Fit)
	}
	for k, lines := range f.Open {
		if own.Open == nil {
			own.Open = map[Field][]Issue{}
		}
		own.Open[k] = slices.Clone(lines)
	}
	c.Fits = append(c.Fits, own)
	c.Rows = append(c.Rows, at)
}

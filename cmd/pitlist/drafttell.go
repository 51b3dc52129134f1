package main

import (
	"fmt"
	"io"
	"strings"

	"pitlist/ingest/bulletin"
)

// draftAccount is what a draft says of itself.
type draftAccount struct {
	*bulletin.Result
	hidden []string // sheets that were not read
	ids    []string // of the entries, in the order of the campaigns
	text   []byte   // the catalogue; nil where nothing could be drafted
	blanks int      // in it
	out    string   // the file that it was written to; "" none
}

func (a *draftAccount) count(o bulletin.Outcome) int {
	n := 0
	for i := range a.Rows {
		if a.Rows[i].Outcome == o {
			n++
		}
	}
	return n
}

func (a *draftAccount) settle() int {
	n := 0
	for i := range a.Rows {
		if a.Rows[i].Settle {
			n++
		}
	}
	return n
}

// strangers counts the files in which no sheet is a table of campaigns.
func (a *draftAccount) strangers() int {
	good := map[string]bool{}
	for _, t := range a.Tables {
		good[t.File] = good[t.File] || t.IsTable()
	}
	n := 0
	for _, ok := range good {
		if !ok {
			n++
		}
	}
	return n
}

// tellDraft writes the catalogue where no file was named, and the account where
// the catalogue is not.
func (w *world) tellDraft(a *draftAccount) error {
	if w.json {
		return writeJSON(w.out, a.json())
	}
	out := w.out
	if a.out == "" && a.text != nil {
		if _, err := w.out.Write(a.text); err != nil {
			return err
		}
		out = w.errOut
	}
	a.tell(out)
	return nil
}

// mostTold is how many rows are told of on the terminal: the catalogue has them
// all.
const mostTold = 40

func (a *draftAccount) tell(out io.Writer) {
	for _, t := range a.Tables {
		a.tellTable(out, t)
	}
	for _, h := range a.hidden {
		fmt.Fprintf(out, "%s: hidden, not read\n", h)
	}
	a.tellRows(out)
	drafted, merged, told := a.count(bulletin.Drafted), a.count(bulletin.Merged), a.count(bulletin.Told)
	blank, passed := 0, 0
	for _, t := range a.Tables {
		if t.IsTable() {
			blank, passed = blank+t.Blank, passed+t.Passed
		}
	}
	fmt.Fprintf(out, "in all: %d rows read = %d drafted + %d merged into their entries + %d told + %d of other makes + %d blank; %d of them in an entry with a range to settle\n",
		drafted+merged+told+passed+blank, drafted, merged, told, passed, blank, a.settle())
	if a.text == nil {
		fmt.Fprintln(out, "no row could be drafted; nothing was written")
		return
	}
	where := ""
	if a.out != "" {
		where = " in " + a.out
	}
	entries := fmt.Sprintf("%d entries", len(a.Campaigns))
	if len(a.Campaigns) == 1 {
		entries = "1 entry"
	}
	fmt.Fprintf(out, "%s%s with %d blanks to fill in; `pitlist lint` names each, and no run takes the file before that\n", entries, where, a.blanks)
}

// tellRows tells of the rows with issues, those in no entry first.
func (a *draftAccount) tellRows(out io.Writer) {
	shown := 0
	for _, what := range []func(r *bulletin.Row) bool{
		func(r *bulletin.Row) bool { return r.Outcome == bulletin.Told },
		func(r *bulletin.Row) bool { return r.Outcome != bulletin.Told && len(r.Issues) > 0 },
	} {
		for i := range a.Rows {
			if r := &a.Rows[i]; what(r) {
				if shown++; shown <= mostTold || a.text == nil {
					fmt.Fprintln(out, oneLine(tellRow(r), 400))
				}
			}
		}
	}
	if shown > mostTold && a.text != nil {
		fmt.Fprintf(out, "…and %d more; all of them stand in the catalogue\n", shown-mostTold)
	}
}

// tellTable says how a sheet was understood.
func (a *draftAccount) tellTable(out io.Writer, t *bulletin.Table) {
	if !t.IsTable() {
		fmt.Fprintf(out, "%s: %s, not read: no table of recalls or bulletins: %s\n", placeOf(t.File, t.Sheet), plural(t.Rows, "row"), headingsOf(t))
		return
	}
	fmt.Fprintf(out, "%s: headings on row %d; %s\n", placeOf(t.File, t.Sheet), t.Heading, plural(t.Rows+t.Blank, "row"))
	if t.Dates != "" {
		fmt.Fprintf(out, "  dates: %s\n", t.Dates)
	}
	if left := leftAlone(t); left != "" {
		fmt.Fprintf(out, "  left alone: %s; --column \"HEADING=FIELD\" says what a column holds\n", left)
	}
}

// leftAlone lists the columns that nothing was read from, each with its reason; not those that are known to be of no use.
func leftAlone(t *bulletin.Table) string {
	var left []string
	for i := range t.Columns {
		if c := &t.Columns[i]; c.Field == bulletin.Ignore && c.Why != "" {
			left = append(left, fmt.Sprintf("%q (%s)", oneLine(c.Heading, 40), c.Why))
		}
	}
	return strings.Join(left, ", ")
}

// draftJSON is the account as --json writes it.
type draftJSON struct {
	Tables    []draftTable   `json:"tables"`
	Rows      []bulletin.Row `json:"rows"`
	Entries   []draftEntry   `json:"entries"`
	Counts    map[string]int `json:"counts"`
	Blanks    int            `json:"blanks"`
	Out       string         `json:"out,omitempty"`
	Catalogue string         `json:"catalogue,omitempty"` // where no file was named
}

type draftTable struct {
	File    string            `json:"file"`
	Sheet   string            `json:"sheet,omitempty"`
	Heading int               `json:"heading_row"` // 0: no table of campaigns
	Columns []bulletin.Column `json:"columns"`
	Dates   string            `json:"dates,omitempty"`
	Rows    int               `json:"rows"`
	Blank   int               `json:"blank"`
	Passed  int               `json:"other_makes"`
}

type draftEntry struct {
	ID     string `json:"id"`
	Number string `json:"number,omitempty"`
	Rows   []int  `json:"rows"` // indices of rows
}

func (a *draftAccount) json() draftJSON {
	j := draftJSON{Rows: a.Rows, Entries: []draftEntry{}, Blanks: a.blanks, Out: a.out, Counts: map[string]int{
		"drafted": a.count(bulletin.Drafted), "merged": a.count(bulletin.Merged), "told": a.count(bulletin.Told), "to_settle": a.settle(),
	}}
	for _, t := range a.Tables {
		j.Tables = append(j.Tables, draftTable{t.File, t.Sheet, t.Heading, t.Columns, t.Dates, t.Rows, t.Blank, t.Passed})
	}
	for i, c := range a.Campaigns {
		j.Entries = append(j.Entries, draftEntry{a.ids[i], c.Number, c.Rows})
	}
	if a.out == "" {
		j.Catalogue = string(a.text)
	}
	return j
}

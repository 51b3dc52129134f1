package ingest

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// filledSheet is a sheet of a list that people have filled in: its results or its
// cards. Its rows become entries; what they come to is known only when the
// copies of all files lie side by side (see returned.go).
type filledSheet struct {
	heads   []string       // of the results, as written; nil for cards
	at      map[string]int // by the heading's English, in whatever language it is written
	values  []int          // the measured values that have a column
	speaks  *say.Language  // of the headings; nil for cards, which say it row by row
	entries []*entry
	byKey   map[slip.Key]*entry    // of the cards
	visits  map[slip.Key]*entry    // of the cards: what is filled in once a card
	latest  map[listName]score.Day // of the days that could be read, by list
	told    map[toldCell]bool      // cells that something has been said of
}

// listName names a list.
type listName struct{ job, run string }

type toldCell struct {
	num            int32
	column, reason string // the reason in English
}

// asked is what a cell asks for: one of those below, or a measure by name.
type asked string

const (
	askedFound    asked = "found"
	askedDone     asked = "done"
	askedOdometer asked = "odometer"
	askedDay      asked = "day"
	askedBy       asked = "by"
	askedMeasure  asked = "measured "
)

// entry is what one place of a form says of one row of a list.
type entry struct {
	slip.Slip
	sheet *sheet
	cells []filledCell
	bad   bool // something on it is wrong; none of it is used
}

// filledCell is one cell that was filled in.
type filledCell struct {
	what      asked
	column    string        // as people find it
	in        *say.Language // of the column's heading; nil where that is not known
	text      string
	slot, num int32 // of its row
	value     any   // comparable; set when it is judged
}

// resultKind is how a form is shown beside the kinds of other sheets.
const resultKind header.Kind = "results of a list"

// formOf looks for the marks of a form in a sheet's first rows; nil where
// there are none.
func (s *sheet) formOf(head []line) *filledSheet {
	for i := range head {
		for _, cell := range head[i].cells {
			if !slip.IsMarked(cell) {
				continue
			}
			switch sl, err := slip.Parse(cell); {
			case isSlipHeading(cell):
				s.view.Heading = head[i].row
				return s.newForm(head[i].cells)
			case err == nil && sl.Fills == slip.All:
				s.tell(score.Issue{Severity: score.Rejected, Reason: say.F("results of a list without their row of headings; nothing of the sheet is used"),
					Suggestion: say.F("copy the row of headings back from the list's own workbook")})
				return s.newForm([]string{})
			case err == nil:
				return s.newForm(nil)
			}
		}
	}
	return nil
}

func isSlipHeading(cell string) bool { return slip.IsHeading(cell, value.Fold) }

func (s *sheet) newForm(heads []string) *filledSheet {
	f := &filledSheet{byKey: map[slip.Key]*entry{}, visits: map[slip.Key]*entry{}, told: map[toldCell]bool{}, latest: map[listName]score.Day{}}
	f.setHeads(heads)
	s.view.Layout = header.Layout{Holds: []header.Kind{resultKind}}
	return f
}

// setHeads finds the columns. Two lists pasted into one sheet bring their
// headings twice; those nearest above a row hold for it.
func (f *filledSheet) setHeads(heads []string) {
	f.heads, f.at, f.values = slices.Clone(heads), map[string]int{}, nil
	for i, h := range heads {
		head, in, ok := slip.HeadOf(h, value.Fold)
		if _, twice := f.at[head]; twice || !ok {
			continue
		}
		f.at[head] = i
		if head == slip.Heading {
			f.speaks = in
		}
		if k, ok := slip.ValueOf(head); ok {
			f.values = append(f.values, k)
		}
	}
}

// formRow reads the row at hand of a form.
func (c *converter) formRow() {
	switch f := c.form; {
	case f.heads == nil:
		c.cardRow()
	case len(f.heads) == 0:
		c.raise(c.slot, isSetAside)
	case int(c.num) <= c.view.Heading:
		c.raise(c.slot, isBlank)
	case slices.ContainsFunc(c.cells, isSlipHeading):
		f.setHeads(c.cells)
		c.raise(c.slot, isBlank)
	default:
		c.resultRow()
	}
}

// cellAt is a cell of the row at hand; "" where it says nothing. An error of
// the spreadsheet is kept: it stands where somebody meant something.
func (c *converter) cellAt(i int) string {
	if i < 0 || i >= len(c.cells) {
		return ""
	}
	s := strings.TrimSpace(c.cells[i])
	if s == "" || s[0] != '#' && c.memory.missing(s) {
		return ""
	}
	return c.keep(s)
}

// headed is the cell under a heading, which is named by its English, and the
// heading as it is written.
func (c *converter) headed(head string) (cell, heading string) {
	i, ok := c.form.at[head]
	if !ok {
		return "", head
	}
	return c.cellAt(i), strings.TrimSpace(c.form.heads[i])
}

// resultRow reads a row of the sheet of results.
func (c *converter) resultRow() {
	mark, heading := c.headed(slip.Heading)
	s, err := slip.Parse(mark)
	cells := c.resultCells()
	switch {
	case blank(c.cells) || err == nil && len(cells) == 0:
		c.raise(c.slot, isBlank)
	case len(cells) == 0:
		c.setAside(say.F("nothing is filled in, and the row is none of the list's"), say.Text{})
	case errors.Is(err, slip.ErrChanged):
		c.rejectCell(heading, mark, say.F("the identifier of the row has been changed, so that it cannot be told which vehicle and part are meant; nothing of the row is used"),
			say.F("fill in the row of the list's own workbook"))
	case err != nil:
		c.notListed()
	default:
		if c.agrees(&s) {
			c.form.entries = append(c.form.entries, &entry{Slip: s, sheet: c.sheet, cells: c.nameMeasures(&s, cells)})
		}
	}
}

// resultCells gathers what is filled in on the row.
func (c *converter) resultCells() (out []filledCell) {
	add := func(what asked, head string) {
		if text, heading := c.headed(head); text != "" {
			out = append(out, filledCell{what: what, column: heading, in: c.form.speaks, text: text, slot: c.slot, num: c.num})
		}
	}
	add(askedFound, slip.HeadFound)
	add(askedDone, slip.HeadDone)
	add(askedOdometer, slip.HeadOdometer)
	add(askedDay, slip.HeadDay)
	add(askedBy, slip.HeadInitials)
	for _, k := range c.form.values {
		add(askedMeasure+asked(fmt.Sprint(k)), slip.HeadValue(k))
	}
	return out
}

// nameMeasures names the measured values of a row after the part's measures.
func (c *converter) nameMeasures(s *slip.Slip, cells []filledCell) []filledCell {
	for i := range cells {
		rest, ok := strings.CutPrefix(string(cells[i].what), string(askedMeasure))
		if !ok {
			continue
		}
		if k, _ := slip.ValueOf(cells[i].column); k < len(s.Measures) {
			cells[i].what = askedMeasure + asked(s.Measures[k])
		} else {
			cells[i].what = askedMeasure + asked("#"+rest) // judged as one too many
		}
	}
	return cells
}

// notListed rejects a row that is filled in and bears no identifier: it was
// put in by hand, and its vehicle and part are not on the list.
func (c *converter) notListed() {
	part, heading := c.headed(slip.HeadPart)
	unit, _ := c.headed(slip.HeadUnit)
	reason := say.F("the row is none of the list's: it bears no identifier; nothing of it is used")
	switch {
	case part != "":
		reason = say.F("the row is none of the list's: no card was made for unit %s, part %s; nothing of it is used", orNone(unit), part)
	case unit != "":
		reason = say.F("the row is none of the list's: no card was made for unit %s; nothing of it is used", unit)
	}
	c.rejectCell(heading, part, reason, say.F("write it on a sheet of inspections with unit, part, finding and date, in a file of its own"))
}

func orNone(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// agrees holds what a row shows against its identifier: they part where a
// cell was typed over, or where some columns were sorted without the others.
func (c *converter) agrees(s *slip.Slip) bool {
	for _, at := range [...]struct{ head, want string }{
		{slip.HeadRow, fmt.Sprint(s.Row)}, {slip.HeadUnit, s.Vehicle()}, {slip.HeadPart, s.Name},
	} {
		shown, heading := c.headed(at.head)
		if shown == "" || at.want == "" || value.Fold(strings.TrimSuffix(shown, ".0")) == value.Fold(at.want) {
			continue
		}
		c.rejectCell(heading, shown, say.F("the row shows %s, and its identifier is of row %d, %s, %s; nothing of the row is used", shown, s.Row, s.Vehicle(), s.Name),
			say.F("sort whole rows only, and leave what is not framed as it is; a part that is not on the list goes on a sheet of inspections"))
		return false
	}
	return true
}

// cardRow reads a row of the cards. Rows without a slip are the card's own
// words.
func (c *converter) cardRow() {
	shift, s, err := c.cardSlip()
	if err != nil {
		c.raise(c.slot, isBlank)
		if errors.Is(err, slip.ErrChanged) {
			c.rejectCell("", c.cells[shift], say.F("the identifier of the row has been changed; nothing of the row is used"), say.F("fill in the sheet of results instead"))
		}
		return
	}
	shift -= slip.CardSlip
	var cells []filledCell
	add := func(what asked, head string, col int) {
		if text := c.cellAt(col + shift); text != "" {
			label, in := c.label(col+shift, head)
			cells = append(cells, filledCell{what: what, column: label, in: in, text: text, slot: c.slot, num: c.num})
		}
	}
	switch s.Fills {
	case slip.Found:
		add(askedFound, slip.HeadFound, slip.CardFound)
	case slip.Done:
		add(askedDone, slip.HeadDone, slip.CardDone)
	case slip.Measure:
		for _, m := range s.Measures {
			add(askedMeasure+asked(m), c.measureLabel(shift, m), slip.CardMeasured)
		}
	case slip.Visit:
		add(askedOdometer, slip.HeadOdometer, slip.CardOdometer)
		add(askedDay, slip.HeadDay, slip.CardDay)
		add(askedBy, slip.HeadInitials, slip.CardInitials)
	}
	if len(cells) == 0 {
		c.raise(c.slot, isBlank)
		return
	}
	c.form.fill(c.sheet, &s, cells)
}

// label is what a card says of the cell at i, left of it, and in which
// language; the heading in English where the label was typed over.
func (c *converter) label(i int, head string) (string, *say.Language) {
	if i < 1 || i > len(c.cells) {
		return head, nil
	}
	shown, _, _ := strings.Cut(c.cells[i-1], ":")
	if is, in, ok := slip.HeadOf(shown, value.Fold); ok && is == head {
		return c.keep(strings.TrimSpace(shown)), in
	}
	return head, nil
}

// measureLabel is what a card says of the measure whose row begins at i.
func (c *converter) measureLabel(i int, measure string) string {
	label := c.cellAt(i)
	if label == "" {
		label = "Measure"
	}
	return label + " " + strings.ReplaceAll(measure, "_", " ")
}

// cardSlip finds the slip of a card's row and its column, from the right.
func (c *converter) cardSlip() (at int, s slip.Slip, err error) {
	for at = len(c.cells) - 1; at >= 0; at-- {
		if s, err = slip.Parse(c.cells[at]); !errors.Is(err, slip.ErrNone) {
			return at, s, err
		}
	}
	return 0, slip.Slip{}, slip.ErrNone
}

// fill adds cells to the entry of a card's part, or to the card itself.
func (f *filledSheet) fill(s *sheet, sl *slip.Slip, cells []filledCell) {
	entries := f.byKey
	if sl.Fills == slip.Visit {
		entries = f.visits
	}
	e := entries[sl.Key()]
	if e == nil {
		e = &entry{Slip: *sl, sheet: s}
		entries[sl.Key()] = e
		if sl.Fills != slip.Visit {
			f.entries = append(f.entries, e)
		}
	}
	e.cells = append(e.cells, cells...)
}

// end gives the parts of a card what is filled in once a card. A card with
// nothing else on it stands for itself.
func (f *filledSheet) end() {
	taken := map[slip.Key]bool{}
	for _, e := range f.entries {
		k := e.Key()
		k.Part = ""
		if v := f.visits[k]; v != nil {
			e.cells = append(e.cells, v.cells...)
			taken[k] = true
		}
	}
	var alone []*entry
	for k, v := range f.visits {
		if !taken[k] {
			alone = append(alone, v)
		}
	}
	slices.SortFunc(alone, func(a, b *entry) int { return int(a.cells[0].num - b.cells[0].num) })
	f.entries = append(f.entries, alone...)
	f.byKey, f.visits = nil, nil
}

// rejectCell rejects the row at hand for one cell.
func (c *converter) rejectCell(column, cell string, reason, remedy say.Text) {
	c.cellIssue(c.slot, c.num, column, cell, score.Rejected, reason, remedy)
	c.raise(c.slot, isRejected)
}

// cellIssue files an issue of a form's cell; the row's class is the caller's
// business.
func (s *sheet) cellIssue(slot, num int32, column, cell string, sev score.Severity, reason, remedy say.Text) {
	at := toldCell{num, column, reason.String()}
	if s.form.told[at] {
		return // the odometer of a card is read for each of its parts
	}
	s.form.told[at] = true
	s.issues = append(s.issues, problem{score.Issue{
		Ref: score.Ref{Row: num}, Column: column, Value: clip(cell), Severity: sev, Reason: reason, Suggestion: remedy,
	}, slot})
}

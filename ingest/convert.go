package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/vin"
)

// converter turns the rows of one sheet into facts.
type converter struct {
	*sheet
	learn    bool // cells are evidence for their columns
	skipping bool // nothing of the sheet is used
	slot     int32
	num      int32
	cells    []string
	mark     int // issues before this row
	memory   memory
}

func newConverter(s *sheet, learn bool) *converter {
	return &converter{sheet: s, learn: learn, memory: newMemory()}
}

// title files a row above the headings, or the heading itself: read, and
// nothing to use in it, save a day that says what the sheet is "as of".
func (c *converter) title(l *line, heading bool) {
	c.classes = append(c.classes, isBlank)
	if heading {
		return
	}
	for _, cell := range l.cells {
		if d, ok := asOf(cell); ok && d <= c.file.opts.Day {
			c.latest = max(c.latest, d)
		}
	}
}

// row turns one row into facts, and gives it its class as far as it can be
// told before the sheets are joined.
func (c *converter) row(l *line) {
	c.slot, c.num, c.cells, c.mark = int32(len(c.classes)), int32(l.row), l.cells, len(c.issues)
	c.classes = append(c.classes, pending)
	switch {
	case c.skipping:
		c.raise(c.slot, isSetAside)
	case l.fault != nil && l.cells == nil:
		c.reject(nil, l.fault.Text, l.fault.Reason, "correct the line in the file that it was exported from")
	case blank(l.cells) || c.view.Layout.IsHeading(l.cells):
		c.raise(c.slot, isBlank)
	default:
		c.filled()
		if l.fault != nil {
			c.mention(nil, l.fault.Text, score.Noted, l.fault.Reason+"; quotation marks were read as plain text", "check the row")
		}
	}
}

// filled turns a row with something in it into facts.
func (c *converter) filled() {
	for _, col := range c.columns {
		s := col.cell(c.cells)
		if s == "" {
			continue
		}
		col.sample(s)
		if c.learn {
			col.look(s)
		}
		if s[0] == '#' {
			if _, fault := value.IsMissing(s); fault {
				col.errors++
			}
		}
	}
	k := c.key()
	if k.vin == "" && header.IsTotal(c.cells) {
		c.setAside("a row of totals or a foot note, not a vehicle", "")
		return
	}
	report := c.checkVIN(&k)
	if k.nameless() {
		if c.classes[c.slot] != isRejected {
			c.reject(nil, firstCell(c.cells), "the row names no vehicle: no unit, VIN or registration", "fill in one of them")
		}
		return
	}
	c.named.add(namedRow{key: k, slot: c.slot, num: c.num, vehicle: c.view.Layout.Has(header.Vehicles), owner: nobody})
	c.facts(report)
}

// rowAt is the index of the row at hand in sheet.named.
func (c *converter) rowAt() int32 { return int32(c.named.len() - 1) }

func blank(cells []string) bool {
	for _, s := range cells {
		if s != "" && strings.TrimSpace(s) != "" {
			return false
		}
	}
	return true
}

func firstCell(cells []string) string {
	for _, s := range cells {
		if s != "" {
			return s
		}
	}
	return ""
}

// key reads the columns that name the vehicle.
func (c *converter) key() key {
	k := key{unit: c.keep(c.text(header.Unit)), registration: c.keep(c.text(header.Registration))}
	raw := c.text(header.VIN)
	if raw != "" {
		k.vin = parseVIN(c.keep(raw))
	}
	if prefix := c.text(header.VINPrefix); prefix != "" && raw == "" {
		if k.vin = parseVIN(prefix); k.vin == "" {
			if text, ok, _ := vin.CleanPrefix(prefix); ok {
				k.prefix = strings.Clone(text)
			}
		}
	}
	return k
}

// parseVIN reads a VIN of good form; "" where it has none.
func parseVIN(raw string) vin.VIN {
	if v, err := vin.Parse(raw); err == nil {
		return v
	}
	text, _ := vin.Clean(raw)
	v, _ := vin.Parse(text)
	return v
}

// checkVIN judges the VIN of the row. On a vehicle sheet the whole judgement
// is kept; elsewhere only a VIN without form is told of, for the sheets of
// vehicles say the rest.
func (c *converter) checkVIN(k *key) *vin.Report {
	raw, f := c.text(header.VIN), header.VIN
	if raw == "" {
		raw, f = c.text(header.VINPrefix), header.VINPrefix
	}
	if raw == "" {
		return nil
	}
	col := c.at[f][0]
	if k.prefix != "" {
		c.prefixRow(k, raw)
		return nil
	}
	if c.view.Layout.Has(header.Vehicles) {
		return c.vinRow(col, k, c.keep(raw))
	}
	if k.vin == "" {
		r := vin.Judge(raw, c.vinContext())
		c.vinIssue(col, k, &r)
	}
	return nil
}

// prefixRow keeps a VIN of which only the first characters are known.
func (c *converter) prefixRow(k *key, raw string) {
	if !c.view.Layout.Has(header.Vehicles) {
		return
	}
	r := vin.Report{Raw: c.keep(raw), Text: k.prefix, Findings: []vin.Finding{vin.Length}, Check: vin.NotJudged}
	r.Country, r.Region = vin.Country(k.prefix)
	c.vins.add(score.VINRow{Unit: k.unit, Ref: c.ref(), Report: r, Partial: true})
}

// good is the finding that nearly every VIN has; they share it.
var good = []vin.Finding{vin.Good}

// vinRow keeps what is found of the VIN on a vehicle row. A VIN that is set
// aside names nothing.
func (c *converter) vinRow(col *column, k *key, raw string) *vin.Report {
	r := vin.Judge(raw, c.vinContext())
	k.vin = r.VIN
	if r.Has(vin.Good) {
		r.Findings = good
	}
	c.vins.add(score.VINRow{Unit: k.unit, Ref: c.ref(), Report: r})
	c.vinIssue(col, k, &r)
	return &r
}

// vinIssue tells of a VIN that is not good. The row is lost where nothing
// else names its vehicle.
func (c *converter) vinIssue(col *column, k *key, r *vin.Report) {
	if r.Has(vin.Good) && trivial(r) {
		return
	}
	sev, reason, todo := score.Noted, r.Reason, ""
	switch {
	case k.nameless():
		sev = score.Rejected
		reason += " Nothing else on the row names its vehicle."
	case r.SetAside:
		sev = score.SetAside
	}
	if len(r.Suggestions) > 0 {
		todo = "may be " + string(r.Suggestions[0].VIN) + " (" + r.Suggestions[0].Why + ")"
	}
	if len(r.Notes) > 0 {
		reason = strings.TrimPrefix(reason+"; read after cleaning: "+strings.Join(r.Notes, ", "), "; ")
	}
	if r.SetAside {
		c.issue(col, r.Raw, sev, reason, todo)
	} else {
		c.mention(col, r.Raw, sev, reason, todo)
	}
}

// trivial tells that cleaning changed nothing but the case and the blanks.
func trivial(r *vin.Report) bool {
	return len(r.Notes) == 0 || strings.EqualFold(strings.Join(strings.Fields(r.Raw), ""), r.Text)
}

func (c *converter) vinContext() vin.Context {
	year, _ := c.year()
	return vin.Context{Market: c.file.opts.Market, StatedYear: year, Year: c.file.opts.Day.Time().Year()}
}

// issue files what is wrong with one cell of the row, which is not used; with
// the row where col is nil.
func (c *converter) issue(col *column, cell string, sev score.Severity, reason, todo string) {
	if sev == score.Rejected {
		c.raise(c.slot, isRejected)
	}
	if c.mention(col, cell, sev, reason, todo) && col != nil {
		col.view.Refused++
	}
}

// mention files what there is to know of a cell that is used all the same.
// What two facts of a row complain of is told once, with the graver severity;
// mention returns whether it is new.
func (c *converter) mention(col *column, cell string, sev score.Severity, reason, todo string) bool {
	i := problem{score.Issue{Ref: c.ref(), Value: clip(cell), Severity: sev, Reason: reason, Suggestion: todo}, c.slot}
	if col != nil {
		i.Column = col.Heading
	}
	for n := c.mark; n < len(c.issues); n++ {
		have := &c.issues[n]
		if have.Column == i.Column && have.Value == i.Value && have.Reason == i.Reason {
			have.Severity = graver(have.Severity, sev)
			return false
		}
	}
	c.issues = append(c.issues, i)
	return true
}

func graver(a, b score.Severity) score.Severity {
	for _, s := range [...]score.Severity{score.Rejected, score.SetAside} {
		if a == s || b == s {
			return s
		}
	}
	return score.Noted
}

func (c *converter) reject(col *column, cell, reason, todo string) {
	c.issue(col, cell, score.Rejected, reason, todo)
}

func (c *converter) setAside(reason, todo string) {
	c.issue(nil, firstCell(c.cells), score.SetAside, reason, todo)
	c.raise(c.slot, isSetAside)
}

// ref points to the row at hand; the source is filled in when the sheets are
// joined.
func (c *converter) ref() score.Ref { return score.Ref{Row: c.num} }

// end dates what gave no day of its own: the sheet's latest day, else the
// run's.
func (c *converter) end() {
	day := c.latest
	if day == 0 {
		day = c.file.opts.Day
	}
	date(&c.scans, day, func(s *score.Scan) *score.Day { return &s.Day })
	date(&c.repairs, day, func(r *score.Repair) *score.Day { return &r.Day })
	date(&c.inspections, day, func(i *score.Inspection) *score.Day { return &i.Day })
	date(&c.readings, day, func(r *score.Reading) *score.Day { return &r.Day })
	date(&c.hours, day, func(r *score.Reading) *score.Day { return &r.Day })
	date(&c.remarks, day, func(r *score.Remark) *score.Day { return &r.Day })
}

// date gives the day to facts that have none.
func date[T any](facts *pile[fact[T]], day score.Day, of func(*T) *score.Day) {
	for f := range facts.all() {
		if d := of(&f.what); *d == 0 {
			*d = day
		}
	}
}

// keep makes a text safe to hold on to: a cell of a text file is cut out of
// its line, which would stay in memory with it.
func (c *converter) keep(s string) string {
	if c.sheet.text && s != "" {
		return strings.Clone(s)
	}
	return s
}

// text is the cell of the field's column; "" where it says nothing.
func (c *converter) text(f header.Field) string {
	cols := c.at[f]
	if len(cols) == 0 {
		return ""
	}
	return c.present(cols[0])
}

// present is the column's cell unless it says nothing.
func (c *converter) present(col *column) string {
	s := col.cell(c.cells)
	if s == "" || !c.memory.missing(s) {
		return s
	}
	return ""
}

// word is a text that many rows share, kept once.
func (c *converter) word(f header.Field) string { return c.memory.intern(c.text(f)) }

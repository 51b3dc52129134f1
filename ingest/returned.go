package ingest

import (
	"slices"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/slip"
	"pitlist/score/vin"
)

// returned is what came back of one row of a list, in all its copies: the
// results and the cards, of one file and of others.
type returned struct {
	entries []*entry
	known   map[asked]*filledCell // what is used, cell by cell
	from    map[asked]*entry
	first   *entry // the facts stand on its row
	slot    int32
	settled []settled
	answer  Answer // Found is "" where nothing says what was found
}

// Answer is what a list that came back says was found of one of its parts;
// each part of a list has at most one, however many copies came back.
type Answer struct {
	Job, Run string // of the list
	Unit     string
	VIN      vin.VIN
	Part     string // the catalogue's id
	Day      score.Day
	Found    score.Result
	By       string
}

// settled is what a row comes to if the facts it belongs to are used.
type settled struct {
	sheet *sheet
	slot  int32
	class rowClass
}

// returned turns the entries of all forms into facts. Copies complete each
// other: a cell that is filled in supersedes the same cell left empty, one
// that says the same is merged, and where two say different things neither
// copy is used.
func (j *joiner) returned() []*returned {
	groups := map[slip.Key]*returned{}
	var order []*returned
	for _, s := range j.sheets {
		if s.form == nil {
			continue
		}
		for _, e := range s.form.entries {
			e.judge()
			g := groups[e.Key()]
			if g == nil {
				g = &returned{known: map[asked]*filledCell{}, from: map[asked]*entry{}}
				groups[e.Key()] = g
				order = append(order, g)
			}
			g.entries = append(g.entries, e)
		}
	}
	for _, g := range order {
		if g.agree(j) {
			g.join()
			g.facts(j)
		}
	}
	return order
}

// agree drops the entries that are wrong, and tells of those that contradict
// each other.
func (g *returned) agree(j *joiner) bool {
	g.entries = slices.DeleteFunc(g.entries, func(e *entry) bool { return e.bad })
	clash := false
	said := map[asked]*saying{}
	for _, e := range g.entries {
		for i := range e.cells {
			c := &e.cells[i]
			first := said[c.what]
			switch {
			case first == nil || first.cell.isContinuedBy(c):
				said[c.what] = &saying{cell: c, entry: e}
			case c.contradicts(first.cell):
				clash = true
				e.contradicted(c, first.entry, first.cell, j)
				if !first.told {
					first.entry.contradicted(first.cell, e, c, j)
					first.told = true
				}
			}
		}
	}
	if clash {
		j.fleet.Disputed = append(j.fleet.Disputed, g.answers())
		for _, e := range g.entries {
			e.give(isSetAside)
		}
	}
	return !clash && len(g.entries) > 0
}

// saying is the first place that says something of what a cell asks for.
type saying struct {
	cell  *filledCell
	entry *entry
	told  bool // as one half of a contradiction
}

// contradicts tells that a copy says something else than the first. Initials
// do not: two people may have typed what one has done. A text that the other
// goes on from says less, and nothing else.
func (c *filledCell) contradicts(first *filledCell) bool {
	return c.what != askedBy && c.value != first.value && !c.isContinuedBy(first)
}

// isContinuedBy tells that the other is a text that goes on from this one.
func (c *filledCell) isContinuedBy(o *filledCell) bool {
	a, _ := c.value.(string)
	b, _ := o.value.(string)
	return c.what == askedDone && a != b && strings.HasPrefix(b, a)
}

func (e *entry) contradicted(c *filledCell, other *entry, o *filledCell, j *joiner) {
	where := j.where(score.Ref{Source: other.sheet.source, Row: o.num})
	e.sheet.cellIssue(c.slot, c.num, c.column, c.text, score.Rejected,
		say.F("says %s, but %s says %s of the same part of the same list; neither is used", c.shown(), where, o.shown()),
		say.F("correct one of the two, or empty its cell"))
	e.sheet.raise(c.slot, isRejected)
}

// shown is a value as people read it.
func (c *filledCell) shown() say.Text {
	if d, ok := c.value.(score.Day); ok {
		return say.Of(say.ISODay(d))
	}
	return say.Plain(clip(c.text))
}

// give settles every row of the entry that has no graver class.
func (e *entry) give(class rowClass) {
	for i := range e.cells {
		e.sheet.raise(e.cells[i].slot, class)
	}
}

// join takes from each copy what no earlier one says.
func (g *returned) join() {
	for _, e := range g.entries {
		for i := range e.cells {
			c := &e.cells[i]
			class := isMerged
			have := g.known[c.what]
			if have == nil || have.isContinuedBy(c) {
				g.known[c.what], g.from[c.what] = c, e
				class = isUsed
			}
			g.settled = append(g.settled, settled{e.sheet, c.slot, class})
		}
	}
}

// facts makes inspections, repairs and readings of what is known. They stand
// on the row of the first cell that says what was found or done.
func (g *returned) facts(j *joiner) {
	measures := g.measures()
	c, e := g.anchor()
	if c == nil {
		g.first = nil
		for _, e := range g.entries {
			e.unusable()
		}
		return
	}
	g.first, g.slot = e, c.slot
	s := e.sheet
	k := key{e.Unit, names{registration: e.Plate, prefix: e.Prefix}}
	if e.VIN != "" {
		k.vin = parseVIN(e.VIN)
	}
	row := int32(s.named.len())
	s.named.add(newRow(&k, c.slot, c.num))
	day, undated := g.day(e, c)
	ref := score.Ref{Row: c.num}
	if j.fleet.Answers == nil {
		j.fleet.Answers = map[score.Ref]string{}
	}
	j.fleet.Answers[score.Ref{Source: s.source, Row: c.num}] = g.answers()
	km, unit := g.odometer()
	by := g.text(askedBy)
	found, looked := g.known[askedFound]
	if looked || len(measures) > 0 {
		n := score.Inspection{Day: day, KM: km, Part: e.Part, By: by, Measures: measures, Undated: undated, Ref: ref}
		if looked {
			n.Result = found.value.(score.Result)
			g.answer = Answer{e.Job, e.Run, e.Unit, k.vin, e.Part, day, n.Result, by}
		}
		s.inspections.add(fact[score.Inspection]{row, n})
	}
	if done := g.text(askedDone); done != "" {
		s.repairs.add(fact[score.Repair]{row, score.Repair{Day: day, KM: km, Text: done, Undated: undated, Ref: ref}})
	} else if !looked && len(measures) == 0 {
		s.readings.add(fact[score.Reading]{row, score.Reading{Day: day, KM: km.Value, Unit: unit, Source: odometer.FromReturned, Ref: ref}})
	}
}

// answers names the part of the list that is answered.
func (g *returned) answers() string {
	k := g.entries[0].Key()
	return strings.Join([]string{k.Job, k.Run, k.Unit, k.VIN, k.Prefix, k.Plate, k.Part}, "\x1f")
}

// anchor is the cell on whose row the facts stand: what was found, else what
// was done, else a measured value, else a dated odometer.
func (g *returned) anchor() (*filledCell, *entry) {
	for _, what := range [...]asked{askedFound, askedDone} {
		if c := g.known[what]; c != nil {
			return c, g.from[what]
		}
	}
	for _, e := range g.entries {
		for i := range e.cells {
			if strings.HasPrefix(string(e.cells[i].what), string(askedMeasure)) {
				return &e.cells[i], e
			}
		}
	}
	if g.known[askedDay] != nil && g.known[askedOdometer] != nil {
		return g.known[askedOdometer], g.from[askedOdometer]
	}
	return nil, nil
}

// unusable sets aside an entry that says when or who and nothing else.
func (e *entry) unusable() {
	c := &e.cells[0]
	e.sheet.cellIssue(c.slot, c.num, c.column, c.text, score.SetAside, say.F("nothing says what was found, done or measured, nor a day with its odometer"), say.F("fill in what was found"))
	e.give(isSetAside)
}

// day is the day of the facts; where none is given the latest of the sheet that
// is filled in for the same list, else the list's own. A form that lies about
// says the same whenever it is read, and what was found sound ages from the
// earliest day on which somebody can have looked.
func (g *returned) day(e *entry, at *filledCell) (day score.Day, undated bool) {
	if c := g.known[askedDay]; c != nil {
		return c.value.(score.Day), false
	}
	s := e.sheet
	day = s.form.latest[e.list()]
	reason := say.F("no day is filled in; %s is taken, the latest of the sheet", say.ISODay(day))
	if day == 0 {
		day = e.listDay()
		reason = say.F("no day is filled in; %s is taken, the day of the list", say.ISODay(day))
	}
	s.cellIssue(at.slot, at.num, slip.HeadDay, "", score.Noted, reason, say.F("fill in the day"))
	return day, true
}

func (g *returned) text(what asked) string {
	if c := g.known[what]; c != nil {
		return strings.Clone(c.text)
	}
	return ""
}

func (g *returned) odometer() (score.Stated, value.Unit) {
	c := g.known[askedOdometer]
	if c == nil {
		return score.Stated{}, ""
	}
	_, unit, _ := value.ParseNumber(c.text, value.NumberOptions{Whole: true})
	if unit == "" {
		unit = value.Km // as the heading says
	}
	return score.Is(c.value.(float64)), unit
}

// measures lists the measured values by name.
func (g *returned) measures() (out []score.Measure) {
	for what, c := range g.known {
		if name, ok := strings.CutPrefix(string(what), string(askedMeasure)); ok {
			out = append(out, score.Measure{Name: name, Value: c.value.(float64)})
		}
	}
	slices.SortFunc(out, func(a, b score.Measure) int { return strings.Compare(a.Name, b.Name) })
	return out
}

// settle gives the rows of all copies their classes, once it is known whether
// the facts were used, said by another row already, or set aside. It returns
// the answers that hold.
func settle(all []*returned) (answers []Answer) {
	for _, g := range all {
		if g.first == nil {
			continue
		}
		class := g.first.sheet.classes[g.slot]
		if g.answer.Found != "" && (class == isUsed || class == isMerged) {
			answers = append(answers, g.answer)
		}
		for _, s := range g.settled {
			if class == isUsed {
				s.sheet.raise(s.slot, s.class)
			} else {
				s.sheet.raise(s.slot, class)
			}
		}
	}
	return answers
}

package ingest

import (
	"errors"
	"math"
	"slices"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// wrong says why a cell cannot be used, and what to do.
type wrong struct{ reason, remedy say.Text }

// judge reads every cell of the entry. One that is wrong takes the whole
// entry with it: half of what somebody wrote is not what they meant.
func (e *entry) judge() {
	if e.notOurs() {
		return
	}
	for i := range e.cells {
		c := &e.cells[i]
		if w := e.read(c); w != nil {
			e.bad = true
			e.sheet.cellIssue(c.slot, c.num, c.column, c.text, score.Rejected, say.F("%s; nothing of this entry is used", w.reason), w.remedy)
			e.sheet.raise(c.slot, isRejected)
		}
	}
	if e.bad {
		e.give(isSetAside)
		return
	}
	for i := range e.cells {
		if d, ok := e.cells[i].value.(score.Day); ok {
			e.sheet.form.latest[e.list()] = max(e.sheet.form.latest[e.list()], d)
		}
	}
}

// notOurs sets an entry aside that this run cannot use, right or wrong: its
// list was made after the day of the run, or its part has left the catalogue.
func (e *entry) notOurs() bool {
	o := e.sheet.file.opts
	var reason, remedy say.Text
	day := e.listDay()
	switch {
	case day > o.Day:
		reason, remedy = say.F("of the list of %s, which was made after the day of the run", say.ISODay(day)), say.F("run the list for a later day")
	case e.Part != "" && o.Parts != nil && !slices.Contains(o.Parts, e.Part):
		reason, remedy = say.F("part %s is no longer in the catalogue", e.Part), say.F("put its entry back into the catalogue")
	default:
		return false
	}
	c := &e.cells[0]
	e.sheet.cellIssue(c.slot, c.num, c.column, c.text, score.SetAside, reason, remedy)
	e.give(isSetAside)
	e.bad = true
	return true
}

func (e *entry) list() listName { return listName{e.Job, e.Run} }

// listDay is the day of the list; a slip without one is none.
func (e *entry) listDay() score.Day {
	t, _ := e.Slip.Day()
	return odometer.DayOf(t)
}

// read gives the cell its value, or says what is wrong with it.
func (e *entry) read(c *filledCell) *wrong {
	switch c.what {
	case askedFound:
		return c.readFound()
	case askedDone, askedBy:
		c.value = value.Fold(c.text)
		return nil
	case askedOdometer:
		return e.readOdometer(c)
	case askedDay:
		return e.readDay(c)
	}
	return e.readMeasure(c)
}

// letters are findings as a hurried hand writes them, by the language of the
// form: what a letter stands for in one may be nothing, or something else, in
// the other.
var letters = map[*say.Language]map[string]score.Result{
	say.English: {"w": score.FoundWorn, "s": score.FoundSound, "n": score.NotOpened, "f": score.FoundFailed},
	say.Spanish: {"d": score.FoundWorn, "e": score.FoundSound, "b": score.FoundSound, "n": score.NotOpened, "a": score.FoundFailed},
}

func (c *filledCell) readFound() *wrong {
	if r, ok := letters[c.in][value.Fold(c.text)]; ok {
		c.value = r
		return nil
	}
	f, err := value.ParseFinding(c.text)
	if err != nil {
		return because(err)
	}
	c.value = score.Result(f)
	return nil
}

func (e *entry) readOdometer(c *filledCell) *wrong {
	km, unit, err := value.ParseNumber(c.text, value.NumberOptions{Whole: true})
	switch {
	case err != nil:
		return because(err)
	case unit == value.Mile:
		km *= value.KmPerMile
	case unit != "" && unit != value.Km:
		return &wrong{say.F("a distance cannot be in %s", value.UnitWords(unit)), say.F("write km, or mi after miles")}
	}
	km = math.Round(km)
	switch {
	case km < 0 || km > farthest:
		return &wrong{say.F("%s km cannot be meant", figure(km)), say.F("correct the figure or its unit")}
	case km < e.LastKM:
		w := &wrong{say.F("%s km is below the last reading, %s km on the list", figure(km), figure(e.LastKM)), say.F("read the instrument again; if it was changed, say so on a sheet of readings")}
		if unit == "" && km*value.KmPerMile >= e.LastKM {
			w.remedy = say.F("if it is miles, write %s mi; else read the instrument again", figure(km))
		}
		return w
	}
	c.value = km
	return nil
}

func (e *entry) readDay(c *filledCell) *wrong {
	order := e.sheet.order
	if order == value.Undecided && c.in == say.Spanish {
		order = value.DayFirst // as the form shows days; the English one shows 2026-11-24
	}
	t, _, err := value.ParseDate(c.text, value.DateOptions{Date1904: e.sheet.date1904, Order: order})
	if err != nil {
		return because(err)
	}
	day := odometer.DayOf(t)
	made := e.listDay()
	switch run := e.sheet.file.opts.Day; {
	case day > run:
		return &wrong{say.F("%s is after the day of the run, %s", say.ISODay(day), say.ISODay(run)), say.F("correct the day")}
	case day < made:
		return &wrong{say.F("%s is before the day of the list, %s", say.ISODay(day), say.ISODay(made)), say.F("correct the day; what was found earlier goes on a sheet of inspections")}
	}
	c.value = day
	return nil
}

// readMeasure reads a measured value; the unit that the measure's name ends
// in may stand behind it.
func (e *entry) readMeasure(c *filledCell) *wrong {
	name := strings.TrimPrefix(string(c.what), string(askedMeasure))
	if strings.HasPrefix(name, "#") {
		return &wrong{say.F("nothing more is measured on the %s", e.Name), say.F("write it into the cell beside its measure")}
	}
	text := strings.ToLower(c.text)
	if at := strings.LastIndexByte(name, '_'); at >= 0 {
		text = strings.TrimSpace(strings.TrimSuffix(text, strings.ToLower(name[at+1:])))
	}
	v, unit, err := value.ParseNumber(text, value.NumberOptions{})
	switch {
	case err != nil:
		return because(err)
	case unit != "":
		return &wrong{say.F("the unit %s is not that of the measure %s", value.UnitWords(unit), strings.ReplaceAll(name, "_", " ")), say.F("write the number alone, in the unit of the measure")}
	}
	c.value = v
	return nil
}

// because takes the reason and the remedy out of an error of reading.
func because(err error) *wrong {
	var p *value.Problem
	if !errors.As(err, &p) {
		return &wrong{say.Plain(err.Error()), say.F("correct the cell")}
	}
	return &wrong{p.Why(), p.Suggestion}
}

// asListed gives up what was read of a sheet that a list's workbook holds
// beside its results: it says nothing that the list's inputs did not say.
func (f *file) asListed(s *sheet) *sheet {
	out := f.newSheet(s.view.Source.Sheet, s.told)
	out.view.Hidden, out.blank, out.hidden, out.first = s.view.Hidden, s.blank, s.hidden, s.first
	out.classes = make([]rowClass, len(s.classes))
	for i := range out.classes {
		out.classes[i] = isSetAside
	}
	out.view.Skipped = say.F("part of a list that pitlist wrote; only its results and cards are read")
	if len(out.classes) > 0 {
		out.tell(score.Issue{Severity: score.Noted, Value: s.view.Source.Sheet, Reason: notRead(out.view.Skipped)})
	}
	return out
}

// listed puts aside the sheets of a list's workbook that nobody fills in.
func (f *file) listed() {
	results := slices.ContainsFunc(f.sheets, func(s *sheet) bool { return s.form != nil })
	for i, s := range f.sheets {
		if s.form != nil || s.view.Hidden && (slip.SheetResults.IsNamed(s.view.Source.Sheet) || slip.SheetCards.IsNamed(s.view.Source.Sheet)) {
			continue // hidden results are told of as hidden: somebody may have filled them in
		}
		if slip.IsListed(s.view.Source.Sheet, s.topLeft, results) {
			f.sheets[i] = f.asListed(s)
		}
	}
}

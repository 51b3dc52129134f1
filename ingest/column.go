package ingest

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/score/say"
)

// column is one column with what its values decided.
type column struct {
	header.Column
	view      ColumnView
	kind      form
	heavy     bool // codes of heavy vehicles, by the heading
	percent   bool // how much of the work is done, by the heading
	dates     value.DateEvidence
	numbers   value.NumberEvidence
	date      value.DateOptions
	number    value.NumberOptions
	undecided say.Text // a date column that needs an order and has none: why
	miles     bool     // some cells state miles: those that state nothing cannot be taken for km
	decided   bool
	questions []columnQuestion
	errors    int // cells that hold an error value of the spreadsheet
	apart     parting
	above     string // the last value that is no ditto mark
}

// columnQuestion is what a column leaves open, with what to do about it.
type columnQuestion struct {
	question
	remedy say.Text
}

// form is how a column's cells are read.
type form uint8

const (
	asText form = iota
	asDate
	asWhole  // a number without decimals
	asNumber // any number
)

// forms gives every field that is not plain text its form.
var forms = map[header.Field]form{
	header.Date: asDate, header.Closed: asDate, header.OdometerDate: asDate, header.BuildDate: asDate, header.InServiceDate: asDate,
	header.NextService: asDate, header.DisposalDate: asDate,
	header.Odometer: asWhole, header.OdometerByMonth: asWhole, header.HistoryFromKm: asWhole, header.DisposalKm: asWhole, header.KmSinceClear: asWhole,
	header.WarrantyKm: asWhole, header.KmPerWeek: asWhole, header.WarmupsSince: asWhole,
	header.Monitors: asWhole, header.WarrantyMonths: asWhole,
	header.EngineHours: asNumber, header.HistoryFromHours: asNumber, header.HoursPerWeek: asNumber,
	header.GuidePrice: asNumber, header.Price: asNumber, header.Cost: asNumber, header.Measured: asNumber,
}

// mil is the scale that a heading in Scandinavian miles of 10 km carries.
const mil = 10

func newColumn(c *header.Column, s *sheet) *column {
	col := &column{Column: *c, kind: forms[c.Field], view: ColumnView{Column: *c}, percent: header.AsksPercentDone(c.Heading)}
	col.date = value.DateOptions{Date1904: s.date1904, MonthOnly: c.Field == header.BuildDate || c.Field == header.InServiceDate}
	ofVehicle := c.Field == header.GuidePrice || c.Field == header.Price
	col.number = value.NumberOptions{Whole: col.kind == asWhole || ofVehicle, Scale: c.Scale}
	if c.Scale == mil {
		col.number.Mil = mil
	}
	h := strings.ToUpper(c.Heading)
	for _, word := range [...]string{"SPN", "J1939", "FMI", "DM1"} {
		col.heavy = col.heavy || strings.Contains(h, word)
	}
	return col
}

// cell is the column's cell of a row, without blanks at its ends.
func (c *column) cell(cells []string) string {
	at := c.Index
	if len(c.Else) > 0 && cellOf(cells, at) == "" {
		at = c.Else[0]
	}
	if at >= len(cells) {
		return ""
	}
	s := cells[at]
	if len(c.With) > 0 {
		s = c.joined(cells)
	}
	if s == "" || s[0] > ' ' && s[0] < 0x80 && s[len(s)-1] > ' ' && s[len(s)-1] < 0x80 {
		return s
	}
	return strings.TrimSpace(strings.Trim(s, "\u200b\ufeff\u00ad \u00a0\t\r\n"))
}

// joined is a VIN that stands in several cells.
func (c *column) joined(cells []string) string {
	all := strings.TrimSpace(cells[c.Index])
	last := ""
	for _, i := range c.With {
		last = cellOf(cells, i)
		all += last
	}
	return header.PadVIN(all, last)
}

// look collects evidence from a cell.
func (c *column) look(s string) {
	switch {
	case s == "":
	case c.kind == asDate:
		c.dates.Add(s)
	case c.kind != asText:
		c.numbers.Add(s)
	}
}

func (c *column) forgetEvidence() {
	c.dates, c.numbers = value.DateEvidence{}, value.NumberEvidence{}
}

// sample keeps three values for showing, days as days: 45992 says nothing to whoever typed 1 Dec 2025.
func (c *column) sample(s string) {
	if s == "" || len(c.view.Samples) == 3 {
		return
	}
	if c.kind == asDate {
		if day, how, err := value.ParseDate(s, c.date); err == nil && how == value.Serial {
			s = day.Format(time.DateOnly)
		}
	}
	c.view.Samples = append(c.view.Samples, clip(s))
}

// decide settles how the column is read, on the evidence so far; told is the
// job's word where the column itself is silent. It returns whether an earlier
// decision had to change.
func (c *column) decide(told value.Order) bool {
	c.questions = nil
	changed := false
	switch c.kind {
	case asDate:
		changed = c.decideDate(told)
	case asWhole, asNumber:
		changed = c.decideNumber()
	}
	changed = changed && c.decided
	c.decided = true
	return changed
}

// decideNumber settles the decimal mark, and whether cells that state no unit
// can be trusted.
func (c *column) decideNumber() bool {
	v := c.numbers.Decide()
	miles := v.Unit == value.Mile || slices.Contains(v.Mixed, value.Mile)
	changed := c.number.Decimal != v.Decimal || c.miles != miles
	c.number.Decimal, c.miles = v.Decimal, miles
	c.view.How = v.Why
	if c.number.Whole && v.Example != "" {
		c.view.How = say.F("%s is read with its thousands parted: no figure here has three decimals", strconv.Quote(v.Example))
	}
	if v.Unit != "" {
		c.view.How = say.F("%s; cells say %s", v.Why, value.UnitWords(v.Unit))
	}
	if distance := c.Unit == value.Km || c.Unit == value.Mile; distance && (v.Unit == value.Km || v.Unit == value.Mile) && v.Unit != c.Unit {
		c.ask(say.F("the heading says %s, and cells of this column say %s; each was read by its own word", value.UnitWords(c.Unit), value.UnitWords(v.Unit)), say.F("correct the one that is wrong"))
	}
	if len(v.Mixed) > 0 {
		c.ask(say.F("cells of this column state several units; each was read by its own: %s", v.Why), say.F("write one unit in the heading"))
	}
	return changed
}

func (c *column) decideDate(told value.Order) bool {
	v := c.dates.Decide()
	order, why := v.Order, v.Why
	if c.DateOrder != "" {
		order, why = c.DateOrder, say.F("the heading says so")
	} else if order == "" && told != "" {
		order, why = told, say.F("the job says so")
	}
	changed := c.date.Order != order
	c.date.Order = order
	c.undecided = say.Text{}
	switch {
	case order == value.MonthFirst:
		c.view.How = say.F("month first: %s", why)
	case order != "":
		c.view.How = say.F("day first: %s", why)
	case v.Needed:
		c.undecided = say.F("day or month first cannot be told")
		if v.Conflict {
			c.undecided = someEachWay()
		}
		c.view.How = say.Join(": ", c.undecided, v.Why)
		c.ask(say.F("%s; dates that can be read both ways are refused", c.view.How), dateHint())
		c.questions[len(c.questions)-1].dates = true
	case v.Conflict:
		c.view.How = say.Join(": ", someEachWay(), v.Why)
		c.ask(c.view.How, say.F("check how the column was filled in"))
	default:
		c.view.How = say.F("dates that read one way")
	}
	if !v.Warning.Empty() {
		c.view.How = say.Join("; ", c.view.How, v.Warning)
		c.ask(v.Warning, say.Text{})
	}
	return changed
}

// dateHint is what to do about dates that read both ways.
func dateHint() say.Text { return say.F("say date_order: day or date_order: month in the job") }

func someEachWay() say.Text { return say.F("some dates have the day first, some the month") }

func (c *column) ask(text, remedy say.Text) {
	c.questions = append(c.questions, columnQuestion{question{text: text}, remedy})
}

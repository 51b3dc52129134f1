package ingest

import (
	"strings"

	"pitlist/ingest/header"
	"pitlist/ingest/value"
)

// column is one column with what its values decided.
type column struct {
	header.Column
	view      ColumnView
	kind      form
	dates     value.DateEvidence
	numbers   value.NumberEvidence
	date      value.DateOptions
	number    value.NumberOptions
	undecided string // a date column that needs an order and has none: why
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
	header.Date: asDate, header.OdometerDate: asDate, header.BuildDate: asDate, header.InServiceDate: asDate,
	header.NextService: asDate, header.DisposalDate: asDate,
	header.Odometer: asWhole, header.HistoryFromKm: asWhole, header.DisposalKm: asWhole, header.KmSinceClear: asWhole,
	header.WarrantyKm: asWhole, header.KmPerWeek: asWhole, header.ModelYear: asWhole, header.WarmupsSince: asWhole,
	header.Monitors: asWhole, header.WarrantyMonths: asWhole,
	header.EngineHours: asNumber, header.HistoryFromHours: asNumber, header.HoursPerWeek: asNumber,
	header.GuidePrice: asNumber, header.Price: asNumber, header.Cost: asNumber, header.Measured: asNumber,
}

func newColumn(c *header.Column, s *sheet) *column {
	col := &column{Column: *c, kind: forms[c.Field], view: ColumnView{Column: *c}}
	col.date = value.DateOptions{Date1904: s.date1904, MonthOnly: c.Field == header.BuildDate || c.Field == header.InServiceDate}
	col.number = value.NumberOptions{Whole: col.kind == asWhole, Scale: c.Scale}
	return col
}

// cell is the column's cell of a row, without blanks at its ends.
func (c *column) cell(cells []string) string {
	if c.Index >= len(cells) {
		return ""
	}
	s := cells[c.Index]
	if s == "" {
		return ""
	}
	if s[0] > ' ' && s[0] < 0x80 && s[len(s)-1] > ' ' && s[len(s)-1] < 0x80 {
		return s
	}
	return strings.TrimSpace(strings.Trim(s, "\u200b\ufeff\u00ad"))
}

// look collects evidence from a cell that is not empty.
func (c *column) look(s string) {
	switch c.kind {
	case asDate:
		c.dates.Add(s)
	case asWhole, asNumber:
		c.numbers.Add(s)
	}
}

// sample keeps three values for showing.
func (c *column) sample(s string) {
	if len(c.view.Samples) < 3 && s != "" {
		c.view.Samples = append(c.view.Samples, clip(s))
	}
}

// decide settles how the column is read, on the evidence so far; told is the
// job's word where the column itself is silent. It returns whether an earlier
// decision had to change.
func (c *column) decide(told value.Order) bool {
	switch c.kind {
	case asDate:
		return c.decideDate(told)
	case asWhole, asNumber:
		v := c.numbers.Decide()
		changed := c.view.How != "" && c.number.Decimal != v.Decimal
		c.number.Decimal = v.Decimal
		c.view.How = v.Why
		if c.view.How == "" {
			c.view.How = "plain figures"
		}
		return changed
	}
	return false
}

func (c *column) decideDate(told value.Order) bool {
	v := c.dates.Decide()
	order, why := v.Order, v.Why
	if c.DateOrder != "" {
		order, why = c.DateOrder, "the heading says so"
	} else if order == "" && told != "" {
		order, why = told, "the job says so"
	}
	changed := c.view.How != "" && c.date.Order != order
	c.date.Order = order
	c.undecided = ""
	switch {
	case order != "":
		c.view.How = string(order) + " first: " + why
	case v.Needed:
		c.undecided = "day or month first cannot be told"
		if v.Conflict {
			c.undecided = "some dates have the day first, some the month: " + v.Why
		}
		c.view.How = c.undecided
	default:
		c.view.How = "dates that read one way"
	}
	if v.Warning != "" {
		c.view.How += "; " + v.Warning
	}
	return changed
}

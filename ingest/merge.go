package ingest

import (
	"strconv"

	"pitlist/score"
	"pitlist/score/say"
)

// merge adds to vehicle n what a further row of a vehicle sheet says. What
// contradicts is told of with both places, and the first stays. It returns
// the row's class: used where it adds anything, set aside where it only
// contradicts, else merged.
func (j *joiner) merge(s *sheet, r *namedRow, n int32, v *score.Vehicle) rowClass {
	have := &j.fleet.Vehicles[n]
	m := merger{joiner: j, sheet: s, row: r, have: have}
	m.names(v)
	m.text(say.F("depot"), &have.Depot, v.Depot)
	m.text(say.F("make"), &have.Make, v.Make)
	if have.Model == "" {
		have.MakeFirst = v.MakeFirst
	}
	m.text(say.F("model"), &have.Model, v.Model)
	m.text(say.F("engine family"), &have.EngineFamily, v.EngineFamily)
	m.text(say.F("engine serial"), &have.EngineSerial, v.EngineSerial)
	merged(&m, say.F("status"), &have.Status, v.Status, statusWords)
	if have.VINYear == 0 && !have.YearConflict {
		have.VINYear, have.YearConflict = v.VINYear, v.YearConflict
	}
	merged(&m, say.F("model year"), &have.ModelYear, v.ModelYear, func(y int) say.Text { return say.Plain(strconv.Itoa(y)) })
	day := func(d score.Day) say.Text { return say.Of(say.ISODay(d)) }
	merged(&m, say.F("build date"), &have.BuildDate, v.BuildDate, day)
	merged(&m, say.F("in-service date"), &have.InService, v.InService, day)
	merged(&m, say.F("next service"), &have.NextService, v.NextService, day)
	m.use(v.Use(), day)
	m.desk(v.Desk())
	if v.NotRunning && !have.NotRunning {
		have.NotRunning, m.added = true, true
	}
	j.enter(n)
	switch {
	case m.added:
		return isUsed
	case m.contradicts:
		return isSetAside
	}
	return isMerged
}

// statusWords is a vehicle's status in words that reading knows too.
func statusWords(s score.Status) say.Text {
	switch s {
	case score.InUse:
		return say.F("in use")
	case score.Sold:
		return say.F("sold")
	case score.OffRoad:
		return say.F("off road")
	}
	return say.Plainly(s)
}

// merger compares one row with the vehicle that it speaks of.
type merger struct {
	*joiner
	sheet              *sheet
	row                *namedRow
	have               *score.Vehicle
	added, contradicts bool
}

// names adds the names that the vehicle has not been called by yet.
func (m *merger) names(v *score.Vehicle) {
	if m.have.Unit == "" && v.Unit != "" {
		m.have.Unit, m.added = v.Unit, true
	}
	if m.have.VIN == "" && v.VIN != "" {
		m.have.VIN, m.added = v.VIN, true
	}
	if m.have.Registration == "" || v.Registration == "" || plate(m.have.Registration) != plate(v.Registration) {
		m.text(say.F("registration"), &m.have.Registration, v.Registration)
	}
	if m.have.VIN == "" {
		m.text(say.F("beginning of the VIN"), &m.have.VINPrefix, v.VINPrefix)
	}
}

func (m *merger) use(u score.UseFacts, day func(score.Day) say.Text) {
	have := m.have.Use()
	merged(m, say.F("disposal date"), &have.DisposalDate, u.DisposalDate, day)
	m.stated(say.Plain("history_from_km"), &have.HistoryFromKM, u.HistoryFromKM)
	m.stated(say.Plain("history_from_hours"), &have.HistoryFromHours, u.HistoryFromHours)
	m.stated(say.Plain("disposal_km"), &have.DisposalKM, u.DisposalKM)
	m.stated(say.Plain("km_per_week"), &have.KMPerWeek, u.KMPerWeek)
	m.stated(say.Plain("hours_per_week"), &have.HoursPerWeek, u.HoursPerWeek)
	m.have.SetUse(have)
}

func (m *merger) desk(d score.DeskFacts) {
	have := m.have.Desk()
	m.text(say.F("lot"), &have.Lot, d.Lot)
	m.text(say.F("lane"), &have.Lane, d.Lane)
	m.text(say.F("sale order"), &have.SaleOrder, d.SaleOrder)
	m.stated(say.F("guide price"), &have.GuidePrice, d.GuidePrice)
	m.stated(say.F("price"), &have.Price, d.Price)
	m.stated(say.Plain("warranty_km"), &have.WarrantyKM, d.WarrantyKM)
	m.stated(say.Plain("warranty_months"), &have.WarrantyMonths, d.WarrantyMonths)
	if d.CannotOpen && !have.CannotOpen {
		have.CannotOpen, m.added = true, true
	}
	m.have.SetDesk(have)
}

func (m *merger) conflict(what, have, got say.Text) {
	m.contradicts = true
	m.sheet.rowIssue(m.row, score.SetAside, got.String(), say.F("%s is %s here but %s in %s; the latter stays", what, got, have, m.where(m.have.Ref)),
		say.F("correct the one that is wrong"))
}

// text compares without regard to case and blanks.
func (m *merger) text(what say.Text, have *string, got string) {
	if *have != "" && unitKey(*have) == unitKey(got) {
		return
	}
	merged(m, what, have, got, say.Plain)
}

func (m *merger) stated(what say.Text, have *score.Stated, got score.Stated) {
	merged(m, what, have, got, func(s score.Stated) say.Text { return say.Of(exact(s.Value)) })
}

// exact is a figure as it was read, to a millionth.
type exact float64

// AppendIn appends the figure.
func (x exact) AppendIn(to []byte, l *say.Language) []byte { return l.AppendNumber(to, float64(x), 6) }

// merged adds a value where there was none, and tells of one that contradicts.
func merged[T comparable](m *merger, what say.Text, have *T, got T, show func(T) say.Text) {
	var none T
	switch {
	case got == none || got == *have:
	case *have == none:
		*have, m.added = got, true
	default:
		m.conflict(what, show(*have), show(got))
	}
}

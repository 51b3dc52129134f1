package ingest

import (
	"fmt"
	"strconv"

	"pitlist/score"
)

// merge adds to vehicle n what a further row of a vehicle sheet says. What
// contradicts is told of with both places, and the first stays. It returns
// the row's class: used where it adds anything, set aside where it only
// contradicts, else merged.
func (j *joiner) merge(s *sheet, r *namedRow, n int32, v *score.Vehicle) rowClass {
	have := &j.fleet.Vehicles[n]
	m := merger{joiner: j, sheet: s, row: r, have: have}
	m.names(v)
	m.text("depot", &have.Depot, v.Depot)
	m.text("make", &have.Make, v.Make)
	m.text("model", &have.Model, v.Model)
	m.text("engine family", &have.EngineFamily, v.EngineFamily)
	m.text("engine serial", &have.EngineSerial, v.EngineSerial)
	m.text("status", (*string)(&have.Status), string(v.Status))
	if have.VINYear == 0 && !have.YearConflict {
		have.VINYear, have.YearConflict = v.VINYear, v.YearConflict
	}
	merged(&m, "model year", &have.ModelYear, v.ModelYear, strconv.Itoa)
	day := score.Day.String
	merged(&m, "build date", &have.BuildDate, v.BuildDate, day)
	merged(&m, "in-service date", &have.InService, v.InService, day)
	merged(&m, "next service", &have.NextService, v.NextService, day)
	merged(&m, "disposal date", &have.DisposalDate, v.DisposalDate, day)
	m.stated("history_from_km", &have.HistoryFromKM, v.HistoryFromKM)
	m.stated("history_from_hours", &have.HistoryFromHours, v.HistoryFromHours)
	m.stated("disposal_km", &have.DisposalKM, v.DisposalKM)
	m.stated("km_per_week", &have.Stated.KMPerWeek, v.Stated.KMPerWeek)
	m.stated("hours_per_week", &have.Stated.HoursPerWeek, v.Stated.HoursPerWeek)
	m.desk(&v.Desk)
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
		m.text("registration", &m.have.Registration, v.Registration)
	}
	if m.have.VIN == "" {
		m.text("beginning of the VIN", &m.have.VINPrefix, v.VINPrefix)
	}
}

func (m *merger) desk(d *score.DeskFacts) {
	have := &m.have.Desk
	m.text("lot", &have.Lot, d.Lot)
	m.text("lane", &have.Lane, d.Lane)
	m.text("sale order", &have.SaleOrder, d.SaleOrder)
	m.stated("guide price", &have.GuidePrice, d.GuidePrice)
	m.stated("price", &have.Price, d.Price)
	m.stated("warranty_km", &have.WarrantyKM, d.WarrantyKM)
	m.stated("warranty_months", &have.WarrantyMonths, d.WarrantyMonths)
	if d.CannotOpen && !have.CannotOpen {
		have.CannotOpen, m.added = true, true
	}
}

func (m *merger) conflict(what, have, got string) {
	m.contradicts = true
	m.sheet.rowIssue(m.row, score.SetAside, got, fmt.Sprintf("%s is %s here but %s in %s; the latter stays", what, got, have, m.where(m.have.Ref)),
		"correct the one that is wrong")
}

// text compares without regard to case and blanks.
func (m *merger) text(what string, have *string, got string) {
	if *have != "" && unitKey(*have) == unitKey(got) {
		return
	}
	merged(m, what, have, got, func(s string) string { return s })
}

func (m *merger) stated(what string, have *score.Stated, got score.Stated) {
	merged(m, what, have, got, func(s score.Stated) string { return strconv.FormatFloat(s.Value, 'f', -1, 64) })
}

// merged adds a value where there was none, and tells of one that contradicts.
func merged[T comparable](m *merger, what string, have *T, got T, show func(T) string) {
	var none T
	switch {
	case got == none || got == *have:
	case *have == none:
		*have, m.added = got, true
	default:
		m.conflict(what, show(*have), show(got))
	}
}

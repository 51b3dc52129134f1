package ingest

import (
	"fmt"
	"strconv"

	"pitlist/score"
)

// merge adds to vehicle n what a further row of a vehicle sheet says. What
// contradicts is told of with both places, and the first stays. It returns
// whether the row added anything of its own.
func (j *joiner) merge(s *sheet, n int32, r *vehicleRow) bool {
	have := &j.fleet.Vehicles[n]
	m := merger{joiner: j, sheet: s, row: r, have: have}
	v := &r.vehicle
	m.text("unit", &have.Unit, v.Unit, func(a, b string) bool { return sameUnit(a, b) })
	m.text("registration", &have.Registration, v.Registration, func(a, b string) bool { return plate(a) == plate(b) })
	m.text("depot", &have.Depot, v.Depot, nil)
	m.text("make", &have.Make, v.Make, nil)
	m.text("model", &have.Model, v.Model, nil)
	m.text("engine family", &have.EngineFamily, v.EngineFamily, nil)
	m.text("engine serial", &have.EngineSerial, v.EngineSerial, nil)
	m.text("VIN beginning", &have.VINPrefix, v.VINPrefix, nil)
	if have.VIN == "" && v.VIN != "" {
		have.VIN, m.added = v.VIN, true
	}
	if have.VINYear == 0 {
		have.VINYear, have.YearConflict = v.VINYear, v.YearConflict
	}
	m.year(&have.ModelYear, v.ModelYear)
	m.day("build date", &have.BuildDate, v.BuildDate)
	m.day("in-service date", &have.InService, v.InService)
	m.day("next service", &have.NextService, v.NextService)
	m.day("disposal date", &have.DisposalDate, v.DisposalDate)
	m.stated("history_from_km", &have.HistoryFromKM, v.HistoryFromKM)
	m.stated("history_from_hours", &have.HistoryFromHours, v.HistoryFromHours)
	m.stated("disposal_km", &have.DisposalKM, v.DisposalKM)
	m.stated("km_per_week", &have.Stated.KMPerWeek, v.Stated.KMPerWeek)
	m.stated("hours_per_week", &have.Stated.HoursPerWeek, v.Stated.HoursPerWeek)
	m.text("status", (*string)(&have.Status), string(v.Status), nil)
	have.NotRunning = have.NotRunning || v.NotRunning
	j.enter(n)
	return m.added
}

// merger compares one row with the vehicle that it speaks of.
type merger struct {
	*joiner
	sheet *sheet
	row   *vehicleRow
	have  *score.Vehicle
	added bool
}

func (m *merger) conflict(what, have, got string) {
	m.sheet.rowIssue(m.row, score.Noted, got, fmt.Sprintf("%s is %s here but %s in %s; the first stays", what, got, have, m.where(m.have.Ref)),
		"correct the one that is wrong")
}

func (m *merger) text(what string, have *string, got string, same func(a, b string) bool) {
	switch {
	case got == "" || got == *have:
	case *have == "":
		*have, m.added = got, true
	case unitKey(*have) == unitKey(got) || same != nil && same(*have, got):
	default:
		m.conflict(what, *have, got)
	}
}

func (m *merger) year(have *int, got int) {
	switch {
	case got == 0 || got == *have:
	case *have == 0:
		*have, m.added = got, true
	default:
		m.conflict("model year", strconv.Itoa(*have), strconv.Itoa(got))
	}
}

func (m *merger) day(what string, have *score.Day, got score.Day) {
	switch {
	case got == 0 || got == *have:
	case *have == 0:
		*have, m.added = got, true
	default:
		m.conflict(what, have.String(), got.String())
	}
}

func (m *merger) stated(what string, have *score.Stated, got score.Stated) {
	switch {
	case !got.Known || got == *have:
	case !have.Known:
		*have, m.added = got, true
	default:
		m.conflict(what, strconv.FormatFloat(have.Value, 'f', -1, 64), strconv.FormatFloat(got.Value, 'f', -1, 64))
	}
}

package header

import (
	"slices"
	"strconv"

	"pitlist/score/say"
)

// infer says what the sheet holds, from its columns; what the job says goes first.
func (s *sheet) infer() []Kind {
	if len(s.o.Holds) > 0 {
		return ordered(s.o.Holds)
	}
	var kinds []Kind
	if s.claimed(Codes, weak) {
		kinds = append(kinds, CodesSheet)
	}
	if s.holdsInspections() {
		kinds = append(kinds, Inspections)
	}
	if s.holdsRepairs(len(kinds) > 0) {
		kinds = append(kinds, Repairs)
	}
	switch {
	case s.holdsVehicles(kinds):
		kinds = append(kinds, Vehicles)
	case len(kinds) == 0 && (s.claimed(Odometer, weak) || s.claimed(EngineHours, weak) || s.claimed(OdometerByMonth, weak)):
		kinds = append(kinds, Readings)
	case len(kinds) == 0:
		kinds = append(kinds, Vehicles)
	}
	return ordered(kinds)
}

// ordered puts kinds into their fixed order, each once, unknown ones left out.
func ordered(kinds []Kind) []Kind {
	return slices.DeleteFunc(slices.Clone(kindOrder), func(k Kind) bool { return !slices.Contains(kinds, k) })
}

// claimed reports a column that claims the field with at least the rank.
func (s *sheet) claimed(f Field, atLeast rank) bool {
	for i := range s.live {
		for _, c := range s.live[i] {
			if c.field == f && c.rank >= atLeast && !s.matches[i].combined {
				return true
			}
		}
	}
	return false
}

func (s *sheet) dated() bool { return s.claimed(Date, weak) || s.claimed(OdometerDate, weak) }

// holdsInspections wants a finding; "Result" alone is not enough, and a measure without a part may stand on any sheet.
func (s *sheet) holdsInspections() bool {
	part := s.claimed(Part, weak)
	return s.claimed(FindingField, strong) || part && (s.claimed(FindingField, weak) || s.claimed(Measured, weak)) ||
		s.claimed(Measured, weak) && s.dated() && !s.owns() && !s.claimed(Text, strong)
}

// holdsRepairs wants a column of work done. A mere "Description" or "Remarks" is one only on a dated list without anything that only vehicles
// or other events have.
func (s *sheet) holdsRepairs(others bool) bool {
	if s.claimed(Text, strong) {
		return true
	}
	return (s.claimed(Text, weak) || s.claimed(Recommended, strong)) && s.claimed(Date, weak) && !others && !s.owns()
}

// owns reports a column that only a list of vehicles has. Money is left out: repairs have it too.
func (s *sheet) owns() bool {
	for _, f := range ownFields {
		if f != Price && f != GuidePrice && s.claimed(f, strong) {
			return true
		}
	}
	return false
}

func (s *sheet) describes() bool {
	for _, f := range []Field{Depot, Make, Model, ModelYear} {
		if s.claimed(f, strong) {
			return true
		}
	}
	return false
}

// holdsVehicles tells a list of vehicles from a list of events that repeats make and model on each row.
func (s *sheet) holdsVehicles(events []Kind) bool {
	switch {
	case len(events) == 0 && s.repeats():
		return s.owns() && !s.claimed(Odometer, weak)
	case s.repeats():
		return false
	case s.owns():
		return true
	case len(events) == 0:
		return s.describes() || s.claimed(Status, weak) || s.claimed(Price, strong) || s.bareList()
	}
	// Codes in a column of the list of vehicles: undated, beside make and model.
	return slices.Equal(events, []Kind{CodesSheet}) && !s.claimed(Date, weak) && s.describes()
}

// bareList tells a list of vehicles that has nothing but numbers and an odometer from a log of readings: it has no dates, or each vehicle's
// reading has its own and the vehicles are named twice over, by VIN and by number.
func (s *sheet) bareList() bool {
	if !s.dated() {
		return true
	}
	names := 0
	for _, f := range identifiers[:3] {
		if s.claimed(f, strong) {
			names++
		}
	}
	return names > 1 && s.claimed(OdometerDate, strong)
}

// allowed reports whether a sheet of these kinds may have the field.
func (s *sheet) allowed(f Field) bool {
	if f == Measured {
		return true
	}
	for _, k := range s.kinds {
		if f.In(k) {
			return true
		}
	}
	return slices.Contains(described, f)
}

// wanted are the fields whose absence a planner should know of, by kind, with what follows.
var wanted = []struct {
	kind Kind
	any  []Field
	text say.Text
}{
	{Vehicles, []Field{VIN, VINPrefix}, say.F("no VIN: nothing of it can be checked, and sheets join by unit or registration only")},
	{Vehicles, []Field{Odometer, EngineHours, OdometerByMonth}, say.F("no odometer: distances come from other sheets, or are not known")},
	{Vehicles, []Field{Model}, say.F("no model: parts that fit by model stay not known")},
	{Vehicles, []Field{ModelYear, BuildDate, VIN}, say.F("no model year")},
	{CodesSheet, []Field{Date}, say.F("no date of the scan: codes count as of the sheet's latest day, else of the day of the run")},
	{Repairs, []Field{Date, Closed}, say.F("no date of the repair: rows count as of the sheet's latest day, else of the day of the run")},
	{Repairs, []Field{Text, Recommended}, say.F("no column says what was done")},
	{Repairs, []Field{Odometer}, say.F("no odometer at the repair: its distance is reckoned from its day")},
	{Inspections, []Field{FindingField, Measured}, say.F("no column says what was found")},
	{Inspections, []Field{Part}, say.F("no column says which part was inspected")},
	{Inspections, []Field{Date}, say.F("no date of the inspection")},
	{Readings, []Field{Odometer, EngineHours, OdometerByMonth}, say.F("no reading")},
	{Readings, []Field{Date, OdometerDate, OdometerByMonth}, say.F("no date of the reading: it counts as of the day of the run")},
}

// missing lists what the kinds held would want and no column has, with the columns that may be it.
func missing(l Layout) []Problem {
	var out []Problem
	if !hasAny(l, identifiers) && !hasAny(l, []Field{Lot}) {
		out = append(out, lacking(l, identifiers[:3], say.F("no column says which vehicle a row speaks of"), true))
	}
	for _, w := range wanted {
		if !l.Has(w.kind) || hasAny(l, w.any) || slices.Equal(l.Holds, []Kind{Vehicles, CodesSheet}) && w.kind == CodesSheet {
			continue
		}
		required := w.any[0] == Text || w.any[0] == FindingField || w.any[0] == Odometer && w.kind == Readings
		out = append(out, lacking(l, w.any, w.text, required))
	}
	if l.Has(Vehicles) && !hasAny(l, []Field{Codes}) {
		if p := lacking(l, []Field{Codes}, say.F("a column that may hold codes is left alone"), false); len(p.Columns) > 0 {
			out = append(out, p)
		}
	}
	return out
}

func hasAny(l Layout, fields []Field) bool {
	return slices.ContainsFunc(l.Columns, func(c Column) bool { return slices.Contains(fields, c.Field) && c.Field != Ignore })
}

func lacking(l Layout, fields []Field, text say.Text, required bool) Problem {
	p := Problem{Fields: fields, Text: text, Required: required, Hint: say.F("if a column has it, name it in the job's columns")}
	var headings []say.Text
	for _, c := range l.Columns {
		if c.Field == Ignore && slices.ContainsFunc(c.Candidates, func(f Field) bool { return slices.Contains(fields, f) }) {
			p.Columns = append(p.Columns, c.Index)
			headings = append(headings, say.Plain(strconv.Quote(c.Heading)))
		}
	}
	switch len(headings) {
	case 0:
	case 1:
		p.Hint = say.F("%s may be it: columns: { %s: %s }", headings[0], headings[0], string(fields[0]))
	default:
		p.Hint = say.F("%s may be it: name the one that is in the job's columns", say.Alternatives(headings...))
	}
	return p
}

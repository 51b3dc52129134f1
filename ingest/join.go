package ingest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/vin"
)

func dayOf(t time.Time) score.Day { return odometer.DayOf(t) }

// joiner puts the rows of all sheets together.
type joiner struct {
	fleet  *score.Fleet
	byVIN  map[vin.VIN][]int32
	byUnit map[string][]int32 // unit as compared
	byBare map[string][]int32 // unit without leading zeros
	byReg  map[string][]int32
	extra  extras
}

// extras are the facts that stand on vehicle rows, with their owners.
type extras struct {
	readings, hours []owned[score.Reading]
	scans           []owned[score.Scan]
	remarks         []owned[score.Remark]
	repairs         []owned[score.Repair]
	inspections     []owned[score.Inspection]
}

// owned is a fact whose vehicle has been found.
type owned[T any] struct {
	vehicle int32
	sheet   *sheet
	slot    int32
	fact    T
}

// join makes the fleet of all sheets: vehicles first, then what happened to
// them. Sources are numbered in reading order.
func join(files []*file, o *Options) *score.Fleet {
	j := &joiner{
		fleet: &score.Fleet{}, byVIN: map[vin.VIN][]int32{}, byUnit: map[string][]int32{},
		byBare: map[string][]int32{}, byReg: map[string][]int32{},
	}
	var sheets []*sheet
	for _, f := range files {
		j.unreadable(f)
		for _, s := range f.sheets {
			j.fleet.Sources = append(j.fleet.Sources, s.view.Source)
			sheets = append(sheets, s)
		}
	}
	for i, s := range sheets {
		j.vehicleRows(s, int32(i+1))
	}
	j.index()
	for i, s := range sheets {
		j.events(s, int32(i+1))
	}
	j.hand()
	for i, s := range sheets {
		j.issues(s, int32(i+1))
	}
	j.order()
	return j.fleet
}

// unreadable makes an issue of a file that could not be read.
func (j *joiner) unreadable(f *file) {
	if f.view.Err == nil {
		return
	}
	s := &sheet{file: f, told: &Told{}}
	s.view.Source, s.view.Skipped = score.Source{File: f.view.Path}, f.view.Err.Error()
	s.issues = []score.Issue{{Severity: score.Rejected, Value: f.view.Path, Reason: "file not read: " + f.view.Err.Error(), Suggestion: hint(f.view.Err)}}
	f.sheets = []*sheet{s}
}

// vehicleRows files the rows of one vehicle sheet, joining those that speak
// of a vehicle already known.
func (j *joiner) vehicleRows(s *sheet, source int32) {
	for i := range s.vehicles {
		r := &s.vehicles[i]
		r.vehicle.Ref = score.Ref{Source: source, Row: r.row}
		n, known := j.find(s, r, source)
		added := !known
		if known {
			added = j.merge(s, n, r)
		} else {
			n = int32(len(j.fleet.Vehicles))
			j.fleet.Vehicles = append(j.fleet.Vehicles, r.vehicle)
			j.enter(n)
		}
		j.vinRow(s, r)
		if r.vehicle.Status == score.Sold {
			s.rowIssue(r, score.SetAside, r.vehicle.Name(), "sold: listed nowhere", "")
			s.raise(r.slot, isSetAside)
			continue
		}
		j.attach(n, s, r, source)
		if added {
			s.raise(r.slot, isUsed)
		} else {
			s.raise(r.slot, isMerged) // unless one of its facts turns out to be new
		}
	}
}

// find looks for the vehicle that a vehicle row speaks of: the same VIN and
// no other unit, else the same unit and no other VIN, else the registration.
func (j *joiner) find(s *sheet, r *vehicleRow, source int32) (int32, bool) {
	v := &r.vehicle
	if v.VIN != "" {
		for _, n := range j.byVIN[v.VIN] {
			have := &j.fleet.Vehicles[n]
			if have.Unit == "" || v.Unit == "" || sameUnit(have.Unit, v.Unit) {
				return n, true
			}
			s.rowIssue(r, score.SetAside, v.Unit, fmt.Sprintf("VIN %s stands on unit %s too (%s); both are listed, and rows that give only the VIN cannot be told apart",
				v.VIN, have.Unit, j.where(have.Ref)), "find out which unit bears this VIN")
			return 0, false
		}
	}
	if v.Unit != "" {
		for _, n := range j.byUnit[unitKey(v.Unit)] {
			have := &j.fleet.Vehicles[n]
			if have.VIN == "" || v.VIN == "" || have.VIN == v.VIN {
				return n, true
			}
			s.rowIssue(r, score.SetAside, v.Unit, fmt.Sprintf("unit %s stands on another VIN too: %s (%s); both are listed", v.Unit, have.VIN, j.where(have.Ref)),
				"find out which vehicle bears this number")
			return 0, false
		}
		return 0, false
	}
	if v.Registration != "" && v.VIN == "" {
		if list := j.byReg[plate(v.Registration)]; len(list) == 1 {
			return list[0], true
		}
	}
	return 0, false
}

// rowIssue files an issue on a whole row without changing its class: the row
// is used, what it names is in doubt.
func (s *sheet) rowIssue(r *vehicleRow, sev score.Severity, value, reason, todo string) {
	s.issues = append(s.issues, score.Issue{Ref: score.Ref{Row: r.row}, Value: clip(value), Severity: sev, Reason: reason, Suggestion: todo})
}

func (j *joiner) where(r score.Ref) string { return j.fleet.Where(r) }

// enter makes vehicle n findable while vehicle rows are being joined.
func (j *joiner) enter(n int32) {
	v := &j.fleet.Vehicles[n]
	if v.VIN != "" && !slices.Contains(j.byVIN[v.VIN], n) {
		j.byVIN[v.VIN] = append(j.byVIN[v.VIN], n)
	}
	if v.Unit != "" && !slices.Contains(j.byUnit[unitKey(v.Unit)], n) {
		j.byUnit[unitKey(v.Unit)] = append(j.byUnit[unitKey(v.Unit)], n)
	}
	if v.Registration != "" && !slices.Contains(j.byReg[plate(v.Registration)], n) {
		j.byReg[plate(v.Registration)] = append(j.byReg[plate(v.Registration)], n)
	}
}

// index makes units findable without leading zeros too, once all are known.
func (j *joiner) index() {
	for i := range j.fleet.Vehicles {
		if u := j.fleet.Vehicles[i].Unit; u != "" {
			b := bare(u)
			j.byBare[b] = append(j.byBare[b], int32(i))
		}
	}
}

// unitKey is a unit number as compared: case and blanks do not count.
func unitKey(u string) string {
	clean := true
	for i := 0; i < len(u); i++ {
		if c := u[i]; c == ' ' || c >= 'a' && c <= 'z' || c >= 0x80 {
			clean = false
			break
		}
	}
	if clean {
		return u
	}
	return strings.ToUpper(strings.Join(strings.Fields(u), ""))
}

// bare is a unit number without leading zeros and without ".0": spreadsheets
// drop the one and add the other.
func bare(u string) string {
	k := strings.TrimSuffix(unitKey(u), ".0")
	if t := strings.TrimLeft(k, "0"); t != "" {
		return t
	}
	return k
}

func sameUnit(a, b string) bool { return bare(a) == bare(b) }

// plate is a registration as compared: letters and digits only.
func plate(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' || r == '.' || r == '\u00a0' {
			return -1
		}
		return r
	}, strings.ToUpper(s))
}

// vinRow keeps what was found of the VIN on a vehicle row, and tells of it
// where it is not good.
func (j *joiner) vinRow(s *sheet, r *vehicleRow) {
	if r.report == nil {
		return
	}
	row := score.VINRow{Unit: r.vehicle.Unit, Ref: r.vehicle.Ref, Report: *r.report}
	j.fleet.VINs = append(j.fleet.VINs, row)
	rep := r.report
	if rep.Has(vin.Good) && trivial(rep) {
		return
	}
	sev, todo := score.Noted, ""
	if rep.SetAside {
		sev = score.SetAside
	}
	if len(rep.Suggestions) > 0 {
		todo = fmt.Sprintf("may be %s (%s)", rep.Suggestions[0].VIN, rep.Suggestions[0].Why)
	}
	reason := rep.Reason
	if len(rep.Notes) > 0 {
		reason = strings.TrimPrefix(reason+"; read after cleaning: "+strings.Join(rep.Notes, ", "), "; ")
	}
	i := score.Issue{Ref: score.Ref{Row: r.row}, Value: clip(rep.Raw), Severity: sev, Reason: reason, Suggestion: todo}
	if col := s.at["vin"]; len(col) > 0 {
		i.Column = col[0].Heading
		if !rep.Has(vin.Good) {
			col[0].view.Refused++
		}
	}
	s.issues = append(s.issues, i)
}

// trivial tells that cleaning changed nothing but the case and the blanks.
func trivial(r *vin.Report) bool {
	return len(r.Notes) == 0 || strings.EqualFold(strings.Join(strings.Fields(r.Raw), ""), r.Text)
}

// attach hands the facts on a vehicle row to its vehicle.
func (j *joiner) attach(n int32, s *sheet, r *vehicleRow, source int32) {
	ref := score.Ref{Source: source, Row: r.row}
	if r.reading != nil {
		r.reading.Ref = ref
		j.extra.readings = append(j.extra.readings, owned[score.Reading]{n, s, r.slot, *r.reading})
	}
	if r.hours != nil {
		r.hours.Ref = ref
		j.extra.hours = append(j.extra.hours, owned[score.Reading]{n, s, r.slot, *r.hours})
	}
	if r.scan != nil {
		r.scan.Ref = ref
		j.extra.scans = append(j.extra.scans, owned[score.Scan]{n, s, r.slot, *r.scan})
	}
	for _, m := range r.remarks {
		m.Ref = ref
		j.extra.remarks = append(j.extra.remarks, owned[score.Remark]{n, s, r.slot, m})
	}
}

// issues moves a sheet's issues into the fleet, in the order of rows.
func (j *joiner) issues(s *sheet, source int32) {
	slices.SortStableFunc(s.issues, func(a, b score.Issue) int { return cmp.Compare(a.Ref.Row, b.Ref.Row) })
	for _, i := range s.issues {
		i.Ref.Source = source
		j.fleet.Issues = append(j.fleet.Issues, i)
	}
	s.issues = nil
	s.vehicles = nil
}

// order sorts vehicles by unit, then VIN, and marks VINs that stand twice.
func (j *joiner) order() {
	for i := range j.fleet.VINs {
		r := &j.fleet.VINs[i]
		r.Twice = r.Report.VIN != "" && len(j.byVIN[r.Report.VIN]) > 1
	}
	slices.SortStableFunc(j.fleet.Vehicles, func(a, b score.Vehicle) int {
		return cmp.Or(cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.VIN, b.VIN), cmp.Compare(a.Registration, b.Registration))
	})
}

// Names tells whether a person's word for a vehicle means this one: its unit,
// with or without leading zeros, its VIN, or its registration.
func Names(v *score.Vehicle, word string) bool {
	word = strings.TrimSpace(word)
	switch {
	case word == "":
		return false
	case v.Unit != "" && sameUnit(v.Unit, word):
		return true
	case v.Registration != "" && plate(v.Registration) == plate(word):
		return true
	}
	text, _ := vin.Clean(word)
	return v.VIN != "" && string(v.VIN) == text
}

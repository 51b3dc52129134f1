package report

import (
	"cmp"
	"iter"
	"slices"

	"pitlist/score"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// CheckRow is a reason to look that carries no probability.
type CheckRow struct {
	Unit, VIN, Depot string
	Vehicle          string
	Part, PartName   string // "" where no entry of the catalogue speaks of it
	Reason, Check    say.Text
	Today            bool
	Day              score.Day
	Where            say.Text // file, sheet and row
}

// OtherChecks yields them by vehicle, in the fleet's order; those for today
// come first.
func (d *Document) OtherChecks() iter.Seq[CheckRow] {
	return func(yield func(CheckRow) bool) {
		for _, todays := range []bool{true, false} {
			for i := range d.assessments {
				if !d.checksOf(&d.assessments[i], todays, yield) {
					return
				}
			}
		}
	}
}

func (d *Document) checksOf(a *score.Assessment, todays bool, yield func(CheckRow) bool) bool {
	v := a.Vehicle
	for i := range a.Checks {
		c := &a.Checks[i]
		if c.Today != todays {
			continue
		}
		r := CheckRow{
			Unit: v.Unit, VIN: vinOf(v), Depot: v.Depot, Vehicle: vehicleName(v.Make, v.Model, yearOf(v)),
			Reason: c.Reason, Check: c.Check, Today: c.Today, Day: c.Day, Where: d.fleet.Where(c.Ref),
		}
		if c.Part != nil {
			r.Part, r.PartName = c.Part.ID, c.Part.Name
		}
		if !yield(r) {
			return false
		}
	}
	return true
}

// IssueRow is one thing that was found in an input row.
type IssueRow struct {
	File, Sheet   string
	Row           int // 0: the whole sheet or file
	Column, Value string
	Severity      score.Severity
	Reason        say.Text
	Suggestion    say.Text
}

// severities in the order in which a person mends rows.
var severities = [...]score.Severity{score.Rejected, score.SetAside, score.Noted}

// Issues yields all of one severity in the order in which they were read.
func (d *Document) Issues(s score.Severity) iter.Seq[IssueRow] {
	return func(yield func(IssueRow) bool) {
		for i := range d.fleet.Issues {
			it := &d.fleet.Issues[i]
			if it.Severity != s {
				continue
			}
			src, _ := d.fleet.SourceOf(it.Ref)
			r := IssueRow{File: src.File, Sheet: src.Sheet, Row: int(it.Ref.Row), Column: it.Column, Value: it.Value,
				Severity: it.Severity, Reason: it.Reason, Suggestion: it.Suggestion}
			if !yield(r) {
				return
			}
		}
	}
}

// AllIssues yields every issue: rejected rows, then what was set aside, then
// what was only noted.
func (d *Document) AllIssues() iter.Seq[IssueRow] {
	return func(yield func(IssueRow) bool) {
		for _, s := range severities {
			for r := range d.Issues(s) {
				if !yield(r) {
					return
				}
			}
		}
	}
}

// VINFinding is what was found of one VIN as it stood in a row.
type VINFinding struct {
	Unit, AsRead, VIN string
	Findings          []string // "good" alone, or all that apply
	Country           string
	ModelYear         int // 0: the VIN says nothing sure
	Suggestion        say.Text
	Reason            say.Text // in plain words; empty when good
	Good              bool
}

// twice is the finding for a VIN that stands on two units.
const twice = "twice"

// Says lists the findings in words.
func (f *VINFinding) Says() say.Text {
	out := make([]say.Text, len(f.Findings))
	for i, x := range f.Findings {
		out[i] = vin.Finding(x).Say()
		if x == twice {
			out[i] = say.F("twice")
		}
	}
	return say.Join(", ", out...)
}

// VINs yields one finding for each VIN read, in the order of reading.
func (d *Document) VINs() iter.Seq[VINFinding] {
	return func(yield func(VINFinding) bool) {
		for i := range d.fleet.VINs {
			if !yield(vinFinding(&d.fleet.VINs[i])) {
				return
			}
		}
	}
}

func vinFinding(row *score.VINRow) VINFinding {
	f := VINFinding{Unit: row.Unit, AsRead: row.Raw, VIN: string(row.VIN), Country: row.Country, ModelYear: int(row.ModelYear)}
	if odd := row.Odd; odd != nil {
		f.Reason = odd.Reason
		for _, x := range odd.Findings {
			f.Findings = append(f.Findings, string(x))
		}
		for _, s := range odd.Suggestions {
			likely := say.Plainly(s.VIN)
			if !f.Suggestion.Empty() {
				likely = say.Alternatives(f.Suggestion, likely)
			}
			f.Suggestion = likely
		}
	}
	if row.Twice {
		f.Findings = append(f.Findings, twice)
		f.Reason = say.Join(" ", f.Reason, say.F("The same VIN stands on another unit; one of the two is wrong."))
	}
	if len(f.Findings) == 0 {
		f.Findings = []string{string(vin.Good)}
	}
	f.Good = slices.Equal(f.Findings, []string{string(vin.Good)})
	return f
}

// OdometerRow is the distance of one vehicle today and what was thought of
// its readings.
type OdometerRow struct {
	Unit, VIN string
	KM        float64
	Known     bool
	Basis     say.Text
	Readings  int
	Finding   odometer.Finding
	Detail    say.Text
}

// Odometers yields one row for each vehicle, in the fleet's order.
func (d *Document) Odometers() iter.Seq[OdometerRow] {
	return func(yield func(OdometerRow) bool) {
		for i := range d.assessments {
			if !yield(odometerRow(&d.assessments[i])) {
				return
			}
		}
	}
}

// OddOdometers gives the first n of the rows that have a finding, and says how
// many more there are: only what is shown is put into words.
func (d *Document) OddOdometers(n int) (rows []OdometerRow, more int) {
	for i := range d.assessments {
		switch f := d.assessments[i].Odometer.Finding; {
		case f == "" || f == odometer.None:
		case len(rows) < n:
			rows = append(rows, odometerRow(&d.assessments[i]))
		default:
			more++
		}
	}
	return rows, more
}

func odometerRow(a *score.Assessment) OdometerRow {
	e := &a.Odometer
	detail, _ := a.Details()
	return OdometerRow{Unit: a.Vehicle.Unit, VIN: vinOf(a.Vehicle), KM: finite(e.KM), Known: e.Known, Basis: e.Basis(),
		Readings: len(a.Vehicle.Readings), Finding: cmp.Or(e.Finding, odometer.None), Detail: detail}
}

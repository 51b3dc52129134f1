package report

import (
	"math"

	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// ResultRow is one part of one vehicle that a look or a repair is waited for,
// with what people need to find it and what they fill in.
type ResultRow struct {
	Slip           slip.Slip
	Depot, Vehicle string
	SoFar          say.Text // "found worn", "found failed"; empty where nobody has looked
	Limits         []CardLimit
}

// MostResults is the greatest number of rows on the sheet of results; nobody
// types more in a week (judgement).
const MostResults = 5000

// results makes the rows: those above the line in the list's order, as on the
// cards, then parts that were found failed and wait for their repair.
func results(d *Document) (made []ResultRow, leftOut int) {
	r := resulting{doc: d}
	d.slips = map[*score.Finding]slip.Slip{}
	for i := range d.list.Rows {
		if row := &d.list.Rows[i]; row.Above {
			for _, f := range leadFirst(row) {
				r.add(row.Assessment, row.Rank, f)
			}
		}
	}
	for i := range d.list.Rows {
		for _, f := range d.list.Rows[i].Awaiting {
			r.add(d.list.Rows[i].Assessment, d.list.Rows[i].Rank, f)
		}
	}
	for _, a := range d.list.Awaiting {
		for i := range a.Findings {
			if f := &a.Findings[i]; f.Standing == score.AwaitingRepair {
				r.add(a, 0, f)
			}
		}
	}
	return r.made, r.leftOut
}

type resulting struct {
	doc     *Document
	made    []ResultRow
	leftOut int
}

func (r *resulting) add(a *score.Assessment, rank int, f *score.Finding) {
	if len(r.made) == MostResults {
		r.leftOut++
		return
	}
	v := a.Vehicle
	row := ResultRow{
		Slip: slipOf(r.doc, a, rank), Depot: v.Depot, Vehicle: vehicleName(v.Make, v.Model, yearOf(v)),
		SoFar: soFar(f), Limits: cardLimits(f.Part),
	}
	row.Slip.Fills, row.Slip.Row = slip.All, len(r.made)+1
	row.Slip.Part, row.Slip.Name = f.Part.ID, f.Part.Name
	for _, l := range row.Limits {
		row.Slip.Measures = append(row.Slip.Measures, l.ID)
	}
	r.doc.slips[f] = row.Slip
	r.made = append(r.made, row)
}

func soFar(f *score.Finding) say.Text {
	switch f.Standing {
	case score.WornFound:
		return say.F("found worn")
	case score.AwaitingRepair:
		return say.F("found failed")
	}
	return say.Text{}
}

// slipOf names the vehicle on this list.
func slipOf(d *Document, a *score.Assessment, rank int) slip.Slip {
	v := a.Vehicle
	s := slip.Slip{Job: d.Run.Job, Run: d.Run.Name, Card: rank, Unit: v.Unit, VIN: string(v.VIN), Plate: v.Registration}
	if v.VIN == "" {
		s.Prefix = v.VINPrefix
	}
	if _, km, ok := a.Odometer.Last(); ok {
		s.LastKM = math.Floor(finite(km))
	}
	return s
}

package report

import (
	"cmp"
	"iter"
	"slices"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// FindingRow is one part of one vehicle. Probabilities lie in [0, 1] and are
// not rounded; HasState tells whether there are any.
type FindingRow struct {
	Unit, VIN, Depot string
	Part, PartName   string // the catalogue's id and name
	Standing         score.Standing
	Membership       score.Membership
	MembershipReason say.Text
	Share            float64
	Axis             score.Axis
	Distance         float64 // own distance, on the axis
	HasState         bool
	Immune, Sound    float64
	Worn, Rectified  float64
	Low, High        float64 // 80 % interval of Worn
	HasInterval      bool
	FailNext         float64
	FailHold         float64
	Priced           bool // the plan gave it worth and cost of waiting
	Worth, Waiting   float64
	HasBill          bool // buying desks: the part has a bill
	BillMean         float64
	BillP90          float64
	Evidence         say.Text
}

// Findings yields every finding of every vehicle that is judged, by vehicle
// in the fleet's order, by part in the catalogue's.
func (d *Document) Findings() iter.Seq[FindingRow] {
	return func(yield func(FindingRow) bool) {
		for i := range d.assessments {
			a := &d.assessments[i]
			for j := range a.Findings {
				if !yield(d.findingRow(a, &a.Findings[j])) {
					return
				}
			}
		}
	}
}

// Likeliest gives the scored and the found worn parts whose chance of being
// worn is at least from, the likeliest n of them, and says how many more there
// are. Among equals the order is that of Findings.
func (d *Document) Likeliest(from float64, n int) (rows []FindingRow, more int) {
	type place struct{ vehicle, part int }
	var found []place // never many more than are asked for
	at := func(p place) *score.Finding { return &d.assessments[p.vehicle].Findings[p.part] }
	keep := func() {
		slices.SortStableFunc(found, func(a, b place) int {
			return cmp.Compare(finite(at(b).State.Worn), finite(at(a).State.Worn))
		})
		kept := min(n, len(found))
		more += len(found) - kept
		found = found[:kept]
	}
	for i := range d.assessments {
		for j := range d.assessments[i].Findings {
			f := at(place{i, j})
			if (f.Standing == score.Scored || f.Standing == score.WornFound) && f.State.Worn >= from {
				found = append(found, place{i, j})
			}
		}
		if len(found) > 2*n+enoughToSort {
			keep()
		}
	}
	keep()
	for _, p := range found {
		rows = append(rows, d.findingRow(&d.assessments[p.vehicle], at(p)))
	}
	return rows, more
}

// enoughToSort is how many more than twice what is asked for are found before
// the less likely are dropped.
const enoughToSort = 1000

func (d *Document) findingRow(a *score.Assessment, f *score.Finding) FindingRow {
	v, s := a.Vehicle, f.State
	r := FindingRow{
		Unit: v.Unit, VIN: vinOf(v), Depot: v.Depot, Part: f.Part.ID, PartName: f.Part.Name,
		Standing: f.Standing, Membership: f.Belonging.Membership, MembershipReason: f.Belonging.Reason(),
		Share: finite(f.Belonging.Share), Axis: f.Part.Axis, Distance: finite(f.Distance),
		Immune: finite(s.Immune), Sound: finite(s.Sound), Worn: finite(s.Worn), Rectified: finite(s.Rectified),
		FailNext: finite(f.NextFail.All), FailHold: finite(f.HoldFail.All),
		HasInterval: f.HasInterval, Evidence: evidenceOf(f),
	}
	r.HasState = r.Immune+r.Sound+r.Worn+r.Rectified > 0
	if r.HasInterval {
		r.Low, r.High = finite(f.PLow), finite(f.PHigh)
	}
	if c := choiceOf(d.rows[v], f); c != nil {
		r.Priced, r.Worth, r.Waiting = true, finite(c.Worth), finite(c.Waiting)
	}
	if c := d.causeOf(a, f); c != nil {
		r.HasBill, r.BillMean, r.BillP90 = true, finite(c.Bill.Mean()), finite(c.Bill.Quantile(0.9))
		r.Priced, r.Worth, r.Waiting = r.Standing != score.AwaitingRepair, finite(c.Worth), finite(c.Waiting)
	}
	return r
}

// causeOf finds what a finding takes off the price of its vehicle's offer.
func (d *Document) causeOf(a *score.Assessment, f *score.Finding) *plan.Cause {
	o := d.offers[a.Vehicle]
	if o == nil {
		return nil
	}
	for i := range o.Causes {
		if o.Causes[i].Finding.PartIndex == f.PartIndex {
			return &o.Causes[i]
		}
	}
	return nil
}

// choiceOf finds the money of a finding in its vehicle's row.
func choiceOf(row *plan.Row, f *score.Finding) *plan.Choice {
	if row == nil {
		return nil
	}
	for _, list := range [][]plan.Choice{row.Parts, row.Others} {
		for i := range list {
			if got := list[i].Finding; got != nil && got.PartIndex == f.PartIndex {
				return &list[i]
			}
		}
	}
	return nil
}

// evidenceOf lists what was seen of the part, each with what it weighs.
func evidenceOf(f *score.Finding) say.Text {
	facts := ofThisPart(f.Facts)
	said := make([]say.Text, len(facts))
	for i := range facts {
		said[i] = sayFact(&facts[i], f.Part)
		if tells(&facts[i]) {
			said[i] = say.F("%s [%s]", said[i], SayWeight(facts[i].Weight))
		}
	}
	return say.Join("; ", said...)
}

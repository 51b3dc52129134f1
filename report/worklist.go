package report

import (
	"iter"
	"slices"
	"strconv"
	"strings"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// WorkRow is one vehicle of the list. Probabilities lie in [0, 1], money is
// in the run's currency, distances are km, hours are bay-hours; nothing is
// rounded.
type WorkRow struct {
	Rank              int
	Group             plan.Group
	Above             bool
	Unit, VIN         string
	Registration      string
	Depot             string
	Make, Model       string
	ModelYear         int     // 0: not stated
	OdometerKM        float64 // today
	OdometerKnown     bool
	OdometerBasis     say.Text
	LeadPart          string // the catalogue's id
	LeadName          string
	Parts             []string // names of all parts that the row speaks of
	PWorn             float64
	PLow, PHigh       float64 // 80 % interval of PWorn
	HasInterval       bool
	FailNext          float64
	FailHold          float64
	Worth             float64
	Waiting           float64
	Hours, Cumulative float64
	Stays             float64 // share of draws above the line; negative: not reckoned
	Injury            bool    // a failure of a part the row speaks of can hurt someone
	BeforeKM          float64 // 0: none
	BeforeDate        score.Day
	Change            say.Text
	Moved             bool // Change tells more than that the row kept its place
	Why               say.Text
	Hold              bool // a part whose failure can hurt was found worn or failed: not to be used until released

	Check   *CheckFirstRow // fleet: a cheap check that pays before the bay; nil: none
	Service *ServiceRow    // fleet: a service due within the weeks ahead; nil: none
	Offer   *OfferRow      // buying desks only
}

// Worklist yields the vehicles from the head of the list to its foot: on a
// buying desk every vehicle judged, else those with a part to speak of.
func (d *Document) Worklist() iter.Seq[WorkRow] {
	return func(yield func(WorkRow) bool) {
		for i := range d.list.Offers {
			if !yield(d.offered(&d.list.Offers[i])) {
				return
			}
		}
		if d.Buys() {
			return
		}
		for i := range d.list.Rows {
			if !yield(d.workRow(&d.list.Rows[i])) {
				return
			}
		}
	}
}

// Length is the number of vehicles on the list.
func (d *Document) Length() int {
	if d.Buys() {
		return len(d.list.Offers)
	}
	return len(d.list.Rows)
}

func (d *Document) workRow(row *plan.Row) WorkRow {
	w := vehicleRow(row.Assessment)
	w.Rank, w.Group, w.Above = row.Rank, row.Group, row.Above
	w.FailNext, w.FailHold = finite(row.FailNext), finite(row.FailHold)
	w.Worth, w.Waiting = finite(row.Worth), finite(row.Waiting)
	w.Hours, w.Cumulative, w.Stays = finite(row.Hours), finite(row.Cumulative), finite(row.Stays)
	w.Why, w.Change = whyAt(d.Run.Desk, row), d.change(row)
	w.Moved, w.Hold = !w.Change.Empty() && w.Change != samePlace, held(row)
	w.setLead(row)
	if row.Before.Known {
		w.BeforeKM, w.BeforeDate = finite(row.Before.KM), row.Before.Day
	}
	w.Check, w.Service = checkFirstRow(row, d.Run.Currency), serviceRow(row, d.Run.Currency)
	return w
}

// vehicleRow fills in what is the vehicle's own.
func vehicleRow(a *score.Assessment) WorkRow {
	v := a.Vehicle
	return WorkRow{
		Unit: v.Unit, VIN: vinOf(v), Registration: v.Registration, Depot: v.Depot,
		Make: v.Make, Model: v.Model, ModelYear: yearOf(v),
		OdometerKM: finite(a.Odometer.KM), OdometerKnown: a.Odometer.Known, OdometerBasis: a.Odometer.Basis(),
		Group: plan.Rest, Stays: -1,
	}
}

// held tells that a vehicle is not to be used until released (common practice,
// no source).
func held(row *plan.Row) bool {
	found := func(f *score.Finding) bool {
		return canInjure(f) && (f.Standing == score.WornFound || f.Standing == score.AwaitingRepair)
	}
	return slices.ContainsFunc(row.Awaiting, found) || slices.ContainsFunc(row.Parts, func(p plan.Choice) bool { return found(p.Finding) })
}

func (w *WorkRow) setLead(row *plan.Row) {
	for _, f := range leadFirst(row) {
		w.Parts = append(w.Parts, f.Part.Name)
		w.Injury = w.Injury || canInjure(f)
	}
	f := row.Lead.Finding
	if f == nil {
		return
	}
	w.LeadPart, w.LeadName = f.Part.ID, f.Part.Name
	w.PWorn, w.HasInterval = finite(f.State.Worn), f.HasInterval
	if f.HasInterval {
		w.PLow, w.PHigh = finite(f.PLow), finite(f.PHigh)
	}
}

// Name is the shortest sure way to speak of the vehicle on paper: at an
// auction its lot.
func (w *WorkRow) Name() say.Text {
	switch {
	case w.Offer != nil && w.Offer.Lot != "":
		return say.F("lot %s", w.Offer.Lot)
	case w.Unit != "":
		return say.Plain(w.Unit)
	case w.VIN != "":
		return say.Plain(w.VIN)
	}
	return say.Plain(w.Registration)
}

// Say is the row in a few sentences: what to do where the row's place does not
// say it (on a buying desk the verdict, else a check before the bay), why, and
// what a service that is due changes.
func (w *WorkRow) Say() say.Text {
	if o := w.Offer; o != nil {
		return say.Join(" ", o.Advice, o.Bid, w.Why)
	}
	var check, service say.Text
	if w.Check != nil {
		check = w.Check.Words
	}
	if s := w.Service; s != nil && (w.Above || s.Now || s.Better) {
		service = s.Words // below the line nothing else is thought of than waiting
	}
	return say.Join(" ", check, w.Why, service)
}

// FoundWorn tells that no probability is to be shown: it was seen.
func (w *WorkRow) FoundWorn() bool { return w.Group == plan.FoundWorn }

// Vehicle names make, model and year as far as they are known.
func (w *WorkRow) Vehicle() string { return vehicleName(w.Make, w.Model, w.ModelYear) }

func vehicleName(mk, model string, year int) string {
	words := strings.Fields(model)
	if first := strings.Fields(mk); len(first) > 0 && !holdsWord(words, first[0]) {
		words = append(first, words...)
	}
	if y := strconv.Itoa(year); year > 0 && !holdsWord(words, y) {
		words = append(words, y)
	}
	return strings.Join(words, " ")
}

// holdsWord tells that a model's name says the make or the year already, as in "2016 Northfold Heron".
func holdsWord(words []string, word string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, word) })
}

// yearOf is the stated model year, else the VIN's.
func yearOf(v *score.Vehicle) int {
	if v.ModelYear != 0 {
		return v.ModelYear
	}
	return v.VINYear
}

// vinOf is the VIN, else what is known of its start.
func vinOf(v *score.Vehicle) string {
	if v.VIN != "" {
		return string(v.VIN)
	}
	return v.VINPrefix
}

package plan

import (
	"cmp"
	"slices"

	"pitlist/score"
)

// Make plans the run: it prices every finding, forces the injury parts over a
// limit, fills each depot's hours with the exact optimum, and orders the list.
// day is the day of the run. The assessments are not changed.
func (o *Options) Make(assessments []score.Assessment, day score.Day) List {
	m := maker{opts: o.forDesk(), day: day}
	for i := range assessments {
		m.take(&assessments[i])
	}
	slices.SortStableFunc(m.vehicles, func(a, b *vehicle) int { return compareVehicles(a.assessment.Vehicle, b.assessment.Vehicle) })
	m.byDepot()
	for _, d := range m.depots {
		d.choose()
	}
	m.stays()
	if o.Drawn != nil {
		o.Drawn()
	}
	l := m.list()
	l.Kits = o.kits(&l)
	if l.Buying = o.Buying; o.Desk.Buys() {
		m.offer(&l, assessments)
	} else {
		l.Load = m.load(l.Rows)
	}
	return l
}

// forDesk leaves out what the desk has not: an auction has no workshop.
func (o *Options) forDesk() *Options {
	if o.Desk != Auction || o.BayHours == nil {
		return o
	}
	own := *o
	own.BayHours = nil
	return &own
}

// vehicle is one vehicle on its way into the list.
type vehicle struct {
	assessment *score.Assessment
	worn       []Choice // parts found worn
	awaiting   []*score.Finding
	work       work
	rest       []Choice // scored parts beyond what work can hold
	injury     uint64   // the forced parts and those that join them; 0: none
	chosen     uint64
	above      int // parameter draws in which it stands above the line
}

type maker struct {
	opts     *Options
	day      score.Day
	vehicles []*vehicle
	told     []*score.Assessment // only awaiting repair
	depots   []*depot
	draws    int // parameter draws that the findings carry
}

// depot is the hours of one depot and who competes for them.
type depot struct {
	Depot
	vehicles []*vehicle
	price    float64 // cost of waiting that the last quarter of an hour takes away, were it not for the injury parts where these take all; 0: hours enough
}

func (m *maker) take(a *score.Assessment) {
	v, at := &vehicle{assessment: a}, m.opts.occasionOf(a.Vehicle, m.day)
	parts := make([]Choice, 0, len(a.Findings))
	for i := range a.Findings {
		f := &a.Findings[i]
		switch f.Standing {
		case score.Scored:
			parts = append(parts, m.opts.price(f, at))
		case score.WornFound:
			v.worn = append(v.worn, m.opts.price(f, at))
		case score.AwaitingRepair:
			v.awaiting = append(v.awaiting, f)
		}
	}
	if len(parts)+len(v.worn) == 0 {
		if len(v.awaiting) > 0 {
			m.told = append(m.told, a)
		}
		return
	}
	v.work, v.rest = m.opts.newWork(parts, at)
	if v.work.forced != 0 {
		v.injury = v.work.force()
	}
	m.vehicles = append(m.vehicles, v)
}

// compareVehicles is the total order that ties end in: VIN, then unit.
func compareVehicles(a, b *score.Vehicle) int {
	return cmp.Or(cmp.Compare(a.VIN, b.VIN), cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.Registration, b.Registration), cmp.Compare(a.VINPrefix, b.VINPrefix))
}

// byDepot groups the vehicles by the depot whose hours they compete for. The
// depots that the job does not name share the hours of "*".
func (m *maker) byDepot() {
	index := map[string]*depot{}
	for _, v := range m.vehicles {
		name := m.opts.Pool(v.assessment.Vehicle.Depot)
		d := index[name]
		if d == nil {
			d = &depot{Depot: Depot{Name: name}}
			d.Hours, d.Limited = m.opts.BayHours[name]
			index[name] = d
			m.depots = append(m.depots, d)
		}
		d.vehicles = append(d.vehicles, v)
	}
	for name, hours := range m.opts.BayHours {
		if index[name] == nil {
			m.depots = append(m.depots, &depot{Depot: Depot{Name: name, Limited: true, Hours: hours}})
		}
	}
	slices.SortFunc(m.depots, func(a, b *depot) int { return cmp.Compare(a.Name, b.Name) })
}

// Pool names the hours that a depot draws on: its own, or "*".
func (o *Options) Pool(depot string) string {
	if _, ok := o.BayHours[depot]; ok || o.BayHours == nil {
		return depot
	}
	return "*"
}

// choose fills the depot's hours: injury parts first, then the best packing.
func (d *depot) choose() {
	left := capacity(d.Hours)
	for _, v := range d.vehicles {
		switch {
		case v.injury != 0:
			v.chosen = v.injury
			left -= quarters(v.work.hours(v.injury))
		case !d.Limited:
			v.chosen = v.work.best()
		}
	}
	if d.Limited {
		d.pack(max(0, left))
		d.MoreHour = d.moreHour(left)
	}
}

// pack spends what the injury parts leave of the depot's hours.
func (d *depot) pack(left int) {
	if left == 0 { // nobody competes here, but somebody may in a parameter draw
		d.price = d.priceOf(capacity(d.Hours))
		return
	}
	options := make([][]option, len(d.vehicles))
	for i, v := range d.vehicles {
		if v.injury == 0 {
			options[i] = v.work.options(left, nil)
		}
	}
	var picks []int
	picks, d.price = knapsack(options, left)
	for i, j := range picks {
		if j >= 0 {
			d.vehicles[i].chosen = options[i][j].set
		}
	}
}

// priceOf is the price of a quarter of an hour where there are so many for the
// vehicles that no injury part has brought in.
func (d *depot) priceOf(left int) float64 {
	_, price := knapsack(d.competing(left), left)
	return price
}

// moreHour is what one more bay-hour would be worth: the exact difference of
// two best packings, not the price of the last quarter. left is what the
// injury parts leave of the hours; below 0 they take more than there are.
func (d *depot) moreHour(left int) float64 {
	with, without := max(0, left+quartersAnHour), max(0, left)
	if with == without {
		return 0
	}
	return d.best(with) - d.best(without)
}

const quartersAnHour = 4

// competing are the options of the vehicles that no injury part has brought in.
func (d *depot) competing(left int) [][]option {
	options := make([][]option, 0, len(d.vehicles))
	for _, v := range d.vehicles {
		if v.injury == 0 {
			options = append(options, v.work.options(left, nil))
		}
	}
	return options
}

// best is the value of the best packing of the vehicles that no injury part
// has brought in.
func (d *depot) best(left int) float64 {
	options := d.competing(left)
	picks, _ := knapsack(options, left)
	sum := 0.0
	for i, j := range picks {
		if j >= 0 {
			sum += options[i][j].value
		}
	}
	return sum
}

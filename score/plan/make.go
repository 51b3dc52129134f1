package plan

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score"
)

// Make plans the run: it prices every finding, forces the injury parts over a
// limit, fills each depot's hours with the exact optimum, and orders the list.
// day is the day of the run. The assessments are not changed.
func (o *Options) Make(assessments []score.Assessment, day score.Day) List {
	m := maker{opts: o, day: day}
	for i := range assessments {
		m.take(&assessments[i])
	}
	slices.SortStableFunc(m.vehicles, func(a, b *vehicle) int { return compareVehicles(a.assessment.Vehicle, b.assessment.Vehicle) })
	m.byDepot()
	for _, d := range m.depots {
		d.choose()
	}
	m.stays()
	return m.list()
}

// vehicle is one vehicle on its way into the list.
type vehicle struct {
	assessment *score.Assessment
	worn       []Choice // parts found worn
	awaiting   []*score.Finding
	work       work
	injury     uint64 // the forced parts and those that join them; 0: none
	options    []option
	chosen     uint64
	above      int // parameter draws in which it stands above the line
}

type maker struct {
	opts     *Options
	day      score.Day
	vehicles []*vehicle
	told     []*score.Assessment // only awaiting repair
	depots   []*depot
}

// depot is the hours of one depot and who competes for them.
type depot struct {
	Depot
	opts     *Options
	vehicles []*vehicle
	quarters int // capacity left for the knapsack
}

func (m *maker) take(a *score.Assessment) {
	v := &vehicle{assessment: a}
	var parts []Choice
	for i := range a.Findings {
		f := &a.Findings[i]
		switch f.Standing {
		case score.Scored:
			parts = append(parts, m.opts.price(f))
		case score.WornFound:
			v.worn = append(v.worn, m.opts.price(f))
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
	v.work = m.opts.newWork(parts)
	if v.work.forced != 0 {
		v.injury = v.work.join()
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
		name := m.pool(v.assessment.Vehicle.Depot)
		d := index[name]
		if d == nil {
			d = &depot{Depot: Depot{Name: name}, opts: m.opts}
			d.Hours, d.Limited = m.opts.BayHours[name]
			index[name] = d
			m.depots = append(m.depots, d)
		}
		d.vehicles = append(d.vehicles, v)
	}
	for name, hours := range m.opts.BayHours {
		if index[name] == nil {
			m.depots = append(m.depots, &depot{Depot: Depot{Name: name, Limited: true, Hours: hours}, opts: m.opts})
		}
	}
	slices.SortFunc(m.depots, func(a, b *depot) int { return cmp.Compare(a.Name, b.Name) })
}

// pool names the hours that a depot draws on.
func (m *maker) pool(name string) string {
	if _, ok := m.opts.BayHours[name]; ok || m.opts.BayHours == nil {
		return name
	}
	return "*"
}

// choose fills the depot's hours: injury parts first, then the best packing.
func (d *depot) choose() {
	d.quarters = int(math.Floor(d.Hours*4 + 1e-6))
	for _, v := range d.vehicles {
		if v.injury != 0 {
			v.chosen = v.injury
			d.quarters -= quarters(v.work.hours(v.injury))
		}
	}
	d.quarters = max(0, d.quarters)
	if !d.Limited {
		for _, v := range d.vehicles {
			if v.injury == 0 {
				v.chosen = v.work.best()
			}
		}
		return
	}
	options := make([][]option, len(d.vehicles))
	for i, v := range d.vehicles {
		if v.injury == 0 {
			options[i] = v.work.options(d.quarters)
		}
	}
	for i, j := range knapsack(options, d.quarters) {
		if j >= 0 {
			d.vehicles[i].chosen = options[i][j].set
		}
	}
}

// list makes the rows and puts them in order.
func (m *maker) list() List {
	l := List{Awaiting: m.told}
	for _, v := range m.vehicles {
		l.Rows = append(l.Rows, m.row(v))
	}
	slices.SortStableFunc(l.Rows, compareRows)
	used := map[string]float64{}
	for i := range l.Rows {
		r := &l.Rows[i]
		r.Rank = i + 1
		pool := m.pool(r.Assessment.Vehicle.Depot)
		used[pool] += r.Hours
		r.Cumulative = used[pool]
	}
	for _, d := range m.depots {
		l.Depots = append(l.Depots, d.account(l.Rows, m))
	}
	slices.SortFunc(l.Awaiting, func(a, b *score.Assessment) int { return compareVehicles(a.Vehicle, b.Vehicle) })
	l.Totals = m.totals(l.Rows)
	return l
}

func (d *depot) account(rows []Row, m *maker) Depot {
	for i := range rows {
		r := &rows[i]
		if m.pool(r.Assessment.Vehicle.Depot) != d.Name {
			continue
		}
		if r.Above {
			d.Above++
			d.Used += r.Hours
			continue
		}
		if r.Worth > 0 {
			d.Below++
			d.NextWaiting = math.Max(d.NextWaiting, r.Waiting)
		}
	}
	return d.Depot
}

// row speaks of what was chosen, else of the best that could be, else of the
// part of greatest worth.
func (m *maker) row(v *vehicle) Row {
	r := Row{Assessment: v.assessment, Awaiting: v.awaiting, Stays: -1, Group: Rest}
	set := v.chosen
	switch {
	case len(v.worn) > 0:
		r.Group = FoundWorn
	case v.injury != 0:
		r.Group = Injury
	case set != 0:
		r.Group = Chosen
	default:
		if set = v.work.best(); set == 0 {
			set = v.work.worthiest()
		}
	}
	r.Above = r.Group != Rest
	r.Parts = append(r.Parts, v.worn...)
	for i, c := range v.work.parts {
		if set&(1<<i) != 0 {
			r.Parts = append(r.Parts, c)
		} else {
			r.Others = append(r.Others, c)
		}
	}
	m.sums(&r, v, set)
	if len(m.vehicles) > 0 && v.above >= 0 {
		r.Stays = float64(v.above) / float64(max(1, draws(m.vehicles)))
	}
	return r
}

// worthiest is the single part of greatest worth by itself.
func (w *work) worthiest() uint64 {
	best := -1
	for i := range w.parts {
		if best < 0 || w.parts[i].Worth > w.parts[best].Worth {
			best = i
		}
	}
	if best < 0 {
		return 0
	}
	return 1 << best
}

// sums fills in the row's money, hours and chances.
func (m *maker) sums(r *Row, v *vehicle, set uint64) {
	stay, hold := 1.0, 1.0
	for i := range r.Parts {
		c := &r.Parts[i]
		stay *= 1 - c.Finding.NextFail.All
		hold *= 1 - c.Finding.HoldFail.All
		r.Waiting += c.Waiting
		if i == 0 || c.Waiting > r.Lead.Waiting {
			r.Lead = *c
		}
	}
	r.FailNext, r.FailHold = 1-stay, 1-hold
	for _, c := range v.worn {
		r.Worth += c.Worth
	}
	if set != 0 {
		r.Worth += v.work.worth(set)
		r.Hours = float64(quarters(v.work.hours(set))) / 4
		// A row below the line that is not worth its hours still shows them.
	}
	if len(v.worn) > 0 && v.chosen == 0 {
		r.Worth, r.Hours = 0, 0
		for _, c := range v.worn {
			r.Worth += c.Worth
		}
	}
	if r.Lead.Finding != nil && r.Lead.Finding.Standing == score.Scored {
		r.Before = m.opts.before(&r.Lead, m.day)
	}
}

// rate is what orders a group: cost of waiting per hour, or by itself where
// nothing is to be opened.
func (r *Row) rate() float64 {
	if r.Hours > 0 {
		return r.Waiting / r.Hours
	}
	return r.Waiting
}

var place = map[Group]int{FoundWorn: 0, Injury: 1, Chosen: 2, Rest: 3}

func compareRows(a, b Row) int {
	return cmp.Or(
		cmp.Compare(place[a.Group], place[b.Group]),
		compareInjured(&a, &b),
		cmp.Compare(b.rate(), a.rate()),
		compareVehicles(a.Assessment.Vehicle, b.Assessment.Vehicle),
	)
}

// compareInjured puts, among the parts found worn, those first whose failure
// can injure.
func compareInjured(a, b *Row) int {
	if a.Group != FoundWorn {
		return 0
	}
	return cmp.Compare(b.injures(), a.injures())
}

func (r *Row) injures() int {
	for _, c := range r.Parts {
		if c.Finding.Standing == score.WornFound && c.Finding.Part.Consequence == score.CanInjure {
			return 1
		}
	}
	return 0
}

// Injures tells whether the row stands where it stands because a failure of
// one of its parts can injure.
func (r *Row) Injures() bool { return r.Group == Injury || r.injures() == 1 }

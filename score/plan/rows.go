package plan

import (
	"cmp"
	"math/bits"
	"slices"

	"pitlist/score"
)

// list makes the rows and puts them in order. The vehicles are let go on the
// way: a long list would lie in memory three times else.
func (m *maker) list() List {
	rows := make([]Row, len(m.vehicles))
	order := make([]key, len(rows))
	for _, d := range m.depots {
		d.vehicles = nil
	}
	for i, v := range m.vehicles {
		rows[i] = m.row(v)
		order[i] = rows[i].key(i, m.opts.Desk)
		m.vehicles[i] = nil
	}
	slices.SortFunc(order, compareKeys)
	l := List{Awaiting: m.told, Rows: make([]Row, len(rows))}
	used := map[string]float64{}
	for i, k := range order {
		r := &l.Rows[i]
		*r = rows[k.vehicle]
		r.Rank = i + 1
		pool := m.opts.Pool(r.Assessment.Vehicle.Depot)
		used[pool] += r.Hours
		r.Cumulative = used[pool]
	}
	l.Depots = m.accounts(l.Rows)
	slices.SortFunc(l.Awaiting, func(a, b *score.Assessment) int { return compareVehicles(a.Vehicle, b.Vehicle) })
	l.Totals = totals(l.Rows)
	return l
}

// accounts sums up the rows by the hours that they draw on.
func (m *maker) accounts(rows []Row) []Depot {
	out := make([]Depot, len(m.depots))
	at := map[string]*Depot{}
	for i, d := range m.depots {
		out[i] = d.Depot
		at[d.Name] = &out[i]
	}
	for i := range rows {
		r := &rows[i]
		d := at[m.opts.Pool(r.Assessment.Vehicle.Depot)]
		switch {
		case r.Above:
			d.Above++
			d.Used += r.Hours
		case r.Worth > 0 && !r.Parts[0].Closed:
			d.Below++
			d.NextWaiting = max(d.NextWaiting, r.Waiting)
		}
	}
	return out
}

// row speaks of what was chosen, else of the best that could be, else of the
// part of greatest worth. Where a part was found worn, it speaks of that and of
// what was chosen beside it.
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
	r.Parts, r.Others = v.split(set)
	m.sums(&r, v, set)
	if m.draws > 0 {
		r.Stays = float64(v.above) / float64(m.draws)
	}
	return r
}

// split parts the vehicle's choices into those that its row speaks of and the
// others.
func (v *vehicle) split(set uint64) (told, others []Choice) {
	n := len(v.worn) + bits.OnesCount64(set)
	all := make([]Choice, 0, len(v.worn)+len(v.work.parts)+len(v.rest))
	all = append(all, v.worn...)
	for i, c := range v.work.parts {
		if set&(1<<i) != 0 {
			all = append(all, c)
		}
	}
	for i, c := range v.work.parts {
		if set&(1<<i) == 0 {
			all = append(all, c)
		}
	}
	all = append(all, v.rest...)
	return all[:n:n], all[n:]
}

// sums fills in the row's money, hours and chances.
func (m *maker) sums(r *Row, v *vehicle, set uint64) {
	next, hold := 1.0, 1.0
	for i := range r.Parts {
		c := &r.Parts[i]
		next *= 1 - c.Finding.NextFail.All
		hold *= 1 - c.Finding.HoldFail.All
		r.Waiting += c.Waiting
		if i == 0 || m.leads(c, &r.Lead) {
			r.Lead = *c
		}
	}
	r.FailNext, r.FailHold = 1-next, 1-hold
	for i := range v.worn {
		r.Worth += v.worn[i].Worth
	}
	if set != 0 {
		r.Worth += v.work.worth(set)
		r.Hours = float64(quarters(v.work.hours(set))) / 4
	}
	if r.Lead.Finding.Standing == score.Scored {
		r.Before = m.opts.before(&r.Lead, m.day)
	}
	if !m.opts.Desk.Buys() {
		r.Check = v.checkFirst()
		r.Service = m.service(r, v, set)
	}
}

// leads tells whether a part leads its row rather than another: by its cost
// of waiting, where prices are made by what it takes off the price.
func (m *maker) leads(c, than *Choice) bool {
	if m.opts.Desk.Buys() {
		return c.Deduction() > than.Deduction()
	}
	return c.Waiting > than.Waiting
}

// rate is what orders a group: cost of waiting per hour, or worth per hour
// where vehicles are to be sold on. What was found worn takes no hours of the
// list, so there the amount itself decides.
func (r *Row) rate(desk Desk) float64 {
	amount := r.Waiting
	if desk.Buys() {
		amount = r.Worth
	}
	if r.Group == FoundWorn || r.Hours == 0 {
		return amount
	}
	return amount / r.Hours
}

// place is a group's place from the head of the list.
func (g Group) place() int { return slices.Index([]Group{FoundWorn, Injury, Chosen, Rest}, g) }

// key is what orders the rows; vehicle is the place among the vehicles, which
// are in the order that ties end in.
type key struct {
	place, injures int
	rate           float64
	vehicle        int
}

func (r *Row) key(vehicle int, desk Desk) key {
	return key{r.Group.place(), r.injures(), r.rate(desk), vehicle}
}

func compareKeys(a, b key) int {
	return cmp.Or(
		cmp.Compare(a.place, b.place),
		cmp.Compare(b.injures, a.injures),
		cmp.Compare(b.rate, a.rate),
		cmp.Compare(a.vehicle, b.vehicle),
	)
}

// injures is 1 for a row with a part found worn whose failure can injure:
// among the found worn, those come first.
func (r *Row) injures() int {
	for i := range r.Parts {
		f := r.Parts[i].Finding
		if f.Standing == score.WornFound && f.Part.Consequence == score.CanInjure {
			return 1
		}
	}
	return 0
}

package plan

import (
	"cmp"
	"slices"

	"pitlist/score"
)

// WeeksAhead is how far the load of the bay is looked at, and up to when a
// service that is due anyway is worth waiting for.
const WeeksAhead = 12

const daysAWeek = 7

// Service is a vehicle's service that is due within the weeks ahead: its parts
// are then opened with the set-up for nothing, since the vehicle stands in the
// workshop anyway.
type Service struct {
	Day     score.Day
	Now     bool    // before the next run: the plan reckons without set-up already
	Hours   float64 // bay-hours on that day, rounded up to quarters
	Saves   float64 // what the set-up costs
	Waiting float64 // cost of waiting until that day
	Better  bool    // Saves exceeds Waiting: have it opened on that day
}

// service holds the row's parts against the next service. An injury part over
// a limit does not wait for it.
func (m *maker) service(r *Row, v *vehicle, set uint64) *Service {
	due := v.assessment.Vehicle.NextService
	if set == 0 || due == 0 || due < m.day || due >= m.day+WeeksAhead*daysAWeek {
		return nil
	}
	with, without := v.work, v.work
	with.at.serviced, without.at.serviced = false, true
	s := &Service{Day: due, Now: v.work.at.serviced, Hours: float64(quarters(without.hours(set))) / 4}
	s.Saves = m.opts.Cost(with.hours(set) - without.hours(set))
	for i := range r.Parts {
		c := &r.Parts[i]
		if f := c.Finding; f.Standing == score.Scored {
			d := float64(due-m.day) * f.UseADay()
			s.Waiting += f.State.Worn * f.Part.Inspection.Detects * f.State.FailWorn(d) * (c.Failure - c.Repair)
		}
	}
	s.Better = !s.Now && v.injury == 0 && s.Saves > s.Waiting
	return s
}

// Week is the load of one week from the day of the run on.
type Week struct {
	From     score.Day
	Hours    float64 // bay-hours of the vehicles to be looked at by its end
	Vehicles int
}

// DepotLoad is what the inspections of one depot's hours take by week: those
// above the line in the first, the others in the week by which a look pays, or
// in that of a service for which waiting costs less than the set-up.
type DepotLoad struct {
	Name    string
	Limited bool
	Weekly  float64 // bay-hours a week, where Limited
	Weeks   [WeeksAhead]Week
	Later   int // vehicles whose day lies beyond, or that no day is known for
}

// load sums up the rows by the hours that they draw on.
func (m *maker) load(rows []Row) []DepotLoad {
	out := make([]DepotLoad, len(m.depots))
	for i, d := range m.depots {
		out[i] = DepotLoad{Name: d.Name, Limited: d.Limited}
		if d.Limited && m.opts.NextRunDays > 0 {
			out[i].Weekly = d.Hours * daysAWeek / m.opts.NextRunDays
		}
		for w := range out[i].Weeks {
			out[i].Weeks[w].From = m.day + score.Day(w*daysAWeek)
		}
	}
	for i := range rows {
		r := &rows[i]
		pool := m.opts.Pool(r.Assessment.Vehicle.Depot)
		at, ok := slices.BinarySearchFunc(out, pool, func(d DepotLoad, name string) int { return cmp.Compare(d.Name, name) })
		if !ok || r.Hours == 0 {
			continue // found worn: a repair, not a look
		}
		week, hours := m.weekOf(r)
		if week < 0 || week >= WeeksAhead {
			out[at].Later++
			continue
		}
		out[at].Weeks[week].Hours += hours
		out[at].Weeks[week].Vehicles++
	}
	return out
}

// weekOf is the week in which a row's look falls, from 0; -1: no day is known.
func (m *maker) weekOf(r *Row) (week int, hours float64) {
	switch {
	case r.Service != nil && r.Service.Better:
		return int(r.Service.Day-m.day) / daysAWeek, r.Service.Hours
	case r.Above:
		return 0, r.Hours
	case r.Before.Known && r.Before.Day != 0:
		return int(r.Before.Day-m.day) / daysAWeek, r.Hours
	}
	return -1, r.Hours
}

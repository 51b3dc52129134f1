package score

import (
	"math"
	"slices"
)

// placeUndated gives rows that state no day, but an odometer well below that of the day
// that they were given (their sheet's latest), the day on which the readings reach it:
// work of 100,000 km ago was not done today. The vehicle itself stays as it is; where a
// row moves a copy comes back, and the rows that did, of which no day is to be told.
// Rows that state neither day nor distance keep their sheet's day.
func (v *Vehicle) placeUndated(t *track) (*Vehicle, []Ref) {
	if !t.odometer.Known {
		return v, nil
	}
	scans, moved := placed(v.Scans, t, nil, func(s *Scan) (*Day, bool, Stated, Ref) { return &s.Day, s.Undated, s.KM, s.Ref })
	repairs, moved := placed(v.Repairs, t, moved, func(r *Repair) (*Day, bool, Stated, Ref) { return &r.Day, r.Undated, r.KM, r.Ref })
	looks, moved := placed(v.Inspections, t, moved, func(n *Inspection) (*Day, bool, Stated, Ref) { return &n.Day, n.Undated, n.KM, n.Ref })
	if len(moved) == 0 {
		return v, nil
	}
	out := *v
	out.Scans, out.Repairs, out.Inspections = scans, repairs, looks
	return &out, moved
}

// placed moves the items without a day of their own, in a copy where one moves, and adds them to moved.
func placed[T any](items []T, t *track, moved []Ref, when func(*T) (day *Day, undated bool, km Stated, ref Ref)) ([]T, []Ref) {
	own := false
	for i := range items {
		day, undated, km, ref := when(&items[i])
		if !undated || !km.Known || !t.wellBelow(km.Value, *day) {
			continue
		}
		if !own {
			items, own = slices.Clone(items), true
			day, _, _, _ = when(&items[i])
		}
		*day = max(t.odometer.DayAt(km.Value), t.born, 1)
		moved = append(moved, ref)
	}
	return items, moved
}

// wellBelow tells that a distance is not that of the day, nor of the fortnight before it.
func (t *track) wellBelow(km float64, day Day) bool {
	return km < t.odometer.KMAt(day)-math.Max(nearKM, 2*t.odometer.PerWeek)
}

// undatedLast is the highest odometer of the rows that state no day where it is above every
// dated reading: such a row is newer than they are. One at or below them was written at some
// earlier day, and says nothing of how far the vehicle went by its sheet's.
func undatedLast(v *Vehicle) float64 {
	dated, undated := 0.0, 0.0
	see := func(without bool, km Stated) {
		switch {
		case !km.Known:
		case without:
			undated = max(undated, km.Value)
		default:
			dated = max(dated, km.Value)
		}
	}
	for i := range v.Readings {
		see(false, Stated{v.Readings[i].KM, true})
	}
	for i := range v.Scans {
		see(v.Scans[i].Undated, v.Scans[i].KM)
	}
	for i := range v.Repairs {
		see(v.Repairs[i].Undated, v.Repairs[i].KM)
	}
	for i := range v.Inspections {
		see(v.Inspections[i].Undated, v.Inspections[i].KM)
	}
	if undated <= dated {
		return -1
	}
	return undated
}

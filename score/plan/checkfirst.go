package plan

import "math"

// CheckFirst is a cheap check that pays before the bay: its results decide
// whether the vehicle is opened.
type CheckFirst struct {
	Look
	Worth    float64 // of checking first and then deciding, the check's own cost taken off
	Gain     float64 // Worth less the better of opening at once and leaving it
	Opened   float64 // chance that the vehicle is then opened
	Hours    float64 // bay-hours that it is then expected to take, rounded for nobody
	AtOnce   float64 // worth of opening at once: the best admissible subset; 0: none
	HoursNow float64 // bay-hours of that
}

// checkFirst finds the look that gains most over deciding at once, by
// enumeration: for each joint result the best subset of parts is opened, or
// none. nil where no look pays for its minutes, and where the vehicle comes in
// whatever its money, for a part that can injure: a cheap check does not stand
// in for that.
//
// A minute costs what a minute in the bay does, wherever the check is made:
// somebody's time and the vehicle's.
func (v *vehicle) checkFirst() *CheckFirst {
	if v.injury != 0 || len(v.work.parts) == 0 {
		return nil
	}
	n := newInspected(v.work.parts, Fleet.places()...)
	if len(n.looks) == 0 {
		return nil
	}
	atOnce, hoursNow := v.work.bestWorth()
	var best *CheckFirst
	for i := range n.looks {
		c := v.sequence(n, i)
		c.AtOnce, c.HoursNow = atOnce, hoursNow
		c.Gain = c.Worth - atOnce
		if c.Gain >= rounds && (best == nil || c.Gain > best.Gain) {
			best = &c
		}
	}
	return best
}

// bestWorth is the worth of the best admissible subset, with its hours; 0
// where there is none: the vehicle is left alone.
func (w *work) bestWorth() (worth, hours float64) {
	if set := w.best(); set != 0 {
		return w.worth(set), w.hours(set)
	}
	return 0, 0
}

// sequence reckons one look and what is opened after each of its joint
// results.
func (v *vehicle) sequence(n *inspected, look int) CheckFirst {
	l := n.looks[look]
	c := CheckFirst{Look: l, Worth: -v.work.opts.Cost(l.Minutes / minutesAnHour)}
	for result := range 1 << len(l.Parts) {
		chance := 1.0
		w := v.work
		w.gain, w.useful = append([]float64(nil), w.gain...), 0
		for j, at := range l.Parts {
			p, after := beliefsOf(at.Finding).seen(rates(at, result&(1<<j) != 0))
			chance *= p
			without, looked := w.parts[at.part].over(after)
			w.gain[at.part] = without - looked
		}
		if chance == 0 {
			continue
		}
		for i := range w.parts {
			if w.net(i) > 0 {
				w.useful |= 1 << i
			}
		}
		w.trim()
		worth, hours := w.bestWorth()
		c.Worth += chance * worth
		c.Hours += chance * hours
		if hours > 0 {
			c.Opened += chance
		}
	}
	c.Opened = math.Min(1, c.Opened)
	return c
}

const minutesAnHour = 60

// rates are the chances of a check's result, if worn and if not.
func rates(at LookAt, spoke bool) (ifWorn, ifNot float64) {
	if spoke {
		return at.Check.Detects, at.Check.FalseAlarm
	}
	return 1 - at.Check.Detects, 1 - at.Check.FalseAlarm
}

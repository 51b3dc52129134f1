package plan

import (
	"pitlist/score"
	"pitlist/score/wear"
)

// Sifts tells whether the plan can do without most draws: where every depot's
// hours are limited, a vehicle whose waiting costs little in any draw never
// comes near the line. Without a limit each vehicle is weighed by itself, in
// every draw.
func (o *Options) Sifts() bool {
	_, all := o.BayHours["*"]
	return all && !o.Desk.Buys()
}

// Sift notes what the plan must know of draws that are let go: the greatest cost
// of waiting in any of them, reckoned as a race reckons it.
func (o *Options) Sift(f *score.Finding, draws []wear.DrawState) {
	c := Choice{Finding: f, Repair: f.Part.Costs.PlannedRepair, Failure: o.Failure(f.Part)}
	f.MostWaiting = 0
	for k := range draws {
		// Kept draws are float32: the bound must hold for what would come back.
		b := beliefs{worn: float64(float32(draws[k].Worn)), wornNext: float64(float32(draws[k].FailWornNext))}
		f.MostWaiting = max(f.MostWaiting, c.wait(b))
	}
}

// lacks tells that draws of the vehicle were let go.
func (v *vehicle) lacks() bool {
	for i := range v.work.parts {
		if v.work.parts[i].Finding.LetGo > 0 {
			return true
		}
	}
	return false
}

// mayBeForced tells whether a part of the vehicle is over a limit in any draw.
func (v *vehicle) mayBeForced() bool {
	for i := range v.work.parts {
		if c := &v.work.parts[i]; c.Forced || c.Finding.Draws != nil || !c.Finding.Over.Empty() {
			return true
		}
	}
	return false
}

// forcedAmong tells whether a part of the vehicle is over a limit in any of the draws.
func (v *vehicle) forcedAmong(draws score.DrawSet, n int) bool {
	if draws.Empty() || !v.mayBeForced() {
		return false
	}
	for k := range n {
		if draws.Has(k) && v.forcedIn(k) {
			return true
		}
	}
	return false
}

// reaches tells whether the vehicle could matter by its bound in any draw where
// rates below floor do not.
func (r *racer) reaches(floor float64) bool {
	sum := 0.0
	for i := range r.work.parts {
		c := &r.work.parts[i]
		w, f := c.Waiting, c.Finding
		if f.LetGo > 0 {
			w = f.MostWaiting
		}
		sum += max(0, w)
	}
	return sum/float64(r.least) >= floor
}

// recall brings back the draws of the depot's vehicles that reach the floor, which
// none does where it is no number, and of those that are forced in an open one of n draws.
func (d *depot) recall(floor float64, open score.DrawSet, n int, redraw func([]*score.Assessment)) {
	var list []*score.Assessment
	for _, v := range d.vehicles {
		if v.lacks() {
			if r := newRacer(v); r.reaches(floor) || v.forcedAmong(open, n) {
				list = append(list, v.assessment)
			}
		}
	}
	if len(list) > 0 {
		redraw(list)
	}
}

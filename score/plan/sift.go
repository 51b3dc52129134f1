package plan

import (
	"math"
	"slices"

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

// Sift notes what the plan must know of draws that are let go: in each of them
// how likely the part is worn and fails before the next run, as a race reckons
// it; 0 where no look could pay, so that it does not compete.
func (o *Options) Sift(f *score.Finding, draws []wear.DrawState) {
	c := o.choice(f)
	own := o.Cost(f.Part.Inspection.Hours)
	f.FailsNext = make(score.DrawChances, len(draws))
	for k := range draws {
		// Kept draws are float32: the bound must hold for what would come back.
		if b := kept(&draws[k]); c.gain(b) > own {
			f.FailsNext.Set(k, b.worn*b.wornNext)
		}
	}
}

func kept(d *wear.DrawState) beliefs {
	as := func(v float64) float64 { return float64(float32(v)) }
	return beliefs{as(d.Worn), as(d.Sound), as(d.FailWornNext), as(d.FailWornHold), as(d.FailSoundHold)}
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
func (v *vehicle) forcedAmong(draws []int) bool {
	return v.mayBeForced() && slices.ContainsFunc(draws, v.forcedIn)
}

// waitingAtMost bounds from above what waiting with the part costs in draw k, to
// within a sixteenth where the draw was let go.
func (c *Choice) waitingAtMost(k int) float64 {
	f := c.Finding
	switch d := f.Draws; {
	case d != nil:
		return c.wait(beliefs{worn: float64(d.Worn[k]), wornNext: float64(d.WornNext[k])})
	case f.LetGo > 0:
		return c.wait(beliefs{worn: f.FailsNext.At(k), wornNext: 1})
	}
	return c.Waiting
}

// pricesIn guesses for each of n draws what the last quarter of an hour takes
// away: the rate down to which the parts, each by itself and by its bound, fill
// the depot's hours. A guess is good enough to say where a race begins to look;
// what is left out is proven not to matter (see enough).
func (d *depot) pricesIn(n int) []float64 {
	const shift, rates = 18, 1 << 13 // the sign, exponent and upper digits of a float32
	taken := make([][rates]int32, n) // quarters, by rate
	for _, v := range d.vehicles {
		for i := range v.work.parts {
			whole := quarters(v.work.hours(1 << i))
			for k := range n {
				if w := v.work.parts[i].waitingAtMost(k); w > 0 {
					taken[k][math.Float32bits(float32(w)/float32(whole))>>shift] += int32(whole)
				}
			}
		}
	}
	prices := make([]float64, n)
	for k := range prices {
		left := capacity(d.Hours)
		for r := rates - 1; r >= 0 && left > 0; r-- {
			if left -= int(taken[k][r]); left <= 0 {
				prices[k] = float64(math.Float32frombits(uint32(r) << shift))
			}
		}
	}
	return prices
}

// reaches tells whether the vehicle could matter in one of the open draws, where
// rates below its floor do not.
func (r *racer) reaches(floors []float64, open []int) bool {
	return slices.ContainsFunc(open, func(k int) bool {
		rate := r.rateIn(k)
		return rate > 0 && rate >= floors[k]
	})
}

// recall brings back the draws of the depot's vehicles that reach the floor of an
// open one, or are forced in it; all of them where hours have no limit.
func (d *depot) recall(floors []float64, open []int, redraw func([]*score.Assessment)) {
	var list []*score.Assessment
	for _, v := range d.vehicles {
		if v.lacks() {
			if r := newRacer(v); !d.Limited || r.reaches(floors, open) || v.forcedAmong(open) {
				list = append(list, v.assessment)
			}
		}
	}
	if len(list) > 0 {
		redraw(list)
	}
}

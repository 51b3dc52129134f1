package plan

import (
	"math"

	"pitlist/score"
)

// hoursADay turns bay-hours into days off the road.
const hoursADay = 8

// cost of hours in the bay: the bay's rate and the vehicle's time off the road.
func (o *Options) cost(hours float64) float64 {
	return hours*o.BayHour + hours/hoursADay*o.OffRoadDay
}

// failure is C: the failure itself and the vehicle's days off the road.
func (o *Options) failure(p *score.WeakPart) float64 {
	return p.Costs.Failure + p.Costs.OffRoadDays*o.OffRoadDay
}

// beliefs are the probabilities that a price rests on.
type beliefs struct {
	worn, sound         float64 // posterior
	wornNext            float64 // failure before the next run, if worn
	wornHold, soundHold float64 // failure over the holding distance
}

func beliefsOf(f *score.Finding) beliefs {
	return beliefs{f.State.Worn, f.State.Sound, f.NextFail.IfWorn, f.HoldFail.IfWorn, f.HoldFail.IfSound}
}

// price reckons one part by itself. A part found worn needs no look: the
// choice is between repairing it now and running it.
func (o *Options) price(f *score.Finding) Choice {
	c := o.priced(f, beliefsOf(f))
	c.Forced = f.Standing == score.Scored && f.Part.Consequence == score.CanInjure && (f.NoticeFail || f.NoticeWorn)
	return c
}

func (o *Options) priced(f *score.Finding, b beliefs) Choice {
	p := f.Part
	c := Choice{Finding: f, Repair: p.Costs.PlannedRepair, Failure: o.failure(p)}
	if f.Standing == score.WornFound {
		c.Without, c.With = c.Failure*b.wornHold, c.Repair
		c.Gain = c.Without - c.With
		c.Worth, c.Waiting = c.Gain, b.wornNext*(c.Failure-c.Repair)
		return c
	}
	r, a := p.Inspection.Detects, p.Inspection.FalseAlarm
	c.Inspection = o.cost(p.Inspection.SetUpHours + p.Inspection.Hours)
	c.Without = c.Failure * (b.worn*b.wornHold + b.sound*b.soundHold)
	looked := b.worn*r*c.Repair + (1-b.worn)*a*c.Repair + b.worn*(1-r)*b.wornHold*c.Failure + b.sound*(1-a)*b.soundHold*c.Failure
	c.With = c.Inspection + looked
	c.Gain = c.Without - looked
	c.Worth = c.Gain - c.Inspection
	c.Waiting = b.worn * r * b.wornNext * (c.Failure - c.Repair)
	return c
}

// before finds the smallest distance ahead at which the cost of waiting
// reaches the cost of the inspection, by bisection: it grows with distance.
func (o *Options) before(c *Choice, day score.Day) Before {
	f := c.Finding
	r := f.Part.Inspection.Detects
	at := func(d float64) float64 { return f.State.Worn * r * f.State.FailWorn(d) * (c.Failure - c.Repair) }
	lo, hi := 0.0, math.Max(1, f.Next)
	for at(hi) < c.Inspection {
		lo, hi = hi, hi*2
		if hi > 1e7 {
			return Before{}
		}
	}
	for range 50 {
		if mid := (lo + hi) / 2; at(mid) >= c.Inspection {
			hi = mid
		} else {
			lo = mid
		}
	}
	b := Before{Known: true, Ahead: hi}
	if f.Part.Axis == score.ByKM {
		b.KM = f.OdometerNow() + hi
	}
	if use := f.UseADay(); use > 0 && hi/use < 36_500 {
		b.Day = day + score.Day(math.Floor(hi/use))
	}
	return b
}

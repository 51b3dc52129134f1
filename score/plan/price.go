package plan

import (
	"math"

	"pitlist/score"
)

// hoursADay turns bay-hours into days off the road.
const hoursADay = 8

// Cost of hours in the bay: the bay's rate and the vehicle's time off the road.
func (o *Options) Cost(hours float64) float64 {
	return hours*o.BayHour + hours/hoursADay*o.OffRoadDay
}

// Failure is C: the failure itself and the vehicle's days off the road.
func (o *Options) Failure(p *score.WeakPart) float64 {
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

// occasion is what a vehicle's own day and place change in a price.
type occasion struct {
	closed   bool // it cannot be opened
	serviced bool // it is in the workshop for its service anyway: no set-up
}

// occasionOf reads the occasion off the vehicle: can_open counts on the
// buying desks, a service due before the next run on the fleet's.
func (o *Options) occasionOf(v *score.Vehicle, day score.Day) occasion {
	if o.Desk.Buys() {
		return occasion{closed: v.Desk().CannotOpen}
	}
	return occasion{serviced: v.NextService != 0 && v.NextService >= day && float64(v.NextService-day) <= o.NextRunDays}
}

// choice is a part with what it costs, nothing reckoned yet.
func (o *Options) choice(f *score.Finding) Choice {
	return Choice{Finding: f, Repair: f.Part.Costs.PlannedRepair, Failure: o.Failure(f.Part)}
}

// price reckons one part by itself. A part found worn needs no look: the
// choice is between repairing it now and running it.
func (o *Options) price(f *score.Finding, at occasion) Choice {
	c := o.choice(f)
	c.Closed = at.closed
	b := beliefsOf(f)
	if f.Standing == score.WornFound {
		c.Without, c.With = c.Failure*b.wornHold, c.Repair
		c.Gain = c.Without - c.With
		c.Worth, c.Waiting = c.Gain, b.wornNext*(c.Failure-c.Repair)
		return c
	}
	hours := f.Part.Inspection.Hours
	if !at.serviced {
		hours += f.Part.Inspection.SetUpHours
	}
	c.Inspection = o.Cost(hours)
	without, looked := c.over(b)
	c.Without, c.With = without, c.Inspection+looked
	c.Gain = without - looked
	c.Worth = c.Gain - c.Inspection
	c.Waiting = c.wait(b)
	c.Forced = !at.closed && f.Part.Consequence == score.CanInjure && (f.NoticeFail || f.NoticeWorn)
	return c
}

// over is the expected cost over the holding distance without a look, and
// with one now, what the look itself costs aside (MODEL, "What an inspection
// is worth").
func (c *Choice) over(b beliefs) (without, looked float64) {
	p := &c.Finding.Part.Inspection
	r, a := p.Detects, p.FalseAlarm
	without = c.Failure * (b.worn*b.wornHold + b.sound*b.soundHold)
	repaired := b.worn*r + (1-b.worn)*a
	missed := b.worn*(1-r)*b.wornHold + b.sound*(1-a)*b.soundHold
	return without, repaired*c.Repair + missed*c.Failure
}

// gain is what a look saves over the holding distance, its own cost aside.
func (c *Choice) gain(b beliefs) float64 {
	without, looked := c.over(b)
	return without - looked
}

// wait is the cost of waiting: what a look now saves before the next run.
func (c *Choice) wait(b beliefs) float64 {
	return b.worn * c.Finding.Part.Inspection.Detects * b.wornNext * (c.Failure - c.Repair)
}

// How far ahead an inspection's due distance is looked for.
const (
	farAhead  = 1e7    // on the part's axis
	farDays   = 36_500 // days
	nearly    = 1e-9   // relative width at which the search ends
	mostSteps = 64
)

// before finds the smallest distance ahead at which the cost of waiting
// reaches the cost of the inspection: it grows with the distance, so halving
// finds it.
func (o *Options) before(c *Choice, day score.Day) Before {
	f := c.Finding
	most := f.State.Worn * f.Part.Inspection.Detects * (c.Failure - c.Repair)
	if !(most > 0) || most < c.Inspection {
		return Before{} // not even a certain failure makes up for the look
	}
	due := c.Inspection / most // the chance of failure, if worn, at which it pays
	lo, hi := 0.0, math.Max(1, f.Next)
	for f.State.FailWorn(hi) < due {
		if lo, hi = hi, hi*2; hi > farAhead {
			return Before{}
		}
	}
	for range mostSteps {
		if hi-lo <= nearly*hi {
			break
		}
		if mid := (lo + hi) / 2; f.State.FailWorn(mid) >= due {
			hi = mid
		} else {
			lo = mid
		}
	}
	b := Before{Known: true, Ahead: hi}
	if f.Part.Axis == score.ByKM {
		b.KM = f.OdometerNow() + hi
	}
	if use := f.UseADay(); use > 0 && hi/use < farDays {
		b.Day = day + score.Day(math.Floor(hi/use))
	}
	return b
}

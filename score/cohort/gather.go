package cohort

import (
	"context"

	"pitlist/score"
)

// Part is a weak part with all that a fleet's records say of its lives.
type Part struct {
	Weak    *score.WeakPart
	Index   int // in the catalogue
	Pasts   []score.Lives
	Counts  Counts
	byCause map[score.Ending][]unit // units with renewals of unknown cause taken as so
	steps   int                     // see likelihood; 0: unseenSteps
}

// Counts say what became of the fleet's records of a part. Every life is used or
// left out: Lives = Running + Failures + WornFindings + Planned + Unknown.
type Counts struct {
	Vehicles      int // with at least one life of the part, or with none for want of a reading
	Open          int // of these, membership not known
	Lives         int
	Running       int
	Failures      int
	WornFindings  int
	Planned       int     // planned renewals
	Unknown       int     // renewals of unknown cause: neither failures nor independent censorings
	UnknownUsed   int     // of these, used up to their last clean inspection
	UnknownLeft   int     // of these, left out, having none
	Clean         int     // clean inspections in the histories used
	Exposure      float64 // distance run in the histories used, on the part's axis
	LateRecords   int     // histories used whose records begin late (E > 0)
	NoDistance    int     // vehicles left out: nothing tells how far the part has run
	OutsideEvents int     // failures and worn findings on vehicles that by the catalogue have not the part, not used
	AfterImproved int     // failures and worn findings of the improved part, not used
	Instant       int     // failures and worn findings at the distance of the fitting itself, not used
	Undated       int     // events used on rows without a day of their own
	Openings      int     // lives of which somebody opened the part and said what was found
}

// Events is the number of failures and worn findings used.
func (c *Counts) Events() int { return c.Failures + c.WornFindings }

// Gather makes the histories of every part that the scorer's catalogue knew by
// the scorer's day, in the catalogue's order. It sees the vehicles as
// Scorer.LivesAll does: nothing later than the day.
func Gather(ctx context.Context, sc *score.Scorer, vehicles []score.Vehicle) ([]Part, error) {
	all, err := sc.LivesAll(ctx, vehicles)
	if err != nil {
		return nil, err
	}
	parts := sc.Parts()
	out := make([]Part, 0, len(parts))
	place := map[int]int{}
	for _, i := range sc.Known() {
		place[i] = len(out)
		out = append(out, Part{Weak: &parts[i], Index: i})
	}
	for _, pasts := range all {
		for _, p := range pasts {
			part := &out[place[p.PartIndex]]
			part.Pasts = append(part.Pasts, p)
		}
	}
	for i := range out {
		out[i].settle()
	}
	return out, nil
}

// NewPart is a part with pasts that were made elsewhere: a simulation, or another
// keeper of records.
func NewPart(weak *score.WeakPart, pasts []score.Lives) Part {
	p := Part{Weak: weak, Pasts: pasts}
	p.settle()
	return p
}

// settle counts the pasts and makes their units.
func (p *Part) settle() {
	p.Counts = Counts{}
	for i := range p.Pasts {
		p.Counts.add(&p.Pasts[i], p.canBelong(&p.Pasts[i]))
	}
	p.byCause = map[score.Ending][]unit{"": p.units("")}
	if p.Counts.Unknown > 0 {
		p.byCause[score.EndedFailed] = p.units(score.EndedFailed)
		p.byCause[score.EndedPlanned] = p.units(score.EndedPlanned)
	}
}

// units are the part's vehicle-parts; one that cannot belong says nothing.
func (p *Part) units(unknown score.Ending) []unit {
	var out []unit
	for i := range p.Pasts {
		if u, ok := unitOf(&p.Pasts[i], unknown); ok && p.canBelong(&p.Pasts[i]) {
			out = append(out, u)
		}
	}
	inOrder(out)
	return out
}

// canBelong tells a vehicle that can have the weak part at all.
func (p *Part) canBelong(past *score.Lives) bool {
	return past.Belonging.Membership == score.Inside || past.Belonging.Membership == score.Unknown && p.Weak.ShareIfUnknown > 0
}

// add counts one vehicle-part. Of one that cannot belong (its membership is not
// known, and the catalogue's share is 0) only what was not used is counted.
func (c *Counts) add(p *score.Lives, belongs bool) {
	c.OutsideEvents += p.OutsideEvents
	if !belongs {
		for i := range p.Of {
			if end := p.Of[i].End; end == score.EndedFailed || end == score.EndedWorn {
				c.OutsideEvents++
			}
		}
		return
	}
	if len(p.Of) > 0 || p.NoDistance {
		c.Vehicles++
		if p.Belonging.Membership == score.Unknown {
			c.Open++
		}
	}
	if p.NoDistance {
		c.NoDistance++
	}
	c.AfterImproved += p.AfterImproved
	c.Instant += p.Instant
	c.Undated += p.Undated
	for i := range p.Of {
		c.life(&p.Of[i])
	}
}

func (c *Counts) life(l *score.Life) {
	c.Lives++
	switch l.End {
	case score.EndedFailed:
		c.Failures++
	case score.EndedWorn:
		c.WornFindings++
	case score.EndedPlanned:
		c.Planned++
	case score.EndedUnknown:
		c.Unknown++
	default:
		c.Running++
	}
	if l.Look != nil {
		c.Openings++
	}
	h, used := historyOf(l, "")
	if l.End == score.EndedUnknown {
		if !used {
			c.UnknownLeft++
		} else {
			c.UnknownUsed++
		}
	}
	if used {
		c.Exposure += h.x
		c.Clean += len(h.clean)
		if h.e > 0 {
			c.LateRecords++
		}
	}
}

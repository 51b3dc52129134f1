package cohort

import (
	"math/rand/v2"
	"slices"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/wear"
)

// world is a fleet whose truth is known: it is lived through, life by life, and
// only what a workshop would write down is kept.
type world struct {
	onset, delay life.Distribution
	same         bool
	detects      float64
	share        float64 // of open vehicles that have the part
	open         float64 // share of the vehicles whose membership is not known
	looks        float64 // inspections of a vehicle in all, on average
	planned      float64 // share of the vehicles with a planned renewal
	late         float64 // share of the vehicles whose records begin late
	from, to     float64 // distances today
}

func (w *world) part(weight float64) *score.WeakPart {
	p := &score.WeakPart{
		ID: "follower", Name: "follower", Axis: score.ByKM, Onset: w.onset, Delay: w.delay, Weight: weight,
		ShareIfUnknown: w.share, Replacement: wear.Improved, Inspection: score.InspectionPlan{Detects: w.detects},
	}
	if w.same {
		p.Replacement = wear.Same
	}
	return p
}

func (w *world) fleet(r *rand.Rand, n int) []score.Lives {
	out := make([]score.Lives, n)
	for i := range out {
		out[i] = w.vehicle(r)
	}
	return out
}

func (w *world) vehicle(r *rand.Rand) score.Lives {
	now := w.from + (w.to-w.from)*r.Float64()
	p := score.Lives{Belonging: score.Belonging{Membership: score.Inside, Share: 1}}
	member := true
	if r.Float64() < w.open {
		p.Belonging = score.Belonging{Membership: score.Unknown, Share: w.share}
		member = r.Float64() < w.share
	}
	from := 0.0
	if r.Float64() < w.late {
		from = now * r.Float64()
	}
	var looks []float64
	for range r.IntN(2*int(w.looks+1) + 1) {
		if w.looks > 0 {
			looks = append(looks, from+(now-from)*r.Float64())
		}
	}
	slices.Sort(looks)
	planned := -1.0
	if r.Float64() < w.planned {
		planned = from + (now-from)*r.Float64()
	}
	z := 0.0
	for {
		l, next, ok := w.life(r, member, z, now, from, looks, planned)
		if l.End != "" {
			p.Of = append(p.Of, l)
		}
		if !ok {
			return p
		}
		z = next
	}
}

// life lives from z on; not ok where it was the last. A life that failed before
// the records begin left no trace (its End is empty).
func (w *world) life(r *rand.Rand, member bool, z, now, from float64, looks []float64, planned float64) (l score.Life, next float64, ok bool) {
	const never = 1e12
	onset, fail := never, 2*never
	if member {
		onset = z + w.onset.Quantile(r.Float64())
		fail = onset + w.delay.Quantile(r.Float64())
	}
	if fail < from { // nobody wrote it down
		if w.same {
			return l, fail, true
		}
		// With the improved part: the vehicle goes on as one of which nothing is known.
		onset, fail = never, 2*never
	}
	// What nobody saw begin is to the records a life from new on.
	seen := z
	if z < from {
		seen = 0
	}
	l.E = max(0, from-seen)
	done := func(at float64, end score.Ending) (score.Life, float64, bool) {
		l.X, l.End = at-seen, end
		l.E = min(l.E, l.X)
		return l, at, w.same && at < now
	}
	for _, y := range looks {
		if y <= z || y >= min(fail, now) {
			continue
		}
		if planned > z && planned < y {
			break
		}
		if y >= onset && r.Float64() < w.detects {
			return done(y, score.EndedWorn)
		}
		l.Clean = append(l.Clean, y-seen)
	}
	switch {
	case planned > z && planned < min(fail, now):
		l.Clean = slices.DeleteFunc(l.Clean, func(y float64) bool { return y+seen > planned })
		return done(planned, score.EndedPlanned)
	case fail < now:
		return done(fail, score.EndedFailed)
	}
	l, _, _ = done(now, score.StillRunning)
	return l, 0, false
}

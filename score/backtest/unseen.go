package backtest

import (
	"slices"

	"pitlist/score"
)

// Unseen is what the records cannot tell, and what no list judged.
type Unseen struct {
	Sold      int     // vehicles left out: no row says when they left
	Pairs     int     // vehicle-parts that a list judged
	Never     int     // of them: never opened, never renewed, not failed; worn or not, nobody knows
	NeverWorn float64 // worn ones expected among those, by the last list that judged them
	Above     int     // of the never opened: stood above a line at least once
	Elsewhere []Count // failures on record that no list could be held to, by reason; only those that occur
}

// Count is how many, and of what.
type Count struct {
	What string
	N    int
}

// Why a failure is no list's: in the order of the report.
const (
	NotOnRecord  = "the vehicle had no dated row yet"
	NotYetKnown  = "the catalogue's entry was not known yet"
	OutOfRange   = "the catalogue's ranges said outside"
	NoDistance   = "no reading told how far the part had run"
	KnownAlready = "found worn or failed before the list, and waiting for the repair"
	StoryEnded   = "renewed with the improved part before"
	AfterAct     = "after a look or a renewal in the same span"
)

var reasons = []string{NotOnRecord, NotYetKnown, OutOfRange, NoDistance, KnownAlready, StoryEnded, AfterAct}

// elsewhere counts the failures of the window that are no case's.
func (w *window) elsewhere() {
	at := make(map[int]int, len(w.members))
	for i, v := range w.members {
		at[v] = i
	}
	for v := range w.vehicles {
		if w.since[v] == 0 {
			continue // sold, or without any dated row
		}
		for _, h := range failures(w.past[v], w.day, w.until) {
			i, present := at[v]
			if why := w.why(i, present, h); why != "" {
				w.unseen.count(why)
			}
		}
	}
}

// failures are the first failures of each part in the span. A renewal after an
// inspection that found the part failed tells of the same failure.
func failures(past []score.Happening, after, until score.Day) []*score.Happening {
	var out []*score.Happening
	for i := range past {
		h := &past[i]
		again := i > 0 && past[i-1].Part == h.Part && past[i-1].Kind == score.FactFailed
		if h.Failed && !again && h.Day > after && h.Day <= until {
			out = append(out, h)
		}
	}
	return out
}

// why says why a failure is no case's; "" where it is one.
func (w *window) why(i int, present bool, h *score.Happening) string {
	if !present {
		return NotOnRecord
	}
	if w.catalogue.Parts[h.Part].KnownSince > w.day {
		return NotYetKnown
	}
	a := &w.assessed[i]
	at := slices.IndexFunc(a.Findings, func(f score.Finding) bool { return w.judge.part(&f) == h.Part })
	if at < 0 {
		return OutOfRange
	}
	f := &a.Findings[at]
	switch f.Standing {
	case score.Scored:
		if what, on := came(w.past[w.members[i]], h.Part, w.day, w.until); what == Failed && on == h.Day {
			return ""
		}
		return AfterAct
	case score.NoDistance:
		return NoDistance
	case score.WornFound, score.AwaitingRepair:
		return KnownAlready
	case score.Improved:
		return StoryEnded
	}
	return OutOfRange
}

func (u *Unseen) count(why string) {
	for i := range u.Elsewhere {
		if u.Elsewhere[i].What == why {
			u.Elsewhere[i].N++
			return
		}
	}
	u.Elsewhere = append(u.Elsewhere, Count{why, 1})
}

// never completes what the records cannot tell: which vehicle-parts nobody
// ever opened in the lists' time.
func (b *backtest) never() Unseen {
	type pair struct {
		worn         float64
		above, acted bool
	}
	pairs := map[[2]int]*pair{}
	for i := range b.cases {
		c := &b.cases[i]
		key := [2]int{c.Vehicle, c.Part}
		p := pairs[key]
		if p == nil {
			p = &pair{}
			pairs[key] = p
		}
		p.worn, p.above, p.acted = c.Worn, p.above || c.Above, p.acted || c.Came != Nothing
	}
	u := b.unseen
	u.Pairs = len(pairs)
	for i := range b.cases { // in the cases' order: a sum must not hang on a map's
		key := [2]int{b.cases[i].Vehicle, b.cases[i].Part}
		p := pairs[key]
		if p == nil {
			continue
		}
		pairs[key] = nil
		if p.acted {
			continue
		}
		u.Never++
		u.NeverWorn += p.worn
		u.Above += rank(p.above)
	}
	slices.SortFunc(u.Elsewhere, func(a, b Count) int { return slices.Index(reasons, a.What) - slices.Index(reasons, b.What) })
	return u
}

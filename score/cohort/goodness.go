package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"pitlist/score/say"
)

// Goodness is how the new curves fit the records: failures and worn findings seen
// against those expected of the same lives, followed and inspected as they were.
// What a life is expected to add is its hazard of failure at each distance, given
// that it was running and what had been seen of it by then; seen less expected is
// then a martingale, whatever took parts out before they failed.
type Goodness struct {
	Bands     []Band
	ChiSquare float64 // Σ (seen − expected)²/expected over the bands' failures
	P         float64 // chance of as much where the curves hold; on the safe side
	Warnings  []error
}

// Band is one stretch of distance (Low, High].
type Band struct {
	Low, High                         float64
	Failures, ExpectedFailures        float64
	Inspections, Found, ExpectedFound float64 // worn findings among the inspections
}

// The bands: so many events each, so many at most.
const (
	eventsPerBand = 8
	mostBands     = 8
)

// partFrom is the P below which curve and records part.
const partFrom = 0.01

// goodness compares; nil without any failure or finding.
func (l *likelihood) goodness(t *top) *Goodness {
	edges := l.edges()
	if len(edges) == 0 {
		return nil
	}
	g := &goodness{likelihood: l, model: l.model(&t.at), logit: t.at[shareAt], edges: edges, bands: make([]Band, len(edges)), fresh: map[float64]float64{}}
	low := 0.0
	for i, e := range edges {
		g.bands[i].Low, g.bands[i].High = low, e
		low = e
	}
	for i := range l.units {
		g.unit(&l.units[i])
	}
	out := &Goodness{Bands: g.bands}
	out.judge()
	return out
}

// edges cuts the distances so that the events are spread over the bands.
func (l *likelihood) edges() []float64 {
	var events []float64
	end := 0.0
	for i := range l.units {
		for _, h := range l.units[i].histories {
			end = math.Max(end, h.x)
			if h.end != running {
				events = append(events, h.x)
			}
		}
	}
	if len(events) == 0 {
		return nil
	}
	slices.Sort(events)
	n := min(mostBands, max(1, len(events)/eventsPerBand))
	var out []float64
	for i := 1; i < n; i++ {
		e := events[i*len(events)/n]
		if e < end && (len(out) == 0 || e > out[len(out)-1]) {
			out = append(out, e)
		}
	}
	return append(out, end)
}

// goodness gathers the bands.
type goodness struct {
	*likelihood
	model *model
	work  work
	logit float64
	edges []float64
	bands []Band
	fresh map[float64]float64 // running by an edge, for a life without anything special
}

func (g *goodness) unit(u *unit) {
	before := mass{} // the lives before, at p = 1
	shown := false
	for i := range u.histories {
		h := &u.histories[i]
		g.life(h, func(running float64) float64 { return g.joint(u, before.log+running, shown) })
		done := g.history(g.model, &g.work, h)
		before.log += done.log
		shown = shown || h.end != running
	}
}

// joint is the log probability of a unit's records so far.
func (g *goodness) joint(u *unit, all float64, shown bool) float64 {
	switch {
	case !u.open:
		return all
	case shown:
		return all - math.Log1p(math.Exp(-g.logit))
	}
	in := mass{log: all - math.Log1p(math.Exp(-g.logit))}
	return in.plus(mass{log: -math.Log1p(math.Exp(g.logit))}).log
}

// life adds one life's part of every band: joint makes of the log mass of the life
// at p = 1 that of the unit.
func (g *goodness) life(h *history, joint func(float64) float64) {
	seen := 0 // clean inspections up to now
	for seen < len(h.clean) && h.clean[seen] <= h.e {
		seen++
	}
	at := h.e
	now := joint(g.running(h, at, seen))
	for b := g.band(at); ; {
		next := math.Min(h.x, g.edges[b])
		inspected := seen < len(h.clean) && h.clean[seen] <= next
		if inspected {
			next = h.clean[seen]
		}
		then := joint(g.running(h, next, seen))
		g.bands[b].ExpectedFailures += math.Max(0, now-then)
		at, now = next, then
		if inspected {
			g.inspect(h, b, at, seen, now, joint)
			seen++
			now = joint(g.running(h, at, seen))
			continue
		}
		if at >= h.x {
			g.end(h, b, seen, now, joint)
			return
		}
		b++
	}
}

func (g *goodness) band(at float64) int {
	i, _ := slices.BinarySearch(g.edges, at)
	if i < len(g.edges)-1 && g.edges[i] == at {
		i++
	}
	return min(i, len(g.edges)-1)
}

// end adds how the life ended.
func (g *goodness) end(h *history, b, seen int, now float64, joint func(float64) float64) {
	switch h.end {
	case failed:
		g.bands[b].Failures++
	case foundWorn:
		g.inspect(h, b, h.x, seen, now, joint)
		g.bands[b].Found++
	}
}

// inspect adds one inspection with its chance to find wear.
func (g *goodness) inspect(h *history, b int, at float64, seen int, now float64, joint func(float64) float64) {
	clean := joint(g.running(h, at, seen, at))
	g.bands[b].Inspections++
	g.bands[b].ExpectedFound += -math.Expm1(math.Min(0, clean-now))
}

// running is the log mass of a life still running at x after its first clean
// inspections, and any more.
func (g *goodness) running(h *history, x float64, seen int, more ...float64) float64 {
	if !(x > 0) {
		return 0
	}
	plain := h.e == 0 && seen == 0 && len(more) == 0
	if plain {
		if f, ok := g.fresh[x]; ok {
			return f
		}
	}
	clean := append(slices.Clone(h.clean[:seen]), more...)
	m := g.history(g.model, &g.work, &history{x: x, e: math.Min(h.e, x), clean: clean})
	if plain && len(g.fresh) < 4*mostBands {
		if _, edge := slices.BinarySearch(g.edges, x); edge {
			g.fresh[x] = m.log
		}
	}
	return m.log
}

// judge reckons the chi-squared figure. Its degrees of freedom are the bands; the
// fitted parameters make them fewer, so that the warning errs to silence.
func (g *Goodness) judge() {
	worst, off := -1, 0.0
	for i, b := range g.Bands {
		if !(b.ExpectedFailures > 0) {
			continue
		}
		d := (b.Failures - b.ExpectedFailures) * (b.Failures - b.ExpectedFailures) / b.ExpectedFailures
		g.ChiSquare += d
		if d > off {
			worst, off = i, d
		}
	}
	g.P = 1
	if g.ChiSquare > 0 {
		g.P = mathext.GammaIncRegComp(float64(len(g.Bands))/2, g.ChiSquare/2)
	}
	if g.P < partFrom && worst >= 0 {
		b := g.Bands[worst]
		g.Warnings = append(g.Warnings, say.NewError("curve and records part (chance of as much: %s): from %s to %s the records hold %s failures, the curve expects %s; another family, or two kinds of duty, may be at work",
			say.Digits{X: g.P, N: 2}, say.Digits{X: b.Low, N: 5}, say.Digits{X: b.High, N: 5}, say.Digits{X: b.Failures, N: 4}, say.Digits{X: b.ExpectedFailures, N: 4}))
	}
}

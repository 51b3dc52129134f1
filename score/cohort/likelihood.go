package cohort

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// likelihood is that of a part's units in the parameters: log-parameters of the
// onset and the delay, logit of the share.
type likelihood struct {
	units        []unit // in order
	onset, delay life.Distribution
	same         bool    // replaced like for like
	detects      float64 // chance of an inspection to find wear
	latest       float64 // where the latest records begin
	longest      float64 // the longest life of those whose records begin late
	steps        int     // on which the lives before the records are solved
	reach        [kernels]reach
	prior        *prior // nil: none
	impossible   int    // units left out, having no likelihood at all
}

// neverMissed is the least chance of a miss that is reckoned with: a detection of
// 1 would make a contradicting pair of findings impossible instead of unlikely.
const neverMissed = 1e-9

func newLikelihood(units []unit, onset, delay life.Distribution, r wear.Replacement, detects float64, p *prior) *likelihood {
	l := &likelihood{units: units, onset: onset, delay: delay, same: r == wear.Same, detects: detects, steps: unseenSteps, prior: p}
	for i := range units {
		for _, h := range units[i].histories {
			if h.e > 0 {
				l.latest, l.longest = math.Max(l.latest, h.e), math.Max(l.longest, h.x)
			}
		}
	}
	l.survey()
	return l
}

// params are values of all parameters; unused places are 0.
type params [dims]float64

// value is a log-likelihood (or log-posterior) with its slope.
type value struct {
	f     float64
	slope params
}

func (v *value) add(o *value) {
	v.f += o.f
	for i := range v.slope {
		v.slope[i] += o.slope[i]
	}
}

// model is the pair of curves at theta.
func (l *likelihood) model(theta *params) *model {
	m := &model{
		onset: newCurve(l.onset, theta[onsetAt:onsetAt+len(life.LogParameters(l.onset))]),
		delay: newCurve(l.delay, theta[delayAt:delayAt+len(life.LogParameters(l.delay))]),
	}
	if l.same && l.latest > 0 {
		m.unseen = newUnseen(m, l.latest, l.longest, l.steps)
	}
	for k, r := range l.reach {
		m.lookups[k] = newLookup(m, kernel(k), r.least, r.most, r.count)
	}
	return m
}

// chunk is how many units are summed by one goroutine at a time. The sums are
// added up in the chunks' order, whoever made them.
const chunk = 256

// eval is the log-likelihood with the prior's log density; −Inf without a slope
// where it cannot be computed, never NaN.
func (l *likelihood) eval(theta *params) value {
	v := l.records(theta)
	if l.prior != nil {
		p := l.prior.eval(theta)
		v.add(&p)
	}
	return v.finite()
}

func (v value) finite() value {
	ok := !math.IsNaN(v.f) && !math.IsInf(v.f, 0)
	for _, s := range v.slope {
		ok = ok && !math.IsNaN(s) && !math.IsInf(s, 0)
	}
	if !ok {
		return value{f: math.Inf(-1)}
	}
	return v
}

// records is the log-likelihood alone.
func (l *likelihood) records(theta *params) value {
	if !l.within(theta) {
		return value{f: math.Inf(-1)}
	}
	m := l.model(theta)
	sums := make([]value, (len(l.units)+chunk-1)/chunk)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range processors(len(sums)) {
		wg.Go(func() {
			var w work
			for {
				c := int(next.Add(1)) - 1
				if c >= len(sums) {
					return
				}
				for i := c * chunk; i < min(len(l.units), (c+1)*chunk); i++ {
					u := l.unit(m, &w, &l.units[i], theta[shareAt])
					sums[c].add(&u)
				}
			}
		})
	}
	wg.Wait()
	var total value
	for i := range sums {
		total.add(&sums[i])
	}
	return total
}

// processors is how many goroutines share n pieces of work.
func processors(n int) int { return min(runtime.GOMAXPROCS(0), n) }

// The edges of what is looked at: curves over every distance that an axis could
// have, and shapes from a life spread over hundreds of orders of magnitude to one
// the same to a part in a hundred for all.
const (
	largestLog   = 40.0
	largestShape = 5.3
)

// within tells whether the parameters are worth a look.
func (l *likelihood) within(theta *params) bool {
	for i, t := range theta {
		limit := largestLog
		if i == onsetAt+1 || i == delayAt+1 {
			limit = largestShape
		}
		if !(math.Abs(t) <= limit) {
			return false
		}
	}
	return true
}

// unit is the log-likelihood of one vehicle-part: p times the product of its
// histories, and 1 − p besides if none has a failure or a worn finding (limited
// failure population, Meeker 1987).
func (l *likelihood) unit(m *model, w *work, u *unit, logit float64) value {
	all := mass{}
	for i := range u.histories {
		h := l.history(m, w, &u.histories[i])
		all.log += h.log
		for j := range h.d {
			all.d[j] += h.d[j]
		}
	}
	if !u.open {
		return value{all.log, params{all.d[0], all.d[1], all.d[2], all.d[3]}}
	}
	logP, logQ := -math.Log1p(math.Exp(-logit)), -math.Log1p(math.Exp(logit))
	p := math.Exp(logP)
	in := all.log + logP
	if u.shown {
		return value{in, params{all.d[0], all.d[1], all.d[2], all.d[3], 1 - p}}
	}
	both := mass{log: in}.plus(mass{log: logQ})
	member := math.Exp(in - both.log) // how likely it belongs
	v := value{f: both.log}
	for j := range all.d {
		v.slope[j] = member * all.d[j]
	}
	v.slope[shareAt] = member - p
	return v
}

// history is the log-likelihood of one life of a part that belongs to the weak
// population.
func (l *likelihood) history(m *model, w *work, h *history) mass {
	switch h.end {
	case failed:
		return l.onsets(m, w, h, failing)
	case foundWorn:
		worn := l.onsets(m, w, h, lasting)
		worn.log += math.Log(math.Max(l.detects, neverMissed))
		return worn
	}
	out := m.sound(w, h.x, h.e).plus(l.onsets(m, w, h, lasting))
	if h.e > 0 && !l.same {
		out = out.plus(m.alone(w, h.e, gone)) // rectified: put right unseen
	}
	return out
}

// onsets is the integral over the onsets that a life may have had.
func (l *likelihood) onsets(m *model, w *work, h *history, k kernel) mass {
	if l.plain(h) {
		return m.alone(w, h.x, k)
	}
	miss := math.Log(math.Max(1-l.detects, neverMissed))
	return m.over(w, h.x, h.e, h.clean, miss, k)
}

// possible are the units that have a likelihood at theta.
func (l *likelihood) possible(theta *params) (kept []unit) {
	m := l.model(theta)
	var w work
	for i := range l.units {
		if v := l.unit(m, &w, &l.units[i], theta[shareAt]).finite(); !math.IsInf(v.f, -1) {
			kept = append(kept, l.units[i])
		}
	}
	return kept
}

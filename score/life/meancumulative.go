package life

import (
	"fmt"
	"math"
	"sort"
)

// Unit is one vehicle, or one place on it, whose part is put right each time it
// fails: it was under observation in (Entry, End] and failed at Events.
type Unit struct {
	Entry, End float64   // 0 <= Entry < End
	Events     []float64 // in (Entry, End], in any order; several may share a distance
}

// Validate reports, wrapped in ErrRecord, a unit that contradicts itself.
func (u Unit) Validate() error {
	if !(u.Entry >= 0 && u.Entry < u.End && u.End <= maxDistance) {
		return fmt.Errorf("%w: unit observed from %v to %v: must begin at 0 or later and end after, by %g", ErrRecord, u.Entry, u.End, maxDistance)
	}
	for _, t := range u.Events {
		if !(t > u.Entry && t <= u.End) {
			return fmt.Errorf("%w: event at %v: must lie after %v and not after %v, where the unit was observed", ErrRecord, t, u.Entry, u.End)
		}
	}
	return nil
}

// MeanStep is the mean cumulative function after one distance with events.
type MeanStep struct {
	Time   float64
	AtRisk float64 // units under observation at Time
	Events float64 // events at Time
	Mean   float64 // events per unit so far
	SE     float64 // robust standard error (Lawless & Nadeau, Technometrics 37 (1995))
	// NelsonSE is the root of Nelson's unbiased variance (Nelson, Recurrent
	// Events Data Analysis (2003)), where HasNelson: it takes two units at risk,
	// no late entry, and may come out negative.
	NelsonSE  float64
	HasNelson bool
}

// MeanSteps is a mean cumulative function. It changes at its steps only.
type MeanSteps struct {
	Steps    []MeanStep // ascending in Time
	Units    int
	Events   int
	Exposure float64 // total distance observed
	Warnings []error // what limits the result
	entries  []weighted
	ends     []weighted
}

// MeanCumulative estimates the mean number of events per unit by each distance,
// without any assumption on how a unit's events hang together. A unit is at
// risk at t where Entry < t <= End. Work grows as n·log n in units and events.
func MeanCumulative(units []Unit) (*MeanSteps, error) {
	m := &MeanSteps{Units: len(units)}
	if len(units) == 0 {
		return nil, fmt.Errorf("%w: mean cumulative function: no units", ErrTooFew)
	}
	late := false
	for i, u := range units {
		if err := u.Validate(); err != nil {
			return nil, fmt.Errorf("unit %d: %w", i+1, err)
		}
		late = late || u.Entry > 0
		m.Events += len(u.Events)
		m.Exposure += u.End - u.Entry
		m.entries = append(m.entries, weighted{u.Entry, 1})
		m.ends = append(m.ends, weighted{u.End, 1})
	}
	accumulate(m.entries)
	accumulate(m.ends)
	m.walk(units, late)
	return m, nil
}

// AtRisk is the number of units under observation at the distance t.
func (m *MeanSteps) AtRisk(t float64) float64 { return below(m.entries, t) - below(m.ends, t) }

// At is the estimate at the distance t: that of the last step at or before it,
// with the number at risk at t itself and Events 0 between steps.
func (m *MeanSteps) At(t float64) MeanStep {
	i := sort.Search(len(m.Steps), func(i int) bool { return m.Steps[i].Time > t })
	step := MeanStep{HasNelson: true}
	if i > 0 {
		step = m.Steps[i-1]
	}
	if step.Time != t {
		step.Events = 0
	}
	step.Time, step.AtRisk = t, m.AtRisk(t)
	return step
}

// happening is an event, an entry or an end of a unit, in the order in which
// they count at one distance.
type happening struct {
	at   float64
	kind int // 0 leaves (ended before at), 1 enters, 2 event
	unit int
}

func happenings(units []Unit) []happening {
	var hs []happening
	for i, u := range units {
		hs = append(hs, happening{u.Entry, 1, i}, happening{math.Nextafter(u.End, math.Inf(1)), 0, i})
		for _, t := range u.Events {
			hs = append(hs, happening{t, 2, i})
		}
	}
	sort.Slice(hs, func(i, j int) bool {
		a, b := hs[i], hs[j]
		// An entry at t is not yet at risk at t, so events there come first.
		if a.at != b.at {
			return a.at < b.at
		}
		if (a.kind == 1) != (b.kind == 1) {
			return b.kind == 1
		}
		if a.kind != b.kind {
			return a.kind < b.kind
		}
		return a.unit < b.unit
	})
	return hs
}

// walk goes through the happenings once. Each unit at risk carries a residual
// A_i, the sum of (n_ij − d_j/r_j)/r_j over the events so far; the robust
// variance is ΣA_i² over all units. The units at risk share the second term,
// so it is kept once, as a shift.
func (m *MeanSteps) walk(units []Unit, late bool) {
	r := &residuals{own: make([]float64, len(units)), plain: make([]float64, len(units)), nelsonKnown: !late}
	now := MeanStep{}
	hs := happenings(units)
	for i := 0; i < len(hs); {
		switch hs[i].kind {
		case 0:
			r.leave(hs[i].unit)
			i++
			continue
		case 1:
			r.enter(hs[i].unit)
			i++
			continue
		}
		counts := map[int]float64{}
		var order []int // of the units, so that sums do not depend on map order
		now.Time, now.Events = hs[i].at, 0
		for ; i < len(hs) && hs[i].at == now.Time && hs[i].kind == 2; i++ {
			if counts[hs[i].unit] == 0 {
				order = append(order, hs[i].unit)
			}
			counts[hs[i].unit]++
			now.Events++
		}
		now.AtRisk = float64(r.n)
		now.Mean += now.Events / now.AtRisk
		r.nelson(counts, order, now.Events)
		r.robust(counts, order, now.Events)
		now.SE = math.Sqrt(math.Max(0, r.frozen+r.square))
		now.HasNelson = r.nelsonKnown && r.variance >= -1e-14*now.Mean*now.Mean
		now.NelsonSE = 0
		if now.HasNelson {
			now.NelsonSE = math.Sqrt(math.Max(0, r.variance))
		}
		m.warnAlone(now)
		m.Steps = append(m.Steps, now)
	}
}

func (m *MeanSteps) warnAlone(now MeanStep) {
	if now.AtRisk == 1 && m.Units > 1 && len(m.Warnings) == 0 {
		m.Warnings = append(m.Warnings, fmt.Errorf("from %v on a single unit is at risk at times: its events alone move the mean, and the errors there mean little", now.Time))
	}
}

// residuals are the running sums behind both variances.
type residuals struct {
	n      int       // at risk
	own    []float64 // A_i without the shift, from the unit's entry on
	shift  float64
	sum    float64 // ΣA_i over the units at risk
	square float64 // ΣA_i² over the units at risk
	frozen float64 // ΣA_i² over the units that left

	plain       []float64 // B_i = Σ n_ij/r_j, for Nelson's
	plainSum    float64   // over the units at risk
	variance    float64   // Nelson's
	nelsonKnown bool
}

func (r *residuals) enter(u int) {
	r.n++
	r.own[u] = -r.shift // so that A_i begins at 0
}

func (r *residuals) leave(u int) {
	a := r.own[u] + r.shift
	r.n--
	r.sum -= a
	r.square -= a * a
	r.frozen += a * a
	r.plainSum -= r.plain[u]
	if r.n == 0 {
		r.sum, r.square, r.plainSum = 0, 0, 0 // no rounding left over
	}
}

func (r *residuals) robust(counts map[int]float64, order []int, events float64) {
	n := float64(r.n)
	c := -events / n / n
	r.square += 2*c*r.sum + n*c*c
	r.sum += n * c
	r.shift += c
	for _, u := range order {
		before, step := r.own[u]+r.shift, counts[u]/n
		r.own[u] += step
		r.sum += step
		r.square += step * (2*before + step)
	}
}

// nelson adds var_k/r_k + 2·Σ_{j<k} cov_jk/r_j, the sample covariances over the
// units at risk at k. Written with B_i, the second term is twice the covariance
// of B_i and the unit's events at k.
func (r *residuals) nelson(counts map[int]float64, order []int, events float64) {
	n := float64(r.n)
	if r.n < 2 {
		r.nelsonKnown = false
		return
	}
	squares, products := 0.0, 0.0
	for _, u := range order {
		squares += counts[u] * counts[u]
		products += counts[u] * r.plain[u]
	}
	r.variance += (squares - events*events/n) / (n - 1) / n
	r.variance += 2 * (products - r.plainSum*events/n) / (n - 1)
	for _, u := range order {
		r.plain[u] += counts[u] / n
		r.plainSum += counts[u] / n
	}
}

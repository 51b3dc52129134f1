package wear

import (
	"errors"
	"fmt"
	"math"

	"pitlist/score/life"
)

// Replacement says what a failed part is replaced with.
type Replacement string

// The two kinds of replacement.
const (
	Improved Replacement = "improved" // by a design that does not wear this way
	Same     Replacement = "same"     // like for like: it begins again
)

// Validate reports a value that is neither Improved nor Same.
func (r Replacement) Validate() error {
	if r == Improved || r == Same {
		return nil
	}
	return fmt.Errorf("replacement %q: must be %q or %q", string(r), Improved, Same)
}

// Model is one part's pair of curves with all that depends on the part alone.
// It is made by New, never changes what it answers, and is safe for use by
// several goroutines at once.
type Model struct {
	curves
	replacement Replacement
	meanDelay   float64   // of an exponential delay, else 0
	allGone     float64   // no worn part lasts this much longer; +Inf: not known
	lifeSpread  float64   // a distance over which the renewal density is smooth
	bends       []float64 // but for these, and now less these
	mass        curve     // ln ∫₀ˣ f(u) Ḡ(x-u) du
	gone        curve     // ln ∫₀ˣ f(u) G(x-u) du
	density     curve     // ln q(x)
	wornAhead   surface   // ln of a worn part's cumulative hazard over d
	soundAhead  surface   // ln of a sound part's chance to fail within d
	renewals    renewals  // of the same design, solved as far as asked for
}

// New makes the model of a part: the onset of wear and the delay from onset to
// failure, both on the part's axis, and what failed parts are replaced with.
// It reports every invalid argument at once.
func New(onset, delay life.Distribution, r Replacement) (*Model, error) {
	if err := errors.Join(check("onset", onset), check("delay", delay), r.Validate()); err != nil {
		return nil, err
	}
	m := &Model{curves: newCurves(onset, delay), replacement: r}
	if e, ok := delay.(life.Exponential); ok {
		m.meanDelay = e.Mean
	}
	m.allGone = allGone(delay)
	m.lifeSpread, m.bends = spread(onset), bends(onset, delay)
	m.setTables()
	return m, nil
}

// The largest errors of a look-up that the check of a table allows; smooth
// curves, and tables of shares with their kinks.
const (
	smoothTolerant = 1e-9
	kinkedTolerant = 3e-8
)

// setTables says what the tables hold.
func (m *Model) setTables() {
	tolerant := smoothTolerant
	if m.onsetKnots != nil || m.delayKnots != nil {
		tolerant = kinkedTolerant
	}
	for _, t := range []*curve{&m.mass, &m.gone, &m.density} {
		t.tolerant = tolerant
	}
	m.wornAhead.tolerant, m.soundAhead.tolerant = tolerant, tolerant
	sound, density := m.soundFails, m.failureDensity
	if m.onsetKnots != nil && m.delayKnots == nil {
		p := newPieces(&m.curves)
		m.mass.exact, m.wornAhead.exact = p.logMass, p.hazards
		sound, density = p.soundFails, p.failureDensity
	} else {
		m.mass.exact = func(x float64) float64 { return m.wornSegment(0, x, x, nil, nil) }
		m.wornAhead.exact = func(x float64, ds, out []float64) {
			m.wornSegment(0, x, x, ds, out)
			for j := range ds {
				out[j] = math.Log(out[j])
			}
		}
	}
	m.gone.exact = func(x float64) float64 { return math.Log(sound(0, x)) }
	m.density.exact = func(x float64) float64 { return math.Log(density(x)) }
	m.soundAhead.exact = func(x float64, ds, out []float64) {
		for j, d := range ds {
			out[j] = math.Log(sound(x, d))
		}
	}
}

func check(name string, d life.Distribution) error {
	if d == nil {
		return fmt.Errorf("%s: no curve given", name)
	}
	if err := d.Validate(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	return nil
}

// logMass is ln ∫₀ˣ f(u) Ḡ(x-u) du, the worn mass of a part of the weak
// population (Christer & Waller 1984); -Inf at x = 0.
func (m *Model) logMass(x float64) float64 { return m.logMassAt(x, math.Log2(x)) }

// logMassAt is logMass where lx = log2 x is at hand.
func (m *Model) logMassAt(x, lx float64) float64 {
	if !(x >= shortest) {
		return math.Inf(-1)
	}
	return m.mass.at(x, lx)
}

// goneMass is ∫₀ˣ f(u) G(x-u) du, the chance of having failed by x.
func (m *Model) goneMass(x float64) float64 {
	if !(x >= shortest) {
		return 0
	}
	return min(1, math.Exp(m.gone.at(x, math.Log2(x))))
}

// hazard is the cumulative hazard over a further d of a part that is worn at x,
// having been sound when new: -ln of ∫₀ˣ f Ḡ(x+d-u) du / ∫₀ˣ f Ḡ(x-u) du.
func (m *Model) hazard(x, d float64) float64 {
	return m.hazardAt(x, math.Log2(x), d, math.Log2(d))
}

// hazardAt is hazard where the log2 of x and d are at hand.
func (m *Model) hazardAt(x, lx, d, ld float64) float64 {
	switch {
	case !(d >= shortest):
		return 0
	case m.meanDelay > 0:
		return d / m.meanDelay
	case d >= m.allGone:
		return m.delay.CumHazard(d)
	case !(x >= shortest):
		return m.delay.CumHazard(d)
	}
	return math.Exp(m.wornAhead.at(x, lx, d, ld))
}

// soundFailAt is the chance that a part sound at x fails within d > 0, lx and
// ld being the log2 of the two.
func (m *Model) soundFailAt(x, lx, d, ld float64) float64 {
	if !(x >= shortest) {
		return m.goneMass(d)
	}
	return min(1, math.Exp(m.soundAhead.at(x, lx, d, ld)))
}

// allGone is the distance over which the cumulative hazard of a Weibull delay
// that wears out reaches 100, whatever went before: as its hazard only rises,
// the growth over d is at least that from new.
func allGone(delay life.Distribution) float64 {
	if w, ok := delay.(life.Weibull); ok && w.Shape >= 1 {
		return w.Scale * math.Pow(100, 1/w.Shape)
	}
	return math.Inf(1)
}

// spread is the distance between the first and the last tenth of onsets; all
// there is, where a table's curve ends before them.
func spread(onset life.Distribution) float64 {
	lo, hi := onset.Quantile(0.1), onset.Quantile(0.9)
	if math.IsInf(hi, 1) || !(hi > lo) {
		return math.MaxFloat64
	}
	return hi - lo
}

// bends are the delay's reach where onsets begin at once and the delay is
// narrow: a part's first failures, and the first of a new life, then follow the
// delay's own shape.
func bends(onset, delay life.Distribution) []float64 {
	if w, ok := onset.(life.Weibull); ok && w.Shape >= 1.5 {
		return nil
	}
	if _, ok := onset.(life.Lognormal); ok {
		return nil
	}
	lo, hi := delay.Quantile(0.05), delay.Quantile(0.95)
	if hi > 10*lo {
		return nil
	}
	return []float64{lo, hi}
}

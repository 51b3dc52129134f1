package cohort

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// bulletin is a curve read off a table, with a kink at each point.
func bulletin(t *testing.T) *life.Table {
	t.Helper()
	d, err := life.NewTable([]life.Point{{Distance: 60e3, Share: 0.03}, {Distance: 120e3, Share: 0.18}, {Distance: 180e3, Share: 0.45}, {Distance: 240e3, Share: 0.7}})
	require.NoError(t, err)
	return d
}

// families are curves of every family, and of every kind of shape.
func families(t *testing.T) map[string][2]life.Distribution {
	short, err := life.NewTable([]life.Point{{Distance: 10e3, Share: 0.2}, {Distance: 40e3, Share: 0.8}})
	require.NoError(t, err)
	return map[string][2]life.Distribution{
		"weibull, weibull":                    {life.Weibull{Shape: 2.8, Scale: 170e3}, life.Weibull{Shape: 1.6, Scale: 33e3}},
		"lognormal, exponential":              {life.Lognormal{Mu: 11.9, Sigma: 0.5}, life.Exponential{Mean: 11e3}},
		"exponential, lognormal":              {life.Exponential{Mean: 250e3}, life.Lognormal{Mu: 9.8, Sigma: 0.7}},
		"early onset, early failure":          {life.Weibull{Shape: 0.7, Scale: 400e3}, life.Weibull{Shape: 0.8, Scale: 50e3}},
		"steep onset, delay short against it": {life.Weibull{Shape: 6, Scale: 150e3}, life.Weibull{Shape: 3, Scale: 900}},
		"table, weibull":                      {bulletin(t), life.Weibull{Shape: 1.5, Scale: 24e3}},
		"table, table":                        {bulletin(t), short},
		"delay longer than onset":             {life.Weibull{Shape: 2, Scale: 60e3}, life.Weibull{Shape: 1.3, Scale: 300e3}},
	}
}

// lives are one history of each kind, with distances of every size.
func lives() map[string]history {
	return map[string]history{
		"running":               {x: 140e3},
		"running, hardly begun": {x: 900},
		"running, far":          {x: 320e3},
		"running, inspected":    {x: 140e3, clean: []float64{90e3}},
		"running, inspected twice, the second now": {x: 180e3, clean: []float64{60e3, 180e3}},
		"failed":                               {x: 150e3, end: failed},
		"failed, inspected":                    {x: 150e3, end: failed, clean: []float64{70e3, 120e3}},
		"found worn":                           {x: 130e3, end: foundWorn},
		"found worn, inspected":                {x: 130e3, end: foundWorn, clean: []float64{40e3, 100e3}},
		"records begin late, running":          {x: 200e3, e: 120e3},
		"records begin today":                  {x: 200e3, e: 200e3},
		"records begin late, inspected":        {x: 200e3, e: 90e3, clean: []float64{150e3}},
		"records begin late, inspected before": {x: 200e3, e: 110e3, clean: []float64{60e3, 150e3}},
		"records begin late, failed":           {x: 210e3, e: 90e3, end: failed, clean: []float64{150e3}},
		"records begin late, found worn":       {x: 210e3, e: 90e3, end: foundWorn, clean: []float64{150e3}},
	}
}

const detects = 0.85

// plainLikelihood writes MODEL.md's likelihood of a history out: still running, the
// sum of the masses; failed at x, the density; found worn, the worn mass times r.
func plainLikelihood(p plainly, h *history, same bool, m func(float64) float64) float64 {
	worn := func(x float64, clean []float64) float64 { return p.integral(x, clean, life.Survival) }
	fails := func(x float64, clean []float64) float64 { return p.integral(x, clean, life.PDF) }
	sound := func(x float64, _ []float64) float64 { return life.Survival(p.onset, x) }
	with := func(mass func(float64, []float64) float64) float64 {
		if same && h.e > 0 {
			return p.again(m, h.e, h.x, h.clean, mass)
		}
		return mass(h.x, h.clean)
	}
	switch h.end {
	case failed:
		return with(fails)
	case foundWorn:
		return detects * with(worn)
	}
	sum := with(sound) + with(worn)
	if h.e > 0 && !same {
		sum += p.integral(h.e, nil, life.CDF)
	}
	return sum
}

// likelihoodOf is a likelihood of one unit of one history.
func likelihoodOf(curves [2]life.Distribution, r wear.Replacement, h history) (*likelihood, params) {
	l := newLikelihood([]unit{{histories: []history{h}, shown: h.end != running}}, curves[0], curves[1], r, detects, nil)
	return l, newPrior(curves[0], curves[1], 1, 0.5, false).mean
}

// TestTermsAgainstQuadrature holds every term of the likelihood against the
// formulas of MODEL.md by an independent adaptive quadrature.
func TestTermsAgainstQuadrature(t *testing.T) {
	for family, curves := range families(t) {
		p := plainly{curves[0], curves[1], 1 - detects}
		for kind, h := range lives() {
			t.Run(family+", "+kind, func(t *testing.T) {
				l, at := likelihoodOf(curves, wear.Improved, h)
				assert.InEpsilon(t, plainLikelihood(p, &h, false, nil), math.Exp(l.eval(&at).f), 2e-6)
			})
		}
	}
}

// TestUnseenRenewalsAgainstQuadrature does the same for a part replaced like for
// like whose records begin late, to MODEL.md's 1e-4.
func TestUnseenRenewalsAgainstQuadrature(t *testing.T) {
	for _, family := range []string{"weibull, weibull", "lognormal, exponential", "delay longer than onset", "table, weibull"} {
		curves := families(t)[family]
		p := plainly{curves[0], curves[1], 1 - detects}
		m := p.renewals(210e3, 400)
		for kind, h := range lives() {
			if h.e == 0 {
				continue
			}
			t.Run(family+", "+kind, func(t *testing.T) {
				l, at := likelihoodOf(curves, wear.Same, h)
				assert.InEpsilon(t, plainLikelihood(p, &h, true, m), math.Exp(l.eval(&at).f), 1e-4)
			})
		}
	}
}

// TestUnseenRenewalsExponential: for two exponentials the density of renewals is
// ab/(a+b)·(1 − e^−(a+b)t) (Cox, Renewal Theory (1962), from memory), and where
// E = x the masses sum to 1.
func TestUnseenRenewalsExponential(t *testing.T) {
	curves := [2]life.Distribution{life.Exponential{Mean: 90e3}, life.Exponential{Mean: 20e3}}
	p := plainly{curves[0], curves[1], 1 - detects}
	a, b := 1/90e3, 1/20e3
	m := func(t float64) float64 { return a * b / (a + b) * -math.Expm1(-(a+b)*t) }
	for kind, h := range lives() {
		if h.e == 0 {
			continue
		}
		t.Run(kind, func(t *testing.T) {
			l, at := likelihoodOf(curves, wear.Same, h)
			assert.InEpsilon(t, plainLikelihood(p, &h, true, m), math.Exp(l.eval(&at).f), 2e-5)
		})
	}
	t.Run("no records, no inspection: certain", func(t *testing.T) {
		l, at := likelihoodOf(curves, wear.Same, history{x: 250e3, e: 250e3})
		assert.InDelta(t, 0, l.eval(&at).f, 1e-5)
	})
}

// TestMembershipIsOneDraw: p·∏(histories at p = 1), plus 1 − p where none has a
// failure or a worn finding.
func TestMembershipIsOneDraw(t *testing.T) {
	curves := families(t)["weibull, weibull"]
	at := newPrior(curves[0], curves[1], 1, 0.35, true).mean
	alone := func(h history) float64 {
		l, at := likelihoodOf(curves, wear.Same, h)
		return math.Exp(l.eval(&at).f)
	}
	run, clean := history{x: 140e3}, history{x: 90e3, clean: []float64{80e3}}
	broke := history{x: 120e3, end: failed}
	for name, c := range map[string]struct {
		unit unit
		want float64
	}{
		"inside, twice run":      {unit{histories: []history{clean, run}}, alone(clean) * alone(run)},
		"unknown, never seen":    {unit{histories: []history{clean, run}, open: true}, 0.35*alone(clean)*alone(run) + 0.65},
		"unknown, failed before": {unit{histories: []history{broke, run}, open: true, shown: true}, 0.35 * alone(broke) * alone(run)},
	} {
		t.Run(name, func(t *testing.T) {
			l := newLikelihood([]unit{c.unit}, curves[0], curves[1], wear.Same, detects, nil)
			assert.InEpsilon(t, c.want, math.Exp(l.eval(&at).f), 1e-9)
		})
	}
}

// TestSlopesByDifferences holds every analytic slope against central differences,
// extrapolated from two steps, away from the top.
func TestSlopesByDifferences(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of likelihoods, in one goroutine")
	}
	for family, curves := range families(t) {
		for _, r := range []wear.Replacement{wear.Improved, wear.Same} {
			for kind, h := range lives() {
				for _, open := range []bool{false, true} {
					l, _ := likelihoodOf(curves, r, h)
					l.units[0].open = open
					l.prior = newPrior(curves[0], curves[1], 7, 0.3, open)
					at := l.prior.mean
					for i, j := range l.freeOf(open) {
						at[j] += 0.02 * float64(1+i)
					}
					checkSlopes(t, family+", "+string(r)+", "+kind, l, at, open)
				}
			}
		}
	}
}

func checkSlopes(t *testing.T, name string, l *likelihood, at params, open bool) {
	t.Helper()
	got := l.eval(&at)
	require.False(t, math.IsInf(got.f, 0), name)
	difference := func(j int, h float64) float64 {
		hi, lo := at, at
		hi[j] += h
		lo[j] -= h
		return (l.eval(&hi).f - l.eval(&lo).f) / (2 * h)
	}
	for _, j := range l.freeOf(open) {
		want := (4*difference(j, 1e-3) - difference(j, 2e-3)) / 3
		allowed := 2e-4
		if l.same && l.latest > 0 {
			allowed = 2e-3 // the renewals are on a grid
		}
		assert.InDelta(t, want, got.slope[j], allowed*(1+math.Abs(want)), "%s, parameter %d", name, j)
	}
}

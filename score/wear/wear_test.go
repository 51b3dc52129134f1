package wear_test

import (
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life"
	"pitlist/score/wear"
)

func model(t require.TestingT, onset, delay life.Distribution, r wear.Replacement) *wear.Model {
	m, err := wear.New(onset, delay, r)
	require.NoError(t, err)
	return m
}

// Exponential onset (mean 1/a) and delay (mean 1/b) have closed forms: the
// delay-time model as a chain of two constant rates.
func TestExponentialCurvesInClosedForm(t *testing.T) {
	cases := []struct {
		name string
		a, b float64
	}{
		{"onset slower than failure", 1 / 200000.0, 1 / 30000.0},
		{"onset faster than failure", 1 / 20000.0, 1 / 90000.0},
		{"nearly equal means", 1 / 50000.0, 1 / 50001.0},
		{"equal means", 1 / 50000.0, 1 / 50000.0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := model(t, life.Exponential{Mean: 1 / c.a}, life.Exponential{Mean: 1 / c.b}, wear.Improved)
			for _, x := range []float64{10, 4000, 90000, 400000} {
				s := m.Assess(wear.History{X: x, Share: 1})
				sound := math.Exp(-c.a * x)
				worn := x * c.a * math.Exp(-c.b*x) // the limit of equal rates
				if gap := (c.a - c.b) * x; math.Abs(gap) > 1e-12 {
					worn = c.a * x * math.Exp(-c.b*x) * -math.Expm1(-gap) / gap
				}
				require.InEpsilon(t, worn/(worn+sound), s.Worn, 1e-8)
				require.InEpsilon(t, -math.Expm1(-c.b*700), s.FailWorn(700), 1e-12)
				require.InEpsilon(t, chainFails(c.a, c.b, 60000), s.FailSound(60000), 1e-8)
			}
		})
	}
}

// chainFails is the chance that both steps of the chain fall within d.
func chainFails(a, b, d float64) float64 {
	if math.Abs(a-b)*d < 1e-3 {
		// Erlang's distribution with two phases, in the mean rate: the next
		// term is of second order in the difference.
		r := (a + b) / 2 * d
		return -math.Expm1(-r) - r*math.Exp(-r)
	}
	return (b*-math.Expm1(-a*d) - a*-math.Expm1(-b*d)) / (b - a)
}

// The renewals of a chain of two constant rates are an alternating process:
// with all history unseen the part is worn with chance a/(a+b)·(1-e^-(a+b)x).
func TestUnseenRenewalsOfExponentialCurvesInClosedForm(t *testing.T) {
	a, b := 1/120000.0, 1/35000.0
	m := model(t, life.Exponential{Mean: 1 / a}, life.Exponential{Mean: 1 / b}, wear.Same)
	for _, x := range []float64{500, 20000, 150000, 700000} {
		s := m.Assess(wear.History{X: x, E: x, Share: 1})
		require.InEpsilon(t, a/(a+b)*-math.Expm1(-(a+b)*x), s.Worn, 1e-6)
		require.InEpsilon(t, chainFails(a, b, 9000), s.FailSound(9000), 1e-6)
	}
}

// With the improved part and all history unseen, nothing is lost: the masses
// add up to 1 before they are normalised, so the share stays what it was.
func TestNothingIsLostWhereAllHistoryIsUnseen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]wear.Replacement{wear.Improved, wear.Same}).Draw(t, "replacement")
		m := model(t, drawCurve(t, "onset", 3e4, 5e5), drawCurve(t, "delay", 4e3, 1e5), r)
		x := rapid.Float64Range(1000, 500000).Draw(t, "x")
		s := m.Assess(wear.History{X: x, E: x, Share: 0.5})
		tolerance := 2e-7 // the tables may err by this much between their nodes; 1e-6 is what is promised
		if r == wear.Same {
			tolerance = 1e-4
		}
		require.InDelta(t, 0.5, s.Immune, tolerance)
	})
}

func drawCurve(t *rapid.T, name string, low, high float64) life.Distribution {
	scale := rapid.Float64Range(low, high).Draw(t, name+" scale")
	switch rapid.IntRange(0, 3).Draw(t, name+" family") {
	case 0:
		return life.Exponential{Mean: scale}
	case 1:
		return life.Lognormal{Mu: math.Log(scale), Sigma: rapid.Float64Range(0.15, 1.5).Draw(t, name+" sigma")}
	}
	return life.Weibull{Shape: rapid.Float64Range(0.4, 6).Draw(t, name+" shape"), Scale: scale}
}

func drawHistory(t *rapid.T) wear.History {
	h := wear.History{X: rapid.Float64Range(0, 600000).Draw(t, "x"), Share: rapid.SampledFrom([]float64{0, 0.3, 1}).Draw(t, "share")}
	h.E = h.X * rapid.SampledFrom([]float64{0, 0.4, 1}).Draw(t, "unseen")
	for range rapid.IntRange(0, 3).Draw(t, "observations") {
		h.Factors = append(h.Factors, wear.Factor{
			At:      h.X * rapid.Float64Range(0, 1.1).Draw(t, "at"),
			Worn:    rapid.Float64Range(0, 1).Draw(t, "worn"),
			NotWorn: rapid.Float64Range(0, 1).Draw(t, "not worn"),
		})
	}
	if rapid.IntRange(0, 4).Draw(t, "found") == 0 {
		h.Found, h.FoundWornAt = true, h.X*rapid.Float64Range(0, 1).Draw(t, "found at")
	}
	return h
}

// requireProbabilities: every number is a probability, and the posterior is one.
func requireProbabilities(t require.TestingT, s wear.State, ds ...float64) {
	sum := 0.0
	for _, p := range []float64{s.Immune, s.Sound, s.Worn, s.Rectified} {
		require.True(t, p >= 0 && p <= 1, "mass %v", p)
		sum += p
	}
	require.InDelta(t, 1, sum, 1e-9)
	for _, d := range ds {
		worn, sound := s.Follow(d)
		require.True(t, worn >= 0 && worn <= 1, "fail if worn %v", worn)
		require.True(t, sound >= 0 && sound <= 1, "fail if sound %v", sound)
	}
}

func TestAnswersAreProbabilities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]wear.Replacement{wear.Improved, wear.Same}).Draw(t, "replacement")
		m := model(t, drawCurve(t, "onset", 3e3, 5e5), drawCurve(t, "delay", 400, 3e5), r)
		d := rapid.Float64Range(0, 300000).Draw(t, "d")
		requireProbabilities(t, m.Assess(drawHistory(t)), 0, d)
	})
}

func TestLaterCleanInspectionNeverRaisesWorn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]wear.Replacement{wear.Improved, wear.Same}).Draw(t, "replacement")
		m := model(t, drawCurve(t, "onset", 3e4, 5e5), drawCurve(t, "delay", 4e3, 1e5), r)
		x := rapid.Float64Range(1000, 500000).Draw(t, "x")
		early := rapid.Float64Range(0, 1).Draw(t, "early")
		late := rapid.Float64Range(early, 1).Draw(t, "late")
		misses := rapid.Float64Range(0, 1).Draw(t, "misses")
		at := func(y float64) float64 {
			return m.Assess(wear.History{X: x, E: x * early / 2, Share: 0.7, Factors: []wear.Factor{{At: y * x, Worn: misses, NotWorn: 1}}}).Worn
		}
		require.LessOrEqual(t, at(late), at(early)*(1+1e-6)+1e-9)
	})
}

// At a fixed E and without inspections the unnormalised sound mass never rises
// with x. It shows against the immune, whose mass is fixed.
func TestSoundMassNeverRisesWithDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]wear.Replacement{wear.Improved, wear.Same}).Draw(t, "replacement")
		m := model(t, drawCurve(t, "onset", 3e4, 5e5), drawCurve(t, "delay", 4e3, 1e5), r)
		near := rapid.Float64Range(1000, 300000).Draw(t, "x")
		far := near * rapid.Float64Range(1, 2).Draw(t, "times")
		e := near * rapid.Float64Range(0, 1).Draw(t, "unseen")
		ratio := func(x float64) float64 {
			s := m.Assess(wear.History{X: x, E: e, Share: 0.5})
			return s.Sound / s.Immune
		}
		require.LessOrEqual(t, ratio(far), ratio(near)*(1+1e-5))
	})
}

// The worn mass A obeys A' = f - ∫ f(u) g(x-u) du, and ∫ f G = F - A, so that
// A rises by the onsets less the failures: checked by differences.
func TestWornMassRisesByOnsetsLessFailures(t *testing.T) {
	onset, delay := life.Weibull{Shape: 2.2, Scale: 210000}, life.Weibull{Shape: 1.6, Scale: 38000}
	m := model(t, onset, delay, wear.Improved)
	for _, x := range []float64{20000, 90000, 260000} {
		h := wear.History{X: x, Share: 1}
		s := m.Assess(h)
		sound := life.Survival(onset, x)
		worn := sound * s.Worn / s.Sound
		const d = 40.0
		after := m.Assess(wear.History{X: x + d, Share: 1})
		wornAfter := life.Survival(onset, x+d) * after.Worn / after.Sound
		onsets := sound - life.Survival(onset, x+d)
		failed := worn*s.FailWorn(d) + sound*s.FailSound(d)
		require.InDelta(t, worn+onsets-failed, wornAfter, 1e-9*worn)
	}
}

// A table read finely off a Weibull says what the Weibull says.
func TestTableOfAWeibullAgreesWithIt(t *testing.T) {
	w, delay := life.Weibull{Shape: 2.2, Scale: 210000}, life.Weibull{Shape: 1.6, Scale: 38000}
	var points []life.Point
	for u := 2000.0; u <= 600000; u += 2000 {
		points = append(points, life.Point{Distance: u, Share: life.CDF(w, u)})
	}
	table, err := life.NewTable(points)
	require.NoError(t, err)
	for _, x := range []float64{30000, 150000, 300000} {
		h := wear.History{X: x, Share: 1, Factors: []wear.Factor{{At: 0.7 * x, Worn: 0.2, NotWorn: 1}}}
		a, b := model(t, w, delay, wear.Improved).Assess(h), model(t, table, delay, wear.Improved).Assess(h)
		require.InEpsilon(t, a.Worn, b.Worn, 3e-3)
		require.InEpsilon(t, a.FailWorn(3000), b.FailWorn(3000), 3e-3)
		require.InEpsilon(t, a.FailSound(30000), b.FailSound(30000), 3e-3)
	}
}

func TestEdgesOfAHistory(t *testing.T) {
	onset, delay := life.Weibull{Shape: 3.2, Scale: 215000}, life.Weibull{Shape: 1.8, Scale: 42000}
	nan, inf := math.NaN(), math.Inf(1)
	cases := []struct {
		name string
		h    wear.History
		want func(t *testing.T, s wear.State)
	}{
		{"a new part is sound", wear.History{Share: 1}, func(t *testing.T, s wear.State) { require.Equal(t, 1.0, s.Sound) }},
		{"no share: immune", wear.History{X: 1e5, E: 1e5}, func(t *testing.T, s wear.State) { require.Equal(t, 1.0, s.Immune) }},
		{"no numbers are taken as 0", wear.History{X: nan, E: nan, Share: nan}, func(t *testing.T, s wear.State) { require.Equal(t, 1.0, s.Immune) }},
		{"a share above 1 is 1", wear.History{X: 1e5, Share: 3}, func(t *testing.T, s wear.State) { require.Zero(t, s.Immune) }},
		{"records from beyond now are from now", wear.History{X: 1e5, E: inf, Share: 1}, func(t *testing.T, s wear.State) { require.Positive(t, s.Rectified) }},
		{"found worn is worn", wear.History{X: 1e5, Share: 0.1, Found: true, FoundWornAt: 9e4}, func(t *testing.T, s wear.State) { require.Equal(t, 1.0, s.Worn) }},
		{"found worn when new has all its delay behind it", wear.History{X: 1e5, Found: true}, func(t *testing.T, s wear.State) { require.Equal(t, 1.0, s.Worn) }},
		{"impossible evidence leaves the prior", wear.History{X: 1e5, Share: 1, Factors: []wear.Factor{{At: 1e5}}}, func(t *testing.T, s wear.State) {
			require.True(t, s.Impossible)
			require.Equal(t, s.PriorWorn, s.Worn)
		}},
		{"far beyond all onsets both masses vanish, their ratio does not", wear.History{X: 4e6, Share: 1}, func(t *testing.T, s wear.State) { require.Positive(t, s.Worn) }},
		{"nor with renewals that nobody saw", wear.History{X: 4e6, E: 1e6, Share: 1}, func(t *testing.T, s wear.State) { require.InDelta(t, 1, s.Worn+s.Sound+s.Rectified, 1e-9) }},
		{"nor where the least of them is known by its greatest density alone", wear.History{X: 4e7, Share: 1}, func(t *testing.T, s wear.State) { require.InDelta(t, 1, s.Worn, 1e-9) }},
		{"nor with renewals and an inspection that found nothing", wear.History{X: 4e7, E: 1e5, Share: 1, Factors: []wear.Factor{{At: 9e4, Worn: 0.02}}}, func(t *testing.T, s wear.State) { require.InDelta(t, 1, s.Worn+s.Rectified, 1e-9) }},
		{"an observation at 0 knows of no wear", wear.History{X: 1e5, Share: 1, Factors: []wear.Factor{{At: 0, Worn: 0, NotWorn: 0.5}}}, func(t *testing.T, s wear.State) {
			require.InEpsilon(t, s.PriorWorn, s.Worn, 1e-9)
		}},
	}
	for _, r := range []wear.Replacement{wear.Improved, wear.Same} {
		for _, c := range cases {
			if r == wear.Same && c.h.E > c.h.X {
				continue // nothing is rectified then
			}
			t.Run(string(r)+"/"+c.name, func(t *testing.T) {
				s := model(t, onset, delay, r).Assess(c.h)
				requireProbabilities(t, s, 0, 1e-6, 500, 1e5, 1e9, inf, nan, -1)
				c.want(t, s)
			})
		}
	}
}

// An order of the observations says nothing, nor does the split of a factor.
func TestFactorsMultiplyInAnyOrder(t *testing.T) {
	m := model(t, life.Weibull{Shape: 3.2, Scale: 215000}, life.Weibull{Shape: 1.8, Scale: 42000}, wear.Same)
	a, b := wear.Factor{At: 90000, Worn: 0.2, NotWorn: 1}, wear.Factor{At: 60000, Worn: 0.5, NotWorn: 0.03}
	h := wear.History{X: 140000, E: 30000, Share: 0.4, Factors: []wear.Factor{a, b}}
	one := m.Assess(h)
	h.Factors = []wear.Factor{b, {At: 90000, Worn: 0.4, NotWorn: 1}, {At: 90000, Worn: 0.5, NotWorn: 1}}
	two := m.Assess(h)
	require.InEpsilon(t, one.Worn, two.Worn, 1e-9)
	require.InEpsilon(t, one.FailWorn(800), two.FailWorn(800), 1e-7)
}

func TestNewReportsEveryFault(t *testing.T) {
	_, err := wear.New(nil, life.Weibull{Shape: -1, Scale: 3}, "other")
	require.ErrorContains(t, err, "onset: no curve given")
	require.ErrorContains(t, err, "delay: invalid life distribution: weibull shape -1")
	require.ErrorContains(t, err, `replacement "other"`)
	require.ErrorIs(t, err, life.ErrParameter)
}

// Found by FuzzAssess, and not a seed of it: what follows takes a sound part there
// seconds of quadrature, which a fuzzer on a busy machine takes for a hang.
func TestWornAndSoundBothBeyondHope(t *testing.T) {
	m := model(t, life.Weibull{Shape: 6, Scale: 58000}, life.Weibull{Shape: 2.6666666666666665, Scale: 20902}, wear.Same)
	s := m.Assess(wear.History{X: 7.439931e6, E: 100095, Share: 1, Factors: []wear.Factor{{At: 90000, Worn: 0.016666666666666666}}})
	requireProbabilities(t, s)
	require.InDelta(t, 1, s.Worn, 1e-9)
}

// Far beyond most onsets one that is still sound wears at once, and fails as its
// delay says: the chance that a sound part fails goes to that of a worn new one.
func TestSoundFarBeyondItsOnset(t *testing.T) {
	delay := life.Lognormal{Mu: 9, Sigma: 1}
	for _, c := range []struct{ shape, scale, x float64 }{{8, 20000, 400000}, {20, 20000, 400000}, {6, 100, 50000}, {6, 100, 1e9}} {
		m := model(t, life.Weibull{Shape: c.shape, Scale: c.scale}, delay, wear.Improved)
		s := m.Assess(wear.History{X: c.x, Share: 1})
		for _, d := range []float64{450, 5000, 60000} {
			require.InEpsilon(t, life.CDF(delay, d), s.FailSound(d), 1e-6, "%v, %v km ahead", c, d)
		}
	}
}

func FuzzAssess(f *testing.F) {
	f.Add(2.4, 290000.0, 2.0, 21000.0, 310000.0, 100000.0, 1.0, 90000.0, 0.1, 1.0, 5000.0, true)
	f.Add(0.5, 290000.0, 0.6, 9000.0, 0.0, 0.0, 0.3, 0.0, 0.0, 0.0, 0.0, false)
	f.Add(6.0, 2000.0, 5.0, 90.0, 310000.0, 310000.0, 1.0, 310000.0, 0.5, 0.01, 1e9, true)
	f.Add(14.4, 48333.333333333336, 1.7142857142857142, 2333.3333333333335, 310000.0, 100000.0, 68.0, 90000.0, 105.1, -170.0, 5000.0, true) // no life leaves a mass that a float holds
	f.Fuzz(func(t *testing.T, kf, sf, kg, sg, x, e, share, at, worn, notWorn, d float64, same bool) {
		bounded := func(v, low, high float64) float64 { return min(high, max(low, v)) }
		r := wear.Improved
		if same {
			r = wear.Same
		}
		onset := life.Weibull{Shape: bounded(kf, 0.4, 6), Scale: bounded(sf, 1, 1e7)}
		m, err := wear.New(onset,
			life.Weibull{Shape: bounded(kg, 0.4, 6), Scale: bounded(sg, 1, 1e7)}, r)
		if err != nil {
			t.Skip()
		}
		h := wear.History{X: x, E: e, Share: share, Factors: []wear.Factor{{At: at, Worn: bounded(worn, 0, 1), NotWorn: bounded(notWorn, 0, 1)}}}
		requireProbabilities(t, m.Assess(h), d)
	})
}

// Who asks first, and from how many goroutines, changes no bit of an answer.
func TestConcurrentUseChangesNothing(t *testing.T) {
	pairs, z := fleet(60, dated), normals(4)
	onset, delay := life.Weibull{Shape: 3.2, Scale: 215000}, life.Weibull{Shape: 1.8, Scale: 42000}
	ask := func(order func(i int) int, workers int) ([][4]float64, [][]float64) {
		m := model(t, onset, delay, wear.Same)
		d, err := wear.NewDraws(onset, delay, wear.Same, 12, nil, z)
		require.NoError(t, err)
		out, worn := make([][4]float64, len(pairs)), make([][]float64, len(pairs))
		var group sync.WaitGroup
		for w := range workers {
			group.Go(func() {
				for i := w; i < len(pairs); i += workers {
					p := pairs[order(i)]
					s := m.Assess(p.h)
					a, b := s.Follow(p.hold)
					out[order(i)] = [4]float64{s.Worn, s.Sound, a, b}
					worn[order(i)] = wornIn(d, p.h)
				}
			})
		}
		group.Wait()
		return out, worn
	}
	first, firstWorn := ask(func(i int) int { return i }, 1)
	second, secondWorn := ask(func(i int) int { return len(pairs) - 1 - i }, 4)
	require.Equal(t, first, second)
	require.Equal(t, firstWorn, secondWorn)
}

package wear_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// normals are what a caller would pass: n draws of four, from a fixed seed.
func normals(n int) [][4]float64 {
	r := rand.New(rand.NewPCG(7, 11))
	z := make([][4]float64, n)
	for k := range z {
		for i := range z[k] {
			z[k][i] = r.NormFloat64()
		}
	}
	return z
}

// drawErrors compares Draws with a Model made for each of its draws, over
// pairs, and returns the worst differences: of p_worn, and of the chances to
// fail weighted with what they apply to.
func drawErrors(t *testing.T, c struct {
	name         string
	onset, delay life.Distribution
}, r wear.Replacement, pairs []pair, z [][4]float64) (worn, ahead float64) {
	t.Helper()
	const weight = 12
	d, err := wear.NewDraws(c.onset, c.delay, r, weight, nil, z)
	require.NoError(t, err)
	states := make([][]wear.DrawState, len(pairs))
	for i, p := range pairs {
		states[i] = make([]wear.DrawState, len(z))
		var seen []wear.Seen
		for _, f := range p.h.Factors {
			seen = append(seen, wear.Seen{At: f.At, Worn: []float64{f.Worn}, NotWorn: []float64{f.NotWorn}})
		}
		d.Assess(p.h, seen, p.next, p.hold, states[i])
	}
	for k := range z {
		m, err := wear.New(life.Draw(c.onset, weight, [2]float64{z[k][0], z[k][1]}),
			life.Draw(c.delay, weight, [2]float64{z[k][2], z[k][3]}), r)
		require.NoError(t, err)
		for i, p := range pairs {
			got, s := states[i][k], m.Assess(p.h)
			worn = max(worn, math.Abs(got.Worn-s.Worn))
			for _, v := range [][2]float64{
				{s.Worn * got.FailWornNext, s.Worn * s.FailWorn(p.next)}, {s.Worn * got.FailWornHold, s.Worn * s.FailWorn(p.hold)},
				{s.Sound * got.FailSoundNext, s.Sound * s.FailSound(p.next)}, {s.Sound * got.FailSoundHold, s.Sound * s.FailSound(p.hold)},
			} {
				ahead = max(ahead, math.Abs(v[0]-v[1]))
			}
		}
	}
	return worn, ahead
}

func TestDrawsAgreeWithModels(t *testing.T) {
	kinds := []struct {
		name   string
		r      wear.Replacement
		add    func(h *wear.History, r *rand.Rand)
		models []int // of benchModels
	}{
		{"nothing dated, nothing unseen", wear.Improved, nil, []int{0, 1, 2, 3, 4, 5}},
		{"rectified unseen", wear.Improved, unseen, []int{0, 3, 4}},
		{"dated", wear.Improved, dated, []int{0, 1, 3, 4}},
		{"unseen renewals", wear.Same, unseen, []int{0, 4}},
	}
	for _, kind := range kinds {
		for _, i := range kind.models {
			c, gap := benchModels[i], 5e-4
			if strings.HasPrefix(c.name, "table") {
				gap = 1e-2 // near a knot, where a cubic cannot follow
			}
			t.Run(kind.name+"/"+c.name, func(t *testing.T) {
				worn, ahead := drawErrors(t, c, kind.r, fleet(20, kind.add), normals(3))
				t.Logf("worst difference: p_worn %.1e, failures %.1e", worn, ahead)
				if worn > gap || ahead > gap {
					t.Errorf("p_worn %.1e, failures %.1e: want at most %.0e", worn, ahead, gap)
				}
			})
		}
	}
}

func TestDrawsRejectBadArguments(t *testing.T) {
	w, z := life.Weibull{Shape: 2, Scale: 1e5}, normals(3)
	cases := []struct {
		name   string
		onset  life.Distribution
		weight float64
		shares []float64
		z      [][4]float64
		want   string
	}{
		{"a weight of nothing", w, 0, nil, z, "weight 0: must be above 0"},
		{"no draws", w, 12, nil, nil, "no normals given"},
		{"shares for other draws", w, 12, []float64{0.5}, z, "1 shares for 3 draws"},
		{"a curve that is none", life.Weibull{}, 12, nil, z, "onset: invalid life distribution"},
		{"no curve", nil, 12, nil, z, "onset: no curve given"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := wear.NewDraws(c.onset, w, wear.Same, c.weight, c.shares, c.z)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// With a great weight every draw is the catalogue's curve, shares aside.
func TestDrawsNarrowWithWeight(t *testing.T) {
	onset, delay := life.Weibull{Shape: 3.2, Scale: 215000}, life.Weibull{Shape: 1.8, Scale: 42000}
	z := normals(40)
	m, err := wear.New(onset, delay, wear.Improved)
	require.NoError(t, err)
	h := wear.History{X: 150000, Share: 1}
	spread := map[float64]float64{}
	for _, weight := range []float64{4, 40, 1e10} {
		d, err := wear.NewDraws(onset, delay, wear.Improved, weight, nil, z)
		require.NoError(t, err)
		worn := wornIn(d, h)
		slices.Sort(worn)
		spread[weight] = wear.Percentile(worn, 0.9) - wear.Percentile(worn, 0.1)
		if weight > 1e9 {
			require.InDelta(t, m.Assess(h).Worn, worn[20], 1e-4)
		}
	}
	require.Greater(t, spread[4], 2*spread[40])
	require.Less(t, spread[1e10], 1e-4)
}

// The share drawn stands in where membership is not known, and only there; a
// part found worn is worn in every draw.
func TestDrawsUseTheirShareWhereMembershipIsUnknown(t *testing.T) {
	onset, delay, z := life.Weibull{Shape: 3.2, Scale: 215000}, life.Exponential{Mean: 42000}, normals(2)
	d, err := wear.NewDraws(onset, delay, wear.Improved, 12, []float64{0, 1}, z)
	require.NoError(t, err)
	worn := wornIn(d, wear.History{X: 150000, Share: 0.45})
	require.Zero(t, worn[0])
	known := wornIn(d, wear.History{X: 150000, Share: 1})
	require.Equal(t, known[1], worn[1])
	require.Positive(t, known[0])
	require.Equal(t, []float64{1, 1}, wornIn(d, wear.History{X: 150000, Share: 0.45, Found: true, FoundWornAt: 140000}))
}

// wornIn is the chance of being worn in each draw.
func wornIn(d *wear.Draws, h wear.History) []float64 {
	states := make([]wear.DrawState, d.Len())
	d.Assess(h, nil, 0, 0, states)
	worn := make([]float64, len(states))
	for k := range states {
		worn[k] = states[k].Worn
	}
	return worn
}

func TestDrawsAnswerWithProbabilities(t *testing.T) {
	z := normals(8)
	dst := make([]wear.DrawState, len(z))
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]wear.Replacement{wear.Improved, wear.Same}).Draw(t, "replacement")
		weight := rapid.Float64Range(2, 50).Draw(t, "weight")
		d, err := wear.NewDraws(drawCurve(t, "onset", 3e3, 5e5), drawCurve(t, "delay", 400, 3e5), r, weight, nil, z)
		require.NoError(t, err)
		h := drawHistory(t)
		var seen []wear.Seen
		for _, f := range h.Factors {
			seen = append(seen, wear.Seen{At: f.At, Worn: []float64{f.Worn}, NotWorn: []float64{f.NotWorn}})
		}
		far := rapid.Float64Range(0, 300000).Draw(t, "d")
		d.Assess(h, seen, 0, far, dst)
		for _, s := range dst {
			require.True(t, s.Worn >= 0 && s.Sound >= 0 && s.Worn+s.Sound <= 1+1e-9, "%+v", s)
			require.Zero(t, s.FailWornNext+s.FailSoundNext)
			require.True(t, s.FailWornHold >= 0 && s.FailWornHold <= 1 && s.FailSoundHold >= 0 && s.FailSoundHold <= 1, "%+v", s)
		}
	})
}

func TestPercentile(t *testing.T) {
	// Hyndman & Fan (1996), type 7: position (n-1)p between order statistics.
	cases := []struct {
		name   string
		values []float64
		p      float64
		want   float64
	}{
		{"the middle of two is between them", []float64{1, 3}, 0.5, 2},
		{"a tenth of eleven is the second", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, 0.1, 1},
		{"nine tenths of five", []float64{1, 2, 3, 4, 5}, 0.9, 4.6},
		{"one value is every percentile", []float64{7}, 0.9, 7},
		{"beyond the ends are the ends", []float64{1, 2}, 2, 2},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { require.InDelta(t, c.want, wear.Percentile(c.values, c.p), 1e-12) })
	}
	require.True(t, math.IsNaN(wear.Percentile(nil, 0.5)))
}

// benchDraws measures 200 draws of a pair, once the tables stand.
func benchDraws(b *testing.B, r wear.Replacement, n int, add func(*wear.History, *rand.Rand)) {
	pairs, z := fleet(n, add), normals(200)
	dst := make([]wear.DrawState, len(z))
	likely := make([]float64, len(z))
	for k := range likely {
		likely[k] = 0.3 + 0.1*z[k][0]/10
	}
	for _, c := range benchModels {
		d, err := wear.NewDraws(c.onset, c.delay, r, 12, nil, z)
		if err != nil {
			b.Fatal(err)
		}
		run := func(p *pair) {
			var seen [3]wear.Seen
			for i, f := range p.h.Factors {
				seen[i] = wear.Seen{At: f.At, Worn: likely, NotWorn: []float64{0.01}}
			}
			d.Assess(p.h, seen[:len(p.h.Factors)], p.next, p.hold, dst)
		}
		b.Run(c.name, func(b *testing.B) {
			for i := range pairs {
				run(&pairs[i])
			}
			i := 0
			for b.Loop() {
				run(&pairs[i%n])
				i++
			}
		})
	}
}

func BenchmarkDraws(b *testing.B)       { benchDraws(b, wear.Improved, 2000, nil) }
func BenchmarkDrawsDated(b *testing.B)  { benchDraws(b, wear.Improved, 300, dated) }
func BenchmarkDrawsUnseen(b *testing.B) { benchDraws(b, wear.Same, 20, unseen) }

// BenchmarkDrawsBuild measures the tables behind a fleet's 200 draws.
func BenchmarkDrawsBuild(b *testing.B) {
	pairs, z := fleet(2000, nil), normals(200)
	dst := make([]wear.DrawState, len(z))
	for _, c := range benchModels {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				d, err := wear.NewDraws(c.onset, c.delay, wear.Improved, 12, nil, z)
				if err != nil {
					b.Fatal(err)
				}
				for i := range pairs {
					d.Assess(pairs[i].h, nil, pairs[i].next, pairs[i].hold, dst)
				}
			}
		})
	}
}

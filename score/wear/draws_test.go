package wear_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

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
		name string
		r    wear.Replacement
		add  func(h *wear.History, r *rand.Rand)
		gap  float64
	}{
		{"nothing dated, nothing unseen", wear.Improved, nil, 3e-4},
		{"rectified unseen", wear.Improved, unseen, 3e-4},
		{"dated", wear.Improved, dated, 5e-4},
		{"unseen renewals", wear.Same, unseen, 1e-3},
	}
	for _, kind := range kinds {
		for _, c := range benchModels {
			t.Run(kind.name+"/"+c.name, func(t *testing.T) {
				worn, ahead := drawErrors(t, c, kind.r, fleet(25, kind.add), normals(6))
				t.Logf("worst difference: p_worn %.1e, failures %.1e", worn, ahead)
				if worn > kind.gap || ahead > kind.gap {
					t.Errorf("p_worn %.1e, failures %.1e: want at most %.0e", worn, ahead, kind.gap)
				}
			})
		}
	}
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

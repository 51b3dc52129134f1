package wear_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/wear"
)

// BenchmarkScored is scoring as a run does it where nothing is dated before
// today and nothing was renewed unseen: each pair's posterior and two
// distances ahead; with intervals, 200 draws of the same and the 10th and 90th
// percentile of p_worn besides, where p_worn is at least 0.01. Nineteen pairs of twenty
// have a clean scan, one a code. It reports pairs a second and the share of
// pairs with an interval.
func BenchmarkScored(b *testing.B) {
	for _, c := range benchModels[:3] {
		for _, intervals := range []bool{false, true} {
			name := c.name
			if intervals {
				name += ", with intervals"
			}
			b.Run(name, func(b *testing.B) {
				m, err := wear.New(c.onset, c.delay, wear.Improved)
				require.NoError(b, err)
				r := rand.New(rand.NewPCG(3, 4))
				z := make([][4]float64, 200)
				for k := range z {
					z[k] = [4]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
				}
				d, err := wear.NewDraws(c.onset, c.delay, wear.Improved, 24, nil, z)
				require.NoError(b, err)
				s := scoring{m: m, d: d, intervals: intervals, states: make([]wear.DrawState, 200), worn: make([]float64, 200)}
				pairs := fleet(20_000, nil)
				for i := range pairs {
					pairs[i].h.Factors = []wear.Factor{{At: math.Inf(1), Worn: 0.3, NotWorn: 0.98}}
					if r.IntN(20) == 0 {
						pairs[i].h.Factors[0] = wear.Factor{At: math.Inf(1), Worn: 0.7, NotWorn: 0.02}
					}
					s.pair(&pairs[i]) // fill the tables
				}
				s.shown = 0
				n := 0
				for b.Loop() {
					s.pair(&pairs[n%len(pairs)])
					n++
				}
				b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "pairs/s")
				b.ReportMetric(float64(s.shown)/float64(n), "intervals/pair")
			})
		}
	}
}

type scoring struct {
	m         *wear.Model
	d         *wear.Draws
	intervals bool
	states    []wear.DrawState
	worn      []float64
	seen      [1]wear.Seen
	w, n      [1]float64
	shown     int
}

func (s *scoring) pair(p *pair) {
	st := s.m.Assess(p.h)
	w1, s1 := st.Follow(p.next)
	w2, s2 := st.Follow(p.hold)
	sink += w1 + s1 + w2 + s2
	if !s.intervals || st.Worn < 0.01 {
		return
	}
	s.shown++
	f := p.h.Factors[0]
	s.w[0], s.n[0] = f.Worn, f.NotWorn
	s.seen[0] = wear.Seen{At: f.At, Worn: s.w[:], NotWorn: s.n[:]}
	s.d.Assess(p.h, s.seen[:], p.next, p.hold, s.states)
	for k := range s.states {
		s.worn[k] = s.states[k].Worn
	}
	sink += wear.Percentile(s.worn, 0.1) + wear.Percentile(s.worn, 0.9)
}

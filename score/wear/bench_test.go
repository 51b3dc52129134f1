package wear_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// pair is one vehicle-part as a fleet has them: any distance from 5,000 to
// 400,000 km, a week's run and a holding distance.
type pair struct {
	h          wear.History
	next, hold float64
}

// fleet makes n pairs; add puts in what a kind of history has besides.
func fleet(n int, add func(h *wear.History, r *rand.Rand)) []pair {
	r := rand.New(rand.NewPCG(1, 2))
	pairs := make([]pair, n)
	for i := range pairs {
		x := 5000 * math.Exp(r.Float64()*math.Log(80))
		p := pair{h: wear.History{X: x, Share: 1}, next: 300 * math.Exp(r.Float64()*1.5), hold: 60000 * (0.4 + r.Float64())}
		if r.IntN(3) == 0 {
			p.h.Share = 0.45
		}
		p.h.Factors = []wear.Factor{{At: x, Worn: 0.25, NotWorn: 0.01}, {At: x, Worn: 0.8, NotWorn: 0.99}}
		if add != nil {
			add(&p.h, r)
		}
		pairs[i] = p
	}
	return pairs
}

func dated(h *wear.History, r *rand.Rand) {
	h.Factors = append(h.Factors, wear.Factor{At: h.X * r.Float64(), Worn: 0.1, NotWorn: 1})
}

func unseen(h *wear.History, r *rand.Rand) { h.E = h.X * r.Float64() }

// benchModels are the families that a catalogue may name.
var benchModels = []struct {
	name         string
	onset, delay life.Distribution
}{
	{"weibull, weibull", life.Weibull{Shape: 3.2, Scale: 215000}, life.Weibull{Shape: 1.8, Scale: 42000}},
	{"weibull, exponential", life.Weibull{Shape: 2.4, Scale: 290000}, life.Exponential{Mean: 30000}},
	{"lognormal, lognormal", life.Lognormal{Mu: 12.4, Sigma: 0.5}, life.Lognormal{Mu: 10.4, Sigma: 0.6}},
	{"short delay", life.Weibull{Shape: 2.61, Scale: 341000}, life.Weibull{Shape: 2.57, Scale: 9400}},
	{"shapes below 1", life.Weibull{Shape: 0.6, Scale: 300000}, life.Weibull{Shape: 0.7, Scale: 40000}},
	{"table, weibull", benchTable(), life.Weibull{Shape: 1.8, Scale: 42000}},
}

func benchTable() life.Distribution {
	t, err := life.NewTable([]life.Point{{Distance: 60000, Share: 0.01}, {Distance: 120000, Share: 0.06}, {Distance: 200000, Share: 0.3}, {Distance: 300000, Share: 0.7}})
	if err != nil {
		panic(err)
	}
	return t
}

var sink float64

func assess(m *wear.Model, p *pair) {
	s := m.Assess(p.h)
	w1, s1 := s.Follow(p.next)
	w2, s2 := s.Follow(p.hold)
	sink += w1 + s1 + w2 + s2
}

// benchAssess measures a pair with two distances ahead, once the tables stand.
func benchAssess(b *testing.B, r wear.Replacement, n int, add func(*wear.History, *rand.Rand)) {
	pairs := fleet(n, add)
	for _, c := range benchModels {
		b.Run(c.name, func(b *testing.B) {
			m, err := wear.New(c.onset, c.delay, r)
			if err != nil {
				b.Fatal(err)
			}
			for i := range pairs {
				assess(m, &pairs[i])
			}
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				assess(m, &pairs[i%n])
				i++
			}
		})
	}
}

func BenchmarkAssess(b *testing.B)       { benchAssess(b, wear.Improved, 20000, nil) }
func BenchmarkAssessDated(b *testing.B)  { benchAssess(b, wear.Improved, 2000, dated) }
func BenchmarkAssessUnseen(b *testing.B) { benchAssess(b, wear.Same, 1000, unseen) }
func BenchmarkAssessDatedUnseen(b *testing.B) {
	benchAssess(b, wear.Same, 500, func(h *wear.History, r *rand.Rand) { unseen(h, r); dated(h, r) })
}

// BenchmarkBuild measures a new model's first 5,000 pairs, almost all of which
// is filling tables.
func BenchmarkBuild(b *testing.B) {
	pairs := fleet(5000, nil)
	for _, c := range benchModels {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				m, err := wear.New(c.onset, c.delay, wear.Improved)
				if err != nil {
					b.Fatal(err)
				}
				for i := range pairs {
					assess(m, &pairs[i])
				}
			}
		})
	}
}

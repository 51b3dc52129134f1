package life_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// highest is the greatest value of f over a coarse and then ever finer grid
// around (x, y): slow, and with nothing in common with the fit's search.
func highest(x, y, width float64, f func(x, y float64) float64) float64 {
	best := f(x, y)
	for ; width > 1e-7; width /= 3 {
		cx, cy := x, y
		for i := -5.0; i <= 5; i++ {
			for j := -5.0; j <= 5; j++ {
				if v := f(cx+i*width/5, cy+j*width/5); v > best {
					best, x, y = v, cx+i*width/5, cy+j*width/5
				}
			}
		}
	}
	return best
}

// logLik is written out from the distributions alone.
func logLik(rs []life.Record, d life.Distribution, share float64) (sum float64) {
	survival := func(t float64) float64 { return 1 - share*life.CDF(d, t) }
	for _, r := range rs {
		switch {
		case r.Exact():
			sum += r.Weight * math.Log(share*life.PDF(d, r.Low))
		case r.Running():
			sum += r.Weight * math.Log(survival(r.Low))
		default:
			sum += r.Weight * math.Log(survival(r.Low)-survival(r.High))
		}
		sum -= r.Weight * math.Log(survival(r.Entry))
	}
	return sum
}

// simulated is a fleet with every kind of record and, where weak is below 1,
// parts that never fail.
func simulated(seed uint64, d life.Distribution, weak float64, parts int) []life.Record {
	r := rand.New(rand.NewPCG(seed, 77))
	var rs []life.Record
	for range parts {
		t, end := d.Quantile(r.Float64()), 250*r.Float64()+50
		switch {
		case r.Float64() > weak || t > end:
			rs = append(rs, life.Running(end))
		case r.Float64() < 0.3:
			rs = append(rs, life.Between(t*0.8, t*1.2))
		default:
			rs = append(rs, life.Failed(t))
		}
	}
	return rs
}

// At both ends of a likelihood-ratio interval the profile has fallen by half
// the chi-squared quantile, the profile found by grids on a likelihood of its
// own: for the lognormal, a life at a share failed, and a share that can fail.
func TestLikelihoodRatioEndsLieWhereTheProfileHasFallen(t *testing.T) {
	const fall = 1.2815515655446004 * 1.2815515655446004 / 2 // 80 %
	lognormal := simulated(1, life.Lognormal{Mu: 4.5, Sigma: 0.6}, 1, 40)
	limited := simulated(2, life.Weibull{Shape: 2.5, Scale: 80}, 0.5, 150)
	cases := []struct {
		name    string
		records []life.Record
		model   life.Model
		ends    func(*life.Fit) (life.Interval, error)
		profile func(rs []life.Record, f *life.Fit, at float64) float64
	}{
		{"sigma", lognormal, life.Model{Family: life.FamilyLognormal},
			func(f *life.Fit) (life.Interval, error) { return f.LikelihoodRatio(life.Sigma, 0.8) },
			func(rs []life.Record, f *life.Fit, at float64) float64 {
				return highest(f.Curve.(life.Lognormal).Mu, 0, 1, func(mu, _ float64) float64 {
					return logLik(rs, life.Lognormal{Mu: mu, Sigma: at}, 1)
				})
			}},
		{"mu", lognormal, life.Model{Family: life.FamilyLognormal},
			func(f *life.Fit) (life.Interval, error) { return f.LikelihoodRatio(life.Mu, 0.8) },
			func(rs []life.Record, f *life.Fit, at float64) float64 {
				return highest(math.Log(f.Curve.(life.Lognormal).Sigma), 0, 1, func(s, _ float64) float64 {
					return logLik(rs, life.Lognormal{Mu: at, Sigma: math.Exp(s)}, 1)
				})
			}},
		{"life of 10 %", lognormal, life.Model{Family: life.FamilyLognormal},
			func(f *life.Fit) (life.Interval, error) { return f.LifeLikelihoodRatio(0.1, 0.8) },
			func(rs []life.Record, f *life.Fit, at float64) float64 {
				return highest(math.Log(f.Curve.(life.Lognormal).Sigma), 0, 1, func(s, _ float64) float64 {
					mu := math.Log(at) + 1.2815515655446004*math.Exp(s)
					return logLik(rs, life.Lognormal{Mu: mu, Sigma: math.Exp(s)}, 1)
				})
			}},
		{"share of a limited population", limited, life.Model{Limited: true},
			func(f *life.Fit) (life.Interval, error) { return f.LikelihoodRatio(life.Share, 0.8) },
			func(rs []life.Record, f *life.Fit, at float64) float64 {
				w := f.Curve.(life.Weibull)
				return highest(math.Log(w.Scale), math.Log(w.Shape), 0.5, func(x, y float64) float64 {
					return logLik(rs, life.Weibull{Shape: math.Exp(y), Scale: math.Exp(x)}, at)
				})
			}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := life.Estimate(c.records, c.model)
			require.NoError(t, err)
			require.InEpsilon(t, logLik(c.records, f.Curve, f.Share), f.LogLik, 1e-10)
			i, err := c.ends(f)
			require.NoError(t, err)
			require.Less(t, i.Low, i.High)
			for _, at := range []float64{i.Low, i.High} {
				require.InDelta(t, f.LogLik-fall, c.profile(c.records, f, at), 1e-5)
			}
		})
	}
}

// An end that the data do not bound is said so, not made up: the published
// limited population was followed too briefly for a share of 1 to be ruled out
// at a high level.
func TestAnEndWithoutABoundIsTheEdge(t *testing.T) {
	c := published{Data: "data/simulated_limited_population.csv"}
	f, err := life.Estimate(c.records(t), life.Model{Limited: true})
	require.NoError(t, err)
	require.NotEmpty(t, f.Warnings)
	require.ErrorContains(t, f.Warnings[0], "poorly determined")
	i, err := f.LikelihoodRatio(life.Share, 0.9999)
	require.NoError(t, err)
	require.Equal(t, 1.0, i.High)
	require.Positive(t, i.Low)
}

func TestIntervalsRefuseWhatTheyWereNotMadeFor(t *testing.T) {
	f, err := life.Estimate([]life.Record{life.Failed(60), life.Failed(90), life.Running(200)}, life.Model{})
	require.NoError(t, err)
	_, err = f.Wald(life.Scale, 1)
	require.ErrorIs(t, err, life.ErrParameter)
	_, err = f.LikelihoodRatio(life.Share, 0.8)
	require.ErrorIs(t, err, life.ErrNotEstimated)
	_, err = f.LifeWald(0, 0.8)
	require.ErrorIs(t, err, life.ErrParameter)
	_, err = f.LifeLikelihoodRatio(0.1, math.NaN())
	require.ErrorIs(t, err, life.ErrParameter)
}

// fleet100k is 100,000 parts, right-censored at uneven distances, with or
// without late entry.
func fleet100k(late bool) []life.Record {
	r := rand.New(rand.NewPCG(3, 3))
	d, rs := life.Weibull{Shape: 2.2, Scale: 1e5}, make([]life.Record, 0, 100000)
	for len(rs) < cap(rs) {
		entry, end := 0.0, 1.5e5*r.Float64()
		if late {
			entry = end * r.Float64()
		}
		h := d.CumHazard(entry) + r.ExpFloat64()
		if t := d.Quantile(-math.Expm1(-h)); t <= end {
			rs = append(rs, life.Failed(t).From(entry))
		} else {
			rs = append(rs, life.Running(end).From(entry))
		}
	}
	return rs
}

func BenchmarkEstimate100k(b *testing.B) {
	for name, late := range map[string]bool{"plain": false, "late entry": true} {
		rs := fleet100k(late)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := life.Estimate(rs, life.Model{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

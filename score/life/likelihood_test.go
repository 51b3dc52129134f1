package life

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// mixed holds every kind of record, with and without late entry.
func mixed() []Record {
	return []Record{
		Failed(120).Times(3), Failed(310), Failed(90).From(20),
		Running(400).Times(5), Running(250).From(100),
		Between(0, 80).Times(2), Between(150, 260), Between(180, 500).From(60),
	}
}

// The analytic gradient agrees with central differences of the value, and the
// Hessian with central differences of the gradient, for each family, with a
// limited population, with a prior and with the first parameter anchored at a
// life.
func TestGradientAndHessianAgreeWithDifferences(t *testing.T) {
	weibull, err := (&Prior{Curve: Weibull{Shape: 2, Scale: 300}, Weight: 4, Share: 0.3, ShareWeight: 6}).working(FamilyWeibull)
	require.NoError(t, err)
	lognormal, err := (&Prior{Curve: Lognormal{Mu: 5, Sigma: 0.7}, Weight: 4}).working(FamilyLognormal)
	require.NoError(t, err)
	cases := []struct {
		name string
		l    likelihood
	}{
		{"weibull", likelihood{kernel: extreme{}}},
		{"weibull with a prior", likelihood{kernel: extreme{}, prior: weibull}},
		{"weibull anchored at the life of 10 %", likelihood{kernel: extreme{}, anchor: extreme{}.quantile(0.1)}},
		{"weibull anchored, with a prior", likelihood{kernel: extreme{}, anchor: extreme{}.quantile(0.1), prior: weibull}},
		{"weibull in a limited population", likelihood{kernel: extreme{}, limited: true}},
		{"weibull in a limited population with a prior, anchored", likelihood{kernel: extreme{}, limited: true, prior: weibull, anchor: -1}},
		{"lognormal", likelihood{kernel: normal{}}},
		{"lognormal with a prior, anchored", likelihood{kernel: normal{}, prior: lognormal, anchor: -1.3}},
		{"lognormal in a limited population", likelihood{kernel: normal{}, limited: true}},
	}
	r := rand.New(rand.NewPCG(4, 2))
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			c.l.obs = observe(mixed())
			for range 20 {
				at := vector{5.5 + 0.5*r.NormFloat64(), 0.4 * r.NormFloat64(), r.NormFloat64()}
				e := c.l.eval(at)
				require.False(t, math.IsInf(e.f, 0))
				for i := range dims {
					const h = 1e-5
					up, down := at, at
					up[i] += h
					down[i] -= h
					a, b := c.l.eval(up), c.l.eval(down)
					require.InDelta(t, (a.f-b.f)/(2*h), e.grad[i], 1e-6*(1+math.Abs(e.grad[i])), "slope %d at %v", i, at)
					for j := range dims {
						require.InDelta(t, (a.grad[j]-b.grad[j])/(2*h), e.hess[i][j], 1e-6*(1+math.Abs(e.hess[i][j])), "curvature %d, %d at %v", i, j, at)
					}
				}
			}
		})
	}
}

// Intervals far in either tail keep their logarithm: there P(a < Z <= b) is
// nearly the density times the width.
func TestIntervalsKeepTheirDigitsInTheTails(t *testing.T) {
	cases := []struct {
		name string
		k    kernel
		a    float64
	}{
		{"normal, lower tail", normal{}, -30}, {"normal, upper tail", normal{}, 30}, {"normal, middle", normal{}, 0},
		{"extreme value, lower tail", extreme{}, -40}, {"extreme value, upper tail", extreme{}, 4},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			const width = 1e-5
			middle := c.k.density(c.a + width/2)
			require.InDelta(t, middle.f+math.Log(width), c.k.between(c.a, c.a+width), 2e-7)
		})
	}
}

package life_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"pitlist/score/life"
)

func table(t require.TestingT, points ...life.Point) *life.Table {
	d, err := life.NewTable(points)
	require.NoError(t, err)
	return d
}

// Values from NIST/SEMATECH e-Handbook of Statistical Methods, 8.1.6.2 (Weibull
// with shape 1.5 and characteristic life 8,000: 10 % fail by 1784.7) and
// 8.1.6.4 (lognormal with sigma 0.5 and T50 20,000: F(10,000) = 0.0828), from memory;
// the rest are definitions.
func TestDistributionsAtKnownPlaces(t *testing.T) {
	cases := []struct {
		name string
		d    life.Distribution
		at   float64
		cdf  float64
		gap  float64
	}{
		{"weibull reaches 1-1/e at its scale", life.Weibull{Shape: 3.3, Scale: 215000}, 215000, 1 - 1/math.E, 1e-14},
		{"weibull of shape 1 is exponential", life.Weibull{Shape: 1, Scale: 40000}, 10000, -math.Expm1(-0.25), 1e-14},
		{"weibull of the handbook", life.Weibull{Shape: 1.5, Scale: 8000}, 1784.7, 0.1, 1e-4},
		{"exponential at its mean", life.Exponential{Mean: 59100}, 59100, 1 - 1/math.E, 1e-14},
		{"lognormal at its median", life.Lognormal{Mu: 12.4, Sigma: 0.7}, math.Exp(12.4), 0.5, 1e-14},
		{"lognormal of the handbook", life.Lognormal{Mu: math.Log(20000), Sigma: 0.5}, 10000, 0.0828, 1e-3},
		{"table at its point", table(t, life.Point{Distance: 60000, Share: 0.01}, life.Point{Distance: 90000, Share: 0.2}), 90000, 0.2, 1e-14},
		{"table from the origin", table(t, life.Point{Distance: 60000, Share: 0.19}), 30000, 0.1, 1e-14},
		{"table's last slope goes on", table(t, life.Point{Distance: 60000, Share: 0.19}), 120000, 1 - 0.81*0.81, 1e-14},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { require.InEpsilon(t, c.cdf, life.CDF(c.d, c.at), c.gap) })
	}
}

// Tails from Mills' ratio and its series (Abramowitz & Stegun 26.2.12), where
// 1-exp(...) has nothing left: P(Z > 5) = 2.866515719e-7, ln P(Z > 40) from
// -z²/2 - ln(z√2π) - 1/z² + 2.5/z⁴.
func TestTailsKeepTheirDigits(t *testing.T) {
	l := life.Lognormal{Mu: 10, Sigma: 0.5}
	require.InEpsilon(t, 2.866515719e-7, life.CDF(l, math.Exp(10-2.5)), 1e-9)
	require.InEpsilon(t, 2.866515719e-7, life.Survival(l, math.Exp(10+2.5)), 1e-9)
	far := 40*40/2.0 + math.Log(40*math.Sqrt(2*math.Pi)) + 1/1600.0 - 2.5/(1600.0*1600.0)
	require.InEpsilon(t, far, l.CumHazard(math.Exp(10+20)), 1e-10)
	w := life.Weibull{Shape: 3, Scale: 2e5}
	require.InEpsilon(t, 1.25e-16, life.CDF(w, 1), 1e-12)
	require.InEpsilon(t, 1e-12*3*1e10/8e15, life.Conditional(w, 1e5, 1e5+1e-12)+1e-12*3*1e10/8e15, 1) // no NaN where nothing is left between
	require.InEpsilon(t, 3*1e10/8e15, life.Conditional(w, 1e5, 1e5+1), 2e-5)
}

func drawDistribution(t *rapid.T) life.Distribution {
	scale := rapid.Float64Range(10, 1e6).Draw(t, "scale")
	switch rapid.IntRange(0, 3).Draw(t, "family") {
	case 0:
		return life.Exponential{Mean: scale}
	case 1:
		return life.Lognormal{Mu: math.Log(scale), Sigma: rapid.Float64Range(0.1, 2).Draw(t, "sigma")}
	case 2:
		first := rapid.Float64Range(0, 0.5).Draw(t, "share")
		return table(t, life.Point{Distance: scale, Share: first}, life.Point{Distance: 2 * scale, Share: first + 0.3})
	}
	return life.Weibull{Shape: rapid.Float64Range(0.4, 6).Draw(t, "shape"), Scale: scale}
}

func TestQuantileIsTheInverseOfCDF(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDistribution(t)
		require.NoError(t, d.Validate())
		p := rapid.Float64Range(1e-6, 1-1e-6).Draw(t, "p")
		require.InEpsilon(t, p, life.CDF(d, d.Quantile(p)), 1e-9)
		require.Zero(t, d.Quantile(0))
		require.True(t, math.IsInf(d.Quantile(1), 1))
	})
}

func TestHazardIsTheSlopeOfCumHazard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDistribution(t)
		x := d.Quantile(rapid.Float64Range(0.05, 0.95).Draw(t, "p"))
		step := 1e-5 * x
		if k, ok := d.(*life.Table); ok {
			for _, at := range k.Knots() {
				if math.Abs(at-x) < 2*step {
					t.Skip("the slope steps at a knot")
				}
			}
		}
		slope := (d.CumHazard(x+step) - d.CumHazard(x-step)) / (2 * step)
		require.InDelta(t, 1, slope/d.Hazard(x), 1e-6)
		cum, rate := life.Hazards(d, x)
		require.InEpsilon(t, d.CumHazard(x), cum, 1e-13)
		require.InEpsilon(t, d.Hazard(x), rate, 1e-13)
		require.InEpsilon(t, rate*math.Exp(-cum), life.PDF(d, x), 1e-13)
		one, over := []float64{0}, []float64{0}
		life.HazardsOver(d, []float64{x}, []float64{math.Log(x)}, one, over)
		require.InDelta(t, cum, one[0], 1e-11*max(1, cum))
		require.InEpsilon(t, rate, over[0], 1e-10)
	})
}

func TestHazardAtNew(t *testing.T) {
	cases := []struct {
		name string
		d    life.Distribution
		want float64
	}{
		{"unbounded for a shape below 1", life.Weibull{Shape: 0.6, Scale: 100}, math.Inf(1)},
		{"1/scale for shape 1, whatever the scale", life.Weibull{Shape: 1, Scale: 100}, 0.01},
		{"nothing for a shape above 1", life.Weibull{Shape: 2, Scale: 100}, 0},
		{"nothing for a lognormal", life.Lognormal{Mu: 3, Sigma: 1}, 0},
		{"1/mean for an exponential", life.Exponential{Mean: 50}, 0.02},
		{"the first slope of a table", table(t, life.Point{Distance: 10, Share: -math.Expm1(-0.5)}), 0.05},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			require.InDelta(t, 0, c.d.CumHazard(0), 0)
			require.Zero(t, c.d.CumHazard(-1))
			require.Zero(t, c.d.Hazard(-1))
			if math.IsInf(c.want, 1) {
				require.True(t, math.IsInf(c.d.Hazard(0), 1))
				return
			}
			require.InDelta(t, c.want, c.d.Hazard(0), 1e-12)
		})
	}
}

func TestValidateNamesTheFault(t *testing.T) {
	nan := math.NaN()
	cases := []struct {
		name string
		d    life.Distribution
		want string
	}{
		{"weibull shape of 0", life.Weibull{Scale: 1}, "weibull shape 0"},
		{"weibull scale that is no number", life.Weibull{Shape: 1, Scale: nan}, "weibull scale NaN"},
		{"endless mean", life.Exponential{Mean: math.Inf(1)}, "exponential mean +Inf"},
		{"lognormal mu that is no number", life.Lognormal{Mu: nan, Sigma: 1}, "lognormal mu NaN"},
		{"lognormal sigma below 0", life.Lognormal{Mu: 1, Sigma: -1}, "lognormal sigma -1"},
		{"table not made by NewTable", &life.Table{}, "table without points"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := c.d.Validate()
			require.ErrorIs(t, err, life.ErrParameter)
			require.ErrorContains(t, err, c.want)
		})
	}
}

func TestNewTableReportsEveryFault(t *testing.T) {
	cases := []struct {
		name   string
		points []life.Point
		want   []string
	}{
		{"no points", nil, []string{"needs a point with a share above 0"}},
		{"shares of nothing", []life.Point{{Distance: 5}}, []string{"needs a point with a share above 0"}},
		{"distances that fall, shares that fall", []life.Point{{Distance: 9, Share: 0.5}, {Distance: 5, Share: 0.2}}, []string{"point 2: distance 5", "point 2: share 0.2"}},
		{"a share of 1 and a distance below 0", []life.Point{{Distance: -1, Share: 0}, {Distance: 5, Share: 1}}, []string{"point 1: distance -1", "point 2: share 1"}},
		{"a share when new", []life.Point{{Distance: 0, Share: 0.1}}, []string{"share 0.1 at distance 0"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := life.NewTable(c.points)
			require.ErrorIs(t, err, life.ErrParameter)
			for _, w := range c.want {
				require.ErrorContains(t, err, w)
			}
		})
	}
}

// sampled returns the sample covariance of f's two values over many draws, and
// their means.
func sampled(d life.Distribution, weight float64, f func(life.Distribution) (a, b float64)) (meanA, meanB, varA, cov, varB float64) {
	const n = 200000
	r := rand.New(rand.NewPCG(1, 9))
	a, b := make([]float64, n), make([]float64, n)
	for i := range n {
		a[i], b[i] = f(life.Draw(d, weight, [2]float64{r.NormFloat64(), r.NormFloat64()}))
	}
	return stat.Mean(a, nil), stat.Mean(b, nil), stat.Variance(a, nil), stat.Covariance(a, b, nil), stat.Variance(b, nil)
}

// The draws' covariance is the inverse of weight times the Fisher information
// of one complete observation (Meeker & Escobar 1998).
func TestDrawsHaveTheStatedPrecision(t *testing.T) {
	const weight, gamma = 12.0, 0.5772156649015329
	k := 2.4
	det := k * k * math.Pi * math.Pi / 6
	cases := []struct {
		name                  string
		d                     life.Distribution
		logs                  func(life.Distribution) (a, b float64)
		a, b, varA, cov, varB float64
	}{
		{"weibull in log scale, log shape", life.Weibull{Shape: k, Scale: 290000}, func(d life.Distribution) (float64, float64) {
			w := d.(life.Weibull)
			return math.Log(w.Scale), math.Log(w.Shape)
		}, math.Log(290000), math.Log(k), (math.Pi*math.Pi/6 + (1-gamma)*(1-gamma)) / det, (1 - gamma) * k / det, k * k / det},
		{"lognormal in mu, log sigma", life.Lognormal{Mu: 12.4, Sigma: 0.7}, func(d life.Distribution) (float64, float64) {
			l := d.(life.Lognormal)
			return l.Mu, math.Log(l.Sigma)
		}, 12.4, math.Log(0.7), 0.49, 0, 0.5},
		{"exponential in log mean", life.Exponential{Mean: 59100}, func(d life.Distribution) (float64, float64) {
			return math.Log(d.(life.Exponential).Mean), 0
		}, math.Log(59100), 0, 1, 0, 0},
		{"table in the log of one factor", table(t, life.Point{Distance: 1e5, Share: 0.3}), func(d life.Distribution) (float64, float64) {
			return math.Log(d.CumHazard(1e5) / -math.Log(0.7)), math.Log(d.CumHazard(3e5) / d.CumHazard(1e5) / 3)
		}, 0, 0, 1, 0, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			meanA, meanB, varA, cov, varB := sampled(c.d, weight, c.logs)
			// Five standard errors of a mean and of a variance over 200,000 draws.
			require.InDelta(t, c.a, meanA, 5*math.Sqrt(c.varA/weight/200000))
			require.InDelta(t, c.b, meanB, 5*math.Sqrt(c.varB/weight/200000)+1e-12)
			require.InDelta(t, c.varA, varA*weight, 5*c.varA*math.Sqrt(2.0/200000))
			require.InDelta(t, c.varB, varB*weight, 5*c.varB*math.Sqrt(2.0/200000)+1e-12)
			require.InDelta(t, c.cov, cov*weight, 5*math.Sqrt(2*c.varA*c.varB/200000)+1e-12)
		})
	}
}

func TestDrawWithoutWeightIsTheCurveItself(t *testing.T) {
	w := life.Weibull{Shape: 2, Scale: 1e5}
	z := [2]float64{1, -1}
	for name, weight := range map[string]float64{"none": 0, "below none": -3, "no number": math.NaN()} {
		t.Run(name, func(t *testing.T) { require.Equal(t, w, life.Draw(w, weight, z)) })
	}
	require.InEpsilon(t, 2, life.Draw(w, math.Inf(1), z).(life.Weibull).Shape, 1e-12)
}

func FuzzNewTable(f *testing.F) {
	f.Add(60000.0, 0.01, 90000.0, 0.2, 70000.0)
	f.Add(0.0, 0.0, 1.0, 0.5, 0.5)
	f.Fuzz(func(t *testing.T, a, p, b, q, x float64) {
		d, err := life.NewTable([]life.Point{{Distance: a, Share: p}, {Distance: b, Share: q}})
		if err != nil {
			return
		}
		require.NoError(t, d.Validate())
		c := life.CDF(d, x)
		require.True(t, c >= 0 && c <= 1, "cdf %v", c)
		require.InDelta(t, q, life.CDF(d, b), 1e-12)
	})
}

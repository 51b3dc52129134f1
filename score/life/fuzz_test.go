package life_test

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
)

// recordsFrom makes records of any bytes, 8 each: distances from the plain to
// the absurd, every kind of censoring, some of them faulty.
func recordsFrom(data []byte) []life.Record {
	var rs []life.Record
	for len(data) >= 8 && len(rs) < 40 {
		at := float64(binary.LittleEndian.Uint16(data)) * math.Pow(10, float64(int8(data[2])%16))
		width := float64(data[3]) * math.Pow(10, float64(int8(data[4])%8))
		r := life.Record{Low: at, High: at, Weight: float64(data[6]) / 4}
		switch data[5] % 6 {
		case 0, 1:
			r.High = at + width
		case 2:
			r.High = math.Inf(1)
		case 3:
			r = life.Between(0, at)
		case 4:
			r.Weight *= 1e9
		}
		if data[7]%2 == 1 {
			r.Entry = at * float64(data[7]) / 256
		}
		if data[7] == 254 {
			r.Low = math.NaN()
		}
		rs, data = append(rs, r), data[8:]
	}
	return rs
}

func noNaN(t *testing.T, what string, vs ...float64) {
	t.Helper()
	for _, v := range vs {
		require.False(t, math.IsNaN(v), "%s: %v", what, vs)
	}
}

// checkInterval wants ends in order around the estimate, up to rounding.
func checkInterval(t *testing.T, what string, i life.Interval, err error, v float64) {
	t.Helper()
	if err != nil {
		require.ErrorIs(t, err, life.ErrNotConverged)
		return
	}
	noNaN(t, what, i.Low, i.High)
	require.True(t, i.Low <= v*(1+1e-9)+1e-9 && v <= i.High*(1+1e-9)+1e-9 || what == string(life.Mu), "%s: %v in %v", what, v, i)
}

func seeds(f *testing.F) {
	f.Add([]byte("12345678abcdefghABCDEFGH"), uint8(0))
	f.Add([]byte{10, 0, 0, 0, 0, 5, 4, 0, 20, 0, 0, 0, 0, 5, 4, 0, 30, 0, 0, 0, 0, 2, 4, 1}, uint8(1))
	f.Add([]byte{10, 0, 0, 0, 0, 3, 4, 0, 20, 0, 0, 9, 0, 0, 4, 3, 30, 0, 0, 0, 0, 2, 4, 0}, uint8(6))
}

// stalled are records whose walk to a profile's end once never came to it.
var stalled = []byte{10, 0, 0, 0, 0, 3, 4, 0, 20, 0, 0, 9, 0, 0, 4, 3, 30, 0, 0, 0, 0, 2, 4, 0}

func TestProfilesEnd(t *testing.T) { checkEstimate(t, stalled, 'X') }

func FuzzEstimate(f *testing.F) {
	seeds(f)
	f.Add(stalled, uint8('X'))
	f.Fuzz(checkEstimate)
}

// checkEstimate wants an error or a fit whose figures are all numbers.
func checkEstimate(t *testing.T, data []byte, how uint8) {
	m := life.Model{Family: []life.Family{life.FamilyWeibull, life.FamilyLognormal, life.FamilyExponential}[how%3], Limited: how&8 != 0}
	if how&16 != 0 {
		m.Shape = 2.5
	}
	if how&32 != 0 && m.Family == life.FamilyWeibull {
		m.Prior = &life.Prior{Curve: life.Weibull{Shape: 2, Scale: 1e4}, Weight: float64(how), Share: 0.3, ShareWeight: 2}
	}
	fit, err := life.Estimate(recordsFrom(data), m)
	if err != nil {
		require.Nil(t, fit)
		return
	}
	require.NoError(t, fit.Curve.Validate())
	noNaN(t, "fit", fit.LogLik, fit.Share, fit.Events, fit.Exposure, fit.AIC(), fit.Life(0.1), fit.Life(0.9))
	require.True(t, fit.Share > 0 && fit.Share <= 1)
	for _, p := range fit.Parameters() {
		v, err := fit.Value(p)
		require.NoError(t, err)
		se, err := fit.SE(p)
		require.NoError(t, err)
		noNaN(t, string(p), v, se)
		i, err := fit.Wald(p, 0.8)
		checkInterval(t, string(p), i, err, v)
		i, err = fit.LikelihoodRatio(p, 0.8)
		checkInterval(t, string(p), i, err, v)
	}
	i, err := fit.LifeLikelihoodRatio(0.1, 0.8)
	checkInterval(t, "life", i, err, fit.Life(0.1))
}

func FuzzNonParametric(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte, how uint8) {
		rs := recordsFrom(data)
		if km, err := life.KaplanMeier(rs, float64(how)); err == nil {
			last := 1.0
			for _, s := range km.Steps {
				noNaN(t, "kaplan-meier", s.Survival, s.SE, s.CumHazard, s.HazardSE)
				require.True(t, s.Survival >= 0 && s.Survival <= last)
				last = s.Survival
			}
		}
		if c, err := life.Turnbull(rs); err == nil {
			sum := 0.0
			for _, m := range c.Masses {
				noNaN(t, "turnbull", m.Share)
				sum += m.Share
			}
			require.InDelta(t, 1, sum, 1e-6)
			noNaN(t, "turnbull", c.LogLik, c.Gap)
		}
		if b, err := life.ScaleAtLeast(rs, float64(how)/8, 0.8); err == nil {
			noNaN(t, "bound", b.Scale)
			require.Positive(t, b.Scale)
		}
		if c, err := life.Choose(rs); err == nil {
			require.NotEmpty(t, c.Fits)
		}
	})
}

func FuzzMeanCumulative(f *testing.F) {
	f.Add([]byte{0, 20, 3, 9, 5, 30, 7, 8})
	f.Fuzz(func(t *testing.T, data []byte) {
		var us []life.Unit
		for len(data) >= 4 {
			u := life.Unit{Entry: float64(data[0] % 8), End: float64(data[1])}
			for _, b := range data[2:4] {
				if b > 0 {
					u.Events = append(u.Events, float64(b%64))
				}
			}
			us, data = append(us, u), data[4:]
		}
		m, err := life.MeanCumulative(us)
		if err != nil {
			require.Nil(t, m)
			return
		}
		for _, s := range m.Steps {
			noNaN(t, "mean cumulative function", s.Mean, s.SE, s.NelsonSE)
			require.GreaterOrEqual(t, s.AtRisk, 1.0)
		}
	})
}

package life_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score/life"
)

// What the data cannot support is an error that says what would be needed.
func TestDataThatCannotSupportAnEstimate(t *testing.T) {
	cases := []struct {
		name    string
		records []life.Record
		model   life.Model
		is      error
		says    string
	}{
		{"no records", nil, life.Model{}, life.ErrTooFew, "needs at least 2 failures"},
		{"records of no weight", []life.Record{life.Failed(3).Times(0)}, life.Model{}, life.ErrTooFew, "no records"},
		{"all right-censored", []life.Record{life.Running(100).Times(7)}, life.Model{}, life.ErrTooFew, "all 7 parts are right-censored"},
		{"one failure carries no shape", []life.Record{life.Failed(100), life.Running(200)}, life.Model{}, life.ErrTooFew, "a shape given"},
		{"one failure carries no sigma", []life.Record{life.Failed(100), life.Running(200)}, life.Model{Family: life.FamilyLognormal}, life.ErrTooFew, "needs at least 2"},
		{"a limited population needs three", []life.Record{life.Failed(100), life.Failed(130), life.Running(200)}, life.Model{Limited: true}, life.ErrTooFew, "needs at least 3"},
		{"all at one distance", []life.Record{life.Failed(100).Times(4), life.Running(90)}, life.Model{}, life.ErrUnbounded, "at 100"},
		{"all at one distance, the survivors perhaps immune", []life.Record{life.Failed(100).Times(4), life.Running(900)}, life.Model{Limited: true}, life.ErrUnbounded, "at 100"},
		{"all in one interval", []life.Record{life.Between(100, 200).Times(4)}, life.Model{Family: life.FamilyLognormal}, life.ErrUnbounded, "in one interval"},
		{"an exact failure inside the only interval", []life.Record{life.Between(100, 200), life.Failed(150)}, life.Model{}, life.ErrUnbounded, "at 150"},
		{"found failed at the first look, shape known", []life.Record{life.Between(0, 90).Times(3)}, life.Model{Shape: 2}, life.ErrUnbounded, "needs a part seen running"},
		{"found failed at the first look, exponential", []life.Record{life.Between(0, 90).Times(3)}, life.Model{Family: life.FamilyExponential}, life.ErrUnbounded, "needs a part seen running"},
		{"a share that runs to 1", everyoneFails(), life.Model{Limited: true}, life.ErrUnbounded, "do not show a limited population"},
		{"entry after the end", []life.Record{life.Failed(100).From(120), life.Failed(50)}, life.Model{}, life.ErrRecord, "record 1: "},
		{"no number", []life.Record{life.Failed(math.NaN())}, life.Model{}, life.ErrRecord, "distance NaN"},
		{"an unknown family", []life.Record{life.Failed(1)}, life.Model{Family: "gamma"}, life.ErrParameter, `family "gamma"`},
		{"a prior of another family", []life.Record{life.Failed(1)}, life.Model{Prior: &life.Prior{Curve: life.Exponential{Mean: 1}, Weight: 2}}, life.ErrParameter, "same family"},
		{"a prior without a curve", []life.Record{life.Failed(1)}, life.Model{Prior: &life.Prior{Weight: 2}}, life.ErrParameter, "without a curve"},
		{"a prior share of 1", []life.Record{life.Failed(1)}, life.Model{Prior: &life.Prior{Share: 1, ShareWeight: 2}}, life.ErrParameter, "prior share 1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := life.Estimate(c.records, c.model)
			require.Nil(t, f)
			require.ErrorIs(t, err, c.is)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// everyoneFails is a population without immune parts, all followed to failure.
func everyoneFails() []life.Record {
	var rs []life.Record
	for i := range 40 {
		rs = append(rs, life.Failed(life.Weibull{Shape: 2, Scale: 100}.Quantile((float64(i)+0.5)/40)))
	}
	return rs
}

func TestFaultyRecordsAreListedButNotWithoutEnd(t *testing.T) {
	bad := make([]life.Record, 25)
	for i := range bad {
		bad[i] = life.Failed(-1)
	}
	_, err := life.Estimate(bad, life.Model{})
	require.ErrorContains(t, err, "record 10: ")
	require.NotContains(t, err.Error(), "record 11: ")
	require.ErrorContains(t, err, "and 15 faulty records more")
}

// The exponential's maximum is exposure over failures, and its log mean has
// the standard error 1/√r, whatever the entries (Meeker & Escobar 1998, 7.6).
func TestExponentialIsExposureOverFailures(t *testing.T) {
	rs := []life.Record{life.Failed(30).From(10), life.Failed(50), life.Running(80).Times(2), life.Running(45).From(5)}
	f, err := life.Estimate(rs, life.Model{Family: life.FamilyExponential})
	require.NoError(t, err)
	require.Equal(t, life.Tally{Records: 5, Events: 2, Exposure: 270}, f.Tally)
	require.InEpsilon(t, 135, f.Curve.(life.Exponential).Mean, 1e-12)
	se, err := f.SE(life.Mean)
	require.NoError(t, err)
	require.InEpsilon(t, 1/math.Sqrt2, se, 1e-9)
	require.Equal(t, []life.Parameter{life.Mean}, f.Parameters())
	_, err = f.SE(life.Shape)
	require.ErrorIs(t, err, life.ErrNotEstimated)
}

// A right-censored exponential's relative log-likelihood is r(ln x − x + 1)
// with x the mean's ratio to its estimate; the interval's ends solve it.
func TestLikelihoodRatioOfAnExponential(t *testing.T) {
	f, err := life.Estimate([]life.Record{life.Failed(60), life.Failed(90), life.Failed(120), life.Running(200)}, life.Model{Family: life.FamilyExponential})
	require.NoError(t, err)
	i, err := f.LikelihoodRatio(life.Mean, 0.8)
	require.NoError(t, err)
	mean := f.Curve.(life.Exponential).Mean
	for _, at := range []float64{i.Low, i.High} {
		x := mean / at
		require.InDelta(t, -1.2815515655446004*1.2815515655446004/2, 3*(math.Log(x)-x+1), 1e-7)
	}
	require.Less(t, i.Low, mean)
	require.Greater(t, i.High, mean)
}

// A prior alone gives itself back: without failures, a far heavier prior than
// exposure leaves curve and share where they were.
func TestPriorWithoutFailuresStaysNearItself(t *testing.T) {
	cases := []struct {
		name  string
		model life.Model
	}{
		{"weibull", life.Model{Prior: &life.Prior{Curve: life.Weibull{Shape: 2.4, Scale: 5e4}, Weight: 1000}}},
		{"lognormal", life.Model{Family: life.FamilyLognormal, Prior: &life.Prior{Curve: life.Lognormal{Mu: 11, Sigma: 0.6}, Weight: 1000}}},
		{"exponential", life.Model{Family: life.FamilyExponential, Prior: &life.Prior{Curve: life.Exponential{Mean: 7e4}, Weight: 1000}}},
		{"limited", life.Model{Limited: true, Prior: &life.Prior{Curve: life.Weibull{Shape: 2.4, Scale: 5e4}, Weight: 1000, Share: 0.3, ShareWeight: 1000}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, err := life.Estimate([]life.Record{life.Running(1000)}, c.model)
			require.NoError(t, err)
			require.InEpsilon(t, c.model.Prior.Curve.Quantile(0.5), f.Life(0.5), 1e-3)
			require.InEpsilon(t, c.model.Prior.Curve.Quantile(0.9), f.Life(0.9), 1e-3)
			if c.model.Limited {
				require.InEpsilon(t, 0.3, f.Share, 1e-2)
			}
			require.NotEmpty(t, f.Warnings) // no failures, and a prior heavier than the records
		})
	}
}

// Rules that hold for any data that can be fitted: the records' order, a
// weight against repetition, and the unit of distance change nothing.
func TestFitsDoNotDependOnOrderRepetitionOrUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rs := drawRecords(t)
		family := rapid.SampledFrom([]life.Family{life.FamilyWeibull, life.FamilyLognormal, life.FamilyExponential}).Draw(t, "family")
		f, err := life.Estimate(rs, life.Model{Family: family})
		if err != nil {
			t.Skip("not to be fitted")
		}
		other := slices.Clone(rs)
		slices.Reverse(other)
		var twice []life.Record
		for _, r := range other {
			r.Entry, r.Low, r.High, r.Weight = r.Entry*1.609344, r.Low*1.609344, r.High*1.609344, r.Weight/2
			twice = append(twice, r, r)
		}
		g, err := life.Estimate(twice, life.Model{Family: family})
		require.NoError(t, err)
		for _, p := range []float64{0.1, 0.5} {
			require.InEpsilon(t, f.Life(p)*1.609344, g.Life(p), 1e-6)
		}
	})
}

// drawRecords is a small fleet with every kind of record.
func drawRecords(t *rapid.T) []life.Record {
	n := rapid.IntRange(4, 25).Draw(t, "n")
	rs := make([]life.Record, n)
	for i := range rs {
		low := rapid.Float64Range(1, 1000).Draw(t, "low")
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			rs[i] = life.Failed(low)
		case 1:
			rs[i] = life.Running(low)
		default:
			rs[i] = life.Between(low, low*rapid.Float64Range(1.05, 3).Draw(t, "width"))
		}
		rs[i] = rs[i].From(low * rapid.SampledFrom([]float64{0, 0.3}).Draw(t, "entry"))
	}
	return rs
}

// Above its maximum no likelihood lies: at random parameters around the fit it
// is lower. Lower by the density of t, written out here on its own.
func TestNothingNearbyIsLikelier(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	var rs []life.Record
	truth := life.Weibull{Shape: 1.8, Scale: 900}
	for range 60 {
		at, seen := truth.Quantile(r.Float64()), 200+1000*r.Float64()
		if at < seen {
			rs = append(rs, life.Failed(at))
		} else {
			rs = append(rs, life.Running(seen))
		}
	}
	value := func(d life.Distribution) (sum float64) {
		for _, x := range rs {
			if x.Exact() {
				sum += math.Log(life.PDF(d, x.Low))
			} else {
				sum += math.Log(life.Survival(d, x.Low))
			}
		}
		return sum
	}
	f, err := life.Estimate(rs, life.Model{})
	require.NoError(t, err)
	w := f.Curve.(life.Weibull)
	require.InEpsilon(t, value(w), f.LogLik, 1e-12)
	for range 200 {
		d := life.Weibull{Shape: w.Shape * math.Exp(0.2*r.NormFloat64()), Scale: w.Scale * math.Exp(0.2*r.NormFloat64())}
		require.Less(t, value(d), f.LogLik)
	}
}

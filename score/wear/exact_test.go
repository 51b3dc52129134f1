package wear_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"pitlist/score/life"
	"pitlist/score/wear"
)

// tanhSinh integrates f over [a, b] by Takahasi & Mori's double exponential
// rule (1974), which bears singular ends; f is given the distances from both
// ends. It shares nothing with the package's own quadrature.
func tanhSinh(f func(fromA, fromB float64) float64, a, b float64) float64 {
	if !(b > a) {
		return 0
	}
	half, last := (b-a)/2, math.NaN()
	for h := 0.25; h > 1.0/256; h /= 2 {
		sum := 0.0
		for i := -int(6 / h); i <= int(6/h); i++ {
			s := math.Pi / 2 * math.Sinh(float64(i)*h)
			w := math.Pi / 2 * math.Cosh(float64(i)*h) / (math.Cosh(s) * math.Cosh(s))
			fromA, fromB := half*2/(1+math.Exp(-2*s)), half*2/(1+math.Exp(2*s))
			if w == 0 || fromA == 0 || fromB == 0 {
				continue
			}
			if y := w * f(fromA, fromB); !math.IsNaN(y) && !math.IsInf(y, 0) {
				sum += y
			}
		}
		sum *= h * half
		if math.Abs(sum-last) <= 1e-11*math.Abs(sum) {
			return sum
		}
		last = sum
	}
	return last
}

// setting is a random history with the curves it is about.
type setting struct {
	onset, delay life.Distribution
	h            wear.History
	next, hold   float64
}

// reference is the model in plain integrals.
type reference struct{ setting }

// integral is ∫ f(u) c(u) k(v) du over [lo, hi], v = end - u, cut where
// anything bends, the density given survival to since.
func (r reference) integral(lo, hi, end, since float64, c func(u float64) float64, k func(v float64) float64) (sum float64) {
	cuts, before := []float64{lo, hi}, r.onset.CumHazard(since)
	add := func(u float64) {
		if u > lo && u < hi {
			cuts = append(cuts, u)
		}
	}
	for _, p := range []float64{1e-4, 0.02, 0.2, 0.5, 0.8, 0.98, 0.9999, 1 - 1e-9} {
		add(r.onset.Quantile(p))
		add(end - r.delay.Quantile(p))
	}
	for j := 1; j < 12; j++ {
		add(hi - (hi-lo)*math.Exp2(-float64(j)))
	}
	if t, ok := r.onset.(*life.Table); ok {
		for _, u := range t.Knots() {
			add(u)
		}
	}
	if t, ok := r.delay.(*life.Table); ok {
		for _, v := range t.Knots() {
			add(end - v)
			add(end + r.next - v)
			add(end + r.hold - v)
		}
	}
	for _, f := range r.h.Factors {
		add(f.At)
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		a, b := cuts[i-1], cuts[i]
		level := c((a + b) / 2)
		if level == 0 {
			continue
		}
		sum += level * tanhSinh(func(fromA, fromB float64) float64 {
			u, v := a+fromA, end-b+fromB
			if a > 0 && fromB < fromA {
				u = b - fromB
			}
			return r.onset.Hazard(u) * math.Exp(before-r.onset.CumHazard(u)) * k(v)
		}, a, b)
	}
	return sum
}

func (r reference) level(u float64) float64 {
	c := 1.0
	for _, f := range r.h.Factors {
		if u <= f.At || f.At >= r.h.X {
			c *= f.Worn
		} else {
			c *= f.NotWorn
		}
	}
	return c
}

// answers are what a State says, in the order immune, sound, worn, rectified,
// then fail if worn and fail if sound over each distance.
type answers [8]float64

func (r reference) answers() (a answers) {
	h := r.h
	x, p, notWorn := h.X, h.Share, 1.0
	for _, f := range h.Factors {
		notWorn *= f.NotWorn
	}
	alive := func(d float64) func(v float64) float64 {
		return func(v float64) float64 { return life.Survival(r.delay, v+d) }
	}
	gone := func(v float64) float64 { return life.CDF(r.delay, v) }
	plain := func(float64) float64 { return 1 }
	worn := r.integral(0, x, x, 0, r.level, alive(0))
	a[0], a[1], a[2] = (1-p)*notWorn, p*life.Survival(r.onset, x)*notWorn, p*worn
	if h.E > 0 {
		a[3] = p * notWorn * r.integral(0, h.E, h.E, 0, plain, gone)
	}
	sum := a[0] + a[1] + a[2] + a[3]
	for i := range 4 {
		a[i] /= sum
	}
	for i, d := range []float64{r.next, r.hold} {
		a[4+2*i] = r.integral(0, x, x, 0, r.level, func(v float64) float64 {
			return life.Survival(r.delay, v) * life.Conditional(r.delay, v, v+d)
		}) / worn
		a[5+2*i] = r.integral(x, x+d, x+d, x, plain, gone)
	}
	return a
}

func stated(s wear.State, next, hold float64) (a answers) {
	a = answers{s.Immune, s.Sound, s.Worn, s.Rectified}
	a[4], a[5] = s.Follow(next)
	a[6], a[7] = s.Follow(hold)
	return a
}

func randomCurve(r *rand.Rand, low, high float64) life.Distribution {
	at := low * math.Exp(r.Float64()*math.Log(high/low))
	switch r.IntN(5) {
	case 0:
		return life.Exponential{Mean: at}
	case 1:
		return life.Lognormal{Mu: math.Log(at), Sigma: 0.2 + r.Float64()}
	case 2:
		t, err := life.NewTable([]life.Point{{Distance: 0.3 * at, Share: 0.02}, {Distance: at, Share: 0.3*r.Float64() + 0.03}, {Distance: 1.6 * at, Share: 0.8}})
		if err != nil {
			panic(err)
		}
		return t
	}
	return life.Weibull{Shape: 0.4 * math.Exp(r.Float64()*math.Log(15)), Scale: at}
}

func randomSetting(r *rand.Rand) setting {
	s := setting{onset: randomCurve(r, 5e4, 5e5), delay: randomCurve(r, 4e3, 1.2e5)}
	x := 3000 * math.Exp(r.Float64()*math.Log(150))
	s.h = wear.History{X: x, Share: []float64{1, 0.4, 0.01}[r.IntN(3)]}
	if r.IntN(3) == 0 {
		s.h.E = x * r.Float64()
	}
	s.h.Factors = []wear.Factor{{At: x, Worn: 0.5, NotWorn: 0.02 + 0.9*r.Float64()}}
	for range r.IntN(3) {
		f := wear.Factor{At: x * r.Float64(), Worn: 0.05 + 0.4*r.Float64(), NotWorn: 1}
		if r.IntN(2) == 0 {
			f.Worn, f.NotWorn = 0.5, 0.01+0.1*r.Float64()
		}
		s.h.Factors = append(s.h.Factors, f)
	}
	s.next = 200 * math.Exp(r.Float64()*3.4)
	s.hold = 15000 * math.Exp(r.Float64()*2.3)
	return s
}

// settings is how many random histories are compared; 2,000 take half a minute.
var settings = flag.Int("settings", 240, "random histories to compare with plain integrals")

// The look-ups, dated sums and all, against plain integrals in random settings:
// shapes from 0.4 to 6, tables, short and long delays.
func TestLookupsAgreeWithPlainIntegrals(t *testing.T) {
	const perModel = 4
	r := rand.New(rand.NewPCG(3, 5))
	names := [8]string{"immune", "sound", "worn", "rectified", "next if worn", "next if sound", "hold if worn", "hold if sound"}
	worst := 0.0
	for i := 0; i < *settings; i += perModel {
		first := randomSetting(r)
		m, err := wear.New(first.onset, first.delay, wear.Improved)
		require.NoError(t, err)
		for range perModel {
			s := randomSetting(r)
			s.onset, s.delay = first.onset, first.delay
			want, got := reference{s}.answers(), stated(m.Assess(s.h), s.next, s.hold)
			for j, w := range want {
				gap := math.Abs(got[j] - w)
				if w > 1e-6 {
					worst = max(worst, gap/w)
				}
				if !(gap <= 1e-6*math.Abs(w)+1e-9) {
					t.Errorf("%s: got %.12g, want %.12g\n%s", names[j], got[j], w, fmt.Sprintf("%+v", s))
				}
			}
		}
	}
	t.Logf("worst relative error of values above 1e-6: %.1e", worst)
}

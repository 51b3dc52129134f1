package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"pitlist/score/life"
)

// The quadrature here is independent of the package's: tanh-sinh (Takahasi &
// Mori, Publ. RIMS 9 (1974)), its step halved until two levels agree to the tolerance, on pieces
// between the places that the caller names. f has each end's own distance, so that
// nothing is lost by subtraction.
func tanhSinh(f func(fromLo, toHi float64) float64, lo, hi, tolerance float64) float64 {
	half := (hi - lo) / 2
	term := func(t float64) float64 {
		s := math.Pi / 2 * math.Sinh(t)
		left, right := 2/(1+math.Exp(-2*s)), 2/(1+math.Exp(2*s))
		w := math.Pi / 2 * math.Cosh(t) / (math.Cosh(s) * math.Cosh(s))
		if w == 0 || half*left == 0 || half*right == 0 {
			return 0
		}
		if v := f(half*left, half*right) * w; !math.IsNaN(v) && !math.IsInf(v, 0) {
			return v
		}
		return 0
	}
	h, last := 0.5, math.Inf(1)
	for range 9 {
		sum := term(0)
		for k := 1; float64(k)*h < 4.2; k++ {
			sum += term(float64(k)*h) + term(-float64(k)*h)
		}
		now := sum * h * half
		if math.Abs(now-last) <= tolerance*math.Abs(now) {
			return now
		}
		h, last = h/2, now
	}
	return last
}

// pieces integrates f(u, v), v = end - u, over u in [lo, hi] between the limits.
func pieces(f func(u, v float64) float64, lo, hi, end float64, limits []float64, tolerance float64) (sum float64) {
	cuts := []float64{lo, hi}
	for _, l := range limits {
		if l > lo && l < hi {
			cuts = append(cuts, l)
		}
	}
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		if a, b := cuts[i-1], cuts[i]; b > a {
			sum += tanhSinh(func(left, right float64) float64 { return f(a+left, (end-b)+right) }, a, b, tolerance)
		}
	}
	return sum
}

// plainly is MODEL's masses of one life written out: no tables, no logarithms.
type plainly struct {
	onset, delay life.Distribution
	miss         float64 // 1 - r
}

// cuts are places where an integrand of a life that ends at x may bend.
func (p plainly) cuts(x float64, clean []float64) []float64 {
	out := slices.Clone(clean)
	for _, q := range []float64{1e-6, 1e-4, .01, .05, .1, .2, .3, .5, .7, .9, .99, .9999, 1 - 1e-8} {
		out = append(out, p.onset.Quantile(q), x-p.delay.Quantile(q))
	}
	if t, ok := p.onset.(*life.Table); ok {
		out = append(out, t.Knots()...)
	}
	if t, ok := p.delay.(*life.Table); ok {
		for _, v := range t.Knots() {
			out = append(out, x-v)
		}
	}
	return out
}

// integral is ∫₀ˣ c(u) f(u) K(x-u) du, c(u) the miss for each clean inspection at
// or after u.
func (p plainly) integral(x float64, clean []float64, follows func(life.Distribution, float64) float64) float64 {
	if !(x > 0) {
		return 0
	}
	return pieces(func(u, v float64) float64 {
		c := life.PDF(p.onset, u) * follows(p.delay, v)
		for _, y := range clean {
			if u <= y {
				c *= p.miss
			}
		}
		return c
	}, 0, x, x, p.cuts(x, clean), 1e-9)
}

// renewals is the density m of unseen renewals at t: the Volterra equation on equal
// steps by the trapezoid, extrapolated from two grids (Linz, Analytical and
// Numerical Methods for Volterra Equations (1985), from memory).
func (p plainly) renewals(end float64, n int) func(t float64) float64 {
	solve := func(n int) []float64 {
		h := end / float64(n)
		q, m := make([]float64, n+1), make([]float64, n+1)
		for i := 1; i <= n; i++ {
			q[i] = p.integral(float64(i)*h, nil, life.PDF)
		}
		for i := 1; i <= n; i++ {
			sum := q[i]
			for j := 1; j < i; j++ {
				sum += h * q[i-j] * m[j]
			}
			m[i] = sum / (1 - h*q[0]/2)
		}
		return m
	}
	fine, coarse := solve(n), solve(n/2)
	best := make([]float64, n/2+1)
	for i := range best {
		best[i] = (4*fine[2*i] - coarse[i]) / 3
	}
	step := end / float64(n/2)
	return func(t float64) float64 { // cubic between the steps
		i := min(max(1, int(t/step)), len(best)-3)
		r := t/step - float64(i)
		return -r*(r-1)*(r-2)/6*best[i-1] + (r+1)*(r-1)*(r-2)/2*best[i] - (r+1)*r*(r-2)/2*best[i+1] + (r+1)*r*(r-1)/6*best[i+2]
	}
}

// again adds ∫₀ᴱ m(t)·mass(x-t, c moved by t) dt to a mass of the first life, by
// Gauss's rule on many pieces: what is integrated is smooth between its bends.
func (p plainly) again(m func(float64) float64, e, x float64, clean []float64, mass func(x float64, clean []float64) float64) float64 {
	limits := append(slices.Clone(clean), 0, e)
	for i := 1; i < 8; i++ {
		limits = append(limits, e*float64(i)/8)
	}
	if t, ok := p.onset.(*life.Table); ok {
		for _, u := range t.Knots() {
			limits = append(limits, u, x-u)
		}
	}
	limits = slices.DeleteFunc(limits, func(t float64) bool { return t < 0 || t > e })
	slices.Sort(limits)
	sum := mass(x, clean)
	for i := 1; i < len(limits); i++ {
		sum += quad.Fixed(func(t float64) float64 {
			var moved []float64
			for _, y := range clean {
				if y > t {
					moved = append(moved, y-t)
				}
			}
			return m(t) * mass(x-t, moved)
		}, limits[i-1], limits[i], 10, quad.Legendre{}, 0)
	}
	return sum
}

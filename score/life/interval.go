package life

import (
	"fmt"
	"math"
)

// Interval is a two-sided interval. An end that the data do not bound at all
// is 0, 1 (of a share) or infinite.
type Interval struct {
	Low, High float64
	Level     float64 // in (0, 1): how often such intervals cover
}

// quantileOf is the standard normal's half width at a level.
func halfWidth(level float64) (float64, error) {
	if !(level > 0 && level < 1) {
		return 0, fmt.Errorf("%w: interval level %v: must be within 0 and 1", ErrParameter, level)
	}
	return math.Sqrt2 * math.Erfinv(level), nil
}

// Wald is the estimate plus and minus standard errors, on the working scale.
func (f *Fit) Wald(p Parameter, level float64) (Interval, error) {
	z, err := halfWidth(level)
	if err != nil {
		return Interval{}, err
	}
	r, i, err := f.find(p)
	if err != nil {
		return Interval{}, err
	}
	half := z * math.Sqrt(f.cov.At(i, i))
	return r.interval(f.top.at[r.at]-half, f.top.at[r.at]+half, level), nil
}

func (r role) interval(low, high, level float64) Interval {
	if r.sign < 0 {
		low, high = high, low
	}
	return Interval{Low: r.natural(low), High: r.natural(high), Level: level}
}

// LikelihoodRatio is the interval of values whose profile likelihood is within
// half the chi-squared quantile of the maximum (Meeker & Escobar 1998, section
// 8.3). It keeps to what few failures can bound better than Wald does. With a
// prior it is the posterior's profile.
func (f *Fit) LikelihoodRatio(p Parameter, level float64) (Interval, error) {
	z, err := halfWidth(level)
	if err != nil {
		return Interval{}, err
	}
	r, i, err := f.find(p)
	if err != nil {
		return Interval{}, err
	}
	q := &profile{likelihood: f.likelihood, top: f.top.at, f: f.top.f, fixed: r.at, free: without(f.free, r.at), se: math.Sqrt(f.cov.At(i, i))}
	low, high, err := q.ends(z)
	if err != nil {
		return Interval{}, fmt.Errorf("likelihood-ratio interval of %s: %w", p, err)
	}
	return r.interval(low, high, level), nil
}

// Life is the distance by which the share p in (0, 1) of those that can fail
// has failed, as fitted.
func (f *Fit) Life(p float64) float64 { return f.Curve.Quantile(p) }

// lifeSE is the standard error of the log of that distance, by the delta
// method: d ln t/d ln k = −z_p/k.
func (f *Fit) lifeSE(zp float64) float64 {
	slope := map[int]float64{place: 1, steep: -zp / f.top.k}
	v := 0.0
	for a, i := range f.free {
		for b, j := range f.free {
			v += slope[i] * slope[j] * f.cov.At(a, b)
		}
	}
	return math.Sqrt(math.Max(0, v))
}

// LifeLikelihoodRatio is the likelihood-ratio interval of Life(p): the
// likelihood written with that life as its first parameter, and profiled.
func (f *Fit) LifeLikelihoodRatio(p, level float64) (Interval, error) {
	z, zp, err := f.lifeArgs(p, level)
	if err != nil {
		return Interval{}, err
	}
	anchored := *f.likelihood
	anchored.anchor = zp
	top := f.top.at
	top[place] += zp / f.top.k
	q := &profile{likelihood: &anchored, top: top, f: f.top.f, fixed: place, free: without(f.free, place), se: f.lifeSE(zp)}
	low, high, err := q.ends(z)
	if err != nil {
		return Interval{}, fmt.Errorf("likelihood-ratio interval of the life at %v: %w", p, err)
	}
	return Interval{Low: math.Exp(low), High: math.Exp(high), Level: level}, nil
}

func (f *Fit) lifeArgs(p, level float64) (z, zp float64, err error) {
	if !(p > 0 && p < 1) {
		return 0, 0, fmt.Errorf("%w: share failed %v: must be within 0 and 1", ErrParameter, p)
	}
	z, err = halfWidth(level)
	return z, f.likelihood.kernel.quantile(p), err
}

func without(free []int, fixed int) []int {
	var rest []int
	for _, j := range free {
		if j != fixed {
			rest = append(rest, j)
		}
	}
	return rest
}

// profile is the likelihood along one working parameter, the others at their
// best.
type profile struct {
	likelihood *likelihood
	top        vector // the maximum
	f          float64
	fixed      int
	free       []int
	se         float64
	last       *sums // where the last profile point lay
}

// fall is the signed root of twice the profile's fall below its maximum at the
// value v: close to a straight line in v, of slope 1/se.
func (q *profile) fall(v float64) (float64, error) {
	s := &search{likelihood: q.likelihood, from: q.predict(v), free: q.free}
	e := s.ascend()
	if math.IsInf(e.f, -1) || len(q.free) > 0 && !(s.slope(e) <= 1e-4*(1+math.Abs(e.f))) {
		return 0, fmt.Errorf("%w: profile at %.4g", ErrNotConverged, v)
	}
	q.last = e
	return math.Sqrt(2 * math.Max(0, q.f-e.f)), nil
}

// predict carries the other parameters along the tangent of their best values.
func (q *profile) predict(v float64) vector {
	to := q.last.at
	by := v - to[q.fixed]
	to[q.fixed] = v
	if cov, ok := covariance(q.last, q.free); ok {
		for a, i := range q.free {
			for b, j := range q.free {
				to[i] += cov.At(a, b) * q.last.hess[j][q.fixed] * by
			}
		}
	}
	if math.IsInf(q.likelihood.eval(to).f, -1) {
		to = q.last.at
		to[q.fixed] = v
	}
	return to
}

// ends finds where the fall reaches z on either side; infinite where it never
// does.
func (q *profile) ends(z float64) (low, high float64, err error) {
	if low, err = q.end(z, -1); err != nil {
		return 0, 0, err
	}
	high, err = q.end(z, 1)
	return low, high, err
}

// farAway is how far from the maximum, in a logarithm, an end is looked for: a
// factor of 2e17.
const farAway = 40.0

// end walks outwards until the fall has reached z, then narrows.
func (q *profile) end(z, side float64) (float64, error) {
	q.last = q.likelihood.eval(q.top)
	near, fNear := q.top[q.fixed], -z
	step := math.Min(z*q.se, farAway/4)
	for i := 0; ; i++ {
		v := near + side*step
		if math.Abs(v-q.top[q.fixed]) > farAway {
			return math.Inf(int(side)), nil
		}
		fall, err := q.fall(v)
		if err != nil {
			return 0, err
		}
		if fall >= z {
			return q.root(near, fNear, v, fall-z, z)
		}
		// As far again as the line through the last two points says, and a little;
		// twice as far each time where the profile bends away from that.
		reach := 1.1 * step * (z - fall) / math.Max(1e-3, fall-z-fNear)
		near, fNear = v, fall-z
		if i < 6 {
			step = math.Max(0.05*step, math.Min(reach, 3*step))
		} else {
			step *= 2
		}
		step = math.Min(math.Max(step, 1e-9), farAway/4)
	}
}

// root narrows [a, b] by the Illinois method (false position that halves the
// weight of an end that stays).
func (q *profile) root(a, fa, b, fb, z float64) (float64, error) {
	for range 60 {
		if math.Abs(b-a) < 1e-11*(1+math.Abs(a)) || math.Abs(fb) < 1e-8 || fa == fb {
			break
		}
		c := b - fb*(b-a)/(fb-fa)
		fall, err := q.fall(c)
		if err != nil {
			return 0, err
		}
		fc := fall - z
		if (fc > 0) != (fb > 0) {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = c, fc
	}
	return b, nil
}

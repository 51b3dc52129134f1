package life

import "math"

// The working parameters, in which the likelihood is closest to a normal and no
// bound can be stepped over. The first is the log of the scale (or, for a
// life at a given share, the log of that life), the second ln k with k of the
// kernel, the third the logit of the share that can fail at all.
const (
	place = iota
	steep
	logit
	dims
)

type vector [dims]float64

type matrix [dims][dims]float64

// observed is a Record in the logarithms that the likelihood needs.
type observed struct {
	weight           float64
	entry, low, high float64 // logarithms; -Inf for 0, +Inf for no end
	exact            bool
}

func observe(records []Record) []observed {
	obs := make([]observed, len(records))
	for i, r := range records {
		obs[i] = observed{r.Weight, math.Log(r.Entry), math.Log(r.Low), math.Log(r.High), r.Exact()}
	}
	return obs
}

// likelihood is the log-likelihood of the records in the working parameters.
// It is the density of the distance itself where that is exact; late entry
// divides by the survival at entry. With limited set only the share can fail
// (Meeker, Technometrics 29 (1987)).
type likelihood struct {
	kernel  kernel
	obs     []observed
	limited bool
	// anchor is the kernel's quantile whose log distance is the first working
	// parameter: z = k·(ln t − place) + anchor. 0 makes it the log scale.
	anchor float64
	prior  *normalPrior
}

// sums gathers value, gradient and Hessian over the records.
type sums struct {
	at     vector
	anchor float64
	k      float64
	share  float64
	logP   float64 // ln share
	f      float64
	grad   vector
	hess   matrix // upper triangle while it is gathered
}

// eval returns the log-likelihood at theta, plus the prior's log density where
// there is one, with gradient and Hessian. The value is -Inf where it cannot be
// computed, never NaN.
func (l *likelihood) eval(theta vector) *sums {
	s := &sums{at: theta, anchor: l.anchor, k: math.Exp(theta[steep]), share: 1 / (1 + math.Exp(-theta[logit]))}
	s.logP = math.Log(s.share)
	for i := range l.obs {
		l.add(s, &l.obs[i])
	}
	if l.prior != nil {
		l.prior.add(s, l.limited)
	}
	s.settle()
	return s
}

func (l *likelihood) add(s *sums, o *observed) {
	switch {
	case o.exact:
		z := s.z(o.low)
		d := l.kernel.density(z)
		d.f += s.at[steep] - o.low // dz/dt = k/t
		s.grad[steep] += o.weight
		s.point(o.weight, z, d)
		l.addShare(s, o.weight)
	case math.IsInf(o.high, 1):
		l.addSurvival(s, o.weight, o.low)
	default:
		l.addInterval(s, o)
		l.addShare(s, o.weight)
	}
	l.addSurvival(s, -o.weight, o.entry)
}

// addSurvival adds w times the log survival at the log distance y.
func (l *likelihood) addSurvival(s *sums, w, y float64) {
	if math.IsInf(y, -1) {
		return // all survive distance 0
	}
	z := s.z(y)
	j := l.kernel.survival(z)
	if !l.limited {
		s.point(w, z, j)
		return
	}
	// ln(1 − p·F) with its derivatives in z and in the logit of p.
	p, q := s.share, 1-s.share
	fail := -math.Expm1(j.f)
	surv := 1 - fail
	if fail > 0.5 {
		surv = math.Exp(j.f)
	}
	d := q + p*surv
	s1, s2 := surv*j.d1, surv*(j.d2+j.d1*j.d1)
	r1 := p * s1 / d
	s.point(w, z, jet{math.Log(d), r1, p*s2/d - r1*r1})
	pull := -fail * p * q / d
	s.grad[logit] += w * pull
	s.hess[logit][logit] += w * (pull*(1-2*p) - pull*pull)
	s.crossLogit(w*s1*p*q/(d*d), z)
}

// addShare adds w times ln p: a part that failed is one that could.
func (l *likelihood) addShare(s *sums, w float64) {
	if !l.limited {
		return
	}
	s.f += w * s.logP
	s.grad[logit] += w * (1 - s.share)
	s.hess[logit][logit] -= w * s.share * (1 - s.share)
}

// addInterval adds ln P(low < t <= high).
func (l *likelihood) addInterval(s *sums, o *observed) {
	a, b := s.z(o.low), s.z(o.high)
	f := l.kernel.between(a, b)
	end := l.kernel.density(b)
	atB := math.Exp(end.f - f)
	s.point(o.weight, b, jet{f, atB, atB * (end.d1 - atB)})
	if math.IsInf(o.low, -1) {
		return
	}
	begin := l.kernel.density(a)
	atA := math.Exp(begin.f - f)
	s.point(o.weight, a, jet{0, -atA, -atA * (begin.d1 + atA)})
	s.crossEnds(o.weight*atA*atB, a, b)
}

// z is the standard form of the log distance y.
func (s *sums) z(y float64) float64 { return s.k*(y-s.at[place]) + s.anchor }

// point adds w times a function of z, given by its jet in z: dz is −k in the
// place and z − anchor in ln k, whose own derivatives are −k and z − anchor.
func (s *sums) point(w, z float64, j jet) {
	u, k := z-s.anchor, s.k
	s.f += w * j.f
	s.grad[place] -= w * k * j.d1
	s.grad[steep] += w * u * j.d1
	s.hess[place][place] += w * k * k * j.d2
	s.hess[place][steep] -= w * k * (u*j.d2 + j.d1)
	s.hess[steep][steep] += w * u * (u*j.d2 + j.d1)
}

// crossEnds adds the mixed second derivative h in two places a and b.
func (s *sums) crossEnds(h, a, b float64) {
	ua, ub, k := a-s.anchor, b-s.anchor, s.k
	s.hess[place][place] += 2 * k * k * h
	s.hess[place][steep] -= k * (ua + ub) * h
	s.hess[steep][steep] += 2 * ua * ub * h
}

// crossLogit adds the mixed second derivative h in z and the logit.
func (s *sums) crossLogit(h, z float64) {
	s.hess[place][logit] -= s.k * h
	s.hess[steep][logit] += (z - s.anchor) * h
}

// settle completes the Hessian, and makes a value that could not be computed
// -Inf with no slope, which a search backs away from.
func (s *sums) settle() {
	ok := finite(s.f)
	for i := range dims {
		ok = ok && finite(s.grad[i])
		for j := i; j < dims; j++ {
			ok = ok && finite(s.hess[i][j])
			s.hess[j][i] = s.hess[i][j]
		}
	}
	if !ok {
		s.f, s.grad, s.hess = math.Inf(-1), vector{}, matrix{}
	}
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

package life

import (
	"fmt"
	"math"
)

// The limits of the search: a gap to the maximum below closeEnough of the total
// weight ends it, one below tolerableGap in the log-likelihood is of no
// statistical consequence. turnbullWork bounds the passes times records.
const (
	closeEnough   = 1e-12
	tolerableGap  = 1e-3
	turnbullWork  = 400_000_000
	minTurnbull   = 300
	maxTurnbull   = 200_000
	smallestShare = 1e-9
)

// solve runs the self-consistency iteration, each share times its gradient over
// the total, which never lowers the likelihood, sped up by squared
// extrapolation (Varadhan & Roland, Scand. J. Statist. 35 (2008)). Shares that
// go to 0 are set there once the conditions for it hold.
func (p *masses) solve() error {
	passes := min(maxTurnbull, max(minTurnbull, turnbullWork/(len(p.weight)+len(p.share))))
	f, gap := p.value()
	for i := 0; gap > closeEnough*p.total && i < passes; i++ {
		p.cycle(f)
		if i%20 == 19 {
			p.prune()
		}
		f, gap = p.value()
	}
	p.prune()
	if f, gap = p.value(); !finite(f) || gap > tolerableGap {
		return fmt.Errorf("%w: the log-likelihood may lie %.2g below its maximum", ErrNotConverged, gap)
	}
	return nil
}

// consistent is one self-consistency step from the shares as they are.
func (p *masses) consistent() {
	p.assess()
	sum := 0.0
	for j := range p.share {
		p.share[j] *= math.Max(0, p.gradient[j]) / p.total
		sum += p.share[j]
	}
	for j := range p.share {
		p.share[j] /= sum
	}
}

// cycle makes two steps, extrapolates along them, and makes a third from there
// if that is likelier than f, else from the second.
func (p *masses) cycle(f float64) {
	x0 := append([]float64(nil), p.share...)
	p.consistent()
	x1 := append([]float64(nil), p.share...)
	p.consistent()
	x2 := append([]float64(nil), p.share...)
	rr, vv := 0.0, 0.0
	for j := range x0 {
		r, v := x1[j]-x0[j], x2[j]-2*x1[j]+x0[j]
		rr, vv = rr+r*r, vv+v*v
	}
	if !(vv > 0) {
		return
	}
	length := math.Max(1, math.Sqrt(rr/vv))
	for length > 1 {
		ok := true
		for j := range x0 {
			r, v := x1[j]-x0[j], x2[j]-2*x1[j]+x0[j]
			p.share[j] = x0[j] + 2*length*r + length*length*v
			ok = ok && (p.share[j] > 0 || x0[j] == 0)
		}
		if ok {
			if next, _ := p.value(); next > f {
				p.consistent()
				return
			}
		}
		length = (length - 1) / 2
	}
	copy(p.share, x2)
}

// prune sets to 0 the shares that are vanishing and that the conditions of the
// maximum want at 0, and gives a seed to those at 0 that they want above.
func (p *masses) prune() {
	p.assess()
	sum := 0.0
	for j, s := range p.share {
		switch {
		case s < smallestShare && p.gradient[j] < p.total*(1-1e-6):
			p.share[j] = 0
		case s == 0 && p.gradient[j] > p.total*(1+closeEnough):
			p.share[j] = smallestShare
		}
		sum += p.share[j]
	}
	for j := range p.share {
		p.share[j] /= sum
	}
}

package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// The limits of the search: a gap to the maximum below closeEnough of the total
// weight ends it, one below tolerableGap in the log-likelihood is of no
// statistical consequence. turnbullWork bounds the passes times records.
const (
	closeEnough   = 1e-12
	tolerableGap  = 1e-3
	turnbullWork  = 100_000_000
	minTurnbull   = 60
	maxTurnbull   = 20_000
	smallestShare = 1e-9
	mostActive    = 600 // masses at once in a Newton step, whose work is their cube
)

// solve alternates two ways up. The self-consistency step, each share times
// its gradient over the total, never lowers the likelihood, finds which masses
// matter, and is sped up by squared extrapolation (Varadhan & Roland, Scand. J.
// Statist. 35 (2008)). Newton's step on the masses that are left finds their
// digits, where self-consistency would take thousands of passes.
func (p *masses) solve() error {
	passes := min(maxTurnbull, max(minTurnbull, turnbullWork/(len(p.weight)+len(p.share))))
	f, gap := p.value()
	for i := 0; gap > closeEnough*p.total && i < passes; i++ {
		p.cycle(f)
		if i%3 == 2 {
			p.prune()
			p.newton()
		}
		f, gap = p.value()
	}
	if !finite(f) || !(gap <= tolerableGap) {
		return fmt.Errorf("%w: the log-likelihood may lie %.2g below its maximum", ErrNotConverged, gap)
	}
	return nil
}

// newton steps to the maximum of the quadratic model over the masses above 0,
// as far as all stay above 0. The shares' sum needs no constraint: less total
// times their sum, the log-likelihood has its maximum where they sum to 1.
func (p *masses) newton() {
	var active []int
	for j, s := range p.share {
		if s > 0 {
			active = append(active, j)
		}
	}
	if len(active) > mostActive {
		return
	}
	f, _ := p.value()
	step, ok := p.step(active)
	if !ok {
		return
	}
	from := append([]float64(nil), p.share...)
	length := 1.0
	for a, j := range active {
		if step[a] < 0 {
			length = math.Min(length, -0.98*from[j]/step[a])
		}
	}
	for range 30 {
		for a, j := range active {
			p.share[j] = from[j] + length*step[a]
		}
		p.normalise()
		if next, _ := p.value(); next > f {
			return
		}
		length /= 2
	}
	copy(p.share, from)
}

// step solves information·step = gradient − total over the active masses.
func (p *masses) step(active []int) ([]float64, bool) {
	n := len(active)
	// corner holds each record's square of weight/chance² as the differences at
	// its corners, so that a record costs four additions, however wide its set.
	corner := make([]float64, (n+1)*(n+1))
	place := make([]int, len(p.share)+1) // active masses before each mass
	for _, j := range active {
		place[j+1] = 1
	}
	for j := range p.share {
		place[j+1] += place[j]
	}
	for i, w := range p.weight {
		a, b, h := place[p.first[i]], place[p.last[i]+1], w/p.chance[i]/p.chance[i]
		corner[a*(n+1)+a] += h
		corner[a*(n+1)+b] -= h
		corner[b*(n+1)+a] -= h
		corner[b*(n+1)+b] += h
	}
	info, slope := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	row := make([]float64, n+1)
	for a := range n {
		run := 0.0
		for b := range n {
			row[b] += corner[a*(n+1)+b]
			run += row[b]
			if b >= a {
				info.SetSym(a, b, run)
			}
		}
		// A touch of ridge: where the maximum is not unique, the shortest step.
		info.SetSym(a, a, info.At(a, a)*(1+1e-12)+1e-12*p.total)
		slope.SetVec(a, p.gradient[active[a]]-p.total)
	}
	var chol mat.Cholesky
	step := mat.NewVecDense(n, nil)
	if !chol.Factorize(info) || chol.SolveVecTo(step, slope) != nil {
		return nil, false
	}
	return step.RawVector().Data, true
}

func (p *masses) normalise() {
	sum := 0.0
	for _, s := range p.share {
		sum += s
	}
	for j := range p.share {
		p.share[j] /= sum
	}
}

// consistent is one self-consistency step from the shares as they are.
func (p *masses) consistent() {
	p.assess()
	for j := range p.share {
		p.share[j] *= math.Max(0, p.gradient[j]) / p.total
	}
	p.normalise()
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
// maximum want lower, and gives a seed to those at 0 that they want above: what
// was set to 0 too early comes back.
func (p *masses) prune() {
	p.assess()
	small := 1e-3 / float64(len(p.share))
	for j, s := range p.share {
		switch {
		case s < small && p.gradient[j] < p.total*(1-1e-9):
			p.share[j] = 0
		case s == 0 && p.gradient[j] > p.total*(1+closeEnough):
			p.share[j] = smallestShare
		}
	}
	p.normalise()
}

package wear

import (
	"math"

	"pitlist/score/life"
)

// A table's onset has a constant hazard between its knots, so that its worn
// integral is a sum over pieces, each a difference of two integrals of an
// exponential onset with the same delay: functions of one distance, smooth
// where those of the whole table have a kink at every knot.

// pieces are a table's stretches of constant hazard.
type pieces struct {
	quad    *curves
	knots   []float64
	survive []float64 // 1 - F at the knots
	slope   []float64 // hazard after them
	worn    []*curve  // ln ∫₀ˢ λe^(-λw) Ḡ(s-w) dw; nil where the hazard is 0
	gone    []*curve  // ln ∫₀ˢ λe^(-λw) G(s-w) dw
	density []*curve  // ln of its slope
}

// pieceTolerant is the check of the pieces' tables: differences are taken.
const pieceTolerant = 3e-12

func newPieces(c *curves) *pieces {
	p := &pieces{quad: c, knots: c.onsetKnots}
	for _, a := range p.knots {
		rate := c.onset.Hazard(a)
		p.survive = append(p.survive, life.Survival(c.onset, a))
		p.slope = append(p.slope, rate)
		if rate == 0 {
			p.worn, p.gone, p.density = append(p.worn, nil), append(p.gone, nil), append(p.density, nil)
			continue
		}
		e := newCurves(life.Exponential{Mean: 1 / rate}, c.delay)
		p.worn = append(p.worn, &curve{tolerant: pieceTolerant, exact: func(s float64) float64 {
			return e.wornSegment(0, s, s, nil, nil)
		}})
		p.gone = append(p.gone, &curve{tolerant: pieceTolerant, exact: func(s float64) float64 {
			return math.Log(e.soundFails(0, s))
		}})
		p.density = append(p.density, &curve{tolerant: pieceTolerant, exact: func(s float64) float64 {
			return math.Log(e.failureDensity(s))
		}})
	}
	return p
}

// value is exp of a piece's table at distance s.
func value(c *curve, s float64) float64 {
	if !(s > 0) {
		return 0
	}
	return math.Exp(c.at(s, math.Log2(s)))
}

// over calls do for each piece with a hazard between lo and hi: its index, its
// limits, the survival at the first and the share of it that passes the last.
func (p *pieces) over(lo, hi float64, do func(j int, a, b, survive, pass float64)) {
	for j, a := range p.knots {
		if a >= hi {
			return
		}
		b := hi
		if j+1 < len(p.knots) {
			b = min(b, p.knots[j+1])
		}
		if b <= lo || p.slope[j] == 0 {
			continue
		}
		from := max(a, lo)
		do(j, from, b, p.survive[j]*math.Exp(-p.slope[j]*(from-a)), math.Exp(-p.slope[j]*(b-from)))
	}
}

// logMass is ln ∫₀ˣ f(u) Ḡ(x-u) du.
func (p *pieces) logMass(x float64) float64 {
	sum, size := 0.0, 0.0
	p.over(0, x, func(j int, a, b, survive, pass float64) {
		first := survive * value(p.worn[j], x-a)
		sum += first - survive*pass*value(p.worn[j], x-b)
		size += first
	})
	if !(sum > 1e-4*size) {
		return p.quad.wornSegment(0, x, x, nil, nil)
	}
	return math.Log(sum)
}

// hazards writes ln of the worn part's cumulative hazard over each of ds.
func (p *pieces) hazards(x float64, ds, out []float64) {
	mass := math.Exp(p.logMass(x))
	for i, d := range ds {
		lost, size := 0.0, 0.0
		p.over(0, x, func(j int, a, b, survive, pass float64) {
			first := survive * value(p.worn[j], x-a)
			lost += first - survive*value(p.worn[j], x+d-a)
			lost -= survive * pass * (value(p.worn[j], x-b) - value(p.worn[j], x+d-b))
			size += first
		})
		if share := lost / mass; share > 1e-4 && share < 0.99 && lost > 1e-4*size {
			out[i] = math.Log(-math.Log1p(-share))
			continue
		}
		p.quad.wornSegment(0, x, x, ds[i:i+1], out[i:i+1])
		out[i] = math.Log(out[i])
	}
}

// soundFails is the chance that a part sound at x fails within d.
func (p *pieces) soundFails(x, d float64) float64 {
	before := life.Survival(p.quad.onset, x)
	if before < 1e-200 {
		return p.quad.soundFails(x, d)
	}
	sum, end := 0.0, x+d
	p.over(x, end, func(j int, a, b, survive, pass float64) {
		sum += survive * (value(p.gone[j], end-a) - pass*value(p.gone[j], end-b))
	})
	return min(1, sum/before)
}

// failureDensity is q(t), the density of onset + delay.
func (p *pieces) failureDensity(t float64) float64 {
	sum := 0.0
	p.over(0, t, func(j int, a, b, survive, pass float64) {
		sum += survive * (value(p.density[j], t-a) - pass*value(p.density[j], t-b))
	})
	return max(0, sum)
}

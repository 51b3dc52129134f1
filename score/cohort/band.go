package cohort

import (
	"math"
)

// Point is the curves at one distance: the share of the weak population worn by
// then (whatever became of it), and failed by then, before the fit and after, with
// the ends of the 80 % bands after.
type Point struct {
	Distance               float64
	OldWorn, OldFailed     float64
	Worn, WornLow, WornTop float64
	Failed                 float64
	FailedLow, FailedTop   float64
}

// bandPoints is how many distances a band has.
const bandPoints = 60

// tenth is the standard normal's 90th percentile: the half width of 80 %.
const tenth = 1.2815515655446004

// bandOf draws the curves up to the longest history. Bands are by the delta method on
// ln(−ln(1−share)), which keeps them within 0 and 1 and is close to normal.
func bandOf(l *likelihood, t *top) []Point {
	end := 0.0
	for i := range l.units {
		for _, h := range l.units[i].histories {
			end = math.Max(end, h.x)
		}
	}
	was, is := l.bare(&l.prior.mean), l.bare(&t.at)
	var w work
	cov := l.curveCovariance(t)
	out := make([]Point, 0, bandPoints+1)
	for i := 0; i <= bandPoints; i++ {
		x := end * float64(i) / bandPoints
		p := Point{Distance: x}
		if x > 0 {
			p.OldWorn, p.OldFailed = was.worn(x).share(), was.failed(&w, x).share()
			p.Worn, p.WornLow, p.WornTop = is.worn(x).band(cov)
			p.Failed, p.FailedLow, p.FailedTop = is.failed(&w, x).band(cov)
		}
		out = append(out, p)
	}
	return out
}

// bare is the model at theta for lives whose records begin with them.
func (l *likelihood) bare(theta *params) *model {
	bare := likelihood{onset: l.onset, delay: l.delay}
	return bare.model(theta)
}

// curveCovariance spreads the covariance over all places of the curves.
func (l *likelihood) curveCovariance(t *top) (cov [curveDims][curveDims]float64) {
	free := l.freeOf(l.prior.open)
	for i, a := range free {
		for j, b := range free {
			if a < curveDims && b < curveDims {
				cov[a][b] = t.cov.At(i, j)
			}
		}
	}
	return cov
}

// worn is the log share still sound at x.
func (m *model) worn(x float64) mass {
	log, d := m.onset.survival(x)
	return mass{log: log, d: [curveDims]float64{d[0], d[1]}}
}

// failed is the log share not failed by x.
func (m *model) failed(w *work, x float64) mass {
	return m.sound(w, x, 0).plus(m.over(w, x, 0, nil, 0, lasting))
}

// share is 1 less the mass.
func (m mass) share() float64 { return -math.Expm1(math.Min(0, m.log)) }

// band is the share that the mass leaves, with the ends of its 80 % band.
func (m mass) band(cov [curveDims][curveDims]float64) (share, low, high float64) {
	hazard := -math.Min(0, m.log)
	if !(hazard > 0) {
		return 0, 0, 0
	}
	v := 0.0
	for i := range m.d {
		for j := range m.d {
			v += m.d[i] * m.d[j] * cov[i][j]
		}
	}
	half := tenth * math.Sqrt(math.Max(0, v)) / hazard // of ln hazard
	return m.share(), -math.Expm1(-hazard * math.Exp(-half)), -math.Expm1(-hazard * math.Exp(half))
}

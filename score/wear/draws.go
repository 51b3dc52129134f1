package wear

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"pitlist/score/life"
)

// Draws is a part's model in many parameter draws at once: the same draws for
// every vehicle of a fleet, so that ranks can be compared draw by draw. It
// keeps about 2e-4 of each probability. It is safe for concurrent use.
type Draws struct {
	replacement  Replacement
	onset, delay []life.Distribution // one a draw
	around       around              // what a quadrature for all draws must resolve
	shares       []float64           // one a draw; nil: the history's own
	shape, log   row                 // of Weibull onsets: shape and ln scale; nil: another family
	meanDelay    row                 // of exponential delays; nil: another family

	mass, gone  *line  // ln worn mass, ln share gone, as in Model
	stress      *line  // ln cumulative hazard of the onset, lognormal
	wornAhead   *sheet // ln cumulative hazard of the worn
	soundAhead  *sheet // ln chance to fail of the sound
	renewals    drawRenewals
	lifeSpread  float64
	scratchPool sync.Pool
}

// NewDraws draws the curves of a part len(z) times from their prior, weight in
// equivalent failures (life.Draw). z holds four independent standard normals a
// draw: two for the onset, two for the delay. shares is the share in each draw
// of vehicles whose membership is not known (History.Share strictly between 0
// and 1); nil leaves such a history its own share in every draw.
func NewDraws(onset, delay life.Distribution, r Replacement, weight float64, shares []float64, z [][4]float64) (*Draws, error) {
	err := errors.Join(check("onset", onset), check("delay", delay), r.Validate())
	if len(z) == 0 {
		err = errors.Join(err, errors.New("draws: no normals given"))
	}
	if shares != nil && len(shares) != len(z) {
		err = errors.Join(err, fmt.Errorf("draws: %d shares for %d draws", len(shares), len(z)))
	}
	if !(weight > 0) {
		err = errors.Join(err, fmt.Errorf("draws: weight %v: must be above 0", weight))
	}
	if err != nil {
		return nil, err
	}
	d := &Draws{replacement: r, shares: shares, lifeSpread: spread(onset)}
	for k := range z {
		o := life.Draw(onset, weight, [2]float64{z[k][0], z[k][1]})
		g := life.Draw(delay, weight, [2]float64{z[k][2], z[k][3]})
		d.onset, d.delay = append(d.onset, o), append(d.delay, g)
		switch o := o.(type) {
		case life.Weibull:
			d.shape, d.log = append(d.shape, o.Shape), append(d.log, math.Log(o.Scale))
		case life.Exponential:
			d.shape, d.log = append(d.shape, 1), append(d.log, math.Log(o.Mean))
		}
		if e, ok := g.(life.Exponential); ok {
			d.meanDelay = append(d.meanDelay, e.Mean)
		}
	}
	d.around = newAround(d.onset, d.delay)
	d.tables(knots(onset) != nil)
	return d, nil
}

// Len is the number of draws.
func (d *Draws) Len() int { return len(d.onset) }

// tables sets up the grids; a table's hazard has steps, which want more points.
func (d *Draws) tables(steps bool) {
	mass, over, ahead := 6.0, 4.0, 1.5 // points an octave
	if steps {
		mass, over = 32, 8
	}
	d.mass = newLine(mass, func(x float64) row { return d.fillWorn(x, nil)[0] })
	d.gone = newLine(mass, func(x float64) row { return d.fillSound(0, x) })
	if _, ok := d.onset[0].(life.Lognormal); ok {
		d.stress = newLine(mass, func(x float64) row {
			r := make(row, d.Len())
			for k := range r {
				r[k] = logOf(d.onset[k].CumHazard(x))
			}
			return r
		})
	}
	d.wornAhead = newSheet(over, ahead, func(x float64, ds []float64) []row { return d.fillWorn(x, ds)[1:] })
	d.soundAhead = newSheet(over, ahead, func(x float64, ds []float64) (rows []row) {
		for _, far := range ds {
			rows = append(rows, d.fillSound(x, far))
		}
		return rows
	})
	n := d.Len()
	d.scratchPool.New = func() any { return newScratch(n) }
}

// Seen is one observation over the draws: as Factor, with the likelihoods in
// each draw, or a single one for all.
type Seen struct {
	At            float64 // the part's own distance; at or beyond History.X: now
	Worn, NotWorn []float64
}

// DrawState is one draw's State, and what follows over two distances.
type DrawState struct {
	Sound, Worn                 float64 // posterior
	FailWornNext, FailSoundNext float64 // over the first distance
	FailWornHold, FailSoundHold float64 // over the second
}

// Percentile is the p-th quantile, p in [0, 1], of values in any order, linear
// between the two nearest ranks (Hyndman & Fan 1996, type 7); no number where
// there are no values. It puts values into another order.
func Percentile(values []float64, p float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	at := min(max(p, 0), 1) * float64(len(values)-1)
	i := min(int(at), len(values)-1)
	low := ranked(values, i)
	if i == len(values)-1 {
		return low
	}
	return low + (at-float64(i))*(slices.Min(values[i+1:])-low)
}

// ranked puts the value of rank i in its place, smaller ones before it and
// greater ones behind, and returns it (Hoare's selection, Commun. ACM 4, 1961).
func ranked(v []float64, i int) float64 {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot := v[(lo+hi)/2]
		a, b := lo, hi
		for a <= b {
			for v[a] < pivot {
				a++
			}
			for v[b] > pivot {
				b--
			}
			if a <= b {
				v[a], v[b] = v[b], v[a]
				a, b = a+1, b-1
			}
		}
		switch {
		case i <= b:
			hi = b
		case i >= a:
			lo = a
		default:
			return v[i]
		}
	}
	return v[i]
}

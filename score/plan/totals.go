package plan

import (
	"math"

	"pitlist/score"
)

// PoissonBinomial is the exact distribution of the number of events among
// independent ones with their own chances, by convolution (Hong, Comput. Stat.
// Data Anal. 59 (2013), the direct method). Tails lighter than tail are let go
// on the way, so that many small chances stay quick: Low is the number that
// P[0] belongs to.
type PoissonBinomial struct {
	Low int
	P   []float64
}

const tail = 1e-18

// Add convolves one more event of chance p in [0, 1].
func (d *PoissonBinomial) Add(p float64) {
	if len(d.P) == 0 {
		d.P = append(d.P, 1)
	}
	if !(p > 0) {
		return
	}
	p = math.Min(p, 1)
	d.P = append(d.P, 0)
	for i := len(d.P) - 1; i > 0; i-- {
		d.P[i] = d.P[i]*(1-p) + d.P[i-1]*p
	}
	d.P[0] *= 1 - p
	for len(d.P) > 1 && d.P[0] < tail {
		d.P, d.Low = d.P[1:], d.Low+1
	}
	for len(d.P) > 1 && d.P[len(d.P)-1] < tail {
		d.P = d.P[:len(d.P)-1]
	}
}

// Quantile is the smallest number n with P(N <= n) at least q.
func (d *PoissonBinomial) Quantile(q float64) int {
	sum := 0.0
	for i, p := range d.P {
		if sum += p; sum >= q {
			return d.Low + i
		}
	}
	return d.Low + max(0, len(d.P)-1)
}

// Mean is the expected number.
func (d *PoissonBinomial) Mean() float64 {
	m := 0.0
	for i, p := range d.P {
		m += float64(d.Low+i) * p
	}
	return m
}

// count sums up chances.
type count struct {
	mean float64
	all  PoissonBinomial
}

func (c *count) add(p float64) {
	c.mean += p
	c.all.Add(p)
}

func (c *count) done() Count {
	return Count{Mean: c.mean, Low: c.all.Quantile(0.1), High: c.all.Quantile(0.9)}
}

// totals speak of the whole list.
func totals(rows []Row) Totals {
	t := Totals{Vehicles: len(rows)}
	var all, above count
	hours, avoided := 0.0, 0.0
	t.Curve = append(t.Curve, CurvePoint{})
	for i := range rows {
		r := &rows[i]
		for _, c := range r.Parts {
			all.add(c.Finding.NextFail.All)
			if r.Above {
				above.add(c.Finding.NextFail.All)
				t.ExpectedWorn += c.Finding.State.Worn
				t.AvoidedNext += c.caught() * c.Finding.NextFail.IfWorn
			}
			avoided += c.caught() * c.Finding.HoldFail.IfWorn
		}
		for _, c := range r.Others {
			all.add(c.Finding.NextFail.All)
		}
		hours += r.Hours
		t.Curve = append(t.Curve, CurvePoint{hours, avoided})
		if r.Above {
			t.Above++
			t.Hours += r.Hours
			t.WaitingAbove += r.Waiting
		} else {
			t.WaitingRest += r.Waiting
		}
	}
	t.FailNext, t.FailNextAbove = all.done(), above.done()
	t.Curve = thin(t.Curve, 200)
	return t
}

// caught is the chance that the part is worn and that the look finds it.
func (c *Choice) caught() float64 {
	if c.Finding.Standing == score.WornFound {
		return 1
	}
	return c.Finding.State.Worn * c.Finding.Part.Inspection.Detects
}

// thin keeps at most n points, the first and the last among them.
func thin(points []CurvePoint, n int) []CurvePoint {
	if len(points) <= n {
		return points
	}
	out := make([]CurvePoint, n)
	for i := range out {
		out[i] = points[i*(len(points)-1)/(n-1)]
	}
	return out
}

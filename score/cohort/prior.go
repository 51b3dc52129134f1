package cohort

import (
	"math"

	"pitlist/score/life"
)

// prior is what the catalogue knows: normal in the log-parameters of each curve
// around its own, the precision its weight times the information of one complete
// observation, and Beta in the share.
type prior struct {
	mean      params
	precision [dims][dims]float64 // the share's: at its mean
	hit, miss float64             // of the Beta
	open      bool                // the share is estimated
}

// newPrior is the prior of weight equivalent failures; share counts where open.
func newPrior(onset, delay life.Distribution, weight, share float64, open bool) *prior {
	p := &prior{open: open}
	p.curve(onsetAt, onset, weight)
	p.curve(delayAt, delay, weight)
	if open {
		p.hit, p.miss = weight*share, weight*(1-share)
		p.mean[shareAt] = math.Log(share / (1 - share))
		p.precision[shareAt][shareAt] = weight * share * (1 - share)
	}
	return p
}

// curve sets the places of one curve.
func (p *prior) curve(at int, d life.Distribution, weight float64) {
	info := life.Information(d)
	for i, v := range life.LogParameters(d) {
		p.mean[at+i] = v
	}
	for i := range info {
		for j := range info[i] {
			p.precision[at+i][at+j] = weight * info[i][j]
		}
	}
}

// eval is the log density without its constant. The Beta is taken in the logit, so
// that its top lies at the catalogue's share.
func (p *prior) eval(theta *params) value {
	var v value
	for i := range shareAt {
		for j := range shareAt {
			v.slope[i] -= p.precision[i][j] * (theta[j] - p.mean[j])
		}
		v.f += v.slope[i] * (theta[i] - p.mean[i]) / 2
	}
	if p.hit > 0 {
		logit := theta[shareAt]
		v.f -= p.hit*math.Log1p(math.Exp(-logit)) + p.miss*math.Log1p(math.Exp(logit))
		v.slope[shareAt] += p.hit - (p.hit+p.miss)/(1+math.Exp(-logit))
	}
	return v
}

// sd is the prior's standard deviation of one parameter, the others unknown; 0
// without a prior.
func (p *prior) sd(j int) float64 {
	if j == shareAt {
		return over(1, math.Sqrt(p.precision[j][j]))
	}
	a, b := j, j^1 // the other of the same curve
	det := p.precision[a][a]*p.precision[b][b] - p.precision[a][b]*p.precision[a][b]
	if p.precision[b][b] == 0 {
		return over(1, math.Sqrt(p.precision[a][a]))
	}
	return math.Sqrt(over(p.precision[b][b], det))
}

func over(a, b float64) float64 {
	if !(b > 0) {
		return 0
	}
	return a / b
}

package life

import (
	"fmt"
	"math"
)

// Prior is what a catalogue knows before the records speak: normal in the
// log-parameters around Curve, its precision Weight times the Fisher
// information of one complete observation (see Draw, which draws from it).
type Prior struct {
	// Curve is a Weibull, Lognormal or Exponential of the family to be fitted.
	Curve Distribution
	// Weight is in equivalent failures; 0: the prior says nothing of the curve.
	Weight float64
	// Share is the share of the population that can fail, in (0, 1), and
	// ShareWeight its weight: Beta(Share·ShareWeight, (1−Share)·ShareWeight).
	// They count only for a limited population; weight 0 says nothing.
	Share, ShareWeight float64
}

// normalPrior is a Prior in the working parameters.
type normalPrior struct {
	mean      [2]float64
	precision [2][2]float64
	hit, miss float64 // the Beta's parameters
}

func (p *Prior) working(family Family) (*normalPrior, error) {
	if p == nil {
		return nil, nil
	}
	if !(p.Weight >= 0 && p.Weight <= maxWeight) {
		return nil, fmt.Errorf("%w: prior weight %v: must be from 0 to %g", ErrParameter, p.Weight, maxWeight)
	}
	n := &normalPrior{}
	if p.Weight > 0 {
		if err := n.curve(p, family); err != nil {
			return nil, err
		}
	}
	if p.ShareWeight == 0 {
		return n, nil
	}
	if !(p.ShareWeight > 0 && p.ShareWeight <= maxWeight && p.Share > 0 && p.Share < 1) {
		return nil, fmt.Errorf("%w: prior share %v of weight %v: must be within 0 and 1, the weight from 0 to %g", ErrParameter, p.Share, p.ShareWeight, maxWeight)
	}
	n.hit, n.miss = p.Share*p.ShareWeight, (1-p.Share)*p.ShareWeight
	return n, nil
}

// curve sets mean and precision; the information is that of Draw too.
func (n *normalPrior) curve(p *Prior, family Family) error {
	if p.Curve == nil {
		return fmt.Errorf("%w: prior of weight %v without a curve", ErrParameter, p.Weight)
	}
	if err := p.Curve.Validate(); err != nil {
		return fmt.Errorf("prior: %w", err)
	}
	of, sign := Family(""), 1.0
	switch p.Curve.(type) {
	case Weibull:
		of = FamilyWeibull
	case Lognormal:
		of, sign = FamilyLognormal, -1 // the second working parameter is −ln sigma
	case Exponential:
		of = FamilyExponential
	}
	if of != family {
		return fmt.Errorf("%w: prior curve %T for a %s fit: must be of the same family", ErrParameter, p.Curve, family)
	}
	mean := LogParameters(p.Curve)
	n.mean[0] = mean[0]
	if len(mean) > 1 {
		n.mean[1] = sign * mean[1]
	}
	n.precision = Information(p.Curve)
	for i := range n.precision {
		for j := range n.precision[i] {
			n.precision[i][j] *= p.Weight
		}
	}
	return nil
}

// add adds the log density, without its constant, at the sums' parameters. Its
// first parameter is the log scale, which is place − anchor/k.
func (n *normalPrior) add(s *sums, limited bool) {
	turn := s.anchor / s.k // d(log scale)/d(ln k)
	a, b := s.at[place]-turn-n.mean[0], s.at[steep]-n.mean[1]
	p := n.precision
	ga, gb := p[0][0]*a+p[0][1]*b, p[0][1]*a+p[1][1]*b
	s.f -= (a*ga + b*gb) / 2
	s.grad[place] -= ga
	s.grad[steep] -= ga*turn + gb
	s.hess[place][place] -= p[0][0]
	s.hess[place][steep] -= p[0][0]*turn + p[0][1]
	s.hess[steep][steep] -= p[0][0]*turn*turn + 2*p[0][1]*turn + p[1][1] - ga*turn
	if limited {
		// In the logit, so that the prior's top lies at its share.
		s.f += n.hit*math.Log(s.share) + n.miss*math.Log1p(-s.share)
		s.grad[logit] += n.hit - (n.hit+n.miss)*s.share
		s.hess[logit][logit] -= (n.hit + n.miss) * s.share * (1 - s.share)
	}
}

package score

import (
	"context"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"pitlist/score/evidence"
	"pitlist/score/wear"
)

// partDraws is a part in every parameter draw: its curves, the share that
// belongs where nothing decides, and its rules' rates. One set serves the
// whole fleet, so that ranks can be compared draw by draw.
type partDraws struct {
	curves *wear.Draws
	rates  [][]rateDraws // group -> rule
}

// rateDraws are a rule's two rates, a draw each.
type rateDraws struct{ worn, notWorn []float64 }

// drawAll draws every part. The random numbers of a part depend on the seed
// and its id alone, so that a change in one entry moves no other.
func drawAll(parts []WeakPart, s *Settings) ([]*partDraws, error) {
	out := make([]*partDraws, len(parts))
	for i := range parts {
		p := &parts[i]
		id := fnv.New64a()
		id.Write([]byte(p.ID))
		r := rand.New(rand.NewPCG(s.Seed, id.Sum64()))
		z := make([][4]float64, s.Draws)
		shares := make([]float64, s.Draws)
		for k := range z {
			for j := range z[k] {
				z[k][j] = r.NormFloat64()
			}
			shares[k] = beta(p.ShareIfUnknown, p.Weight, r.Float64())
		}
		curves, err := wear.NewDraws(p.Onset, p.Delay, p.Replacement, p.Weight, shares, z)
		if err != nil {
			return nil, fmt.Errorf("part %s: %w", p.ID, err)
		}
		out[i] = &partDraws{curves: curves}
		for g := range p.Evidence {
			out[i].rates = append(out[i].rates, drawRates(&p.Evidence[g], s.Draws, r))
		}
	}
	return out, nil
}

// beta is the u-quantile of Beta(p·w, (1−p)·w): a share or rate p known with
// the weight of w observations.
func beta(p, w, u float64) float64 {
	a, b := p*w, (1-p)*w
	if !(a > 0) || !(b > 0) {
		return p
	}
	return mathext.InvRegIncBeta(a, b, u)
}

// drawRates draws the two rates of every rule of a group; rates that sum to
// more than 1, rules of codes that came back aside, are divided by their sum.
func drawRates(g *evidence.Group, n int, r *rand.Rand) []rateDraws {
	out := make([]rateDraws, len(g.Rules))
	for i := range g.Rules {
		rule := &g.Rules[i]
		out[i] = rateDraws{make([]float64, n), make([]float64, n)}
		for k := range n {
			out[i].worn[k] = beta(rule.Worn, rule.PriorWeight(), r.Float64())
			out[i].notWorn[k] = beta(rule.NotWorn, rule.PriorWeight(), r.Float64())
		}
	}
	worn, notWorn := make([]float64, len(out)), make([]float64, len(out))
	for k := range n {
		for i := range out {
			worn[i], notWorn[i] = out[i].worn[k], out[i].notWorn[k]
		}
		g.AtMostOne(worn)
		g.AtMostOne(notWorn)
		for i := range out {
			out[i].worn[k], out[i].notWorn[k] = worn[i], notWorn[i]
		}
	}
	return out
}

// drawn holds what one worker reuses for intervals.
type drawn struct {
	states []wear.DrawState
	values []float64
	seen   []wear.Seen
	rows   [][]float64 // of silences, as many as were ever needed
	used   int
}

// row hands out one more row of n values.
func (b *drawn) row(n int) []float64 {
	if b.used == len(b.rows) {
		b.rows = append(b.rows, make([]float64, n))
	}
	b.used++
	return b.rows[b.used-1]
}

// shownFrom is the p_worn below which no interval is shown.
const shownFrom = 0.01

// interval runs the draws for a finding that could matter: p_worn is shown
// with an interval, or an inspection could pay. What cannot pay in any plan is
// left out; it is most of a fleet.
func (w *worker) interval(f *Finding, h wear.History, obs []evidence.Observation) {
	if w.draws == nil || f.Standing != Scored {
		return
	}
	p := f.Part
	if f.State.Worn < shownFrom && f.State.Worn*p.Costs.Failure < w.settings.WorthALook {
		return
	}
	d := w.draws[f.PartIndex]
	w.drawn.see(d, h.Factors[:len(h.Factors)-len(obs)], p.Evidence, obs)
	w.drawn.states = slices.Grow(w.drawn.states[:0], d.curves.Len())[:d.curves.Len()]
	d.curves.Assess(h, w.drawn.seen, f.Next, f.Hold, w.drawn.states)
	if f.State.Worn >= shownFrom {
		f.PLow, f.PHigh, f.HasInterval = w.drawn.percentiles()
	}
	risky := p.Consequence == CanInjure && w.drawn.risky(f)
	if keep := w.settings.Keep; keep != nil && !risky && !keep(f, w.drawn.states) {
		return
	}
	if sift := w.settings.Sift; sift != nil {
		sift(f, w.drawn.states)
		f.LetGo = len(w.drawn.states)
		if risky {
			f.Over = w.drawn.over(d, h, p)
		}
		return
	}
	f.Draws = w.drawn.keep()
	if risky {
		f.Draws.Risk = w.drawn.risk(d, h, p.RiskKM)
	}
}

// over are the draws in which an injury part is over a limit, by its chances as
// Draws would keep them.
func (b *drawn) over(d *partDraws, h wear.History, p *WeakPart) DrawSet {
	var out DrawSet
	n := len(b.states)
	for k := range b.states {
		if OverLimit(p, float32(b.states[k].Worn), 0) {
			out.Add(k, n)
		}
	}
	for k, risk := range b.risk(d, h, p.RiskKM) {
		if OverLimit(p, 0, risk) {
			out.Add(k, n)
		}
	}
	return out
}

// OverLimit tells whether an injury part is over a limit in a draw that gives
// it these chances of being worn, and of failing over the part's RiskKM.
func OverLimit(p *WeakPart, worn, risk float32) bool {
	return p.Consequence == CanInjure && (float64(worn) > p.WornLimit || float64(risk) > p.RiskLimit)
}

// Redraw judges vehicles once more, for the parameter draws that were let go:
// they come back as they were. The assessments must be this scorer's.
func (sc *Scorer) Redraw(list []*Assessment) {
	all := *sc
	all.settings.Sift = nil
	// The context never ends: a plan is made of all draws or of none.
	_ = all.share(context.Background(), len(list), nil, func(w *worker, i int) {
		var again Assessment
		w.assess(list[i].Vehicle, &again)
		for j := range list[i].Findings {
			f := &list[i].Findings[j]
			if k := slices.IndexFunc(again.Findings, func(g Finding) bool { return g.PartIndex == f.PartIndex }); f.LetGo > 0 && k >= 0 {
				f.Draws, f.LetGo, f.FailsNext, f.Over = again.Findings[k].Draws, 0, nil, nil
			}
		}
	})
}

// risky tells whether an injury part could be over a limit in any draw. Over
// RiskKM a worn part fails at most for certain, and a sound one at most as
// often as over a longer distance.
func (b *drawn) risky(f *Finding) bool {
	p := f.Part
	for k := range b.states {
		s := &b.states[k]
		sound := 1.0
		if p.RiskKM <= f.Hold {
			sound = s.FailSoundHold
		}
		worn := max(s.Worn, float64(float32(s.Worn))) // as it is, and as it is kept
		if worn > p.WornLimit || s.Worn+s.Sound*sound > p.RiskLimit {
			return true
		}
	}
	return false
}

// risk is the chance of failure over the distance in every draw.
func (b *drawn) risk(d *partDraws, h wear.History, distance float64) []float32 {
	d.curves.Assess(h, b.seen, distance, distance, b.states)
	out := make([]float32, len(b.states))
	for k := range b.states {
		s := &b.states[k]
		out[k] = float32(s.Worn*s.FailWornNext + s.Sound*s.FailSoundNext)
	}
	return out
}

// see lists the observations with their likelihoods in every draw: clean
// inspections with the part's own detection, the evidence with drawn rates.
func (b *drawn) see(d *partDraws, clean []wear.Factor, groups []evidence.Group, obs []evidence.Observation) {
	b.seen, b.used = b.seen[:0], 0
	for _, c := range clean {
		b.seen = append(b.seen, wear.Seen{At: c.At, Worn: []float64{c.Worn}, NotWorn: []float64{c.NotWorn}})
	}
	for i := range obs {
		o := &obs[i]
		rates := d.rates[o.Group]
		if o.Rule != evidence.None {
			b.seen = append(b.seen, wear.Seen{At: o.At, Worn: rates[o.Rule].worn, NotWorn: rates[o.Rule].notWorn})
			continue
		}
		n := d.curves.Len()
		s := wear.Seen{At: o.At, Worn: b.row(n), NotWorn: b.row(n)}
		silence(&groups[o.Group], o, rates, s.Worn, s.NotWorn)
		b.seen = append(b.seen, s)
	}
}

// silence writes the chance of a group's silence in every draw, as
// evidence.Group.Silence does for one.
func silence(g *evidence.Group, o *evidence.Observation, rates []rateDraws, worn, notWorn []float64) {
	for k := range worn {
		worn[k], notWorn[k] = 1, 1
	}
	for i := range g.Rules {
		ready := g.Ready(o, i)
		if ready == 0 {
			continue
		}
		w, n := rates[i].worn, rates[i].notWorn
		for k := range worn {
			worn[k] -= ready * w[k]
			notWorn[k] -= ready * n[k]
		}
	}
	for k := range worn {
		worn[k], notWorn[k] = max(0, worn[k]), max(0, notWorn[k])
	}
}

// keep copies the states into the slim form that planning needs.
func (b *drawn) keep() *Draws {
	n := len(b.states)
	all := make([]float32, 5*n)
	next := func() []float32 { r := all[:n:n]; all = all[n:]; return r }
	d := &Draws{Worn: next(), Sound: next(), WornNext: next(), WornHold: next(), SoundHold: next()}
	for k := range b.states {
		s := &b.states[k]
		d.Worn[k], d.Sound[k] = float32(s.Worn), float32(s.Sound)
		d.WornNext[k], d.WornHold[k], d.SoundHold[k] = float32(s.FailWornNext), float32(s.FailWornHold), float32(s.FailSoundHold)
	}
	return d
}

// percentiles are the 10th and the 90th of p_worn over the draws.
func (b *drawn) percentiles() (low, high float64, ok bool) {
	b.values = b.values[:0]
	for k := range b.states {
		b.values = append(b.values, b.states[k].Worn)
	}
	return wear.Percentile(b.values, 0.1), wear.Percentile(b.values, 0.9), true
}

package life

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// supported refuses what the records cannot carry, before any search. With a
// prior everything has a maximum.
func (m Model) supported(kept []Record, sum Tally) error {
	if m.Prior != nil && m.Prior.Weight > 0 && (!m.Limited || m.Prior.ShareWeight > 0) {
		return nil
	}
	need := 1.0
	if m.shapeFree() {
		need++
	}
	if m.Limited {
		need++
	}
	switch {
	case sum.Records == 0:
		return fmt.Errorf("%w: no records; needs at least %v failures", ErrTooFew, need)
	case sum.Events == 0:
		return fmt.Errorf("%w: all %v parts are right-censored; needs at least %v failures, a prior, or the bound of ScaleAtLeast at a shape given", ErrTooFew, sum.Records, need)
	case sum.Events < need:
		return fmt.Errorf("%w: %v in %v parts; needs at least %v, a shape given (Model.Shape), or a prior", ErrTooFew, sum.Events, sum.Records, need)
	}
	return m.bounded(kept)
}

// bounded refuses data that a point mass explains better than any curve: then
// the likelihood rises without end as the shape does. That is so where one
// distance lies in every failure's interval, after every entry, and no part ran
// beyond it. Parts that ran beyond do not help a limited population, which
// takes them for immune.
func (m Model) bounded(kept []Record) error {
	if !m.shapeFree() {
		return m.above(kept)
	}
	from, to, exact, beyond := 0.0, math.Inf(1), false, 0.0
	for _, r := range kept {
		from = math.Max(from, r.Entry)
		switch {
		case r.Running():
			beyond = math.Max(beyond, r.Low)
		case r.Exact():
			exact = true
			from, to = math.Max(from, math.Nextafter(r.Low, 0)), math.Min(to, r.High)
		default:
			from, to = math.Max(from, r.Low), math.Min(to, r.High)
		}
	}
	if to <= from || (beyond > to && !m.Limited) {
		return nil
	}
	where := fmt.Sprintf("in one interval, up to %v", to)
	if exact {
		where = fmt.Sprintf("at %v", to)
	}
	return fmt.Errorf("%w: all failures can lie %s, and nothing tells how they spread; needs failures at two distances, or (without a limited population) parts running past them", ErrUnbounded, where)
}

// above refuses, where the shape is given, failures that were all found at the
// first look while nothing ran: the scale goes to 0.
func (m Model) above(kept []Record) error {
	for _, r := range kept {
		if r.Low > r.Entry || r.Entry > 0 {
			return nil
		}
	}
	return fmt.Errorf("%w: every part was found failed at its first look, the scale goes to 0; needs a part seen running", ErrUnbounded)
}

// starts are places to begin, the likeliest first: the records' own rough
// values, other shapes with the same scale, and the prior's. The plain fit's
// likelihood has one top, so there the first is good enough unranked.
func (f *Fit) starts(kept []Record) []vector {
	m := f.Model
	k := 1.0
	if m.shapeFree() {
		k = roughShape(kept)
	} else if m.Family != FamilyExponential {
		k = m.Shape
	}
	var tries []vector
	if y, ok := roughScale(kept, k, math.Max(f.Tally.Events, 0.5)); ok {
		tries = append(tries, vector{place: y, steep: math.Log(k)})
		if m.shapeFree() {
			tries = append(tries, vector{place: y}, vector{place: y, steep: math.Log(4)})
		}
	}
	p := f.likelihood.prior
	if p != nil && p.precision[0][0] > 0 {
		v := vector{place: p.mean[0], steep: p.mean[1]}
		if !m.shapeFree() {
			v[steep] = math.Log(k)
		}
		tries = append(tries, v)
	}
	if m.Limited {
		tries = shares(tries, f.Tally)
	}
	if !m.Limited && p == nil {
		return tries
	}
	return f.likelihood.ranked(tries)
}

// ranked orders by value, and leaves out what cannot be computed.
func (l *likelihood) ranked(tries []vector) []vector {
	value := map[vector]float64{}
	tries = slices.DeleteFunc(tries, func(v vector) bool {
		value[v] = l.eval(v).f
		return math.IsInf(value[v], -1)
	})
	slices.SortStableFunc(tries, func(a, b vector) int { return cmp.Compare(value[b], value[a]) })
	return tries
}

// shares spreads starting places over shares from what has failed up to most
// of the population, the scale shrunk as far as half way to new.
func shares(tries []vector, sum Tally) []vector {
	seen := math.Min(0.9, math.Max(1e-6, sum.Events/sum.Records))
	var out []vector
	for _, v := range tries {
		for _, share := range []float64{seen * 1.05, (1 + seen) / 2} {
			for _, shrink := range []float64{0, 0.7, 1.5} {
				v[logit] = math.Log(share / (1 - share))
				out = append(out, vector{v[place] - shrink, v[steep], v[logit]})
			}
		}
	}
	return out
}

// roughShape is that of the failures' logarithms alone: the extreme value
// distribution's standard deviation is π/√6.
func roughShape(kept []Record) float64 {
	var n, mean, square float64
	for _, r := range kept {
		if r.Running() {
			continue
		}
		y := math.Log(r.middle())
		n += r.Weight
		d := y - mean
		mean += d * r.Weight / n
		square += r.Weight * d * (y - mean)
	}
	k := math.Pi / math.Sqrt(6) / math.Sqrt(square/n)
	if !(k > 0.3) {
		return 1
	}
	return math.Min(k, 20)
}

// roughScale is the log of a Weibull's scale at the shape k and so many
// failures, each in the middle of its interval: exact where none is in one.
func roughScale(kept []Record, k, events float64) (float64, bool) {
	y, total, ok := logPower(kept, k, Record.middle)
	if !ok {
		return 0, false
	}
	return y + (math.Log(total)-math.Log(events))/k, true
}

// logPower sums weight·(t^k − entry^k), t being what at says: as a total times
// exp(k·y), so that no power overflows.
func logPower(kept []Record, k float64, at func(Record) float64) (y, total float64, ok bool) {
	longest := 0.0
	for _, r := range kept {
		longest = math.Max(longest, at(r))
	}
	for _, r := range kept {
		total += r.Weight * (math.Pow(at(r)/longest, k) - math.Pow(r.Entry/longest, k))
	}
	return math.Log(longest), total, longest > 0 && total > 0 && finite(total)
}

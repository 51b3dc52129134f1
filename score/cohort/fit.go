package cohort

import (
	"context"
	"math"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/say"
)

// Status says how a fit ended.
type Status string

// The ways in which a fit ends. One that found no maximum is an error, and there
// is no Fit then.
const (
	Learned Status = "learned"                 // at a maximum, the records have moved something
	Kept    Status = "kept at the catalogue's" // no history says anything: all stays as it was
)

// Curves are what a part's wear follows.
type Curves struct {
	Onset, Delay life.Distribution
	Share        float64 // of vehicles whose membership is not known, that have the part
	Weight       float64 // equivalent failures behind the curves
}

// Parameter is one estimated parameter, on its working scale.
type Parameter struct {
	Curve     string  // "onset", "delay" or "share"
	Name      string  // as life.LogParameterNames; "logit share"
	Prior, SD float64 // the catalogue's value, and the fit's standard deviation
	PriorSD   float64 // +Inf without a prior weight
	Value     float64 // as fitted
	// Told is how much of the prior's doubt the records have taken away: 1 less
	// the ratio of the variances, in [0, 1]; 1 without a prior.
	Told float64
}

// littleTold is the Told below which a parameter counts as staying at the prior.
const littleTold = 0.1

// littleMoved is how far a parameter may move, in standard deviations of the prior, and still be said to stay.
const littleMoved = 0.1

// Fit is what the records make of a part's curves.
type Fit struct {
	Weak     *score.WeakPart
	Status   Status
	Old, New Curves
	Counts   Counts
	Rates    []Rate

	LogLik     float64     // of the records at New, without the prior
	OldLogLik  float64     // of the records at Old
	Parameters []Parameter // in the order of Covariance; none where Status is Kept
	Covariance *mat.SymDense
	Band       []Point   // onset and failure by distance, before and after
	Observed   *Observed // what the records show without any curve; nil: nothing to show
	Goodness   *Goodness // observed against expected; nil: nothing to compare
	Unknown    *Bounds   // what renewals of unknown cause could do; nil: there are none
	Warnings   []error   // what limits the result
}

// Bounds are the curves if every renewal of unknown cause had been a failure, and
// if none had (each then as good as planned). Either may be nil where that fit
// found no maximum.
type Bounds struct {
	AllFailed, NoneFailed *Curves
}

// Fit learns the part's curves. Without any history it returns the catalogue's,
// with Status Kept. The error wraps life.ErrUnbounded or life.ErrNotConverged.
// The same records give the same bits, in whatever order the vehicles stand.
func (p *Part) Fit() (*Fit, error) {
	f := &Fit{Weak: p.Weak, Counts: p.Counts, Old: curvesOf(p.Weak)}
	f.New = f.Old
	f.Rates = ratesOf(p.Weak, p.Pasts)
	units := p.byCause[""]
	if len(units) == 0 {
		f.Status = Kept
		f.caution()
		return f, nil
	}
	l, t, err := p.learn(units)
	if err != nil {
		return nil, say.NewError("fit %s: %s", p.Weak.ID, err)
	}
	f.Status, f.New = Learned, l.curves(t, f.Old, eventsIn(l.units))
	f.read(l, t)
	if l.impossible > 0 {
		f.Warnings = append(f.Warnings, say.One(l.impossible, say.NewError("1 vehicle was left out: its records cannot be with the catalogue's curves (a failure before a table's first wear, say); look at the curve's form"),
			say.NewError("%d vehicles were left out: their records cannot be with the catalogue's curves (a failure before a table's first wear, say); look at the curve's form", l.impossible)))
	}
	f.Band = bandOf(l, t)
	f.Observed = observe(units)
	f.Goodness = l.goodness(t)
	p.bound(f)
	f.caution()
	return f, nil
}

// FitAll fits every part; errs[i] is the error of parts[i], whose fit is nil.
func FitAll(ctx context.Context, parts []Part) (fits []*Fit, errs []error, err error) {
	fits, errs = make([]*Fit, len(parts)), make([]error, len(parts))
	for i := range parts {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		fits[i], errs[i] = parts[i].Fit()
	}
	return fits, errs, nil
}

func curvesOf(w *score.WeakPart) Curves {
	return Curves{Onset: w.Onset, Delay: w.Delay, Share: w.ShareIfUnknown, Weight: w.Weight}
}

func eventsIn(units []unit) (n int) {
	for i := range units {
		for _, h := range units[i].histories {
			if h.end != running {
				n++
			}
		}
	}
	return n
}

// learn finds the most probable curves for the units.
func (p *Part) learn(units []unit) (*likelihood, *top, error) {
	w := p.Weak
	open := 0
	for i := range units {
		if units[i].open {
			open++
		}
	}
	estimate := open > 0 && w.ShareIfUnknown > 0 && w.ShareIfUnknown < 1
	pr := newPrior(w.Onset, w.Delay, w.Weight, w.ShareIfUnknown, estimate)
	l := p.likelihood(units, pr)
	if math.IsInf(l.eval(&pr.mean).f, -1) {
		if units = l.possible(&pr.mean); len(units) == 0 {
			return nil, nil, say.NewError("%s: none of the records can be with the catalogue's curves", life.ErrNotConverged)
		}
		left := len(l.units) - len(units)
		l = p.likelihood(units, pr)
		l.impossible = left
	}
	s := &search{likelihood: l, from: pr.mean, free: l.freeOf(estimate)}
	if w.ShareIfUnknown >= 1 {
		s.from[shareAt] = largestLog // certain
	}
	one := newPrior(w.Onset, w.Delay, 1, w.ShareIfUnknown, estimate)
	n := w.Weight + math.Max(1, float64(eventsIn(units)))
	for _, j := range s.free {
		if j == shareAt {
			n = w.Weight + float64(open)
		}
		s.unit = append(s.unit, 1/math.Sqrt(n*one.precision[j][j]))
	}
	t, err := s.run()
	return l, t, err
}

func (p *Part) likelihood(units []unit, pr *prior) *likelihood {
	w := p.Weak
	l := newLikelihood(units, w.Onset, w.Delay, w.Replacement, w.Inspection.Detects, pr)
	if p.steps > 0 {
		l.steps = p.steps
	}
	return l
}

// curves are those at the top, with the weight that they then have.
func (l *likelihood) curves(t *top, old Curves, events int) Curves {
	m := l.model(&t.at)
	c := Curves{Onset: m.onset.of, Delay: m.delay.of, Share: old.Share, Weight: old.Weight + float64(events)}
	if l.prior.open {
		c.Share = 1 / (1 + math.Exp(-t.at[shareAt]))
	}
	return c
}

// read takes log-likelihoods and parameters from the top.
func (f *Fit) read(l *likelihood, t *top) {
	f.LogLik, f.OldLogLik = l.records(&t.at).f, l.records(&l.prior.mean).f
	f.Covariance = t.cov
	for i, j := range l.freeOf(l.prior.open) {
		p := Parameter{Prior: l.prior.mean[j], Value: t.at[j], SD: math.Sqrt(t.cov.At(i, i)), PriorSD: math.Inf(1), Told: 1}
		switch {
		case j == shareAt:
			p.Curve, p.Name = "share", "logit share"
		case j >= delayAt:
			p.Curve, p.Name = "delay", life.LogParameterNames(l.delay)[j-delayAt]
		default:
			p.Curve, p.Name = "onset", life.LogParameterNames(l.onset)[j-onsetAt]
		}
		if sd := l.prior.sd(j); sd > 0 {
			p.PriorSD = sd
			p.Told = math.Min(1, math.Max(0, 1-p.SD*p.SD/(sd*sd)))
		}
		f.Parameters = append(f.Parameters, p)
	}
}

// bound fits again with the renewals of unknown cause taken as failures, and as
// planned.
func (p *Part) bound(f *Fit) {
	if p.Counts.Unknown == 0 {
		return
	}
	f.Unknown = &Bounds{}
	f.Unknown.AllFailed = p.taken(f, score.EndedFailed)
	f.Unknown.NoneFailed = p.taken(f, score.EndedPlanned)
}

// taken is the fit with every renewal of unknown cause taken as so; nil, with a
// warning, where it finds no maximum.
func (p *Part) taken(f *Fit, cause score.Ending) *Curves {
	units := p.byCause[cause]
	l, t, err := p.learn(units)
	if err != nil {
		f.Warnings = append(f.Warnings, noBound(cause, err))
		return nil
	}
	c := l.curves(t, f.Old, eventsIn(l.units))
	return &c
}

// noBound words that a bound of Bounds could not be found.
func noBound(cause score.Ending, err error) error {
	if cause == score.EndedFailed {
		return say.NewError("the bound with every renewal of unknown cause taken as failed could not be found: %s", err)
	}
	return say.NewError("the bound with every renewal of unknown cause taken as planned renewal could not be found: %s", err)
}

// caution says what limits the result.
func (f *Fit) caution() {
	c := &f.Counts
	warn := func(err error) { f.Warnings = append(f.Warnings, err) }
	if f.Status == Kept {
		warn(say.NewError("no history of the part: nothing was learned"))
	} else if c.Events() == 0 {
		warn(say.One(c.Lives, say.NewError("no failure and no worn finding in 1 life: only the distance run without them speaks"),
			say.NewError("no failure and no worn finding in %d lives: only the distance run without them speaks", c.Lives)))
	}
	for _, p := range f.Parameters {
		switch {
		case p.Told >= littleTold:
		case math.Abs(p.Value-p.Prior) > littleMoved*p.PriorSD:
			warn(say.NewError("the records move the %s's %s and take next to nothing of the doubt about it: it rests on the catalogue still", CurveName(p.Curve), parameterName(p.Name)))
		default:
			warn(say.NewError("the records say next to nothing of the %s's %s: it stays at the catalogue's", CurveName(p.Curve), parameterName(p.Name)))
		}
	}
	f.cautionRates(warn)
	if c.Unknown > 0 {
		warn(say.NewError("%d of %d renewals name no cause: %d used up to their last clean inspection, %d left out; the bounds show what they could do to the curve", c.Unknown, c.Unknown+c.Failures+c.Planned, c.UnknownUsed, c.UnknownLeft))
	}
	if c.OutsideEvents > 0 {
		warn(say.One(c.OutsideEvents, say.NewError("1 failure or worn finding on a vehicle outside the ranges was not used: look at the ranges"),
			say.NewError("%d failures or worn findings on vehicles outside the ranges were not used: look at the ranges", c.OutsideEvents)))
	}
	if c.AfterImproved > 0 {
		warn(say.One(c.AfterImproved, say.NewError("1 failure or worn finding of the improved part was not used: by the catalogue it does not wear so"),
			say.NewError("%d failures or worn findings of the improved part were not used: by the catalogue it does not wear so", c.AfterImproved)))
	}
	if c.Instant > 0 {
		warn(say.One(c.Instant, say.NewError("1 failure or worn finding at the distance of the fitting itself was not used: the same job on two rows, or a distance that is no good"),
			say.NewError("%d failures or worn findings at the distance of the fitting itself were not used: the same job on two rows, or a distance that is no good", c.Instant)))
	}
	if c.NoDistance > 0 {
		warn(say.One(c.NoDistance, say.NewError("1 vehicle without any reading was left out"),
			say.NewError("%d vehicles without any reading were left out", c.NoDistance)))
	}
	if c.Undated > 0 {
		warn(say.One(c.Undated, say.NewError("1 entry without a day of its own was placed at its sheet's day"),
			say.NewError("%d entries without a day of their own were placed at their sheet's day", c.Undated)))
	}
	if f.Observed != nil {
		f.Warnings = append(f.Warnings, f.Observed.Warnings...)
	}
	if f.Goodness != nil {
		f.Warnings = append(f.Warnings, f.Goodness.Warnings...)
	}
}

// cautionRates names the rules of which no opening could tell anything.
func (f *Fit) cautionRates(warn func(error)) {
	if f.Counts.Openings == 0 {
		return
	}
	for i := range f.Rates {
		r := &f.Rates[i]
		if r.Worn.Openings+r.NotWorn.Openings == 0 {
			warn(say.NewError("evidence %s, rule %d: none of %d openings could tell whether it speaks; its rates stay", strconv.Quote(f.Weak.Evidence[r.Group].Name), r.Rule+1, r.NoChance()))
		}
	}
}

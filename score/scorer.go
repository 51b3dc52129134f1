package score

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"pitlist/score/evidence"
	"pitlist/score/odometer"
	"pitlist/score/say"
	"pitlist/score/wear"
)

// Scorer judges vehicles against a catalogue for one run. What depends on the
// catalogue alone is computed once, when it is made; it is safe for use by
// several goroutines.
type Scorer struct {
	catalogue *Catalogue
	settings  Settings
	words     *wording
	models    []*wear.Model
	draws     []*partDraws // nil where no intervals are asked for
	aware     []int        // parts known by the run's day
	hasCodes  []bool       // a rule of the part asks for codes
}

// NewScorer compiles the catalogue for the run. It errs on curves or phrases
// that cannot be used; a linted catalogue has none.
func NewScorer(c *Catalogue, s Settings) (*Scorer, error) {
	words, err := compile(c.Parts)
	if err != nil {
		return nil, err
	}
	sc := &Scorer{catalogue: c, settings: s, words: words}
	for i := range c.Parts {
		p := &c.Parts[i]
		m, err := wear.New(p.Onset, p.Delay, p.Replacement)
		if err != nil {
			return nil, fmt.Errorf("part %s: %w", p.ID, err)
		}
		sc.models = append(sc.models, m)
		sc.hasCodes = append(sc.hasCodes, asksForCodes(p))
	}
	if s.Draws > 0 {
		if sc.draws, err = drawAll(c.Parts, &s); err != nil {
			return nil, err
		}
	}
	return sc.On(s.Day), nil
}

// On returns a scorer for another day that shares with this one all that the
// catalogue alone decides: a backtest judges on many days. Only entries known
// by the day speak.
func (sc *Scorer) On(day Day) *Scorer {
	out := *sc
	out.settings.Day, out.aware = day, nil
	for i := range sc.catalogue.Parts {
		if sc.catalogue.Parts[i].KnownSince <= day {
			out.aware = append(out.aware, i)
		}
	}
	return &out
}

// With returns a scorer for another run, which shares with this one all that the
// catalogue and its draws decide: who runs week after week need not build it
// again. Where the settings ask for other draws, the draws are made anew.
func (sc *Scorer) With(s Settings) (*Scorer, error) {
	out := *sc
	if s.Draws != sc.settings.Draws || s.Seed != sc.settings.Seed {
		out.draws = nil
		if s.Draws > 0 {
			var err error
			if out.draws, err = drawAll(sc.catalogue.Parts, &s); err != nil {
				return nil, err
			}
		}
	}
	out.settings = s
	return out.On(s.Day), nil
}

// Catalogue is what the scorer judges by; it is not to be changed.
func (sc *Scorer) Catalogue() *Catalogue { return sc.catalogue }

// asksForCodes tells whether any rule of the part tests codes.
func asksForCodes(p *WeakPart) bool {
	for _, g := range p.Evidence {
		for i := range g.Rules {
			if !g.Rules[i].Codes.Empty() {
				return true
			}
		}
	}
	return false
}

// AssessAll judges every vehicle, in parallel, the order kept. done, if not nil,
// is handed those that have been judged, the first of them being that of vehicle
// first, from several goroutines.
func (sc *Scorer) AssessAll(ctx context.Context, vehicles []Vehicle, done func(first int, judged []Assessment)) ([]Assessment, error) {
	out := make([]Assessment, len(vehicles))
	clear(out) // written before the collector reads it: pages that are read first are mapped twice
	var told func(from, to int)
	if done != nil {
		told = func(from, to int) { done(from, out[from:to]) }
	}
	err := sc.share(ctx, len(vehicles), told, func(w *worker, i int) { w.assess(&vehicles[i], &out[i]) })
	return out, err
}

// share deals the numbers below n out to workers, some at a time, and tells of
// those that are done.
func (sc *Scorer) share(ctx context.Context, n int, done func(from, to int), do func(w *worker, i int)) error {
	const batch = 64
	var next atomic.Int64
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			w := sc.worker()
			for ctx.Err() == nil {
				from := int(next.Add(batch)) - batch
				if from >= n {
					return
				}
				to := min(from+batch, n)
				for i := from; i < to; i++ {
					do(w, i)
				}
				if done != nil {
					done(from, to)
				}
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// Assess judges one vehicle.
func (sc *Scorer) Assess(v *Vehicle) Assessment {
	var a Assessment
	sc.worker().assess(v, &a)
	return a
}

// worker holds what one goroutine reuses from vehicle to vehicle.
type worker struct {
	*Scorer
	reader   reader
	readings []odometer.Reading
	hours    []odometer.Reading
	at       track // the vehicle at hand
	moved    []Ref // its rows of which no day is to be told
	scans    []scanned
	events   []event
	observed []evidence.Observation
	found    []Finding
	drawn    drawn
}

func (sc *Scorer) worker() *worker {
	return &worker{
		Scorer: sc,
		reader: reader{words: sc.words, seen: map[string][]phraseHit{}},
	}
}

func (w *worker) assess(v *Vehicle, a *Assessment) {
	if w.settings.Strict {
		cut := v.At(w.settings.Day, true)
		v = &cut
	} else {
		v = v.upTo(w.settings.Day)
	}
	*a = Assessment{Vehicle: v, judge: w.Scorer}
	if v.Status == Sold {
		a.SetAside = Sold
		return
	}
	w.at = w.track(v)
	t := &w.at
	a.Odometer = short(&t.odometer)
	if len(v.Hours) > 0 {
		a.SetHours(short(&t.hours))
	}
	a.Ahead = w.settings.ahead(v, t)
	v, w.moved = v.placeUndated(t)
	texts := w.reader.texts(v)
	w.scans = scans(v, w.scans)
	w.found = w.found[:0]
	for _, i := range w.aware {
		w.found = append(w.found, Finding{})
		last := len(w.found) - 1
		checks, concerned := w.part(&w.found[last], i, v, t, texts, a.Ahead)
		if !concerned {
			w.found = w.found[:last]
		}
		a.Checks = append(a.Checks, checks...)
	}
	if len(w.found) > 0 {
		a.Findings = slices.Clone(w.found) // no larger than it must be: there are many
	}
	a.Checks = append(a.Checks, w.otherChecks(v, a, texts)...)
}

// short is what an assessment keeps of an estimate: Details words the rest anew.
func short(e *odometer.Estimate) odometer.Brief {
	b := e.Brief
	b.Detail = say.Text{}
	return b
}

// upTo returns the vehicle itself where no fact is later than the day.
func (v *Vehicle) upTo(d Day) *Vehicle {
	later := false
	for i := range v.Readings {
		later = later || v.Readings[i].Day > d
	}
	for i := range v.Scans {
		later = later || v.Scans[i].Day > d
	}
	for i := range v.Repairs {
		later = later || v.Repairs[i].Day > d
	}
	for i := range v.Inspections {
		later = later || v.Inspections[i].Day > d
	}
	for i := range v.Hours {
		later = later || v.Hours[i].Day > d
	}
	for i := range v.Remarks {
		later = later || v.Remarks[i].Day > d
	}
	if !later {
		return v
	}
	cut := v.At(d, false)
	return &cut
}

// track estimates distance and hours today.
func (w *worker) track(v *Vehicle) track {
	w.readings = gather(v, w.readings)
	use := v.Use()
	t := track{today: w.settings.Day}
	t.odometer = odometer.Assess(w.readings, t.today,
		odometer.Usage{Stated: use.KMPerWeek.Value, Default: w.settings.DefaultKMPerWeek}, odometer.Limits{})
	if len(v.Hours) > 0 {
		w.hours = w.hours[:0]
		for i := range v.Hours {
			h := &v.Hours[i]
			w.hours = append(w.hours, odometer.Reading{Day: h.Day, KM: h.KM, Unit: h.Unit, Source: h.Source, Ref: i})
		}
		t.hours = odometer.Assess(w.hours, t.today,
			odometer.Usage{Stated: use.HoursPerWeek.Value, Default: w.settings.DefaultHoursPerWeek, Unit: odometer.Hours}, odometer.Limits{})
	}
	t.born = v.Born()
	return t
}

// part judges one part of the vehicle and fills in the finding, unless the part
// does not concern the vehicle and nothing speaks of it.
func (w *worker) part(f *Finding, i int, v *Vehicle, t *track, texts []said, ahead Ahead) (checks []OtherCheck, concerned bool) {
	p := &w.catalogue.Parts[i]
	b := p.Belongs(v)
	s := story{part: p, index: i, axis: t, events: w.events[:0]}
	s.collect(v, texts, w.words)
	w.events = s.events
	s.tell()
	facts := s.facts(v, texts, w.scans, w.words)
	w.observed = evidence.Weigh(w.observed[:0], p.Evidence, w.words.rules[i], facts)
	if b.Membership == Outside && s.foundWorn == nil && s.failed == nil && !s.shown {
		checks = w.outsideChecks(p, &s, w.observed, b, texts)
		*f = Finding{Part: p, PartIndex: i, Belonging: b, Standing: NotOfRange, Distance: s.now}
		return checks, b.Near || len(checks) > 0
	}
	w.judge(f, &s, b, w.observed, v, texts, ahead)
	return noDistance(f, w.settings.Day), true
}

// judge runs the wear model for one part and says how it stands.
func (w *worker) judge(f *Finding, s *story, b Belonging, obs []evidence.Observation, v *Vehicle, texts []said, ahead Ahead) {
	*f = Finding{Part: s.part, PartIndex: s.index, Belonging: b, Uncertain: s.conflicts}
	f.Facts = w.tellFacts(s, obs, v, texts)
	if n := len(w.scans); n > 0 && w.hasCodes[s.index] {
		if doubt := w.scans[n-1].doubt(); !doubt.Empty() {
			f.Uncertain = append(f.Uncertain, doubt)
		}
	}
	f.Next, f.Hold = ahead.On(s.part.Axis)
	f.rateOfUse, f.odometerNow = s.axis.perDay(s.part.Axis), s.axis.odometer.KM
	if v.Status == OffRoad && s.part.Axis != ByMonths {
		f.rateOfUse = 0
	}
	f.Renewed, f.Distance = s.renewed, max(0, s.now-s.renewed)
	if s.shown || s.foundWorn != nil || s.failed != nil {
		f.Belonging = shownBy(b)
	}
	switch _, known := s.axis.now(s.part.Axis); {
	case s.failed != nil:
		f.Standing = AwaitingRepair
		return
	case s.renewal != nil && s.part.Replacement == wear.Improved:
		f.Standing = Improved
		return
	case !known && s.foundWorn == nil:
		f.Standing = NoDistance
		f.Uncertain = append(f.Uncertain, s.part.Axis.unreckoned())
		return
	case s.foundWorn != nil:
		f.Standing = WornFound
	default:
		f.Standing = Scored
	}
	h := s.history(f.Belonging, w.recordsFrom(s, v))
	f.HistoryFrom = h.E
	if odds := w.settings.saleOdds(); odds != 1 && f.Standing == Scored {
		f.SaleOdds = odds
		h.Factors = append(h.Factors, wear.Factor{At: h.X, Worn: odds, NotWorn: 1})
	}
	h.Factors = append(h.Factors, factorsOf(obs)...)
	f.model = w.models[s.index]
	f.follow(f.model, h)
	w.interval(f, h, obs)
}

// shownBy: a recorded failure or worn finding shows membership.
func shownBy(b Belonging) Belonging {
	if b.Membership == Inside {
		return b
	}
	b.Membership, b.Share, b.Near, b.Lacks, b.shown = Inside, 1, true, 0, true
	return b
}

func factorsOf(obs []evidence.Observation) []wear.Factor {
	out := make([]wear.Factor, len(obs))
	for i, o := range obs {
		out[i] = wear.Factor{At: o.At, Worn: o.Worn, NotWorn: o.NotWorn}
	}
	return out
}

// follow fills in the posterior and what follows over each distance ahead.
func (f *Finding) follow(m *wear.Model, h wear.History) {
	f.State = m.Assess(h)
	f.NextFail, f.HoldFail = f.fails(f.Next), f.fails(f.Hold)
	if p := f.Part; p.Consequence == CanInjure {
		f.RiskFail = f.fails(p.RiskKM).All
		f.NoticeFail = f.RiskFail > p.RiskLimit
		f.NoticeWorn = f.State.Worn > p.WornLimit
	}
}

func (f *Finding) fails(d float64) Fails {
	return Fails{IfWorn: f.State.FailWorn(d), IfSound: f.State.FailSound(d), All: f.State.Fail(d)}
}

// recordsFrom is E on the part's axis, counted from new: the distance from
// which the vehicle's records are complete.
func (w *worker) recordsFrom(s *story, v *Vehicle) float64 {
	use := v.Use()
	switch {
	case s.part.Axis == ByKM && use.HistoryFromKM.Known:
		return use.HistoryFromKM.Value
	case s.part.Axis == ByHours && use.HistoryFromHours.Known:
		return use.HistoryFromHours.Value
	case s.part.Axis != ByKM && use.HistoryFromKM.Known && use.HistoryFromKM.Value == 0:
		return 0
	}
	how := w.settings.RecordsFrom
	if w.settings.NoneUnlessRepairs {
		how = RecordsNone
		if len(v.Repairs) > 0 {
			how = RecordsFirst
		}
	}
	switch how {
	case RecordsNew:
		return 0
	case RecordsNone:
		return s.now
	}
	return s.firstRecord(v)
}

// firstRecord is the axis position of the first dated repair or inspection;
// 0 within 5,000 km of new or 60 days of entering service; today without any.
func (s *story) firstRecord(v *Vehicle) float64 {
	const nearNewKM, nearNewDays = 5000, 60
	day, km, found := Day(0), Stated{}, false
	first := func(d Day, k Stated, undated bool) {
		if !undated && d != 0 && (!found || d < day) {
			day, km, found = d, k, true
		}
	}
	for i := range v.Repairs {
		first(v.Repairs[i].Day, v.Repairs[i].KM, v.Repairs[i].Undated)
	}
	for i := range v.Inspections {
		first(v.Inspections[i].Day, v.Inspections[i].KM, v.Inspections[i].Undated)
	}
	if !found {
		return s.now
	}
	if k := s.kmAt(day, km); k >= 0 && k <= nearNewKM || v.InService != 0 && day-v.InService <= nearNewDays {
		return 0
	}
	at, _ := s.axis.at(s.part.Axis, day, km)
	return at
}

// Parts are the catalogue's entries; they are not to be changed.
func (sc *Scorer) Parts() []WeakPart { return sc.catalogue.Parts }

// Known lists the parts known by the scorer's day, by their place in Parts.
func (sc *Scorer) Known() []int { return slices.Clone(sc.aware) }

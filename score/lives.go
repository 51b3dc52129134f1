package score

import (
	"context"
	"math"
	"slices"

	"pitlist/score/evidence"
	"pitlist/score/phrase"
	"pitlist/score/wear"
)

// Ending says how one life of a part ended, as far as the records tell.
type Ending string

// The endings. A failure is a renewal whose text says so, or an inspection
// that found the part failed; a renewal is planned only where its text says
// so; a worn finding ends the life, whatever was done afterwards.
const (
	StillRunning Ending = "running"
	EndedFailed  Ending = "failed"
	EndedWorn    Ending = "found worn"
	EndedPlanned Ending = "planned renewal"
	EndedUnknown Ending = "renewal of unknown cause"
	shortestLife        = 1e-3 // below this on any axis nothing was run
)

// Life is one life of a part in a vehicle, from its fitting to its end or to
// the present, in distances of its own on the part's axis.
type Life struct {
	X     float64   // distance at its end, or now, >= 0
	E     float64   // from here on its records are complete, in [0, X]
	Clean []float64 // clean inspections, ascending, each in [0, X]
	End   Ending
	Look  *Look // the last time that somebody opened it and said what was found; nil: never
}

// Look is one opening of a part with what spoke before it.
type Look struct {
	Worn   bool // found worn; else sound
	Day    Day
	Trials []evidence.Trial // the rules that could have spoken by then
}

// Lives is what a vehicle's records say of one part's lives.
type Lives struct {
	PartIndex int
	Belonging Belonging
	Of        []Life // in the order of time; none where Belonging is outside
	// Heard are the rules of words that a text of the vehicle says, at any time,
	// with the kinds of those texts.
	Heard []Heard
	// What could not become a life:
	NoDistance    bool // nothing tells how far the part has run
	OutsideEvents int  // failures and worn findings though outside the ranges
	AfterImproved int  // failures and worn findings of the improved part
	Instant       int  // failures and findings at the distance of the fitting itself
	Undated       int  // rows with events without a day of their own, placed by their sheet's
}

// Heard is a rule of words with the kinds of text that say it.
type Heard struct {
	Group, Rule int
	Texts       evidence.Texts
}

// LivesAll tells every vehicle's lives of the parts known by the run's day, in
// parallel, the order kept. It looks through Vehicle.At: nothing later than the
// day has any effect. As in a run, a row without a day of its own counts with its
// sheet's, and Settings.Strict (a backtest) leaves it out. Of a vehicle that was
// sold the present is the day of its last dated fact.
func (sc *Scorer) LivesAll(ctx context.Context, vehicles []Vehicle) ([][]Lives, error) {
	out := make([][]Lives, len(vehicles))
	err := sc.share(ctx, len(vehicles), nil, func(w *worker, i int) { out[i] = w.lived(&vehicles[i]) })
	return out, err
}

func (w *worker) lived(v *Vehicle) []Lives {
	cut := v.At(w.settings.Day, w.settings.Strict)
	v = &cut
	t := w.track(v)
	if v.Status == Sold {
		t.today = min(t.today, v.lastFact())
	}
	v, _ = v.placeUndated(&t)
	texts := w.reader.texts(v)
	var out []Lives
	for _, i := range w.aware {
		p := &w.catalogue.Parts[i]
		s := story{part: p, index: i, axis: &t}
		s.collect(v, texts, w.words)
		past := Lives{PartIndex: i, Belonging: p.Belongs(v)}
		w.livesOf(&past, &s, v)
		past.Heard = w.heard(i, texts)
		if len(past.Of) > 0 || past.NoDistance || past.OutsideEvents > 0 {
			out = append(out, past)
		}
	}
	return out
}

// lastFact is the day of the vehicle's last fact with a day of its own.
func (v *Vehicle) lastFact() Day {
	last := Day(0)
	v.EachDay(func(d Day) { last = max(last, d) })
	return last
}

// EachDay tells see the day of every reading, scan, repair, inspection and remark
// that has a day of its own.
func (v *Vehicle) EachDay(see func(d Day)) {
	for i := range v.Readings {
		see(v.Readings[i].Day)
	}
	for i := range v.Hours {
		see(v.Hours[i].Day)
	}
	for i := range v.Scans {
		if s := &v.Scans[i]; !s.Undated {
			see(s.Day)
		}
	}
	for i := range v.Repairs {
		if r := &v.Repairs[i]; !r.Undated {
			see(r.Day)
		}
	}
	for i := range v.Inspections {
		if n := &v.Inspections[i]; !n.Undated {
			see(n.Day)
		}
	}
	for i := range v.Remarks {
		if m := &v.Remarks[i]; m.Dated {
			see(m.Day)
		}
	}
}

// livesOf cuts a part's story into its lives.
func (w *worker) livesOf(past *Lives, s *story, v *Vehicle) {
	var known bool
	s.now, known = s.axis.now(s.part.Axis)
	if past.Belonging.Membership == Outside {
		for i := range s.events {
			if s.tellsTrouble(&s.events[i]) {
				past.OutsideEvents++
			}
		}
		return
	}
	if !known {
		past.NoDistance = true
		return
	}
	c := cutter{past: past, story: s, from: w.recordsFrom(s, v)}
	for i := range s.events {
		c.event(&s.events[i])
	}
	if !c.ended && !c.improved {
		c.close(s.now, StillRunning)
	}
	for i := range c.looks {
		if at := c.looks[i]; at != nil {
			past.Of[i].Look = w.look(s, at, v)
		}
	}
	past.Undated = s.undated(v)
}

// heard lists the part's rules of words that the texts say.
func (w *worker) heard(part int, texts []said) (out []Heard) {
	for g, phrases := range w.words.rules[part] {
		for r, ids := range phrases.Words {
			h := Heard{Group: g, Rule: r}
			for i := range texts {
				if texts[i].says(ids) {
					h.Texts |= texts[i].kind()
				}
			}
			if h.Texts != 0 {
				out = append(out, h)
			}
		}
	}
	return out
}

// says tells whether the text reports one of the phrases as a fact.
func (s *said) says(ids []int) bool {
	for _, h := range s.hits {
		if !h.Negated && h.Intent == phrase.Reported && slices.Contains(ids, h.ID) {
			return true
		}
	}
	return false
}

// tellsTrouble tells an event that shows the part failed or worn; a row that tells of
// both tells of one failure.
func (s *story) tellsTrouble(e *event) bool {
	return e.failed || e.kind == FactFailed || e.kind == FactFoundWorn && !s.failedIn(e.ref)
}

// undated counts the rows without a day that brought the story's events.
func (s *story) undated(v *Vehicle) (n int) {
	rows := map[Ref]bool{}
	for i := range v.Repairs {
		if v.Repairs[i].Undated {
			rows[v.Repairs[i].Ref] = true
		}
	}
	for i := range v.Inspections {
		if v.Inspections[i].Undated {
			rows[v.Inspections[i].Ref] = true
		}
	}
	for i := range s.events {
		if k := s.events[i].kind; rows[s.events[i].ref] && k != FactDeclined && k != FactRecommended && k != FactTreated {
			n++
			rows[s.events[i].ref] = false
		}
	}
	return n
}

// cutter walks a story's events and closes a life at each end.
type cutter struct {
	past     *Lives
	story    *story
	from     float64 // odometer (hours, months) from which the records are complete
	z        float64 // where the present life began
	clean    []float64
	look     *event   // the present life's last opening
	looks    []*event // of each life closed
	ended    bool     // the present life has ended; the part is not yet renewed
	improved bool     // the improved design sits there
}

func (c *cutter) event(e *event) {
	s := c.story
	switch {
	case c.improved:
		if s.tellsTrouble(e) {
			c.past.AfterImproved++
		}
	case e.kind == FactRenewed:
		if !c.ended {
			c.close(e.at, renewalOf(e))
		}
		c.z, c.clean, c.look, c.ended = math.Min(e.at, s.now), nil, nil, false
		c.improved = s.part.Replacement == wear.Improved
	case c.ended:
	case e.kind == FactClean:
		c.clean, c.look = append(c.clean, c.own(e.at)), e
	case e.kind == FactFoundWorn:
		if !s.failedIn(e.ref) {
			c.look = e
			c.close(e.at, EndedWorn)
		}
	case e.kind == FactFailed:
		c.close(e.at, EndedFailed)
	}
}

func renewalOf(e *event) Ending {
	switch {
	case e.failed:
		return EndedFailed
	case e.planned:
		return EndedPlanned
	}
	return EndedUnknown
}

// own is a place on the axis as the present life's distance, never before what
// was seen of it already.
func (c *cutter) own(at float64) float64 {
	x := math.Max(0, math.Min(at, c.story.now)-c.z)
	if n := len(c.clean); n > 0 {
		x = math.Max(x, c.clean[n-1])
	}
	return x
}

func (c *cutter) close(at float64, end Ending) {
	c.ended = true
	x := c.own(at)
	if x < shortestLife {
		if end == EndedFailed || end == EndedWorn {
			c.past.Instant++ // the same job on two rows, or a distance that is no good
		}
		return
	}
	c.past.Of = append(c.past.Of, Life{
		X: x, E: math.Min(x, math.Max(0, c.from-c.z)), Clean: slices.Clone(c.clean), End: end,
	})
	c.looks = append(c.looks, c.look)
}

// look tells which rules could speak, and did, when the part was opened: all
// facts up to the opening's day since the renewal before it.
func (w *worker) look(s *story, e *event, v *Vehicle) *Look {
	if len(s.part.Evidence) == 0 {
		return &Look{Worn: e.kind == FactFoundWorn, Day: e.day}
	}
	cut := v.At(e.day, w.settings.Strict)
	t := *s.axis
	t.today = e.day
	before := story{part: s.part, index: s.index, axis: &t}
	for i := range s.events {
		if o := &s.events[i]; o.day < e.day || o.day == e.day && o.kind != FactRenewed {
			before.events = append(before.events, *o)
		}
	}
	before.tell()
	r := reader{words: w.words, seen: w.reader.seen}
	facts := before.facts(&cut, r.texts(&cut), scans(&cut, nil), w.words)
	return &Look{
		Worn: e.kind == FactFoundWorn, Day: e.day,
		Trials: evidence.Trials(s.part.Evidence, w.words.rules[s.index], facts),
	}
}

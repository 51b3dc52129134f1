package score

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"pitlist/score/evidence"
	"pitlist/score/phrase"
	"pitlist/score/say"
	"pitlist/score/wear"
)

// event is one thing that happened to a part, on the part's axis.
type event struct {
	day     Day
	at      float64
	kind    FactKind
	failed  bool // a renewal whose text, or an inspection, says that it had failed
	planned bool // a renewal whose text says that it came before any failure
	text    string
	phrase  int // lexicon id that matched; -1 where none
	km      Stated
	ref     Ref
}

// rank orders the events of one day: what was found before what was done.
func (e *event) rank() int {
	if e.kind == FactRenewed {
		return 1
	}
	return 0
}

// story is what the records say of one part of one vehicle, cut at its last
// renewal. The zero value is made usable by tell.
type story struct {
	part   *WeakPart
	index  int
	axis   *track
	events []event

	now       float64 // axis position today
	renewed   float64 // axis position z of the last renewal; 0: none
	renewal   *event  // the last renewal
	shown     bool    // a failure or worn finding has shown membership
	clean     []event // clean inspections since the renewal, before any worn finding
	foundWorn *event  // since the renewal
	failed    *event  // since the renewal: found failed, not put right
	conflicts []say.Text
	latest    evidence.Scan // see scan
}

// collect gathers the part's events from texts and inspections.
func (s *story) collect(v *Vehicle, texts []said, w *wording) {
	for i := range texts {
		s.fromText(&texts[i], w)
	}
	for i := range v.Inspections {
		s.fromInspection(&v.Inspections[i])
	}
	slices.SortStableFunc(s.events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.rank(), b.rank()))
	})
}

func (s *story) fromText(t *said, w *wording) {
	if len(t.hits) == 0 {
		return
	}
	e := event{day: t.day, text: t.text, km: t.km, ref: t.ref, phrase: -1}
	var renewed, failed, planned, named bool
	for _, h := range t.hits {
		o := &w.owner[h.ID]
		if o.part != s.index || h.Negated && o.kind != phrase.Name {
			continue
		}
		e.phrase = h.ID
		switch o.kind {
		case phrase.Renews:
			renewed = s.act(t, h, e) || renewed
		case phrase.Failed:
			failed = failed || h.Intent == phrase.Reported
		case phrase.Planned:
			planned = planned || h.Intent == phrase.Reported
		case phrase.Treats:
			if t.intent(h) == phrase.Done {
				s.add(e, FactTreated)
			}
		case phrase.Name:
			if !named {
				named = s.looked(t, h, e)
			}
		}
	}
	for i := len(s.events) - 1; renewed && i >= 0 && s.events[i].ref == t.ref; i-- {
		if s.events[i].kind == FactRenewed {
			s.events[i].failed, s.events[i].planned = failed, planned && !failed
		}
	}
}

// act files a hit of a renewing phrase: done, declined or advised.
func (s *story) act(t *said, h phrase.Hit, e event) bool {
	switch t.intent(h) {
	case phrase.Done:
		if h.Hearsay {
			s.conflicts = append(s.conflicts, say.F("said to have been renewed earlier, with no record of when (%s); not counted as renewed", t.text))
			return false
		}
		if s.has(FactRenewed, &e) {
			return true // a second phrase of the same line
		}
		s.add(e, FactRenewed)
		return true
	case phrase.Declined:
		s.add(e, FactDeclined)
	case phrase.Recommended:
		s.add(e, FactRecommended)
	}
	return false
}

// has tells whether the row has brought an event of the kind already.
func (s *story) has(kind FactKind, e *event) bool {
	return slices.ContainsFunc(s.events, func(o event) bool { return o.kind == kind && o.ref == e.ref && o.day == e.day })
}

// looked files a text that says how the part was found. Two columns of one row
// may say it; it was one look.
func (s *story) looked(t *said, h phrase.Hit, e event) bool {
	var kind FactKind
	switch t.intent(h) {
	case phrase.FoundGood:
		kind = FactClean
	case phrase.FoundWorn:
		kind = FactFoundWorn
	default:
		return false
	}
	if !s.has(kind, &e) {
		s.add(e, kind)
	}
	return true
}

func (s *story) fromInspection(n *Inspection) {
	if !s.part.IsCalled(n.Part) {
		return
	}
	e := event{day: n.Day, km: n.KM, ref: n.Ref, phrase: -1, text: "inspection: " + string(n.Result)}
	switch n.Result {
	case FoundSound:
		s.add(e, FactClean)
	case FoundWorn:
		s.add(e, FactFoundWorn)
	case FoundFailed:
		e.failed = true
		s.add(e, FactFailed)
	}
}

// IsCalled tells whether a sheet's word for a part means this one.
func (p *WeakPart) IsCalled(name string) bool {
	if strings.EqualFold(name, p.ID) || strings.EqualFold(name, p.Name) {
		return true
	}
	for _, c := range p.Called {
		if strings.EqualFold(name, c) {
			return true
		}
	}
	return false
}

func (s *story) add(e event, kind FactKind) {
	e.kind = kind
	e.at, _ = s.axis.at(s.part.Axis, e.day, e.km)
	s.events = append(s.events, e)
}

// tell cuts the story at the last renewal and sorts out what holds since.
func (s *story) tell() {
	s.now, _ = s.axis.now(s.part.Axis)
	for i := range s.events {
		e := &s.events[i]
		switch e.kind {
		case FactRenewed:
			s.shown = s.shown || e.failed || s.foundWorn != nil || s.failed != nil
			s.renewed, s.renewal = math.Min(e.at, s.now), e
			s.clean, s.foundWorn, s.failed = s.clean[:0], nil, nil
		case FactClean:
			if s.foundWorn != nil || s.failed != nil {
				s.conflicts = append(s.conflicts, s.soundAfter())
				continue
			}
			s.clean = append(s.clean, *e)
		case FactFoundWorn:
			if s.foundWorn == nil {
				s.foundWorn = e
			}
		case FactFailed:
			s.failed = e
		}
	}
}

// soundAfter words the conflict of a clean inspection after one that was not.
func (s *story) soundAfter() say.Text {
	if s.failed != nil {
		return say.F("inspected as sound after it was found failed, with no renewal between; the earlier finding holds until a renewal is on record")
	}
	return say.F("inspected as sound after it was found worn, with no renewal between; the earlier finding holds until a renewal is on record")
}

// since tells whether a fact is later than the last renewal, and gives its
// own distance. A fact of the renewal's own day belongs to the part that
// left, unless its distance is greater.
func (s *story) since(day Day, km Stated) (own float64, ok bool) {
	at, _ := s.axis.at(s.part.Axis, day, km)
	if s.renewal != nil {
		if day < s.renewal.day || (day == s.renewal.day && !(km.Known && s.renewal.km.Known && km.Value > s.renewal.km.Value)) {
			return 0, false
		}
	}
	return math.Max(0, at-s.renewed), true
}

// history is what the wear model wants to know, save the evidence.
func (s *story) history(b Belonging, from float64) wear.History {
	h := wear.History{X: math.Max(0, s.now-s.renewed), Share: b.Share}
	h.E = math.Min(h.X, math.Max(0, from-s.renewed))
	if s.shown || s.foundWorn != nil {
		h.Share = 1
	}
	r := s.part.Inspection.Detects
	for i := range s.clean {
		h.Factors = append(h.Factors, wear.Factor{At: math.Max(0, s.clean[i].at-s.renewed), Worn: 1 - r, NotWorn: 1})
	}
	if s.foundWorn != nil {
		h.Found, h.FoundWornAt = true, math.Max(0, s.foundWorn.at-s.renewed)
	}
	return h
}

// facts gathers the observations since the renewal for the evidence rules.
func (s *story) facts(v *Vehicle, texts []said, scans []scanned, w *wording) evidence.Facts {
	f := evidence.Facts{Now: math.Max(0, s.now-s.renewed), TextRead: len(texts) > 0}
	f.Scan = s.scan(scans)
	for i := range texts {
		t := &texts[i]
		own, ok := s.since(t.day, t.km)
		if !ok {
			continue
		}
		f.Texts |= t.kind()
		for _, h := range t.hits {
			o := &w.owner[h.ID]
			if o.part != s.index || h.Negated {
				continue
			}
			switch {
			case o.kind == phrase.Symptom && h.Intent == phrase.Reported: // told as it was; suspected or looked for is not
				f.Words = append(f.Words, evidence.Word{Phrase: h.ID, At: own, Ref: i})
			case o.kind == phrase.Treats && t.intent(h) == phrase.Done:
				f.Treatments = append(f.Treatments, evidence.Treatment{Phrase: h.ID, Day: int32(t.day), KM: s.kmAt(t.day, t.km), Carried: !t.km.Known, Ref: i})
			}
		}
	}
	for i := range v.Inspections {
		n := &v.Inspections[i]
		own, ok := s.since(n.Day, n.KM)
		if !ok || !s.part.IsCalled(n.Part) {
			continue
		}
		for _, m := range n.Measures {
			f.Measures = append(f.Measures, evidence.Measure{Name: m.Name, Value: m.Value, At: own, Ref: i})
		}
	}
	return f
}

// known writes a stated distance as the evidence package wants it.
func known(s Stated) float64 {
	if !s.Known {
		return -1
	}
	return s.Value
}

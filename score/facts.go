package score

import (
	"cmp"
	"math"
	"slices"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/phrase"
)

type phraseHit = phrase.Hit

// tellFacts puts the story and the evidence into one list in the order of
// time, each with what it weighed.
func (w *worker) tellFacts(s *story, obs []evidence.Observation, v *Vehicle, texts []said) []Fact {
	out := make([]Fact, 0, len(s.events)+len(obs))
	for i := range s.events {
		e := &s.events[i]
		f := Fact{Kind: e.kind, Day: e.day, At: e.at, Text: e.text, Since: -1, Weight: 1, Ref: e.ref}
		if e.phrase >= 0 {
			f.Phrase = w.words.owner[e.phrase].text
		}
		if own, ok := s.since(e.day, e.km); e.kind == FactClean && ok && own > 0 {
			f.Weight = 1 - s.part.Inspection.Detects
		}
		out = append(out, f)
	}
	for i := range obs {
		out = append(out, w.factOf(s, &obs[i], v, texts))
	}
	for g := range s.part.Evidence {
		if f, ok := w.stale(s, g, obs); ok {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b Fact) int { return cmp.Compare(a.Day, b.Day) })
	w.untell(out)
	return out
}

// untell takes the day away from facts whose row states none and that their odometer placed.
func (w *worker) untell(facts []Fact) {
	for i := range facts {
		f := &facts[i]
		f.Day = w.stated(f.Day, f.Ref)
		if f.After != nil {
			f.After.Day = w.stated(f.After.Day, f.After.Ref)
		}
	}
}

// stated is the day that is told of a row: 0 where it was reckoned from the row's odometer and
// nobody wrote it.
func (w *worker) stated(day Day, r Ref) Day {
	if slices.Contains(w.moved, r) {
		return 0
	}
	return day
}

// factOf words one observation.
func (w *worker) factOf(s *story, o *evidence.Observation, v *Vehicle, texts []said) Fact {
	g := &s.part.Evidence[o.Group]
	f := Fact{
		Day: s.axis.today, At: o.At + s.renewed, Group: g.Name, Since: o.SinceClear,
		Weight: ratio(o.Worn, o.NotWorn),
	}
	if o.Rule == evidence.None {
		f.Kind = FactNoWords
		if o.OfScan {
			sc := &w.scans[o.Ref]
			f.Kind, f.Day, f.Ref = FactCleanScan, sc.day, sc.ref
		}
		return f
	}
	r := &g.Rules[o.Rule]
	f.Outside = r.Outside
	switch {
	case !r.Codes.Empty():
		sc := &w.scans[o.Ref]
		f.Kind, f.Day, f.Ref = FactCode, sc.day, sc.ref
		f.Codes = sc.matching(r.Codes)
		f.State = sc.stateOf(f.Codes)
		if o.Treated >= 0 {
			t := &texts[o.Treated]
			f.Kind = FactCameBack
			f.After = &Fact{Kind: FactTreated, Day: t.day, Text: t.text, Ref: t.ref, Since: -1, Weight: 1}
			f.After.At, _ = s.axis.at(s.part.Axis, t.day, t.km)
			f.After.Phrase = w.treatment(s.index, t)
		}
	case len(r.Words) > 0:
		t := &texts[o.Ref]
		f.Kind, f.Day, f.Text, f.Ref = FactWords, t.day, t.text, t.ref
		f.Phrase = w.wordOf(s.index, o, t)
	default:
		n := &v.Inspections[o.Ref]
		f.Kind, f.Day, f.Ref, f.Phrase = FactMeasure, n.Day, n.Ref, r.Measured
		for _, m := range n.Measures {
			if m.Name == r.Measured {
				f.Value = m.Value
			}
		}
	}
	return f
}

// ratio is P(seen | worn) / P(seen | not worn), bounded away from nothing.
func ratio(worn, notWorn float64) float64 {
	if notWorn <= 0 {
		return math.Inf(1)
	}
	return worn / notWorn
}

// matching lists the codes of the scan that the test speaks of.
func (s *scanned) matching(t evidence.CodeTest) []dtc.Code {
	var out []dtc.Code
	for _, c := range s.codes {
		for _, list := range [...][]dtc.Pattern{t.All, t.Any} {
			for _, p := range list {
				if p.Matches(c.Code) && !slices.Contains(out, c.Code) {
					out = append(out, c.Code)
				}
			}
		}
	}
	return out
}

// stateOf is the state that the scan gives for all of the codes; "" where it
// states none, or not the same.
func (s *scanned) stateOf(codes []dtc.Code) dtc.State {
	var state dtc.State
	for i, c := range s.codes {
		switch {
		case !slices.Contains(codes, c.Code):
		case i > 0 && state != "" && c.State != state, c.State == "":
			return ""
		default:
			state = c.State
		}
	}
	return state
}

// treatment names the catalogue phrase by which a text is a treatment.
func (w *worker) treatment(part int, t *said) string {
	for _, h := range t.hits {
		if o := &w.words.owner[h.ID]; o.part == part && o.kind == phrase.Treats {
			return o.text
		}
	}
	return ""
}

// wordOf names the phrase of the rule that the text holds.
func (w *worker) wordOf(part int, o *evidence.Observation, t *said) string {
	ids := w.words.rules[part][o.Group].Words[o.Rule]
	for _, h := range t.hits {
		if slices.Contains(ids, h.ID) {
			return w.words.owner[h.ID].text
		}
	}
	return ""
}

// stale tells of a stored code that may date from the part that left.
func (w *worker) stale(s *story, g int, obs []evidence.Observation) (Fact, bool) {
	sc := s.scan(w.scans)
	f := evidence.Facts{Scan: sc}
	if sc == nil || !f.Stale(&s.part.Evidence[g]) {
		return Fact{}, false
	}
	for i := range obs {
		if obs[i].Group == g && obs[i].Rule != evidence.None {
			return Fact{}, false
		}
	}
	last := &w.scans[sc.Ref]
	out := Fact{Kind: FactStale, Day: last.day, At: sc.At + s.renewed, Group: s.part.Evidence[g].Name, Since: sc.SinceClear, Weight: 1, Ref: last.ref}
	for _, r := range s.part.Evidence[g].Rules {
		out.Codes = append(out.Codes, last.matching(r.Codes)...)
	}
	return out, true
}

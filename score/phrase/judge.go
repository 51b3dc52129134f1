package phrase

// facts are what a clause says about the thing in question.
type facts struct {
	acts    class // of what was done to it
	denied  bool  // an act was not done
	no      bool  // nothing but a denial: "no", "not carried out"
	rec     bool
	decl    bool
	good    bool
	bad     bool
	done    bool // "carried out"
	hearsay bool
	maybe   bool
	fault   bool // a fault is spoken of, found or looked for
}

// judgeThing fills in the hit's intent, and tells whether it is a hit for its kind.
func (s *scanner) judgeThing(e *entry, m span, h *Hit) bool {
	f := s.ownFacts(m)
	more := s.laterFacts(m)
	if e.kind == Name {
		s.judgeName(f, more, h)
		return true
	}
	if !s.qualified(e, m) {
		return false
	}
	acts := f.acts | more.acts
	if e.kind == Renews {
		renewed := acts.has(cRenew|cNew) || acts.has(cSupply) && acts.has(cFit)
		fitted := acts.has(cFit) && !acts.has(cRemove|cRefit)
		if e.acts && !renewed && !fitted || !e.acts && acts == 0 {
			return false
		}
		s.judgeWork(f, more, h)
		if e.acts && h.Intent == Done && (!renewed || s.newOnly(acts, m)) {
			h.Intent = Unsure
		}
		return true
	}
	s.judgeTreatment(f, more, h)
	return true
}

// judgeWork tells whether the work was done. What follows in the text overrules what went before, but a later
// recommendation does not undo work done.
func (s *scanner) judgeWork(f, more facts, h *Hit) {
	h.Intent = Done
	switch {
	case f.denied:
		h.Intent, h.Negated = Declined, true
	case f.decl:
		h.Intent = Declined
	case f.rec:
		h.Intent = Recommended
	case f.maybe:
		h.Intent = Unsure
	}
	switch {
	case more.denied || more.no && h.Intent != Declined:
		h.Intent, h.Negated = Declined, true
	case more.decl:
		h.Intent, h.Negated = Declined, false
	case h.Intent != Done && !more.rec && (more.done && !f.denied || more.acts.has(cRenew|cNew|cFit)):
		h.Intent, h.Negated = Done, false
	case more.rec && h.Intent == Done && !f.acts.has(handAct|cNew):
		h.Intent = Recommended
	}
	h.Hearsay = h.Intent == Done && (f.hearsay || more.hearsay)
}

// judgeTreatment is judgeWork for a thing on which any work counts, and a look does not.
func (s *scanner) judgeTreatment(f, more facts, h *Hit) {
	acts := f.acts | more.acts
	switch {
	case acts.has(cRenew | cNew | cFit | cWork):
		s.judgeWork(f, more, h)
	case acts.has(cRefit | cRemove):
		h.Intent = Unsure
	case f.done || more.done:
		s.judgeWork(f, more, h)
	default:
		s.judgeName(f, more, h)
	}
}

// judgeName tells how the thing was found, else what was done to it. A finding counts unless it follows the work: then
// it speaks of the new part.
func (s *scanner) judgeName(f, more facts, h *Hit) {
	worked := f.acts.has(handAct|cNew) && !f.denied && !f.rec && !f.decl
	switch {
	case f.maybe:
		h.Intent = Unsure
	case f.bad:
		h.Intent = FoundWorn
	case f.good && !worked:
		h.Intent = FoundGood
	case f.denied:
		h.Intent, h.Negated = Declined, true
	case f.decl:
		h.Intent = Declined
	case worked:
		h.Intent = Done
	case f.rec && !more.bad && !more.done && !more.acts.has(cRenew):
		h.Intent = Recommended
	default:
		s.judgeNameLater(f, more, h)
	}
	h.Hearsay = h.Intent == Done && f.hearsay
}

// judgeNameLater is for a mention of which its own clause says no more than that it was looked at.
func (s *scanner) judgeNameLater(f, more facts, h *Hit) {
	switch {
	case more.bad:
		h.Intent = FoundWorn
	case more.good, more.no && f.fault && f.acts.has(cInspect): // "checked for play in joint, none"
		h.Intent = FoundGood
	case more.denied || more.no:
		h.Intent, h.Negated = Declined, true
	case more.decl:
		h.Intent = Declined
	case more.rec:
		h.Intent = Recommended
	case more.done || more.acts.has(handAct|cNew):
		h.Intent = Done
	case f.acts.has(cInspect) || more.acts.has(cInspect):
		h.Intent = Inspected
	default:
		h.Intent = Reported
	}
}

// qualified tells whether all qualifications of the phrase ("revised part") stand in the clause of the match or in one
// beside it, undenied.
func (s *scanner) qualified(e *entry, m span) bool {
	at := int(s.toks[m.last].clause)
	for _, words := range e.extras {
		found := false
		for c := max(0, at-1); c <= min(len(s.clauses)-1, at+1) && !found; c++ {
			k := &s.clauses[c]
			found = s.holdsAll(k, words) && (c == at || !s.some(k.from, k.to, cNeg))
		}
		if !found {
			return false
		}
	}
	return true
}

func (s *scanner) holdsAll(k *clause, words []entryWord) bool {
	for w := range words {
		found := false
		for j := k.from; j < k.to && !found; j++ {
			found = s.is(j, &words[w])
		}
		if !found {
			return false
		}
	}
	return true
}

// laterFacts gathers what the clauses after the match's say of it that name nothing of their own.
func (s *scanner) laterFacts(m span) (f facts) {
	at := int(s.toks[m.last].clause)
	for c := at + 1; c < len(s.clauses) && (s.clauses[c].refers || s.clauses[c].aside); c++ {
		k := &s.clauses[c]
		if k.aside {
			continue
		}
		one := s.stated(k.from, k.to)
		one.acts = s.classes(k.from, k.to) & (anyAct | cNew)
		one.denied = s.deniedAct(k.from, k.to, anyAct|cAssent)
		one.no = !one.good && !one.bad && s.some(k.from, k.to, cNeg) && one.acts == 0 && !s.some(k.from, k.to, cObs|anyStatus)
		f = f.then(one)
	}
	return f
}

// then adds what a later clause says.
func (f facts) then(g facts) facts {
	settled := g.acts.has(handAct) && !g.denied && !g.rec && !g.decl
	f.rec = (f.rec || g.rec) && !settled
	f.decl = (f.decl || g.decl) && !settled
	f.acts |= g.acts
	f.denied = f.denied || g.denied
	f.no = f.no || g.no
	f.good = f.good || g.good && !f.bad
	f.bad = f.bad || g.bad && !f.good
	f.done = f.done || g.done
	f.hearsay = f.hearsay || g.hearsay
	f.maybe = f.maybe || g.maybe
	return f
}

// classes gathers the classes of the tokens.
func (s *scanner) classes(from, to int) (c class) {
	for i := from; i < to; i++ {
		c |= s.toks[i].class
	}
	return c
}

func (s *scanner) deniedAct(from, to int, any class) bool {
	for i := from; i < to; i++ {
		if s.toks[i].denied && s.toks[i].class.has(any) {
			return true
		}
	}
	return false
}

// stated gives what the stretch says whatever it speaks of.
func (s *scanner) stated(from, to int) facts {
	c := s.classes(from, to)
	return facts{rec: c.has(cRec), decl: c.has(cDecl), good: c.has(cGood), bad: c.has(cBad), done: c.has(cDone),
		hearsay: c.has(cHearsay) || c.has(cSays) && c.has(cPerson), maybe: c.has(cMaybe), fault: c.has(cFault)}
}

// ownFacts gathers what the clause of the match says of it, with what a clause before says of both: "replaced battery,
// fuel pump"; "Replaced: fuel pump".
func (s *scanner) ownFacts(m span) facts {
	at := int(s.toks[m.last].clause)
	k := &s.clauses[at]
	g, prep := s.governor(m)
	hangs := prep && g >= 0 && s.toks[g].class.content()
	f := s.stated(k.from, k.to)
	acts, denied := s.actsOn(k, m)
	f.acts, f.denied = acts, denied || s.deniedAct(k.from, k.to, cAssent|cNeedless) || s.undone(m.last+1, k.to)
	f.good, f.bad = s.finding(k, m)
	if s.recommendsOther(k, m) || s.thenDone(k) {
		f.rec = false
	}
	if hangs && !(f.rec || s.actAfter(k, m, cNoun)) {
		f.acts &= cInspect
		f.denied = false
	}
	if f.acts == 0 && !hangs {
		f = s.borrow(at, m, f)
	}
	return f
}

// undone tells whether the stretch says "not carried out".
func (s *scanner) undone(from, to int) bool {
	for i := from; i < to; i++ {
		if s.toks[i].class.has(cNeg) && s.toks[i].target < 0 && s.some(i, to, cDone) {
			return true
		}
	}
	return false
}

// actAfter tells whether an act of the class stands right after the match.
func (s *scanner) actAfter(k *clause, m span, c class) bool {
	return m.last+1 < k.to && s.toks[m.last+1].class.has(c)
}

// recommendsOther tells whether the clause's recommendation comes after the work and names a thing of its own.
func (s *scanner) recommendsOther(k *clause, m span) bool {
	a := s.first(m.last+1, k.to, handAct)
	if a < 0 || s.some(k.from, a+1, cRec) { // or the act itself is one that is to come: "por sustituir a los 120000 km"
		return false
	}
	r := s.first(a, k.to, cRec)
	return r >= 0 && s.contents(r+1, k.to) > 0
}

// thenDone tells whether the clause says that what was recommended or ordered was done: "ordered and replaced".
func (s *scanner) thenDone(k *clause) bool {
	r := s.first(k.from, k.to, cRec)
	a := s.first(r+1, k.to, anyAct)
	return r >= 0 && a >= 0 && s.some(r, a, cAnd) && s.contents(r, a) == 0 && !s.toks[a].class.has(cNoun|cInf)
}

// finding tells whether the clause says that the thing is good or bad, by the nearest such word, one after the thing
// before one before it.
func (s *scanner) finding(k *clause, m span) (good, bad bool) {
	near := s.first(m.last+1, k.to, cGood|cBad)
	if near < 0 {
		for i := m.first - 1; i >= k.from && near < 0; i-- {
			if s.toks[i].class.has(cGood | cBad) {
				near = i
			}
		}
		if near >= 0 && s.contents(k.from, near) > 0 {
			near = -1 // "battery ok fuel pump ..."
		}
	}
	if near < 0 {
		return false, false
	}
	return s.toks[near].class.has(cGood), s.toks[near].class.has(cBad)
}

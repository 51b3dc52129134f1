package phrase

// group is a run of acts with nothing named between them: "removed and replaced".
type group struct {
	first, last int
	acts        class // of the first act
	denied      bool
	more        class // of the others
	moreDenied  bool
	object      bool // something is named right after the group
}

// groupAt gathers the acts from token i on. Where something is named right after them, only the first act is the
// group's: the others have their own object ("pump checked replaced battery"). New is theirs where nothing is named.
func (s *scanner) groupAt(i, to int) group {
	g := group{first: i, last: i, acts: s.toks[i].class & anyAct, denied: s.toks[i].denied}
	own := s.named(i+1, to)
	for j := i + 1; j < to && !s.toks[j].class.content(); j++ {
		c := s.toks[j].class
		if c.has(anyAct) {
			own = s.named(j+1, to)
		}
	}
	g.object = own
	for i++; i < to && !s.toks[i].class.content(); i++ {
		c := s.toks[i].class
		if c.has(anyAct) {
			g.last = i
		}
		if c.has(anyAct) || c.has(cNew) && !own {
			g.more |= c & (anyAct | cNew)
			g.moreDenied = g.moreDenied || s.toks[i].denied
		}
	}
	return g
}

// nextGroup gives the first group of acts of the stretch.
func (s *scanner) nextGroup(from, to int) (group, bool) {
	i := s.first(from, to, anyAct)
	if i < 0 {
		return group{}, false
	}
	return s.groupAt(i, to), true
}

// actsOn gives the acts that the clause does on the match. A clause that opens with an act names its things after its
// acts ("replaced battery checked pump"), another names them before ("battery replaced pump checked").
func (s *scanner) actsOn(k *clause, m span) (acts class, denied bool) {
	before, hasBefore := s.groupBefore(k, m)
	after, hasAfter := s.nextGroup(m.last+1, k.to)
	opens := s.opensWithAct(k)
	take := func(g group, all bool) {
		acts |= g.acts
		denied = denied || g.denied
		if all {
			acts |= g.more
			denied = denied || g.moreDenied
		}
	}
	if hasAfter && s.ownsAfter(m, after, opens) {
		take(after, !after.object)
		hasBefore = hasBefore && !s.between(before, m, after)
	}
	if hasBefore && (opens || acts == 0 && !hasAfter && s.endsWith(k, m)) {
		take(before, true)
	}
	acts |= s.newBeside(k, m)
	if n := s.denies(k, m); n && acts != 0 {
		denied = true
	}
	return acts, denied
}

// between tells whether the act before the match has an object of its own and the one after follows the match at once:
// "replaced tyres pump checked".
func (s *scanner) between(before group, m span, after group) bool {
	return s.named(before.last+1, m.first) && !s.some(before.last+1, m.first, cAnd) && s.contents(m.last+1, after.first) == 0
}

// groupBefore gives the last group of acts before the match.
func (s *scanner) groupBefore(k *clause, m span) (group, bool) {
	g, ok := s.nextGroup(k.from, m.first)
	for ok {
		next, more := s.nextGroup(g.last+1, m.first)
		if !more {
			return g, true
		}
		g = next
	}
	return g, ok
}

// opensWithAct tells whether the clause acts before it names anything.
func (s *scanner) opensWithAct(k *clause) bool {
	for i := k.from; i < k.to; i++ {
		c := s.toks[i].class
		if c.has(anyAct) {
			return true
		}
		if c.content() {
			return false
		}
	}
	return false
}

// ownsAfter tells whether the group after the match is done on the match: it is not where it has an object of its own
// and something stands between.
func (s *scanner) ownsAfter(m span, g group, opens bool) bool {
	if opens || !g.object {
		return !g.object
	}
	return s.contents(m.last+1, g.first) == 0 && !s.some(m.last+1, g.first, cAnd)
}

// named tells whether something is named from token i on, before any preposition or further act.
func (s *scanner) named(i, to int) bool {
	for ; i < to; i++ {
		c := s.toks[i].class
		if c.content() {
			return true
		}
		if c.has(cPrep | anyAct) {
			return false
		}
	}
	return false
}

// endsWith tells whether the clause names nothing more after the match, other than what "and" adds.
func (s *scanner) endsWith(k *clause, m span) bool {
	for i := m.last + 1; i < k.to; i++ {
		c := s.toks[i].class
		if c.has(cAnd | cPrep) {
			return true
		}
		if c.content() {
			return false
		}
	}
	return true
}

// newBeside gives cNew where the word new stands right before or after the match.
func (s *scanner) newBeside(k *clause, m span) class {
	for i := m.first - 1; i >= k.from; i-- {
		if c := s.toks[i].class; c.has(cNew) {
			return cNew
		} else if !c.has(cPlace | cFunc) {
			break
		}
	}
	for i := m.last + 1; i < k.to; i++ {
		if c := s.toks[i].class; c.has(cNew) {
			return cNew
		} else if !c.has(cPlace | cFunc) {
			break
		}
	}
	return 0
}

// newOnly tells whether nothing but the word new speaks of a renewal, in a clause that goes on to say something else of
// the thing: "new pump returned to stores".
func (s *scanner) newOnly(acts class, m span) bool {
	k := &s.clauses[s.toks[m.last].clause]
	end := s.first(m.last+1, k.to, cAnd)
	if end < 0 {
		end = k.to
	}
	return !acts.has(cRenew|cFit|cSupply) && s.contents(m.last+1, end) > 0
}

// denies tells whether a negation denies the match itself: "no fuel pump replacement", "filter not pump replaced".
func (s *scanner) denies(k *clause, m span) bool {
	for i := k.from; i < m.first; i++ {
		if t := &s.toks[i]; t.class.has(cNeg) && int(t.target) >= m.first && int(t.target) <= m.last {
			return true
		}
	}
	return false
}

// borrow takes the acts of a clause that speaks of this one too: the heading before it ("Replaced: fuel pump"), the
// head of its list ("replaced battery, fuel pump") or its end ("fuel pump, battery and belt replaced").
func (s *scanner) borrow(at int, m span, f facts) facts {
	if at > 0 && s.clauses[at].gap <= comma && s.clauses[at-1].refers && s.heads(at-1) && s.clauses[at-1].acts {
		return s.lend(at-1, f)
	}
	if !s.clauses[at].listed || !s.alone(at, m) || at+1 < len(s.clauses) && s.clauses[at+1].refers {
		return f
	}
	for c := at - 1; c >= 0 && s.clauses[c+1].gap == comma; c-- {
		if s.opensWithAct(&s.clauses[c]) && s.clauses[c].acts {
			return s.lend(c, f)
		}
		if !s.clauses[c].listed {
			break
		}
	}
	for c := at + 1; c < len(s.clauses) && s.clauses[c].gap == comma; c++ {
		k := &s.clauses[c]
		if k.acts && !s.opensWithAct(k) && s.some(k.from, s.first(k.from, k.to, anyAct), cAnd) {
			return s.lend(c, f)
		}
		if !k.listed {
			break
		}
	}
	return f
}

// heads tells whether the clause stands at the head of its sentence.
func (s *scanner) heads(c int) bool { return c == 0 || s.clauses[c].gap == sentence }

// alone tells whether the match is all that its clause names, or joined to the rest by "and".
func (s *scanner) alone(at int, m span) bool {
	k := &s.clauses[at]
	for i := m.first - 1; i >= k.from && !s.toks[i].class.has(cAnd); i-- {
		if s.toks[i].class.content() {
			return false
		}
	}
	for i := m.last + 1; i < k.to && !s.toks[i].class.has(cAnd); i++ {
		if s.toks[i].class.content() {
			return false
		}
	}
	return true
}

// lend adds what clause c says to f.
func (s *scanner) lend(c int, f facts) facts {
	k := &s.clauses[c]
	g := s.stated(k.from, k.to)
	f.acts = s.classes(k.from, k.to) & anyAct
	f.denied = s.deniedAct(k.from, k.to, anyAct|cAssent)
	f.rec, f.decl, f.hearsay, f.maybe = f.rec || g.rec, f.decl || g.decl, f.hearsay || g.hearsay, f.maybe || g.maybe
	return f
}

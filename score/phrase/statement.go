package phrase

// reach is the greatest number of words between a statement and what denies it, and more than any statement spans.
const reach = 24

// loose is the greatest number of words that may stand between those of a statement.
const loose = 3

// findStatement finds the places where the text says what the phrase says.
func (s *scanner) findStatement(e *entry) {
	for i := 0; i < len(s.toks); i++ {
		m, ok := s.statementAt(e, i)
		if !ok {
			continue
		}
		m = s.tightest(e, m)
		i = m.last
		if s.ofOtherThing(e) {
			continue
		}
		h := Hit{ID: e.id, Exact: m.exact, Start: int(s.toks[m.first].start), End: int(s.toks[m.last].end), Intent: Reported}
		h.Negated = s.negated(m)
		if !h.Negated && s.doubtful(m) {
			h.Intent = Unsure
		}
		s.hits = append(s.hits, h)
	}
}

// tightest gives the shortest match that ends where m does: "knock when cold, knocks when hot" says one thing only.
func (s *scanner) tightest(e *entry, m span) span {
	best := m
	for i := m.first + 1; i <= m.last; i++ {
		if n, ok := s.statementAt(e, i); ok && n.last <= m.last {
			best = n
		}
	}
	s.statementAt(e, best.first) // for the matched tokens
	return best
}

// statementAt matches the words of a statement, in any order, from token i on. The match may cross a pause if no work is
// spoken of, but no comma.
func (s *scanner) statementAt(e *entry, i int) (span, bool) {
	m := span{first: i, exact: true}
	s.matched = s.matched[:0]
	var used uint64
	between, paused := 0, false
	for j := i; j < min(len(s.toks), i+reach+len(e.words)) && between <= loose; j++ {
		if gap := s.toks[j].gap; j > i && (gap >= comma || gap != pause && s.toks[j].clause != s.toks[j-1].clause) {
			break
		}
		paused = paused || j > i && s.toks[j].gap == pause
		k := s.unused(e, j, used)
		if k < 0 {
			if j == i || paused && s.some(i, j+1, handAct) {
				break
			}
			if s.toks[j].class.content() {
				between++
			}
			continue
		}
		used |= 1 << k
		m.exact = m.exact && s.exact(j, &e.words[k])
		m.last = j
		s.matched = append(s.matched, int32(j)<<8|int32(k))
		if len(s.matched) == len(e.words) {
			return m, !(paused && s.some(i, j+1, handAct))
		}
	}
	return m, false
}

// ofOtherThing tells whether a word right after one of the matched makes it another thing: "pump knock sensor". What is
// in the housing of a filter is in the filter.
func (s *scanner) ofOtherThing(e *entry) bool {
	for _, x := range s.matched {
		j, k := int(x>>8)+1, int(x&0xff)
		if j >= len(s.toks) || s.toks[j].gap != noBreak || !s.toks[j].class.has(cHead) || s.toks[j].class.has(anyAct) || s.wanted(e, j) {
			continue
		}
		place := k == len(e.words)-1 && e.words[k].linked
		if !(place && s.toks[j].class.has(cHolds)) {
			return true
		}
	}
	return false
}

// negated tells whether the text denies the match.
func (s *scanner) negated(m span) bool {
	at := int(s.toks[m.last].clause)
	from, to := s.clauses[s.toks[m.first].clause].from, s.clauses[at].to
	for i := from; i < to; i++ {
		t := &s.toks[i]
		switch {
		case s.isMatched(i):
		case t.class.has(cNeg) && s.reaches(i, m, to):
			return true
		case t.class.has(cGone) && s.beside(i, m):
			return true
		case t.class.has(cGood) && i > m.last && s.beside(i, m) && s.contents(i, to) == 0 && !s.some(from, i, cNeg): // "pump knock ok"
			return true
		}
	}
	return s.deniedBefore(int(s.toks[m.first].clause)) || s.deniedLater(at)
}

func (s *scanner) isMatched(i int) bool {
	for _, x := range s.matched {
		if int(x>>8) == i {
			return true
		}
	}
	return false
}

// reaches tells whether the negation at i denies the match. Before it, at most two other things may stand between, and
// more only if joined by "or"; within it, always; after it, only if nothing else follows that it could deny.
func (s *scanner) reaches(i int, m span, to int) bool {
	target := int(s.toks[i].target)
	switch {
	case i < m.first-reach || i > m.last+reach:
		return false
	case target >= 0 && s.isMatched(target):
		return target <= m.last || i < m.last
	case i > m.last:
		return s.contents(m.last+1, i) == 0 && target < 0 && !s.some(m.last+1, i, handAct)
	case target >= 0 && target < m.first && !s.toks[target].class.content() && !s.toks[target].class.has(cInspect):
		return false
	case i > m.first:
		return true
	case target >= 0 && target < m.first && s.toks[target].class.has(cQuantity) && !s.some(target, m.first, cOr): // "no codes knocks when hot"
		return false
	}
	n := 0
	for j := i + 1; j < m.first; j++ {
		c := s.toks[j].class
		switch {
		case c.has(cOr):
			n = 0
		case c.has(cAnd) && !c.has(cPrep) || c.has(handAct):
			return false
		case c.content():
			n++
		}
	}
	return n <= 2
}

// beside tells whether nothing is named between the token and the match.
func (s *scanner) beside(i int, m span) bool {
	if i < m.first {
		return s.contents(i+1, m.first) == 0
	}
	return i > m.last && s.contents(m.last+1, i) == 0
}

// deniedBefore tells whether the clause before denies this one: as its heading ("not heard: pump knock"), or as the
// beginning of a list of things denied ("no debris, metal or swarf in filter").
func (s *scanner) deniedBefore(at int) bool {
	if at == 0 {
		return false
	}
	prev, k := &s.clauses[at-1], &s.clauses[at]
	n := s.first(prev.from, prev.to, cNeg)
	if n < 0 || prev.acts {
		return false
	}
	target := int(s.toks[n].target)
	if k.gap == pause && prev.refers && target < 0 {
		return true
	}
	list := k.gap == comma && s.contents(n+1, prev.to) <= 2 && s.some(k.from, k.to, cOr) && !s.some(prev.from, prev.to, cObs)
	return list && target >= 0 && s.toks[target].class.content()
}

// deniedLater tells whether a clause after this one that names nothing denies it: "none seen", "not present", "gone",
// or a bare "ok" as on a check sheet.
func (s *scanner) deniedLater(at int) bool {
	for c := at + 1; c < len(s.clauses) && (s.clauses[c].refers || s.clauses[c].aside); c++ {
		k := &s.clauses[c]
		if k.aside {
			continue
		}
		if s.some(k.from, k.to, cGone) {
			return true
		}
		if n := s.first(k.from, k.to, cNeg); n >= 0 && s.toks[n].target < 0 && !s.some(k.from, k.to, handAct) {
			return true
		}
		if c == at+1 && !k.acts && s.some(k.from, k.to, cGood) && !s.some(k.from, k.to, cNeg|cRec|cDecl) {
			return true
		}
	}
	return false
}

// doubtful tells whether the match is suspected, conditional, or only what was looked for.
func (s *scanner) doubtful(m span) bool {
	k := &s.clauses[s.toks[m.first].clause]
	if s.some(k.from, s.clauses[s.toks[m.last].clause].to, cMaybe) {
		return true
	}
	look := s.first(k.from, m.first, cInspect)
	return look >= 0 && s.some(look, m.last, cFor) && !s.some(look, k.to, cObs)
}

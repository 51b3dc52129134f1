package phrase

// span is a matched stretch of tokens, first and last.
type span struct {
	first, last int
	exact       bool
}

// findThing finds the mentions of a thing and says of each what was done to it.
func (s *scanner) findThing(e *entry) {
	for i := 0; i < len(s.toks); i++ {
		m, ok := s.thingAt(e, i)
		if !ok {
			continue
		}
		i = m.last
		if s.otherThing(e, m) {
			continue
		}
		h := Hit{ID: e.id, Exact: m.exact, Start: int(s.toks[m.first].start), End: int(s.toks[m.last].end)}
		if s.judgeThing(e, m, &h) {
			s.hits = append(s.hits, h)
		}
	}
}

// thingAt matches the words of a thing from token i on. They stand together, in the order of the phrase with nothing
// but articles and sides between, or in any other order with nothing between but prepositions, or one comma as in a
// stores list ("PUMP, FUEL").
func (s *scanner) thingAt(e *entry, i int) (span, bool) {
	if m, ok := s.inOrder(e, i); ok || len(e.words) == 1 {
		return m, ok
	}
	return s.outOfOrder(e, i)
}

func (s *scanner) inOrder(e *entry, i int) (span, bool) {
	m := span{first: i, exact: true}
	j := i
	for k := range e.words {
		for k > 0 && j < len(s.toks) && s.toks[j].gap == noBreak && !s.is(j, &e.words[k]) && s.mayPart(j, &e.words[k]) {
			j++
		}
		if j >= len(s.toks) || k > 0 && s.toks[j].gap != noBreak || !s.is(j, &e.words[k]) {
			return m, false
		}
		if s.toks[j].initial != 0 && k+1 == len(e.words) {
			return m, false
		}
		m.exact = m.exact && s.exact(j, &e.words[k])
		m.last = j
		j++
	}
	return m, true
}

// mayPart tells whether the token may stand inside a thing before the word.
func (s *scanner) mayPart(j int, w *entryWord) bool {
	c := s.toks[j].class
	if s.toks[j].initial != 0 || c.has(cAnd|cOr|cNeg|anyAct|anyStatus) {
		return false
	}
	return c.has(cLink|cPlace) || c.has(cFunc) && !c.has(cPrep) || c.has(cPrep) && w.linked
}

func (s *scanner) outOfOrder(e *entry, i int) (span, bool) {
	m := span{first: i, last: i, exact: true}
	var used uint64
	commas, n := 0, 0
	for j := i; j < len(s.toks); j++ {
		t := &s.toks[j]
		if j > i && t.gap != noBreak {
			if t.gap != comma || commas > 0 || i > 0 && s.toks[i].gap == noBreak {
				return m, false
			}
			commas++
		}
		k := s.unused(e, j, used)
		if k < 0 {
			if j > i && t.class.has(cPrep|cLink) && t.class.has(cStop) {
				continue
			}
			return m, false
		}
		used |= 1 << k
		m.exact = m.exact && s.exact(j, &e.words[k])
		m.last = j
		if n++; n == len(e.words) {
			closed := j+1 == len(s.toks) || s.toks[j+1].gap != noBreak || s.toks[j+1].class.has(anyAct)
			return m, commas == 0 || closed
		}
	}
	return m, false
}

// unused gives the first word of the phrase, not yet used, that the token is; or -1.
func (s *scanner) unused(e *entry, j int, used uint64) int {
	for k := range min(len(e.words), 64) {
		if used&(1<<k) == 0 && s.toks[j].initial == 0 && s.is(j, &e.words[k]) {
			return k
		}
	}
	return -1
}

// is tells whether the token is the word of the phrase.
func (s *scanner) is(j int, w *entryWord) bool {
	t := &s.toks[j]
	return t.stem == w.stem && w.stem != unknownStem || t.initial != 0 && t.initial == w.initial
}

// exact tells whether it is so without a bridge.
func (s *scanner) exact(j int, w *entryWord) bool {
	t := &s.toks[j]
	return !t.slip && !t.plural && (t.lit == w.lit || w.stem <= negStem || t.initial != 0 || t.class.has(cShort))
}

// otherThing tells whether the words right after or before make the match name something else: "fuel pump relay",
// "relais de pompe", "gasket for fuel pump".
func (s *scanner) otherThing(e *entry, m span) bool {
	j := m.last + 1
	if j < len(s.toks) && s.toks[j].gap == noBreak && s.toks[j].class.has(cPlace) {
		j++
	}
	if j < len(s.toks) && s.toks[j].gap == noBreak && s.toks[j].class.has(cHead|cQuantity) && !s.toks[j].class.has(anyAct) && !s.wanted(e, j) {
		return true
	}
	g, _ := s.governor(m)
	return g >= 0 && s.toks[g].class.has(cHead) && !s.toks[g].class.has(anyAct) && !s.wanted(e, g)
}

// wanted tells whether the phrase itself asks for the token's word.
func (s *scanner) wanted(e *entry, j int) bool {
	if s.toks[j].stem == unknownStem {
		return false
	}
	for _, st := range e.needs {
		if st == s.toks[j].stem {
			return true
		}
	}
	return false
}

// governor gives the word that the match hangs on in its clause, over articles and adjectives, and whether a preposition
// stands between: "gasket" in "gasket on the fuel pump". It is -1 where nothing stands before, or where "and", a comma
// or another small word parts them.
func (s *scanner) governor(m span) (g int, prep bool) {
	from := s.clauses[s.toks[m.first].clause].from
	i := m.first
	for ; i > from && s.toks[i].gap == noBreak; i-- {
		c := s.toks[i-1].class
		switch {
		case c.has(cAnd | cOr):
			if !c.has(cPrep) {
				return -1, prep
			}
			prep = true
		case c.has(cPrep):
			prep = true
		case c.has(anyAct), c.content():
			return i - 1, prep
		case c.has(cPlace|cNew|cNum|cObs) || c.has(cBad|cGood) || c.has(cFunc):
		default:
			return i - 1, prep
		}
	}
	return -1, prep
}

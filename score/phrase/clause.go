package phrase

// clause is a stretch of tokens between breaks.
type clause struct {
	from, to int   // half-open range of tokens
	gap      uint8 // the break before it
	refers   bool  // names nothing of its own and speaks of the clause before it: "replaced", "no fault found"
	listed   bool  // names things only: "battery, belt"
	acts     bool
	aside    bool // in brackets
}

// prepare works out what the sieve's candidates are judged by.
func (s *scanner) prepare() {
	s.applyForms()
	s.cut()
	s.resolveNegations()
	s.describe()
}

// applyForms gives fixed sequences of words the class they have together.
func (s *scanner) applyForms() {
	for i := range s.toks {
		for _, f := range s.l.forms[s.toks[i].lit] {
			if s.toks[i].lit == 0 || !s.standsAt(f, i) {
				continue
			}
			keep := cPrep | cStop
			s.toks[i].class = f.class | s.toks[i].class&keep
			for j := i + 1; j < i+len(f.lits); j++ {
				s.toks[j].class = cFunc | s.toks[j].class&keep
			}
			break
		}
	}
}

func (s *scanner) standsAt(f form, i int) bool {
	if i+len(f.lits) > len(s.toks) {
		return false
	}
	for j, lit := range f.lits {
		if s.toks[i+j].lit != lit || j > 0 && s.toks[i+j].gap != noBreak {
			return false
		}
	}
	return true
}

// cut divides the tokens into clauses: at marks, at "but", at "and" between two pieces of work, and before the purpose
// of a piece of work ("removed pump to replace gearbox").
func (s *scanner) cut() {
	s.clauses = s.clauses[:0]
	for i := 0; i < len(s.toks); {
		end := i + 1
		for end < len(s.toks) && s.toks[end].gap == noBreak && !s.toks[end].class.has(cBut) {
			end++
		}
		s.cutJoined(i, end)
		i = end
	}
	for c := range s.clauses {
		for i := s.clauses[c].from; i < s.clauses[c].to; i++ {
			s.toks[i].clause = int32(c)
		}
	}
}

// cutJoined divides the stretch between two marks.
func (s *scanner) cutJoined(from, to int) {
	gap := s.toks[from].gap
	for i := from + 1; i < to-1; i++ {
		t := s.toks[i].class
		and := t.has(cAnd) && s.work(from, i) && s.work(i+1, to)
		aim := t.has(cTo) && s.toks[i+1].class.has(cRenew|cWork|cInspect) && s.some(from, i, handAct) && s.work(i+1, to)
		if !and && !aim {
			continue
		}
		s.clauses = append(s.clauses, clause{from: from, to: i, gap: gap})
		from, gap = i, joined
	}
	s.clauses = append(s.clauses, clause{from: from, to: to, gap: gap})
}

// work tells whether the stretch both acts or judges and names something.
func (s *scanner) work(from, to int) bool {
	return s.some(from, to, anyAct|anyStatus) && s.contents(from, to) > 0
}

func (s *scanner) some(from, to int, any class) bool { return s.first(from, to, any) >= 0 }

// first gives the first token of the stretch with any of the classes, or -1.
func (s *scanner) first(from, to int, any class) int {
	for i := from; i < to; i++ {
		if s.toks[i].class.has(any) {
			return i
		}
	}
	return -1
}

// contents counts the tokens of the stretch that name something.
func (s *scanner) contents(from, to int) (n int) {
	for i := from; i < to; i++ {
		if s.toks[i].class.content() {
			n++
		}
	}
	return n
}

// resolveNegations finds what each negation denies. A denied fault is good news, denied good news is a fault, and a
// denied act was not done.
func (s *scanner) resolveNegations() {
	for i := range s.toks {
		if s.toks[i].class.has(cNeg) {
			s.resolve(i)
		}
	}
}

func (s *scanner) resolve(i int) {
	n := &s.toks[i]
	to := s.clauses[n.clause].to
	n.target = -1
	t := s.nextSaying(i+1, to)
	if t < 0 {
		return
	}
	n.target = int32(t)
	if s.toks[t].class.content() && !s.toks[t].class.has(cFault) { // "no visible play"
		if f := s.first(t+1, min(to, t+3), cFault|cBad); f >= 0 {
			t = f
		}
	}
	n.target = int32(t)
	s.deny(t)
	for t+2 < to && s.toks[t+1].class.has(cOr|cAnd) && s.toks[t+2].class.has(cFault|cBad|cGood) { // "no wear or play"
		t += 2
		s.deny(t)
	}
}

// nextSaying gives the next token that names, acts or judges, or -1.
func (s *scanner) nextSaying(from, to int) int {
	observed := false
	for i := from; i < to; i++ {
		c := s.toks[i].class
		if c.content() || c.has(anyAct|anyStatus|cAssent) {
			return i
		}
		if observed && c.has(cPrep) && !c.has(cObs) {
			return -1 // "not evident on test"
		}
		observed = observed || c.has(cObs)
	}
	return -1
}

// deny turns the token into what it says when denied.
func (s *scanner) deny(i int) {
	t := &s.toks[i]
	switch {
	case t.class.has(cFault):
		t.class = t.class&^(cFault|cBad) | cGood
	case t.class.has(cBad):
		t.class = t.class&^cBad | cGood
	case t.class.has(cGood):
		t.class = t.class&^cGood | cBad
	case t.class.has(cAssent):
		t.class = cAssent | cFunc
		t.denied = true
	case t.class.has(anyAct):
		t.class &^= cGone
		t.denied = true
	case t.class.has(cRec):
		t.class = cNeedless | cFunc
		t.denied = true
	case t.class.has(cGone | cDecl):
		t.class = t.class&^(cGone|cDecl) | cFunc
	}
}

// describe notes what kind of clause each is.
func (s *scanner) describe() {
	for c := range s.clauses {
		k := &s.clauses[c]
		k.acts = s.some(k.from, k.to, anyAct)
		s.findFaults(k)
		k.refers = s.refers(k)
		k.aside = s.toks[k.from].aside && !k.refers
		k.listed = !k.acts && !s.some(k.from, k.to, anyStatus|cNeg|cMaybe|cFault)
	}
}

// findFaults makes a fault that was found a finding: "wear found".
func (s *scanner) findFaults(k *clause) {
	f := s.first(k.from, k.to, cFault)
	if f >= 0 && s.some(k.from, k.to, cObs) && !s.some(k.from, k.to, cNeg|cGood|cMaybe) {
		s.toks[f].class |= cBad
	}
}

// refers tells whether the clause names nothing, unless after a preposition that follows an act or a judgement:
// "replaced under warranty".
func (s *scanner) refers(k *clause) bool {
	said, after := false, false
	judges := !s.some(k.from, k.to, anyAct|cGone|cRec|cDecl)
	for i := k.from; i < k.to; i++ {
		c := s.toks[i].class
		switch {
		case c.has(cFault) && judges: // "wear found"
		case c.content() && !after:
			return false
		case c.has(anyAct | anyStatus):
			said, after = true, false
		case c.has(cPrep) && said:
			after = true
		}
	}
	return true
}

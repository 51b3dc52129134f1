package phrase

import (
	"cmp"
	"slices"
)

// token is one word of a text.
type token struct {
	word
	start, end int32
	clause     int32
	target     int32 // of a negation: the token it denies, or -1
	gap        uint8 // the break before it
	initial    byte  // "F" of "F/pump"; 0 otherwise
	slip       bool  // a typing slip was bridged
	plural     bool  // another form of the word was bridged
	denied     bool  // the act was not done
	aside      bool  // in brackets
}

// scanner is the working memory of one Scan, used again by the next.
type scanner struct {
	l       *Lexicon
	reader  reader
	toks    []token
	clauses []clause
	seen    []uint32 // by stem: the turn in which it was last seen
	turn    uint32
	stems   []int32 // the different stems of the text
	cand    []int32
	hits    []Hit
	matched []int32 // tokens of the match being tried
}

// Scan tells which phrases the text speaks of, ordered by place and then by the order of the entries' IDs; nil for none.
// A phrase that is spoken of twice gives two hits.
func (l *Lexicon) Scan(text string) []Hit {
	s := l.pool.Get().(*scanner)
	defer l.pool.Put(s)
	s.read(text)
	if !s.sieve() {
		return nil
	}
	s.prepare()
	s.hits = s.hits[:0]
	for _, c := range s.cand {
		if e := &l.entries[c]; e.kind.noun() {
			s.findThing(e)
		} else {
			s.findStatement(e)
		}
	}
	if len(s.hits) == 0 {
		return nil
	}
	out := slices.Clone(s.hits)
	slices.SortStableFunc(out, func(a, b Hit) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.ID, b.ID), cmp.Compare(a.End, b.End))
	})
	return out
}

// read cuts the text into tokens and notes the stems it holds.
func (s *scanner) read(text string) {
	s.toks, s.stems = s.toks[:0], s.stems[:0]
	s.turn++
	if s.turn == 0 { // wrapped round: no old mark may look like a new one
		clear(s.seen)
		s.turn = 1
	}
	r := &s.reader
	r.text, r.pos, r.depth = text, 0, 0
	for r.next() {
		t := s.l.lookup(r)
		t.start, t.end, t.gap = int32(r.start), int32(r.end), r.gap
		t.aside = r.depth > 0
		if r.stop && len(s.toks) > 0 && s.toks[len(s.toks)-1].class.has(cShort) {
			t.gap = noBreak
		}
		s.add(t)
	}
	r.text = "" // the scanner outlives the text
}

// add appends a token, and for a short form of two words the others, which stand at the same place.
func (s *scanner) add(t token) {
	more := t.more
	s.toks = append(s.toks, t)
	s.note(t.stem)
	if t.initial != 0 {
		for _, st := range s.l.initials[t.initial] {
			s.note(st)
		}
	}
	if more == 0 {
		return
	}
	for _, w := range s.l.expanded[more-1] {
		next := t
		next.word, next.gap = w, noBreak
		s.toks = append(s.toks, next)
		s.note(w.stem)
	}
}

func (s *scanner) note(stem int32) {
	if stem != unknownStem && s.seen[stem] != s.turn {
		s.seen[stem] = s.turn
		s.stems = append(s.stems, stem)
	}
}

// lookup says what is known of the reader's word: itself, its singular, its stem, or a word one slip away.
func (l *Lexicon) lookup(r *reader) token {
	if r.initial {
		return token{word: word{class: cFunc}, initial: r.word[0]}
	}
	if len(r.word) == 0 {
		return token{}
	}
	if k, ok := l.words[string(r.word)]; ok {
		return token{word: k}
	}
	if r.number {
		return token{word: word{class: cNum}}
	}
	n := len(r.word)
	if n > 3 && r.word[n-1] == 's' {
		if k, ok := l.words[string(r.word[:n-1])]; ok && !k.class.has(anyAct|anyStatus) {
			return token{word: k, plural: true}
		}
	}
	if st, ok := l.stems[string(stem(append(r.stem[:0], r.word...)))]; ok {
		return token{word: word{stem: st}, plural: true}
	}
	return l.bridge(r.word)
}

// bridge looks for a word one typing slip away, and else for a thing at the end of a compound.
func (l *Lexicon) bridge(w []byte) token {
	if !longEnough(w) {
		return token{}
	}
	for _, c := range l.slips[w[0]] {
		if d := len(c.text) - len(w); d >= -1 && d <= 1 && oneSlip(c.text, string(w)) {
			return token{word: c.word, slip: true}
		}
	}
	for _, e := range headEndings {
		if len(w) > len(e)+2 && hasSuffix(w, e) {
			return token{word: word{class: cHead}}
		}
	}
	return token{}
}

// sieve collects the entries all of whose stems the text holds, and tells whether there are any.
func (s *scanner) sieve() bool {
	s.cand = s.cand[:0]
	for _, st := range s.stems {
		for _, e := range s.l.byStem[st] {
			if s.holds(s.l.entries[e].needs) {
				s.cand = append(s.cand, e)
			}
		}
	}
	slices.Sort(s.cand)
	return len(s.cand) > 0
}

func (s *scanner) holds(stems []int32) bool {
	for _, st := range stems {
		if s.seen[st] != s.turn {
			return false
		}
	}
	return true
}

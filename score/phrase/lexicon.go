package phrase

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// Stems of two concepts whose words, in all languages, are one word to a phrase.
const (
	unknownStem = 0
	renewStem   = 1
	negStem     = 2
)

// word is what is known of a word of the text.
type word struct {
	stem  int32 // shared by the word's forms; unknownStem where no phrase holds any of them
	lit   int32 // of this very form
	class class
	more  int32 // 1 + index into Lexicon.expanded, for short forms of two words
}

// slipWord is a word that may be read where it is mistyped.
type slipWord struct {
	text string
	word word
}

// Lexicon holds the compiled phrases. It never changes and may be used by many goroutines.
type Lexicon struct {
	words    map[string]word // folded form -> word
	stems    map[string]int32
	expanded [][]word
	slips    map[byte][]slipWord // by first byte, in order of the text
	forms    map[int32][]form    // by the lit of the first word
	entries  []entry
	byStem   [][]int32        // entries whose rarest stem it is
	initials map[byte][]int32 // stems by first byte
	pool     sync.Pool        // of *scanner
}

// form is a sequence of words that has a class of its own.
type form struct {
	lits  []int32
	class class
}

// entry is a compiled phrase.
type entry struct {
	id     int
	kind   Kind
	words  []entryWord   // of the noun, in order; or of the statement
	extras [][]entryWord // qualifications: "revised part"
	acts   bool          // Renews: an act of renewing is asked for
	needs  []int32       // every stem, for the first sieve
}

// entryWord is a word of a phrase.
type entryWord struct {
	stem, lit int32
	initial   byte
	linked    bool // a preposition or article stands before it in the phrase
	class     class
}

// New compiles the phrases. The error joins the faults of all entries: an unknown kind, a text without a word to look
// for (ErrNoWord), a renewal that names no part.
func New(entries []Entry) (*Lexicon, error) {
	l := newLexicon()
	for _, e := range entries {
		l.addVocabulary(e.Text)
	}
	var errs []error
	for i, e := range entries {
		c, err := l.compile(e)
		if err != nil {
			errs = append(errs, fmt.Errorf("phrase: entry %d (%s %q): %w", i, e.Kind, e.Text, err))
			continue
		}
		l.entries = append(l.entries, c)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	l.index()
	return l, nil
}

// newLexicon gives a lexicon of the words that are known without any catalogue; index completes it.
func newLexicon() *Lexicon {
	l := &Lexicon{words: map[string]word{}, stems: map[string]int32{}, slips: map[byte][]slipWord{}, forms: map[int32][]form{},
		initials: map[byte][]int32{}, byStem: make([][]int32, negStem+1)}
	l.addLists()
	return l
}

// wordsOf gives the words of a list.
func wordsOf(list wordList) []string { return strings.Fields(list.words) }

// addLists enters the words that are known without any catalogue.
func (l *Lexicon) addLists() {
	for _, lists := range [][]wordList{wordLists, thingLists, italianPortuguese} {
		for _, list := range lists {
			for _, w := range wordsOf(list) {
				l.learn(w, list.class)
			}
		}
	}
	for _, list := range slices.Concat(forms, italianPortugueseForms) {
		for f := range strings.SplitSeq(list.forms, ";") {
			l.addForm(strings.Fields(f), list.class)
		}
	}
}

// learn enters a known word, or adds a class to it.
func (l *Lexicon) learn(w string, c class) word {
	k, ok := l.words[w]
	if !ok {
		k.lit = int32(len(l.words) + 1)
		st := string(stem([]byte(w)))
		if _, ok := l.stems[st]; !ok {
			l.stems[st] = unknownStem
		}
	}
	k.class |= c
	switch {
	case k.class.has(cRenew):
		k.stem = renewStem
	case k.class.has(cNeg):
		k.stem = negStem
	}
	l.words[w] = k
	return k
}

// addForm enters a fixed sequence of words.
func (l *Lexicon) addForm(words []string, c class) {
	f := form{class: c}
	for _, w := range words {
		f.lits = append(f.lits, l.learn(w, 0).lit)
	}
	if len(f.lits) > 0 {
		l.forms[f.lits[0]] = append(l.forms[f.lits[0]], f)
	}
}

// addVocabulary gives every word of a phrase a stem that the text can share.
func (l *Lexicon) addVocabulary(text string) {
	r := reader{text: text}
	for r.next() {
		for w := range strings.FieldsSeq(expand(string(r.word))) {
			k := l.learn(w, 0)
			if k.stem != unknownStem || k.class.has(cStop) {
				continue
			}
			st := string(stem([]byte(w)))
			if l.stems[st] == unknownStem {
				l.stems[st] = int32(len(l.byStem))
				l.byStem = append(l.byStem, nil)
			}
		}
	}
}

// expand writes a short form out.
func expand(w string) string {
	if long, ok := expansions[w]; ok {
		return long
	}
	return w
}

// index completes the words with their stems, and lays out the ways from a word of the text to the entries.
func (l *Lexicon) index() {
	for w, k := range l.words {
		if k.stem == unknownStem {
			k.stem = l.stems[string(stem([]byte(w)))]
			l.words[w] = k
		}
		if k.stem > negStem {
			l.initials[w[0]] = append(l.initials[w[0]], k.stem)
		}
		if longEnough([]byte(w)) && (k.stem > negStem || len(w) >= slipClassLetters && k.class.has(slipped)) {
			l.slips[w[0]] = append(l.slips[w[0]], slipWord{w, k})
		}
	}
	for b := range l.slips {
		slices.SortFunc(l.slips[b], func(a, b slipWord) int { return cmp.Compare(a.text, b.text) })
	}
	for b := range l.initials {
		slices.Sort(l.initials[b])
	}
	l.addExpansions()
	l.anchor()
	l.pool.New = func() any { return &scanner{l: l, seen: make([]uint32, len(l.byStem))} }
}

// addExpansions enters the short forms of known words.
func (l *Lexicon) addExpansions() {
	for short, long := range expansions {
		var ws []word
		for w := range strings.FieldsSeq(long) {
			k, ok := l.words[w]
			if !ok {
				k = word{stem: l.stems[string(stem([]byte(w)))]}
			}
			k.class |= cShort
			ws = append(ws, k)
		}
		first := ws[0]
		if len(ws) > 1 {
			l.expanded = append(l.expanded, ws[1:])
			first.more = int32(len(l.expanded))
		}
		l.words[short] = first
	}
}

// anchor files each entry under the rarest of its stems, so that most texts meet few entries.
func (l *Lexicon) anchor() {
	count := make([]int, len(l.byStem))
	for _, e := range l.entries {
		for _, s := range e.needs {
			count[s]++
		}
	}
	for i, e := range l.entries {
		best := slices.MinFunc(e.needs, func(a, b int32) int { return cmp.Or(cmp.Compare(count[a], count[b]), cmp.Compare(b, a)) })
		l.byStem[best] = append(l.byStem[best], int32(i))
	}
}

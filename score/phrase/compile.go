package phrase

import (
	"errors"
	"slices"
	"strings"
)

// mostWords is the greatest number of words of a phrase.
const mostWords = 60

var errTooLong = errors.New("has more than 60 words")

var errNoPart = errors.New("names no part: a renewal needs the words of the part beside the act")

// compile turns a phrase into what is matched. A statement keeps all its words but articles, prepositions and the like.
// A phrase about a thing is cut at commas and at acts: the first piece names the thing, the rest qualify it.
func (l *Lexicon) compile(e Entry) (entry, error) {
	c := entry{id: e.ID, kind: e.Kind}
	if err := e.Kind.Validate(); err != nil {
		return c, err
	}
	pieces, acts := l.pieces(e)
	switch {
	case len(pieces) == 0 && acts != noAct:
		return c, errNoPart
	case len(pieces) == 0:
		return c, ErrNoWord
	}
	if len(e.Text) > mostWords*longest || len(slices.Concat(pieces...)) > mostWords {
		return c, errTooLong
	}
	c.words, c.extras, c.acts = pieces[0], pieces[1:], e.Kind == Renews && acts != otherWork
	for _, p := range pieces {
		for _, w := range p {
			c.needs = append(c.needs, w.stem)
		}
	}
	return c, nil
}

// acting tells which act a phrase holds.
type acting int

const (
	noAct     acting = iota
	renewing         // an act of renewing, any of which will do in the text
	otherWork        // "overhauled": a word like any other
)

// pieces gives the words of the phrase and the act it holds.
func (l *Lexicon) pieces(e Entry) (out [][]entryWord, acts acting) {
	var piece []entryWord
	flush := func() {
		if len(piece) > 0 {
			out, piece = append(out, piece), nil
		}
	}
	cuts := e.Kind == Renews || e.Kind == Treats
	linked := false
	r := reader{text: e.Text}
	for r.next() {
		for _, w := range l.phraseWords(string(r.word)) {
			renew := cuts && w.class.has(cRenew|cNew|cFit|cSupply)
			other := cuts && !renew && w.class.has(handAct)
			if renew || other || cuts && r.gap >= comma {
				flush()
			}
			switch {
			case renew:
				acts = max(acts, renewing)
			case w.class.has(cStop):
				linked = true
			default:
				w.linked, linked = linked, false
				piece = append(piece, w)
			}
			if other {
				acts = otherWork
				flush()
			}
		}
	}
	flush()
	return out, acts
}

// phraseWords looks up the word of a phrase, written out.
func (l *Lexicon) phraseWords(w string) (out []entryWord) {
	for _, f := range strings.Fields(expand(w)) {
		k := l.words[f]
		st := k.stem
		if st == unknownStem {
			st = l.stems[string(stem([]byte(f)))]
		}
		out = append(out, entryWord{stem: st, lit: k.lit, initial: f[0], class: k.class})
	}
	return out
}

package score

import (
	"fmt"

	"pitlist/score/evidence"
	"pitlist/score/phrase"
)

// wording is the phrases of a whole catalogue in one lexicon, so that each
// text is scanned once whatever the number of parts.
type wording struct {
	lexicon *phrase.Lexicon
	owner   []owner              // lexicon id -> what it belongs to
	rules   [][]evidence.Phrases // part -> group -> phrase numbers of its rules
}

// owner tells whose a phrase is. A phrase's number within its part is its
// lexicon id, so numbers are unique over parts too.
type owner struct {
	part int // index in the catalogue; -1: a danger that no entry speaks of
	kind phrase.Kind
	text string
}

// compile gathers the phrases of every part and of the dangers.
func compile(parts []WeakPart) (*wording, error) {
	w := &wording{rules: make([][]evidence.Phrases, len(parts))}
	var entries []phrase.Entry
	add := func(part int, kind phrase.Kind, texts []string) []int {
		ids := make([]int, len(texts))
		for i, t := range texts {
			ids[i] = len(w.owner)
			entries = append(entries, phrase.Entry{ID: ids[i], Kind: kind, Text: t})
			w.owner = append(w.owner, owner{part, kind, t})
		}
		return ids
	}
	for i := range parts {
		p := &parts[i]
		add(i, phrase.Name, append([]string{p.Name}, p.Called...))
		add(i, phrase.Renews, p.Repairs.Renews)
		treats := add(i, phrase.Treats, p.Repairs.Treats)
		add(i, phrase.Planned, p.Repairs.Planned)
		add(i, phrase.Failed, p.Repairs.Failed)
		known := make(map[string]int, len(treats))
		for k, t := range p.Repairs.Treats {
			known[t] = treats[k]
		}
		for _, g := range p.Evidence {
			w.rules[i] = append(w.rules[i], phrasesOf(g, known, func(kind phrase.Kind, t []string) []int { return add(i, kind, t) }))
		}
	}
	for i := range dangers {
		add(-1, phrase.Symptom, dangers[i].phrases)
	}
	lexicon, err := phrase.New(entries)
	if err != nil {
		return nil, fmt.Errorf("catalogue phrases: %w", err)
	}
	w.lexicon = lexicon
	return w, nil
}

// phrasesOf numbers the words and treatments of a group's rules; treatments
// that the part lists anyway keep their number.
func phrasesOf(g evidence.Group, known map[string]int, add func(phrase.Kind, []string) []int) evidence.Phrases {
	ph := evidence.Phrases{Words: make([][]int, len(g.Rules)), CameBack: make([][]int, len(g.Rules))}
	for r := range g.Rules {
		ph.Words[r] = add(phrase.Symptom, g.Rules[r].Words)
		for _, t := range g.Rules[r].CameBackAfter {
			id, ok := known[t]
			if !ok {
				id = add(phrase.Treats, []string{t})[0]
				known[t] = id
			}
			ph.CameBack[r] = append(ph.CameBack[r], id)
		}
	}
	return ph
}

package score

import (
	"pitlist/score/evidence"
	"pitlist/score/phrase"
)

// said is one text of a vehicle with what the lexicon found in it.
type said struct {
	day    Day
	km     Stated
	text   string
	status phrase.Intent // of a status column
	repair bool          // a line of the workshop's, not a remark
	hits   []phrase.Hit
	ref    Ref
}

// reader scans texts, remembering those it has seen: fleets write the same
// few lines again and again. One for each worker; not safe for several.
type reader struct {
	words *wording
	seen  map[string][]phrase.Hit
	out   []said
}

// kind is what kind of text it is.
func (s *said) kind() evidence.Texts {
	if s.repair {
		return evidence.Workshop
	}
	return evidence.Remarks
}

// maxSeen bounds the memory of a reader; past it the memory starts anew.
const maxSeen = 50_000

func (r *reader) scan(text string) []phrase.Hit {
	if hits, ok := r.seen[text]; ok {
		return hits
	}
	if len(r.seen) >= maxSeen {
		clear(r.seen)
	}
	hits := r.words.lexicon.Scan(text)
	r.seen[text] = hits
	return hits
}

// texts scans all texts of a vehicle in the order of the file. The slice is
// valid until the next call.
func (r *reader) texts(v *Vehicle) []said {
	r.out = r.out[:0]
	for i := range v.Repairs {
		p := &v.Repairs[i]
		r.out = append(r.out, said{p.Day, p.KM, p.Text, p.Status, true, r.scan(p.Text), p.Ref})
	}
	for i := range v.Remarks {
		m := &v.Remarks[i]
		r.out = append(r.out, said{m.Day, Stated{}, m.Text, "", false, r.scan(m.Text), m.Ref})
	}
	return r.out
}

// intent joins what the text says with its status column. The column decides
// between done and not done, save that a text which itself speaks of advice
// or refusal is believed over a column that says done.
func (s *said) intent(h phrase.Hit) phrase.Intent {
	switch s.status {
	case phrase.Declined, phrase.Recommended:
		if h.Intent == phrase.FoundGood || h.Intent == phrase.FoundWorn {
			return h.Intent
		}
		return s.status
	}
	return h.Intent
}

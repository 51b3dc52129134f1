package history

import "strings"

// A list that comes back answers, row by row, what was found of one part of one
// vehicle. Whatever it is called by then, and whoever has typed it in once more:
// facts of one kind that answer the same part of the same list are versions of
// each other, and the last that came holds. Facts that answer different lists
// are never versions of each other.

// dispute lets nothing hold of answers whose copies of today contradict each
// other; the record keeps what it has of them.
func (s *state) dispute(answers []string) {
	if len(answers) == 0 {
		return
	}
	off := make(map[string]bool, len(answers))
	for _, a := range answers {
		off[a] = true
	}
	for _, f := range s.facts {
		for _, list := range f {
			for _, o := range list {
				o.disputed = o.Answers != "" && off[o.Answers]
			}
		}
	}
}

// answered looks for an earlier answer to what f answers, among those of its
// kind. s says the same as f. less tells that f says no more than the record has.
// Where there is neither, f is new or corrects, see corrector.answers; also where
// its file was read before, for it may have been refused then.
func (m *matcher) answered(kind []*stored, f *Fact) (s *stored, less bool) {
	for _, o := range kind {
		if o.live() && o.read == 0 && o.Answers == f.Answers {
			if f.Undated && o.sameSave(f) {
				return o, false
			}
			return nil, f.within(&o.Fact)
		}
	}
	return nil, false
}

// within tells that f says nothing that o does not say, of the same.
func (f *Fact) within(o *Fact) bool {
	return f.Kind == o.Kind && f.Key == o.Key && (f.Text == o.Text || f.Kind == Repair && strings.HasPrefix(o.Text, f.Text)) &&
		(f.Undated || f.Day == o.Day) && (!f.At.Known || f.At == o.At) && (!f.Number.Known || f.Number == o.Number) &&
		(f.Detail == "" || f.Detail == o.Detail)
}

// answers lets new answers take the place of earlier ones.
func (m *matcher) answers(replaces map[int64]bool) {
	for i := range m.inserts {
		in := &m.inserts[i]
		f := &m.read.Vehicles[in.vehicle].Facts[in.fact]
		if f.Answers == "" {
			continue
		}
		for _, o := range m.old(in.vehicle).of(f.Kind) {
			if o.live() && o.read == 0 && o.Answers == f.Answers {
				m.replace(o, in.id)
				replaces[in.id] = true
			}
		}
	}
}

// otherAnswer tells that two facts answer different lists, or parts.
func otherAnswer(o, f *Fact) bool {
	return o.Answers != "" && f.Answers != "" && o.Answers != f.Answers
}

// answers writes what the new facts answer.
func (c *committer) answers(run *Run) error {
	for i := range c.known.inserts {
		in := &c.known.inserts[i]
		if err := c.answer(run, in.id, c.known.read.Vehicles[in.vehicle].Facts[in.fact].Answers); err != nil {
			return err
		}
	}
	for _, l := range c.known.learned {
		if err := c.answer(run, l.fact, l.answers); err != nil {
			return err
		}
	}
	return nil
}

func (c *committer) answer(run *Run, fact int64, answers string) error {
	if answers == "" {
		return nil
	}
	part, err := c.word(answers)
	if err != nil {
		return err
	}
	return c.exec("INSERT INTO answer VALUES (?, ?, ?)", fact, run.ID, part)
}

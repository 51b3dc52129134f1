package backtest

import (
	"context"

	"pitlist/score"
)

// judgeOf is a scorer for the entries that were known by a day. Entries that
// were not are taken out whole, since even their words would have a say in how
// the words of others are read.
type judgeOf struct {
	*score.Scorer
	places []int // of the scorer's parts, in the catalogue given
}

// part is a finding's place in the catalogue given.
func (j *judgeOf) part(f *score.Finding) int { return j.places[f.PartIndex] }

// judge makes the scorer of a day: with the catalogue's curves, or those that
// could be known then.
func (b *backtest) judge(day score.Day, then []score.Vehicle) (*judgeOf, error) {
	if b.Refit != nil {
		c, err := b.Refit(day, then)
		if err != nil {
			return nil, err
		}
		return judgeFor(c, day, b.Settings)
	}
	return b.plain(day)
}

// plain is the scorer of a day with the catalogue's own curves. What the
// catalogue alone decides is computed once.
func (b *backtest) plain(day score.Day) (*judgeOf, error) {
	n := 0
	for i := range b.catalogue.Parts {
		n += rank(b.catalogue.Parts[i].KnownSince <= day)
	}
	if b.judges[n] == nil { // what is known stays known: the number tells which
		j, err := judgeFor(b.catalogue, day, b.Settings)
		if err != nil {
			return nil, err
		}
		b.judges[n] = j
	}
	return &judgeOf{b.judges[n].On(day), b.judges[n].places}, nil
}

func judgeFor(c *score.Catalogue, day score.Day, s score.Settings) (*judgeOf, error) {
	known := &score.Catalogue{Digest: c.Digest}
	j := &judgeOf{}
	for i := range c.Parts {
		if c.Parts[i].KnownSince <= day {
			known.Parts = append(known.Parts, c.Parts[i])
			j.places = append(j.places, i)
		}
	}
	s.Day = day
	var err error
	j.Scorer, err = score.NewScorer(known, s)
	return j, err
}

// prepare reads what happened to every part, by all that is known at the end,
// and finds since when each vehicle takes part.
func (b *backtest) prepare(ctx context.Context) error {
	j, err := b.plain(b.End)
	if err != nil {
		return err
	}
	if b.past, err = j.PastAll(ctx, b.vehicles); err != nil {
		return err
	}
	for v := range b.past {
		for i := range b.past[v] {
			b.past[v][i].Part = j.places[b.past[v][i].Part]
		}
	}
	b.since, b.seen = make([]score.Day, len(b.vehicles)), make([]bool, len(b.vehicles))
	for i := range b.vehicles {
		if v := &b.vehicles[i]; v.Status == score.Sold {
			b.unseen.Sold++
		} else {
			b.since[i] = firstRow(v)
		}
	}
	b.ledger.start(len(b.vehicles), len(b.catalogue.Parts))
	return nil
}

package backtest

import (
	"context"
	"errors"
	"fmt"

	"pitlist/score"
	"pitlist/score/plan"
)

// ErrNothing is wrapped where there is no past day to judge.
var ErrNothing = errors.New("nothing to judge")

// Options say which days are judged and how the lists were made.
type Options struct {
	Days     []score.Day    // of the lists, ascending
	End      score.Day      // until when the last list is held against what happened; after every day
	Settings score.Settings // the job's; Day, Strict and Draws are the backtest's own
	Plan     plan.Options   // the job's money and hours
	// Refit gives the catalogue with the curves as they could be known on a
	// day, from the vehicles as they were known then; parts keep their places.
	// nil: the catalogue's own curves on every day.
	Refit     func(day score.Day, then []score.Vehicle) (*score.Catalogue, error)
	Resamples int       // of the vehicles, for the intervals; default 2,000
	Seed      uint64    // of the resampling
	Done      func(int) // told of each day judged; nil: nobody
}

const defaultResamples = 2000

// Result is what the past lists were worth.
type Result struct {
	Days     []Day
	Parts    []Judgement // in the catalogue's order, parts without a forecast left out
	All      Judgement
	Unseen   Unseen
	Vehicles int     // that took part in any list
	Years    float64 // from the first list to the end
}

// Day is one past list.
type Day struct {
	Day, Until score.Day
	Vehicles   int // known by then, not sold since
	Listed     int // with a part that competed for the hours
	Above      int // looks above the line
	Hours      float64
	Failures   int // until the next day, of parts that the list judged
	FailAbove  int // of them above the line
	Expected   float64
	FoundWorn  int // by the workshop's own looks until the next day
}

// Run makes the list of every day and holds it against what happened until the
// next one. The vehicles are whole, with all that is known today; the
// catalogue is the job's. It errs on days that do not ascend, or where no
// vehicle was on the records by any of them (ErrNothing).
func Run(ctx context.Context, catalogue *score.Catalogue, vehicles []score.Vehicle, o Options) (*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	o.Settings.Strict, o.Settings.Draws, o.Settings.Keep, o.Settings.Day = true, 0, nil, o.End
	b := &backtest{Options: &o, catalogue: catalogue, vehicles: vehicles, judges: map[int]*judgeOf{}}
	if err := b.prepare(ctx); err != nil {
		return nil, err
	}
	for i := range o.Days {
		if err := b.day(ctx, i); err != nil {
			return nil, fmt.Errorf("the list of %s: %w", o.Days[i], err)
		}
		if o.Done != nil {
			o.Done(i)
		}
	}
	if b.took == 0 {
		return nil, fmt.Errorf("%w: no vehicle has a dated row by %s", ErrNothing, o.Days[len(o.Days)-1])
	}
	return b.result(), nil
}

func (o *Options) check() error {
	if len(o.Days) == 0 {
		return fmt.Errorf("%w: there is no past day", ErrNothing)
	}
	for i, d := range o.Days {
		if next := o.until(i); next <= d {
			return fmt.Errorf("the day after %s is %s: days must ascend", d, next)
		}
	}
	return nil
}

// until is the end of the i-th list's time.
func (o *Options) until(i int) score.Day {
	if i+1 < len(o.Days) {
		return o.Days[i+1]
	}
	return o.End
}

// backtest is a backtest at work.
type backtest struct {
	*Options
	catalogue *score.Catalogue
	vehicles  []score.Vehicle
	judges    map[int]*judgeOf    // by how many entries were known
	past      [][]score.Happening // of each vehicle, to the end
	since     []score.Day         // first dated row of each vehicle; 0: takes no part
	took      int                 // vehicles that took part in any list
	seen      []bool              // which

	listed func(i int, assessed []score.Assessment, list plan.List) // for tests: each list as it was made

	days   []Day
	cases  []Case
	ledger ledger
	unseen Unseen
}

// day makes one list and files what became of it.
func (b *backtest) day(ctx context.Context, i int) error {
	day, until := b.Days[i], b.until(i)
	members, then := b.then(day)
	judge, err := b.judge(day, then)
	if err != nil {
		return err
	}
	assessed, err := judge.AssessAll(ctx, then, nil)
	if err != nil {
		return err
	}
	list := b.Plan.Make(assessed, day)
	if b.listed != nil {
		b.listed(i, assessed, list)
	}
	above := map[*score.Finding]bool{}
	looks := Looks(assessed, list)
	for _, l := range looks {
		for _, f := range l.Parts {
			above[f] = true
		}
	}
	w := &window{backtest: b, index: i, day: day, until: until, judge: judge, members: members, then: then, assessed: assessed, above: above}
	w.file()
	b.days = append(b.days, w.sum(looks, list))
	b.ledger.add(w, b.ways(assessed, list, looks))
	return nil
}

// result sums up.
func (b *backtest) result() *Result {
	r := &Result{Days: b.days, Vehicles: b.took, Years: float64(b.End-b.Days[0]) / daysPerYear}
	versus := b.ledger.versus(b.seen, b.Resamples, b.Seed)
	r.All = judged(-1, b.cases, r.Years)
	r.All.Ways, r.All.Versus = b.ledger.of(all), versus[all]
	for i := range b.catalogue.Parts {
		var own []Case
		for _, c := range b.cases {
			if c.Part == i {
				own = append(own, c)
			}
		}
		if len(own) > 0 {
			j := judged(i, own, r.Years)
			j.Ways, j.Versus = b.ledger.of(1+i), versus[1+i]
			r.Parts = append(r.Parts, j)
		}
	}
	r.Unseen = b.never()
	return r
}

const daysPerYear = 365.25

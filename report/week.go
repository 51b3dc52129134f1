package report

import (
	"cmp"

	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// Week is the run in six numbers against the last run of an earlier day, and
// the list held against what came of it.
type Week struct {
	Before  score.Day // the day of the earlier run
	Figures []Number
	Kept    say.Text // whether the promises hold, in one sentence; empty while no result has come

	Opened, Hits  int     // of the parts that ever stood above the line
	Expected      float64 // hits that the lists promised for them
	Low, High     int     // 90 % interval of that number, exact
	PromiseHolds  bool    // the hits lie inside it
	DetectionRate float64 // Hits/Opened; 0 where nothing was opened
}

// Number is one number of this run and of the earlier one.
type Number struct {
	Name       say.Text
	Now, Then  float64
	Decimals   int
	NameInText say.Text // as the sentence of the first sheet has it
}

// compare holds the document against the earlier run. On the buying desks
// every sale brings other vehicles: no weeks are compared, and only what comes
// again is told.
func (d *Document) compare() {
	b := d.Run.Before
	if b == nil || d.Buys() {
		return
	}
	t := &d.Totals
	d.Week = &Week{Before: b.Day, Figures: []Number{
		{say.F("Vehicles read"), float64(len(d.fleet.Vehicles)), float64(b.Vehicles), 0, say.F("vehicles read")},
		{say.F("Above the line"), float64(t.Above), float64(b.Above), 0, say.F("above the line")},
		{say.F("Bay-hours"), t.Hours, b.Hours, 2, say.F("bay-hours")},
		{say.F("Failures expected before the next run"), t.FailNext.Mean, b.FailNext, 1, say.F("failures expected before the next run")},
		{say.F("Results returned"), float64(b.Returned.Opened), float64(b.Results.Opened), 0, say.One(b.Returned.Opened, say.F("result returned"), say.F("results returned"))},
		{say.F("Worn among them"), float64(b.Returned.Hits), float64(b.Results.Hits), 0, say.F("worn among them")},
	}}
	d.Week.keep(&b.Promised)
	d.Gone = gone(d)
}

// covers is the share of cases that the interval of the promise covers.
const covers = 0.9

// keep holds the hits against the promised chances. The number of hits among
// independent looks with their own chances has the Poisson-binomial
// distribution, here exact; its central 90 % is the interval.
func (w *Week) keep(p *Promised) {
	w.Opened, w.Hits = len(p.Chances), p.Hits
	if w.Opened == 0 {
		return
	}
	var all plan.PoissonBinomial
	for _, chance := range p.Chances {
		all.Add(chance)
		w.Expected += chance
	}
	w.Low, w.High = all.Quantile((1-covers)/2), all.Quantile((1+covers)/2)
	w.PromiseHolds = w.Hits >= w.Low && w.Hits <= w.High
	w.DetectionRate = float64(w.Hits) / float64(w.Opened)
	verdict := say.F("what the lists promised holds")
	switch {
	case w.Hits < w.Low:
		verdict = say.F("fewer than the lists promised: the curves or the rates of the catalogue may be too gloomy")
	case w.Hits > w.High:
		verdict = say.F("more than the lists promised: the curves of the catalogue may be too hopeful")
	}
	opened, rate, expected := say.Count(w.Opened, "part", "parts"), say.Percent(w.DetectionRate), say.Tenth(w.Expected)
	w.Kept = say.One(w.Hits, say.F("The list keeps its own score: of %s opened so far that it had above the line, 1 was worn (%s); it promised %s (%d to %d in 9 of 10 cases): %s.",
		opened, rate, expected, w.Low, w.High, verdict), say.F("The list keeps its own score: of %s opened so far that it had above the line, %d were worn (%s); it promised %s (%d to %d in 9 of 10 cases): %s.",
		opened, w.Hits, rate, expected, w.Low, w.High, verdict))
}

// Text is the week in one sentence.
func (w *Week) Text() say.Text {
	said := make([]say.Text, len(w.Figures))
	for i := range w.Figures {
		f := &w.Figures[i]
		said[i] = say.F("%s %s (%s)", f.value(f.Now), f.NameInText, f.value(f.Then))
	}
	return say.F("Against %s: %s.", say.Day(w.Before), say.Join(", ", said...))
}

// value writes one of the figure's numbers.
func (f *Number) value(x float64) say.Value {
	switch f.Decimals {
	case 0:
		return say.Whole(x)
	case 1:
		return say.Tenth(finite(x))
	}
	return say.Number(x)
}

// GoneRow is a vehicle that is no longer on the list, or no longer above the
// line, with the reason.
type GoneRow struct {
	Unit, VIN, Depot string
	Was              int    // its number on the earlier list; 0: it stood on none
	WasAbove         bool   // of the line
	Rank             int    // today; 0: on no list
	Part             string // that it was listed for, by name where the catalogue still has it
	Why              say.Text
}

// gone lists what has left the sheets, the list, or its head, in the order of
// the earlier list; what stood on no list comes last.
func gone(d *Document) []GoneRow {
	var out []GoneRow
	for i := range d.assessments {
		a := &d.assessments[i]
		was, listed := d.Run.Before.Stood[a.Vehicle]
		row := d.rows[a.Vehicle]
		if !listed || row != nil && (row.Above || !was.Above) {
			continue
		}
		g := GoneRow{Unit: a.Vehicle.Unit, VIN: vinOf(a.Vehicle), Depot: a.Vehicle.Depot, Was: was.Rank, WasAbove: was.Above, Part: d.partName(was.Part)}
		if row != nil {
			g.Rank = row.Rank
		}
		g.Why = d.whyGone(a, row, &was)
		out = append(out, g)
	}
	for _, l := range d.Run.Before.Left {
		out = append(out, GoneRow{Unit: cmp.Or(l.Unit, l.Registration), VIN: l.VIN, Was: l.Stood.Rank, WasAbove: l.Stood.Above,
			Part: d.partName(l.Stood.Part), Why: say.F("no longer in the sheets; what is known of it is kept")})
	}
	sortGone(out)
	return out
}

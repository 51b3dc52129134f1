package backtest

import (
	"pitlist/score"
	"pitlist/score/plan"
)

// Came is what came of a forecast first.
type Came string

// What can come of it until the next list's day. A look of any result and a
// renewal end the time at risk; a failure is a renewal whose text says so, or
// an inspection that found the part failed.
const (
	Nothing    Came = ""
	Failed     Came = "failed"
	FoundWorn  Came = "found worn"
	FoundSound Came = "found sound"
	Planned    Came = "renewed as planned"
	Unknown    Came = "renewed, the cause not told" // neither a failure nor an independent end
)

// Case is one forecast: a scored part of a vehicle on one list's day, and what
// came of it.
type Case struct {
	Day     int // of Options.Days
	Vehicle int // of the vehicles given
	Part    int // of the catalogue
	Worn    float64
	Fail    float64 // chance in [0, 1] to fail while at risk, as of the list's day
	Came    Came
	On      score.Day // 0 where nothing came
	Look    float64   // chance that the workshop's look finds it worn; where it looked
	Above   bool      // the list wanted it opened
}

// looked tells whether the workshop looked at a part that had not failed.
func (c *Case) looked() bool { return c.Came == FoundWorn || c.Came == FoundSound }

// came is what happened first to a part after one day and by another. Of what
// happened on one day the gravest counts: a line that tells of the failure
// often tells what was found, too.
func came(past []score.Happening, part int, after, until score.Day) (Came, score.Day) {
	what, on := Nothing, score.Day(0)
	for i := range past {
		h := &past[i]
		if h.Part != part || h.Day <= after || h.Day > until || on != 0 && h.Day > on {
			continue
		}
		if is := kindOf(h); on == 0 || h.Day < on || gravity(is) > gravity(what) {
			what, on = is, h.Day
		}
	}
	return what, on
}

func kindOf(h *score.Happening) Came {
	switch {
	case h.Failed:
		return Failed
	case h.Kind == score.FactFoundWorn:
		return FoundWorn
	case h.Kind == score.FactClean:
		return FoundSound
	case h.Planned:
		return Planned
	}
	return Unknown
}

func gravity(c Came) int {
	switch c {
	case Failed:
		return 4
	case FoundWorn:
		return 3
	case Unknown:
		return 2
	case Planned:
		return 1
	}
	return 0
}

// window is one list's time.
type window struct {
	*backtest
	index      int
	day, until score.Day
	judge      *judgeOf
	members    []int // of then, in the vehicles given
	then       []score.Vehicle
	assessed   []score.Assessment
	above      map[*score.Finding]bool
	came       map[*score.Finding]Came
	own        []Case
}

// file makes a case of every scored finding, and accounts for the failures
// that the list did not judge.
func (w *window) file() {
	w.came = map[*score.Finding]Came{}
	for i := range w.assessed {
		a := &w.assessed[i]
		for j := range a.Findings {
			f := &a.Findings[j]
			if f.Standing != score.Scored {
				continue
			}
			c := w.caseOf(i, f)
			w.came[f] = c.Came
			w.own = append(w.own, c)
		}
	}
	w.cases = append(w.cases, w.own...)
	w.elsewhere()
}

// caseOf holds one forecast against what came.
func (w *window) caseOf(i int, f *score.Finding) Case {
	c := Case{Day: w.index, Vehicle: w.members[i], Part: w.judge.part(f), Worn: f.State.Worn, Above: w.above[f]}
	c.Came, c.On = came(w.past[c.Vehicle], c.Part, w.day, w.until)
	end := w.until
	if c.Came != Nothing && c.Came != Failed {
		end = c.On // from then on the forecast answers for nothing
	}
	c.Fail = f.State.Fail(f.UseADay() * float64(end-w.day))
	if c.looked() {
		c.Look = w.look(i, &c)
	}
	return c
}

// look is the chance that a look on the case's day finds wear: from what was
// known on the list's day, carried to the day of the look. The part had not
// failed by then.
func (w *window) look(i int, c *Case) float64 {
	a := w.judge.On(c.On).Assess(&w.then[i])
	for j := range a.Findings {
		if f := &a.Findings[j]; w.judge.part(f) == c.Part {
			n := &f.Part.Inspection
			return f.State.Worn*n.Detects + (1-f.State.Worn)*n.FalseAlarm
		}
	}
	return 0
}

// sum is the list's line in the report.
func (w *window) sum(looks []Look, list plan.List) Day {
	d := Day{Day: w.day, Until: w.until, Vehicles: len(w.members), Listed: len(list.Rows), Above: len(looks)}
	for _, l := range looks {
		d.Hours += l.Quarters
	}
	for i := range w.own {
		c := &w.own[i]
		d.Expected += c.Fail
		switch c.Came {
		case Failed:
			d.Failures++
			if c.Above {
				d.FailAbove++
			}
		case FoundWorn:
			d.FoundWorn++
		}
	}
	return d
}

package report

import (
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/cohort"
	"pitlist/score/life"
	"pitlist/score/say"
)

// LearnedPart is what a fit made of one part: a Fit, or the reason why there is
// none.
type LearnedPart struct {
	Weak *score.WeakPart
	Fit  *cohort.Fit
	Err  error
}

// Learned makes the study of a fit: what the records hold of each part, the
// curve before and after over what was seen without any curve, how well it
// fits, and what the records cannot tell. overlay is the file that was written,
// left the learned files of the catalogue that were left out.
func Learned(run Run, parts []LearnedPart, overlay string, left []string) *Study {
	s := &Study{Run: run, Title: say.F("Learned from the records: %s, %s", run.Job, say.Day(run.Day))}
	s.Sections = append(s.Sections, learnedHead(run, parts, overlay, left))
	for i := range parts {
		if p := &parts[i]; p.Fit != nil && p.Fit.Counts.Vehicles > 0 || p.Err != nil {
			s.Sections = append(s.Sections, learnedPart(p))
		}
	}
	return s
}

func learnedHead(run Run, parts []LearnedPart, overlay string, left []string) Section {
	moved := 0
	for i := range parts {
		if f := parts[i].Fit; f != nil && f.Status == cohort.Learned {
			moved++
		}
	}
	sec := Section{Paragraphs: []say.Text{
		say.F("The records up to %s say something of %d of %s. The catalogue's curves are the prior, each with its weight in equivalent failures.", say.Day(run.Day), moved, say.Count(len(parts), "part", "parts")),
		say.F("Nothing changes by this: %s holds what was learned. Read what follows, then list the file in the job's catalogue, after the files that it overrides.", overlay),
	}}
	if len(left) > 0 {
		sec.Paragraphs = append(sec.Paragraphs, say.F("Left out of the prior, since it was learned from the same records: %s.", say.And(plain(left)...)))
	}
	t := Table{Heads: []say.Text{say.F("Part"), say.F("Lives"), say.F("Failures"), say.F("Found worn"), say.F("Run, in thousands"), say.F("Half failed by: before"), say.F("after"), say.F("Weight before"), say.F("after")}}
	for i := range parts {
		t.Rows = append(t.Rows, learnedRow(&parts[i]))
	}
	sec.Tables = []Table{t}
	return sec
}

func learnedRow(p *LearnedPart) []Cell {
	if p.Fit == nil {
		return []Cell{Say(say.Plain(p.Weak.Name)), Say(say.F("no fit")), Say(say.Text{}), Say(say.Text{}), Say(say.Text{}), Say(say.Text{}), Say(say.Text{}), Figure(p.Weak.Weight), Say(say.Text{})}
	}
	f, c := p.Fit, &p.Fit.Counts
	name := say.F("%s (%s)", p.Weak.Name, unit(p.Weak.Axis))
	return []Cell{Say(name), Count(c.Lives), Count(c.Failures), Count(c.WornFindings), Figure(c.Exposure / 1000),
		Figure(halfFailed(f, false)), Figure(halfFailed(f, true)), Figure(f.Old.Weight), Figure(f.New.Weight)}
}

// halfFailed is the distance by which half of the weak population has failed,
// read off the fit's own band; no number where it lies beyond.
func halfFailed(f *cohort.Fit, after bool) float64 {
	before := cohort.Point{}
	for _, p := range f.Band {
		now, then := p.OldFailed, before.OldFailed
		if after {
			now, then = p.Failed, before.Failed
		}
		if now >= 0.5 {
			if now == then {
				return p.Distance
			}
			return before.Distance + (p.Distance-before.Distance)*(0.5-then)/(now-then)
		}
		before = p
	}
	return math.NaN()
}

func learnedPart(p *LearnedPart) Section {
	sec := Section{Heading: say.Plain(p.Weak.Name), NewPage: true}
	if p.Err != nil {
		sec.Paragraphs = []say.Text{say.F("No curve could be learned, the catalogue's stays: %s.", p.Err)}
		return sec
	}
	f := p.Fit
	sec.Paragraphs = append(sec.Paragraphs, livesSentence(f), endSentence(f))
	if s := unknownSentence(f); !s.Empty() {
		sec.Paragraphs = append(sec.Paragraphs, s)
	}
	for _, w := range f.Warnings {
		sec.Paragraphs = append(sec.Paragraphs, say.F("Mind: %s.", w))
	}
	if f.Status == cohort.Learned {
		sec.Tables = append(sec.Tables, parameterTable(f))
		sec.Charts = append(sec.Charts, failedChart(f))
	}
	if f.Goodness != nil {
		sec.Paragraphs = append(sec.Paragraphs, goodnessSentence(f.Goodness))
		sec.Tables = append(sec.Tables, goodnessTable(f))
	}
	if t, ok := rateTable(f); ok {
		sec.Paragraphs = append(sec.Paragraphs, say.F("Somebody opened the part in %s and said what was found; the rates below count these only. Where it was opened because of the very sign, the counts lean that way, and nothing here can tell.", lives(f.Counts.Openings)))
		sec.Tables = append(sec.Tables, t)
	}
	return sec
}

// livesSentence accounts for every life.
func livesSentence(f *cohort.Fit) say.Text {
	c := &f.Counts
	out := []say.Text{say.F("%s with %s of the part, %s run in those used: %d still running, %d failed, %d found worn, %d renewed as planned, %d renewed for no stated cause. Inspections that found nothing: %d.",
		say.Count(c.Vehicles, "vehicle", "vehicles"), lives(c.Lives), amount(c.Exposure, f.Weak.Axis), c.Running, c.Failures, c.WornFindings, c.Planned, c.Unknown, c.Clean)}
	if c.LateRecords > 0 {
		out = append(out, say.F("The records of %d begin late.", c.LateRecords))
	}
	if c.Open > 0 {
		out = append(out, say.One(c.Open, say.F("Whether 1 vehicle has the weak part is not known; the share that does is estimated with the rest."),
			say.F("Whether %d vehicles have the weak part is not known; the share that does is estimated with the rest.", c.Open)))
	}
	return say.Join(" ", out...)
}

// lives writes "1 life", "3 lives".
func lives(n int) say.Text {
	return say.Count(n, "life", "lives")
}

// endSentence says how the fit ended.
func endSentence(f *cohort.Fit) say.Text {
	if f.Status != cohort.Learned {
		return say.F("The curves stay the catalogue's.")
	}
	return say.F("The search ended at a maximum. The records' log-likelihood is %s with the new curves, %s with the catalogue's.", say.Figure(f.LogLik), say.Figure(f.OldLogLik))
}

// unknownSentence says what renewals of unknown cause could do to the curve.
func unknownSentence(f *cohort.Fit) say.Text {
	if f.Unknown == nil {
		return say.Text{}
	}
	words := func(c *cohort.Curves) say.Text {
		if c == nil {
			return say.F("no curve")
		}
		return say.F("half worn by %s, half of those failed within a further %s", amount(c.Onset.Quantile(0.5), f.Weak.Axis), amount(c.Delay.Quantile(0.5), f.Weak.Axis))
	}
	return say.F("If every renewal without a stated cause had been a failure: %s; if none had: %s. Texts that say why a part was renewed would close the gap.",
		words(f.Unknown.AllFailed), words(f.Unknown.NoneFailed))
}

func parameterTable(f *cohort.Fit) Table {
	t := Table{Heads: []say.Text{say.F("Curve"), say.F("Value"), say.F("Catalogue"), say.F("Learned"), say.F("80 %% from"), say.F("to"), say.F("Told by the records")}}
	for _, p := range f.Parameters {
		name, shown := naturalOf(p.Name)
		t.Rows = append(t.Rows, []Cell{Say(cohort.CurveName(p.Curve)), Say(parameterName(name)), shown(p.Prior), shown(p.Value),
			shown(p.Value - tenthNormal*p.SD), shown(p.Value + tenthNormal*p.SD), Portion(p.Told)})
	}
	return t
}

// tenthNormal is the standard normal's 90th percentile.
const tenthNormal = 1.2815515655446004

// naturalOf takes a parameter of the working scale to its own.
func naturalOf(name string) (string, func(float64) Cell) {
	switch {
	case strings.HasPrefix(name, "logit "):
		return strings.TrimPrefix(name, "logit "), func(x float64) Cell { return Portion(1 / (1 + math.Exp(-x))) }
	case strings.HasPrefix(name, "ln "):
		return strings.TrimPrefix(name, "ln "), func(x float64) Cell { return Figure(math.Exp(x)) }
	}
	return name, Figure
}

// parameterName names a parameter on its own scale.
func parameterName(name string) say.Text {
	switch name {
	case "scale":
		return say.F("scale")
	case "shape":
		return say.F("shape")
	case "mean":
		return say.F("mean")
	case "factor":
		return say.F("factor")
	case "mu":
		return say.F("mu")
	case "sigma":
		return say.F("sigma")
	case "share":
		return say.F("share")
	}
	return say.Plain(name)
}

func goodnessSentence(g *cohort.Goodness) say.Text {
	s := say.F("Held against the records in bands of distance: seen and expected differ by a chi-square of %s, which the new curves give in %s of fleets or more.", significant(g.ChiSquare), say.Percent(g.P))
	if g.P < 0.05 {
		s = say.Join(" ", s, say.F("That is little: curve and records part; look at the bands."))
	}
	return s
}

func goodnessTable(f *cohort.Fit) Table {
	t := Table{Heads: []say.Text{say.F("Run, %s", unit(f.Weak.Axis)), say.F("up to"), say.F("Failures seen"), say.F("expected"), say.F("Inspections"), say.F("Found worn"), say.F("expected")}}
	for _, b := range f.Goodness.Bands {
		t.Rows = append(t.Rows, []Cell{Whole(b.Low), Whole(b.High), Whole(b.Failures), Figure(b.ExpectedFailures), Whole(b.Inspections), Whole(b.Found), Figure(b.ExpectedFound)})
	}
	return t
}

// rateTable lists the rules that some opening could have seen speak.
func rateTable(f *cohort.Fit) (Table, bool) {
	t := Table{Heads: []say.Text{say.F("Sign"), say.F("Worn: spoke"), say.F("of"), say.F("rate before"), say.F("after"), say.F("Not worn: spoke"), say.F("of"), say.F("rate before"), say.F("after")}}
	for _, r := range f.Rates {
		if r.Worn.Openings+r.NotWorn.Openings == 0 {
			continue
		}
		t.Rows = append(t.Rows, []Cell{Say(RuleName(f.Weak, r.Group, r.Rule)),
			Count(r.Worn.Spoke), Count(r.Worn.Openings), Portion(r.Worn.Old), Portion(r.Worn.New),
			Count(r.NotWorn.Spoke), Count(r.NotWorn.Openings), Portion(r.NotWorn.Old), Portion(r.NotWorn.New)})
	}
	return t, len(t.Rows) > 0
}

// RuleName names a rule by its group and its id, or its number in the group.
func RuleName(p *score.WeakPart, group, rule int) say.Text {
	g := &p.Evidence[group]
	if id := g.Rules[rule].ID; id != "" {
		return say.Plain(g.Name + ": " + id)
	}
	return say.F("%s, rule %d", g.Name, rule+1)
}

// failedChart draws the share failed by distance: before, after with its band,
// and what was seen without any curve.
func failedChart(f *cohort.Fit) Chart {
	c := Chart{Title: say.F("%s: share failed by distance, of those that have the weak part", f.Weak.Name), X: unit(f.Weak.Axis), InPercent: true}
	line := func(name say.Text, s Stroke, hue int, y func(p *cohort.Point) float64) {
		one := Series{Name: name, Stroke: s, Hue: hue}
		for i := range f.Band {
			one.Points = append(one.Points, XY{f.Band[i].Distance, y(&f.Band[i])})
		}
		c.Series = append(c.Series, one)
	}
	line(say.F("catalogue"), Line, 1, func(p *cohort.Point) float64 { return p.OldFailed })
	line(say.F("learned"), Line, 0, func(p *cohort.Point) float64 { return p.Failed })
	line(say.F("80 %% band, low"), Dashes, 0, func(p *cohort.Point) float64 { return p.FailedLow })
	line(say.F("80 %% band, high"), Dashes, 0, func(p *cohort.Point) float64 { return p.FailedTop })
	if f.Observed != nil {
		c.Series = append(c.Series, Series{Name: say.F("records alone"), Stroke: Stairs, Hue: 2, Points: stepsOf(f.Observed.Steps)})
	}
	return c
}

func stepsOf(s *life.Steps) []XY {
	out := []XY{{s.From, 0}}
	for _, st := range s.Steps {
		if st.Events > 0 {
			out = append(out, XY{st.Time, 1 - st.Survival})
		}
	}
	return out
}

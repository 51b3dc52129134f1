package report

import (
	"fmt"
	"math"
	"strings"

	"pitlist/score"
	"pitlist/score/cohort"
	"pitlist/score/life"
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
	s := &Study{Run: run, Title: "Learned from the records: " + run.Job + ", " + date(run.Day)}
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
	sec := Section{Paragraphs: []string{
		fmt.Sprintf("The records up to %s say something of %d of %s. The catalogue's curves are the prior, each with its weight in equivalent failures.", date(run.Day), moved, counted(len(parts), "part")),
		"Nothing changes by this: " + overlay + " holds what was learned. Read what follows, then list the file in the job's catalogue, after the files that it overrides.",
	}}
	if len(left) > 0 {
		sec.Paragraphs = append(sec.Paragraphs, "Left out of the prior, since it was learned from the same records: "+joined(left)+".")
	}
	t := Table{Heads: []string{"Part", "Lives", "Failures", "Found worn", "Run, in thousands", "Half failed by: before", "after", "Weight before", "after"}}
	for i := range parts {
		t.Rows = append(t.Rows, learnedRow(&parts[i]))
	}
	sec.Tables = []Table{t}
	return sec
}

func learnedRow(p *LearnedPart) []Cell {
	if p.Fit == nil {
		return []Cell{Say(p.Weak.Name), Say("no fit"), Say(""), Say(""), Say(""), Say(""), Say(""), Figure(p.Weak.Weight), Say("")}
	}
	f, c := p.Fit, &p.Fit.Counts
	unit := " (" + p.Weak.Axis.Unit() + ")"
	return []Cell{Say(p.Weak.Name + unit), Count(c.Lives), Count(c.Failures), Count(c.WornFindings), Figure(c.Exposure / 1000),
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
	sec := Section{Heading: p.Weak.Name}
	if p.Err != nil {
		sec.Paragraphs = []string{"No curve could be learned, the catalogue's stays: " + p.Err.Error() + "."}
		return sec
	}
	f := p.Fit
	sec.Paragraphs = append(sec.Paragraphs, livesSentence(f), endSentence(f))
	if s := unknownSentence(f); s != "" {
		sec.Paragraphs = append(sec.Paragraphs, s)
	}
	for _, w := range f.Warnings {
		sec.Paragraphs = append(sec.Paragraphs, "Mind: "+w.Error()+".")
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
		sec.Paragraphs = append(sec.Paragraphs, fmt.Sprintf("Somebody opened the part in %s and said what was found; the rates below count these only. Where it was opened because of the very sign, the counts lean that way, and nothing here can tell.", lives(f.Counts.Openings)))
		sec.Tables = append(sec.Tables, t)
	}
	return sec
}

// livesSentence accounts for every life.
func livesSentence(f *cohort.Fit) string {
	c := &f.Counts
	s := fmt.Sprintf("%s with %s of the part, %s run in those used: %d still running, %d failed, %d found worn, %d renewed as planned, %d renewed for no stated cause. Inspections that found nothing: %d.",
		counted(c.Vehicles, "vehicle"), lives(c.Lives), Amount(c.Exposure, f.Weak.Axis), c.Running, c.Failures, c.WornFindings, c.Planned, c.Unknown, c.Clean)
	if c.LateRecords > 0 {
		s += fmt.Sprintf(" The records of %d begin late.", c.LateRecords)
	}
	if c.Open > 0 {
		s += fmt.Sprintf(" Whether %s have the weak part is not known; the share that does is estimated with the rest.", counted(c.Open, "vehicle"))
	}
	return s
}

// lives writes "1 life", "3 lives".
func lives(n int) string {
	if n == 1 {
		return "1 life"
	}
	return grouped(float64(n)) + " lives"
}

// endSentence says how the fit ended.
func endSentence(f *cohort.Fit) string {
	if f.Status != cohort.Learned {
		return "The curves stay the catalogue's."
	}
	return fmt.Sprintf("The search ended at a maximum. The records' log-likelihood is %.6g with the new curves, %.6g with the catalogue's.", f.LogLik, f.OldLogLik)
}

// unknownSentence says what renewals of unknown cause could do to the curve.
func unknownSentence(f *cohort.Fit) string {
	if f.Unknown == nil {
		return ""
	}
	say := func(c *cohort.Curves) string {
		if c == nil {
			return "no curve"
		}
		return "half worn by " + Amount(c.Onset.Quantile(0.5), f.Weak.Axis) + ", half of those failed within a further " + Amount(c.Delay.Quantile(0.5), f.Weak.Axis)
	}
	return "If every renewal without a stated cause had been a failure: " + say(f.Unknown.AllFailed) + "; if none had: " + say(f.Unknown.NoneFailed) +
		". Texts that say why a part was renewed would close the gap."
}

func parameterTable(f *cohort.Fit) Table {
	t := Table{Heads: []string{"Curve", "Value", "Catalogue", "Learned", "80 % from", "to", "Told by the records"}}
	for _, p := range f.Parameters {
		name, shown := naturalOf(p.Name)
		t.Rows = append(t.Rows, []Cell{Say(p.Curve), Say(name), shown(p.Prior), shown(p.Value),
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

func goodnessSentence(g *cohort.Goodness) string {
	s := fmt.Sprintf("Held against the records in bands of distance: seen and expected differ by a chi-square of %.3g, which the new curves give in %s of fleets or more.", g.ChiSquare, Percent(g.P))
	if g.P < 0.05 {
		s += " That is little: curve and records part; look at the bands."
	}
	return s
}

func goodnessTable(f *cohort.Fit) Table {
	unit := f.Weak.Axis.Unit()
	t := Table{Heads: []string{"Run, " + unit, "up to", "Failures seen", "expected", "Inspections", "Found worn", "expected"}}
	for _, b := range f.Goodness.Bands {
		t.Rows = append(t.Rows, []Cell{Whole(b.Low), Whole(b.High), Whole(b.Failures), Figure(b.ExpectedFailures), Whole(b.Inspections), Whole(b.Found), Figure(b.ExpectedFound)})
	}
	return t
}

// rateTable lists the rules that some opening could have seen speak.
func rateTable(f *cohort.Fit) (Table, bool) {
	t := Table{Heads: []string{"Sign", "Worn: spoke", "of", "rate before", "after", "Not worn: spoke", "of", "rate before", "after"}}
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
func RuleName(p *score.WeakPart, group, rule int) string {
	g := &p.Evidence[group]
	if id := g.Rules[rule].ID; id != "" {
		return g.Name + ": " + id
	}
	return fmt.Sprintf("%s, rule %d", g.Name, rule+1)
}

// failedChart draws the share failed by distance: before, after with its band,
// and what was seen without any curve.
func failedChart(f *cohort.Fit) Chart {
	c := Chart{Title: f.Weak.Name + ": share failed by distance, of those that have the weak part", X: f.Weak.Axis.Unit(), Y: "", InPercent: true}
	line := func(name string, s Stroke, hue int, y func(p *cohort.Point) float64) {
		one := Series{Name: name, Stroke: s, Hue: hue}
		for i := range f.Band {
			one.Points = append(one.Points, XY{f.Band[i].Distance, y(&f.Band[i])})
		}
		c.Series = append(c.Series, one)
	}
	line("catalogue", Line, 1, func(p *cohort.Point) float64 { return p.OldFailed })
	line("learned", Line, 0, func(p *cohort.Point) float64 { return p.Failed })
	line("80 % band, low", Dashes, 0, func(p *cohort.Point) float64 { return p.FailedLow })
	line("80 % band, high", Dashes, 0, func(p *cohort.Point) float64 { return p.FailedTop })
	if f.Observed != nil {
		c.Series = append(c.Series, Series{Name: "records alone", Stroke: Stairs, Hue: 2, Points: stepsOf(f.Observed.Steps)})
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

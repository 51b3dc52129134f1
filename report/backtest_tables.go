package report

import (
	"fmt"

	"pitlist/score/backtest"
)

// What is forecast.
const (
	ofFailures = "failures"
	ofWorn     = "worn findings"
)

// bands is expected against counted, with the calibration chart.
func (b *pastLists) bands(head, what string, f *backtest.Forecasts) Section {
	s := Section{Heading: head}
	if f.N == 0 {
		s.Paragraphs = []string{"There were none to count."}
		return s
	}
	s.Paragraphs = []string{b.onOrderOf(what, f)}
	t := Table{Heads: []string{"Forecast", "Forecasts", "Expected", "Counted", "No surprise from", "to", "Verdict"}}
	for i := range f.Bands {
		t.Rows = append(t.Rows, bandCells(bandName(&f.Bands[i]), &f.Bands[i]))
	}
	t.Rows = append(t.Rows, []Cell{Say("all"), Count(f.N), Figure(f.Expected), Count(f.Observed), Count(f.Low), Count(f.High), Say(verdict(f))})
	s.Tables = []Table{t}
	s.Charts = []Chart{calibration(what, f)}
	return s
}

// onOrderOf says how well the forecasts order and how far they are right.
func (b *pastLists) onOrderOf(what string, f *backtest.Forecasts) string {
	s := "The limits are exact for the forecasts of each band (95 %); one band in twenty falls outside by chance."
	if c := f.Concordance; c != nil {
		s += fmt.Sprintf(" Of two parts, one with and one without, the one with had the higher forecast in %s of pairs (half would be chance).", Percent(c.Value))
	}
	if r := f.Brier; r != nil {
		s += fmt.Sprintf(" The Brier score is %s; forecasting the base rate throughout, which is known only afterwards, scores %s. Lower is better: %s.", Figure(r.Score), Figure(r.Uncertainty), skill(r))
	}
	return s
}

func skill(r *backtest.Brier) string {
	if r.Skill <= 0 {
		return "the forecasts do not beat it"
	}
	return "the forecasts take away " + Percent(r.Skill) + " of it"
}

func bandName(x *backtest.Band) string {
	return Percent(x.From) + " to " + Percent(x.To)
}

func bandCells(name string, x *backtest.Band) []Cell {
	verdict := "within"
	if x.Observed < x.Low || x.Observed > x.High {
		verdict = "outside"
	}
	return []Cell{Say(name), Count(x.N), Figure(x.Expected), Count(x.Observed), Count(x.Low), Count(x.High), Say(verdict)}
}

// calibration draws what came against what was forecast, a point a band, with
// the limits of the count and the line of forecasts that are right.
func calibration(what string, f *backtest.Forecasts) Chart {
	counted := Series{Name: "counted", Hue: 1}
	low, high := Series{Name: "no surprise from", Stroke: Dashes}, Series{Name: "no surprise to", Stroke: Dashes}
	right := Series{Name: "as forecast", Stroke: Line, Hue: 2, Points: []XY{{}}}
	for i := range f.Bands {
		x := &f.Bands[i]
		n := float64(x.N)
		mean := x.Expected / n
		counted.Points = append(counted.Points, XY{mean, float64(x.Observed) / n})
		low.Points = append(low.Points, XY{mean, float64(x.Low) / n})
		high.Points = append(high.Points, XY{mean, float64(x.High) / n})
		right.Points = append(right.Points, XY{mean, mean})
	}
	wide := what == ofWorn // over the whole range; chances of failing are mostly small
	return Chart{Title: "Calibration: " + what + " forecast and counted, by band", X: "forecast, mean of the band", Y: "share that came",
		Square: wide, Shares: !wide, Series: []Series{right, low, high, counted}}
}

// parts is the judgement of each part.
func (b *pastLists) parts() Section {
	t := Table{Heads: []string{"Part", "Vehicle-parts judged", "Failures expected", "Counted", "No surprise from", "to", "Above the line", "Pairs in order", "Verdict"}}
	w := Table{Heads: []string{"Part", "Workshop's looks", "Worn expected", "Found", "No surprise from", "to", "Renewed, cause not told", "Pairs in order", "Verdict"}}
	for _, j := range b.rows() {
		f, g := &j.Failures, &j.Worn
		t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Count(j.Pairs), Figure(f.Expected), Count(f.Observed), Count(f.Low), Count(f.High), Count(j.Above), order(f), Say(verdict(f))})
		w.Rows = append(w.Rows, []Cell{Say(b.nameOf(j)), Count(g.N), Figure(g.Expected), Count(g.Observed), Count(g.Low), Count(g.High), Count(j.Unknown), order(g), Say(verdict(g))})
	}
	enough := b.Result.All.Failures.Need.Enough
	return Section{Heading: "Part by part", Tables: []Table{t, w}, Paragraphs: []string{fmt.Sprintf(
		"“Too few” stands where fewer than %s are expected and the count is within its limits: with so many, a count half as large again is told from chance 8 times in 10 (a Poisson count's square root varies by one half: Bartlett 1936; the reckoning of Breslow & Day 1987, section 7.3, from memory). A count outside its limits says something however few there are.", trimmed1(enough))}}
}

// rows are the judgements to show: each part's, then all.
func (b *pastLists) rows() []*backtest.Judgement {
	var out []*backtest.Judgement
	for i := range b.Result.Parts {
		out = append(out, &b.Result.Parts[i])
	}
	return append(out, &b.Result.All)
}

func (b *pastLists) nameOf(j *backtest.Judgement) string {
	if j.Part < 0 {
		return "all"
	}
	return b.Catalogue.Parts[j.Part].Name
}

func order(f *backtest.Forecasts) Cell {
	if f.Concordance == nil {
		return Say("")
	}
	return Portion(f.Concordance.Value)
}

// partWays is the list and the plain rules for each part.
func (b *pastLists) partWays() Section {
	cur := b.Run.Currency
	t := Table{Heads: []string{"Part", "Way of choosing", "Parts opened", "Failed by the next list", "Avoided, " + cur, "List ahead by, failures", "List ahead by, " + cur, "low, " + cur, "high, " + cur}}
	for i := range b.Result.Parts {
		j := &b.Result.Parts[i]
		for k := range j.Ways {
			y := &j.Ways[k]
			row := []Cell{Say(b.nameOf(j)), Say(y.Name), Count(y.Parts), Count(y.Failed), Whole(y.Avoided)}
			if k > 0 {
				v := &j.Versus[k-1]
				row = append(row, Say(fmt.Sprintf("%.0f (%.0f to %.0f)", v.Failed.Value, v.Failed.Low, v.Failed.High)), Whole(v.Avoided.Value), Whole(v.Avoided.Low), Whole(v.Avoided.High))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return Section{Heading: "The list and three plain rules, part by part", Tables: []Table{t}, Paragraphs: []string{
		"The cost of a look at several parts is divided by the hours that each would take alone. In brackets, and low and high: 95 % intervals, paired."}}
}

// partsInShort is the parts for the page of text.
func (b *pastLists) partsInShort() Section {
	t := Table{Heads: []string{"Part", "failed", "expected", "above line", "verdict", "worn", "expected", "looks", "verdict"}}
	for _, j := range b.rows() {
		f, g := &j.Failures, &j.Worn
		t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Count(f.Observed), Figure(f.Expected), Count(j.Above), Say(verdict(f)),
			Count(g.Observed), Figure(g.Expected), Count(g.N), Say(verdict(g))})
	}
	return Section{Heading: "Part by part", Tables: []Table{t}}
}

// brier is the score with its parts.
func (b *pastLists) brier() Section {
	t := Table{Heads: []string{"Part", "What", "Brier score", "Reliability", "Resolution", "Within bands", "Base rate's score", "Better by"}}
	for _, j := range b.rows() {
		for _, x := range []struct {
			what string
			f    *backtest.Forecasts
		}{{ofFailures, &j.Failures}, {"worn", &j.Worn}} {
			if r := x.f.Brier; r != nil {
				t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Say(x.what), Figure(r.Score), Figure(r.Reliability), Figure(r.Resolution), Figure(r.Within), Figure(r.Uncertainty), Portion(max(0, r.Skill))})
			}
		}
	}
	return Section{Heading: "Brier score", Tables: []Table{t}, Paragraphs: []string{
		"The mean squared error of the forecasts: reliability (how far the bands lie from what came of them; 0 is best) less resolution (how far the bands differ from each other; more is better), plus the base rate's score and what differs within the bands (Murphy 1973; Stephenson, Coelho & Jolliffe 2008, from memory)."}}
}

// lists is a line for each list.
func (b *pastLists) lists() Section {
	t := Table{Heads: []string{"List of", "Vehicles known", "Listed", "Opened", "Hours", "Failures expected", "Counted", "Above the line", "Found worn by the workshop"}}
	for i := range b.Result.Days {
		d := &b.Result.Days[i]
		t.Rows = append(t.Rows, []Cell{Say(date(d.Day)), Count(d.Vehicles), Count(d.Listed), Count(d.Above), Figure(d.Hours), Figure(d.Expected), Count(d.Failures), Count(d.FailAbove), Count(d.FoundWorn)})
	}
	return Section{Heading: "List by list", Tables: []Table{t}}
}

// partBands is the bands of each part.
func (b *pastLists) partBands() Section {
	s := Section{Heading: "Bands, part by part"}
	for i := range b.Result.Parts {
		j := &b.Result.Parts[i]
		for _, x := range []struct {
			what string
			f    *backtest.Forecasts
		}{{ofFailures, &j.Failures}, {ofWorn, &j.Worn}} {
			if x.f.N == 0 {
				continue
			}
			t := Table{Heads: []string{b.nameOf(j) + ": " + x.what, "Forecasts", "Expected", "Counted", "No surprise from", "to", "Verdict"}}
			for k := range x.f.Bands {
				t.Rows = append(t.Rows, bandCells(bandName(&x.f.Bands[k]), &x.f.Bands[k]))
			}
			s.Tables = append(s.Tables, t)
		}
	}
	return s
}

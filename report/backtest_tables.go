package report

import (
	"pitlist/score/backtest"
	"pitlist/score/say"
)

// What is forecast.
var (
	ofFailures = say.F("failures")
	ofWorn     = say.F("worn findings")
)

// bands is expected against counted, with the calibration chart.
func (b *pastLists) bands(head, what say.Text, worn bool, f *backtest.Forecasts) Section {
	s := Section{Heading: head}
	if f.N == 0 {
		s.Paragraphs = []say.Text{say.F("There were none to count.")}
		return s
	}
	s.Paragraphs = []say.Text{b.onOrderOf(what, f)}
	t := Table{Heads: []say.Text{say.F("Forecast"), say.F("Forecasts"), say.F("Expected"), say.F("Counted"), say.F("No surprise from"), say.F("to"), say.F("Verdict")}}
	for i := range f.Bands {
		t.Rows = append(t.Rows, bandCells(bandName(&f.Bands[i]), &f.Bands[i]))
	}
	t.Rows = append(t.Rows, []Cell{Say(say.F("all")), Count(f.N), Figure(f.Expected), Count(f.Observed), Count(f.Low), Count(f.High), Say(verdict(f).words())})
	s.Tables = []Table{t}
	s.Charts = []Chart{calibration(what, worn, f)}
	return s
}

// onOrderOf says how well the forecasts order and how far they are right.
func (b *pastLists) onOrderOf(what say.Text, f *backtest.Forecasts) say.Text {
	out := []say.Text{say.F("The limits are exact for the forecasts of each band (95 %%); one band in twenty falls outside by chance.")}
	if c := f.Concordance; c != nil {
		out = append(out, say.F("Of two parts, one with and one without, the one with had the higher forecast in %s of pairs (half would be chance).", say.Percent(c.Value)))
	}
	if r := f.Brier; r != nil {
		out = append(out, say.F("The Brier score is %s; forecasting the base rate throughout, which is known only afterwards, scores %s. Lower is better: %s.", significant(r.Score), significant(r.Uncertainty), skill(r)))
	}
	return say.Join(" ", out...)
}

func skill(r *backtest.Brier) say.Text {
	if r.Skill <= 0 {
		return say.F("the forecasts do not beat it")
	}
	return say.F("the forecasts take away %s of it", say.Percent(r.Skill))
}

func bandName(x *backtest.Band) say.Text {
	return say.F("%s to %s", say.Percent(x.From), say.Percent(x.To))
}

func bandCells(name say.Text, x *backtest.Band) []Cell {
	verdict := say.F("within")
	if x.Observed < x.Low || x.Observed > x.High {
		verdict = say.F("outside")
	}
	return []Cell{Say(name), Count(x.N), Figure(x.Expected), Count(x.Observed), Count(x.Low), Count(x.High), Say(verdict)}
}

// calibration draws what came against what was forecast, a point a band, with
// the limits of the count and the line of forecasts that are right.
func calibration(what say.Text, worn bool, f *backtest.Forecasts) Chart {
	counted := Series{Name: say.F("counted"), Hue: 1}
	low, high := Series{Name: say.F("no surprise from"), Stroke: Dashes}, Series{Name: say.F("no surprise to"), Stroke: Dashes}
	right := Series{Name: say.F("as forecast"), Stroke: Line, Hue: 2, Points: []XY{{}}}
	for i := range f.Bands {
		x := &f.Bands[i]
		n := float64(x.N)
		mean := x.Expected / n
		counted.Points = append(counted.Points, XY{mean, float64(x.Observed) / n})
		low.Points = append(low.Points, XY{mean, float64(x.Low) / n})
		high.Points = append(high.Points, XY{mean, float64(x.High) / n})
		right.Points = append(right.Points, XY{mean, mean})
	}
	wide := worn // over the whole range; chances of failing are mostly small
	return Chart{Title: say.F("Calibration: %s forecast and counted, by band", what), X: say.F("forecast, mean of the band"), Y: say.F("share that came"),
		Square: wide, Shares: !wide, Series: []Series{right, low, high, counted}}
}

// parts is the judgement of each part.
func (b *pastLists) parts() Section {
	t := Table{Heads: []say.Text{say.F("Part"), say.F("Vehicle-parts judged"), say.F("Failures expected"), say.F("Counted"), say.F("No surprise from"), say.F("to"), say.F("Above the line"), say.F("Pairs in order"), say.F("Verdict")}}
	w := Table{Heads: []say.Text{say.F("Part"), say.F("Workshop's looks"), say.F("Worn expected"), say.F("Found"), say.F("No surprise from"), say.F("to"), say.F("Renewed, cause not told"), say.F("Pairs in order"), say.F("Verdict")}}
	for _, j := range b.rows() {
		f, g := &j.Failures, &j.Worn
		t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Count(j.Pairs), Figure(f.Expected), Count(f.Observed), Count(f.Low), Count(f.High), Count(j.Above), order(f), Say(verdict(f).words())})
		w.Rows = append(w.Rows, []Cell{Say(b.nameOf(j)), Count(g.N), Figure(g.Expected), Count(g.Observed), Count(g.Low), Count(g.High), Count(j.Unknown), order(g), Say(verdict(g).words())})
	}
	enough := b.Result.All.Failures.Need.Enough
	return Section{Heading: say.F("Part by part"), Tables: []Table{t, w}, Paragraphs: []say.Text{say.F(
		"“Too few” stands where fewer than %s are expected and the count is within its limits: with so many, a count half as large again is told from chance 8 times in 10 (a Poisson count's square root varies by one half: Bartlett 1936; the reckoning of Breslow & Day 1987, section 7.3, from memory). A count outside its limits says something however few there are.", say.Tenth(enough))}}
}

// rows are the judgements to show: each part's, then all.
func (b *pastLists) rows() []*backtest.Judgement {
	var out []*backtest.Judgement
	for i := range b.Result.Parts {
		out = append(out, &b.Result.Parts[i])
	}
	return append(out, &b.Result.All)
}

func (b *pastLists) nameOf(j *backtest.Judgement) say.Text {
	if j.Part < 0 {
		return say.F("all")
	}
	return say.Plain(b.Catalogue.Parts[j.Part].Name)
}

func order(f *backtest.Forecasts) Cell {
	if f.Concordance == nil {
		return Say(say.Text{})
	}
	return Portion(f.Concordance.Value)
}

// partWays is the list and the plain rules for each part.
func (b *pastLists) partWays() Section {
	cur := b.Run.Currency
	t := Table{Heads: []say.Text{say.F("Part"), say.F("Way of choosing"), say.F("Parts opened"), say.F("Failed by the next list"), say.F("Avoided, %s", cur), say.F("List ahead by, failures"), say.F("List ahead by, %s", cur), say.F("low, %s", cur), say.F("high, %s", cur)}}
	for i := range b.Result.Parts {
		j := &b.Result.Parts[i]
		for k := range j.Ways {
			y := &j.Ways[k]
			row := []Cell{Say(b.nameOf(j)), Say(wayWords(y.Name)), Count(y.Parts), Count(y.Failed), Whole(y.Avoided)}
			if k > 0 {
				v := &j.Versus[k-1]
				row = append(row, Say(say.F("%s (%s to %s)", say.Whole(v.Failed.Value), say.Whole(v.Failed.Low), say.Whole(v.Failed.High))), Whole(v.Avoided.Value), Whole(v.Avoided.Low), Whole(v.Avoided.High))
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return Section{Heading: say.F("The list and three plain rules, part by part"), Tables: []Table{t}, Paragraphs: []say.Text{
		say.F("The cost of a look at several parts is divided by the hours that each would take alone. In brackets, and low and high: 95 %% intervals, paired.")}}
}

// partsInShort is the parts for the page of text.
func (b *pastLists) partsInShort() Section {
	t := Table{Heads: []say.Text{say.F("Part"), say.F("failed"), say.F("expected"), say.F("above line"), say.F("verdict"), say.F("worn"), say.F("expected"), say.F("looks"), say.F("verdict")}}
	for _, j := range b.rows() {
		f, g := &j.Failures, &j.Worn
		t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Count(f.Observed), Figure(f.Expected), Count(j.Above), Say(verdict(f).words()),
			Count(g.Observed), Figure(g.Expected), Count(g.N), Say(verdict(g).words())})
	}
	return Section{Heading: say.F("Part by part"), Tables: []Table{t}}
}

// brier is the score with its parts.
func (b *pastLists) brier() Section {
	t := Table{Heads: []say.Text{say.F("Part"), say.F("What"), say.F("Brier score"), say.F("Reliability"), say.F("Resolution"), say.F("Within bands"), say.F("Base rate's score"), say.F("Better by")}}
	for _, j := range b.rows() {
		for _, x := range []struct {
			what say.Text
			f    *backtest.Forecasts
		}{{ofFailures, &j.Failures}, {say.F("worn"), &j.Worn}} {
			if r := x.f.Brier; r != nil {
				t.Rows = append(t.Rows, []Cell{Say(b.nameOf(j)), Say(x.what), Figure(r.Score), Figure(r.Reliability), Figure(r.Resolution), Figure(r.Within), Figure(r.Uncertainty), Portion(max(0, r.Skill))})
			}
		}
	}
	return Section{Heading: say.F("Brier score"), Tables: []Table{t}, Paragraphs: []say.Text{
		say.F("The mean squared error of the forecasts: reliability (how far the bands lie from what came of them; 0 is best) less resolution (how far the bands differ from each other; more is better), plus the base rate's score and what differs within the bands (Murphy 1973; Stephenson, Coelho & Jolliffe 2008, from memory).")}}
}

// lists is a line for each list.
func (b *pastLists) lists() Section {
	t := Table{Heads: []say.Text{say.F("List of"), say.F("Vehicles known"), say.F("Listed"), say.F("Opened"), say.F("Hours"), say.F("Failures expected"), say.F("Counted"), say.F("Above the line"), say.F("Found worn by the workshop")}}
	for i := range b.Result.Days {
		d := &b.Result.Days[i]
		t.Rows = append(t.Rows, []Cell{Say(say.Of(say.Day(d.Day))), Count(d.Vehicles), Count(d.Listed), Count(d.Above), Figure(d.Hours), Figure(d.Expected), Count(d.Failures), Count(d.FailAbove), Count(d.FoundWorn)})
	}
	return Section{Heading: say.F("List by list"), Tables: []Table{t}}
}

// partBands is the bands of each part.
func (b *pastLists) partBands() Section {
	s := Section{Heading: say.F("Bands, part by part")}
	for i := range b.Result.Parts {
		j := &b.Result.Parts[i]
		for _, x := range []struct {
			what say.Text
			f    *backtest.Forecasts
		}{{ofFailures, &j.Failures}, {ofWorn, &j.Worn}} {
			if x.f.N == 0 {
				continue
			}
			t := Table{Heads: []say.Text{say.F("%s: %s", b.nameOf(j), x.what), say.F("Forecasts"), say.F("Expected"), say.F("Counted"), say.F("No surprise from"), say.F("to"), say.F("Verdict")}}
			for k := range x.f.Bands {
				t.Rows = append(t.Rows, bandCells(bandName(&x.f.Bands[k]), &x.f.Bands[k]))
			}
			s.Tables = append(s.Tables, t)
		}
	}
	return s
}

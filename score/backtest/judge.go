package backtest

import (
	"pitlist/score/life/forecast"
	"pitlist/score/plan"
)

// Judgement is how the forecasts of one part fared, or of all.
type Judgement struct {
	Part     int // of the catalogue; -1: all
	Pairs    int // vehicle-parts judged, however often
	Failures Forecasts
	Worn     Forecasts // worn findings at the workshop's own looks
	Above    int       // failures that stood above the line
	Ways     []Way     // the list first, then the plain rules
	Versus   []Versus  // the list against each rule
	Unknown  int       // renewals whose cause the text does not tell: they end the time at risk
}

// Forecasts is forecasts against what came.
type Forecasts struct {
	N           int // forecasts
	Expected    float64
	Observed    int
	Low, High   int    // exact 95 % limits of Observed, were the forecasts right
	Bands       []Band // by the forecast, empty ones left out
	Concordance *forecast.Concordance
	Brier       *Brier
	Need        Need
}

// Inside tells whether the count lies within its limits.
func (f *Forecasts) Inside() bool { return f.Low <= f.Observed && f.Observed <= f.High }

// Band is the forecasts of one band with the exact limits of their count.
type Band struct {
	From, To  float64
	N         int
	Expected  float64
	Observed  int
	Low, High int
}

// Brier is the mean squared error with its parts by the bands: Score =
// Reliability − Resolution + Uncertainty + Within. Within is what forecasts
// that differ inside a band add (Stephenson, Coelho & Jolliffe, Weather &
// Forecasting 23, 2008, from memory). Uncertainty is the score of forecasting
// the base rate throughout; that rate is known only afterwards.
type Brier struct {
	Score, Reliability, Resolution, Uncertainty, Within float64
	Skill                                               float64 // 1 − Score / Uncertainty; 0: no better than the base rate
}

// The edges of the bands (judgement: chances until the next list are mostly
// small, chances of a worn finding are not).
var (
	failEdges = []float64{0, 0.01, 0.02, 0.05, 0.10, 0.20, 0.40, 1}
	wornEdges = []float64{0, 0.05, 0.10, 0.20, 0.40, 0.60, 0.80, 1}
)

// judged sums up the cases of one part, or of all.
func judged(part int, cases []Case, years float64) Judgement {
	j := Judgement{Part: part}
	pairs := map[[2]int]bool{}
	var fails, looks []forecast.Outcome
	for i := range cases {
		c := &cases[i]
		pairs[[2]int{c.Vehicle, c.Part}] = true
		fails = append(fails, forecast.Outcome{Chance: clamp(c.Fail), Happened: c.Came == Failed})
		switch {
		case c.looked():
			looks = append(looks, forecast.Outcome{Chance: clamp(c.Look), Happened: c.Came == FoundWorn})
		case c.Came == Failed && c.Above:
			j.Above++
		case c.Came == Unknown:
			j.Unknown++
		}
	}
	j.Pairs = len(pairs)
	j.Failures, j.Worn = against(fails, failEdges, years), against(looks, wornEdges, years)
	return j
}

// clamp keeps a chance within [0, 1]: sums of products can leave it by a
// rounding error.
func clamp(p float64) float64 { return min(1, max(0, p)) }

// against reckons everything that is said of a set of forecasts.
func against(all []forecast.Outcome, edges []float64, years float64) Forecasts {
	f := Forecasts{N: len(all)}
	if f.N == 0 {
		f.Need = needCount(0, years)
		return f
	}
	c, err := forecast.Bands(all, edges)
	if err != nil { // chances are within the edges
		panic(err)
	}
	var whole plan.PoissonBinomial
	for _, b := range c.Bands {
		if b.N == 0 {
			continue
		}
		var own plan.PoissonBinomial
		for _, p := range b.Chances {
			own.Add(p)
			whole.Add(p)
		}
		f.Bands = append(f.Bands, Band{b.From, b.To, b.N, b.Expected, b.Observed, own.Quantile(lowest), own.Quantile(highest)})
		f.Expected += b.Expected
		f.Observed += b.Observed
	}
	f.Low, f.High = whole.Quantile(lowest), whole.Quantile(highest)
	if order, err := forecast.ConcordanceOf(all); err == nil { // it needs both kinds
		f.Concordance = &order
	}
	f.Brier = brier(all, c)
	f.Need = needCount(f.Expected, years)
	return f
}

// brier is nil where nothing, or everything, happened: then there is no base
// rate to be better than.
func brier(all []forecast.Outcome, c *forecast.Calibration) *Brier {
	whole, err := forecast.BrierOf(all)
	if err != nil || whole.Uncertainty == 0 {
		return nil
	}
	b := &Brier{Score: whole.Score, Reliability: c.Reliability, Resolution: c.Resolution, Uncertainty: whole.Uncertainty}
	b.Within = b.Score - (b.Reliability - b.Resolution + b.Uncertainty)
	b.Skill = 1 - b.Score/b.Uncertainty
	return b
}

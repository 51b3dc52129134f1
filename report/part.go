package report

import (
	"cmp"
	"slices"

	"pitlist/score"
	"pitlist/score/life"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// PartSummary is one entry of the catalogue as this run used it.
type PartSummary struct {
	ID, Name, System         string
	Inside, Unknown, Outside int     // vehicles judged, by membership; none for a part not yet known on the day
	ExpectedWorn             float64 // sum of the chances of being worn
	Curve                    say.Text
	Source                   string
	CurveSource              string // of an overlay that replaced the curves
	Reviewed                 score.Day
	Weight                   float64 // equivalent failures behind the curves
	CanInjure                bool
}

// summarise counts what each entry of the catalogue met in this run.
func summarise(catalogue *score.Catalogue, assessments []score.Assessment, day score.Day) []PartSummary {
	out := make([]PartSummary, len(catalogue.Parts))
	for i := range catalogue.Parts {
		p := &catalogue.Parts[i]
		out[i] = PartSummary{
			ID: p.ID, Name: p.Name, System: p.System, Curve: CurveWords(p),
			Source: p.Source, CurveSource: p.CurveSource, Reviewed: p.Reviewed, Weight: p.Weight,
			CanInjure: p.Consequence == score.CanInjure,
		}
	}
	judged := 0
	for i := range assessments {
		if assessments[i].SetAside == "" {
			judged++
		}
		for j := range assessments[i].Findings {
			f := &assessments[i].Findings[j]
			if f.PartIndex < 0 || f.PartIndex >= len(out) {
				continue
			}
			s := &out[f.PartIndex]
			switch f.Belonging.Membership {
			case score.Inside:
				s.Inside++
			case score.Unknown:
				s.Unknown++
			}
			s.ExpectedWorn += finite(f.State.Worn)
		}
	}
	for i := range out { // most vehicles outside a range have no finding
		if catalogue.Parts[i].KnownSince <= day {
			out[i].Outside = judged - out[i].Inside - out[i].Unknown
		}
	}
	return out
}

// CurveWords says what the two curves of a part mean: "half begin to wear by
// 192,000 km; half of those fail within a further 34,000 km".
func CurveWords(p *score.WeakPart) say.Text {
	if p.Onset == nil || p.Delay == nil {
		return say.Text{}
	}
	return say.F("half begin to wear by %s; half of those fail within a further %s",
		amount(p.Onset.Quantile(0.5), p.Axis), amount(p.Delay.Quantile(0.5), p.Axis))
}

// Cloud is one part's vehicles as points of own distance and chance of being
// worn, for the chart of risk by distance.
type Cloud struct {
	Name   string
	Axis   score.Axis
	Points []CloudPoint // by distance
	Curve  []CloudPoint // share that begins to wear by a distance, of the affected
}

// CloudPoint is one vehicle-part, or one point of the curve.
type CloudPoint struct{ Distance, Worn float64 }

// How much a chart can show and still be read (judgement).
const (
	mostClouds = 3
	mostPoints = 300
	mostCurve  = 200
	curveSteps = 24
)

// clouds picks the parts on the km axis with the most worn parts expected.
func clouds(catalogue *score.Catalogue, assessments []score.Assessment) []Cloud {
	points := make([][]CloudPoint, len(catalogue.Parts))
	worn := make([]float64, len(catalogue.Parts))
	judged := 0
	for i := range assessments {
		if assessments[i].SetAside == "" {
			judged++
		}
		for j := range assessments[i].Findings {
			f := &assessments[i].Findings[j]
			if f.Standing != score.Scored || f.Part.Axis != score.ByKM || f.PartIndex < 0 || f.PartIndex >= len(points) {
				continue
			}
			points[f.PartIndex] = append(points[f.PartIndex], CloudPoint{finite(f.Distance), finite(f.State.Worn)})
			worn[f.PartIndex] += finite(f.State.Worn)
		}
	}
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worn[b], worn[a]) })
	var out []Cloud
	for _, i := range order {
		if len(points[i]) > 0 && len(out) < mostClouds {
			out = append(out, cloud(&catalogue.Parts[i], points[i]))
		}
	}
	return out
}

func cloud(p *score.WeakPart, points []CloudPoint) Cloud {
	slices.SortFunc(points, func(a, b CloudPoint) int {
		return cmp.Or(cmp.Compare(a.Distance, b.Distance), cmp.Compare(a.Worn, b.Worn))
	})
	c := Cloud{Name: p.Name, Axis: p.Axis, Points: every(points, mostPoints)}
	if p.Onset != nil {
		farthest := points[len(points)-1].Distance
		for k := range curveSteps + 1 {
			x := farthest * float64(k) / curveSteps
			c.Curve = append(c.Curve, CloudPoint{x, finite(life.CDF(p.Onset, x))})
		}
	}
	return c
}

// thinned keeps the curve's shape in fewer points, both ends among them.
func thinned(curve []plan.CurvePoint) []plan.CurvePoint { return every(curve, mostCurve) }

// every keeps at most n items, evenly, the first and the last among them.
func every[T any](items []T, n int) []T {
	if len(items) <= n {
		return items
	}
	out := make([]T, n)
	for i := range out {
		out[i] = items[i*(len(items)-1)/(n-1)]
	}
	return out
}

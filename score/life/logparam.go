package life

import "math"

// LogParameters are the parameters in which a curve's prior is normal, and a
// fit's likelihood nearly so: Weibull (ln scale, ln shape), Lognormal (mu, ln
// sigma), Exponential (ln mean), Table (the log of a factor on its cumulative
// hazard, 0 as it stands). nil for a type from outside this package.
func LogParameters(d Distribution) []float64 {
	switch d := d.(type) {
	case Weibull:
		return []float64{math.Log(d.Scale), math.Log(d.Shape)}
	case Lognormal:
		return []float64{d.Mu, math.Log(d.Sigma)}
	case Exponential:
		return []float64{math.Log(d.Mean)}
	case *Table:
		return []float64{0}
	}
	return nil
}

// LogParameterNames are the names of LogParameters, for people.
func LogParameterNames(d Distribution) []string {
	switch d.(type) {
	case Weibull:
		return []string{"ln scale", "ln shape"}
	case Lognormal:
		return []string{"mu", "ln sigma"}
	case Exponential:
		return []string{"ln mean"}
	case *Table:
		return []string{"ln factor"}
	}
	return nil
}

// WithLogParameters is the curve of d's family that has these LogParameters; of
// a Table, the one whose cumulative hazard is d's times the factor. d itself
// where p does not fit it.
func WithLogParameters(d Distribution, p []float64) Distribution {
	if len(p) != len(LogParameters(d)) {
		return d
	}
	switch d := d.(type) {
	case Weibull:
		return Weibull{Scale: math.Exp(p[0]), Shape: math.Exp(p[1])}
	case Lognormal:
		return Lognormal{Mu: p[0], Sigma: math.Exp(p[1])}
	case Exponential:
		return Exponential{Mean: math.Exp(p[0])}
	case *Table:
		return d.scaled(math.Exp(p[0]))
	}
	return d
}

// Information is the Fisher information of one complete observation, in d's
// LogParameters (Meeker & Escobar 1998, appendix B); the first row and column
// alone where there is one parameter.
func Information(d Distribution) [2][2]float64 {
	switch d := d.(type) {
	case Weibull:
		k := d.Shape
		cross := -(1 - euler) * k
		return [2][2]float64{{k * k, cross}, {cross, math.Pi*math.Pi/6 + (1-euler)*(1-euler)}}
	case Lognormal:
		return [2][2]float64{{1 / (d.Sigma * d.Sigma), 0}, {0, 2}}
	case Exponential, *Table:
		return [2][2]float64{{1, 0}, {0, 0}}
	}
	return [2][2]float64{}
}

// Points are the table's points as NewTable takes them, without the origin.
func (t *Table) Points() []Point {
	out := make([]Point, 0, len(t.at)-1)
	for i := 1; i < len(t.at); i++ {
		out = append(out, Point{Distance: t.at[i], Share: -math.Expm1(-t.cum[i])})
	}
	return out
}

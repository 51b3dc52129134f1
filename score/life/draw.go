package life

import "math"

// euler is Euler's constant γ; 1-γ is the covariance term of the Weibull's
// Fisher information.
const euler = 0.577215664901532860606512090082

// Draw returns one variant of d from its prior: normal in the log-parameters
// around d's own, with precision weight times the Fisher information of one
// complete observation (Meeker & Escobar 1998, appendix B). weight is in
// equivalent failures. z holds two independent standard normals from the
// caller; families with one parameter use z[0] only.
//
// A weight that is not above 0 says nothing about the spread and returns d
// unchanged, as does an infinite one; so does a type from outside this package.
func Draw(d Distribution, weight float64, z [2]float64) Distribution {
	if !(weight > 0) {
		return d
	}
	sd := 1 / math.Sqrt(weight)
	switch d := d.(type) {
	case Weibull:
		return drawWeibull(d, sd, z)
	case Lognormal:
		// Information [[1/sigma², 0], [0, 2]] in (mu, ln sigma).
		return Lognormal{
			Mu:    d.Mu + d.Sigma*sd*z[0],
			Sigma: d.Sigma * math.Exp(sd/math.Sqrt2*z[1]),
		}
	case Exponential:
		return Exponential{Mean: d.Mean * math.Exp(sd*z[0])} // information 1 in ln mean
	case *Table:
		return d.scaled(math.Exp(sd * z[0]))
	}
	return d
}

// drawWeibull uses the information [[k², -(1-γ)k], [-(1-γ)k, π²/6+(1-γ)²]] in
// (ln scale, ln shape): the log shape has variance 6/π² sd², and given it the
// log scale is normal around (1-γ)/k times its deviation, with variance sd²/k².
func drawWeibull(w Weibull, sd float64, z [2]float64) Weibull {
	logShape := sd * math.Sqrt(6) / math.Pi * z[1]
	logScale := (1-euler)/w.Shape*logShape + sd/w.Shape*z[0]
	return Weibull{Shape: w.Shape * math.Exp(logShape), Scale: w.Scale * math.Exp(logScale)}
}

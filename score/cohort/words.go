package cohort

import "pitlist/score/say"

// CurveName names a part of the model that a fit moves: onset, delay or share.
func CurveName(curve string) say.Text {
	switch curve {
	case "onset":
		return say.F("onset")
	case "delay":
		return say.F("delay")
	case "share":
		return say.F("share")
	}
	return say.Plain(curve)
}

// parameterName names a parameter on its working scale; mu and sigma are symbols.
func parameterName(name string) say.Text {
	switch name {
	case "ln scale":
		return say.F("ln scale")
	case "ln shape":
		return say.F("ln shape")
	case "ln mean":
		return say.F("ln mean")
	case "ln factor":
		return say.F("ln factor")
	case "logit share":
		return say.F("logit share")
	}
	return say.Plain(name)
}

package report

import (
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// stateWords is how a scan gives a code; empty where it doesn't say.
func stateWords(s dtc.State) say.Text {
	switch s {
	case dtc.Stored:
		return say.F("stored")
	case dtc.Pending:
		return say.F("pending")
	case dtc.Permanent:
		return say.F("permanent")
	}
	return say.Plainly(s)
}

// setAsideWords is why a vehicle is not judged.
func setAsideWords(s score.Status) say.Text {
	if s == score.Sold {
		return say.F("sold")
	}
	return say.Plainly(s)
}

// StandingWords is how a part stands.
func StandingWords(s score.Standing) say.Text {
	switch s {
	case score.Scored:
		return say.F("scored")
	case score.WornFound:
		return say.F("found worn")
	case score.AwaitingRepair:
		return say.F("awaiting repair")
	case score.Improved:
		return say.F("improved part")
	case score.NotOfRange:
		return say.F("outside")
	case score.NoDistance:
		return say.F("no distance")
	}
	return say.Plainly(s)
}

// MembershipWords is whether a vehicle is of the affected ones.
func MembershipWords(m score.Membership) say.Text {
	switch m {
	case score.Inside:
		return say.F("inside")
	case score.Outside:
		return say.F("outside")
	case score.Unknown:
		return say.F("unknown")
	}
	return say.Plainly(m)
}

// GroupWords is the group of the list that a row stands in.
func GroupWords(g plan.Group) say.Text {
	switch g {
	case plan.FoundWorn:
		return say.F("found worn")
	case plan.Injury:
		return say.F("injury")
	case plan.Chosen:
		return say.F("chosen")
	case plan.Rest:
		return say.F("rest")
	}
	return say.Plainly(g)
}

// placeWords is where a cheap check is made.
func placeWords(place string) say.Text {
	switch place {
	case "yard":
		return say.F("in the yard")
	case "counter":
		return say.F("at the counter")
	case "bay":
		return say.F("in the bay")
	}
	return say.Text{}
}

// VerdictWords is what a buying desk is advised.
func VerdictWords(v plan.Verdict) say.Text {
	switch v {
	case plan.Leave:
		return say.F("leave")
	case plan.LookFirst:
		return say.F("look first")
	case plan.TakeLess:
		return say.F("take less")
	case plan.Take:
		return say.F("take")
	}
	return say.Plainly(v)
}

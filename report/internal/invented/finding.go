package invented

import (
	"math"

	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/wear"
)

// facts are the stories of the first vehicles; the others have none.
func facts(i int) []score.Fact {
	treated := score.Fact{Kind: score.FactTreated, Day: Today - 42, At: 168900, Text: "Rail pressure sensor renewed, codes erased", Phrase: "pressure sensor", Since: -1, Weight: 1}
	switch i {
	case 0:
		return []score.Fact{treated,
			{Kind: score.FactCameBack, Day: Today - 19, At: 170300, Codes: codes("P0087"), Since: -1, After: &treated, Group: "rail pressure", Weight: 112.5, Ref: score.Ref{Source: 2, Row: 3}},
			{Kind: score.FactWords, Day: Today - 10, At: 170900, Text: "driver: knocks when hot", Phrase: "knocks when hot", Since: -1, Group: "noise", Weight: 35, Ref: score.Ref{Source: 2, Row: 4}}}
	case 1:
		return []score.Fact{
			{Kind: score.FactClean, Day: Today - 300, At: 140300, Weight: 0.4, Group: "inspections", Since: -1},
			{Kind: score.FactMeasure, Day: Today - 30, Phrase: "tappet_mm", Value: 0.34, Group: "wear of the tappet", Weight: 30, Since: -1}}
	case 2:
		return []score.Fact{{Kind: score.FactCode, Day: Today - 8, Codes: codes("P0087", "P0191"), Since: 40, Group: "rail pressure", Weight: 110},
			{Kind: score.FactRecommended, Day: Today - 200, Text: "advise pump follower", Since: -1, Weight: 1}}
	case 3:
		return []score.Fact{{Kind: score.FactCleanScan, Day: Today - 5, Since: 12, Group: "rail pressure", Weight: 0.97}}
	case 4:
		return []score.Fact{{Kind: score.FactCleanScan, Day: Today - 5, Since: 2100, Group: "rail pressure", Weight: 0.3}}
	case 5:
		return []score.Fact{{Kind: score.FactFoundWorn, Day: Today - 81, At: 147700, Since: -1, Weight: 1}}
	case 8:
		return []score.Fact{{Kind: score.FactCode, Day: Today - 700, Codes: codes("P0087"), Since: -1, Weight: 1},
			{Kind: score.FactRenewed, Day: Today - 600, At: 79400, Since: -1, Weight: 1},
			{Kind: score.FactDeclined, Day: Today - 100, Since: -1, Weight: 1},
			{Kind: score.FactStale, Day: Today - 20, Codes: codes("P0087"), Since: 99000, Weight: 1},
			{Kind: score.FactNoWords, Since: -1, Group: "noise", Weight: 0.7}}
	}
	return nil
}

// Finding makes one finding of a part with a chance of being worn.
func Finding(part *score.WeakPart, index, i int, worn float64, told []score.Fact) score.Finding {
	f := score.Finding{
		Part: part, PartIndex: index, Standing: score.Scored, Distance: km(i), Facts: told,
		Belonging: score.Belonging{Membership: score.Inside, Told: say.Plain("engine serial KD4112345 lies in KD4110000-KD4168000"), Share: 1},
		State:     wear.State{Worn: worn, Sound: (1 - worn) * 0.8, Immune: (1 - worn) * 0.1, Rectified: (1 - worn) * 0.1},
		PLow:      math.Max(0, worn-0.1), PHigh: math.Min(1, worn+0.1), HasInterval: worn > 0.01,
		Next: 420, Hold: 60000, NextFail: score.Fails{All: worn * 0.03}, HoldFail: score.Fails{All: worn * 0.8}, RiskFail: worn * 0.1,
	}
	if i%5 == 3 {
		bySerial := score.WeakPart{ShareIfUnknown: part.ShareIfUnknown, Fits: []score.Fit{{EngineSerial: []score.SerialRange{{}}}}}
		f.Belonging = bySerial.Belongs(&score.Vehicle{}) // engine serial not given
	}
	if i%7 == 4 {
		f.HistoryFrom = 80000
	}
	if part.Axis == score.ByHours {
		f.Distance = 6230 - float64(i)*100
	}
	return f
}

// Assessments judges the fleet by hand.
func Assessments(fleet *score.Fleet, c *score.Catalogue) []score.Assessment {
	out := make([]score.Assessment, len(fleet.Vehicles))
	for i := range out {
		a := score.Assessment{Vehicle: &fleet.Vehicles[i], Odometer: estimate(i), Ahead: score.Ahead{NextKM: 420, HoldKM: 60000, HoldReason: "60,000 km of the job"}}
		worn := math.Max(0.0004, 0.93*math.Exp(-0.19*float64(i)))
		a.Findings = append(a.Findings, Finding(&c.Parts[Follower], Follower, i, worn, facts(i)))
		if i%3 == 0 {
			a.Findings = append(a.Findings, Finding(&c.Parts[Release], Release, i, worn/3, nil))
		}
		if i%2 == 1 {
			a.Findings = append(a.Findings, Finding(&c.Parts[Valve], Valve, i, worn/5, nil))
		}
		special(&a, c, i)
		out[i] = a
	}
	return out
}

// special gives some vehicles what the others have not.
func special(a *score.Assessment, c *score.Catalogue, i int) {
	f := &a.Findings[0]
	switch i {
	case 5:
		f.Standing, f.State, f.HasInterval = score.WornFound, wear.State{Worn: 1}, false
	case 7:
		h := Finding(&c.Parts[Hose], Hose, i, 0.34, nil)
		h.NoticeWorn, h.NoticeFail = true, true
		a.Findings = append(a.Findings, h)
	case 8:
		f.Renewed, f.Distance = 79400, km(i)-79400
	case 10:
		a.Findings = append(a.Findings, Finding(&c.Parts[Slew], Slew, i, 0.6, nil))
	case 12:
		a.Checks = append(a.Checks, score.OtherCheck{Reason: say.Plain("P0524 (oil pressure too low), read on 20 Nov 2026 and not answered by a repair since"), Check: say.Plain("Oil level and pressure before it leaves the yard"), Today: true, Day: Today - 3, Code: code("P0524")})
	case 13:
		f.Standing, f.State, f.Belonging = score.NotOfRange, wear.State{Immune: 1}, score.Belonging{Membership: score.Outside, Told: say.Plain("engine serial KD4200000 lies outside KD4110000-KD4168000")}
		a.Checks = append(a.Checks, score.OtherCheck{Part: &c.Parts[Follower], Reason: say.Plain("P0087 on a vehicle outside the range"), Check: say.Plain("check the sensor and its wiring first"), Day: Today - 9, Code: code("P0087"), Ref: score.Ref{Source: 2, Row: 9}})
	case 14:
		f.Standing, f.State = score.AwaitingRepair, wear.State{}
		f.Facts = []score.Fact{{Kind: score.FactFailed, Day: Today - 6, At: 105000, Since: -1, Weight: 1}}
	case 29:
		f.Standing, f.State, f.Distance = score.NoDistance, wear.State{}, 0
	}
}

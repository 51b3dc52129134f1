package workbook

import (
	"pitlist/score"
	"pitlist/score/say"
)

// severityWords is what became of what an issue speaks of.
func severityWords(s score.Severity) say.Text {
	switch s {
	case score.Rejected:
		return say.F("rejected")
	case score.SetAside:
		return say.F("set aside")
	case score.Noted:
		return say.F("noted")
	}
	return say.Plainly(s)
}

// unitWords is the unit of an axis.
func unitWords(a score.Axis) say.Text {
	switch a.Unit() {
	case "km":
		return say.F("km")
	case "h":
		return say.F("h")
	case "months":
		return say.F("months")
	}
	return say.Plain(a.Unit())
}

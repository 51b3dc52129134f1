package vin

import (
	"strconv"

	"pitlist/score/say"
)

// count writes small numbers as words, as people do.
func count(n int) say.Text {
	switch n {
	case 2:
		return say.F("two")
	case 3:
		return say.F("three")
	case 4:
		return say.F("four")
	case 5:
		return say.F("five")
	case 6:
		return say.F("six")
	case 7:
		return say.F("seven")
	case 8:
		return say.F("eight")
	case 9:
		return say.F("nine")
	}
	return say.Plain(strconv.Itoa(n))
}

// Say words the finding: "check digit".
func (f Finding) Say() say.Text {
	switch f {
	case Good:
		return say.F("good")
	case Length:
		return say.F("length")
	case Characters:
		return say.F("characters")
	case Form:
		return say.F("form")
	case BadCheckDigit:
		return say.F("check digit")
	case ModelYear:
		return say.F("model year")
	}
	return say.Plainly(f)
}

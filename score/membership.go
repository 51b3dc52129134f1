package score

import (
	"strings"

	"pitlist/score/say"
)

// Membership says whether a vehicle belongs to a part's weak population.
type Membership string

// The three memberships: 1, 0 and the catalogue's share.
const (
	Inside  Membership = "inside"
	Outside Membership = "outside"
	Unknown Membership = "unknown"
)

// Belonging is a membership with the fact that decided it. The fact is kept as
// where it stands, and worded when it is asked for: a large fleet has one for
// every part of every vehicle.
type Belonging struct {
	Membership Membership
	Share      float64  // chance of belonging, in [0, 1]
	Told       say.Text // a reason in words, where no range gave it
	Near       bool     // outside, but of the model the ranges speak of
	Lacks      Lack     // what the vehicle's row would have to give; 0 where it is not that

	shown   bool // by what was found on the vehicle, whatever the range says
	by      verdict
	vehicle *Vehicle
}

// Reason names the fact that decided: "engine serial KD4112345 lies in
// KD4110000-KD4168000".
func (b Belonging) Reason() say.Text {
	switch {
	case !b.Told.Empty() || b.vehicle == nil:
		return b.Told
	case b.shown:
		return say.F("shown by what was found on this vehicle (%s)", b.by.reason(b.vehicle))
	}
	return b.by.reason(b.vehicle)
}

// Lack is a fact of the vehicle that a range asks for and nothing gives, such
// as the engine serial. The zero value lacks nothing.
type Lack int8

// Say names what is lacking: "engine serial".
func (l Lack) Say() say.Text {
	if l == 0 {
		return say.Text{}
	}
	return condition(l - 1).name()
}

// truth is an answer in three values.
type truth int8

const (
	no truth = iota
	unknown
	yes
)

// condition names what a range asks for; the broad ones (which vehicle) come
// before the narrow ones (which of them).
type condition int8

const (
	ofMaker condition = iota
	ofMake
	ofModel
	ofYear
	ofFamily
	ofEngine
	ofBuild
	ofVINSerial
	ofVIN
	conditions
)

// ask puts one condition of a range to a vehicle. asked is false where the
// range does not name it. The reason is worded only where tell is set: most
// vehicles of a fleet are asked in vain.
type ask func(f *Fit, v *Vehicle, tell bool) (is truth, reason say.Text, asked bool)

var asks = [conditions]ask{
	ofMaker: (*Fit).maker, ofMake: (*Fit).make, ofModel: (*Fit).model, ofYear: (*Fit).year, ofFamily: (*Fit).family,
	ofEngine: (*Fit).engine, ofBuild: (*Fit).build, ofVINSerial: (*Fit).vinSerial, ofVIN: (*Fit).vin,
}

// verdict is what one range says of a vehicle, and by which condition.
type verdict struct {
	fit *Fit
	is  truth
	of  condition
}

// Belongs decides the membership: inside where any range holds in every
// condition, outside where each fails in one, unknown else. Among ranges that
// all fail, the reason is that of the one that came nearest.
func (p *WeakPart) Belongs(v *Vehicle) Belonging {
	var best verdict
	near := false
	for i := range p.Fits {
		got := p.Fits[i].judge(v)
		near = near || got.is != no || got.of > ofModel
		if i == 0 || got.is > best.is || got.is == no && best.is == no && got.of > best.of {
			best = got
		}
	}
	b := Belonging{Membership: Outside, Near: near, by: best, vehicle: v}
	switch best.is {
	case yes:
		b.Membership, b.Share = Inside, 1
	case unknown:
		b.Membership, b.Share = Unknown, p.ShareIfUnknown
		if !best.of.given(v) {
			b.Lacks = Lack(best.of + 1)
		}
	}
	return b
}

// reason words the condition that decided.
func (d verdict) reason(v *Vehicle) say.Text {
	if d.fit == nil {
		return say.F("no range is stated")
	}
	if _, reason, asked := asks[d.of](d.fit, v, true); asked {
		return reason
	}
	return say.F("the range names no condition")
}

// given tells whether the vehicle states what the condition asks for. Of
// what hangs on the VIN nothing is said: a row is known by it, not asked for it.
func (c condition) given(v *Vehicle) bool {
	switch c {
	case ofMake:
		return v.Make != ""
	case ofModel:
		return v.Model != ""
	case ofYear:
		return v.ModelYear != 0 || v.VINYear != 0
	case ofFamily:
		return v.EngineFamily != ""
	case ofEngine:
		return v.EngineSerial != ""
	case ofBuild:
		return v.BuildDate != 0
	}
	return true
}

// name is what the condition asks for; "" of one that hangs on the VIN.
func (c condition) name() say.Text {
	switch c {
	case ofMake:
		return say.F("make")
	case ofModel:
		return say.F("model")
	case ofYear:
		return say.F("model year")
	case ofFamily:
		return say.F("engine family")
	case ofEngine:
		return say.F("engine serial")
	case ofBuild:
		return say.F("build date")
	}
	return say.Text{}
}

// judge answers for one range: the first condition that fails decides, else
// the first that is not known, else the narrowest that holds.
func (f *Fit) judge(v *Vehicle) verdict {
	best := verdict{fit: f, is: yes}
	for of, put := range asks {
		is, _, asked := put(f, v, false)
		switch {
		case !asked:
		case is == no:
			return verdict{f, no, condition(of)}
		case best.is == yes:
			best.is, best.of = is, condition(of)
		}
	}
	return best
}

// oneOf compares a word with those that a range lists.
func oneOf(list []string, got string, of condition, tell bool) (truth, say.Text, bool) {
	if len(list) == 0 {
		return no, say.Text{}, false
	}
	if got == "" {
		return unknown, missing(of, tell), true
	}
	is := no
	for _, want := range list {
		if alike(want, got) {
			is = yes
			break
		}
	}
	if !tell {
		return is, say.Text{}, true
	}
	return is, stated(is, of.holding(got)), true
}

// holding names a condition with what the vehicle has: "engine serial KD4112345".
func (c condition) holding(got string) say.Text { return say.Join(" ", c.name(), say.Plain(got)) }

func missing(of condition, tell bool) say.Text {
	if !tell {
		return say.Text{}
	}
	return say.F("%s not given", of.name())
}

// stated words a plain fact that lies in the range or does not.
func stated(is truth, fact say.Text) say.Text {
	if is == no {
		return say.F("%s is not of the range", fact)
	}
	return fact
}

// alike compares two words as people write them, whatever their case and the
// marks between their characters.
func alike(a, b string) bool {
	if !ascii(a) || !ascii(b) {
		return fold(a) == fold(b)
	}
	for {
		a, b = pastMarks(a), pastMarks(b)
		if a == "" || b == "" {
			return a == b
		}
		if upper(a[0]) != upper(b[0]) {
			return false
		}
		a, b = a[1:], b[1:]
	}
}

func ascii(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

// pastMarks cuts what fold drops off the beginning.
func pastMarks(s string) string { return strings.TrimLeft(s, marks) }

func upper(c byte) byte {
	if 'a' <= c && c <= 'z' {
		return c - 'a' + 'A'
	}
	return c
}

// Package evidence weighs what was observed of one vehicle-part: which rule
// of each group speaks, and the two likelihoods it brings to the wear model.
//
// It knows no vehicle and no catalogue file: the caller hands over the facts
// that concern the part, with every distance on the part's own axis, and gets
// back one observation for each group that says something. The usual steps:
//
//  1. check the groups once (Group.Validate);
//  2. for each vehicle-part gather the Facts since the part was last renewed;
//  3. call Weigh, and hand the observations' factors to the wear model.
package evidence

import (
	"errors"
	"fmt"
	"slices"

	"pitlist/score/dtc"
)

// Absent says what a group's silence means.
type Absent string

// The two meanings of silence; the zero value is Silent.
const (
	Silent Absent = "silent" // words and measures that are not there tell nothing
	Counts Absent = "counts" // a channel that is always filled: not there is a fact
)

// Validate reports a word that is neither of the two.
func (a Absent) Validate() error {
	if a == "" || a == Silent || a == Counts {
		return nil
	}
	return fmt.Errorf("absent is %q; write silent or counts", string(a))
}

// Group holds rules whose observations depend on each other (two codes of one
// fault): they are tried in order and the first that matches speaks for all.
type Group struct {
	Name   string
	Absent Absent
	Rules  []Rule
}

// CodeTest asks for trouble codes of one scan: at least one of Any, every one
// of All, not one of None. An empty list asks nothing.
type CodeTest struct {
	Any, All, None []dtc.Pattern
}

// Empty tells whether the test asks for no code to be present.
func (t CodeTest) Empty() bool { return len(t.Any) == 0 && len(t.All) == 0 }

// Rule is one way in which wear shows, with the chance that it is the rule
// that speaks for its group when the part is worn and when it is not.
type Rule struct {
	ID            string   // stable name for learning; "" where the file gives none
	CameBackAfter []string // treatments after which the codes of Codes were there again
	Codes         CodeTest
	Words         []string // phrases of the workshop or the driver
	Measured      string   // name of a measured value, compared with Over or Under
	Over, Under   *float64 // the rule speaks above Over, or below Under
	Worn, NotWorn float64  // rates in [0, 1]
	KMToSet       float64  // typical distance for the code to set, km; 0: at once
	Outside       string   // what to say of a vehicle outside the part's ranges
	Weight        float64  // equivalent observations behind the two rates; 0: DefaultWeight
}

// DefaultWeight is the number of equivalent observations behind a rule's two
// rates where the catalogue states none.
const DefaultWeight = 10

// PriorWeight is the weight that holds: the rule's own, else DefaultWeight.
func (r Rule) PriorWeight() float64 {
	if r.Weight > 0 {
		return r.Weight
	}
	return DefaultWeight
}

// isCode tells a plain code rule: one whose absence from a scan is a fact.
func (r *Rule) isCode() bool { return !r.Codes.Empty() && len(r.CameBackAfter) == 0 }

// Validate lists every fault of the rule by itself.
func (r Rule) Validate() []error {
	var faults []error
	kinds := 0
	for _, has := range []bool{!r.Codes.Empty(), len(r.Words) > 0, r.Measured != ""} {
		if has {
			kinds++
		}
	}
	if kinds != 1 {
		faults = append(faults, errors.New("a rule tests exactly one of codes, words and measured"))
	}
	if len(r.CameBackAfter) > 0 && r.Codes.Empty() {
		faults = append(faults, errors.New("came_back_after needs codes: say which codes came back"))
	}
	if r.Measured != "" && (r.Over == nil) == (r.Under == nil) {
		faults = append(faults, errors.New("measured needs either over or under"))
	}
	for _, rate := range []struct {
		key string
		v   float64
	}{{"worn", r.Worn}, {"not_worn", r.NotWorn}} {
		if !(rate.v > 0 && rate.v <= 1) {
			faults = append(faults, fmt.Errorf("%s is %g; a rate lies above 0 and at most at 1", rate.key, rate.v))
		}
	}
	if !(r.KMToSet >= 0) {
		faults = append(faults, fmt.Errorf("km_to_set is %g; it cannot be below 0", r.KMToSet))
	}
	return faults
}

// Validate lists the faults of the group as a whole: rates that add up to
// more than 1 and rules that an earlier rule always forestalls.
func (g Group) Validate() []error {
	var faults []error
	if err := g.Absent.Validate(); err != nil {
		faults = append(faults, err)
	}
	if len(g.Rules) == 0 {
		faults = append(faults, errors.New("the group has no rules"))
	}
	var worn, notWorn float64
	for i := range g.Rules {
		if len(g.Rules[i].CameBackAfter) == 0 {
			worn += g.Rules[i].Worn
			notWorn += g.Rules[i].NotWorn
		}
		if j := g.forestalls(i); j >= 0 {
			faults = append(faults, fmt.Errorf("rule %d can never match: rule %d before it always speaks first", i+1, j+1))
		}
	}
	const slack = 1e-9 // sums of decimal fractions
	if worn > 1+slack || notWorn > 1+slack {
		faults = append(faults, fmt.Errorf("the rates add up to %.4g worn and %.4g not worn; each sum is at most 1 (came_back_after aside)", worn, notWorn))
	}
	return faults
}

// forestalls returns the first earlier rule that matches whenever rule i
// does, or -1. Only the certain cases are reported.
func (g Group) forestalls(i int) int {
	r := &g.Rules[i]
	for j := range g.Rules[:i] {
		e := &g.Rules[j]
		switch {
		case e.Codes.Empty() != r.Codes.Empty(): // different facts: neither forestalls the other
		case e.isCode() && covers(e.Codes, r.Codes):
			return j
		case len(e.CameBackAfter) > 0 && len(r.CameBackAfter) > 0 && subset(r.CameBackAfter, e.CameBackAfter) && covers(e.Codes, r.Codes):
			return j
		case len(e.Words) > 0 && len(r.Words) > 0 && subset(r.Words, e.Words):
			return j
		case r.Measured != "" && r.Measured == e.Measured && wider(e, r):
			return j
		}
	}
	return -1
}

// covers tells whether whatever satisfies b surely satisfies a.
func covers(a, b CodeTest) bool {
	if len(a.None) > 0 && !subset(a.None, b.None) {
		return false
	}
	if !subset(a.All, b.All) {
		return false
	}
	if len(a.Any) == 0 {
		return true
	}
	for _, p := range b.All {
		if slices.Contains(a.Any, p) {
			return true
		}
	}
	return len(b.Any) > 0 && subset(b.Any, a.Any)
}

func wider(e, r *Rule) bool {
	if e.Over != nil && r.Over != nil {
		return *e.Over <= *r.Over
	}
	return e.Under != nil && r.Under != nil && *e.Under >= *r.Under
}

func subset[T comparable](a, b []T) bool {
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}

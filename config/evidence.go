package config

import (
	"fmt"
	"slices"
	"strings"

	"pitlist/score/dtc"
	"pitlist/score/evidence"
)

var ruleKeys = []string{"id", "came_back_after", "codes", "words", "measured", "over", "under", "worn", "not_worn",
	"km_to_set", "outside", "weight"}

// readEvidence reads the groups and checks them against the rest of the entry.
func (e *entry) readEvidence(f field) {
	names := map[string]bool{}
	for _, item := range f.items() {
		g, ok := item.group("group", "absent", "rules")
		if !ok {
			continue
		}
		at := g.need("group", "a name for what the rules look at: group: rail pressure")
		out := evidence.Group{Name: at.text()}
		if names[out.Name] && out.Name != "" {
			at.faultf("put the rules into one group, or give each group its name", "the group %q stands twice", shorten(out.Name))
		}
		names[out.Name] = true
		out.Absent = evidence.Absent(g.get("absent").oneOf(string(evidence.Silent), string(evidence.Silent), string(evidence.Counts)))
		rules := g.need("rules", "write at least one rule")
		out.Rules = e.readRules(rules)
		e.part.Evidence = append(e.part.Evidence, out)
		e.rules = append(e.rules, rules)
	}
	e.ruleIDsOnce()
}

// readRules reads the rules of one group and checks the group as a whole.
func (e *entry) readRules(f field) []evidence.Rule {
	if !f.written() {
		return nil
	}
	items := f.items()
	rules := make([]evidence.Rule, len(items))
	before := len(f.s.faults)
	for i, item := range items {
		if g, ok := item.group(ruleKeys...); ok {
			rules[i] = e.readRule(g)
		}
	}
	checkGroup(evidence.Group{Rules: rules}, f, len(f.s.faults) == before)
	return rules
}

// checkGroup says what evidence.Group says of the rules, each with its place.
// Rules that are at fault themselves may look as if they covered each other,
// so that question is only put where all are good.
func checkGroup(g evidence.Group, f field, good bool) {
	for _, err := range g.Validate() {
		var n, first int
		if _, no := fmt.Sscanf(err.Error(), "rule %d can never match: rule %d", &n, &first); no == nil {
			if items := f.items(); good && n >= 1 && n <= len(items) {
				items[n-1].fault(err.Error(), "put the narrower rule first, or delete one")
			}
			continue
		}
		f.fault(err.Error(), "")
	}
}

func (e *entry) readRule(g group) evidence.Rule {
	before := len(g.s.faults)
	r := evidence.Rule{
		ID:            g.get("id").text(),
		CameBackAfter: g.get("came_back_after").phrases(),
		Codes:         codes(g.get("codes")),
		Words:         g.get("words").phrases(),
		Measured:      g.get("measured").text(),
		Over:          threshold(g.get("over")),
		Under:         threshold(g.get("under")),
		Outside:       g.get("outside").text(),
	}
	r.Worn, _ = g.need("worn", "the chance that the rule speaks when the part is worn").number(0, rate)
	r.NotWorn, _ = g.need("not_worn", "the chance that the rule speaks when the part is not worn").number(0, rate)
	r.KMToSet, _ = g.get("km_to_set").number(0, atLeast0)
	r.Weight, _ = g.get("weight").number(0, above0)
	if len(g.s.faults) == before {
		checkRule(g, r)
	}
	e.treatments(g.get("came_back_after"))
	e.measure(g.get("measured"))
	return r
}

// checkRule says what evidence.Rule says of itself, and what would be ignored
// in silence.
func checkRule(g group, r evidence.Rule) {
	for _, err := range r.Validate() {
		first, _, _ := strings.Cut(err.Error(), " ")
		at := g.field
		if key := g.get(first); slices.Contains(ruleKeys, first) && key.written() {
			at = key
		}
		at.fault(err.Error(), "")
	}
	idle := func(key string, used bool, why string) {
		if at := g.get(key); at.written() && !used {
			at.faultf(why, "%s has no effect in this rule", key)
		}
	}
	idle("over", r.Measured != "", "it goes with measured")
	idle("under", r.Measured != "", "it goes with measured")
	idle("km_to_set", !r.Codes.Empty(), "it goes with codes")
	for _, p := range r.Codes.None {
		if slices.Contains(r.Codes.All, p) || (len(r.Codes.Any) > 0 && allIn(r.Codes.Any, r.Codes.None)) {
			g.get("codes").faultf("a code cannot be there and not there", "the rule can never match: %s stands under none and under any or all", p)
			return
		}
	}
}

func allIn(a, b []dtc.Pattern) bool {
	for _, p := range a {
		if !slices.Contains(b, p) {
			return false
		}
	}
	return true
}

func codes(f field) evidence.CodeTest {
	g, ok := f.group("any", "all", "none")
	if !ok {
		return evidence.CodeTest{}
	}
	t := evidence.CodeTest{Any: patterns(g.get("any")), All: patterns(g.get("all")), None: patterns(g.get("none"))}
	if len(f.node.Content) == 0 || (g.get("none").written() && !g.get("any").written() && !g.get("all").written()) {
		f.fault("codes asks for no code to be there", "write any: [P0087] or all: [P0087, P0191]")
	}
	return t
}

// patterns reads codes as a catalogue writes them: P0087, P0087-1A,
// SPN 636 FMI 2, SPN 636.
func patterns(f field) []dtc.Pattern {
	if f.written() && f.node.Kind == kindList && len(f.node.Content) == 0 {
		f.faultf("leave the key out", "%s is an empty list", f.name())
	}
	var out []dtc.Pattern
	for _, item := range f.items() {
		t := item.text()
		if t == "" {
			continue
		}
		p, err := dtc.ParsePattern(t)
		switch {
		case err != nil:
			item.faultf("write P0087, P0087-1A, SPN 636 FMI 2 or SPN 636", "%q is no trouble code", shorten(t))
		case slices.Contains(out, p):
			item.faultf("delete one", "the code %s stands twice in the list", p)
		default:
			out = append(out, p)
		}
	}
	return out
}

// threshold reads a number that may be missing.
func threshold(f field) *float64 {
	if v, ok := f.number(0, anything); ok {
		return &v
	}
	return nil
}

// treatments looks for slips in what a code came back after: a phrase that
// almost is one of repairs.treats would wait for words that never come. Other
// phrases stand for treatments of their own.
func (e *entry) treatments(f field) {
	treats := e.part.Repairs.Treats
	for _, item := range f.items() {
		t := strings.TrimSpace(item.raw())
		if t == "" || slices.ContainsFunc(treats, func(s string) bool { return strings.EqualFold(s, t) }) {
			continue
		}
		if near := slip(t, treats); near != "" {
			item.faultf(fmt.Sprintf("did you mean %q?", near), "came_back_after has %q, which repairs.treats does not list", shorten(t))
		}
	}
}

// measure checks the name of a measured value against the inspection's limits,
// where it looks like a slip of one of them.
func (e *entry) measure(f field) {
	name := strings.TrimSpace(f.raw())
	var listed []string
	for _, l := range e.part.Inspection.Limits {
		listed = append(listed, l.Measure)
	}
	if name == "" || slices.Contains(listed, name) {
		return
	}
	if near := slip(name, listed); near != "" {
		f.faultf("did you mean "+near+"?", "measured is %q, which inspection.limits does not list", shorten(name))
	}
}

// slip is nearest with little room: phrases may well differ in a few letters.
func slip(got string, known []string) string {
	near := nearest(got, known)
	if near != "" && distance(plain(got), plain(near)) <= 2 {
		return near
	}
	return ""
}

// ruleIDsOnce checks that a rule's id names one rule of the entry.
func (e *entry) ruleIDsOnce() {
	seen := map[string]bool{}
	for g := range e.part.Evidence {
		items := e.rules[g].items()
		for i, r := range e.part.Evidence[g].Rules {
			if seen[r.ID] && r.ID != "" {
				items[i].faultf("give each rule an id of its own", "the rule id %s stands twice in the entry", shorten(r.ID))
			}
			seen[r.ID] = true
		}
	}
}

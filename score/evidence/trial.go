package evidence

// Trial is one chance of one rule to speak of a part that was then opened:
// what a fleet's own openings teach of the rule's rates.
type Trial struct {
	Group, Rule int
	Spoke       bool
	// Ready is the chance that the rule had distance enough, 1 for all but
	// codes that need some to set (see Ready).
	Ready float64
	// Texts are the kinds of text that were read by then since the part's
	// renewal. A rule of words had its chance only where one of them is a kind in
	// which its words are said at all; who knows the fleet decides.
	Texts Texts
}

// Texts are kinds of text, as a set.
type Texts uint8

// The kinds of text.
const (
	Workshop Texts = 1 << iota // a line of the workshop's
	Remarks                    // a remark on a vehicle's row
)

// Trials lists the rules that could have spoken for their groups, each with
// whether it did. A rule had its chance where its channel was looked into: a
// scan was made whose codes are of this part, a text was read (of what kind
// stands in Texts), the value was measured. Where a code could have come back after a treatment, the scan is
// the chance of the rules of codes that came back, and of no plain code rule:
// the two share the codes, and the one would take them from the other.
func Trials(groups []Group, phrases []Phrases, f Facts) []Trial {
	var out []Trial
	for g := range groups {
		group := &groups[g]
		o, spoke := speaks(group, phrases[g], &f)
		treated := group.treated(phrases[g], &f)
		for i := range group.Rules {
			r := &group.Rules[i]
			if !f.chance(group, i, phrases[g], treated) {
				continue
			}
			t := Trial{Group: g, Rule: i, Spoke: spoke && o.Rule == i, Ready: 1, Texts: f.Texts}
			if !r.Codes.Empty() {
				t.Ready = Ready(f.Scan.SinceClear, r.KMToSet)
			}
			out = append(out, t)
		}
	}
	return out
}

// treated tells whether a rule of codes that came back had a treatment before
// the scan.
func (g *Group) treated(p Phrases, f *Facts) bool {
	for i := range g.Rules {
		if len(g.Rules[i].CameBackAfter) > 0 && f.Scan != nil && f.cameBack(p.cameBack(i)) != nil {
			return true
		}
	}
	return false
}

// chance tells whether rule i could have spoken.
func (f *Facts) chance(g *Group, i int, p Phrases, treated bool) bool {
	r := &g.Rules[i]
	switch {
	case !r.Codes.Empty() && (f.Scan == nil || f.Stale(g)):
		return false
	case len(r.CameBackAfter) > 0:
		return f.cameBack(p.cameBack(i)) != nil
	case !r.Codes.Empty():
		return !treated
	case len(r.Words) > 0:
		return f.Texts != 0
	}
	for i := range f.Measures {
		if f.Measures[i].Name == r.Measured {
			return true
		}
	}
	return false
}

// AtMostOne divides the rates of a group by their sum where that exceeds 1,
// those of codes that came back aside; there is one rate for each rule.
func (g *Group) AtMostOne(rates []float64) {
	sum := 0.0
	for i := range g.Rules {
		if len(g.Rules[i].CameBackAfter) == 0 {
			sum += rates[i]
		}
	}
	if !(sum > 1) {
		return
	}
	for i := range g.Rules {
		if len(g.Rules[i].CameBackAfter) == 0 {
			rates[i] /= sum
		}
	}
}

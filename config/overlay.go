package config

import (
	"path/filepath"
	"slices"

	"pitlist/score"
	"pitlist/score/evidence"
)

// overlayKeys are the keys of an entry that only overrides an earlier one.
var overlayKeys = []string{"id", "onset", "delay", "weight", "share_if_unknown", "evidence", "source", "reviewed"}

// isOverlay tells an overlay from a full entry by what it leaves out.
func isOverlay(g group) bool {
	if len(g.keys) < 2 {
		return false
	}
	for key := range g.keys {
		if !slices.Contains(overlayKeys, key) {
			return false
		}
	}
	return true
}

// overlay lays what an overlay states over the entry. On an entry without a
// part (none was found) it serves to find the overlay's own faults.
func (e *entry) overlay(g group) {
	p := &e.part
	if d := curve(g.get("onset"), p.Axis); d != nil {
		p.Onset = d
	}
	if d := curve(g.get("delay"), p.Axis); d != nil {
		p.Delay = d
	}
	if g.get("onset").written() || g.get("delay").written() {
		p.CurveSource = filepath.Base(g.s.file)
		g.need("weight", "new curves rest on another number of failures: the old weight plus those used")
	}
	if w, ok := g.get("weight").number(0, above0); ok {
		p.Weight = w
	}
	if s, ok := g.get("share_if_unknown").number(0, share); ok {
		p.ShareIfUnknown = s
	}
	if source := g.get("source").text(); source != "" {
		p.CurveSource = source
	}
	if d := day(g.get("reviewed")); d != 0 {
		p.Reviewed = d
	}
	for _, item := range g.get("evidence").items() {
		if og, ok := item.group("group", "rules"); ok {
			e.overlayGroup(og)
		}
	}
}

// overlayGroup overrides the rates of rules of one group and checks the sums
// again.
func (e *entry) overlayGroup(g group) {
	at := g.need("group", "which group of the entry?")
	i := slices.IndexFunc(e.part.Evidence, func(have evidence.Group) bool { return have.Name == at.raw() })
	var target *evidence.Group
	if i >= 0 {
		// A copy: the rules of the entry read before stay as they were.
		e.part.Evidence = slices.Clone(e.part.Evidence)
		target = &e.part.Evidence[i]
		target.Rules = slices.Clone(target.Rules)
	} else if e.part.ID != "" && at.written() {
		at.faultf(orKnown(at.raw(), groupNames(&e.part)), "the entry has no group %q", shorten(at.raw()))
	}
	rules := g.need("rules", "rules: [ { id: …, worn: …, not_worn: … } ]")
	for _, item := range rules.items() {
		if rg, ok := item.group("id", "rule", "worn", "not_worn", "weight"); ok {
			overlayRule(rg, target)
		}
	}
	if target != nil && rules.written() {
		checkGroup(*target, rules, false)
	}
}

// overlayRule overrides one rule's rates; it is found by its id, or by its
// number in the group where it has none.
func overlayRule(g group, target *evidence.Group) {
	id := g.get("id").text()
	number := g.get("rule").whole(0, span{low: 1, high: 1000, say: "rules count from 1"})
	worn, okWorn := g.get("worn").number(0, rate)
	notWorn, okNot := g.get("not_worn").number(0, rate)
	weight, okWeight := g.get("weight").number(0, above0)
	if !g.get("id").written() && !g.get("rule").written() {
		g.fault("which rule?", "name it by id, or by its number in the group: rule: 1")
	}
	if target == nil {
		return
	}
	i := number - 1
	if id != "" {
		i = slices.IndexFunc(target.Rules, func(r evidence.Rule) bool { return r.ID == id })
	}
	if i < 0 || i >= len(target.Rules) {
		if id != "" {
			g.get("id").faultf("", "the group has no rule with the id %s", shorten(id))
		} else if number > 0 {
			g.get("rule").faultf("", "the group has %d rules, so there is no rule %d", len(target.Rules), number)
		}
		return
	}
	r := &target.Rules[i]
	set := func(to *float64, v float64, ok bool) {
		if ok {
			*to = v
		}
	}
	set(&r.Worn, worn, okWorn)
	set(&r.NotWorn, notWorn, okNot)
	set(&r.Weight, weight, okWeight)
}

func groupNames(p *score.WeakPart) []string {
	var out []string
	for _, g := range p.Evidence {
		out = append(out, g.Name)
	}
	return out
}

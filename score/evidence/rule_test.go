package evidence

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func float(v float64) *float64 { return &v }

func TestRuleFaults(t *testing.T) {
	code := CodeTest{Any: patterns(t, "P0087")}
	for _, k := range []struct {
		name string
		rule Rule
		want []string // one text within each fault
	}{
		{"codes", Rule{Codes: code, Worn: 0.5, NotWorn: 0.1}, nil},
		{"words", Rule{Words: []string{"knock"}, Worn: 0.5, NotWorn: 0.1}, nil},
		{"measured over", Rule{Measured: "mm", Over: float(1), Worn: 0.5, NotWorn: 0.1}, nil},
		{"nothing to test", Rule{Worn: 0.5, NotWorn: 0.1}, []string{"exactly one of"}},
		{"codes that must not be there, and no other", Rule{Codes: CodeTest{None: patterns(t, "P0087")}, Worn: 0.5, NotWorn: 0.1}, []string{"exactly one of"}},
		{"two kinds", Rule{Codes: code, Words: []string{"knock"}, Worn: 0.5, NotWorn: 0.1}, []string{"exactly one of"}},
		{"came back without codes", Rule{CameBackAfter: []string{"sensor"}, Words: []string{"knock"}, Worn: 0.5, NotWorn: 0.1}, []string{"came_back_after needs codes"}},
		{"measured without a limit", Rule{Measured: "mm", Worn: 0.5, NotWorn: 0.1}, []string{"either over or under"}},
		{"measured with both limits", Rule{Measured: "mm", Over: float(1), Under: float(2), Worn: 0.5, NotWorn: 0.1}, []string{"either over or under"}},
		{"rates out of range, each by itself", Rule{Codes: code, Worn: 1.5, NotWorn: 0}, []string{"worn is 1.5", "not_worn is 0"}},
		{"distance to set below 0", Rule{Codes: code, Worn: 0.5, NotWorn: 0.1, KMToSet: -5}, []string{"km_to_set is -5"}},
	} {
		t.Run(k.name, func(t *testing.T) { contain(t, k.want, k.rule.Validate()) })
	}
}

func contain(t *testing.T, want []string, got []error) {
	t.Helper()
	require.Len(t, got, len(want), "%v", got)
	for i := range want {
		assert.ErrorContains(t, got[i], want[i])
	}
}

func TestGroupFaults(t *testing.T) {
	rule := func(worn float64, codes CodeTest) Rule { return Rule{Codes: codes, Worn: worn, NotWorn: 0.01} }
	anyOf := func(codes ...string) CodeTest { return CodeTest{Any: patterns(t, codes...)} }
	allOf := func(codes ...string) CodeTest { return CodeTest{All: patterns(t, codes...)} }
	words := func(w ...string) Rule { return Rule{Words: w, Worn: 0.1, NotWorn: 0.01} }
	measured := func(over, under *float64) Rule {
		return Rule{Measured: "mm", Over: over, Under: under, Worn: 0.1, NotWorn: 0.01}
	}
	cameBack := func(r Rule, after ...string) Rule { r.CameBackAfter = after; return r }
	for _, k := range []struct {
		name  string
		group Group
		want  []string
	}{
		{"rates up to 1", Group{Rules: []Rule{rule(0.6, allOf("P0087", "P0191")), rule(0.4, anyOf("P0087"))}}, nil},
		{"rates over 1", Group{Rules: []Rule{rule(0.6, allOf("P0087", "P0191")), rule(0.5, anyOf("P0087"))}}, []string{"1.1 worn"}},
		{"came_back_after is no part of the sum", Group{Rules: []Rule{cameBack(rule(0.9, anyOf("P0087")), "sensor"), rule(0.9, anyOf("P0087"))}}, nil},
		{"no rules", Group{}, []string{"no rules"}},
		{"absent misspelt", Group{Absent: "count", Rules: []Rule{words("knock")}}, []string{`absent is "count"`}},
		{"all after any of the same codes never speaks", Group{Rules: []Rule{rule(0.2, anyOf("P0087", "P0191")), rule(0.5, allOf("P0087", "P0191"))}}, []string{"rule 2 can never match: rule 1"}},
		{"fewer of any after more of any never speaks", Group{Rules: []Rule{rule(0.2, anyOf("P0087", "P0191")), rule(0.5, anyOf("P0191"))}}, []string{"rule 2"}},
		{"more of any after fewer may", Group{Rules: []Rule{rule(0.2, anyOf("P0191")), rule(0.5, anyOf("P0087", "P0191"))}}, nil},
		{"more of all after fewer never speaks", Group{Rules: []Rule{rule(0.2, allOf("P0087")), rule(0.5, allOf("P0087", "P0191"))}}, []string{"rule 2"}},
		{"an earlier rule with an exception leaves room", Group{Rules: []Rule{rule(0.2, CodeTest{Any: patterns(t, "P0087"), None: patterns(t, "P0193")}), rule(0.5, anyOf("P0087"))}}, nil},
		{"but none where the later has the same exception", Group{Rules: []Rule{rule(0.2, CodeTest{Any: patterns(t, "P0087"), None: patterns(t, "P0193")}), rule(0.5, CodeTest{Any: patterns(t, "P0087"), None: patterns(t, "P0193")})}}, []string{"rule 2"}},
		{"a came_back_after behind the plain code never speaks", Group{Rules: []Rule{rule(0.2, anyOf("P0087")), cameBack(rule(0.5, anyOf("P0087")), "sensor")}}, []string{"rule 2"}},
		{"a came_back_after behind one of more repairs never speaks", Group{Rules: []Rule{cameBack(rule(0.5, anyOf("P0087")), "sensor", "filter"), cameBack(rule(0.4, anyOf("P0087")), "sensor")}}, []string{"rule 2"}},
		{"words said already never speak", Group{Rules: []Rule{words("knock", "whine"), words("whine")}}, []string{"rule 2"}},
		{"words that add one may", Group{Rules: []Rule{words("whine"), words("knock", "whine")}}, nil},
		{"a higher limit behind a lower one never speaks", Group{Rules: []Rule{measured(float(0.2), nil), measured(float(0.3), nil)}}, []string{"rule 2"}},
		{"a lower limit behind a higher one may", Group{Rules: []Rule{measured(float(0.3), nil), measured(float(0.2), nil)}}, nil},
		{"under behind over may", Group{Rules: []Rule{measured(float(0.3), nil), measured(nil, float(0.2))}}, nil},
		{"a lower under behind a higher under never speaks", Group{Rules: []Rule{measured(nil, float(0.3)), measured(nil, float(0.2))}}, []string{"rule 2"}},
		{"codes never forestall words", Group{Rules: []Rule{rule(0.2, anyOf("P0087")), words("knock")}}, nil},
	} {
		t.Run(k.name, func(t *testing.T) { contain(t, k.want, k.group.Validate()) })
	}
}

func TestPriorWeight(t *testing.T) {
	assert.Equal(t, 10.0, Rule{}.PriorWeight())
	assert.Equal(t, 25.0, Rule{Weight: 25}.PriorWeight())
}

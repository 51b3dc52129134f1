package phrase

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The floors were written down before the sentences were first read by the
// rules; see testdata/phrase/SOURCE.md for what the first reading gave.
const (
	componentPrecision = 0.90
	componentRecall    = 0.85
	intentPrecision    = 0.95
	intentRecall       = 0.93
)

// TestRecallTextsByComponent: the defect and remedy texts of a public list of
// recalls, labelled by hand with the components that they name, against what
// the phrases of a catalogue's "called" find.
func TestRecallTextsByComponent(t *testing.T) {
	var entries []Entry
	var component []string
	for _, r := range readRows(t, "component_lexicon.csv") {
		for _, kind := range []Kind{Name, Symptom} { // as a catalogue's "called" and as words of its evidence
			component = append(component, r[0])
			entries = append(entries, Entry{ID: len(entries), Kind: kind, Text: r[1]})
		}
	}
	l, err := New(entries)
	require.NoError(t, err)
	rows := readRows(t, "recall_components.csv")
	require.GreaterOrEqual(t, len(rows), 200)
	by := map[string]*tally{}
	var all tally
	for _, r := range rows {
		var want, got []string
		if r[3] != "" {
			want = strings.Split(r[3], "; ")
		}
		for _, h := range l.Scan(r[2]) {
			if c := component[h.ID]; !slices.Contains(got, c) {
				got = append(got, c)
			}
		}
		for _, c := range slices.Compact(sortedCopy(append(slices.Clone(want), got...))) {
			if by[c] == nil {
				by[c] = &tally{}
			}
			row := tableRow{hit: slices.Contains(want, c)}
			found := slices.Contains(got, c)
			by[c].count(row, Hit{}, found)
			all.count(row, Hit{}, found)
			if found != row.hit {
				t.Logf("%s: named %v, found %v: %q", c, row.hit, found, r[2])
			}
		}
	}
	report(t, by, &all, len(rows))
	assert.GreaterOrEqual(t, all.precision(), componentPrecision)
	assert.GreaterOrEqual(t, all.recall(), componentRecall)
}

func sortedCopy(s []string) []string {
	slices.Sort(s)
	return s
}

// report prints precision and recall, a line a class.
func report(t *testing.T, by map[string]*tally, all *tally, n int) {
	t.Helper()
	var names []string
	for c := range by {
		names = append(names, c)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%d sentences\n%-16s %6s %6s %6s %9s %7s\n", n, "class", "right", "wrong", "missed", "precision", "recall")
	for _, c := range sortedCopy(names) {
		fmt.Fprintf(&b, "%-16s %6d %6d %6d %9.3f %7.3f\n", c, by[c].right, by[c].wrong, by[c].missed, by[c].precision(), by[c].recall())
	}
	fmt.Fprintf(&b, "%-16s %6d %6d %6d %9.3f %7.3f", "all", all.right, all.wrong, all.missed, all.precision(), all.recall())
	t.Log(b.String())
}

// intentOf puts what a sentence says of the work into the five classes that
// are measured; the rest is left out.
var intentOf = map[Intent]string{Done: "done", Declined: "declined", Recommended: "recommended", FoundGood: "found good", Reported: "symptom"}

// TestWorkshopTextsByIntent: all our own sentences in workshop style by what
// they say of the work: a hit read as another class is wrong for the class
// read and missed for the class meant.
func TestWorkshopTextsByIntent(t *testing.T) {
	by := map[string]*tally{}
	for _, c := range intentOf {
		by[c] = &tally{}
	}
	var all tally
	n := 0
	for _, name := range []string{"sentences.csv", "unseen.csv", "other.csv"} {
		rows := readSentences(t, name)
		entries, ids := entriesOf(rows)
		l, err := New(entries)
		require.NoError(t, err)
		for _, s := range rows {
			want := ""
			if s.hit {
				want = intentOf[s.intent]
			}
			got := ""
			if h, ok := firstHit(l.Scan(s.text), ids[string(s.kind)+"|"+s.phrase]); ok {
				got = intentOf[h.Intent]
			}
			if want != "" {
				n++
			}
			switch {
			case want == got && want != "":
				by[want].right++
				all.right++
				continue
			case want == got:
				continue
			}
			t.Logf("meant %q, read %q: %q", want, got, s.text)
			if want != "" {
				by[want].missed++
				all.missed++
			}
			if got != "" {
				by[got].wrong++
				all.wrong++
			}
		}
	}
	report(t, by, &all, n)
	assert.GreaterOrEqual(t, n, 200)
	for c, is := range by {
		assert.GreaterOrEqual(t, is.right+is.missed, 20, "sentences of class %s", c)
	}
	assert.GreaterOrEqual(t, all.precision(), intentPrecision)
	assert.GreaterOrEqual(t, all.recall(), intentRecall)
}

func entriesOf(rows []tableRow) ([]Entry, map[string]int) {
	ids := map[string]int{}
	var entries []Entry
	for _, s := range rows {
		if key := string(s.kind) + "|" + s.phrase; !hasKey(ids, key) {
			ids[key] = len(entries)
			entries = append(entries, Entry{ID: len(entries), Kind: s.kind, Text: s.phrase})
		}
	}
	return entries, ids
}

func hasKey(m map[string]int, key string) bool {
	_, ok := m[key]
	return ok
}

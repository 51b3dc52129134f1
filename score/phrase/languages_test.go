package phrase

import "testing"

// The Italian and Portuguese sentences were written and labelled before any word of these languages was known; their first scores are in SOURCE.md.
func TestItalianSentences(t *testing.T)    { assertLanguage(t, "italian.csv") }
func TestPortugueseSentences(t *testing.T) { assertLanguage(t, "portuguese.csv") }

func assertLanguage(t *testing.T, name string) {
	rows := readSentences(t, name)
	entries, ids := entriesOf(rows)
	l, err := New(entries)
	if err != nil {
		t.Fatal(err)
	}
	assertRead(t, l, ids, rows)
}

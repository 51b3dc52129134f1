package phrase

import (
	"strings"
	"sync"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNewReportsEveryFault(t *testing.T) {
	_, err := New([]Entry{
		{ID: 1, Kind: "wrong", Text: "fuel pump"},
		{ID: 2, Kind: Symptom, Text: " , "},
		{ID: 3, Kind: Renews, Text: "replaced"},
		{ID: 4, Kind: Symptom, Text: "in the"},
		{ID: 5, Kind: Name, Text: strings.Repeat("pump ", 61)},
		{ID: 6, Kind: Name, Text: "fuel pump"},
	})
	require.Error(t, err)
	assert.ErrorIs(t, err, ErrNoWord)
	for _, want := range []string{"entry 0", "entry 1", "entry 2", "entry 3", "entry 4", "names no part", "more than 60"} {
		assert.ErrorContains(t, err, want)
	}
	assert.NotContains(t, err.Error(), "entry 5")
}

func TestNothingForNothing(t *testing.T) {
	empty, err := New(nil)
	require.NoError(t, err)
	assert.Nil(t, empty.Scan("fuel pump replaced"))
	l, _ := testLexicon(t)
	for _, text := range []string{"", " ", "...", "oil service", "replaced", "\xff\xfe", "no"} {
		assert.Nil(t, l.Scan(text), "%q", text)
	}
}

func TestOffsetsAndExactness(t *testing.T) {
	l, ids := testLexicon(t)
	for _, c := range []struct {
		rule, text string
		kind       Kind
		phrase     string
		shown      string
		exact      bool
	}{
		{"the phrase as it stands", "old fuel pump, gone", Name, "fuel pump", "fuel pump", true},
		{"case does not count", "FUEL PUMP", Name, "fuel pump", "FUEL PUMP", true},
		{"a hyphen does not count", "fuel-pump", Name, "fuel pump", "fuel-pump", true},
		{"a plural is bridged", "fuel pumps", Name, "fuel pump", "fuel pumps", false},
		{"a slip is bridged", "presure sensor", Treats, "pressure sensor", "presure sensor", false},
		{"a short form counts as the word", "HP pump", Name, "high-pressure pump follower", "", true},
		{"letters of several bytes before", "défaut: höhe – metal in filter", Symptom, "metal in filter", "metal in filter", true},
		{"letters of several bytes inside", "Högtryckspump", Name, "högtryckspump", "Högtryckspump", true},
		{"combining accents", "ho\u0308gtryckspump", Name, "högtryckspump", "ho\u0308gtryckspump", true},
		{"Polish l and n with strokes", "opiłki w filtrze", Symptom, "opiłki w filtrze", "opiłki w filtrze", true},
		{"diacritics left out", "opilki w filtrze", Symptom, "opiłki w filtrze", "opilki w filtrze", true},
		{"an initial and a slash", "f/pump", Name, "fuel pump", "f/pump", true},
	} {
		t.Run(c.rule, func(t *testing.T) {
			h, ok := firstHit(l.Scan(c.text), ids[string(c.kind)+"|"+c.phrase])
			require.Equal(t, c.shown != "", ok)
			if ok {
				assert.Equal(t, c.shown, c.text[h.Start:h.End])
				assert.Equal(t, c.exact, h.Exact)
			}
		})
	}
}

func TestTwoMentionsGiveTwoHits(t *testing.T) {
	l, ids := testLexicon(t)
	var got []Intent
	for _, h := range l.Scan("clutch release bearing inspected: worn. clutch release bearing renewed") {
		if h.ID == ids["called|clutch release bearing"] {
			got = append(got, h.Intent)
		}
	}
	assert.Equal(t, []Intent{FoundWorn, Done}, got)
}

func TestParseStatus(t *testing.T) {
	for cell, want := range map[string]Intent{
		"done": Done, "DONE": Done, "Completed": Done, "closed": Done, "erledigt": Done, "fertig": Done, "effectué": Done, "terminé": Done,
		"realizado": Done, "utfört": Done, "utført": Done, "tehty": Done, "wykonano": Done, "replaced": Done, "carried out": Done,
		"declined": Declined, "Declined by customer": Declined, "abgelehnt": Declined, "refusé": Declined, "rechazado": Declined,
		"avböjt": Declined, "avslått": Declined, "hylätty": Declined, "odrzucono": Declined, "not done": Declined, "nicht erledigt": Declined,
		"not authorised": Declined, "cancelled": Declined, "no": Declined,
		"recommended": Recommended, "recc": Recommended, "empfohlen": Recommended, "recommandé": Recommended, "recomendado": Recommended,
		"rekommenderas": Recommended, "anbefalt": Recommended, "suositellaan": Recommended, "zalecane": Recommended, "to do": Recommended,
		"open": Recommended, "pending": Recommended, "to be done": Recommended, "advisory": Recommended, "quoted": Recommended,
		"inspected": Inspected, "ok": FoundGood, "i.O.": FoundGood, "n.i.O.": FoundWorn, "worn": FoundWorn, "no fault found": FoundGood,
	} {
		got, ok := ParseStatus(cell)
		assert.True(t, ok, "%q", cell)
		assert.Equal(t, want, got, "%q", cell)
	}
	for _, cell := range []string{"", " ", "-", "?", "north", "42", "done / declined"} {
		got, ok := ParseStatus(cell)
		assert.False(t, ok, "%q is %s", cell, got)
	}
}

// same compares hits but for their offsets.
func same(t *testing.T, want, got []Hit, text string) {
	t.Helper()
	require.Equal(t, len(want), len(got), "%q", text)
	for i := range want {
		w, g := want[i], got[i]
		w.Start, w.End, g.Start, g.End = 0, 0, 0, 0
		require.Equal(t, w, g, "%q", text)
	}
}

func TestCaseAndBlanksDoNotMatter(t *testing.T) {
	l, _ := testLexicon(t)
	rows := readSentences(t, "sentences.csv")
	rapid.Check(t, func(r *rapid.T) {
		a := rapid.SampledFrom(rows).Draw(r, "first").text
		b := rapid.SampledFrom(rows).Draw(r, "second").text
		text := a + rapid.SampledFrom([]string{". ", ", ", " and ", "\n", "; ", " "}).Draw(r, "between") + b
		want := l.Scan(text)
		same(t, want, l.Scan(text), text)
		upper := strings.Map(func(c rune) rune {
			if c == 'ß' {
				return c
			}
			return unicode.ToUpper(c)
		}, text)
		same(t, want, l.Scan(upper), upper)
		wide := strings.ReplaceAll(text, " ", "  ")
		same(t, want, l.Scan(wide), wide)
	})
}

func TestManyAtOnce(t *testing.T) {
	l, _ := testLexicon(t)
	rows := readSentences(t, "sentences.csv")
	want := make([][]Hit, len(rows))
	for i, r := range rows {
		want[i] = l.Scan(r.text)
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for i, r := range rows {
				assert.Equal(t, want[i], l.Scan(r.text))
			}
		})
	}
	wg.Wait()
}

func FuzzScan(f *testing.F) {
	l, _ := testLexicon(f)
	for _, s := range []string{"fuel pump replaced", "R & R f/pump, no leaks", "metal in filter? none", "n.i.O. (pump", "l'huile d'", "re-", "i.", "ſẞİ",
		"no no no not", "pump - ", "HP HP pump", "\xf0\x28", "to replace", "a/"} {
		f.Add(s)
	}
	for _, s := range corpusCells(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		last := 0
		for _, h := range l.Scan(text) {
			if h.Start < last || h.End <= h.Start || h.End > len(text) {
				t.Fatalf("offsets %d..%d after %d in %q", h.Start, h.End, last, text)
			}
			last = h.Start
			if utf8.ValidString(text) && !utf8.ValidString(text[h.Start:h.End]) {
				t.Fatalf("hit cuts a letter in %q", text)
			}
		}
		ParseStatus(text)
	})
}

func FuzzNew(f *testing.F) {
	f.Add("fuel pump replaced, revised part", "renews")
	f.Add("in the", "words")
	f.Fuzz(func(t *testing.T, text, kind string) {
		l, err := New([]Entry{{ID: 7, Kind: Kind(kind), Text: text}})
		if err != nil {
			return
		}
		for _, h := range l.Scan(text) {
			if h.ID != 7 || h.End > len(text) {
				t.Fatalf("%+v", h)
			}
		}
	})
}

// benchEntries are 150 phrases: the neutral ones and more of the same make.
func benchEntries(b *testing.B) []Entry {
	out := testEntries(b)
	for _, place := range []string{"left", "right", "middle", "upper"} {
		for _, thing := range []string{"brake caliper", "heater core", "mirror motor", "axle stub", "ramp hinge", "door runner", "lift chain"} {
			for _, k := range []Entry{{Kind: Name}, {Kind: Renews}, {Kind: Symptom}, {Kind: Failed}} {
				if len(out) == 150 {
					return out
				}
				text := place + " " + thing + map[Kind]string{Renews: " replaced", Symptom: " grinds", Failed: " broken"}[k.Kind]
				out = append(out, Entry{ID: len(out), Kind: k.Kind, Text: text})
			}
		}
	}
	return out
}

func BenchmarkScan(b *testing.B) {
	for _, c := range []struct{ name, text string }{
		{"miss", "annual service carried out, oil and cabin filter, brakes cl."},
		{"hit", "fuel pump noisy when hot, replaced under warranty, no leaks."},
		{"remark", "customer reports pump knock, metal in filter? none seen. HP pump inspected, no fault found; pressure sensor replaced"},
	} {
		b.Run(c.name, func(b *testing.B) {
			l, err := New(benchEntries(b))
			if err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(len(c.text)))
			b.ReportAllocs()
			for b.Loop() {
				l.Scan(c.text)
			}
		})
	}
}

package vin

import (
	"testing"
	"unicode/utf8"
)

// FuzzJudge: never panics; what it accepts has 17 legal characters, is printed back and judged alike
// again; what it suggests is a VIN; and there is a reason exactly where there is a fault.
func FuzzJudge(f *testing.F) {
	for _, s := range []string{"", usGood, usBad, " 1g4-ah59h45g118341", "1G4АH59H45G118341", "1.2E16", "VIN: " + usGood, "I" + usGood, "*", "\xff\xfe", "０"} {
		f.Add(s, "us", 2005, 2026, false)
	}
	for _, s := range corpusCells(f) {
		f.Add(s, "eu", 2017, 2026, false)
	}
	f.Fuzz(func(t *testing.T, raw, market string, stated, year int, heavy bool) {
		c := Context{Market: Market(market), StatedYear: stated, Year: year, Heavy: heavy}
		r := Judge(raw, c)
		if len(r.Findings) == 0 || r.SetAside != (r.VIN == "") || r.Reason.Empty() != r.Has(Good) || r.Has(Good) && len(r.Findings) > 1 {
			t.Fatalf("inconsistent report %+v", r)
		}
		if len(r.Suggestions) > most {
			t.Fatalf("%d suggestions", len(r.Suggestions))
		}
		for _, s := range r.Suggestions {
			if _, err := Parse(string(s.VIN)); err != nil || s.Why.Empty() {
				t.Fatalf("suggestion %+v: %v", s, err)
			}
		}
		if utf8.ValidString(raw) && !utf8.ValidString(r.Text) {
			t.Fatalf("text %q", r.Text)
		}
		if r.SetAside {
			return
		}
		if len(r.VIN) != size || !legal(string(r.VIN)) || string(r.VIN) != r.Text {
			t.Fatalf("accepted %q", r.VIN)
		}
		if again := Judge(string(r.VIN), c); again.VIN != r.VIN || len(again.Notes) > 0 {
			t.Fatalf("%q judged again: %+v", r.VIN, again)
		}
	})
}

func BenchmarkJudgeGood(b *testing.B) {
	c := Context{Market: EU, StatedYear: 2005, Year: 2026}
	b.ReportAllocs()
	for b.Loop() {
		Judge(usGood, c)
	}
}

func BenchmarkJudgeUnclean(b *testing.B) {
	c := Context{Market: EU, StatedYear: 2005, Year: 2026}
	for b.Loop() {
		Judge(" 1g4 ah59h45g 118341", c)
	}
}

func BenchmarkJudgeBadCheckDigit(b *testing.B) {
	c := Context{Market: US, StatedYear: 2005, Year: 2026}
	for b.Loop() {
		Judge("1G4AH59H45G118431", c)
	}
}

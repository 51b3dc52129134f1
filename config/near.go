package config

import (
	"slices"
	"strings"
)

// nearest returns the known word closest to got, or "" where none is close
// enough to be a slip: up to a third of its letters, at least one, or one word
// that begins with the other.
func nearest(got string, known []string) string {
	g := plain(got)
	best, bestDist := "", 1<<30
	for _, k := range known {
		p := plain(k)
		d := distance(g, p)
		limit := max(1, max(len(g), len(p))/3)
		if len(g) >= 2 && len(p) >= 2 && (strings.HasPrefix(p, g) || strings.HasPrefix(g, p)) {
			d = min(d, limit)
		}
		if d <= limit && d < bestDist {
			best, bestDist = k, d
		}
	}
	return best
}

// plain folds case and the marks that people put between words.
func plain(s string) string {
	return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(strings.TrimSpace(s)))
}

// distance is the optimal string alignment distance: insertions, deletions,
// substitutions and swaps of neighbours each count one. Levenshtein's counts
// a swap, the commonest slip of the keyboard, as two.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	if len(s) > 64 || len(t) > 64 { // no key is that long; keep hostile files cheap
		return 1 << 20
	}
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}

// meant are the words of people for words of ours: no slip of a letter leads from one to the other, and
// the nearest by letters is wrong ("uk" is no "us").
var meant = map[string]string{
	"dealer": "trade-in", "part exchange": "trade-in", "buyer": "auction", "bidder": "auction", "planner": "fleet",
	"english": "en", "spanish": "es", "español": "es", "castellano": "es",
	"uk": "eu", "gb": "eu", "europe": "eu", "usa": "us", "canada": "ca", "china": "cn",
	"name": "job", "safety": "injury", "danger": "injury", "kilometres": "km", "kilometers": "km",
}

// wordOf is the known word for one of people's; "" where there is none.
func wordOf(got string, known []string) string {
	if w := meant[strings.ToLower(strings.TrimSpace(got))]; slices.Contains(known, w) {
		return w
	}
	return ""
}

// didYouMean words the nearest known word as a hint, "" where none is near.
func didYouMean(got string, known []string) string {
	if w := wordOf(got, known); w != "" {
		return "did you mean " + w + "?"
	}
	if n := nearest(got, known); n != "" {
		return "did you mean " + n + "?"
	}
	return ""
}

// orKnown is didYouMean that also says where a key belongs, or lists the few
// that are known. A key at the wrong depth is likelier than two slips in one.
func orKnown(got string, known []string) string {
	if plain(got) == "parts" {
		return "parts stand in a catalogue, which a job names: catalogue: [parts.yaml]"
	}
	if got != "" && strings.Trim(got, "0123456789") == "" {
		return "a comma parts keys and values here: write a figure without one, such as 160000"
	}
	hint := didYouMean(got, known)
	if wordOf(got, known) == "" && distance(plain(got), plain(nearest(got, known))) > 1 {
		for _, h := range homes {
			if slices.Contains(h.keys, plain(got)) {
				return "it belongs under " + h.under
			}
		}
	}
	if hint != "" {
		return hint
	}
	if len(known) <= 12 {
		return "known here: " + strings.Join(known, ", ")
	}
	return ""
}

// homes are the groups in which a key may have been meant that stands at the
// wrong depth, the commonest slip of indentation.
var homes = []struct {
	under string
	keys  []string
}{
	{"usage", usageKeys}, {"money", moneyKeys}, {"schedule", scheduleKeys}, {"output", outputKeys},
	{"notify", notifyKeys}, {"mail", mailKeys},
	{"buying", buyingKeys}, {"kits", kitsKeys}, {"inputs", inputKeys}, {"sheets", sheetKeys},
	{"repairs", repairKeys}, {"costs", costKeys}, {"fits", fitKeys}, {"rules", ruleKeys},
	{"inspection", inspectionKeys},
}

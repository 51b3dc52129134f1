package config

import (
	"fmt"
	"strings"

	"pitlist/score"
)

// betweenFits reports ranges that overlap across the entries of fits: entries
// that agree in every condition but one, and in that one overlap. Where more
// than one condition differs, both may be meant as they stand.
func betweenFits(all []score.Fit, places []group) {
	first := map[string]int{} // what an entry says -> the first that says it
	var fresh []int           // entries that say something of their own
	for i := range all {
		says := sayings(&all[i])
		key := strings.Join(says[:], "\n")
		if strings.TrimSpace(key) == "" || places[i].blank() {
			continue // what a blank will hold may well part the range from others
		}
		if j, twice := first[key]; twice {
			places[i].faultf("delete one", "the range says the same as range %d", j+1)
			continue
		}
		first[key] = i
		fresh = append(fresh, i)
	}
	across(all, places, fresh, "model_year", yearRanges, func(f *score.Fit) []score.YearRange { return f.ModelYear })
	across(all, places, fresh, "engine_serial", serialRanges(nil), func(f *score.Fit) []score.SerialRange { return f.EngineSerial })
	across(all, places, fresh, "build_date", dayRanges, func(f *score.Fit) []score.DayRange { return f.BuildDate })
	across(all, places, fresh, "vin_serial", serialRanges(nil), func(f *score.Fit) []score.SerialRange { return f.VINSerial })
	across(all, places, fresh, "vin", serialRanges(nil), func(f *score.Fit) []score.SerialRange { return f.VIN })
}

// sayings gives what an entry says in each condition, in the order of fitKeys;
// "" where it says nothing.
func sayings(f *score.Fit) [9]string {
	var out [9]string
	for i, says := range [9]any{f.WMI, f.Make, f.Model, f.ModelYear, f.EngineFamily, f.EngineSerial, f.BuildDate, f.VINSerial, f.VIN} {
		if text := fmt.Sprintf("%q", says); text != "[]" {
			out[i] = text
		}
	}
	return out
}

// across looks for overlaps in one condition among entries that agree in all
// the others.
func across[T any](all []score.Fit, places []group, fresh []int, key string, k rangeKind[T], of func(*score.Fit) []T) {
	alike := map[string][]int{} // what the others say -> entries
	var order []string
	for _, i := range fresh {
		says := sayings(&all[i])
		for c := range fitKeys {
			if fitKeys[c] == key {
				says[c] = ""
			}
		}
		rest := strings.Join(says[:], "\n")
		if alike[rest] == nil {
			order = append(order, rest)
		}
		alike[rest] = append(alike[rest], i)
	}
	for _, rest := range order {
		var items []T
		var owner []int
		for _, i := range alike[rest] {
			for _, r := range of(&all[i]) {
				items, owner = append(items, r), append(owner, i)
			}
		}
		said := map[int]bool{}
		for _, pair := range k.collisions(items) {
			a, b := owner[pair[0]], owner[pair[1]]
			if a == b || said[b] { // within one entry it was reported already
				continue
			}
			said[b] = true
			places[b].get(key).faultf("join them, or part them", "%s overlaps that of range %d, and nothing else tells the two ranges apart", key, a+1)
		}
	}
}

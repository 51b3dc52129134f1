package config

import (
	"reflect"

	"pitlist/score"
)

// betweenFits reports ranges that overlap across the entries of fits: two
// that agree in every condition but one, and in that one overlap. Where more
// than one condition differs, both may be meant as they stand.
func betweenFits(all []score.Fit, places []group) {
	for i := range all {
		for j := range i {
			differ := differing(&all[i], &all[j])
			switch {
			case len(differ) == 0 && !empty(&all[i]):
				places[i].faultf("delete one", "the range says the same as range %d", j+1)
			case len(differ) == 1 && overlapping(differ[0], &all[i], &all[j]):
				at := places[i].get(differ[0])
				at.faultf("join them, or part them", "%s overlaps that of range %d, and nothing else tells the two ranges apart", differ[0], j+1)
			}
		}
	}
}

func empty(f *score.Fit) bool { return len(differing(f, &score.Fit{})) == 0 }

// conditions gives the nine conditions by their keys.
func conditions(f *score.Fit) map[string]any {
	return map[string]any{
		"wmi": f.WMI, "make": f.Make, "model": f.Model, "engine_family": f.EngineFamily, "model_year": f.ModelYear,
		"engine_serial": f.EngineSerial, "build_date": f.BuildDate, "vin_serial": f.VINSerial, "vin": f.VIN,
	}
}

// differing lists the conditions in which two ranges differ, in fixed order.
func differing(a, b *score.Fit) []string {
	ca, cb := conditions(a), conditions(b)
	var out []string
	for _, key := range fitKeys {
		va, vb := reflect.ValueOf(ca[key]), reflect.ValueOf(cb[key])
		if va.Len() == 0 && vb.Len() == 0 {
			continue
		}
		if !reflect.DeepEqual(ca[key], cb[key]) {
			out = append(out, key)
		}
	}
	return out
}

func overlapping(key string, a, b *score.Fit) bool {
	switch key {
	case "model_year":
		return anyPair(a.ModelYear, b.ModelYear, overlapYears)
	case "engine_serial":
		return anyPair(a.EngineSerial, b.EngineSerial, overlapSerials)
	case "vin_serial":
		return anyPair(a.VINSerial, b.VINSerial, overlapSerials)
	case "vin":
		return anyPair(a.VIN, b.VIN, overlapSerials)
	case "build_date":
		return anyPair(a.BuildDate, b.BuildDate, overlapDays)
	}
	return false
}

func anyPair[T any](a, b []T, overlap func(x, y T) bool) bool {
	for _, x := range a {
		for _, y := range b {
			if overlap(x, y) {
				return true
			}
		}
	}
	return false
}

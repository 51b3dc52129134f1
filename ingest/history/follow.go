package history

import (
	"slices"
	"strings"
)

// follower finds the vehicles of the record that today's vehicles are: by
// VIN, else by unit, else by registration.
//
// A unit number given to another VIN is another vehicle. A VIN that appears
// for a unit that had none joins the vehicle of that unit. A unit belongs to
// whoever bore it last.
type follower struct {
	state   *state
	byVIN   map[string][]*known
	byUnit  map[string]*known
	byPlate map[string]*known
	exact   map[string]bool // loose forms of units that two of today's vehicles share
}

func (s *state) follower(vehicles []Vehicle) *follower {
	f := &follower{state: s, byVIN: map[string][]*known{}, byUnit: map[string]*known{}, byPlate: map[string]*known{}, exact: map[string]bool{}}
	written := map[string]string{}
	for i := range vehicles {
		u := vehicles[i].Unit
		if u == "" {
			continue
		}
		l := loose(u)
		if have, ok := written[l]; ok && have != tight(u) {
			f.exact[l] = true
		}
		written[l] = tight(u)
	}
	for _, k := range s.inOrder() {
		if k.vin != "" {
			f.byVIN[k.vin] = append(f.byVIN[k.vin], k)
		}
		later(f.byUnit, f.unit(k.unit), k)
		later(f.byPlate, tight(k.plate), k)
	}
	return f
}

// inOrder lists the vehicles by id.
func (s *state) inOrder() []*known {
	out := make([]*known, 0, len(s.vehicles))
	for _, k := range s.vehicles {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b *known) int { return int(a.id - b.id) })
	return out
}

// later keeps the one that bore the name last.
func later(m map[string]*known, name string, k *known) {
	if have := m[name]; name != "" && (have == nil || k.last >= have.last) {
		m[name] = k
	}
}

// tight is a name as compared: case and blanks do not count.
func tight(s string) string { return strings.ToUpper(strings.Join(strings.Fields(s), "")) }

// loose leaves out leading zeros and ".0" too: spreadsheets drop the one and
// add the other.
func loose(u string) string {
	t := strings.TrimSuffix(tight(u), ".0")
	if l := strings.TrimLeft(t, "0"); l != "" {
		return l
	}
	return t
}

func (f *follower) unit(u string) string {
	if l := loose(u); !f.exact[l] {
		return l
	}
	return tight(u)
}

// follow returns the record's vehicle of each of today's; nil for a new one.
// The surest names are followed first, so that no order of rows decides.
func (f *follower) follow(vehicles []Vehicle) []*known {
	out := make([]*known, len(vehicles))
	for _, by := range []func(*Vehicle) *known{f.bothNames, f.vinAlone, f.unitAlone, f.plateAlone} {
		for i := range vehicles {
			if out[i] != nil {
				continue
			}
			if k := by(&vehicles[i]); k != nil && !k.claimed {
				k.claimed = true
				out[i] = k
			}
		}
	}
	for i, k := range out {
		if v := &vehicles[i]; k != nil {
			k.sameNameAgain = k.last == f.state.upTo && k.unit == v.Unit && k.plate == v.Registration
			if k.vin == "" && v.VIN != "" {
				k.vin, k.joined = v.VIN, true
			}
		}
	}
	return out
}

func (f *follower) bothNames(v *Vehicle) *known {
	if v.VIN == "" || v.Unit == "" {
		return nil
	}
	for _, k := range f.byVIN[v.VIN] {
		if f.unit(k.unit) == f.unit(v.Unit) {
			return k
		}
	}
	return nil
}

func (f *follower) vinAlone(v *Vehicle) *known {
	for _, k := range f.byVIN[v.VIN] {
		if !k.claimed {
			return k
		}
	}
	return nil
}

func (f *follower) unitAlone(v *Vehicle) *known {
	if v.Unit == "" {
		return nil
	}
	return compatible(f.byUnit[f.unit(v.Unit)], v)
}

func (f *follower) plateAlone(v *Vehicle) *known {
	if v.Unit != "" || v.Registration == "" {
		return nil
	}
	return compatible(f.byPlate[tight(v.Registration)], v)
}

// compatible refuses a vehicle whose VIN is another.
func compatible(k *known, v *Vehicle) *known {
	if k == nil || k.vin != "" && v.VIN != "" && k.vin != v.VIN {
		return nil
	}
	return k
}

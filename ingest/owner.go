package ingest

import (
	"regexp"
	"strings"

	"pitlist/ingest/value"
	"pitlist/score"
	"pitlist/score/say"
)

// owners finds the vehicle of every row of a sheet of events; rows of vehicle
// sheets have theirs.
func (j *joiner) owners(s *sheet) {
	for r := range s.named.all() {
		if !r.vehicle {
			r.owner = j.owner(s, r)
		}
	}
}

// owner finds the vehicle of an event: by VIN, else by unit, else by
// registration. A contradiction between them is told of; what cannot be told
// apart is set aside.
func (j *joiner) owner(s *sheet, r *namedRow) int32 {
	for _, by := range [...]func(*sheet, *namedRow) (int32, answer){j.ownerByVIN, j.ownerByUnit, j.ownerByPlate} {
		switch n, a := by(s, r); a {
		case found:
			return n
		case unclear:
			return nobody // told of
		}
	}
	if several := j.several(r.unit); several {
		j.lost(s, r, say.F("%s names several vehicles, and a row is of one", r.unit), say.F("give each of them a row of its own"))
		return nobody
	}
	j.lost(s, r, j.stranger(r), say.F("add the vehicle, or correct the number"))
	return nobody
}

// betweenUnits are what people write between the numbers of several vehicles.
var betweenUnits = regexp.MustCompile(`(?i)\s*[,;/+&\n]\s*|\s+(?:and|und|et|y|e|og|och|ja|i|en|to|bis|-|\x{2013})\s+`)

// allUnits are words for the whole fleet, folded (common practice, no source).
var allUnits = map[string]bool{"all": true, "all vehicles": true, "whole fleet": true, "entire fleet": true, "fleet": true, "alle": true, "alle fahrzeuge": true, "tous": true, "toutes": true, "todos": true, "tutti": true, "alla": true, "kaikki": true, "wszystkie": true, "various": true, "diverse": true}

// several reports a cell that names more than one vehicle of the sheets, or all of them.
func (j *joiner) several(unit string) bool {
	if allUnits[value.Fold(unit)] {
		return true
	}
	const most = 100 // a row that names more is a text
	parts := betweenUnits.Split(unit, most+1)
	if len(parts) < 2 || len(parts) > most {
		return false
	}
	known := 0
	for _, p := range parts {
		if p = strings.TrimSpace(p); p != "" && len(j.byUnit.list(j.units.id(p))) > 0 {
			known++
		}
	}
	return known >= 2
}

// stranger says that no vehicle sheet has the row's vehicle.
func (j *joiner) stranger(r *namedRow) say.Text {
	switch {
	case r.key().naming() == byPrefix:
		return say.F("the beginning of a VIN does not tell which vehicle is meant")
	case r.unit != "" && j.units.split[bare(r.unit)]:
		return say.F("unit %s is on no vehicle sheet, and units that only their zeros tell apart are", r.unit)
	case r.unit != "":
		return say.F("unit %s is on no vehicle sheet", r.unit)
	case r.vin != "":
		return say.F("VIN %s is on no vehicle sheet", string(r.vin))
	}
	return say.F("registration %s is on no vehicle sheet", r.registration)
}

// answer is what asking by one name came to.
type answer uint8

const (
	unknown answer = iota
	found
	unclear // several vehicles have the name
)

func (j *joiner) ownerByVIN(s *sheet, r *namedRow) (int32, answer) {
	list := j.byVIN.list(r.vin)
	switch {
	case r.vin == "" || len(list) == 0:
		return nobody, unknown
	case len(list) == 1:
		j.checkUnit(s, r, list[0])
		return list[0], found
	}
	for _, n := range list {
		if have := j.fleet.Vehicles[n].Unit; have != "" && r.unit != "" && j.units.id(have) == j.units.id(r.unit) {
			return n, found
		}
	}
	return j.lost(s, r, say.F("VIN %s stands on %d units of the vehicle sheets", string(r.vin), len(list)), say.F("find out which unit bears it"))
}

// checkUnit tells of a row whose VIN and unit point to two vehicles.
func (j *joiner) checkUnit(s *sheet, r *namedRow, n int32) {
	have := j.fleet.Vehicles[n].Unit
	if r.unit == "" || have == "" || j.units.id(have) == j.units.id(r.unit) {
		return
	}
	reason := say.F("the row says unit %s, but its VIN %s is unit %s; it is taken for the VIN", r.unit, string(r.vin), have)
	if len(j.byUnit.list(j.units.id(r.unit))) > 0 {
		reason = say.F("VIN and unit of the row are two vehicles: VIN %s is unit %s, not %s; the row is taken for the VIN", string(r.vin), have, r.unit)
	}
	s.rowIssue(r, score.Noted, r.unit, reason, say.F("correct the one that is wrong"))
}

func (j *joiner) ownerByUnit(s *sheet, r *namedRow) (int32, answer) {
	if r.unit == "" {
		return nobody, unknown
	}
	list := j.nearby(r.unit)
	if list == nil {
		list = j.byUnit.list(j.units.id(r.unit))
	}
	exact := len(list) > 0
	if !exact {
		list = j.byLonger(s, r)
	}
	switch len(list) {
	case 0:
		return nobody, unknown
	case 1:
		v := &j.fleet.Vehicles[list[0]]
		if exact {
			s.bare.add(r.unit, v.Unit)
		}
		if r.vin != "" && v.VIN != "" {
			reason := say.F("unit %s has VIN %s on the vehicle sheet; the row is taken for the unit", r.unit, string(v.VIN))
			s.rowIssue(r, score.Noted, string(r.vin), reason, say.F("correct the one that is wrong"))
		}
		j.near[0] = list[0]
		return list[0], found
	}
	return j.lost(s, r, say.F("unit %s stands on %d vehicles", r.unit, len(list)), say.F("give the VIN on the row"))
}

// nearby looks for a unit where the rows of a sheet mostly have it: at the vehicle of
// the row before, and at the one after that. A look-up among a million costs more.
func (j *joiner) nearby(unit string) []int32 {
	v := j.fleet.Vehicles
	for n := j.near[0]; n < min(j.near[0]+2, int32(len(v))) && len(j.byUnit.many) == 0; n++ {
		if v[n].Unit == unit {
			j.near[0] = n
			return j.near[:]
		}
	}
	return nil
}

func (j *joiner) ownerByPlate(s *sheet, r *namedRow) (int32, answer) {
	if r.registration == "" {
		return nobody, unknown
	}
	list := j.byReg.list(plate(r.registration))
	switch len(list) {
	case 0:
		return nobody, unknown
	case 1:
		if r.unit != "" || r.vin != "" {
			reason := say.F("%s is on no vehicle sheet; the row is taken for registration %s", r.key().describe(), r.registration)
			s.rowIssue(r, score.Noted, r.key().Name(), reason, say.F("correct the one that is wrong"))
		}
		return list[0], found
	}
	return j.lost(s, r, say.F("registration %s stands on %d vehicles", r.registration, len(list)), say.F("give the unit or the VIN"))
}

// lost sets a row aside.
func (j *joiner) lost(s *sheet, r *namedRow, reason, remedy say.Text) (int32, answer) {
	s.rowIssue(r, score.SetAside, r.key().Name(), reason, remedy)
	s.raise(r.slot, isSetAside)
	return nobody, unclear
}

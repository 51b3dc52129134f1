package ingest

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"pitlist/score"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// joiner puts the rows of all sheets together.
type joiner struct {
	fleet  *score.Fleet
	sheets []*sheet
	units  units
	byVIN  index[vin.VIN]
	byUnit index[string]      // by units.id
	fronts *index[string]     // by units.id of what stands before make and model; nil until asked for
	byReg  index[string]      // by plate
	near   [1]int32           // the vehicle that was last found by its unit
	plates map[string]vin.VIN // the one VIN that goes with a registration where no unit is given; "" for several
}

// join makes the fleet of all sheets: vehicles first, then what happened to
// them. Sources are numbered in reading order.
func join(files []*file) (*score.Fleet, []Answer) {
	j := &joiner{fleet: &score.Fleet{}, plates: map[string]vin.VIN{}}
	for _, f := range files {
		unreadable(f)
		for _, s := range f.sheets {
			j.fleet.Sources = append(j.fleet.Sources, s.view.Source)
			s.source = int32(len(j.fleet.Sources))
			j.sheets = append(j.sheets, s)
		}
	}
	j.vehicles()
	back := j.returned() // before owners are found: their facts are events like others
	for _, s := range j.sheets {
		j.owners(s)
	}
	j.deal()
	for _, s := range j.sheets {
		s.named = pile[namedRow]{} // every fact has its vehicle
	}
	answers := settle(back)
	for _, s := range j.sheets {
		j.told(s)
	}
	j.order()
	return j.fleet, answers
}

// unreadable makes an issue of a file that could not be read.
func unreadable(f *file) {
	if f.view.Err == nil {
		return
	}
	s := &sheet{file: f, told: &Told{}}
	s.view.Source, s.view.Skipped = score.Source{File: f.view.Path}, f.fault()
	s.issues = []problem{{score.Issue{
		Severity: score.Rejected, Value: f.view.Path, Reason: say.F("file not read: %s", f.fault()), Suggestion: hint(f.view.Err),
	}, sheetWide}}
	f.sheets = []*sheet{s}
}

// naming is how much a vehicle row says of which vehicle it means. Rows that
// say more are joined first, so that the order of rows decides nothing.
type naming uint8

const (
	byBoth naming = iota // VIN and unit
	byUnit
	byVINAndPlate
	byVIN
	byRegistration
	byPrefix
)

func (k *key) naming() naming {
	switch {
	case k.vin != "" && k.unit != "":
		return byBoth
	case k.unit != "":
		return byUnit
	case k.vin != "" && k.registration != "":
		return byVINAndPlate
	case k.vin != "":
		return byVIN
	case k.registration != "":
		return byRegistration
	}
	return byPrefix
}

// vehicles files the rows of all vehicle sheets.
func (j *joiner) vehicles() {
	j.units.learn(j.sheets)
	rows := 0
	for _, s := range j.sheets {
		rows += s.vehicles.len()
		for v := range s.vehicles.all() {
			j.learnPlate(s.named.at(v.row))
		}
	}
	j.prepare(rows)
	for how := byBoth; how <= byPrefix; how++ {
		for _, s := range j.sheets {
			s.vehicles.take(func(v *vehicleRow) (again bool) {
				r := s.named.at(v.row)
				named := r.key().naming()
				if named == how {
					j.vehicle(s, r, &v.vehicle)
				}
				return named > how
			})
		}
	}
	if rows > len(j.fleet.Vehicles)+len(j.fleet.Vehicles)/16 {
		j.fleet.Vehicles = slices.Clone(j.fleet.Vehicles) // many rows were merged: give the room back
	}
	for _, s := range j.sheets {
		j.collectVINs(s)
		s.vehicles = pile[vehicleRow]{}
	}
}

// prepare makes room for as many vehicles as there are rows.
func (j *joiner) prepare(rows int) {
	j.fleet.Vehicles = make([]score.Vehicle, rows)
	clear(j.fleet.Vehicles) // see Scorer.AssessAll
	j.fleet.Vehicles = j.fleet.Vehicles[:0]
	j.byVIN, j.byUnit, j.byReg = newIndex[vin.VIN](rows), newIndex[string](rows), newIndex[string](0)
}

// learnPlate notes which VIN goes with a registration.
func (j *joiner) learnPlate(r *namedRow) {
	if r.key().naming() != byVINAndPlate {
		return
	}
	p := plate(r.registration)
	if have, ok := j.plates[p]; ok && have != r.vin {
		j.plates[p] = ""
		return
	}
	j.plates[p] = r.vin
}

// vehicle joins one row to the vehicle that it speaks of, or makes it one.
func (j *joiner) vehicle(s *sheet, r *namedRow, v *score.Vehicle) {
	v.Ref.Source = s.source
	n, found := j.find(s, r)
	if !found {
		return
	}
	class := isUsed
	if n == nobody {
		n = int32(len(j.fleet.Vehicles))
		j.fleet.Vehicles = append(j.fleet.Vehicles, *v)
		j.enter(n)
	} else {
		s.bare.add(r.unit, j.fleet.Vehicles[n].Unit)
		class = j.merge(s, r, n, v)
	}
	r.owner = n
	if v.Status == score.Sold {
		s.rowIssue(r, score.SetAside, v.Name(), say.F("sold: listed nowhere"), say.Text{})
		class, r.owner = isSetAside, nobody
	}
	s.raise(r.slot, class) // one of its facts may still turn out to be new
}

// find looks for the vehicle that a vehicle row speaks of: the same VIN and
// no other unit, else the same unit and no other VIN, else the registration.
// n is nobody for a vehicle not seen before; found is false where it cannot
// be told which of several is meant.
func (j *joiner) find(s *sheet, r *namedRow) (n int32, found bool) {
	switch r.key().naming() {
	case byBoth:
		return j.findBoth(s, r), true
	case byUnit:
		return j.only(s, r, j.byUnit.list(j.units.id(r.unit)))
	case byVINAndPlate, byVIN:
		n, found = j.only(s, r, j.byVIN.list(r.vin))
		if found && n == nobody {
			n = j.findPlate(r)
		}
		return n, found
	case byRegistration:
		return j.only(s, r, j.byReg.list(plate(r.registration)))
	}
	return nobody, true // the first characters of a VIN tell no two vehicles apart
}

// findBoth looks for a vehicle with the row's VIN and unit. Where either
// stands on another vehicle, that is told of, and both are listed.
func (j *joiner) findBoth(s *sheet, r *namedRow) int32 {
	id := j.units.id(r.unit)
	for _, n := range j.byVIN.list(r.vin) {
		if j.units.id(j.fleet.Vehicles[n].Unit) == id {
			return n
		}
	}
	if list := j.byVIN.list(r.vin); len(list) > 0 {
		have := &j.fleet.Vehicles[list[0]]
		reason := say.F("VIN %s stands on unit %s too (%s); both are listed, and rows that give only the VIN cannot be told apart",
			string(r.vin), have.Unit, j.where(have.Ref))
		s.rowIssue(r, score.SetAside, string(r.vin), reason, say.F("find out which unit bears this VIN"))
	}
	if list := j.byUnit.list(id); len(list) > 0 {
		have := &j.fleet.Vehicles[list[0]]
		reason := say.F("unit %s stands on another VIN too: %s (%s); both are listed, and rows that give only the unit cannot be told apart",
			r.unit, string(have.VIN), j.where(have.Ref))
		s.rowIssue(r, score.SetAside, r.unit, reason, say.F("find out which vehicle bears this number"))
	}
	return nobody
}

// only takes the one vehicle of a list. Of several none is taken: the row is
// set aside.
func (j *joiner) only(s *sheet, r *namedRow, list []int32) (int32, bool) {
	switch len(list) {
	case 0:
		return nobody, true
	case 1:
		return list[0], true
	}
	a, b := j.where(j.fleet.Vehicles[list[0]].Ref), j.where(j.fleet.Vehicles[list[1]].Ref)
	reason, remedy := r.several(len(list), a, b)
	s.rowIssue(r, score.SetAside, r.key().Name(), reason, remedy)
	s.raise(r.slot, isSetAside)
	return nobody, false
}

// several says that what names the row's vehicle stands on n vehicles, of which
// two stand at a and b.
func (r *namedRow) several(n int, a, b say.Text) (reason, remedy say.Text) {
	switch r.key().naming() {
	case byUnit:
		return say.F("unit %s stands on %d vehicles (%s and %s); it cannot be told which is meant", r.unit, n, a, b), say.F("give the VIN on the row")
	case byRegistration:
		return say.F("registration %s stands on %d vehicles (%s and %s); it cannot be told which is meant", r.registration, n, a, b), say.F("give the unit or the VIN on the row")
	}
	return say.F("VIN %s stands on %d vehicles (%s and %s); it cannot be told which is meant", string(r.vin), n, a, b), say.F("give the unit on the row")
}

// Name is the shortest way to speak of the row's vehicle.
func (k *key) Name() string {
	return cmp.Or(k.unit, string(k.vin), k.registration, k.prefix)
}

// findPlate joins a row that gives VIN and registration to a vehicle known by
// unit and registration, where both say the same of one vehicle only.
func (j *joiner) findPlate(r *namedRow) int32 {
	if r.registration == "" {
		return nobody
	}
	p := plate(r.registration)
	if list := j.byReg.list(p); len(list) == 1 && j.fleet.Vehicles[list[0]].VIN == "" && j.plates[p] == r.vin {
		return list[0]
	}
	return nobody
}

func (j *joiner) where(r score.Ref) say.Text { return j.fleet.Where(r) }

// enter makes vehicle n findable by all its names.
func (j *joiner) enter(n int32) {
	v := &j.fleet.Vehicles[n]
	if v.VIN != "" {
		j.byVIN.add(v.VIN, n)
	}
	if v.Unit != "" {
		j.byUnit.add(j.units.id(v.Unit), n)
	}
	if v.Registration != "" {
		j.byReg.add(plate(v.Registration), n)
	}
}

// collectVINs moves what was found of a sheet's VINs into the fleet.
func (j *joiner) collectVINs(s *sheet) {
	j.fleet.VINs = slices.Grow(j.fleet.VINs, s.vins.len())
	for r := range s.vins.all() {
		r.Ref.Source = s.source
		r.Twice = r.VIN != "" && len(j.byVIN.list(r.VIN)) > 1
		j.fleet.VINs = append(j.fleet.VINs, *r)
	}
	s.vins = pile[score.VINRow]{}
}

// told moves a sheet's issues into the fleet, in the order of rows. What was
// refused on a row that is used after all was set aside, not the row.
func (j *joiner) told(s *sheet) {
	s.settleCarried()
	if l := &s.longer; l.rows > 0 {
		s.note(say.One(l.rows, say.F("1 row was joined by a part of what stands for the unit, %s for %s: one of them has more than the unit in its cell", strconv.Quote(l.wrote), strconv.Quote(l.have)),
			say.F("%d rows were joined by a part of what stands for the unit, such as %s for %s: one of them has more than the unit in its cell", l.rows, strconv.Quote(l.wrote), strconv.Quote(l.have))))
	}
	if b := &s.bare; b.rows > 0 {
		s.note(say.One(b.rows, say.F("1 row gives the unit with other leading zeros than the vehicle sheet, %s for %s; they were taken for the same", b.wrote, b.have),
			say.F("%d rows give the unit with other leading zeros than the vehicle sheet, such as %s for %s; they were taken for the same", b.rows, b.wrote, b.have)))
	}
	slices.SortStableFunc(s.issues, func(a, b problem) int {
		if c := cmp.Or(cmp.Compare(a.Ref.Row, b.Ref.Row), cmp.Compare(a.Column, b.Column)); c != 0 {
			return c
		}
		return strings.Compare(a.Reason.String(), b.Reason.String()) // the same order in every language
	})
	for _, p := range s.issues {
		p.Ref.Source = s.source
		if p.Severity == score.Rejected && p.slot != sheetWide && s.classes[p.slot] != isRejected {
			p.Severity = score.SetAside
		}
		j.fleet.Issues = append(j.fleet.Issues, p.Issue)
	}
	s.view.Issues, s.issues = len(s.issues), nil
}

// order sorts vehicles by unit, then by their other names. They are large:
// their numbers are sorted, and each is moved once.
func (j *joiner) order() {
	v := j.fleet.Vehicles
	from := make([]int32, len(v)) // where the vehicle for each place stands
	for i := range from {
		from[i] = int32(i)
	}
	slices.SortFunc(from, func(a, b int32) int { return compareVehicles(&v[a], &v[b]) })
	for i := range from {
		first := v[i]
		at := int32(i)
		for from[at] != int32(i) { // along the circle of places that begins here
			next := from[at]
			v[at], from[at] = v[next], at
			at = next
		}
		if at != int32(i) {
			v[at], from[at] = first, at
		}
	}
}

// compareVehicles is a total order: no two vehicles come from one row.
func compareVehicles(a, b *score.Vehicle) int {
	return cmp.Or(cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.VIN, b.VIN), cmp.Compare(a.Registration, b.Registration),
		cmp.Compare(a.VINPrefix, b.VINPrefix), cmp.Compare(a.Ref.Source, b.Ref.Source), cmp.Compare(a.Ref.Row, b.Ref.Row))
}

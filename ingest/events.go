package ingest

import (
	"fmt"

	"pitlist/score"
)

// events finds the vehicle of every fact of a sheet.
func (j *joiner) events(s *sheet, source int32) {
	j.extra.readings = place(j, s, source, j.extra.readings, s.readings)
	j.extra.hours = place(j, s, source, j.extra.hours, s.hours)
	j.extra.scans = place(j, s, source, j.extra.scans, s.scans)
	j.extra.repairs = place(j, s, source, j.extra.repairs, s.repairs)
	j.extra.inspections = place(j, s, source, j.extra.inspections, s.inspections)
	s.readings, s.hours, s.scans, s.repairs, s.inspections = nil, nil, nil, nil, nil
}

func place[T any](j *joiner, s *sheet, source int32, out []owned[T], rows []eventRow[T]) []owned[T] {
	for i := range rows {
		r := &rows[i]
		n, ok := j.owner(s, &r.key, r.slot, r.row)
		if !ok {
			continue
		}
		setRef(&r.fact, score.Ref{Source: source, Row: r.row})
		out = append(out, owned[T]{n, s, r.slot, r.fact})
	}
	return out
}

// setRef points a fact to its row.
func setRef(fact any, ref score.Ref) {
	switch f := fact.(type) {
	case *score.Reading:
		f.Ref = ref
	case *score.Scan:
		f.Ref = ref
	case *score.Repair:
		f.Ref = ref
	case *score.Inspection:
		f.Ref = ref
	}
}

// owner finds the vehicle of an event row: by VIN, else by unit, else by
// registration. A contradiction between the two is told of; what cannot be
// told apart is set aside.
func (j *joiner) owner(s *sheet, k *key, slot, row int32) (int32, bool) {
	if k.vin != "" {
		switch list := j.byVIN[k.vin]; {
		case len(list) == 1:
			j.checkUnit(s, k, row, list[0])
			return list[0], true
		case len(list) > 1:
			for _, n := range list {
				if k.unit != "" && sameUnit(j.fleet.Vehicles[n].Unit, k.unit) {
					return n, true
				}
			}
			return j.lost(s, k, slot, row, fmt.Sprintf("VIN %s stands on %d units of the vehicle sheets", k.vin, len(list)), "find out which unit bears it")
		}
	}
	if k.unit != "" {
		return j.ownerByUnit(s, k, slot, row)
	}
	if k.registration != "" {
		switch list := j.byReg[plate(k.registration)]; len(list) {
		case 1:
			return list[0], true
		case 0:
		default:
			return j.lost(s, k, slot, row, fmt.Sprintf("registration %s stands on %d vehicles", k.registration, len(list)), "give the unit or the VIN")
		}
	}
	return j.lost(s, k, slot, row, k.describe()+" is on no vehicle sheet", "add the vehicle, or correct the number")
}

func (j *joiner) ownerByUnit(s *sheet, k *key, slot, row int32) (int32, bool) {
	list := j.byUnit[unitKey(k.unit)]
	if len(list) == 0 {
		if list = j.byBare[bare(k.unit)]; len(list) == 1 {
			s.once("units were matched without leading zeros, such as " + k.unit)
		}
	}
	switch len(list) {
	case 0:
		return j.lost(s, k, slot, row, k.describe()+" is on no vehicle sheet", "add the vehicle, or correct the number")
	case 1:
		if have := j.fleet.Vehicles[list[0]].VIN; k.vin != "" && have != "" && have != k.vin {
			s.issues = append(s.issues, score.Issue{
				Ref: score.Ref{Row: row}, Value: string(k.vin), Severity: score.Noted,
				Reason: fmt.Sprintf("unit %s has VIN %s on the vehicle sheet; the row is taken for the unit", k.unit, have), Suggestion: "correct the one that is wrong",
			})
		}
		return list[0], true
	}
	return j.lost(s, k, slot, row, fmt.Sprintf("unit %s stands on %d vehicles", k.unit, len(list)), "give the VIN on the row")
}

// checkUnit tells of a row whose VIN and unit point to two vehicles.
func (j *joiner) checkUnit(s *sheet, k *key, row, n int32) {
	have := j.fleet.Vehicles[n].Unit
	if k.unit == "" || have == "" || sameUnit(have, k.unit) {
		return
	}
	s.issues = append(s.issues, score.Issue{
		Ref: score.Ref{Row: row}, Value: k.unit, Severity: score.Noted,
		Reason: fmt.Sprintf("the row says unit %s, but its VIN %s is unit %s; it is taken for the VIN", k.unit, k.vin, have), Suggestion: "correct the one that is wrong",
	})
}

// lost sets a row aside.
func (j *joiner) lost(s *sheet, k *key, slot, row int32, reason, todo string) (int32, bool) {
	v := k.unit
	if v == "" {
		v = k.vinText
	}
	s.issues = append(s.issues, score.Issue{Ref: score.Ref{Row: row}, Value: clip(v), Severity: score.SetAside, Reason: reason, Suggestion: todo})
	s.raise(slot, isSetAside)
	return 0, false
}

// once notes what holds for many rows of a sheet a single time.
func (s *sheet) once(note string) {
	const head = "units were matched"
	for _, n := range s.view.Notes {
		if len(n) > len(head) && n[:len(head)] == note[:len(head)] {
			return
		}
	}
	s.note("%s", note)
}

// hand gives every vehicle its facts, in one block a kind, and settles which
// rows say what another row says.
func (j *joiner) hand() {
	v := j.fleet.Vehicles
	deal(len(v), j.extra.readings, sameReading, func(i int, f []score.Reading) { v[i].Readings = f })
	deal(len(v), j.extra.hours, sameReading, func(i int, f []score.Reading) { v[i].Hours = f })
	deal(len(v), j.extra.scans, sameScan, func(i int, f []score.Scan) { v[i].Scans = f })
	deal(len(v), j.extra.repairs, sameRepair, func(i int, f []score.Repair) { v[i].Repairs = f })
	deal(len(v), j.extra.inspections, sameInspection, func(i int, f []score.Inspection) { v[i].Inspections = f })
	deal(len(v), j.extra.remarks, func(a, b *score.Remark) bool { return a.Day == b.Day && a.Text == b.Text }, func(i int, f []score.Remark) { v[i].Remarks = f })
	j.extra = extras{}
}

// deal sorts facts by vehicle, keeping their order, and drops those that an
// earlier row says too: these rows are merged.
func deal[T any](n int, facts []owned[T], same func(a, b *T) bool, give func(vehicle int, facts []T)) {
	if len(facts) == 0 {
		return
	}
	begin := make([]int32, n+1)
	for i := range facts {
		begin[facts[i].vehicle+1]++
	}
	for i := range n {
		begin[i+1] += begin[i]
	}
	block := make([]T, len(facts))
	fill := append([]int32(nil), begin[:n]...)
	for i := range facts {
		f := &facts[i]
		from, to := begin[f.vehicle], fill[f.vehicle]
		if said(block[from:to], &f.fact, same) {
			f.sheet.raise(f.slot, isMerged)
			continue
		}
		block[to] = f.fact
		fill[f.vehicle] = to + 1
		f.sheet.raise(f.slot, isUsed)
	}
	for i := range n {
		if from, to := begin[i], fill[i]; to > from {
			give(i, block[from:to:to])
		}
	}
}

// said looks for the same fact among the latest ones of the vehicle: far
// apart, a repetition is a fact of its own.
func said[T any](have []T, f *T, same func(a, b *T) bool) bool {
	const within = 64
	for i := len(have) - 1; i >= max(0, len(have)-within); i-- {
		if same(&have[i], f) {
			return true
		}
	}
	return false
}

func sameReading(a, b *score.Reading) bool { return a.Day == b.Day && a.KM == b.KM }

func sameScan(a, b *score.Scan) bool {
	if a.Day != b.Day || a.KM != b.KM || a.SinceClear != b.SinceClear || len(a.Codes) != len(b.Codes) {
		return false
	}
	for i := range a.Codes {
		if a.Codes[i] != b.Codes[i] {
			return false
		}
	}
	return true
}

func sameRepair(a, b *score.Repair) bool {
	return a.Day == b.Day && a.KM == b.KM && a.Text == b.Text && a.Status == b.Status
}

func sameInspection(a, b *score.Inspection) bool {
	return a.Day == b.Day && a.KM == b.KM && a.Part == b.Part && a.Position == b.Position && a.Result == b.Result
}

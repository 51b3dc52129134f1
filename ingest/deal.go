package ingest

import (
	"slices"

	"pitlist/score"
)

// deal gives every vehicle its facts, and settles which rows say what another row says.
func (j *joiner) deal() {
	v := j.fleet.Vehicles
	deal(j, func(s *sheet) *pile[fact[score.Reading]] { return &s.readings }, readingKind,
		func(i int32) *[]score.Reading { return &v[i].Readings })
	deal(j, func(s *sheet) *pile[fact[score.Reading]] { return &s.hours }, readingKind,
		func(i int32) *[]score.Reading { return &v[i].Hours })
	deal(j, func(s *sheet) *pile[fact[score.Scan]] { return &s.scans }, scanKind,
		func(i int32) *[]score.Scan { return &v[i].Scans })
	deal(j, func(s *sheet) *pile[fact[score.Repair]] { return &s.repairs }, repairKind,
		func(i int32) *[]score.Repair { return &v[i].Repairs })
	deal(j, func(s *sheet) *pile[fact[score.Inspection]] { return &s.inspections }, inspectionKind,
		func(i int32) *[]score.Inspection { return &v[i].Inspections })
	deal(j, func(s *sheet) *pile[fact[score.Remark]] { return &s.remarks }, remarkKind,
		func(i int32) *[]score.Remark { return &v[i].Remarks })
}

// kind is what dealing needs to know of a kind of fact.
type kind[T any] struct {
	day  func(*T) score.Day
	same func(a, b *T) bool // whether they say the same, wherever they stand
	ref  func(*T) *score.Ref
}

var (
	readingKind = kind[score.Reading]{
		day:  func(r *score.Reading) score.Day { return r.Day },
		same: func(a, b *score.Reading) bool { return a.Day == b.Day && a.KM == b.KM },
		ref:  func(r *score.Reading) *score.Ref { return &r.Ref },
	}
	scanKind = kind[score.Scan]{
		day: func(s *score.Scan) score.Day { return s.Day },
		same: func(a, b *score.Scan) bool {
			return a.Day == b.Day && a.KM == b.KM && a.SinceClear == b.SinceClear && a.WarmUps == b.WarmUps && a.Incomplete == b.Incomplete &&
				a.MIL == b.MIL && slices.Equal(a.Codes, b.Codes)
		},
		ref: func(s *score.Scan) *score.Ref { return &s.Ref },
	}
	repairKind = kind[score.Repair]{
		day: func(r *score.Repair) score.Day { return r.Day },
		same: func(a, b *score.Repair) bool {
			return a.Day == b.Day && a.KM == b.KM && a.Text == b.Text && a.Status == b.Status && a.PartNo == b.PartNo && a.Cost == b.Cost
		},
		ref: func(r *score.Repair) *score.Ref { return &r.Ref },
	}
	inspectionKind = kind[score.Inspection]{
		day: func(i *score.Inspection) score.Day { return i.Day },
		same: func(a, b *score.Inspection) bool {
			return a.Day == b.Day && a.KM == b.KM && a.Part == b.Part && a.Position == b.Position && a.Result == b.Result &&
				slices.Equal(a.Measures, b.Measures)
		},
		ref: func(i *score.Inspection) *score.Ref { return &i.Ref },
	}
	remarkKind = kind[score.Remark]{
		day:  func(r *score.Remark) score.Day { return r.Day },
		same: func(a, b *score.Remark) bool { return a.Day == b.Day && a.Text == b.Text },
		ref:  func(r *score.Remark) *score.Ref { return &r.Ref },
	}
)

// dealing hands out the facts of one kind.
type dealing[T any] struct {
	kind[T]
	begin, end []int32                // of each vehicle's facts among all
	blocks     [][]T                  // the facts of together vehicles each; nil: none yet
	many       map[vehicleDay][]int32 // facts of vehicles with many of them
}

// together is how many vehicles have their facts in one block: it goes when all of
// them have let theirs go.
const together = 512

// block is where a vehicle's facts lie, and which of all its first one is.
func (d *dealing[T]) block(vehicle int32) (facts []T, first int32) {
	n := vehicle / together
	first = d.begin[n*together]
	if d.blocks[n] == nil {
		d.blocks[n] = make([]T, d.begin[min((n+1)*together, int32(len(d.begin)-1))]-first)
	}
	return d.blocks[n], first
}

type vehicleDay struct {
	vehicle int32
	day     score.Day
}

// few is how many facts of a vehicle are looked through one by one for one
// that says the same.
const few = 32

// deal sorts the facts of one kind by vehicle, keeping their order, and drops
// those that an earlier row says too: these rows are merged.
func deal[T any](j *joiner, of func(*sheet) *pile[fact[T]], k kind[T], at func(vehicle int32) *[]T) {
	d := dealing[T]{kind: k, begin: make([]int32, len(j.fleet.Vehicles)+1), many: map[vehicleDay][]int32{}}
	total := int32(0)
	for _, s := range j.sheets {
		for f := range of(s).all() {
			if n := s.named.at(f.row).owner; n != nobody {
				d.begin[n+1]++
				total++
			}
		}
	}
	if total > 0 {
		for i := range len(d.begin) - 1 {
			d.begin[i+1] += d.begin[i]
		}
		d.end = slices.Clone(d.begin[:len(d.begin)-1])
		d.blocks = make([][]T, len(d.end)/together+1)
		for _, s := range j.sheets {
			d.sheet(s, of(s))
		}
		for i, end := range d.end {
			if from := d.begin[i]; end > from {
				block, first := d.block(int32(i))
				*at(int32(i)) = block[from-first : end-first : end-first]
			}
		}
	}
	for _, s := range j.sheets {
		*of(s) = pile[fact[T]]{} // let go of what has been dealt
	}
}

// sheet deals the facts of one sheet and lets go of them on the way.
func (d *dealing[T]) sheet(s *sheet, facts *pile[fact[T]]) {
	facts.take(func(f *fact[T]) (again bool) {
		r := s.named.at(f.row)
		switch {
		case r.owner == nobody:
		case d.said(r.owner, &f.what):
			s.raise(r.slot, isMerged)
		default:
			d.ref(&f.what).Source = s.source
			d.add(r.owner, &f.what)
			s.raise(r.slot, isUsed)
		}
		return false
	})
}

func (d *dealing[T]) add(vehicle int32, f *T) {
	at := d.end[vehicle]
	block, first := d.block(vehicle)
	block[at-first] = *f
	d.end[vehicle]++
	if at-d.begin[vehicle] >= few {
		k := vehicleDay{vehicle, d.day(f)}
		d.many[k] = append(d.many[k], at)
	}
}

// said looks for the same fact among those of the vehicle.
func (d *dealing[T]) said(vehicle int32, f *T) bool {
	from, to := d.begin[vehicle], d.end[vehicle]
	if from == to {
		return false
	}
	block, first := d.block(vehicle)
	for i := from; i < min(to, from+few); i++ {
		if d.same(&block[i-first], f) {
			return true
		}
	}
	if to-from <= few {
		return false
	}
	return slices.ContainsFunc(d.many[vehicleDay{vehicle, d.day(f)}], func(i int32) bool { return d.same(&block[i-first], f) })
}

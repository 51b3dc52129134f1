package ingest

import "slices"

// index finds vehicles by a name. Nearly every name stands on one vehicle, so
// that only the others have lists.
type index[K comparable] struct {
	one  map[K]int32   // names of one vehicle
	many map[K][]int32 // names of several
	last [1]int32      // what list gave last, where it was one
}

func newIndex[K comparable](size int) index[K] {
	return index[K]{one: make(map[K]int32, size), many: map[K][]int32{}}
}

// list gives the vehicles that bear the name, in the order in which they came.
// It is valid until the next call.
func (x *index[K]) list(k K) []int32 {
	if n, ok := x.one[k]; ok {
		x.last[0] = n
		return x.last[:]
	}
	if len(x.many) == 0 {
		return nil
	}
	return x.many[k]
}

// add notes that vehicle n bears the name.
func (x *index[K]) add(k K, n int32) {
	have, alone := x.one[k]
	switch {
	case alone && have != n:
		delete(x.one, k)
		x.many[k] = []int32{have, n}
	case alone:
	case len(x.many[k]) == 0:
		x.one[k] = n
	case !slices.Contains(x.many[k], n):
		x.many[k] = append(x.many[k], n)
	}
}

package life

import (
	"errors"
	"fmt"
	"math"
)

// ErrRecord is wrapped by every error about a record that cannot be.
var ErrRecord = errors.New("invalid life record")

// maxDistance and maxWeight keep sums finite. No odometer reads 1e15 and no
// fleet has 1e12 parts: what is beyond them is a slip of the data.
const (
	maxDistance = 1e15
	maxWeight   = 1e12
)

// Record is what is known of one part, or of Weight parts that are alike. All
// distances are in one unit, the caller's.
//
// The part was under observation from Entry on (late entry, left truncation:
// had it failed before, nobody would have heard of it), and failed in
// (Low, High]. Low = High is a failure at exactly that distance, High = +Inf a
// part still running at Low (right-censored), Low = 0 a part found failed at
// its first look (left-censored). The zero value has no weight and counts for
// nothing.
type Record struct {
	Entry  float64 // >= 0; 0: observed since new
	Low    float64 // >= Entry
	High   float64 // >= Low; +Inf: still running at Low
	Weight float64 // >= 0; how many such parts
}

// Failed is one failure at exactly the distance at > 0.
func Failed(at float64) Record { return Record{Low: at, High: at, Weight: 1} }

// Running is one part still running at the distance at (right-censored).
func Running(at float64) Record { return Record{Low: at, High: math.Inf(1), Weight: 1} }

// Between is one failure somewhere in (low, high] (interval-censored).
func Between(low, high float64) Record { return Record{Low: low, High: high, Weight: 1} }

// From is the record with observation beginning at the distance entry.
func (r Record) From(entry float64) Record { r.Entry = entry; return r }

// Times is the record standing for n parts that are alike.
func (r Record) Times(n float64) Record { r.Weight = n; return r }

// Exact says that the distance of failure is known.
func (r Record) Exact() bool { return r.Low == r.High }

// Running says that the part had not failed when last seen.
func (r Record) Running() bool { return math.IsInf(r.High, 1) }

// Validate reports, wrapped in ErrRecord, a record that contradicts itself. A
// failure at distance 0 is refused: a part that never ran has no life, and a
// Weibull's density there is 0 or endless.
func (r Record) Validate() error {
	fault := func(format string, args ...any) error {
		return fmt.Errorf("%w: "+format, append([]any{ErrRecord}, args...)...)
	}
	switch {
	case !(r.Weight >= 0 && r.Weight <= maxWeight):
		return fault("weight %v: must be from 0 to %g", r.Weight, maxWeight)
	case !(r.Entry >= 0 && r.Entry <= maxDistance):
		return fault("entry %v: must be from 0 to %g", r.Entry, maxDistance)
	case !(r.Low >= 0 && r.Low <= maxDistance):
		return fault("distance %v: must be from 0 to %g", r.Low, maxDistance)
	case !(r.High >= r.Low && (r.High <= maxDistance || r.Running())):
		return fault("end %v: must be from the last distance without failure (%v) to %g", r.High, r.Low, maxDistance)
	case r.High == 0:
		return fault("failure at distance 0: a part must have run to have failed")
	case r.Low < r.Entry:
		return fault("entry %v lies after distance %v: observation must begin before it ends", r.Entry, r.Low)
	case r.Exact() && r.Low == r.Entry:
		return fault("failure at %v, where observation begins: it must begin before", r.Low)
	}
	return nil
}

// middle is the distance of a failure, for starting values and exposure: the
// middle of its interval where it is not known.
func (r Record) middle() float64 {
	if r.Running() {
		return r.Low
	}
	return r.Low + (r.High-r.Low)/2
}

// maxFaults is how many faulty records an error lists one by one.
const maxFaults = 10

// usable returns the records with a weight above 0, or an error that lists the
// faulty ones by their place, counted from 1.
func usable(records []Record) ([]Record, error) {
	var errs []error
	faults := 0
	kept := make([]Record, 0, len(records))
	for i, r := range records {
		if err := r.Validate(); err != nil {
			if faults++; faults <= maxFaults {
				errs = append(errs, fmt.Errorf("record %d: %w", i+1, err))
			}
			continue
		}
		if r.Weight > 0 {
			kept = append(kept, r)
		}
	}
	if faults > maxFaults {
		errs = append(errs, fmt.Errorf("and %d faulty records more", faults-maxFaults))
	}
	return kept, errors.Join(errs...)
}

// Tally is what a set of records amounts to.
type Tally struct {
	Records  float64 // total weight
	Events   float64 // weight of the failures, exact or in an interval
	Exposure float64 // total distance observed; a failure in an interval counts to its middle
}

func tally(records []Record) Tally {
	var t Tally
	for _, r := range records {
		t.Records += r.Weight
		if !r.Running() {
			t.Events += r.Weight
		}
		t.Exposure += r.Weight * (r.middle() - r.Entry)
	}
	return t
}

package recall

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"pitlist/ingest/history"
	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
)

// Joined counts what the record added to a fleet.
type Joined struct {
	Remembered int // facts that today's sheets do not give
	Stale      int // facts of today's sheets that a later file has corrected; they are left out
	// News are the facts of each vehicle that no run of an earlier day knew.
	News [][]New
}

// New is a fact that no run of an earlier day knew.
type New struct {
	Kind history.Kind
	Day  score.Day
	Ref  score.Ref
}

// Join puts into the fleet what the record knows of it: facts of earlier runs
// join, facts that were corrected since, or say less, are left out, and what stands undated
// as it stood before is as old as when it was first read. An error says that
// a stored fact cannot be read.
func Join(fleet *score.Fleet, k *history.Known) (Joined, error) {
	j := &joiner{fleet: fleet, known: k, source: map[place]int32{}, codes: map[string][]dtc.Reading{}}
	j.News = make([][]New, len(fleet.Vehicles))
	for i := range fleet.Vehicles {
		j.News[i] = news(&fleet.Vehicles[i], &k.Vehicles[i])
		if err := j.vehicle(i, &fleet.Vehicles[i], &k.Vehicles[i]); err != nil {
			return j.Joined, fmt.Errorf("read the record of %s: %w", fleet.Vehicles[i].Name(), err)
		}
	}
	return j.Joined, nil
}

type place struct {
	source, learned int32
}

type joiner struct {
	Joined
	fleet  *score.Fleet
	known  *history.Known
	source map[place]int32 // index into Fleet.Sources, and one
	last   place           // that was asked for, with its answer
	lastAt int32
	codes  map[string][]dtc.Reading
	scans  details[scanDetail]
	lines  details[repairDetail]
	looks  details[inspectionDetail]
}

func (j *joiner) vehicle(n int, v *score.Vehicle, r *history.Recalled) error {
	for _, d := range r.Redate {
		redate(v, d.Index, score.Day(d.Day))
	}
	j.Stale += len(r.Drop)
	if gone := slices.Concat(r.Drop, r.Less); len(gone) > 0 {
		drop(v, gone)
	}
	if len(r.More) == 0 {
		return nil
	}
	j.Remembered += len(r.More)
	grow(v, r.More)
	for i := range r.More {
		o := &r.More[i]
		ref := score.Ref{Source: j.sourceOf(o), Row: o.Row}
		if err := j.add(v, o, ref); err != nil {
			return err
		}
		if o.Since {
			j.News[n] = append(j.News[n], New{o.Kind, score.Day(o.Day), ref})
		}
	}
	return nil
}

// grow makes room, once a kind, and apart from what the slices share.
func grow(v *score.Vehicle, more []history.Old) {
	n := map[history.Kind]int{}
	for i := range more {
		n[more[i].Kind]++
	}
	v.Readings = slices.Grow(slices.Clip(v.Readings), n[history.Reading])
	v.Hours = slices.Grow(slices.Clip(v.Hours), n[history.Hours])
	v.Scans = slices.Grow(slices.Clip(v.Scans), n[history.Scan])
	v.Repairs = slices.Grow(slices.Clip(v.Repairs), n[history.Repair])
	v.Inspections = slices.Grow(slices.Clip(v.Inspections), n[history.Inspection])
	v.Remarks = slices.Grow(slices.Clip(v.Remarks), n[history.Remark])
}

// add turns one stored fact back into one of the fleet's.
func (j *joiner) add(v *score.Vehicle, o *history.Old, ref score.Ref) error {
	day, at, number := score.Day(o.Day), score.Stated(o.At), score.Stated(o.Number)
	switch o.Kind {
	case history.Reading:
		v.Readings = append(v.Readings, score.Reading{Day: day, KM: at.Value, Unit: o.Detail, Source: o.Key, Undated: o.Undated, Ref: ref})
	case history.Hours:
		v.Hours = append(v.Hours, score.Reading{Day: day, KM: at.Value, Unit: o.Detail, Source: o.Key, Undated: o.Undated, Ref: ref})
	case history.Remark:
		v.Remarks = append(v.Remarks, score.Remark{Day: day, Dated: !o.Undated, Text: o.Text, Ref: ref})
	case history.Scan:
		s := score.Scan{Day: day, KM: at, SinceClear: number, Undated: o.Undated, Ref: ref}
		var err error
		if s.Codes, err = j.list(o.Text); err != nil {
			return err
		}
		d, err := j.scans.of(o.Detail)
		if err != nil {
			return err
		}
		s.WarmUps, s.Incomplete, s.MIL = stated(d.WarmUps), stated(d.Incomplete), d.MIL
		v.Scans = append(v.Scans, s)
	case history.Repair:
		d, err := j.lines.of(o.Detail)
		if err != nil {
			return err
		}
		v.Repairs = append(v.Repairs, score.Repair{Day: day, KM: at, Text: o.Text, Status: phrase.Intent(d.Status), PartNo: d.PartNo, Cost: number, Undated: o.Undated, Ref: ref})
	case history.Inspection:
		d, err := j.looks.of(o.Detail)
		if err != nil {
			return err
		}
		n := score.Inspection{Day: day, KM: at, Result: score.Result(o.Text), By: d.By, Undated: o.Undated, Ref: ref}
		n.Part, n.Position, _ = strings.Cut(o.Key, within)
		for _, m := range d.Measures {
			n.Measures = append(n.Measures, score.Measure{Name: m.Name, Value: m.Value})
		}
		v.Inspections = append(v.Inspections, n)
	default:
		return o.Kind.Validate()
	}
	return nil
}

func stated(p *float64) score.Stated {
	if p == nil {
		return score.Stated{}
	}
	return score.Is(*p)
}

// details are those of one kind of facts, each text read once. They are shared,
// and not to be changed.
type details[T any] map[string]*T

func (d *details[T]) of(text string) (*T, error) {
	if have, ok := (*d)[text]; ok {
		return have, nil
	}
	if *d == nil {
		*d = details[T]{}
	}
	out := new(T)
	if text != "" {
		if err := json.Unmarshal([]byte(text), out); err != nil {
			return nil, err
		}
	}
	(*d)[text] = out
	return out, nil
}

// list reads codes back; lists that say the same share their codes.
func (j *joiner) list(s string) ([]dtc.Reading, error) {
	if s == "" {
		return nil, nil
	}
	if have, ok := j.codes[s]; ok {
		return have, nil
	}
	var out []dtc.Reading
	for item := range strings.SplitSeq(s, between) {
		r, err := code(item)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	j.codes[s] = out
	return out, nil
}

// code reads "P0087 stored"; a code may hold blanks of its own, "SPN 636 FMI 2".
func code(item string) (r dtc.Reading, err error) {
	if i := strings.LastIndexByte(item, ' '); i > 0 {
		for _, s := range [...]dtc.State{dtc.Stored, dtc.Pending, dtc.Permanent} {
			if item[i+1:] == string(s) {
				r.State, item = s, item[:i]
				break
			}
		}
	}
	r.Code, err = dtc.Parse(item)
	return r, err
}

// sourceOf is the place of a remembered fact among the fleet's sources. It
// says when the file was read, for the file may hold something else by now.
func (j *joiner) sourceOf(o *history.Old) int32 {
	p := place{o.Source, o.Learned}
	if p == j.last && j.lastAt > 0 {
		return j.lastAt
	}
	n, ok := j.source[p]
	if !ok {
		n = j.newSource(o)
		j.source[p] = n
	}
	j.last, j.lastAt = p, n
	return n
}

// newSource adds the place to the fleet's sources.
func (j *joiner) newSource(o *history.Old) int32 {
	s := j.known.Sources[o.Source]
	j.fleet.Sources = append(j.fleet.Sources, score.Source{File: s.File, Sheet: s.Sheet, Read: score.Day(o.Learned)})
	return int32(len(j.fleet.Sources))
}

// news names those of today's facts that are new, before anything is changed.
func news(v *score.Vehicle, r *history.Recalled) []New {
	var out []New
	at := 0
	add := func(kind history.Kind, n int, of func(int) (score.Day, score.Ref)) {
		for _, i := range r.Since {
			if i >= at && i < at+n {
				day, ref := of(i - at)
				out = append(out, New{kind, day, ref})
			}
		}
		at += n
	}
	add(history.Reading, len(v.Readings), func(i int) (score.Day, score.Ref) { return v.Readings[i].Day, v.Readings[i].Ref })
	add(history.Hours, len(v.Hours), func(i int) (score.Day, score.Ref) { return v.Hours[i].Day, v.Hours[i].Ref })
	add(history.Scan, len(v.Scans), func(i int) (score.Day, score.Ref) { return v.Scans[i].Day, v.Scans[i].Ref })
	add(history.Repair, len(v.Repairs), func(i int) (score.Day, score.Ref) { return v.Repairs[i].Day, v.Repairs[i].Ref })
	add(history.Inspection, len(v.Inspections), func(i int) (score.Day, score.Ref) { return v.Inspections[i].Day, v.Inspections[i].Ref })
	add(history.Remark, len(v.Remarks), func(i int) (score.Day, score.Ref) { return v.Remarks[i].Day, v.Remarks[i].Ref })
	return out
}

// redate gives fact i of the vehicle, counted as Read lists them, its day.
func redate(v *score.Vehicle, i int, day score.Day) {
	for _, days := range [...]struct {
		n  int
		at func(int) *score.Day
	}{
		{len(v.Readings), func(i int) *score.Day { return &v.Readings[i].Day }},
		{len(v.Hours), func(i int) *score.Day { return &v.Hours[i].Day }},
		{len(v.Scans), func(i int) *score.Day { return &v.Scans[i].Day }},
		{len(v.Repairs), func(i int) *score.Day { return &v.Repairs[i].Day }},
		{len(v.Inspections), func(i int) *score.Day { return &v.Inspections[i].Day }},
		{len(v.Remarks), func(i int) *score.Day { return &v.Remarks[i].Day }},
	} {
		if i < days.n {
			*days.at(i) = day
			return
		}
		i -= days.n
	}
}

// drop takes facts out of the vehicle, counted as Read lists them.
func drop(v *score.Vehicle, gone []int) {
	at := 0
	v.Readings = without(v.Readings, &at, gone)
	v.Hours = without(v.Hours, &at, gone)
	v.Scans = without(v.Scans, &at, gone)
	v.Repairs = without(v.Repairs, &at, gone)
	v.Inspections = without(v.Inspections, &at, gone)
	v.Remarks = without(v.Remarks, &at, gone)
}

func without[T any](items []T, at *int, gone []int) []T {
	out := make([]T, 0, len(items))
	for i := range items {
		if !slices.Contains(gone, *at+i) {
			out = append(out, items[i])
		}
	}
	*at += len(items)
	return out
}

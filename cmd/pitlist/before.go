package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"pitlist/ingest/history"
	"pitlist/ingest/recall"
	"pitlist/report"
	"pitlist/score"
)

// before asks the record for the last run of an earlier day, for the report to
// say what moved since; nil without one.
func (m *memory) before(ctx context.Context, b *batch) (*report.Before, error) {
	if m == nil {
		return nil, nil
	}
	was, err := m.record.Before(ctx, m.known)
	if err != nil {
		return nil, cannotRemember(err)
	}
	if was == nil {
		return nil, nil
	}
	kept, err := m.record.Promises(ctx, m.known, b.partID)
	if err != nil {
		return nil, cannotRemember(err)
	}
	out := &report.Before{
		Day: score.Day(was.Day), Vehicles: was.Vehicles, Above: was.Above, Hours: was.Hours, FailNext: was.FailNext,
		Results: report.Tally(was.Results), Returned: report.Tally(m.known.Returned()), Promised: report.Promised(kept),
		Stood: map[*score.Vehicle]report.Stood{}, News: map[*score.Vehicle][]report.New{}, NewVehicles: map[*score.Vehicle]bool{},
		CurvesChanged: map[string]bool{}, EntriesChanged: map[string]bool{},
		HoursGiven: changedHours(was.Depots, b.job.BayHours),
	}
	for i := range b.read.Fleet.Vehicles {
		v := &b.read.Fleet.Vehicles[i]
		if w, ok := was.Listed[i]; ok {
			out.Stood[v] = stood(&w)
		}
		out.NewVehicles[v] = m.known.Vehicles[i].New
		out.News[v] = news(m.joined.News[i])
	}
	for _, l := range was.Left {
		left := report.Left{Unit: l.Unit, VIN: l.VIN, Registration: l.Registration}
		if l.Listed {
			left.Stood = stood(&l.Row)
		}
		out.Left = append(out.Left, left)
	}
	for id, digest := range digests(b.catalogue) {
		if have, ok := was.Parts[id]; ok && have != digest {
			curve, _, _ := strings.Cut(digest, ".")
			out.CurvesChanged[id] = !strings.HasPrefix(have, curve+".")
			out.EntriesChanged[id] = true
		}
	}
	return out, nil
}

func stood(w *history.Row) report.Stood {
	return report.Stood{Rank: w.Rank, Above: w.Above, Part: w.Part, PWorn: w.PWorn, Waiting: w.Waiting, Hours: w.Hours,
		KM: w.OdometerKM.Value, KMKnown: w.OdometerKM.Known}
}

// news are the new facts that a change can rest on.
func news(list []recall.New) []report.New {
	kinds := map[history.Kind]report.NewKind{history.Scan: report.NewScan, history.Repair: report.NewRepair,
		history.Inspection: report.NewInspection, history.Remark: report.NewRemark}
	var out []report.New
	for _, n := range list {
		if kind, ok := kinds[n.Kind]; ok {
			out = append(out, report.New{Kind: kind, Day: n.Day, Ref: n.Ref})
		}
	}
	return out
}

// noLimit stands for a depot whose hours are not limited.
const noLimit = -1

// changedHours are the depots whose bay-hours are others than last time.
func changedHours(then, now map[string]float64) map[string][2]float64 {
	given := func(m map[string]float64, depot string) float64 {
		if h, ok := m[depot]; ok {
			return h
		}
		return noLimit
	}
	out := map[string][2]float64{}
	for _, m := range []map[string]float64{then, now} {
		for depot := range m {
			if a, b := given(then, depot), given(now, depot); a != b {
				out[depot] = [2]float64{a, b}
			}
		}
	}
	return out
}

// partID is the catalogue's id for the part that an inspection's key names;
// what no entry is called stays as it is.
func (b *batch) partID(key string) string {
	name := recall.PartOf(key)
	for i := range b.catalogue.Parts {
		if p := &b.catalogue.Parts[i]; p.IsCalled(name) {
			return p.ID
		}
	}
	return name
}

// promises are what the list says of the parts that it has above the line and
// that nobody has found worn yet: opening one finds wear with the chance
// p_worn·r + (1−p_worn)·a.
func (b *batch) promises(at map[*score.Vehicle]int) []history.Promise {
	var out []history.Promise
	for i := range b.list.Rows {
		r := &b.list.Rows[i]
		for j := range r.Parts {
			if f := r.Parts[j].Finding; r.Above && f != nil && f.Standing == score.Scored {
				out = append(out, history.Promise{Vehicle: at[r.Assessment.Vehicle], Part: f.Part.ID, PWorn: f.State.Worn, Chance: chanceOfHit(f)})
			}
		}
	}
	return out
}

func chanceOfHit(f *score.Finding) float64 {
	p, n := f.State.Worn, &f.Part.Inspection
	return p*n.Detects + (1-p)*n.FalseAlarm
}

// digests are what the list takes from each entry of the catalogue, as a digest
// of its curves and one of the rest: any change of them can move a vehicle.
func digests(c *score.Catalogue) map[string]string {
	out := make(map[string]string, len(c.Parts))
	for i := range c.Parts {
		p := c.Parts[i]
		p.File, p.Line, p.Reviewed, p.Source = "", 0, 0, "" // where it stands and who says so moves nobody
		curves := fmt.Sprintf("%+v|%+v", p.Onset, p.Delay)
		p.Onset, p.Delay = nil, nil
		rest, err := json.Marshal(&p)
		if err != nil {
			rest = []byte(c.Digest)
		}
		out[p.ID] = short(curves) + "." + short(string(rest))
	}
	return out
}

func short(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:8])
}

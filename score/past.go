package score

import "context"

// Happening is one thing that the dated records say was found of a part or
// done to it: what a backtest holds its forecasts against.
type Happening struct {
	Part    int      // in the catalogue
	Kind    FactKind // FactRenewed, FactClean, FactFoundWorn or FactFailed
	Day     Day
	At      float64 // place on the part's axis
	Failed  bool    // FactFailed, or a renewal whose text says that the part had failed
	Planned bool    // a renewal whose text says that it came before any failure
	Text    string
	Ref     Ref
}

// PastAll returns what happened to the parts of each vehicle up to the
// scorer's day, by part in the catalogue's order and in the order of time.
// Texts are read as for a judgement, with two differences: every entry of the
// catalogue is read for, known by the day or not, and whatever the vehicle's
// ranges say, since a failure outside them is news too. Rows without a day of
// their own say nothing here.
func (sc *Scorer) PastAll(ctx context.Context, vehicles []Vehicle) ([][]Happening, error) {
	out := make([][]Happening, len(vehicles))
	err := sc.share(ctx, len(vehicles), nil, func(w *worker, i int) { out[i] = w.past(&vehicles[i]) })
	return out, err
}

// past gathers the happenings of one vehicle.
func (w *worker) past(v *Vehicle) []Happening {
	cut := v.At(w.settings.Day, true)
	t := w.track(&cut)
	texts := w.reader.texts(&cut)
	var out []Happening
	for i := range w.catalogue.Parts {
		s := story{part: &w.catalogue.Parts[i], index: i, axis: &t}
		s.collect(&cut, texts, w.words)
		for k := range s.events {
			e := &s.events[k]
			if e.kind == FactFoundWorn && s.failedIn(e.ref) {
				continue // "follower seized, follower replaced" tells of one failure
			}
			switch e.kind {
			case FactRenewed, FactClean, FactFoundWorn, FactFailed:
				out = append(out, Happening{Part: i, Kind: e.kind, Day: e.day, At: e.at, Failed: e.failed, Planned: e.planned, Text: e.text, Ref: e.ref})
			}
		}
	}
	return out
}

// failedIn tells whether the row tells of a renewal after a failure.
func (s *story) failedIn(ref Ref) bool {
	for i := range s.events {
		if e := &s.events[i]; e.ref == ref && e.kind == FactRenewed && e.failed {
			return true
		}
	}
	return false
}

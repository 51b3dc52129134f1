package cohort

import (
	"cmp"
	"slices"

	"pitlist/score"
)

// history is one used life of a part: still running at x, failed at x, or found
// worn at x, with the clean inspections before.
type history struct {
	x, e  float64
	clean []float64 // ascending, at most x
	end   ending
}

type ending uint8

const (
	running ending = iota
	failed
	foundWorn
)

// unit is one vehicle-part: its lives share one draw of membership.
type unit struct {
	histories []history
	open      bool // membership is not known
	shown     bool // a failure or a worn finding shows it
}

// unitOf is the unit of a part's past, with renewals of unknown cause taken as
// asked; false where nothing is left that says anything.
func unitOf(p *score.Lives, unknown score.Ending) (unit, bool) {
	u := unit{open: p.Belonging.Membership == score.Unknown}
	for i := range p.Of {
		if h, ok := historyOf(&p.Of[i], unknown); ok {
			u.histories = append(u.histories, h)
			u.shown = u.shown || h.end != running
		}
	}
	return u, len(u.histories) > 0
}

// historyOf is the used part of a life. One that ended in a renewal of unknown
// cause is followed up to its last clean inspection; without one it is left out.
func historyOf(l *score.Life, unknown score.Ending) (history, bool) {
	h := history{x: l.X, e: l.E, clean: l.Clean}
	end := l.End
	if end == score.EndedUnknown && unknown != "" {
		end = unknown
	}
	switch end {
	case score.EndedFailed:
		h.end = failed
	case score.EndedWorn:
		h.end = foundWorn
	case score.EndedUnknown:
		if len(l.Clean) == 0 || !(l.Clean[len(l.Clean)-1] > 0) {
			return h, false
		}
		h.x = l.Clean[len(l.Clean)-1]
		h.e = min(h.e, h.x)
	}
	return h, h.x > 0
}

// compare orders histories by what they say; alike ones are interchangeable.
func (h *history) compare(o *history) int {
	return cmp.Or(
		cmp.Compare(h.end, o.end), cmp.Compare(h.e, o.e), slices.Compare(h.clean, o.clean), cmp.Compare(h.x, o.x),
	)
}

// inOrder sorts units by what they say, so that sums over them do not depend on
// the order of the fleet.
func inOrder(units []unit) {
	slices.SortFunc(units, func(a, b unit) int {
		if a.open != b.open {
			if a.open {
				return 1
			}
			return -1
		}
		return slices.CompareFunc(a.histories, b.histories, func(x, y history) int { return x.compare(&y) })
	})
}

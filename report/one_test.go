package report_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/score/plan"
	"pitlist/score/say"
)

// TestOneOfAKind: of one result, hit, vehicle-part or depot no sentence speaks
// as of several, in either language; the six numbers and the line.
func TestOneOfAKind(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	for n, want := range map[int][2][]string{
		1: {{"1 result returned (0)", "of 1 part opened so far that it had above the line, 1 was worn", "1 worth a look left below, the dearest to leave EUR 31", "; and 1 more depot."},
			{"1 resultado devuelto (0)", "de 1 pieza con apertura", "1 estaba desgastada", "queda debajo 1 que compensa revisar, lo más caro de dejar 31 EUR", "; y 1 base más."}},
		2: {{"2 results returned (0)", "of 2 parts opened so far that it had above the line, 2 were worn", "2 worth a look left below, the dearest to leave EUR 31", "; and 2 more depots."},
			{"2 resultados devueltos (0)", "de 2 piezas con apertura", "2 estaban desgastadas", "quedan debajo 2 que compensa revisar", "; y 2 bases más."}},
	} {
		run, list := invented.Run(fleet), invented.List(as)
		run.Before = &report.Before{Day: today - 7, Returned: report.Tally{Opened: n, Hits: n}, Promised: report.Promised{Chances: []float64{0.9, 0.8}[:n], Hits: n}}
		list.Depots = nil
		for i := range 6 + n {
			list.Depots = append(list.Depots, plan.Depot{Name: fmt.Sprintf("D%d", i), Limited: true, Hours: 8, Used: 7.75, Above: 3, Below: n, NextWaiting: 31.4})
		}
		d := report.Compose(run, fleet, as, list, c)
		require.NotNil(t, d.Week)
		all := say.Join("\n", append(d.Head, d.Line)...)
		for i, l := range []*say.Language{say.English, say.Spanish} {
			for _, s := range want[i] {
				assert.Contains(t, all.In(l), s)
			}
		}
	}
}

// TestNoSentenceGoesOnWithASmallLetter: after a full stop, on the first page of
// the fleet's and the trade-in's desks, with the other depots first and with
// one alone that has no name.
func TestNoSentenceGoesOnWithASmallLetter(t *testing.T) {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	for _, desk := range []plan.Desk{plan.Fleet, plan.TradeIn} {
		for _, depots := range [][]string{{"*", "North"}, {"", "North"}, {"*"}, {"North", "South"}} {
			run, list := invented.Run(fleet), invented.List(as)
			run.Desk, list.Depots = string(desk), nil
			for _, name := range depots {
				list.Depots = append(list.Depots, plan.Depot{Name: name, Limited: true, Hours: 12.5, Used: 9.75, Below: 2, NextWaiting: 31.4})
			}
			d := report.Compose(run, fleet, as, list, c)
			for _, l := range say.Languages() {
				for _, text := range append(d.Head, d.Line) {
					assert.NotRegexp(t, `[.!?] \p{Ll}`, l.Say(text), "%s %v", desk, depots)
				}
				if len(depots) == 2 && depots[1] == "North" {
					assert.Contains(t, l.Say(d.Line), ". "+l.F("Other depots")+": ", "%s", desk)
				}
			}
		}
	}
}

package workbook_test

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/slip"
)

// quoted is a heading as the guide names it.
var quoted = regexp.MustCompile(`“([^”]+)”`)

// TestGuideExplainsTheColumnsOfItsDesk: what the guide's first chapter quotes is
// a heading of the first sheet, at least four on every desk, and the desks
// don't share their chapters.
func TestGuideExplainsTheColumnsOfItsDesk(t *testing.T) {
	for _, l := range say.Languages() {
		var chapters []string
		for _, desk := range []plan.Desk{plan.Fleet, plan.TradeIn, plan.Auction} {
			d := buying(desk)
			if desk == plan.Fleet {
				d = invented.Document()
			}
			d.Run.Language = l
			f := open(t, written(t, d, workbook.Options{}))
			first, err := f.GetRows(f.GetSheetList()[0])
			require.NoError(t, err)
			headings := slices.Concat(first...)
			rows, err := f.GetRows(l.Say(slip.SheetGuide.Name))
			require.NoError(t, err)
			chapter, next := "", false
			for _, row := range rows[1:] {
				switch {
				case len(row) == 0 || row[0] == "":
				case row[0] == l.Say(d.Guide[1].Heading):
					next = true
				case !next:
					chapter += row[0] + "\n"
				}
			}
			names := quoted.FindAllStringSubmatch(chapter, -1)
			require.GreaterOrEqual(t, len(names), 4, "%s: %s", desk, chapter)
			for _, name := range names {
				assert.Contains(t, headings, name[1], "%s, %s", desk, l.Name)
			}
			assert.NotContains(t, chapters, chapter)
			chapters = append(chapters, chapter)
		}
	}
}

package workbook_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/report"
	"pitlist/report/internal/invented"
	"pitlist/report/workbook"
	"pitlist/score/plan"
	"pitlist/score/slip"
)

// buying is the invented fleet as a buying desk has it; the first lot is walked
// to and has nothing that a look could be named for, the second is not.
func buying(desk plan.Desk) *report.Document {
	fleet, c := invented.Fleet(), invented.Catalogue()
	as := invented.Assessments(fleet, c)
	list := invented.List(as)
	for i := range as[:5] {
		d := as[i].Vehicle.Desk()
		d.Lot = fmt.Sprint(201 + i)
		as[i].Vehicle.SetDesk(d)
		o := plan.Offer{Assessment: &as[i], Rank: i + 1, Price: 5000, HasPrice: true, Deduction: 400, BillP90: 900, BidLimit: 4350, Verdict: plan.TakeLess}
		if i == 0 {
			o.Chosen.Looks = []plan.Look{{ID: "listen", Minutes: 4, Place: "yard", Swing: 120}}
			o.Chosen.Minutes, o.Chosen.Swing = 4, 120
		}
		list.Offers = append(list.Offers, o)
	}
	run := invented.Run(fleet)
	run.Desk = string(desk)
	return report.Compose(run, fleet, as, list, c)
}

func TestBuyingDesksReadBack(t *testing.T) {
	for _, c := range []struct {
		desk   plan.Desk
		sheets []string
		heads  []string
		walked string
	}{
		{plan.Auction, []string{"Lots", "Viewing plan", "Results"},
			[]string{"Lot", "What to do (► walk to it)", "Vehicle", "Stop bidding at, EUR", "Comes off, EUR", "Bill in 9 of 10 cases up to, EUR", "Odds of wear now (to fail while held)", "Look or listen for", "Not known, and what it means in money"}, "► take less"},
		{plan.TradeIn, []string{"Offers", "Counter cards", "Stock", "Cards", "Results"},
			[]string{"Unit", "Vehicle", "What to do", "Price, EUR", "Comes off, EUR", "Bill in 9 of 10 cases up to, EUR", "What takes most off", "Look first", "Why"}, "take less"},
	} {
		t.Run(string(c.desk), func(t *testing.T) {
			book := written(t, buying(c.desk), workbook.Options{})
			f := open(t, book)
			names := f.GetSheetList()
			assert.Equal(t, c.sheets, names[:len(c.sheets)])
			rows, err := f.GetRows(names[0])
			require.NoError(t, err)
			at := 0
			for rows[at][0] != c.heads[0] {
				at++
			}
			assert.Equal(t, c.heads, rows[at][:9], "nine columns before the first scroll")
			assert.Len(t, rows, at+1+5, "a row a vehicle, no groups and no line")
			assert.Contains(t, strings.Join(rows[at+1], "|"), c.walked)
			assert.NotContains(t, strings.Join(rows[at+2], "|"), "►")
			printed := ""
			for _, n := range f.GetDefinedName() {
				if n.Scope == names[0] && n.Name == "_xlnm.Print_Area" {
					printed = n.RefersTo
				}
			}
			assert.Contains(t, printed, "$A$1:$I$", "the rest stands right of the page")
			readsAsOurs(t, book)
		})
	}
}

// readsAsOurs asserts that no cell has an error or a formula, that every sheet
// is known again when it comes back, and that the drop-downs are there.
func readsAsOurs(t *testing.T, book []byte) {
	t.Helper()
	f := open(t, book)
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		require.NoError(t, err)
		for _, r := range rows {
			for _, v := range r {
				for _, bad := range []string{"NaN", "Inf", "#REF", "#NAME", "#DIV", "#VALUE", "#N/A", "%!"} {
					assert.NotContains(t, v, bad, sheet)
				}
			}
		}
		assert.True(t, slip.IsListed(sheet, rows[0][0], true), sheet)
	}
	for i := range f.GetSheetList() {
		assert.NotContains(t, part(t, book, fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)), "<f>")
	}
	for _, sheet := range f.GetSheetList() {
		if slip.SheetResults.IsNamed(sheet) {
			checks, err := f.GetDataValidations(sheet)
			require.NoError(t, err)
			assert.NotEmpty(t, checks)
			return
		}
	}
	t.Error("no sheet of results")
}

package slip

import (
	"strconv"
	"strings"
)

// Heading is the heading of the column of slips. It marks the sheet of
// results: a cell survives every program that saves workbooks, a property of
// the document does not.
const Heading = "pitlist row: leave as it is"

// The headings of the sheet of results that the reader goes by; columns may
// be moved, and others put between them.
const (
	HeadRow      = "Row"
	HeadUnit     = "Unit"
	HeadPart     = "Part"
	HeadFound    = "Found"
	HeadDone     = "What was done"
	HeadOdometer = "Odometer, km"
	HeadDay      = "Day"
	HeadInitials = "Initials"
	headValue    = "Measured"
)

// HeadValue is the heading of the k-th measured value of a row, from 0.
func HeadValue(k int) string {
	if k == 0 {
		return headValue
	}
	return headValue + " " + strconv.Itoa(k+1)
}

// ValueOf is the inverse of HeadValue; false for another heading.
func ValueOf(heading string) (k int, ok bool) {
	rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(heading)), strings.ToLower(headValue))
	if !ok {
		return 0, false
	}
	if rest == "" {
		return 0, true
	}
	n, err := strconv.Atoi(strings.TrimSpace(rest))
	return n - 1, err == nil && n > 1 && n < 100
}

// The findings as they are offered and read.
var Findings = [...]string{"worn", "sound", "not opened", "failed"}

// The columns of a card, from 0: the cell that is filled in beside a slip,
// and the slip itself, right of the printed page.
const (
	CardFound    = 1
	CardMeasured = 4
	CardDone     = 1
	CardOdometer = 1
	CardDay      = 3
	CardInitials = 5
	CardSlip     = 6
)

// Sheet is one sheet of a list's workbook, known again by its name or by its
// first cell: Title, or what begins with it where it ends in a blank.
type Sheet struct{ Name, Title string }

func (s *Sheet) isTitled(first string) bool {
	if strings.HasSuffix(s.Title, " ") {
		return strings.HasPrefix(first, s.Title)
	}
	return first == s.Title
}

// The sheets of a list's workbook, in their order.
var (
	SheetList     = Sheet{"Look first", "Look first: "}
	SheetLots     = Sheet{"Lots", "Lots in the order of the yard: "} // auction, in place of the list
	SheetViewing  = Sheet{"Viewing plan", "Viewing plan: "}
	SheetOffers   = Sheet{"Offers", "Offers: "} // trade-in, in place of the list
	SheetCounter  = Sheet{"Counter cards", "Counter cards: "}
	SheetStock    = Sheet{"Stock", "Stock: "}
	SheetWeeks    = Sheet{"Weeks ahead", "Weeks ahead: "}
	SheetChanged  = Sheet{"What changed", "What changed since "}
	SheetCards    = Sheet{"Cards", "No vehicle stands above the line"} // cards themselves are known by their slips
	SheetResults  = Sheet{"Results", "Results: "}
	SheetChecks   = Sheet{"Other checks", "Other checks"}
	SheetMend     = Sheet{"Rows to mend", "Rows to mend"}
	SheetOdd      = Sheet{"Distances and VINs", "Distances and VINs that do not look right"}
	SheetFindings = Sheet{"Findings", "Findings"}
	SheetParts    = Sheet{"Parts", "Parts of the catalogue"}
	SheetCharts   = Sheet{"Charts", "Charts"}
	SheetCounts   = Sheet{"Rows counted", "Rows counted"}
	SheetGuide    = Sheet{"How to read this", "How to read this"}
)

// Sheets lists them all.
func Sheets() []Sheet {
	return []Sheet{SheetList, SheetLots, SheetViewing, SheetOffers, SheetCounter, SheetStock, SheetWeeks, SheetChanged, SheetCards, SheetResults, SheetChecks, SheetMend, SheetOdd, SheetFindings, SheetParts, SheetCharts, SheetCounts, SheetGuide}
}

// IsListed tells whether a sheet belongs to a list that pitlist wrote, by its
// name and its first cell. In a workbook that holds results one of the two is
// enough, elsewhere it takes both: a fleet may well call a sheet Parts.
func IsListed(name, first string, withResults bool) bool {
	for _, s := range Sheets() {
		byName := strings.EqualFold(strings.TrimSpace(name), s.Name)
		byTitle := s.isTitled(strings.TrimSpace(first))
		if byName && byTitle || withResults && (byName || byTitle) {
			return true
		}
	}
	return false
}

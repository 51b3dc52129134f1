package slip

import (
	"strconv"
	"strings"

	"pitlist/score/say"
)

// Heading is the heading of the column of slips. It marks the sheet of
// results: a cell survives every program that saves workbooks, a property of
// the document does not. In every language it begins with the program's name.
const Heading = "pitlist row: leave as it is"

// The headings of the sheet of results that the reader goes by; columns may
// be moved, and others put between them. A heading is named here by its
// English; Words has it in every language, and the reader takes any of them.
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

// headings are the words of each heading, all but those of measured values.
var headings = [...]struct {
	head  string
	words say.Text
}{
	{Heading, say.F("pitlist row: leave as it is")},
	{HeadRow, say.F("Row")},
	{HeadUnit, say.F("Unit")},
	{HeadPart, say.F("Part")},
	{HeadFound, say.F("Found")},
	{HeadDone, say.F("What was done")},
	{HeadOdometer, say.F("Odometer, km")},
	{HeadDay, say.F("Day")},
	{HeadInitials, say.F("Initials")},
	{headValue, say.F("Measured")},
}

// Words are a heading's words; its own where it is none of the above.
func Words(head string) say.Text {
	for i := range headings {
		if headings[i].head == head {
			return headings[i].words
		}
	}
	if k, ok := ValueOf(head); ok {
		return valueWords(k)
	}
	return say.Plain(head)
}

// HeadValue is the heading of the k-th measured value of a row, from 0.
func HeadValue(k int) string { return valueWords(k).String() }

func valueWords(k int) say.Text {
	if k == 0 {
		return say.F("Measured")
	}
	return say.F("Measured %d", k+1)
}

// IsHeading tells whether a cell is Heading in any language.
func IsHeading(cell string, fold func(string) string) bool {
	if !IsMarked(cell) {
		return false
	}
	cell = fold(cell)
	for _, l := range say.Languages() {
		if cell == fold(l.Say(Words(Heading))) {
			return true
		}
	}
	return false
}

// HeadOf finds the heading that a cell holds in any language, by fold, which
// makes equal what differs only in case and the like; false for a cell that is
// none of the headings that the reader goes by.
func HeadOf(cell string, fold func(string) string) (head string, in *say.Language, ok bool) {
	if cell = fold(cell); cell == "" {
		return "", nil, false
	}
	for _, l := range say.Languages() {
		for i := range headings {
			if cell == fold(l.Say(headings[i].words)) {
				return headings[i].head, l, true
			}
		}
		if k, ok := valueIn(l, cell, fold); ok {
			return HeadValue(k), l, true
		}
	}
	return "", nil, false
}

// ValueOf is the inverse of HeadValue in any language; false for another
// heading.
func ValueOf(heading string) (k int, ok bool) {
	for _, l := range say.Languages() {
		if k, ok := valueIn(l, strings.ToLower(strings.TrimSpace(heading)), strings.ToLower); ok {
			return k, true
		}
	}
	return 0, false
}

func valueIn(l *say.Language, folded string, fold func(string) string) (k int, ok bool) {
	rest, ok := strings.CutPrefix(folded, fold(l.Say(valueWords(0))))
	if !ok {
		return 0, false
	}
	if rest == "" {
		return 0, true
	}
	n, err := strconv.Atoi(strings.TrimSpace(rest))
	return n - 1, err == nil && n > 1 && n < 100
}

// Findings are those that are offered and read, the likeliest first.
func Findings() []say.Text {
	return []say.Text{say.F("worn"), say.F("sound"), say.F("not opened"), say.F("failed")}
}

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
// first cell: Title, or what begins with it where it ends in a blank. A
// workbook is in one language throughout, and is read in each of them.
type Sheet struct{ Name, Title say.Text }

// Head is the sheet's first cell, the title of the list behind its own.
func (s *Sheet) Head(rest say.Text) say.Text { return say.Join("", s.Title, rest) }

func (s *Sheet) isNamed(name string, l *say.Language) bool {
	return strings.EqualFold(name, l.Say(s.Name))
}

func (s *Sheet) isTitled(first string, l *say.Language) bool {
	title := l.Say(s.Title)
	if strings.HasSuffix(title, " ") {
		return strings.HasPrefix(first, title)
	}
	return first == title
}

// IsNamed tells whether a sheet has this one's name in any language.
func (s *Sheet) IsNamed(name string) bool {
	for _, l := range say.Languages() {
		if s.isNamed(strings.TrimSpace(name), l) {
			return true
		}
	}
	return false
}

// The sheets of a list's workbook, in their order.
var (
	SheetList     = Sheet{say.F("Look first"), say.F("Look first: ")}
	SheetLots     = Sheet{say.F("Lots"), say.F("Lots in the order of the yard: ")} // auction, in place of the list
	SheetViewing  = Sheet{say.F("Viewing plan"), say.F("Viewing plan: ")}
	SheetOffers   = Sheet{say.F("Offers"), say.F("Offers: ")} // trade-in, in place of the list
	SheetCounter  = Sheet{say.F("Counter cards"), say.F("Counter cards: ")}
	SheetStock    = Sheet{say.F("Stock"), say.F("Stock: ")}
	SheetWeeks    = Sheet{say.F("Weeks ahead"), say.F("Weeks ahead: ")}
	SheetChanged  = Sheet{say.F("What changed"), say.F("What changed since ")}
	SheetCards    = Sheet{say.F("Cards"), say.F("No vehicle stands above the line")} // cards themselves are known by their slips
	SheetResults  = Sheet{say.F("Results"), say.F("Results: ")}
	SheetChecks   = Sheet{say.F("Other checks"), say.F("Other checks")}
	SheetMend     = Sheet{say.F("Rows to mend"), say.F("Rows to mend")}
	SheetOdd      = Sheet{say.F("Distances and VINs"), say.F("Distances and VINs that do not look right")}
	SheetFindings = Sheet{say.F("Findings"), say.F("Findings")}
	SheetParts    = Sheet{say.F("Parts"), say.F("Parts of the catalogue")}
	SheetCharts   = Sheet{say.F("Charts"), say.F("Charts")}
	SheetCounts   = Sheet{say.F("Rows counted"), say.F("Rows counted")}
	SheetGuide    = Sheet{say.F("How to read this"), say.F("How to read this")}
)

// Sheets lists them all.
func Sheets() []Sheet {
	return []Sheet{SheetList, SheetLots, SheetViewing, SheetOffers, SheetCounter, SheetStock, SheetWeeks, SheetChanged, SheetCards, SheetResults, SheetChecks, SheetMend, SheetOdd, SheetFindings, SheetParts, SheetCharts, SheetCounts, SheetGuide}
}

// IsListed tells whether a sheet belongs to a list that pitlist wrote, by its
// name and its first cell. In a workbook that holds results one of the two is
// enough, elsewhere it takes both: a fleet may well call a sheet Parts.
func IsListed(name, first string, withResults bool) bool {
	name, first = strings.TrimSpace(name), strings.TrimSpace(first)
	for _, l := range say.Languages() {
		for _, s := range Sheets() {
			byName, byTitle := s.isNamed(name, l), s.isTitled(first, l)
			if byName && byTitle || withResults && (byName || byTitle) {
				return true
			}
		}
	}
	return false
}

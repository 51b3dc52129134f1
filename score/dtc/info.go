package dtc

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"pitlist/score/say"
)

// The tables and where they come from: table/SOURCE.md.
var (
	//go:embed table/dtc_generic.csv
	genericCSV string
	//go:embed table/fmi.csv
	fmiCSV string
	//go:embed table/spn.csv
	spnCSV string
	//go:embed table/failure_type.csv
	failureTypeCSV string
)

// Info puts a code into words.
type Info struct {
	Short    say.Text // a short meaning, this project's wording
	System   string   // the system it belongs to, "" where unknown
	Severity Severity // of a stored code; see Severity.For
}

// tables holds the embedded tables, parsed once and never changed.
type tables struct {
	generic     map[Code]Info
	fmi         [maxFMI + 1]Info // System is left empty
	spn         map[uint32]Info  // Severity is left empty
	failureType map[string]say.Text
}

var loaded = sync.OnceValue(loadTables)

// Describe gives the meaning of a code from the tables. A J2012 code that the
// table doesn't list is unknown (false), also in a standard range: its system
// cannot be told from its digits since the revisions of 2013 and 2016. A J1939
// code always has the meaning of its FMI, and its SPN's name where that is
// known; an SPN of the maker's own has none.
func Describe(c Code) (Info, bool) {
	switch {
	case !c.Valid(), c.NoFault(), c.Filler():
		return Info{}, false
	case c.IsJ1939():
		return describeJ1939(c), true
	}
	info, ok := loaded().generic[c.Base()]
	if ok && c.sub != 0 {
		info.Short = say.Join(": ", info.Short, FailureTypeText(c))
	}
	return info, ok
}

// FailureTypeText gives the meaning of the failure type byte of c, of the
// single value or else of its high nibble; nothing where there is none.
func FailureTypeText(c Code) say.Text {
	ft, ok := c.FailureType()
	if !ok {
		return say.Text{}
	}
	words := loaded().failureType
	if text := words[fmt.Sprintf("%02X", ft)]; !text.Empty() {
		return text
	}
	return words[fmt.Sprintf("%Xx", ft>>4)]
}

func describeJ1939(c Code) Info {
	t := loaded()
	info := t.fmi[c.sub]
	spn, named := t.spn[c.number]
	switch {
	case c.number >= makerSPN:
		info.Short = say.F("maker's own SPN %d: %s", c.number, info.Short)
		return info
	case !named:
		info.Short = say.F("SPN %d: %s", c.number, info.Short)
		return info
	}
	info.Short, info.System = say.Join(": ", spn.Short, info.Short), spn.System
	switch spn.System {
	case "oil", "cooling", "cam/crank timing":
		// These stop an engine where others cost comfort (judgement).
		info.Severity = info.Severity.step(1)
	}
	return info
}

// fmiSeverity grades a failure mode by itself (judgement). The levels of
// SAE J1939-73 run 15 < 16 < 0 for too high and 17 < 18 < 1 for too low, not
// in the order of the numbers.
func fmiSeverity(fmi int) Severity {
	switch fmi {
	case 0, 1, 7: // most severe level; mechanical
		return High
	case 15, 17, 13: // least severe level; out of calibration
		return Low
	case 14: // special instructions: only the maker's text says
		return ""
	}
	if fmi >= 22 && fmi <= 30 { // reserved
		return ""
	}
	return Medium
}

func loadTables() tables {
	t := tables{generic: map[Code]Info{}, spn: map[uint32]Info{}, failureType: map[string]say.Text{}}
	for _, r := range rows(genericCSV) {
		c, _ := leadingCode(r[0])
		t.generic[c] = Info{Short: say.Listed(r[1]), System: r[2], Severity: Severity(r[3])}
	}
	for _, r := range rows(fmiCSV) {
		n := number(r[0])
		t.fmi[n] = Info{Short: say.Listed(r[1]), Severity: fmiSeverity(n)}
	}
	for _, r := range rows(spnCSV) {
		t.spn[uint32(number(r[0]))] = Info{Short: say.Listed(r[1]), System: r[2]}
	}
	for _, r := range rows(failureTypeCSV) {
		t.failureType[r[0]] = say.Listed(r[1])
	}
	return t
}

// rows splits an embedded table, without its headings. The tables are part of
// the program and checked by a test, so a fault in one is a caller's mistake.
func rows(table string) [][]string {
	all, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("dtc: embedded table: " + err.Error())
	}
	return all[1:]
}

func number(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil {
		panic("dtc: embedded table: " + err.Error())
	}
	return n
}

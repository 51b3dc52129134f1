package ingest

import (
	"strings"

	"pitlist/ingest/value"
	"pitlist/score/dtc"
	"pitlist/score/phrase"
)

// memory remembers what the converter made of texts that come again and
// again, for one sheet. It is bounded: full, it starts afresh.
type memory struct {
	texts    map[string]string
	empty    map[string]bool // whether a text says nothing
	statuses map[string]statusRead
	codes    map[codeCell]dtc.Cell
	turned   map[string]bool // whether a name is a day
	doubts   map[string]bool // whether a remark doubts the odometer
}

const mostRemembered = 20_000

func newMemory() memory {
	return memory{texts: map[string]string{}, empty: map[string]bool{}, statuses: map[string]statusRead{}, codes: map[codeCell]dtc.Cell{}, turned: map[string]bool{}, doubts: map[string]bool{}}
}

// remembered looks a text up, and works it out the first time. work also returns the
// key to keep: a copy, since a cell's text stays in memory with the rows around it.
func remembered[K comparable, V any](m map[K]V, k K, work func() (K, V)) V {
	v, ok := m[k]
	if !ok {
		if len(m) >= mostRemembered {
			clear(m)
		}
		k, v = work()
		m[k] = v
	}
	return v
}

// intern keeps one copy of a text that many rows share.
func (m *memory) intern(s string) string {
	if s == "" {
		return ""
	}
	if have, ok := m.texts[s]; ok {
		return have
	}
	if len(m.texts) >= mostRemembered {
		clear(m.texts)
	}
	s = strings.Clone(s)
	m.texts[s] = s
	return s
}

// missing tells whether a cell says nothing. No word that says nothing has a
// digit in it, save error values of the spreadsheet.
func (m *memory) missing(s string) bool {
	if s[0] != '#' && hasDigit(s) {
		return false
	}
	return remembered(m.empty, s, func() (string, bool) {
		missing, _ := value.IsMissing(s)
		return strings.Clone(s), missing
	})
}

// isDay tells a name that a spreadsheet program seems to have turned into a day.
func (m *memory) isDay(s string, workbook, date1904 bool) bool {
	if len(s) > longestRemembered || !hasDigit(s) {
		return false
	}
	return remembered(m.turned, s, func() (string, bool) { return strings.Clone(s), value.TurnedToDate(s, workbook, date1904) })
}

// doubtsReading tells a remark that says that the odometer does not show the true
// distance.
func (m *memory) doubtsReading(s string) bool {
	if len(s) > longestRemembered {
		return value.DoubtedReading(s) != ""
	}
	return remembered(m.doubts, s, func() (string, bool) { return strings.Clone(s), value.DoubtedReading(s) != "" })
}

func hasDigit(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i] - '0'; c <= 9 {
			return true
		}
	}
	return false
}

// statusRead is a repair's status as read.
type statusRead struct {
	intent phrase.Intent
	ok     bool
}

// codeCell is a cell of codes in a column of its kind.
type codeCell struct {
	text  string
	heavy bool
}

// longestRemembered bounds the texts that are worth remembering, bytes.
const longestRemembered = 64

// repairStatus reads the cell of a status column.
func (m *memory) repairStatus(s string) (phrase.Intent, bool) {
	r := remembered(m.statuses, s, func() (string, statusRead) {
		intent, ok := phrase.ParseStatus(s)
		return strings.Clone(s), statusRead{intent, ok}
	})
	return r.intent, r.ok
}

// parseCodes reads a cell of codes. Its slices are shared: copy before
// changing them.
func (m *memory) parseCodes(s string, heavy bool) dtc.Cell {
	o := dtc.Options{J1939: heavy}
	if len(s) > longestRemembered {
		return dtc.ParseCell(s, o)
	}
	return remembered(m.codes, codeCell{s, heavy}, func() (codeCell, dtc.Cell) {
		s := strings.Clone(s)
		return codeCell{s, heavy}, dtc.ParseCell(s, o)
	})
}

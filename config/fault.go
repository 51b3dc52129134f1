package config

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with a job or a catalogue, with its place.
type Fault struct {
	File    string `json:"file"`            // as given by the caller
	Line    int    `json:"line"`            // 1-based; 0: the file as a whole
	Column  int    `json:"column"`          // 1-based, in characters
	Key     string `json:"key,omitempty"`   // path of the key: parts[2].evidence[0].rules[1].worn
	Value   string `json:"value,omitempty"` // as written, shortened; "" where none is written
	Problem string `json:"problem"`         // what is wrong, in a planner's words
	Hint    string `json:"hint,omitempty"`  // what to write instead; may be empty

	blank bool
}

// Blank tells that nothing is wrong but that a key has no value yet, as in the
// entries that `pitlist draft` leaves to be finished.
func (f Fault) Blank() bool { return f.blank }

// Error gives one line: "parts.yaml:12:7: worn is 1.4; a rate lies above 0
// and at most at 1". The hint follows after a semicolon.
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": " + f.Problem)
	if f.Hint != "" {
		b.WriteString("; " + f.Hint)
	}
	return b.String()
}

// Faults is every fault of one or more files, ordered by file, line and
// column. Empty or nil means that nothing is wrong.
type Faults []Fault

// Error lists the faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Err gives the faults as an error, nil where there are none: a nil Faults in
// an error variable would not compare equal to nil.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// sorted orders the faults totally and drops those said twice.
func (f Faults) sorted() Faults {
	if len(f) == 0 {
		return nil
	}
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Key, b.Key), cmp.Compare(a.Problem, b.Problem), cmp.Compare(a.Hint, b.Hint))
	})
	return slices.Compact(f)
}

// shorten keeps a value readable in a message.
func shorten(s string) string {
	const most = 60 // characters
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + "…"
}

package report

import (
	"pitlist/score"
	"pitlist/score/say"
)

// Run is what a report must know of the run itself.
type Run struct {
	Job     string // name of the job
	Day     score.Day
	Name    string // of the run's folder: 2026-11-23, or 2026-11-23-2
	Version string // of the program

	Language        *say.Language // of all that is written for people; nil: English
	Desk            string        // fleet, trade-in or auction
	Currency        string        // "EUR"
	Settings        []Setting
	Inputs          []Input
	CatalogueDigest string     // SHA-256
	CatalogueFiles  []string   // as the job names them, later ones override
	Warnings        []say.Text // what limits the run, in plain sentences
	Before          *Before    // the last run of an earlier day; nil where none is known
}

// Setting is one thing that the job states, or leaves to its default: as the
// file has it, for programs, and in words.
type Setting struct {
	Key         string // in the job file: "usage.holding_km"
	Stated      any    // a string, a number, or numbers by depot; nil: nothing
	Name, Value say.Text
}

// Input is one file that was read, with its sheets.
type Input struct {
	Path   string
	SHA256 string
	Sheets []score.Counts
}

// Speaks is the language that the run's outputs are in.
func (r *Run) Speaks() *say.Language {
	if r.Language == nil {
		return say.English
	}
	return r.Language
}

// Counts sums the rows of all sheets of all inputs.
func (r *Run) Counts() score.Counts {
	var total score.Counts
	for _, in := range r.Inputs {
		total = score.Sum([]score.Counts{total, score.Sum(in.Sheets)})
	}
	return total
}

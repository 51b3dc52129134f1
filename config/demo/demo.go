package demo

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// Seed and Day are those of the demo as shown: its run's day is a Monday. The
// seed was chosen for what can be read in it (a pump found worn leads the
// list, codes that came back after a sensor was renewed stand high), not for
// how the comparison ends; the test runs it on other fleets too.
const (
	Seed uint64 = 20261127
	Day         = "2026-11-23"
)

// Names below the demo's folder. Marker is the file by which a folder is known
// as one of ours.
const (
	JobName    = "job.yaml"
	TradeName  = "trade-in.yaml"
	SaleName   = "auction.yaml"
	Marker     = "README.txt"
	AnswerName = "truth/answers.csv"
	CurvesName = "truth/curves.yaml" // an overlay: the curves by which the parts really wear
)

// MarkerLine is how the marker file begins.
const MarkerLine = "The demo of pitlist:"

//go:embed files
var embedded embed.FS

// File is one file of the demo; Path has forward slashes and lies below the
// demo's folder.
type File struct {
	Path string
	Data []byte
}

// State is what a part really is on the demo's day.
type State string

// The states. Rectified: it failed where no records reach and was put right
// with the improved part, unseen.
const (
	Immune    State = "immune"
	Sound     State = "sound"
	Worn      State = "worn"
	Rectified State = "rectified"
	Improved  State = "improved"
	Failed    State = "failed" // found failed a few days ago, not put right yet
)

// Answer is the truth about one part of one vehicle that the part may concern.
type Answer struct {
	Unit, VIN, Part string
	State           State
	FoundWorn       bool // an inspection has found it, and it waits for its repair
}

// Planted is a fault put into the files on purpose. Want is what a reader
// should make of the row: "rejected", "set aside", "noted", "merged", "blank",
// "used" where it should be read all the same, or "odometer" where only the vehicle's readings show it.
type Planted struct {
	Kind, File, Sheet string
	Row               int // as a spreadsheet counts
	Unit              string
	Want              string
}

// Demo is all that Make makes.
type Demo struct {
	Files   []File
	Truth   []Answer
	Planted []Planted
	Rows    int // of data, in all sheets of the fleet's job
}

// Make draws the fleet and its history and tells them as spreadsheets. The
// same seed gives the same bytes. It errs only where a workbook cannot be
// composed.
func Make(seed uint64) (*Demo, error) {
	fleet := drawFleet(seed)
	d := &Demo{Truth: truth(fleet)}
	tables := tell(fleet, seed)
	for _, t := range tables {
		d.Rows += len(t.rows)
		d.Planted = append(d.Planted, t.planted()...)
	}
	files, err := encode(append(tables, sale(fleet, seed)...))
	if err != nil {
		return nil, fmt.Errorf("compose the demo's spreadsheets: %w", err)
	}
	d.Files = append(static(), files...)
	d.Files = append(d.Files, File{AnswerName, answers(d.Truth)})
	slices.SortFunc(d.Files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return d, nil
}

// Speak has the demo's jobs write their outputs in a language: "es".
func (d *Demo) Speak(language string) {
	for i := range d.Files {
		switch f := &d.Files[i]; f.Path {
		case JobName, TradeName, SaleName:
			before, after, _ := bytes.Cut(f.Data, []byte("\ninputs:"))
			f.Data = slices.Concat(before, []byte("\nlanguage: "+language+"\ninputs:"), after)
		}
	}
}

// static returns the files that no seed changes: job, catalogue, README.
func static() []File {
	var out []File
	err := fs.WalkDir(embedded, "files", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := embedded.ReadFile(path)
		out = append(out, File{strings.TrimPrefix(path, "files/"), data})
		return err
	})
	if err != nil { // what is embedded can be read
		panic(err)
	}
	return out
}

// truth lists the answers in the order of the fleet.
func truth(fleet []*vehicle) []Answer {
	var out []Answer
	for _, v := range fleet {
		for _, l := range v.lives {
			out = append(out, Answer{v.unit, v.vin, l.part.id, l.state, l.foundWorn})
		}
	}
	return out
}

func answers(list []Answer) []byte {
	var b strings.Builder
	b.WriteString("unit,vin,part,state,found_worn\n")
	for _, a := range list {
		fmt.Fprintf(&b, "%s,%s,%s,%s,%t\n", a.Unit, a.VIN, a.Part, a.State, a.FoundWorn)
	}
	return []byte(b.String())
}

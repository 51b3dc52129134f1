package bulletin

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"pitlist/score"
)

// Issue is one thing to know of a row: the cells, and what is wrong with them.
type Issue struct {
	Column string `json:"column,omitempty"` // as the table heads it, both where a range stands in two; "" the whole row
	Value  string `json:"value,omitempty"`
	Reason string `json:"reason"`
	Hint   string `json:"hint,omitempty"` // what it may mean, in a catalogue's form, for a person to confirm
}

// String is the issue in one line, without the hint.
func (i Issue) String() string {
	switch {
	case i.Column == "":
		return i.Reason
	case i.Value == "":
		return i.Column + ": " + i.Reason
	}
	return fmt.Sprintf("%s %q: %s", i.Column, i.Value, i.Reason)
}

// reading is one row being read: what its ranges say, and what is wrong with them.
type reading struct {
	t      *Table
	d      dates
	cells  map[Field]string
	issues []Issue

	models  []string
	vins    serials
	engines []score.SerialRange
	build   score.DayRange
	years   []score.YearRange
	launch  score.Day
	bad     map[Field]Issue // ranges that are given and cannot be used
}

// cells of a range: the whole of it, or its two ends.
func (r *reading) span(f Field) (first, last string, two bool) {
	first, last = r.cells[f+from], r.cells[f+to]
	if whole := r.cells[f]; whole != "" {
		if first == "" && last == "" {
			return whole, "", false
		}
		return whole + "\n" + first, last, true // told as unusable: it says the range twice
	}
	return first, last, true
}

// issue names the cells of a range.
func (r *reading) issue(f Field, err error) Issue {
	var heads, values []string
	for _, part := range []Field{f, f + from, f + to} {
		if c := r.cells[part]; c != "" {
			heads = append(heads, r.heading(part))
			values = append(values, oneLine(c))
		}
	}
	out := Issue{Column: strings.Join(heads, ", "), Value: clip(strings.Join(values, " | "), 120), Reason: err.Error()}
	var u *errUnusable
	if errors.As(err, &u) {
		out.Hint = u.hint
	}
	return out
}

func (r *reading) heading(f Field) string {
	for i := range r.t.Columns {
		if r.t.Columns[i].Field == f {
			return r.t.Columns[i].Heading
		}
	}
	return string(f)
}

// refuse files what is wrong with a range. Words that give none are only noted.
func (r *reading) refuse(f Field, err error) {
	var none *errNoRange
	switch {
	case err == nil:
	case !errors.As(err, &none):
		i := r.issue(f, err)
		r.bad[f] = i
		r.issues = append(r.issues, i)
	case none.text != "":
		r.issues = append(r.issues, r.issue(f, err))
	}
}

// read takes the cells of a row apart.
func (t *Table) read(d dates, cells map[Field]string) *reading {
	r := &reading{t: t, d: d, cells: cells, bad: map[Field]Issue{}}
	r.readModels()
	r.judge(VIN, func(first, last string, two bool) (err error) {
		r.vins, err = readVINs(first, last, two)
		return err
	})
	r.judge(VINSerial, r.readTails)
	r.judge(EngineSerial, func(first, last string, two bool) (err error) {
		r.engines, err = readSerials(first, last, two)
		return err
	})
	r.judge(Serial, func(first, last string, _ bool) error {
		if first+last == "" {
			return nil
		}
		return errors.New("the heading does not say what is numbered: call the column engine serial or VIN serial")
	})
	r.judge(ModelYear, func(first, last string, two bool) (err error) {
		r.years, err = readYears(first, last, two)
		return err
	})
	r.readLaunch()
	r.judge(BuildDate, r.readBuild)
	return r
}

// judge reads the cells of a range, and files what is wrong with them. What stands
// in brackets within a range may say that fewer vehicles are meant, and is noted.
func (r *reading) judge(f Field, read func(first, last string, two bool) error) {
	first, last, two := r.span(f)
	err := read(first, last, two)
	r.refuse(f, err)
	if said := inBrackets.FindString(first + " " + last); err == nil && said != "" {
		r.issues = append(r.issues, r.issue(f, fmt.Errorf("what stands in brackets, %s, is not in the range", clip(oneLine(said), 60))))
	}
}

// readTails reads the column of last digits of VINs. A column of VINs may hold such
// digits too: the same ones.
func (r *reading) readTails(first, last string, two bool) error {
	tails, err := readTails(first, last, two)
	switch {
	case err != nil:
		return err
	case len(r.vins.tails) > 0 && !slices.Equal(r.vins.tails, tails):
		r.vins.tails = nil
		return errors.New("another column gives other last digits of VINs")
	}
	r.vins.tails = tails
	return nil
}

func (r *reading) readLaunch() {
	day, last, err := r.d.day(r.cells[LaunchDate])
	if err == nil && day != last {
		err = errors.New("it is no day")
	}
	if err != nil {
		r.issues = append(r.issues, r.issue(LaunchDate, err))
		return
	}
	r.launch = day
}

// readBuild takes an open end only where a model year stands beside it: else every
// vehicle of the model before or after would be in the range for an empty cell.
func (r *reading) readBuild(first, last string, two bool) error {
	build, err := r.d.readBuild(first, last, two)
	switch {
	case err != nil:
	case build.From != 0 && r.launch != 0 && build.From > r.launch:
		err = fmt.Errorf("it begins after the campaign did, on %s", r.launch)
	case (build.From == 0 || build.To == 0) && len(r.years) == 0:
		err = errors.New("open ended: only one end of the range is given, and no model year bounds it")
	default:
		r.build = build
	}
	return err
}

var (
	// Small letters where a word may be a model's name: "Heron Y", "Heron ET".
	betweenModels = regexp.MustCompile(`\s{2,}|[\n;,]|\s+(?:(?i:and|und)|et|y)\s+|\s*&\s*|\s+/\s+`)
	betweenMakes  = regexp.MustCompile(`[;,]|\s+/\s+`)
	allModels     = regexp.MustCompile(`(?i)^\W*all\W*$|\b(?:various|all (?:models?|makes?)|several|misc(?:ellaneous)?|others?|multiple|see list|models listed|diverse?|verschiedene|alle|divers|tous|todos|varios)\b`)
	allBut        = regexp.MustCompile(`(?i)\b(?:except(?:ing)?|excludes?|excluding|excl|not|without|but|außer|ohne|sauf|excepto|salvo)\b`)
)

// readModels parts a cell of models. What stands in brackets is no part of a name.
func (r *reading) readModels() {
	cell := inBrackets.ReplaceAllString(given(r.cells[Model]), " ")
	var err error
	switch {
	case allModels.MatchString(cell):
		err = errors.New("these words name no model")
	case allBut.MatchString(r.cells[Model]):
		err = errors.New("it says which are left out, and a list of models cannot")
	default:
		r.models = namesIn(r.cells[Model], betweenModels)
	}
	if err != nil {
		r.issues = append(r.issues, r.issue(Model, err))
	}
}

// namesIn parts a cell into names, those in brackets left out; none where it says
// that there are none, or that all are meant.
func namesIn(cell string, between *regexp.Regexp) []string {
	cell = inBrackets.ReplaceAllString(cell, " ")
	if given(cell) == "" || allModels.MatchString(cell) {
		return nil
	}
	var out []string
	for _, n := range between.Split(cell, -1) {
		if n = strings.Trim(oneLine(n), " .:"); bare(n) != "" {
			out = append(out, n)
		}
	}
	return joinNames(out)
}

// makesIn are the makes that a cell names.
func makesIn(cell string) []string { return namesIn(cell, betweenMakes) }

// equipment tells a campaign about parts sold by themselves, tyres or child seats:
// no vehicle can be told from it. Kinds and numbers as the two public registers
// write them (testdata/recalls/SOURCE.md).
func (r *reading) equipment() bool {
	switch normal(r.cells[Kind]) {
	case "e", "equipment", "t", "tyre", "tyres", "tire", "tires", "c", "child seat", "child seats", "child restraint", "part", "parts", "component", "components":
		return true
	}
	return equipmentNumber.MatchString(strings.TrimSpace(r.cells[Number]))
}

var equipmentNumber = regexp.MustCompile(`^(?i:RCOMP/|RTW/|\d\d[ETC](?:-\d{3}|\d{6})(?:000)?$)`)

// fit says which vehicles the row concerns; an error tells why that cannot be
// told.
//
// Where whole VINs are given they decide, and build dates, which fleets seldom know,
// model years and engine families are left out; where serials of a series of
// engines are, build dates. The last digits of a VIN come again in other
// models and years, so that all that the row says must hold with them.
func (r *reading) fit() (*Fit, error) {
	f := &Fit{}
	f.EngineSerial = joinSerials(r.engines)
	f.Make, f.Model = makesIn(r.cells[Make]), r.models
	if len(r.vins.vins) > 0 && len(r.vins.tails) == 0 {
		r.byVIN(f)
		return f, nil
	}
	f.EngineFamily = r.families()
	f.VINSerial = joinSerials(r.vins.tails)
	f.VIN = joinSerials(r.vins.vins)
	f.ModelYear = joinYears(slices.Clone(r.years))
	if r.build != (score.DayRange{}) && !lettered(r.engines) {
		f.BuildDate = []score.DayRange{r.build}
	}
	narrow := len(f.VINSerial) + len(f.EngineSerial) + len(f.ModelYear) + len(f.BuildDate)
	switch {
	case narrow == 0 && len(r.bad) > 0:
		return nil, errors.New("no other range of the row says which vehicles it concerns")
	case narrow == 0:
		return nil, errors.New("no range is given: neither VINs nor serials, build dates or model years say which vehicles it concerns")
	case len(f.Model) == 0 && len(f.EngineSerial) == 0:
		return nil, errors.New("no model is named, and the range alone does not tell one vehicle from another")
	}
	r.open(f, VIN, VINSerial, EngineSerial, BuildDate, ModelYear)
	return f, nil
}

// lettered tells serials of which each names its series: no other engine has it.
func lettered(serials []score.SerialRange) bool {
	for _, r := range serials {
		if r.From.Prefix == "" {
			return false
		}
	}
	return len(serials) > 0
}

// beside is what the row gives and its fit leaves out, since another range decides.
func (r *reading) beside(f *Fit) string {
	var out []string
	if r.build != (score.DayRange{}) && len(f.BuildDate) == 0 {
		out = append(out, "built "+r.build.String())
	}
	if len(r.years) > 0 && len(f.ModelYear) == 0 {
		out = append(out, "model year "+strings.Join(texts(joinYears(slices.Clone(r.years)), score.YearRange.String), ", "))
	}
	if fam := r.families(); len(fam) > 0 && len(f.EngineFamily) == 0 {
		out = append(out, "engine family "+strings.Join(fam, ", "))
	}
	return strings.Join(out, "; ")
}

// byVIN takes the makers' codes from the VINs, unless a range leaves its own open.
func (r *reading) byVIN(f *Fit) {
	f.VIN = joinSerials(r.vins.vins)
	r.open(f, VINSerial, EngineSerial)
	for _, v := range f.VIN {
		wmi := v.From.String()[:3]
		if strings.Contains(wmi, "*") {
			f.WMI = nil
			return
		}
		f.WMI = joinNames(append(f.WMI, wmi))
	}
}

// families are the engine families, where the cell names any.
func (r *reading) families() []string { return namesIn(r.cells[EngineFamily], betweenModels) }

// open leaves the conditions open that the row gives and that cannot be used, but
// for those that another of its columns answers. A serial that may be an engine's
// or a VIN's is asked for as the engine's.
func (r *reading) open(f *Fit, asked ...Field) {
	put := func(key Field, i Issue) {
		if f.given(key) || f.Open[key] != nil {
			return
		}
		if f.Open == nil {
			f.Open = map[Field][]Issue{}
		}
		f.Open[key] = []Issue{i}
	}
	for _, key := range asked {
		if i, ok := r.bad[key]; ok {
			put(key, i)
		}
	}
	if i, ok := r.bad[Serial]; ok {
		put(EngineSerial, i)
	}
}

// clip shortens a text at a character.
func clip(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most]) + "…"
}

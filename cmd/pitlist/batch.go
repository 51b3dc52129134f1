package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"pitlist/config"
	"pitlist/ingest"
	"pitlist/ingest/header"
	"pitlist/ingest/value"
	"pitlist/report"
	"pitlist/score"
	"pitlist/score/plan"
	"pitlist/score/say"
	"pitlist/score/vin"
)

// drawSeed makes every run draw alike; draws is how many parameter draws the
// intervals rest on.
const (
	drawSeed = 20261125
	draws    = 200
)

// batch is one job on one day, from its files to its plan.
type batch struct {
	job       *config.Job
	files     []config.InputFile
	day       score.Day
	catalogue *score.Catalogue
	read      *ingest.Result
	assessed  []score.Assessment
	list      plan.List
	took      []took
	writes    bool              // its folder is all that follows: facts that only judging asks for can go
	without   bool              // go on without the record, also where it is damaged
	memory    *memory           // the job's record; nil for a run without
	notes     []say.Text        // what limits the run, for its warnings
	at        func(step string) // told of each step between recall and the end; nil
	progress  *progress

	language  *say.Language    // handed in by a test; nil: the job's
	scorers   *scorers         // of the process; nil where it makes one run
	draws     int              // parameter draws; 0: as many as draws says
	clock     func() time.Time // nil: the system's; only for when the run was made
	began     time.Time
	scheduled time.Time // the time that the run is made for; zero where a person asked for it
	aside     int       // inputs set aside because they would not keep still
	metrics   error     // the metrics file could not be written, the run could
}

// now is the time by the batch's clock.
func (b *batch) now() time.Time {
	if b.clock == nil {
		return time.Now()
	}
	return b.clock()
}

// reached tells of a step: tests look at the disk there.
func (b *batch) reached(step string) {
	if b.at != nil {
		b.at(step)
	}
}

// note adds to what limits the run.
func (b *batch) note(s say.Text) error {
	b.notes = append(b.notes, s)
	return nil
}

// took is how long one stage of a run took.
type took struct {
	Stage   string  `json:"stage"`
	Seconds float64 `json:"seconds"`
}

// stage runs one stage of the batch and keeps its time.
func (b *batch) stage(name string, f func() error) error {
	begin := time.Now()
	err := f()
	b.took = append(b.took, took{name, time.Since(begin).Seconds()})
	return err
}

// configure reads the job and its catalogue; every fault of both comes back
// in one error.
func configure(path string, day score.Day, p *progress) (*batch, error) {
	if isSpreadsheet(path) {
		return nil, noJob(path)
	}
	job, faults, err := config.LoadJob(path)
	if err != nil {
		return nil, usageError(err, "give the path of a job file, such as weekly.yaml")
	}
	if len(faults) > 0 {
		return nil, faultsError(faults)
	}
	return prepare(job, day, p)
}

func noJob(path string) error {
	return usageError(fmt.Errorf("%s is a spreadsheet, and no job", path), fmt.Sprintf("name it in a job file: inputs: [ { path: %q } ]", path))
}

// isSpreadsheet tells a spreadsheet by its ending.
func isSpreadsheet(path string) bool {
	return slices.Contains([]string{".xlsx", ".xlsm", ".xls", ".ods", ".csv", ".tsv"}, strings.ToLower(filepath.Ext(path)))
}

// prepare finds what a sound job names: its catalogue and its inputs.
func prepare(job *config.Job, day score.Day, p *progress) (b *batch, err error) {
	b = &batch{job: job, day: day, progress: p}
	catalogues, faults := job.CatalogueFiles()
	if len(faults) == 0 {
		b.catalogue, faults, err = config.LoadCatalogue(catalogues)
	}
	if err != nil {
		return nil, usageError(err, "check the catalogue files that the job names")
	}
	if len(faults) > 0 {
		return nil, faultsError(faults)
	}
	if b.files, faults = job.InputFiles(); len(faults) > 0 {
		return nil, faultsError(faults)
	}
	return b, nil
}

// readInputs reads every file of the job into one fleet.
func (b *batch) readInputs(ctx context.Context) error {
	return b.stage("read", func() error {
		inputs, err := b.inputs()
		if err != nil {
			return err
		}
		tmp, remove, err := spool()
		if err != nil {
			return err
		}
		defer remove()
		before := b.sizes()
		b.read, err = ingest.Read(ctx, inputs, ingest.Options{
			Day: b.day, Market: vin.Market(b.job.Market), DateOrder: value.Order(b.job.DateOrder),
			Encoding: b.job.Encoding, Strict: b.job.Strict, Measures: measures(b.catalogue), Parts: partIDs(b.catalogue), TmpDir: tmp,
			Progress: b.progress.rows, Limits: readLimits(b.job.Limits),
		})
		b.changedSince(before)
		return err
	})
}

// inputs turns the job's files into what ingest reads. Passwords come from the
// environment and go nowhere else.
func (b *batch) inputs() ([]ingest.Input, error) {
	out := make([]ingest.Input, 0, len(b.files))
	for _, f := range b.files {
		in := ingest.Input{Path: f.Path, Shown: f.Shown, Folder: f.Folder, PasswordEnv: f.Input.PasswordEnv}
		if env := f.Input.PasswordEnv; env != "" {
			if in.Password = os.Getenv(env); in.Password == "" {
				return nil, usageError(fmt.Errorf("the environment variable %s, which holds the password of %s, is not set", env, f.Shown),
					"set it before the run; the password itself stays out of the job file")
			}
		}
		for _, s := range f.Input.Sheets {
			t := ingest.Told{Name: s.Name, Columns: s.Columns, OdometerUnit: s.OdometerUnit, DateOrder: value.Order(s.DateOrder), HeaderRow: s.HeaderRow}
			for _, k := range s.Holds {
				t.Holds = append(t.Holds, header.Kind(k))
			}
			if s.Encoding != "" {
				in.Encoding = s.Encoding
			}
			in.Sheets = append(in.Sheets, t)
		}
		out = append(out, in)
	}
	return out, nil
}

// partIDs lists the ids of the catalogue's parts.
func partIDs(c *score.Catalogue) []string {
	out := make([]string, len(c.Parts))
	for i := range c.Parts {
		out[i] = c.Parts[i].ID
	}
	return out
}

// measures lists the measured values that the catalogue speaks of.
func measures(c *score.Catalogue) []string {
	var out []string
	add := func(m string) {
		if m != "" && !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	for i := range c.Parts {
		for _, l := range c.Parts[i].Inspection.Limits {
			add(l.Measure)
		}
		for _, g := range c.Parts[i].Evidence {
			for _, r := range g.Rules {
				add(r.Measured)
			}
		}
	}
	return out
}

// settings are the job's figures that the judgement needs.
func (b *batch) settings() score.Settings {
	u := b.job.Usage
	return score.Settings{
		Day: b.day, NextRunDays: u.NextRunDays, HoldingKM: u.HoldingKM, HoldingHours: u.HoldingHours, HoldingMonths: u.HoldingMonths,
		DefaultKMPerWeek: u.DefaultKMPerWeek, DefaultHoursPerWeek: u.DefaultHoursPerWeek,
		RecordsFrom:       string(b.job.RecordsFrom),
		NoneUnlessRepairs: !b.job.RecordsGiven && b.job.Desk != config.Fleet,
		Buys:              b.job.Desk.Buys(), SaleOdds: b.job.Buying.SaleOdds,
		Draws: cmp.Or(b.draws, draws), Seed: drawSeed,
		WorthALook: b.job.Money.BayHour / 4, Keep: b.options().Keeps,
	}
}

// judge scores every vehicle and plans the hours.
func (b *batch) judge(ctx context.Context) error {
	var scorer *score.Scorer
	o, settings := b.options(), b.settings()
	if o.Sifts() {
		settings.Sift = o.Sift
	}
	b.forgetLater()
	err := b.stage("score", func() (err error) {
		if scorer, err = b.scorers.of(b.catalogue, settings); err != nil {
			return err
		}
		b.catalogue = scorer.Catalogue()
		b.progress.start("judging", len(b.read.Fleet.Vehicles))
		b.assessed, err = scorer.AssessAll(ctx, b.read.Fleet.Vehicles, func(first int, judged []score.Assessment) {
			b.letFactsGo(first, judged, (*score.Assessment).CloseUnlessRedrawn)
			b.progress.add(len(judged))
		})
		return err
	})
	if err != nil {
		return err
	}
	if b.concerned() == 0 {
		return errNoneConcerned(b)
	}
	return b.stage("plan", func() error {
		o.Redraw, o.Drawn = scorer.Redraw, b.forgetDraws
		b.list = o.Make(b.assessed, b.day)
		return ctx.Err()
	})
}

// forgetLater leaves entries out that nobody knew of on the day, and says so.
func (b *batch) forgetLater() {
	known, later := b.catalogue.KnownBy(b.day)
	b.catalogue = known
	for _, p := range later {
		b.note(say.F("entry %s of the catalogue is known since %s; it has no say in a list for an earlier day", p.ID, say.ISODay(p.KnownSince)))
	}
}

// forgetDraws lets go of the parameter draws, and of the facts that only judging
// asks for, before the list is made: of a large fleet most is alive then.
func (b *batch) forgetDraws() {
	for i := range b.assessed {
		for j := range b.assessed[i].Findings {
			f := &b.assessed[i].Findings[j]
			f.Draws, f.FailsNext, f.Over = nil, nil, nil
		}
	}
	b.letFactsGo(0, b.assessed, (*score.Assessment).Close)
}

// letFactsGo closes vehicles in one way or the other, unless the record's
// transaction and the comparison with an earlier run still read them. The first
// is that of the fleet with this number.
func (b *batch) letFactsGo(first int, judged []score.Assessment, one func(*score.Assessment)) {
	if b.memory != nil || !b.writes {
		return
	}
	for i := range judged {
		a, read := &judged[i], &b.read.Fleet.Vehicles[first+i]
		if one(a); a.Vehicle != read {
			*read = *a.Vehicle // it was cut at the day of the run
		}
	}
}

func (b *batch) options() *plan.Options {
	m, buy := b.job.Money, b.job.Buying
	return &plan.Options{
		BayHour: m.BayHour, OffRoadDay: m.OffRoadDay, BayHours: b.job.BayHours,
		Desk: plan.Desk(b.job.Desk), NextRunDays: b.job.Usage.NextRunDays,
		Buying: plan.Buying{Cover: buy.Cover, Margin: buy.Margin, ViewingMinutes: buy.ViewingMinutes,
			TakeLessFrom: buy.TakeLessFrom, LookFrom: buy.LookFrom, LeaveShare: buy.LeaveShare},
		Kits: plan.Kits{Service: b.job.Kits.Service, DeliveryDays: b.job.Kits.DeliveryDays},
	}
}

// concerned counts the vehicles that any entry of the catalogue may fit.
func (b *batch) concerned() int {
	n := 0
	for i := range b.assessed {
		for j := range b.assessed[i].Findings {
			if b.assessed[i].Findings[j].Standing != score.NotOfRange {
				n++
				break
			}
		}
	}
	return n
}

func errNoneConcerned(b *batch) error {
	models := map[string]bool{}
	for i := range b.read.Fleet.Vehicles {
		if m := b.read.Fleet.Vehicles[i].Model; m != "" && len(models) < 6 {
			models[m] = true
		}
	}
	names := make([]string, 0, len(models))
	for m := range models {
		names = append(names, m)
	}
	slices.Sort(names)
	err := &quotingError{text: "no entry of the catalogue fits the one vehicle read"}
	if n := len(b.read.Fleet.Vehicles); n != 1 {
		err.text = fmt.Sprintf("no entry of the catalogue fits any of the %d vehicles", n)
	}
	if len(names) > 0 {
		err.cells = " (models such as " + strings.Join(names, ", ") + ")"
	}
	return &failure{code: exitFailed, err: err, hint: "compare the catalogue's fits (wmi, make, model) with what `pitlist read` shows"}
}

// speaks is the language of all that the run writes for people.
func (b *batch) speaks() *say.Language {
	if b.language != nil {
		return b.language
	}
	l, _ := say.ByTag(b.job.Language) // the job was checked
	return l
}

// run describes the batch for the report.
func (b *batch) run(name string) report.Run {
	r := report.Run{
		Language: b.speaks(),
		Job:      b.job.Name, Day: b.day, Name: name, Version: version(), Desk: string(b.job.Desk), Currency: b.job.Money.Currency,
		Settings:        b.stated(),
		CatalogueDigest: b.catalogue.Digest, CatalogueFiles: b.job.Catalogue,
	}
	sheets := map[string][]score.Counts{}
	for _, s := range b.read.Sheets {
		sheets[s.Source.File] = append(sheets[s.Source.File], s.Counts)
	}
	for i, f := range b.read.Files {
		r.Inputs = append(r.Inputs, report.Input{Path: b.files[i].Shown, SHA256: f.SHA256, Sheets: sheets[f.Path]})
		if f.Err != nil {
			r.Warnings = append(r.Warnings, say.F("not read: %s", f.Words()))
		}
		for _, n := range f.Notes {
			r.Warnings = append(r.Warnings, say.F("%s: %s", b.files[i].Shown, n))
		}
	}
	for _, s := range b.read.Sheets {
		for _, n := range s.Notes {
			r.Warnings = append(r.Warnings, say.F("%s: %s", place(s.Source), n))
		}
	}
	r.Warnings = append(r.Warnings, b.notes...)
	for _, s := range b.job.SkippedInputs() {
		r.Warnings = append(r.Warnings, leftOut(s))
	}
	for _, p := range b.job.AbsentInputs() {
		r.Warnings = append(r.Warnings, say.F("%s matches no file; the job says that it may", p))
	}
	return r
}

// leftOut says why a file that a pattern found was not taken for an input.
func leftOut(shown string) say.Text {
	sign, _ := config.SignOf(shown)
	if sign.Copying {
		return say.F("%s was left out: it is part of a copy of %s that is not finished", shown, sign.Of)
	}
	return say.F("%s was left out: it says that %s is open in another program, and what is being changed there may not be saved yet", shown, sign.Of)
}

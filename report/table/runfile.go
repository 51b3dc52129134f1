package table

import (
	"context"
	"encoding/json"
	"io"

	"pitlist/report"
	"pitlist/score"
	"pitlist/score/say"
)

// runFile is run.json: what the run rested on and what it came to.
type runFile struct {
	Job       string         `json:"job"`
	Day       string         `json:"day"`
	Name      string         `json:"name"`
	Version   string         `json:"version"`
	Desk      string         `json:"desk"`
	Currency  string         `json:"currency"`
	Settings  map[string]any `json:"settings"` // by their keys in the job file
	Inputs    []inputFile    `json:"inputs"`
	Rows      counts         `json:"rows"`
	Catalogue catalogueFile  `json:"catalogue"`
	Totals    totals         `json:"totals"`
	Depots    []depot        `json:"depots"`
	Load      []load         `json:"load,omitempty"`    // fleet
	Viewing   *viewing       `json:"viewing,omitempty"` // auction
	Stock     *stock         `json:"stock,omitempty"`   // trade-in
	Week      *against       `json:"week,omitempty"`    // where an earlier run is known
	Warnings  []string       `json:"warnings"`
}

// against is the run against the last one of an earlier day, and the list's own
// score: of the parts that stood above the line and were opened since, how many
// were worn, and how many the lists had promised.
type against struct {
	Before  string        `json:"before"`
	Figures []figure      `json:"figures"`
	Score   *ownScore     `json:"score,omitempty"`
	Gone    []goneVehicle `json:"gone"`
}

type figure struct {
	Name string  `json:"name"`
	Now  float64 `json:"now"`
	Then float64 `json:"then"`
}

type ownScore struct {
	Opened   int     `json:"opened"`
	Hits     int     `json:"hits"`
	Expected float64 `json:"expected_hits"`
	Low      int     `json:"p5"`
	High     int     `json:"p95"`
	Holds    bool    `json:"promise_holds"`
}

type goneVehicle struct {
	Unit  string `json:"unit"`
	VIN   string `json:"vin"`
	Was   int    `json:"was_rank"` // 0: it stood on no list
	Above bool   `json:"was_above_line"`
	Rank  int    `json:"rank"` // 0: on no list now
	Part  string `json:"part"`
	Why   string `json:"why"`
}

type inputFile struct {
	Path   string  `json:"path"`
	SHA256 string  `json:"sha256"`
	Sheets []sheet `json:"sheets"`
}

type sheet struct {
	Sheet string `json:"sheet"`
	counts
}

// counts add up: read = used + set_aside + rejected + merged + blank.
type counts struct {
	Read     int `json:"read"`
	Used     int `json:"used"`
	SetAside int `json:"set_aside"`
	Rejected int `json:"rejected"`
	Merged   int `json:"merged"`
	Blank    int `json:"blank"`
	Hidden   int `json:"hidden"`
}

type catalogueFile struct {
	SHA256 string   `json:"sha256"`
	Files  []string `json:"files"`
}

type totals struct {
	Vehicles     int     `json:"vehicles"`
	Above        int     `json:"above_line"`
	Hours        float64 `json:"hours"`
	ExpectedWorn float64 `json:"expected_worn_above"`
	FailNext     count   `json:"failures_next_run"`
	FailAbove    count   `json:"failures_next_run_above"`
	Avoided      float64 `json:"failures_avoided_next_run"`
	WaitingAbove float64 `json:"cost_of_waiting_above"`
	WaitingRest  float64 `json:"cost_of_waiting_rest"`
}

type count struct {
	Mean float64 `json:"mean"`
	Low  int     `json:"p10"`
	High int     `json:"p90"`
}

type depot struct {
	Name        string   `json:"name"`
	Hours       *float64 `json:"hours"` // null: no limit
	Used        float64  `json:"used"`
	Above       int      `json:"above_line"`
	Below       int      `json:"below_line_worth_a_look"`
	NextWaiting float64  `json:"greatest_cost_of_waiting_below"`
	MoreHour    float64  `json:"worth_of_one_more_hour"`
}

// load is the bay-hours of one depot by week.
type load struct {
	Depot string `json:"depot"`
	Weeks []week `json:"weeks"`
	Later int    `json:"later"`
}

type week struct {
	From     string  `json:"from"`
	Hours    float64 `json:"hours"`
	Vehicles int     `json:"vehicles"`
}

type viewing struct {
	Given   float64 `json:"minutes_given"`
	Used    float64 `json:"minutes_used"`
	Lots    int     `json:"lots"`
	Swing   float64 `json:"swing"`
	Nothing int     `json:"lots_nothing_can_move"`
	Passed  int     `json:"lots_without_minutes"`
}

type stock struct {
	Deduction float64 `json:"deduction"`
	Expected  float64 `json:"expected_bill"`
	P10       float64 `json:"bill_p10"`
	P50       float64 `json:"bill_p50"`
	P80       float64 `json:"bill_p80"`
	P90       float64 `json:"bill_p90"`
	Step      float64 `json:"step"`
	Within    float64 `json:"percentiles_within"`
	Workshop  int     `json:"workshop_vehicles"`
	Hours     float64 `json:"workshop_hours"`
	Worth     float64 `json:"workshop_worth"`
}

func runJSON(_ context.Context, w io.Writer, d *report.Document) error {
	r := &d.Run
	f := runFile{
		Job: r.Job, Day: iso(r.Day), Name: r.Name, Version: r.Version, Desk: r.Desk, Currency: r.Currency,
		Settings: settings(r.Settings), Inputs: []inputFile{}, Rows: countsOf(r.Counts()),
		Catalogue: catalogueFile{r.CatalogueDigest, list(r.CatalogueFiles)},
		Totals:    totalsOf(d), Depots: []depot{}, Warnings: wordsOf(d, r.Warnings),
	}
	for _, in := range r.Inputs {
		one := inputFile{in.Path, in.SHA256, []sheet{}}
		for _, c := range in.Sheets {
			one.Sheets = append(one.Sheets, sheet{c.Source.Sheet, countsOf(c)})
		}
		f.Inputs = append(f.Inputs, one)
	}
	for i := range d.Depots {
		p := &d.Depots[i]
		one := depot{Name: p.Name, Used: p.Used, Above: p.Above, Below: p.Below, NextWaiting: p.NextWaiting, MoreHour: p.MoreHour}
		if p.Limited {
			one.Hours = &p.Hours
		}
		f.Depots = append(f.Depots, one)
	}
	f.desk(d)
	f.Week = weekOf(d)
	out := json.NewEncoder(w)
	out.SetEscapeHTML(false)
	out.SetIndent("", "  ")
	return out.Encode(f)
}

// settings are what the job states, or leaves to its defaults, by key.
func settings(list []report.Setting) map[string]any {
	out := map[string]any{}
	for _, s := range list {
		out[s.Key] = s.Stated
	}
	return out
}

// wordsOf are texts in the run's language; never null in JSON.
func wordsOf(d *report.Document, texts []say.Text) []string {
	out := make([]string, len(texts))
	for i, t := range texts {
		out[i] = d.Run.Speaks().Say(t)
	}
	return out
}

// list is never null in JSON.
func list[T any](items []T) []T { return append([]T{}, items...) }

func countsOf(c score.Counts) counts {
	return counts{c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank, c.Hidden}
}

func totalsOf(d *report.Document) totals {
	t := &d.Totals
	return totals{
		Vehicles: t.Vehicles, Above: t.Above, Hours: t.Hours, ExpectedWorn: t.ExpectedWorn,
		FailNext:  count{t.FailNext.Mean, t.FailNext.Low, t.FailNext.High},
		FailAbove: count{t.FailNextAbove.Mean, t.FailNextAbove.Low, t.FailNextAbove.High},
		Avoided:   t.AvoidedNext, WaitingAbove: t.WaitingAbove, WaitingRest: t.WaitingRest,
	}
}

// desk adds what only the run's own desk has.
func (f *runFile) desk(d *report.Document) {
	for i := range d.Load {
		l := &d.Load[i]
		one := load{Depot: l.Name, Later: l.Later}
		for _, w := range l.Weeks {
			one.Weeks = append(one.Weeks, week{iso(w.From), w.Hours, w.Vehicles})
		}
		f.Load = append(f.Load, one)
	}
	if v := d.Viewing; v != nil {
		f.Viewing = &viewing{v.Given, v.Used, v.Lots, v.Swing, v.Nothing, v.Passed}
	}
	if s := d.Stock; s != nil {
		f.Stock = &stock{s.Deduction, s.Expected, s.P10, s.P50, s.P80, s.P90, s.Step, s.Within, s.Workshop, s.Hours, s.Worth}
	}
}

func weekOf(d *report.Document) *against {
	if d.Week == nil {
		return nil
	}
	out := &against{Before: iso(d.Week.Before), Gone: []goneVehicle{}}
	for _, n := range d.Week.Figures {
		out.Figures = append(out.Figures, figure{n.Name.String(), n.Now, n.Then}) // programs find a figure by its English name
	}
	if w := d.Week; w.Opened > 0 {
		out.Score = &ownScore{w.Opened, w.Hits, w.Expected, w.Low, w.High, w.PromiseHolds}
	}
	for i := range d.Gone {
		g := &d.Gone[i]
		out.Gone = append(out.Gone, goneVehicle{g.Unit, g.VIN, g.Was, g.WasAbove, g.Rank, g.Part, d.Run.Speaks().Say(g.Why)})
	}
	return out
}

// iso writes a day as 2026-10-12; "" where none is stated.
func iso(d score.Day) string {
	if d == 0 {
		return ""
	}
	return d.String()
}

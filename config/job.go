package config

import "pitlist/score/say"

// Desk says which decision the list serves.
type Desk string

// The desks.
const (
	Fleet   Desk = "fleet"
	TradeIn Desk = "trade-in"
	Auction Desk = "auction"
)

// Buys tells the two desks that put a price on a vehicle.
func (d Desk) Buys() bool { return d == TradeIn || d == Auction }

// RecordsFrom says from which distance a vehicle's records are taken as
// complete where history_from_km is not given.
type RecordsFrom string

// The three answers. Where the job states none, Job.RecordsFrom holds the
// desk's default: FirstRecord for the fleet desk, FromNone for the others.
const (
	FromNew     RecordsFrom = "new"          // complete since new
	FirstRecord RecordsFrom = "first record" // since the first dated repair or inspection
	FromNone    RecordsFrom = "none"         // nothing is known of the past
)

// Job is one job file. Every field holds the value that counts: what the file
// states, else the default written at the field.
type Job struct {
	Name         string  // job; default: the file's name without its ending
	Desk         Desk    // default: Fleet
	Inputs       []Input // at least one
	Catalogue    []string
	Language     string // of all that is written for people, a tag such as "en"; default: en
	Market       string // eu, us, ca, cn or other; default: other
	Usage        Usage
	Money        Money
	BayHours     map[string]float64 // bay-hours by depot until the next run, "*" for the others; nil: no limit
	Schedule     *Schedule          // nil: the job has no times of its own
	Metrics      string             // path of the metrics file as written; "": none
	Notify       *Notify            // who is told of a scheduled run; nil: nobody
	Output       Output
	Buying       Buying
	Kits         Kits
	History      string      // path as written; "": no memory
	Strict       bool        // one unreadable file stops the run
	DateOrder    string      // day, month or "" (nothing stated): only where a column can't decide it
	Encoding     string      // of text files that don't show it; "": nothing stated
	RecordsFrom  RecordsFrom // see the constants
	Limits       Limits      // on what one input file may cost
	RecordsGiven bool        // records_from is written in the job; the desk's default may give way to a vehicle's own records

	Path   string   // of the job file, as given
	Dir    string   // folder that relative paths count from: the job file's
	Digest string   // SHA-256 of the file's bytes, hexadecimal
	Stated []string // paths of the keys that the file states (usage.holding_km), in its order

	catalogueAt []field // where each pattern of Catalogue stands
}

// Input is one entry of inputs: a path or pattern with what helps to read it.
type Input struct {
	Path        string // may hold * ? [ ]; relative to Job.Dir
	PasswordEnv string // name of the environment variable with the workbook's password
	Optional    bool   // that no file is there is no fault: see AbsentInputs
	Sheets      []Sheet
	at          field
}

// Sheet tells what recognition cannot find out by itself.
type Sheet struct {
	Name         string            // of the sheet; "" for every sheet, and for text files
	Holds        []string          // vehicles, codes, repairs, inspections, readings; empty: recognised
	Columns      map[string]string // heading as written -> canonical column name, a measure's, or Ignore
	OdometerUnit string            // km, mi or ""
	DateOrder    string            // day, month or "": the job's
	Encoding     string            // "": the job's
	HeaderRow    int               // 1-based row of the headings; 0: found
	Line         int               // in the job file, for messages
}

// Usage says how far vehicles go where nothing of their own tells.
type Usage struct {
	NextRunDays         float64 // days until the next run; default 7
	HoldingKM           float64 // km; default 60000
	DefaultKMPerWeek    float64 // km a week; default 450
	HoldingHours        float64 // engine hours; default 3000
	DefaultHoursPerWeek float64 // engine hours a week; default 20
	HoldingMonths       float64 // months; default 24
}

// Money holds the rates, in Currency.
type Money struct {
	Currency   string  // ISO 4217 code; default EUR
	BayHour    float64 // an hour in the bay; default 95
	OffRoadDay float64 // a day off the road; default 0: not counted unless stated
}

// Output says where results go.
type Output struct {
	Folder string // path as written; default out
	Keep   int    // runs kept, at least 1; default 26
}

// Buying holds what the desks trade-in and auction decide by.
type Buying struct {
	Cover          float64 // quantile of the bill that a bid must bear, in (0, 1); default 0.8
	Margin         float64 // money kept back from a bid; default 250
	ViewingMinutes float64 // minutes for checks until the sale; default 120
	TakeLessFrom   float64 // deduction in money from which the verdict is "take less"; default 100
	LookFrom       float64 // swing in money from which the verdict is "look first"; default 150
	LeaveShare     float64 // deduction as a share of the price from which it is "leave", in (0, 1]; default 0.25
	SaleOdds       float64 // prior odds of worn against not worn are multiplied by it, since it is for sale; default 1
}

// Kits says how sure the shelf must be.
type Kits struct {
	Service      float64 // chance in (0, 1) that the kits held suffice; default 0.95
	DeliveryDays float64 // days until what is ordered arrives; default 14
}

// defaultJob is what holds where a job states nothing.
func defaultJob() *Job {
	return &Job{
		Desk:   Fleet,
		Market: "other", Language: say.English.Tag,
		Usage: Usage{NextRunDays: 7, HoldingKM: 60000, DefaultKMPerWeek: 450,
			HoldingHours: 3000, DefaultHoursPerWeek: 20, HoldingMonths: 24},
		Money:  Money{Currency: "EUR", BayHour: 95},
		Output: Output{Folder: "out", Keep: 26},
		Buying: Buying{Cover: 0.8, Margin: 250, ViewingMinutes: 120,
			TakeLessFrom: 100, LookFrom: 150, LeaveShare: 0.25, SaleOdds: 1},
		Kits: Kits{Service: 0.95, DeliveryDays: 14},
	}
}

// HistoryPath is the history file with Dir before it; "" where the job has
// none.
func (j *Job) HistoryPath() string { return j.resolve(j.History) }

// MetricsPath is the metrics file with Dir before it; "" where the job has
// none.
func (j *Job) MetricsPath() string { return j.resolve(j.Metrics) }

// OutputFolder is the output folder with Dir before it.
func (j *Job) OutputFolder() string { return j.resolve(j.Output.Folder) }

package config

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/htmlindex"

	"pitlist/score"
	"pitlist/score/dtc"
	"pitlist/score/evidence"
	"pitlist/score/life"
	"pitlist/score/wear"
)

func goodFile(t *testing.T, name string) (string, []byte) {
	t.Helper()
	path := filepath.Join(testdata, "good", name)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return path, data
}

func TestFullJob(t *testing.T) {
	path, _ := goodFile(t, "full-job.yaml")
	j, faults, err := LoadJob(path)
	require.NoError(t, err)
	require.NoError(t, faults.Err())
	assert.Equal(t, "weekly-north", j.Name)
	assert.Equal(t, Fleet, j.Desk)
	require.Len(t, j.Inputs, 1)
	assert.Equal(t, "intake/*.xlsx", j.Inputs[0].Path)
	assert.Equal(t, "INTAKE_PW", j.Inputs[0].PasswordEnv)
	assert.Equal(t, []Sheet{{Name: "Units", Holds: []string{"vehicles"}, Columns: map[string]string{"Fleet ref": "unit"}, OdometerUnit: "km", Line: 7}}, j.Inputs[0].Sheets)
	assert.Equal(t, []string{"parts/*.yaml", "learned.yaml"}, j.Catalogue)
	assert.Equal(t, "eu", j.Market)
	assert.Equal(t, Usage{7, 60000, 450, 3000, 20, 24}, j.Usage)
	assert.Equal(t, Money{"EUR", 95, 180}, j.Money)
	assert.Equal(t, map[string]float64{"North": 12.5, "Harbour": 8, "*": 6}, j.BayHours)
	require.NotNil(t, j.Schedule)
	assert.Equal(t, "0 5 * * MON", j.Schedule.Cron)
	assert.Equal(t, "Europe/Oslo", j.Schedule.Location.String())
	assert.True(t, j.Schedule.CatchUp)
	assert.Equal(t, 30*time.Second, j.Schedule.Settle)
	assert.Equal(t, 20*time.Minute, j.Schedule.Wait)
	monday := time.Date(2026, 11, 23, 4, 0, 0, 0, time.UTC)
	assert.True(t, monday.Equal(j.Schedule.Times.Next(monday.Add(-time.Minute)).At))
	assert.Equal(t, "pitlist-north.prom", j.Metrics)
	assert.Equal(t, filepath.Join(filepath.Dir(path), "pitlist-north.prom"), j.MetricsPath())
	assert.Equal(t, &Notify{OnlyFailure: true, Command: []string{"./tell.sh", "north"}, Timeout: 20 * time.Second,
		Mail: &Mail{Server: "mail.example.org", Port: 2465, Implicit: true, From: "Lists <pitlist@example.org>", To: []string{"planner@example.org", "shift@example.org"},
			UserEnv: "MAIL_USER", PasswordEnv: "MAIL_PW", Attach: true, CAFile: "house-ca.pem"}}, j.Notify)
	assert.Equal(t, filepath.Join(filepath.Dir(path), "house-ca.pem"), j.MailCAFile())
	assert.Equal(t, Output{"out", 26}, j.Output)
	assert.Equal(t, Buying{0.8, 250, 120, 100, 150, 0.25, 1.5}, j.Buying)
	assert.Equal(t, Kits{0.95, 14}, j.Kits)
	assert.Equal(t, Limits{1 << 30, 4 << 30, 512 << 20, 10_000, 20_000_000, 500_000_000, 1 << 20, 1000, 1800}, j.Limits)
	assert.Equal(t, "weekly-north.db", j.History)
	assert.False(t, j.Strict)
	assert.Equal(t, "day", j.DateOrder)
	assert.Equal(t, FirstRecord, j.RecordsFrom)
	assert.True(t, j.RecordsGiven)
	assert.Equal(t, filepath.Join(filepath.Dir(path), "out"), j.OutputFolder())
	assert.Equal(t, filepath.Join(filepath.Dir(path), "weekly-north.db"), j.HistoryPath())
	assert.Contains(t, j.Stated, "money.off_road_day")
}

func TestTenLineJobTakesDefaults(t *testing.T) {
	_, data := goodFile(t, "ten-line-job.yaml")
	j, faults := ParseJob(filepath.Join("some", "north.yaml"), data)
	require.NoError(t, faults.Err())
	assert.Equal(t, "north", j.Name, "the file's name")
	assert.Equal(t, Fleet, j.Desk)
	assert.Equal(t, []string{"intake/*.xlsx", "remarks.csv"}, []string{j.Inputs[0].Path, j.Inputs[1].Path})
	assert.Equal(t, []string{"parts.yaml"}, j.Catalogue, "a single value is a list of one")
	assert.Equal(t, "other", j.Market)
	assert.Equal(t, Usage{7, 60000, 450, 3000, 20, 24}, j.Usage)
	assert.Equal(t, Money{"EUR", 82, 0}, j.Money)
	assert.Equal(t, map[string]float64{"*": 10}, j.BayHours)
	assert.Nil(t, j.Schedule)
	assert.Nil(t, j.Notify)
	assert.Empty(t, j.MetricsPath())
	assert.Empty(t, j.MailCAFile())
	assert.Equal(t, Output{"lists", 26}, j.Output)
	assert.Empty(t, j.HistoryPath())
	assert.Equal(t, FirstRecord, j.RecordsFrom)
	assert.False(t, j.RecordsGiven)
	assert.NotContains(t, j.Stated, "money.off_road_day", "what is not stated can be said to be assumed")
}

func TestJobRules(t *testing.T) {
	const base = "inputs: [a.xlsx]\ncatalogue: [p.yaml]\n"
	for _, c := range []struct {
		rule, text string
		check      func(t *testing.T, j *Job)
	}{
		{"the buying desks know nothing of the past", "desk: auction\n", func(t *testing.T, j *Job) {
			assert.Equal(t, FromNone, j.RecordsFrom)
			assert.True(t, j.Desk.Buys())
		}},
		{"what is stated beats the desk's default", "desk: trade-in\nrecords_from: new\n", func(t *testing.T, j *Job) {
			assert.Equal(t, FromNew, j.RecordsFrom)
		}},
		{"no bay_hours: no limit", "", func(t *testing.T, j *Job) { assert.Nil(t, j.BayHours) }},
		{"a depot with no hours is not a depot without limit", "bay_hours: { North: 0 }\n", func(t *testing.T, j *Job) {
			h, ok := j.BayHours["North"]
			assert.True(t, ok)
			assert.Zero(t, h)
		}},
		{"yes and no are truth values", "strict: yes\n", func(t *testing.T, j *Job) { assert.True(t, j.Strict) }},
		{"an anchor may be used twice", "buying: &b { cover: 0.9 }\nkits: { service: 0.9 }\n", func(t *testing.T, j *Job) { assert.Equal(t, 0.9, j.Buying.Cover) }},
		{"an absolute history path stays", "history: /var/lists/h.db\n", func(t *testing.T, j *Job) {
			assert.Equal(t, filepath.FromSlash("/var/lists/h.db"), j.HistoryPath())
		}},
		{"an encoding is folded", "encoding: Windows-1252\n", func(t *testing.T, j *Job) { assert.Equal(t, "windows-1252", j.Encoding) }},
		{"files are waited for a quarter of an hour unless stated", "schedule: { cron: \"@daily\", time_zone: UTC }\n", func(t *testing.T, j *Job) {
			assert.Equal(t, 10*time.Second, j.Schedule.Settle)
			assert.Equal(t, 15*time.Minute, j.Schedule.Wait)
			assert.False(t, j.Schedule.CatchUp)
		}},
		{"mail goes out by STARTTLS on the port of submission", "notify: { mail: { server: mail.example.org, from: a@example.org, to: b@example.org } }\n", func(t *testing.T, j *Job) {
			assert.Equal(t, &Mail{Server: "mail.example.org", Port: 587, From: "a@example.org", To: []string{"b@example.org"}}, j.Notify.Mail)
			assert.Equal(t, time.Minute, j.Notify.Timeout)
			assert.False(t, j.Notify.OnlyFailure)
		}},
		{"29 February does come", "schedule: { cron: \"0 6 29 2 *\", time_zone: UTC }\n", func(t *testing.T, j *Job) {
			assert.Equal(t, "0 6 29 2 *", j.Schedule.Cron)
		}},
	} {
		t.Run(c.rule, func(t *testing.T) {
			j, faults := ParseJob("job.yaml", []byte(base+c.text))
			require.NoError(t, faults.Err())
			c.check(t, j)
		})
	}
}

func TestSheetHints(t *testing.T) {
	j, faults := ParseJob("job.yaml", []byte(`catalogue: [p.yaml]
inputs:
  - path: a.csv
    sheets:
      - holds: [inspections, vehicles]
        columns: { "Wear (mm)": tappet_mm, "In service": in service date, Colour: ignore }
        date_order: month
        encoding: iso-8859-1
        header_row: 3
`))
	require.NoError(t, faults.Err())
	assert.Equal(t, Sheet{Holds: []string{"inspections", "vehicles"},
		Columns:   map[string]string{"Wear (mm)": "tappet_mm", "In service": "in_service_date", "Colour": Ignore},
		DateOrder: "month", Encoding: "iso-8859-1", HeaderRow: 3, Line: 5}, j.Inputs[0].Sheets[0])
}

func pattern1(t *testing.T, s string) dtc.Pattern {
	t.Helper()
	p, err := dtc.ParsePattern(s)
	require.NoError(t, err)
	return p
}

func TestFullCatalogue(t *testing.T) {
	path, _ := goodFile(t, "full-catalogue.yaml")
	c, faults, err := LoadCatalogue([]string{path})
	require.NoError(t, err)
	require.NoError(t, faults.Err())
	require.Len(t, c.Parts, 1)
	p := c.Parts[0]
	assert.Equal(t, "pump-follower", p.ID)
	assert.Equal(t, "Invented for the demo", p.Source)
	assert.Equal(t, "2026-10-01", p.Reviewed.String())
	assert.Equal(t, "2019-05-01", p.KnownSince.String())
	assert.Equal(t, []score.Fit{{
		WMI: []string{"Z9K"}, Model: []string{"Kestrel"}, ModelYear: []score.YearRange{{From: 2015, To: 2017}},
		EngineSerial: []score.SerialRange{{From: score.Serial{Prefix: "KD", Number: 4110000, Width: 7}, To: score.Serial{Prefix: "KD", Number: 4168000, Width: 7}}},
	}}, p.Fits)
	assert.Equal(t, 0.45, p.ShareIfUnknown)
	assert.Equal(t, score.ByKM, p.Axis)
	assert.Equal(t, life.Weibull{Shape: 3.2, Scale: 215000}, p.Onset)
	assert.Equal(t, life.Weibull{Shape: 1.8, Scale: 42000}, p.Delay)
	assert.Equal(t, 12.0, p.Weight)
	assert.Equal(t, wear.Improved, p.Replacement)
	assert.Equal(t, []string{"fuel pump", "HP pump"}, p.Called)
	assert.Equal(t, score.RepairWords{
		Renews: []string{"fuel pump replaced"}, Treats: []string{"pressure sensor", "fuel filter"},
		Planned: []string{"as a precaution", "at the interval"}, Failed: []string{"pump seized", "metal through injectors"},
	}, p.Repairs)
	assert.Equal(t, score.InspectionPlan{
		Visit: "engine top", SetUpHours: 0.5, Hours: 0.75, Detects: 0.92, FalseAlarm: 0.01, Steps: []string{"…"},
		Limits: []score.Limit{{Measure: "tappet_mm", SoundTo: 0.1, WornFrom: 0.3}}, Cautions: []string{"…"},
	}, p.Inspection)
	assert.Equal(t, []score.Check{{ID: "listen", Minutes: 4, Place: "yard", Detects: 0.35, FalseAlarm: 0.05, Steps: []string{"…"}, Cautions: []string{"…"}}}, p.Checks)
	assert.Equal(t, score.Costs{PlannedRepair: 3600, Failure: 11800, OffRoadDays: 4}, p.Costs)
	assert.Equal(t, score.CostsMoney, p.Consequence)
	assert.Equal(t, []float64{3000, 0.02, 0.3}, []float64{p.RiskKM, p.RiskLimit, p.WornLimit})
	assert.Equal(t, score.Kit{PartNo: "KD-1180-B", Quantity: 1}, p.Kit)
	assert.Equal(t, 2, p.Line)
	assert.Len(t, c.Digest, 64)
}

func TestFullCatalogueEvidence(t *testing.T) {
	path, data := goodFile(t, "full-catalogue.yaml")
	c, faults := ParseCatalogue(path, data)
	require.NoError(t, faults.Err())
	p87, p191, p193 := pattern1(t, "P0087"), pattern1(t, "P0191"), pattern1(t, "P0193")
	over := 0.30
	assert.Equal(t, []evidence.Group{
		{Name: "rail pressure", Absent: evidence.Silent, Rules: []evidence.Rule{
			{CameBackAfter: []string{"pressure sensor"}, Codes: evidence.CodeTest{Any: []dtc.Pattern{p87, p191}}, Worn: 0.45, NotWorn: 0.004},
			{Codes: evidence.CodeTest{All: []dtc.Pattern{p87, p191}, None: []dtc.Pattern{p193}}, Worn: 0.55, NotWorn: 0.005, KMToSet: 180},
			{Codes: evidence.CodeTest{Any: []dtc.Pattern{p87, p191}}, Worn: 0.25, NotWorn: 0.01, KMToSet: 180, Outside: "check the sensor and its wiring first"},
		}},
		{Name: "noise", Absent: evidence.Silent, Rules: []evidence.Rule{{Words: []string{"pump knock", "knocks when hot"}, Worn: 0.35, NotWorn: 0.01}}},
		{Name: "wear of the tappet", Absent: evidence.Silent, Rules: []evidence.Rule{{Measured: "tappet_mm", Over: &over, Worn: 0.9, NotWorn: 0.03}}},
	}, c.Parts[0].Evidence)
}

// onePart wraps keys of one entry around a good one: later lines win nothing,
// so each case replaces the lines it changes.
func onePart(t *testing.T, old, new string) score.WeakPart {
	t.Helper()
	_, data := goodFile(t, "full-catalogue.yaml")
	text := replaceOnce(t, string(data), old, new)
	c, faults := ParseCatalogue("parts.yaml", []byte(text))
	require.NoError(t, faults.Err())
	require.Len(t, c.Parts, 1)
	return c.Parts[0]
}

func TestCurvesOfEveryFamily(t *testing.T) {
	const old = "{ weibull: { shape: 3.2, scale: 215000 } }"
	assert.Equal(t, life.Lognormal{Mu: 11.9, Sigma: 0.5}, onePart(t, old, "{ lognormal: { mu: 11.9, sigma: 0.5 } }").Onset)
	assert.Equal(t, life.Exponential{Mean: 90000}, onePart(t, old, "{ exponential: { mean: 9.0e4 } }").Onset)
	table := onePart(t, old, "{ table: [ [80000, 0.02], [160000, 0.5] ] }").Onset
	assert.InDelta(t, 0.02, life.CDF(table, 80000), 1e-12)
	assert.InDelta(t, 0.5, life.CDF(table, 160000), 1e-12)
}

func TestRangesOfEveryKind(t *testing.T) {
	const old = "model_year: 2015-2017, engine_serial: KD4110000-KD4168000"
	day := func(s string) score.Day {
		d, _, ok := parseDay(s)
		require.True(t, ok, s)
		return d
	}
	for _, c := range []struct {
		rule, text string
		want       func(f *score.Fit)
	}{
		{"one year", "model_year: 2016", func(f *score.Fit) { f.ModelYear = []score.YearRange{{From: 2016, To: 2016}} }},
		{"several years", "model_year: [2012, 2015 - 2017]", func(f *score.Fit) {
			f.ModelYear = []score.YearRange{{From: 2012, To: 2012}, {From: 2015, To: 2017}}
		}},
		{"whole days", "build_date: 2015-03-01..2016-02-29", func(f *score.Fit) {
			f.BuildDate = []score.DayRange{{From: day("2015-03-01"), To: day("2016-02-29")}}
		}},
		{"whole months", "build_date: 2015-03 - 2016-02", func(f *score.Fit) {
			f.BuildDate = []score.DayRange{{From: day("2015-03-01"), To: day("2016-02-29")}}
		}},
		{"days joined by a hyphen", "build_date: 2015-03-01-2015-04-30", func(f *score.Fit) {
			f.BuildDate = []score.DayRange{{From: day("2015-03-01"), To: day("2015-04-30")}}
		}},
		{"an open end", "build_date: 2015-03-01..", func(f *score.Fit) { f.BuildDate = []score.DayRange{{From: day("2015-03-01")}} }},
		{"an open beginning", "build_date: ..2015-03-01", func(f *score.Fit) { f.BuildDate = []score.DayRange{{To: day("2015-03-01")}} }},
		{"one month", "build_date: 2015-03", func(f *score.Fit) {
			f.BuildDate = []score.DayRange{{From: day("2015-03-01"), To: day("2015-03-31")}}
		}},
		{"last digits of the VIN keep their zeros", "vin_serial: 000100-000900", func(f *score.Fit) {
			f.VINSerial = []score.SerialRange{{From: score.Serial{Number: 100, Width: 6}, To: score.Serial{Number: 900, Width: 6}}}
		}},
		{"whole VINs whose check digits differ", "vin: Z9KAB1CD5FH000100-Z9KAB1CD7FH000900", func(f *score.Fit) {
			f.VIN = []score.SerialRange{{From: score.Serial{Prefix: "Z9KAB1CD5FH", Number: 100, Width: 6}, To: score.Serial{Prefix: "Z9KAB1CD5FH", Number: 900, Width: 6}}}
		}},
		{"VINs of which characters are open", `vin: "Z9K*****5FH000100-Z9K*****7FH000900"`, func(f *score.Fit) {
			f.VIN = []score.SerialRange{{From: score.Serial{Prefix: "Z9K*****5FH", Number: 100, Width: 6}, To: score.Serial{Prefix: "Z9K*****5FH", Number: 900, Width: 6}}}
		}},
		{"serials whose width grows", "engine_serial: KD99000-KD100500", func(f *score.Fit) {
			f.EngineSerial = []score.SerialRange{{From: score.Serial{Prefix: "KD", Number: 99000, Width: 5}, To: score.Serial{Prefix: "KD", Number: 100500, Width: 6}}}
		}},
		{"models that YAML would take for something else", "make: [no, 107, 1e9]", func(f *score.Fit) { f.Make = []string{"no", "107", "1e9"} }},
	} {
		t.Run(c.rule, func(t *testing.T) {
			want := score.Fit{WMI: []string{"Z9K"}, Model: []string{"Kestrel"}}
			c.want(&want)
			assert.Equal(t, want, onePart(t, old, c.text).Fits[0])
		})
	}
}

func TestRangesThatMayStandBesideEachOther(t *testing.T) {
	const old = "{ wmi: [Z9K], model: [Kestrel], model_year: 2015-2017, engine_serial: KD4110000-KD4168000 }"
	for _, c := range []struct{ rule, text string }{
		{"another model with the same years", "{ model: [Kestrel], model_year: 2015-2017 }\n      - { model: [Teal], model_year: 2015-2017 }"},
		{"two conditions differ", "{ model: [Kestrel], model_year: 2015-2017 }\n      - { model: [Teal], model_year: 2016-2018 }"},
		{"serials of two series", "{ engine_serial: [KD100-KD200, KE100-KE200] }"},
		{"serials of two widths", "{ engine_serial: [KD100-KD200, KD0100-KD0200] }"},
		{"ranges that touch", "{ model_year: [2015-2016, 2017-2018] }"},
	} {
		t.Run(c.rule, func(t *testing.T) { assert.NotEmpty(t, onePart(t, old, c.text).Fits) })
	}
}

func TestRuleDetails(t *testing.T) {
	p := onePart(t, `{ words: ["pump knock", "knocks when hot"], worn: 0.35, not_worn: 0.01 }`,
		`{ id: oil, weight: 25, measured: oil_bar, under: 1.5, worn: 0.35, not_worn: 0.01 }`)
	r := p.Evidence[1].Rules[0]
	assert.Equal(t, "oil", r.ID)
	assert.Equal(t, 25.0, r.Weight)
	require.NotNil(t, r.Under)
	assert.Equal(t, 1.5, *r.Under)
	p = onePart(t, "codes: { any: [P0087, P0191] }, worn: 0.25", `codes: { any: ["SPN 636 FMI 2", SPN 157, P0087-1A] }, worn: 0.25`)
	assert.Equal(t, []dtc.Pattern{pattern1(t, "SPN 636 FMI 2"), pattern1(t, "SPN 157"), pattern1(t, "P0087-1A")}, p.Evidence[0].Rules[2].Codes.Any)
}

func TestEveryEncodingHasAnImplementation(t *testing.T) {
	old := []string{"cp437", "cp850", "cp852", "cp858", "cp865", "ibm437", "ibm850", "ibm852", "ibm865", "utf-16", "utf-16le", "utf-16be"}
	for _, name := range encodings {
		if !slices.Contains(old, name) { // those are in golang.org/x/text/encoding/charmap and unicode
			_, err := htmlindex.Get(name)
			assert.NoError(t, err, name)
		}
	}
}

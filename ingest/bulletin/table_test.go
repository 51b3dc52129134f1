package bulletin

import (
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/score"
	"pitlist/score/vin"
)

func TestHeadings(t *testing.T) {
	for _, c := range []struct {
		heading string
		want    Field
		weak    bool
	}{
		{"Recalls Number", Number, false}, {"Campaign No.", Number, false}, {"TSB #", Number, false}, {"CAMPNO", Number, false}, {"Ref", Number, true},
		{"Manufacturer Ref", Reference, false}, {"MFGCAMPNO", Reference, false},
		{"Make", Make, false}, {"Manufacturer", Make, true}, {"Marke", Make, false}, {"Applies to", Model, true}, {"Symptom", Concern, false}, {"Engine range from", EngineSerial + "_from", false}, {"Baujahr", BuildDate, true},
		{"Model", Model, false}, {"MODELTXT", Model, false}, {"Recalls Model Information", Models, false},
		{"VIN Start", VIN + from, false}, {"VIN End", VIN + to, false}, {"First VIN", VIN + from, false}, {"VIN (to)", VIN + to, false}, {"Chassis No. from", VIN + from, false}, {"VIN range", VIN, false},
		{"VIN serial from", VINSerial + from, false}, {"Last 6 of VIN", VINSerial, false}, {"vin_serial_to", VINSerial + to, false},
		{"Engine serial from", EngineSerial + from, false}, {"Engine No.", EngineSerial, false}, {"Serial number", Serial, false}, {"Serial from", Serial + from, false},
		{"Build Start", BuildDate + from, false}, {"Build End", BuildDate + to, false}, {"Production date to", BuildDate + to, false}, {"BGMAN", BuildDate + from, false},
		{"ENDMAN", BuildDate + to, false}, {"Begin of manufacture", BuildDate + from, false}, {"Bauzeitraum", BuildDate, false},
		{"Model year", ModelYear, false}, {"YEARTXT", ModelYear, false}, {"Model year to", ModelYear + to, false},
		{"COMPNAME", Component, false}, {"Concern", Concern, false}, {"DESC_DEFECT", Defect, false}, {"CONEQUENCE_DEFECT", Consequence, false},
		{"CORRECTIVE_ACTION", Remedy, false}, {"Launch Date", LaunchDate, false}, {"Date", LaunchDate, true}, {"Vehicle Numbers", Affected, false}, {"RCLTYPECD", Kind, false},
	} {
		got, ok := match(c.heading)
		assert.True(t, ok, c.heading)
		assert.Equal(t, c.want, got.field, c.heading)
		assert.Equal(t, c.weak, got.weak, c.heading)
	}
	for _, h := range []string{"Tyre pressure", "Start", "From", "Odometer", "", "Start of sales"} {
		_, ok := match(h)
		assert.False(t, ok, h)
	}
	for _, f := range Fields() {
		got, ok := match(string(f))
		assert.True(t, ok && got.field == f && !got.weak, "a field's own name is understood: %s", f)
	}
}

// TestWordingsAreFields: every line of the table names a field that there is.
func TestWordingsAreFields(t *testing.T) {
	all := Fields()
	for w, c := range wordings() {
		if !c.useless {
			assert.Contains(t, all, Field(strings.TrimSuffix(string(c.field), "_")), w)
		}
	}
}

// TestFindHeading: headings below a title, over two rows, and those that two
// columns could claim.
func TestFindHeading(t *testing.T) {
	fields := func(res *Result) map[Field]string {
		out := map[Field]string{}
		for _, c := range res.Tables[0].Columns {
			if c.Field != Ignore {
				out[c.Field] = c.Heading
			}
		}
		return out
	}
	res := lay(t, Options{},
		[]string{"Open campaigns, Northfold Motors"}, []string{},
		[]string{"Campaign", "Model", "VIN", "", "Built", "", "Page"},
		[]string{"", "", "from", "to", "from", "to", ""},
		[]string{"NF-17-004", "Heron", "Z9KLA4E27G1200000", "Z9KLA4E27G1300000", "2015-03-01", "2016-02-28", "4"},
		[]string{}, []string{"Campaign", "Model", "VIN"})
	assert.Equal(t, 3, res.Tables[0].Heading)
	assert.Equal(t, map[Field]string{Number: "Campaign", Model: "Model", VIN + from: "VIN from", VIN + to: "VIN to", BuildDate + from: "Built from", BuildDate + to: "Built to"}, fields(res))
	require.Len(t, res.Rows, 1)
	assert.Equal(t, "wmi: [Z9K], model: [Heron], vin: [Z9KLA4E27G1200000-Z9KLA4E27G1300000]", res.Rows[0].Fit.String())
	assert.Equal(t, 2, res.Tables[0].Blank, "a row without words, and the headings once more")

	res = lay(t, Options{}, []string{"Bulletin", "Model", "Production date", "Build date", "Manufacturer", "Make", "Colour"}, []string{"12", "Heron", "2015", "2016", "Northfold Works", "Northfold", "red"})
	assert.Equal(t, map[Field]string{Number: "Bulletin", Model: "Model", Make: "Make"}, fields(res), "of two equal claims neither is taken; a weak one stands back")
	whys := map[string]string{}
	for _, c := range res.Tables[0].Columns {
		whys[c.Heading] = c.Why
	}
	assert.Equal(t, "not understood", whys["Colour"])
	assert.Contains(t, whys["Build date"], "2 columns could be the build date")
	assert.Contains(t, whys["Manufacturer"], "better claim")

	res = lay(t, Options{Columns: map[string]string{"Production date": "ignore", "Colour": "Concern"}}, []string{"Bulletin", "Model", "Production date", "Build date", "Colour"}, []string{"12", "Heron", "2015", "2016", "paint flakes"})
	assert.Equal(t, map[Field]string{Number: "Bulletin", Model: "Model", BuildDate: "Build date", Concern: "Colour"}, fields(res))
	assert.Equal(t, "paint flakes", res.Campaigns[0].First(Concern))

	res = lay(t, Options{Columns: map[string]string{"Our ref": "number"}}, []string{"Recall number", "Our ref", "Model", "Model year"}, []string{"R/2015/1", "NF-17-004", "Heron", "2015"})
	assert.Equal(t, "NF-17-004", res.Rows[0].Number, "what the user says goes before a heading that is known")
	assert.Equal(t, "another column has the better claim to be the number", res.Tables[0].Columns[0].Why)
	for _, columns := range []map[string]string{{"VIN-from": "number", "VIN from": "model"}, {"x": "colour"}} {
		_, err := New("", "", false, Options{Columns: columns})
		assert.Error(t, err, "%v", columns)
	}
	res = lay(t, Options{}, []string{"Bulletin", "Model", "Year", "Model year"}, []string{"12", "Heron", "2017", "2015"})
	assert.Equal(t, "model: [Heron], model_year: [2015]", res.Rows[0].Fit.String(), "a mere year stands back")
	o := Options{Columns: map[string]string{"Our reff": "number", "model": "model"}}
	assert.Equal(t, []string{"Our reff"}, o.Absent(res.Tables))
	res = lay(t, Options{}, []string{"Unit", "Odometer"}, []string{"1", "2"})
	assert.False(t, res.Tables[0].IsTable())
	assert.Empty(t, res.Rows)
}

// TestCampaigns: which rows are one campaign, and what of them goes into its entry.
func TestCampaigns(t *testing.T) {
	head := []string{"Number", "Recall type", "Make", "Model", "Model year", "VIN from", "VIN to", "Build start", "Build end", "Launch date", "Concern"}
	res := lay(t, Options{}, head,
		[]string{"NF-17-004", "", "Northfold", "Heron", "2015", "", "", "2015-01-01", "2015-06-30", "2017-05-02", "pump wears"},
		[]string{"NF-17-004", "", "Northfold", "Heron, Kestrel", "2016", "", "", "2015-01-01", "2015-06-30", "2017-05-01", ""},
		[]string{"nf 17-004", "", "Northfold", "Teal", "", "", "", "", "", "", ""},
		[]string{"NF-17-005", "", "Northfold", "Teal", "", "Z9KLA4E27G1300000", "Z9KLA4E27G1200000", "2015-01-01", "2015-06-30", "", "rack"},
		[]string{"NF-17-006", "Equipment", "Northfold", "Jack", "2015", "", "", "", "", "", "jack folds"},
		[]string{"", "", "Northfold", "Heron", "2015", "", "", "", "", "", ""},
		[]string{"12", "", "Northfold", "Heron", "2015", "", "", "", "", "", ""},
		[]string{"12", "", "Alderley", "Crane", "2015", "", "", "", "", "", ""},
		[]string{"NF-17-007", "", "Northfold", "various", "2015", "", "", "", "", "", ""},
		[]string{"NF-17-008", "", "Northfold", "Heron", "", "", "", "2018-01-01", "2018-06-30", "2017-05-02", ""},
		[]string{"NF-17-009", "", "Northfold", "Heron", "", "", "", "", "2015-06-30", "2017-05-02", ""},
		[]string{"NF-17-010", "", "Northfold", "Heron", "2015", "", "", "", "2015-06-30", "2017-05-02", ""},
	)
	var got []string
	for _, r := range res.Rows {
		text := string(r.Outcome)
		if r.Settle {
			text += ", to settle"
		}
		if r.Outcome == Told {
			text += ": " + r.Issues[len(r.Issues)-1].Reason
		}
		got = append(got, text)
	}
	assert.Equal(t, []string{
		"drafted", "merged",
		"told: no range is given: neither VINs nor serials, build dates or model years say which vehicles it concerns",
		"drafted, to settle",
		"told: a campaign about equipment, not about vehicles: which vehicles have it cannot be told",
		"told: neither a number nor words say which campaign it belongs to",
		"drafted", "drafted",
		"told: no model is named, and the range alone does not tell one vehicle from another",
		"told: no other range of the row says which vehicles it concerns",
		"told: no other range of the row says which vehicles it concerns",
		"drafted",
	}, got)
	require.Len(t, res.Campaigns, 5)
	first := res.Campaigns[0]
	assert.Equal(t, "2017-05-01", first.Launch.String(), "the earliest")
	assert.Equal(t, []int{0, 1}, first.Rows)
	assert.Equal(t, []int{2}, first.Left, "what is missing from the entry is known")
	var fits []string
	for i := range first.Fits {
		fits = append(fits, first.Fits[i].String())
	}
	assert.Equal(t, []string{
		"make: [Northfold], model: [Heron], model_year: [2015], build_date: [2015-01-01..2015-06-30]",
		"make: [Northfold], model: [Heron, Kestrel], model_year: [2016], build_date: [2015-01-01..2015-06-30]",
	}, fits)
	assert.Equal(t, []Field{VIN}, slices.Collect(maps.Keys(res.Campaigns[1].Fits[0].Open)))
}

// TestEveryRowIsAccountedFor holds the public tables: each row is in one entry or
// told with a reason, and the counts add up to the lines of the file. How many are
// which was counted once by this program; 79 of the rows stand in TestLabelledRows.
func TestEveryRowIsAccountedFor(t *testing.T) {
	for name, want := range map[string]struct{ lines, drafted, told, settle int }{
		"gb.csv":    {300, 233, 67, 89},
		"nhtsa.csv": {100, 96, 4, 0},
	} {
		res := readFile(t, filepath.Join(recalls, name), Options{})
		account(t, res)
		drafted, told, settle := 0, 0, 0
		for _, r := range res.Rows {
			if r.Outcome == Told {
				told++
			} else {
				drafted++
			}
			if r.Settle {
				settle++
			}
		}
		assert.Equal(t, want.lines, len(res.Rows), name)
		assert.Equal(t, want.drafted, drafted, name)
		assert.Equal(t, want.told, told, name)
		assert.Equal(t, want.settle, settle, name)
		assert.Empty(t, slices.DeleteFunc(slices.Clone(res.Tables[0].Columns), func(c Column) bool { return c.Why == "" }), "every heading of %s is understood", name)
	}
}

// account checks what holds whatever a table says.
func account(t require.TestingT, res *Result) {
	rows := 0
	for _, tab := range res.Tables {
		if tab.IsTable() {
			rows += tab.Rows - tab.Passed
		}
	}
	require.Equal(t, rows, len(res.Rows), "every row has an outcome")
	in := map[int]int{}
	for _, c := range res.Campaigns {
		require.NotEmpty(t, c.Fits)
		byFit := map[int]bool{}
		for _, f := range c.Fits {
			require.NotEmpty(t, f.String()+strings.Join(keysOf(f.Open), ""), "a fit asks something")
			for _, i := range f.Rows {
				byFit[i] = true
			}
		}
		for n, i := range c.Rows {
			in[i]++
			require.True(t, byFit[i], "a row of an entry is in one of its fits")
			require.Equal(t, n == 0, res.Rows[i].Outcome == Drafted)
			require.NotEqual(t, Told, res.Rows[i].Outcome)
		}
		for _, i := range c.Left {
			require.Equal(t, Told, res.Rows[i].Outcome)
		}
	}
	for i, r := range res.Rows {
		if r.Outcome == Told {
			require.Zero(t, in[i])
			require.NotEmpty(t, r.Issues, "what is told has a reason")
		} else {
			require.Equal(t, 1, in[i])
		}
		if r.Settle {
			require.NotEmpty(t, r.Issues)
		}
	}
}

// TestMergingKeepsTheMeaning: whatever rows a campaign has, a vehicle is inside
// its joined fits exactly if it is inside one of the rows' own.
func TestMergingKeepsTheMeaning(t *testing.T) {
	year := func(t *rapid.T) int { return rapid.IntRange(2012, 2017).Draw(t, "year") }
	day := func(t *rapid.T) score.Day { return dayOf(2012, 1, rapid.IntRange(1, 12).Draw(t, "day")) }
	number := func(t *rapid.T) uint64 { return rapid.Uint64Range(100000, 100012).Draw(t, "number") }
	name := rapid.SampledFrom([]string{"Heron", "Kestrel", "heron", "Teal"})
	serials := func(t *rapid.T) []score.SerialRange {
		a, b := number(t), number(t)
		return []score.SerialRange{{From: score.Serial{Number: min(a, b), Width: 6}, To: score.Serial{Number: max(a, b), Width: 6}}}
	}
	few := func(t *rapid.T, what string) bool { return rapid.IntRange(0, 2).Draw(t, what) == 0 } // so that most rows agree in most
	rapid.Check(t, func(t *rapid.T) {
		var fits, own []Fit
		common := serials(t)
		for n := range rapid.IntRange(1, 7).Draw(t, "rows") {
			f := Fit{Rows: []int{n}, Fit: score.Fit{VINSerial: slices.Clone(common)}}
			if few(t, "model") {
				f.Model = []string{name.Draw(t, "name")}
			}
			if few(t, "years") {
				a, b := year(t), year(t)
				f.ModelYear = []score.YearRange{{From: min(a, b), To: max(a, b)}}
			}
			if few(t, "build") {
				a, b := day(t), day(t)
				f.BuildDate = []score.DayRange{{From: min(a, b), To: max(a, b)}}
				switch rapid.IntRange(0, 5).Draw(t, "open") {
				case 0:
					f.BuildDate[0].From = 0
				case 1:
					f.BuildDate[0].To = 0
				}
			}
			if few(t, "serials") {
				f.VINSerial = serials(t)
			}
			fits = append(fits, f)
			own = append(own, Fit{Fit: score.Fit{Model: slices.Clone(f.Model), ModelYear: slices.Clone(f.ModelYear), BuildDate: slices.Clone(f.BuildDate), VINSerial: slices.Clone(f.VINSerial)}})
		}
		joined := merged(fits)
		part := func(fits []Fit) *score.WeakPart {
			p := &score.WeakPart{}
			for i := range fits {
				p.Fits = append(p.Fits, fits[i].Fit)
			}
			return p
		}
		for range 20 {
			v := &score.Vehicle{VIN: vin.VIN("Z9KLA4E27G1" + score.Serial{Number: number(t), Width: 6}.String()), Model: name.Draw(t, "name"), ModelYear: year(t), BuildDate: day(t)}
			require.Equal(t, part(own).Belongs(v).Membership, part(joined).Belongs(v).Membership, "%v\n%v", own, joined)
		}
	})
}

// TestMerging holds single cases of the same.
func TestMerging(t *testing.T) {
	head := []string{"Number", "Make", "Model", "VIN from", "VIN to", "Build start", "Build end", "Model year"}
	fits := func(rows ...[]string) []string {
		res := lay(t, Options{}, append([][]string{head}, rows...)...)
		require.Len(t, res.Campaigns, 1)
		var out []string
		for i := range res.Campaigns[0].Fits {
			f := &res.Campaigns[0].Fits[i]
			out = append(out, strings.TrimSpace(f.String()+" "+strings.Join(keysOf(f.Open), " ")))
		}
		return out
	}
	assert.Equal(t, []string{"make: [Northfold], model: [Heron], build_date: [2015-01-01..2015-06-30]"}, fits(
		[]string{"NF-17-004", "Northfold", "Heron", "Z9K1", "Z9K2", "2015-01-01", "2015-06-30"},
		[]string{"NF-17-004", "Northfold", "Heron", "", "", "2015-01-01", "2015-06-30"}), "a range that another row takes in whole needs no settling")
	assert.Equal(t, []string{"make: [Northfold], model: [Heron], build_date: [2015-01-01..2015-12-31] vin"}, fits(
		[]string{"NF-17-004", "Northfold", "Heron", "Z9K1", "Z9K2", "2015-01-01", "2015-06-30"},
		[]string{"NF-17-004", "Northfold", "He\u200bron", "Z9K3", "Z9K4", "2015-06-01", "2015-12-31"}), "two to settle are one")
	assert.Equal(t, []string{"make: [Northfold], model: [Heron], model_year: [2015-2016]"}, fits(
		[]string{"NF-17-004", "Northfold", "Heron", "", "", "", "", "2015"},
		[]string{"NF-17-004", "Northfold", "Heron", "", "", "", "", "2016"},
		[]string{"NF-17-004", "Northfold", "Heron", "", "", "2015-01-01", "", "2016"}), "what asks less takes in what asks more")
	assert.Equal(t, []string{
		"wmi: [Z9K], make: [Northfold], model: [Heron], vin: [Z9KLA4E27G1200000-Z9KLA4E27G1300000]",
		"wmi: [Z9K], make: [Northfold], model: [Heron], vin: [Z9K******H1200000-Z9K******H1300000]",
	}, fits(
		[]string{"NF-17-004", "Northfold", "Heron", "Z9KLA4E27G1200000", "Z9KLA4E27G1300000"},
		[]string{"NF-17-004", "Northfold", "Heron", "Z9K******H1200000", "Z9K******H1300000"}), "of one the model is asked for, of the other not")
}

// TestTakenInNeedsNoSettling: a row whose range cannot be used, and that another row
// of its campaign takes in whole, is counted as drafted and told of.
func TestTakenInNeedsNoSettling(t *testing.T) {
	head := []string{"Number", "Make", "Model", "VIN from", "VIN to", "Build start", "Build end"}
	res := lay(t, Options{}, head,
		[]string{"NF-17-004", "Northfold", "Heron", "Z9K1", "Z9K2", "2015-01-01", "2015-06-30"},
		[]string{"NF-17-004", "Northfold", "Heron", "", "", "2015-01-01", "2015-06-30"},
		[]string{"NF-17-004", "Northfold", "Teal", "Z9K1", "Z9K2", "2015-01-01", "2015-06-30"})
	assert.False(t, res.Rows[0].Settle)
	assert.NotEmpty(t, res.Rows[0].Issues)
	assert.True(t, res.Rows[2].Settle, "the Teal's is open")
}

// TestRowNumbers: a column that counts the rows is no campaign's number.
func TestRowNumbers(t *testing.T) {
	numbers := func(o Options, heading string, values ...string) (out []string) {
		rows := [][]string{{heading, "Manufacturer ref", "Make", "Model", "Model year", "Defect"}}
		for i, v := range values {
			rows = append(rows, []string{v, "NF-17-" + strconv.Itoa(i), []string{"Northfold", "Alderley"}[i%2], "Heron", "2015", "wears"})
		}
		res := lay(t, o, rows...)
		account(t, res)
		for _, c := range res.Campaigns {
			out = append(out, c.Number)
		}
		return out
	}
	assert.Equal(t, []string{"NF-17-0", "NF-17-1", "NF-17-2"}, numbers(Options{}, "No.", "1", "2", "3"))
	assert.Equal(t, []string{"NF-17-0", "NF-17-2"}, numbers(Options{Makes: []string{"Northfold"}}, "No.", "1.", "2.", "3."), "rows passed over count too")
	assert.Equal(t, []string{"1", "2", "3"}, numbers(Options{}, "Recall number", "1", "2", "3"), "a heading that says so")
	assert.Equal(t, []string{"1", "2", "4"}, numbers(Options{}, "No.", "1", "2", "4"))
	assert.Equal(t, []string{"1", "2"}, numbers(Options{}, "No.", "1", "2"), "two may be chance")
	assert.Equal(t, []string{"1", "2", "3"}, numbers(Options{Columns: map[string]string{"No.": "number"}}, "No.", "1", "2", "3"), "the user says so")
}

// TestMakesAskedFor: a row of another make is passed over and counted, one that
// names none is read.
func TestMakesAskedFor(t *testing.T) {
	head := []string{"Number", "Make", "Model", "Model year", "Part number"}
	res := lay(t, Options{Makes: []string{"north-fold"}}, head, []string{"1", "NORTHFOLD", "Heron", "2015", "KD-1"}, []string{"2", "Alderley", "Crane", "2015", "C-1"}, []string{"3", "", "Heron", "2015", "KD-2"})
	assert.Equal(t, 1, res.Tables[0].Passed)
	require.Len(t, res.Campaigns, 2)
	assert.Equal(t, []string{"KD-1"}, res.Campaigns[0].Said[PartNo])
	account(t, res)
	res = lay(t, Options{Makes: []string{"Northfold"}}, head, []string{"4", "Alderley / Northfold", "Heron", "2015"}, []string{"5", "Alderley, Crane", "Heron", "2015"})
	assert.Equal(t, 1, res.Tables[0].Passed, "one of the row's makes is asked for")
	require.Len(t, res.Rows, 1)
	assert.Equal(t, "Alderley / Northfold", res.Rows[0].Make)
}

// TestAllThatRowsSay: rows of one campaign may say different things, and all of it
// is kept, each once.
func TestAllThatRowsSay(t *testing.T) {
	head := []string{"Number", "Make", "Model", "Model year", "Remedy", "Part number", "Launch date"}
	res := lay(t, Options{}, head, []string{"NF-17-004", "Northfold", "Heron", "2015", "Replace the pump.", "KD-1 and KD-2", "2017-06-02"},
		[]string{"NF-17-004", "Northfold", "Teal", "2015", "Replace the line.", "KD-2\nKD-3", "2017-05-02"}, []string{"NF-17-004", "Northfold", "heron", "2016", "replace the pump.", "", ""})
	require.Len(t, res.Campaigns, 1)
	c := res.Campaigns[0]
	assert.Equal(t, []string{"Heron", "Teal"}, c.Said[Model])
	assert.Equal(t, []string{"Replace the pump.", "Replace the line."}, c.Said[Remedy])
	assert.Equal(t, []string{"KD-1", "KD-2", "KD-3"}, c.Said[PartNo])
	assert.Equal(t, dayOf(2017, 5, 2), c.Launch)
	for i, want := range []string{"make: [Northfold], model: [Heron], model_year: [2015]", "make: [Northfold], model: [Teal], model_year: [2015]", "make: [Northfold], model: [heron], model_year: [2016]"} {
		assert.Equal(t, want, res.Rows[i].Fit.String(), "joining changes no row's own")
	}
}

// TestCalled: an entry is called what the table calls it.
func TestCalled(t *testing.T) {
	for heading, want := range map[string]string{"Recalls Number": "recall", "Rückruf-Nr.": "recall", "TSB #": "bulletin", "Service bulletin": "bulletin", "CAMPNO": "campaign", "Our ref": "campaign"} {
		assert.Equal(t, want, called(heading), heading)
	}
}

// TestEquipment: which campaigns are about no vehicle.
func TestEquipment(t *testing.T) {
	for number, want := range map[string]bool{
		"RCOMP/2017/015": true, "RTW/2012/001": true, "02E052000": true, "15T-004": true, "10C004000": true,
		"R/2012/084": false, "RCT/2002/001": false, "02V288000": false, "17C123": false, "13T01": false, "2C458R": false, "": false,
	} {
		r := &reading{cells: map[Field]string{Number: number}}
		assert.Equal(t, want, r.equipment(), number)
	}
	for kind, want := range map[string]bool{"E": true, "Equipment": true, "Tyres": true, "child seat": true, "V": false, "Vehicle": false, "Safety recall": false, "": false} {
		r := &reading{cells: map[Field]string{Kind: kind}}
		assert.Equal(t, want, r.equipment(), kind)
	}
}

func keysOf(open map[Field][]Issue) []string {
	var out []string
	for _, k := range slices.Sorted(maps.Keys(open)) {
		out = append(out, string(k))
	}
	return out
}

// TestTooManyRows: a table that no catalogue could hold ends in a message.
func TestTooManyRows(t *testing.T) {
	table, err := New("table.csv", "", false, Options{})
	require.NoError(t, err)
	require.NoError(t, table.Add(1, []string{"Number", "Model"}, ""))
	for i := range mostRows {
		require.NoError(t, table.Add(i+2, []string{"1", "Heron"}, ""))
	}
	assert.ErrorContains(t, table.Add(mostRows+2, []string{"1", "Heron"}, ""), "table.csv has more than 200000 rows")
	table.rows, table.bytes = nil, mostBytes-3
	err = table.Add(mostRows+3, []string{"1", "Heron"}, "")
	assert.ErrorContains(t, err, "256 MB")
}

// FuzzTable: no table, however odd, stops the reading, and every row of it is
// accounted for. The first line holds the headings, cells are parted by tabs.
func FuzzTable(f *testing.F) {
	for _, seed := range []string{
		"Number\tMake\tModel\tVIN Start\tVIN End\tBuild Start\tBuild End\nR/2010/111\tNorthfold\tC8\tVF7******AZ025918\tVF7******AZ030421\t24/02/2010\t27/05/2010",
		"Campaign\tModel\tVIN\t\nfrom\t\tfrom\tto\n1\tHeron\tZ9KLA4E27G1200000\tZ9KLA4E27G1300000\n1\tHeron\tVarious\t\n",
		"Bulletin\tModel\tEngine serial\tModel year\tDate\n12\tHeron & Teal\tKD98000-KD104000; KD99000-KD99500\t2015-2017, 2016\t03/04/2024\n12\tHeron\tKD0100-KD0200\t9999\t45000\n",
		"Concern\tMake\tSerial from\tSerial to\nnoise\tall makes\t740405\t872978\n\t\t#N/A\t\n",
		"Number\tModel\tVIN serial\tBuild\nRCOMP/1\tx\t98680 to 100793\t01/01/1900\n02E052000\ty\t1234-1235\t2010",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		o := Options{}
		table, err := New("fuzz.csv", "", false, o)
		require.NoError(t, err)
		for i, line := range strings.Split(text, "\n") {
			require.NoError(t, table.Add(i+1, strings.Split(line, "\t"), ""))
		}
		res, err := Read([]*Table{table}, o)
		require.NoError(t, err)
		account(t, res)
		for _, c := range res.Campaigns {
			for i := range c.Fits {
				for _, ranges := range [][]score.SerialRange{c.Fits[i].VIN, c.Fits[i].VINSerial, c.Fits[i].EngineSerial} {
					for n, r := range ranges {
						require.NoError(t, r.Validate())
						for _, other := range ranges[:n] {
							require.False(t, r.Overlaps(other) || other.Overlaps(r), "%s and %s", r, other)
						}
					}
				}
				for _, r := range c.Fits[i].VIN {
					_, err := score.VINRange(r.From.String(), r.To.String())
					require.NoError(t, err)
				}
			}
		}
	})
}

// TestNamesOfARow: what the cells of make, model and engine family name, or why
// they name nothing.
func TestNamesOfARow(t *testing.T) {
	head := []string{"Number", "Make", "Model", "Engine family", "Model year"}
	for _, c := range []struct{ rule, maker, model, family, fit, reason string }{
		{"a list of makes", "Northfold, Alderley", "Heron", "", "make: [Northfold, Alderley], model: [Heron], model_year: [2015]", ""},
		{"makes at a stroke", "Northfold / Alderley", "Heron", "", "make: [Northfold, Alderley], model: [Heron], model_year: [2015]", ""},
		{"a make of two words", "Fold & North", "Heron", "", "make: [Fold & North], model: [Heron], model_year: [2015]", ""},
		{"all makes", "All makes", "Heron", "", "model: [Heron], model_year: [2015]", ""},
		{"a list of models", "Northfold", "Heron, Teal and Kestrel", "", "make: [Northfold], model: [Heron, Teal, Kestrel], model_year: [2015]", ""},
		{"a model called Y", "Northfold", "Heron Y Sport", "", "make: [Northfold], model: [Heron Y Sport], model_year: [2015]", ""},
		{"a Spanish list", "Northfold", "Heron y Teal", "", "make: [Northfold], model: [Heron, Teal], model_year: [2015]", ""},
		{"various in brackets", "Northfold", "Heron (various)", "", "make: [Northfold], model: [Heron], model_year: [2015]", ""},
		{"all", "Northfold", "All", "", "", "these words name no model"},
		{"all, in a workbook's capitals", "Northfold", "ALL MODELS", "", "", "these words name no model"},
		{"others", "Northfold", "Heron and others", "", "", "these words name no model"},
		{"all but one", "Northfold", "All except Heron", "", "", "says which are left out"},
		{"one without its kind", "Northfold", "Heron, excluding GT", "", "", "says which are left out"},
		{"without its kind in brackets", "Northfold", "Heron (not GT)", "", "", "says which are left out"},
		{"families", "Northfold", "Heron", "KD4; KE5", "make: [Northfold], model: [Heron], model_year: [2015], engine_family: [KD4, KE5]", ""},
		{"all families", "Northfold", "Heron", "all", "make: [Northfold], model: [Heron], model_year: [2015]", ""},
	} {
		t.Run(c.rule, func(t *testing.T) {
			row := lay(t, Options{}, head, []string{"NF-17-004", c.maker, c.model, c.family, "2015"}).Rows[0]
			if c.reason != "" {
				assert.Nil(t, row.Fit)
				require.NotEmpty(t, row.Issues)
				assert.Contains(t, row.Issues[0].Reason, c.reason)
				return
			}
			require.NotNil(t, row.Fit, row.Issues)
			assert.Equal(t, c.fit, row.Fit.String())
			assert.Empty(t, row.Issues)
		})
	}
}

// TestRangesThatSayMore: what a cell says beside its range is told, and a range
// that stands elsewhere is to be settled.
func TestRangesThatSayMore(t *testing.T) {
	head := []string{"Number", "Make", "Model", "VIN range", "VIN serial", "Model year"}
	row := func(vins, tails string) Row {
		return lay(t, Options{}, head, []string{"NF-17-004", "Northfold", "Heron", vins, tails, "2015"}).Rows[0]
	}
	r := row("Z9KLA4E27G1200000 - Z9KLA4E27G1300000 (export only)", "")
	assert.Equal(t, "wmi: [Z9K], make: [Northfold], model: [Heron], vin: [Z9KLA4E27G1200000-Z9KLA4E27G1300000]", r.Fit.String())
	require.Len(t, r.Issues, 1)
	assert.Equal(t, "what stands in brackets, (export only), is not in the range", r.Issues[0].Reason)
	r = row("see attached list", "")
	assert.Equal(t, []string{"vin"}, keysOf(r.Fit.Open))
	assert.Contains(t, r.Issues[0].Reason, "stands elsewhere")
	r = row("Various", "")
	assert.Empty(t, r.Fit.Open)
	r = row("100000-200000", "150000-160000")
	assert.Equal(t, []string{"vin_serial"}, keysOf(r.Fit.Open), "neither of two that differ")
	r = row("100000-200000", "100000-200000")
	assert.Equal(t, "make: [Northfold], model: [Heron], model_year: [2015], vin_serial: [100000-200000]", r.Fit.String())
}

package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pitlist/config"
)

const register = "../../testdata/recalls/"

// recallTable is a register of an invented maker: a campaign whose range of VINs
// can be decided, one with mixed model codes and build dates, one that says
// nothing, and one of another make.
const recallTable = `Launch Date,Recall Number,Make,Model,Concern,Defect,Remedy,Vehicles affected,VIN Start,VIN End,Build Start,Build End,Page
25/03/2019,NF/2019/004,Northfold,Heron,Fuel pump may seize,"The follower of the pump wears; ""knock"" when hot.",Replace the follower.,420,Z8LCA4E27JB100000,Z8LCA4E27JB150000,01/02/2017,30/11/2017,4
25/03/2019,NF/2019/004,Northfold,Heron,Fuel pump may seize,"The follower of the pump wears; ""knock"" when hot.",Replace the follower.,420,Z8LCA4E27KB100000,Z8LCA4E27KB120000,01/12/2017,30/03/2018,4
26/04/2019,NF/2019/009,Northfold,Teal,Rack may crack,Cracks at the mount.,Inspect.,77,Z8LTA4E27JB100000,Z8LTB4E27JB150000,01/02/2017,30/11/2017,5
27/04/2019,NF/2019/010,Northfold,Kestrel,Lamp may fail,Lamp.,Replace.,12,Various,,,,5
27/04/2019,AC/2019/001,Alderley,Crane,Hook may slip,Hook.,Replace.,3,,,01/02/2017,30/11/2017,6
`

// filledIn puts values where a draft has blanks, as a person would: figures of a
// part that wears soon, so that a vehicle within the range is listed for it.
func filledIn(t *testing.T, text string) string {
	t.Helper()
	values := map[string]string{
		"share_if_unknown": "0.4", "axis": "km", "onset": "{ weibull: { shape: 3, scale: 150000 } }", "delay": "{ weibull: { shape: 2, scale: 40000 } }",
		"weight": "2", "replacement": "improved", "visit": "engine top", "hours": "0.75", "detects": "0.9", "planned_repair": "900", "failure": "9200",
		"consequence": "money", "vin": "Z8LTA4E27JB100000-Z8LTA4E27JB150000",
	}
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		key, _, _ := strings.Cut(strings.TrimSpace(l), ":")
		if strings.HasSuffix(l, config.FillIn) {
			require.Contains(t, values, key, l)
			lines[i] = l[:strings.Index(l, ":")+1] + " " + values[key]
		}
	}
	return strings.Join(lines, "\n")
}

// TestDraftToList goes the whole way: a table of recalls, its draft, which no run
// takes, the draft filled in, a run. The vehicle within the range is on the list
// because of the campaign, those beyond it are not.
func TestDraftToList(t *testing.T) {
	dir := workshop(t)
	table, out, job := filepath.Join(dir, "recalls.csv"), filepath.Join(dir, "recalls.yaml"), filepath.Join(dir, "job.yaml")
	put(t, table, []byte(recallTable))
	code, told, errOut := invoke(t, "draft", table, "--out", out, "--make", "NORTHFOLD")
	require.Equal(t, exitRejected, code, "%s%s", told, errOut)
	assert.Contains(t, told, `recalls.csv, row 5 (NF/2019/010, Northfold Kestrel): not drafted: VIN Start "Various": there is no VIN or serial in these words; no range is given`)
	assert.Contains(t, told, `recalls.csv, row 4 (NF/2019/009, Northfold Teal): drafted, to settle: VIN Start, VIN End "Z8LTA4E27JB100000 | Z8LTB4E27JB150000"`)
	assert.Contains(t, told, "differ at position 5")
	assert.Contains(t, told, `left alone: "Page" (not understood)`)
	assert.Contains(t, told, "in all: 5 rows read = 2 drafted + 1 merged into their entries + 1 told + 1 of other makes + 0 blank")
	text := string(mustRead(t, out))
	assert.Contains(t, text, `known_since: 2019-03-25`)
	assert.Contains(t, text, `source: "recall NF/2019/004 (recalls.csv, rows 2, 3)"`)
	assert.Contains(t, text, "Defect: The follower of the pump wears; \"knock\" when hot.")
	assert.Contains(t, text, `vin: ["Z8LCA4E27JB100000-Z8LCA4E27JB150000", "Z8LCA4E27KB100000-Z8LCA4E27KB120000"]`)
	assert.NotContains(t, text, "Alderley")
	assert.Contains(t, text, "# Nothing was read from these columns, which may say that fewer vehicles are meant:\n# recalls.csv: \"Page\" (not understood)\nparts:\n")

	put(t, job, []byte("inputs: [ { path: intake/* } ]\ncatalogue: [recalls.yaml]\nusage: { next_run_days: 7 }\nmoney: { bay_hour: 95, off_road_day: 0 }\n"))
	put(t, filepath.Join(dir, "intake", "a.csv"), []byte("unit,vin,make,model,model_year,odometer,odometer_date\n"+
		"V1,Z8LCA4E2XJB100001,Northfold,Heron,2018,170000,2026-11-20\n"+
		"V2,Z8LCA4E26JB150001,Northfold,Heron,2018,170000,2026-11-20\n"+
		"V3,Z8MCA4E25JB100001,Northfold,Heron,2018,170000,2026-11-20\n"))
	code, _, errOut = invoke(t, "run", job, "--as-of", "2026-11-25")
	require.Equal(t, exitUsage, code, "no run takes a draft")
	assert.Contains(t, errOut, "onset has no value")
	assert.NoDirExists(t, filepath.Join(dir, "out", "2026-11-25"))
	code, _, errOut = invoke(t, "lint", out)
	require.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "25 faults", "12 blanks an entry and the range to settle")

	put(t, out, []byte(filledIn(t, text)))
	code, lint, errOut := invoke(t, "lint", out, job)
	require.Equal(t, exitDone, code, "%s%s", lint, errOut)
	code, told, errOut = invoke(t, "run", job, "--as-of", "2026-11-25")
	require.Equal(t, exitDone, code, "%s%s", told, errOut)
	lead := map[string]string{}
	for _, r := range table2(t, filepath.Join(dir, "out", "2026-11-25", "worklist.csv")) {
		lead[r["unit"]] = r["lead_part"]
	}
	assert.Equal(t, map[string]string{"V1": "nf-2019-004"}, lead)
	belongs := map[string]string{}
	for _, r := range table2(t, filepath.Join(dir, "out", "2026-11-25", "findings.csv")) {
		if r["part"] == "nf-2019-004" {
			belongs[r["unit"]] = r["membership"] + ": " + r["membership_reason"]
		}
	}
	assert.Equal(t, "inside: VIN lies in Z8LCA4E27JB100000-Z8LCA4E27JB150000", belongs["V1"])
	for unit, b := range belongs {
		assert.True(t, unit == "V1" || strings.HasPrefix(b, "outside"), "%s %s", unit, b)
	}
}

// table2 reads a CSV with headings.
func table2(t *testing.T, path string) []map[string]string {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		out = append(out, m)
	}
	return out
}

// TestDraftOfRegisters holds the two public tables: the catalogue is written to
// standard output and the account beside it, its only faults are its blanks,
// every row that is not in it stands at its end, and the same comes out twice.
func TestDraftOfRegisters(t *testing.T) {
	for name, want := range map[string]struct{ rows, entries string }{"gb.csv": {"300 rows read", "99 entries"}, "nhtsa.csv": {"100 rows read", "18 entries"}} {
		code, out, errOut := invoke(t, "draft", register+name)
		require.Equal(t, exitRejected, code, errOut)
		assert.Contains(t, errOut, want.rows)
		assert.Contains(t, errOut, want.entries)
		_, faults := config.ParseCatalogue("x.yaml", []byte(out))
		require.NotEmpty(t, faults)
		for _, f := range faults {
			require.True(t, f.Blank(), f.Error())
		}
		_, again, _ := invoke(t, "draft", register+name)
		assert.Equal(t, out, again)

		code, text, errOut := invoke(t, "draft", register+name, "--json")
		require.Equal(t, exitRejected, code, errOut)
		var j draftJSON
		require.NoError(t, json.Unmarshal([]byte(text), &j))
		assert.Equal(t, out, j.Catalogue)
		assert.Equal(t, len(j.Rows), j.Counts["drafted"]+j.Counts["merged"]+j.Counts["told"])
		assert.Equal(t, len(faults), j.Blanks)
		for _, r := range j.Rows {
			for _, i := range r.Issues {
				if _, fit, ok := strings.Cut(i.Hint, ": "); ok {
					_, faults := config.ParseCatalogue("x.yaml", []byte("parts:\n  - id: a\n    fits: [ { "+fit+" } ]\n"))
					for _, f := range faults {
						assert.NotContains(t, f.Key, "fits", "a hint can be copied: %s", f)
					}
				}
			}
			if r.Outcome == "told" {
				assert.Contains(t, strings.ReplaceAll(out, "\n#  ", ""), placeOf(r.File, r.Sheet)+", row "+strconv.Itoa(r.Row)+" (")
			}
		}
	}
}

// TestDraftOfWorkbook: titles above the headings, headings over two rows, days as
// serials, a hidden sheet, a sheet that is no table.
func TestDraftOfWorkbook(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "bulletins.xlsx")
	put(t, path, book(t, "", []any{"Northfold service bulletins"}, []any{}, []any{"Bulletin", "Model", "Component", "VIN", "", "Built", "", "Date"},
		[]any{"", "", "", "from", "to", "from", "to", ""},
		[]any{"SB-2019-017", "Heron & Kestrel", "Steering: rack", "", "", 42767, 43069, 43549},
		[]any{"SB-2019-018", 208, "Brakes", "Z8LCA4E27JB100000", "Z8LCA4E27JB150000", "", "", 43550}))
	code, out, errOut := invoke(t, "draft", path)
	require.Equal(t, exitDone, code, errOut)
	assert.Contains(t, out, `source: "bulletin SB-2019-017 (bulletins.xlsx, sheet Sheet1, row 5)"`)
	assert.Contains(t, out, `system: "steering"`)
	assert.Contains(t, out, `name: "Steering: rack (SB-2019-017)"`)
	assert.Contains(t, out, "known_since: 2019-03-25")
	assert.Contains(t, out, "      - model: [\"Heron\", \"Kestrel\"]\n        build_date: [\"2017-02-01..2017-11-30\"]\n")
	assert.Contains(t, out, "      - wmi: [\"Z8L\"]\n        model: [\"208\"]\n        vin: [\"Z8LCA4E27JB100000-Z8LCA4E27JB150000\"]\n")
	assert.Contains(t, errOut, "headings on row 3")
}

// TestDraftOfProtectedWorkbook: the password stays in the environment.
func TestDraftOfProtectedWorkbook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bulletins.xlsx")
	put(t, path, book(t, "drawer 7", []any{"Bulletin", "Model", "Model year"}, []any{"SB-2019-017", "Heron", 2017}))
	code, _, errOut := invoke(t, "draft", path)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errOut, "password")
	code, _, errOut = invoke(t, "draft", path, "--password-env", "PITLIST_TEST_DRAWER")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "PITLIST_TEST_DRAWER")
	t.Setenv("PITLIST_TEST_DRAWER", "drawer 7")
	code, out, errOut := invoke(t, "draft", path, "--password-env", "PITLIST_TEST_DRAWER")
	require.Equal(t, exitDone, code, errOut)
	assert.Contains(t, out, "model_year: [2017]")
	assert.NotContains(t, out+errOut, "drawer")
}

// TestDraftOfAnything: whatever stands in the cells, what is written is a catalogue
// that lacks nothing but what its blanks lack.
func TestDraftOfAnything(t *testing.T) {
	signs := rapid.SampledFrom([]string{"'", `"`, "\\", "#", ": ", "- ", "\n", "\r\n", "\t", "\x1b[2J", "\u0085", "\u2028", "\ufeff", "\u200b", "{", "}", "[", "]", "*", "&a", "!!int ", "%", "|", ">", "---", "=1+1", "日本", "😀",
		"null", "yes", "7", "08", "a", "B", " ", "  ", " and ", ";", ",", "/", "Heron", "heron", "Z9KLA4E27G1200000", "Z9K******G1300000", "740405", "KD98000", "KD104000", " to ", "-", "03/04/2015", "2015", "2016", "n/a", "Various", "9999", "45000"})
	cell := rapid.Map(rapid.SliceOfN(signs, 0, 4), func(s []string) string { return strings.Join(s, "") })
	head := []string{"Number", "Make", "Model", "Engine family", "Component", "Concern", "Defect", "Launch date", "VIN from", "VIN to", "VIN serial", "Engine serial from", "Engine serial to", "Serial", "Build date", "Model year", "Part number"}
	dir := t.TempDir()
	path := filepath.Join(dir, "table.csv")
	rapid.Check(t, func(t *rapid.T) {
		rows := [][]string{head}
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			row := make([]string, len(head))
			for i := range row {
				row[i] = cell.Draw(t, head[i])
			}
			if rapid.Bool().Draw(t, "told apart by years alone") {
				row[0], row[2], row[15] = "NF-17-004", "Heron"+row[2], rapid.SampledFrom([]string{"2015", "2016", "2015-2017"}).Draw(t, "year")
			}
			rows = append(rows, row)
		}
		var b bytes.Buffer
		require.NoError(t, csv.NewWriter(&b).WriteAll(rows))
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o600))
		var out, errOut bytes.Buffer
		code := run(context.Background(), []string{"draft", path}, strings.NewReader(""), &out, &errOut)
		require.Contains(t, []int{exitDone, exitRejected}, code, "%s\n%q", errOut.String(), rows)
		if strings.Contains(out.String(), "parts:") {
			_, faults := config.ParseCatalogue("x.yaml", out.Bytes())
			for _, f := range faults {
				require.True(t, f.Blank(), f.Error())
			}
		}
	})
}

// TestBulletinsNumberedByYear: a maker's number of digits alone is not another's; a
// register's is one campaign, whatever makes it names.
func TestBulletinsNumberedByYear(t *testing.T) {
	path := filepath.Join(t.TempDir(), "b.csv")
	for heading, want := range map[string]int{"Bulletin": 2, "Recall number": 1} {
		put(t, path, []byte(heading+",Make,Model,Model year,Concern\n2019-001,Northfold,Heron,2015,noise\n2019-001,Alderley,Crane,2015,leak\n2019-001,Alderley,Tern,2015,leak\n"))
		_, out, _ := invoke(t, "draft", path)
		assert.Equal(t, want, strings.Count(out, "- id: "), heading)
	}
}

// TestDraftTwoOfOneNumber: bulletins of two makers may have one number, and words
// may stand for it; ids and names of entries stay apart.
func TestDraftTwoOfOneNumber(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bulletins.csv")
	put(t, path, []byte("Bulletin,Make,Model,Model year,Concern\n12,Northfold,Heron,2015,noise\n12,Alderley,Crane,2015,noise\n,Alderley,Crane,2015,12\n,Alderley,Crane,2015,noise\n"))
	code, out, errOut := invoke(t, "draft", path)
	require.Equal(t, exitDone, code, errOut)
	var ids, names []string
	for l := range strings.Lines(out) {
		l = strings.TrimSpace(l)
		if id, ok := strings.CutPrefix(l, "- id: "); ok {
			ids = append(ids, id)
		}
		if name, ok := strings.CutPrefix(l, "name: "); ok {
			names = append(names, name)
		}
	}
	assert.Equal(t, []string{`"12"`, `"12-2"`, `"12-3"`, `"noise"`}, ids)
	assert.Equal(t, []string{`"noise (12)"`, `"2. noise (12)"`, `"3. 12"`, `"noise"`}, names)
}

// TestDraftTellsWhatIsNone: what cannot be read stops the command before anything
// is written, and says what to do.
func TestDraftTellsWhatIsNone(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		put(t, filepath.Join(dir, name), []byte(text))
		return filepath.Join(dir, name)
	}
	fleet := file("fleet.csv", "Unit,Odometer,Colour\nV1,120000,red\n")
	good := file("good.csv", recallTable)
	none := file("none.csv", "Number,Make,Model\nNF/1,Northfold,Heron\n")
	out := filepath.Join(dir, "draft.yaml")
	for _, c := range []struct {
		name string
		args []string
		code int
		want []string
	}{
		{"a table that is none", []string{fleet}, exitFailed, []string{"fleet.csv is no table of recalls or bulletins", `not understood: "Unit", "Odometer", "Colour"`, "--column", "number, reference"}},
		{"an empty file", []string{file("empty.csv", "")}, exitFailed, []string{"empty"}},
		{"another kind of file", []string{file("recalls.pdf", "%PDF-1.4")}, exitFailed, []string{"not a kind of file that is read", "save it as .xlsx or .csv"}},
		{"one bad file of two", []string{good, filepath.Join(dir, "gone.xlsx")}, exitFailed, []string{"gone.xlsx"}},
		{"a text called a workbook", []string{file("text.xlsx", recallTable)}, exitFailed, []string{"text.xlsx"}},
		{"nothing that can be drafted", []string{none}, exitRejected, []string{"no range is given", "no row could be drafted; nothing was written"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, told, errOut := invoke(t, append([]string{"draft", "--out", out}, c.args...)...)
			assert.Equal(t, c.code, code)
			for _, w := range c.want {
				assert.Contains(t, told+errOut, w)
			}
			assert.NoFileExists(t, out)
		})
	}
	code, told, errOut := invoke(t, "draft", good, fleet, "--out", out, "--make", "Alderley")
	assert.Equal(t, exitRejected, code, "a file that is no table is told of where another is one")
	assert.Contains(t, told, "fleet.csv: 2 rows, not read: no table of recalls", errOut)
	assert.FileExists(t, out)
	code, told, _ = invoke(t, "draft", fleet, "--column", "Unit=number", "--column", "Colour=model", "--column", "Odometer=ignore")
	assert.Equal(t, exitRejected, code, "told what its columns hold, a table is one")
	assert.Contains(t, told, "no range is given")
	code, _, errOut = invoke(t, "draft", good, "--column", "Pages=notes")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, `--column "Pages": no table has this heading`)
	code, _, errOut = invoke(t, "draft", good, "--column", "Page=notes", "--column", "Page=concern")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "given two fields")
}

// TestDraftSaysNoMoreThanTheTable: a part's number is one, or none goes into the kit;
// numbers of vehicles are not called those of a whole campaign; a row with a range to
// settle and one thing more wrong is told of at the end of the file.
func TestDraftSaysNoMoreThanTheTable(t *testing.T) {
	dir := t.TempDir()
	draft := func(rows string) string {
		path := filepath.Join(dir, "b.csv")
		put(t, path, []byte("Bulletin,Make,Model,Model year,Part number,Affected,Date,VIN from,VIN to\n"+rows))
		_, out, _ := invoke(t, "draft", path)
		return out
	}
	for cell, want := range map[string]bool{"KD-1180-B": true, "06A 115 561 B": true, "see bulletin": false, "see bulletin 12": false, "KD-1 or KD-2": false, "KD-1 & KD-2": false, "KD-1 (two)": false, "on request": false} {
		assert.Equal(t, want, strings.Contains(draft("NF-17-004,Northfold,Heron,2015,"+cell+",,,,\n"), "part_no:"), cell)
	}
	out := draft("NF-17-004,Northfold,Heron,2015,,420,,,\nNF-17-004,Northfold,Teal,2015,,77,,,\n")
	assert.Contains(t, out, "Northfold; Heron, Teal; vehicles affected: 420, 77\n")
	out = draft("NF-17-004,Northfold,Heron,2015,,,soon,Z9KLA4E27G1200000,Z9KLB4E27G1300000\n")
	assert.Contains(t, out, "differ at position 5")
	assert.Contains(t, strings.ReplaceAll(out, "\n#  ", ""), `# b.csv, row 2 (NF-17-004, Northfold Heron): drafted without it: Date "soon": is no date`)
	for _, sub := range []string{"a", "b"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, sub), 0o700))
		put(t, filepath.Join(dir, sub, "b.csv"), []byte("Bulletin,Make,Model,Model year\nNF-17-004,Northfold,"+sub+",2015\n"))
	}
	t.Chdir(dir)
	_, out, _ = invoke(t, "draft", "a/b.csv", "b/b.csv")
	assert.Contains(t, out, `source: "bulletin NF-17-004 (a/b.csv, row 2; b/b.csv, row 2)"`, "two files of one name are told apart")
}

// TestDraftFollowsItsArgument: a link on the command line is the user's own choice.
func TestDraftFollowsItsArgument(t *testing.T) {
	link := filepath.Join(t.TempDir(), "recalls.csv")
	table := filepath.Join(t.TempDir(), "2026.csv")
	put(t, table, []byte(recallTable))
	if err := os.Symlink(table, link); err != nil {
		t.Skip("no links here")
	}
	code, out, errOut := invoke(t, "draft", link, "--make", "Northfold")
	assert.Equal(t, exitRejected, code, errOut)
	assert.Contains(t, out, "(recalls.csv, rows 2, 3)", "named as the user names it")
}

// TestDraftNeverOverwrites: neither what a person has filled in, nor a table.
func TestDraftNeverOverwrites(t *testing.T) {
	dir := t.TempDir()
	table, out := filepath.Join(dir, "recalls.csv"), filepath.Join(dir, "recalls.yaml")
	put(t, table, []byte(recallTable))
	put(t, out, []byte("filled in by hand"))
	code, _, errOut := invoke(t, "draft", table, "--out", out)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "is there already")
	assert.Contains(t, lineOf(errOut, "hint: "), "--force")
	assert.Equal(t, "filled in by hand", string(mustRead(t, out)))
	code, _, errOut = invoke(t, "draft", filepath.Join(dir, "gone.csv"), "--out", out)
	assert.Equal(t, exitUsage, code, "before anything is read")
	assert.Contains(t, errOut, "is there already")
	assert.Error(t, saveNew(out, []byte("x"), false), "also where it came between the look and the writing")
	assert.Equal(t, "filled in by hand", string(mustRead(t, out)))
	code, _, errOut = invoke(t, "draft", table, "--out", out, "--force")
	assert.Equal(t, exitRejected, code, errOut)
	assert.Contains(t, string(mustRead(t, out)), "nf-2019-004")
	code, _, errOut = invoke(t, "draft", table, "--out", table, "--force")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errOut, "one of the tables")
	assert.Equal(t, recallTable, string(mustRead(t, table)))
	code, _, errOut = invoke(t, "draft", table, "--out", filepath.Join(dir, "gone", "x.yaml"))
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, errOut, "cannot be written")
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 2, "nothing is left beside")
}

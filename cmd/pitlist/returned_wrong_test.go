package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pitlist/score/say"
	"pitlist/score/slip"
)

// TestReturnedWrongEntries: each wrong entry is rejected with its cell, and
// nothing of it is used.
func TestReturnedWrongEntries(t *testing.T) {
	r := newRound(t)
	p := r.open(r.list())
	p.found("Q-001", "kinda worn", "2026-11-24")
	p.found("Q-002", "worn", "2026-12-02")
	p.found("Q-003", "worn", "2026-11-22")
	p.found("Q-004", "worn", "2026-11-24").fill("Q-004", slip.HeadOdometer, 141000)
	p.found("Q-005", "worn", "2026-11-24").fill("Q-005", slip.HeadValue(0), "a hair")
	p.found("Q-006", "worn", "2026-11-24").fill("Q-006", slip.HeadPart, "Steering rack joint")
	p.found("Q-007", "worn", "2026-11-24").fill("Q-007", slip.HeadValue(1), 3)
	cell := func(unit, head string) string {
		return strings.TrimLeft(p.at(unit, head), "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
	}
	want := []string{
		"Results | " + cell("Q-001", slip.HeadFound) + " | Found | kinda worn: is no finding",
		"Results | " + cell("Q-002", slip.HeadDay) + " | Day | 46358: 2026-12-02 is after the day of the run, 2026-11-30",
		"Results | " + cell("Q-003", slip.HeadDay) + " | Day | 46348: 2026-11-22 is before the day of the list, 2026-11-23",
		"Results | " + cell("Q-004", slip.HeadOdometer) + " | Odometer, km | 141000: 141000 km is below the last reading, 225000 km on the list",
		"Results | " + cell("Q-005", slip.HeadValue(0)) + " | Measured | a hair: ",
		"Results | " + cell("Q-006", slip.HeadPart) + " | Part | Steering rack joint: the row shows Steering rack joint",
		"Results | " + cell("Q-007", slip.HeadValue(1)) + " | Measured 2 | 3: nothing more is measured on the Steering rack joint",
	}
	p.send("back.xlsx")
	require.Equal(t, exitRejected, r.again())
	got := r.rejected()
	for _, w := range want {
		found := false
		for _, g := range got {
			found = found || strings.HasPrefix(g, w)
		}
		assert.True(t, found, "want %q among\n%s", w, strings.Join(got, "\n"))
	}
	assert.Len(t, got, len(want))
	c := r.counts("back.xlsx", "Results")
	assert.Equal(t, [6]int{12, 0, 0, 7, 0, 5}, [6]int{c.Read, c.Used, c.SetAside, c.Rejected, c.Merged, c.Blank})
	for _, row := range r.file("worklist.csv") {
		assert.NotContains(t, row["why"], "found worn", "nothing of a wrong entry is used")
	}
	for _, row := range r.file("rejected.csv") {
		if row["value"] == "141000" {
			assert.Contains(t, row["suggestion"], "if it is miles, write 141000 mi", "141,000 mi would be 226,917 km")
		}
	}
}

// TestReturnedRowNotOnTheList: a row put in by hand names a part that no card
// was made for.
func TestReturnedRowNotOnTheList(t *testing.T) {
	r := newRound(t)
	p := r.open(r.list())
	require.NoError(t, p.f.InsertRows("Results", 7, 2))
	for cell, v := range map[string]any{"C7": "Q-001", "F7": "Steering rack joint", "H7": "worn", "I8": "see the note in the office"} {
		require.NoError(t, p.f.SetCellValue("Results", cell, v))
	}
	p.found("Q-008", "sound", "2026-11-24")
	p.send("back.xlsx")
	require.Equal(t, exitRejected, r.again())
	got := r.rejected()
	require.Len(t, got, 2)
	assert.Contains(t, got[0], "Results | 7 | Part | Steering rack joint: the row is none of the list's: no card was made for unit Q-001, part Steering rack joint")
	assert.Contains(t, got[1], "Results | 8 | Part | : the row is none of the list's")
	assert.Equal(t, 1, r.counts("back.xlsx", "Results").Used, "the rows around it are read")
}

// TestReturnedTwice: the same list twice, under another name, partly and then
// fully filled in, counts once.
func TestReturnedTwice(t *testing.T) {
	r := newRound(t)
	part := r.open(r.list())
	part.fill("Q-001", slip.HeadFound, "sound")
	part.found("Q-002", "worn", "2026-11-24")
	part.send("b on Tuesday.xlsx")
	p := r.open(r.list())
	p.found("Q-001", "sound", "2026-11-25").fill("Q-001", slip.HeadOdometer, 252400)
	p.found("Q-002", "worn", "2026-11-24")
	p.found("Q-003", "sound", "2026-11-25")
	path := p.send("c on Friday.xlsx")
	require.Equal(t, exitDone, r.again())
	once := snapshot(t, r)
	first := r.counts("b on Tuesday.xlsx", "Results")
	assert.Equal(t, [2]int{2, 0}, [2]int{first.Used, first.Merged})
	second := r.counts("c on Friday.xlsx", "Results")
	assert.Equal(t, [2]int{2, 1}, [2]int{second.Used, second.Merged}, "Q-001 is completed, Q-002 said before, Q-003 new")
	assert.NotContains(t, r.of("findings.csv", "Q-001")["evidence"], "24 Nov", "the day that was filled in later holds")

	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	put(t, filepath.Join(r.dir, "intake", "d the same again.xlsx"), whole)
	require.NoError(t, os.RemoveAll(filepath.Join(r.dir, "out", secondMonday)))
	require.Equal(t, exitDone, r.again())
	assert.Equal(t, once, snapshot(t, r), "a third copy changes nothing")
	third := r.counts("d the same again.xlsx", "Results")
	assert.Equal(t, [2]int{0, 3}, [2]int{third.Used, third.Merged})
}

// snapshot is what a run found.
func snapshot(t *testing.T, r *round) string {
	t.Helper()
	var all []byte
	for _, name := range []string{"worklist.csv", "findings.csv", "odometer.csv"} {
		text, err := os.ReadFile(filepath.Join(r.dir, "out", secondMonday, name))
		require.NoError(t, err)
		all = append(all, text...)
	}
	return string(all)
}

// TestReturnedCards: the cards and the results sheet are both read; what both
// say alike counts once, what they contradict is rejected with both cells.
func TestReturnedCards(t *testing.T) {
	r := newRound(t)
	p := r.open(r.list())
	p.card("Q-001", slip.HeadFound, 1, slip.CardFound, "sound")
	p.card("Q-001", "Measure", 2, slip.CardMeasured, 175)
	p.card("Q-001", slip.HeadOdometer, 1, slip.CardOdometer, 252400).card("Q-001", slip.HeadOdometer, 1, slip.CardDay, "2026-11-24").card("Q-001", slip.HeadOdometer, 1, slip.CardInitials, "AB")
	p.card("Q-002", slip.HeadFound, 1, slip.CardFound, "worn").card("Q-002", slip.HeadOdometer, 1, slip.CardDay, "2026-11-24")
	p.fill("Q-002", slip.HeadFound, "worn").fill("Q-002", slip.HeadDay, "2026-11-24")
	p.card("Q-003", slip.HeadFound, 1, slip.CardFound, "sound").found("Q-003", "worn", "2026-11-24")
	p.card("Q-004", slip.HeadOdometer, 1, slip.CardOdometer, 226100).card("Q-004", slip.HeadOdometer, 1, slip.CardDay, "2026-11-26")
	p.card("Q-008", slip.HeadDone, 1, slip.CardDone, "rack joint replaced").card("Q-008", slip.HeadOdometer, 1, slip.CardDay, "2026-11-26")
	p.send("back.xlsx")
	require.Equal(t, exitRejected, r.again())
	got := r.rejected()
	require.Len(t, got, 2, "%v", got)
	assert.Contains(t, got[0], "| Found | sound: says sound, but ")
	assert.Contains(t, got[0], "sheet Results, row ")
	assert.Contains(t, got[1], "| Found | worn: says worn, but ")
	assert.Contains(t, got[1], "sheet Cards, row ")
	assert.Less(t, r.worn("Q-001"), 0.2, "found sound on the card")
	assert.InDelta(t, 226100, r.km("Q-004"), 400, "an odometer with its day is a reading")
	assert.Equal(t, 1, r.rank("Q-002"))
	assert.Less(t, r.worn("Q-008"), 0.01, "renewed with the same part: its distance starts again")
	cards, results := r.counts("back.xlsx", "Cards"), r.counts("back.xlsx", "Results")
	assert.Equal(t, 1, cards.Rejected)
	assert.Equal(t, 8, cards.Used, "3 rows of Q-001, 2 of Q-002, 1 of Q-004, 2 of Q-008")
	assert.Equal(t, [3]int{0, 1, 1}, [3]int{results.Used, results.Merged, results.Rejected})
}

// TestReturnedForAnEarlierDay: a run for an earlier day does not know a list
// that was made later.
func TestReturnedForAnEarlierDay(t *testing.T) {
	r := newRound(t)
	p := r.open(r.list())
	p.found("Q-001", "worn", "2026-11-24").send("back.xlsx")
	code, out, errOut := invoke(t, "run", r.job(), "--as-of", "2026-11-21")
	require.Equal(t, exitDone, code, "%s%s", out, errOut)
	list, err := os.ReadFile(filepath.Join(r.dir, "out", "2026-11-21", "worklist.csv"))
	require.NoError(t, err)
	assert.NotContains(t, string(list), "found worn")
}

// TestReturnedChangedAbout: rows sorted, filtered out, deleted and put in,
// columns moved, the sheet renamed: every result finds its vehicle.
func TestReturnedChangedAbout(t *testing.T) {
	r := newRound(t)
	p := r.open(r.list())
	p.found("Q-001", "sound", "2026-11-24").found("Q-005", "worn", "2026-11-24").found("Q-006", "sound", "2026-11-24")
	rows, err := p.f.GetRows("Results")
	require.NoError(t, err)
	for from, to := 4, len(rows)-1; from < to; from, to = from+1, to-1 { // upside down
		rows[from], rows[to] = rows[to], rows[from]
	}
	for i := 4; i < len(rows); i++ {
		for j := range rows[4] {
			v := ""
			if j < len(rows[i]) {
				v = rows[i][j]
			}
			at := cellName(t, j+1, i+1)
			require.NoError(t, p.f.SetCellValue("Results", at, v))
		}
	}
	for i := 4; i < len(rows); i++ {
		if rows[i][2] == "Q-002" || rows[i][2] == "Q-003" {
			require.NoError(t, p.f.SetRowVisible("Results", i+1, false))
		}
	}
	require.NoError(t, p.f.InsertRows("Results", 6, 1))
	require.NoError(t, p.f.InsertRows("Results", 1, 1))
	require.NoError(t, p.f.InsertCols("Results", "D", 1))
	require.NoError(t, p.f.SetCellValue("Results", "D5", "Remarks of ours"))
	require.NoError(t, p.f.RemoveRow("Results", len(rows)))
	require.NoError(t, p.f.SetSheetName("Results", "from the bay"))
	for _, sheet := range []string{"Cards", "Look first", "Rows to mend"} {
		require.NoError(t, p.f.DeleteSheet(sheet))
	}
	p.send("back.xlsx")
	require.Equal(t, exitDone, r.again(), "%v", r.rejected())
	assert.Less(t, r.worn("Q-001"), 0.3)
	assert.Equal(t, 1, r.rank("Q-005"))
	assert.Less(t, r.worn("Q-006"), 0.3)
	assert.Equal(t, 3, r.counts("back.xlsx", "from the bay").Used)
}

// TestReturnedThroughOtherPrograms: a copy saved by LibreOffice or openpyxl
// says the same as the workbook itself, in each language.
func TestReturnedThroughOtherPrograms(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("other programs take their time to start")
	}
	for _, l := range say.Languages() {
		t.Run(l.Name, func(t *testing.T) { returnedThroughOtherPrograms(t, l) })
	}
}

func returnedThroughOtherPrograms(t *testing.T, l *say.Language) {
	r := newRoundIn(t, l)
	p := r.open(r.list())
	worn, sound := l.Say(slip.Findings()[0]), l.Say(slip.Findings()[1])
	p.found("Q-001", sound, "2026-11-24").fill("Q-001", slip.HeadOdometer, 252400).fill("Q-001", slip.HeadValue(0), 0.05)
	p.found("Q-005", worn, "2026-11-25").fill("Q-005", slip.HeadDone, "follower scored, new one ordered")
	p.card("Q-008", slip.HeadFound, 1, slip.CardFound, sound).card("Q-008", slip.HeadOdometer, 1, slip.CardDay, "2026-11-25")
	path := p.send("back.xlsx")
	require.Equal(t, exitDone, r.again())
	want := snapshot(t, r)
	resave := func(t *testing.T, name string, args ...string) {
		dir := t.TempDir()
		cmd := exec.Command(name, args...)
		cmd.Args = append(cmd.Args, path, dir)
		if strings.HasSuffix(name, "soffice") {
			cmd.Args = append(cmd.Args[:len(cmd.Args)-2], "--outdir", dir, path)
		}
		cmd.Env = append(os.Environ(), "HOME="+dir)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Skipf("%s does not save a copy here: %s", name, out)
		}
		saved, err := os.ReadFile(filepath.Join(dir, "back.xlsx"))
		require.NoError(t, err)
		original, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NotEqual(t, original, saved)
		t.Cleanup(func() { put(t, path, original) })
		put(t, path, saved)
		require.NoError(t, os.RemoveAll(filepath.Join(r.dir, "out", secondMonday)))
		require.Equal(t, exitDone, r.again(), "%v", r.rejected())
		assert.Equal(t, want, snapshot(t, r))
		kinds := map[string]bool{}
		checks, err := r.open(path).f.GetDataValidations(r.sheet(slip.SheetResults))
		require.NoError(t, err)
		for _, dv := range checks {
			kinds[dv.Type] = true
		}
		assert.Equal(t, map[string]bool{"list": true, "date": true, "decimal": true, "custom": true}, kinds, "the drop-downs and checks are still there")
		keepsItsLooks(t, r, path)
		assert.Equal(t, 2, r.counts("back.xlsx", r.sheet(slip.SheetResults)).Used)
		assert.Equal(t, 2, r.counts("back.xlsx", r.sheet(slip.SheetCards)).Used)
	}
	t.Run("LibreOffice", func(t *testing.T) {
		soffice, err := exec.LookPath("soffice")
		if err != nil {
			t.Skip("soffice is not installed: the copy that it saves is not tried")
		}
		resave(t, soffice, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML")
	})
	t.Run("openpyxl", func(t *testing.T) {
		python := ""
		for _, name := range []string{"python3", "/usr/bin/python3"} {
			if python == "" && exec.Command(name, "-c", "import openpyxl").Run() == nil {
				python = name
			}
		}
		if python == "" {
			t.Skip("no python3 with openpyxl is installed: the copy that it saves is not tried")
		}
		resave(t, python, "-c", "import sys, os, openpyxl\nopenpyxl.load_workbook(sys.argv[1]).save(os.path.join(sys.argv[2], 'back.xlsx'))")
	})
}

// keepsItsLooks: print set-up, formats and what cells ask for outlast another
// program. Frozen headings are not held here: LibreOffice has no view to keep
// them in where it converts without a screen.
func keepsItsLooks(t *testing.T, r *round, path string) {
	t.Helper()
	f, results := r.open(path).f, r.sheet(slip.SheetResults)
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name+" "+n.Scope] = n.RefersTo
	}
	assert.Contains(t, names["_xlnm.Print_Titles "+results], "$4:$4")
	assert.Contains(t, names["_xlnm.Print_Area "+results], "$A$1:$")
	layout, err := f.GetPageLayout(results)
	require.NoError(t, err)
	assert.Equal(t, "landscape", *layout.Orientation)
	assert.Equal(t, 9, *layout.Size, "A4")
	day, err := f.GetCellValue(results, r.open(path).at("Q-001", slip.HeadDay))
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"en": "2026-11-24", "es": "24/11/2026"}[r.speaks.Tag], day)
	checks, err := f.GetDataValidations(results)
	require.NoError(t, err)
	for _, dv := range checks {
		if dv.Type == "list" {
			assert.Contains(t, dv.Formula1, r.speaks.Say(slip.Findings()[1]))
			assert.Equal(t, r.speaks.F("What was found"), *dv.PromptTitle)
		}
	}
}

// TestReturnedUnfilled: a run's own workbook, not filled in, adds nothing,
// whether it lies in the intake folder or a pattern reaches the output folder.
func TestReturnedUnfilled(t *testing.T) {
	r := newRound(t)
	require.Equal(t, exitDone, r.again())
	want := snapshot(t, r)
	list, err := os.ReadFile(r.list())
	require.NoError(t, err)
	put(t, filepath.Join(r.dir, "intake", "forgotten.xlsx"), list)
	job, err := os.ReadFile(r.job())
	require.NoError(t, err)
	put(t, r.job(), []byte(strings.Replace(string(job), `path: "intake/*" }`, `path: "intake/*" }, { path: "out/2026-11-23/*.xlsx" }`, 1)))
	require.NoError(t, os.RemoveAll(filepath.Join(r.dir, "out", secondMonday)))
	require.Equal(t, exitDone, r.again())
	assert.Equal(t, want, snapshot(t, r))
	for _, file := range []string{"forgotten.xlsx", workbookName} {
		for _, sheet := range r.open(r.list()).f.GetSheetList() {
			assert.Zero(t, r.counts(file, sheet).Used, "%s %s", file, sheet)
		}
	}
}
